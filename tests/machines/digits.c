/* SPDX-License-Identifier: MIT */
/* Digits: loaded before a program, makes it print every floating-point number with 15 significant
 * digits and a space, whatever its format asks for. What is compared then is what was computed, not
 * how it was rounded for reading. Needs the GNU C library. */
#include <printf.h>
#include <stdio.h>

static int print_all_digits(FILE *out, const struct printf_info *info, const void *const *args)
{
    (void)info;
    return fprintf(out, "%.14e ", *(const double *)args[0]);
}

static int takes_double(const struct printf_info *info, size_t room, int *types, int *sizes)
{
    (void)info;
    (void)sizes;
    if (room > 0)
        types[0] = PA_DOUBLE;
    return 1;
}

__attribute__((constructor)) static void begin(void)
{
    (void)register_printf_specifier('f', print_all_digits, takes_double);
    (void)register_printf_specifier('g', print_all_digits, takes_double);
}
