/* SPDX-License-Identifier: MIT */
/* Lays the observers' functions out for the integration kernels: each begins a cache line and ends
 * in zeros. Runs on the building machine. Usage: weights_maker OUT.c */
#include "data/tables.h"

#include <stdio.h>

static void write_function(FILE *file, const double *value)
{
    (void)fprintf(file, "{\n");
    for (size_t i = 0; i < MTMI_WEIGHTS_COUNT; i++)
        (void)fprintf(file, "%.17g,\n", i < 471 ? value[i] : 0);
    (void)fprintf(file, "},\n");
}

int main(int argc, char **argv)
{
    const double(*observers[])[471] = {mtmi_table_observer_2, mtmi_table_observer_10};
    FILE *file = argc == 2 ? fopen(argv[1], "w") : NULL;

    if (file == NULL) {
        (void)fprintf(stderr, "usage: weights_maker OUT.c\n");
        return 1;
    }
    (void)fprintf(file, "/* Made by weights_maker; do not edit. */\n#include \"data/tables.h\"\n\n"
                        "_Alignas(64) const double mtmi_weights[2][3][MTMI_WEIGHTS_COUNT] = {\n");
    for (size_t observer = 0; observer < 2; observer++) {
        (void)fprintf(file, "{\n");
        for (size_t function = 0; function < 3; function++)
            write_function(file, observers[observer][function]);
        (void)fprintf(file, "},\n");
    }
    (void)fprintf(file, "};\n");
    return fclose(file) == 0 ? 0 : 1;
}
