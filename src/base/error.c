/* SPDX-License-Identifier: MIT */
/* Errors: writing the sentence, once, where the fact is known. */
#include "base/error.h"

#include <metamer/version.h>

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *mtm_version(void)
{
    return MTM_VERSION;
}

/* A file can hold anything; a terminal must not be driven by it. */
static void make_printable(char *text)
{
    for (unsigned char *c = (unsigned char *)text; *c != '\0'; c++) {
        if (*c < 0x20 || *c == 0x7f)
            *c = '?';
    }
}

mtm_result mtmi_fail(mtm_error *error, mtm_result result, const char *format, ...)
{
    if (error != NULL) {
        va_list arguments;

        va_start(arguments, format);
        (void)vsnprintf(error->text, sizeof error->text, format, arguments);
        va_end(arguments);
        make_printable(error->text);
    }
    return result;
}

mtm_result mtmi_fail_memory(mtm_error *error)
{
    return mtmi_fail(error, MTM_MEMORY, "out of memory");
}

void mtmi_error_prefix(mtm_error *error, const char *prefix)
{
    if (error == NULL)
        return;

    mtm_error whole;

    (void)snprintf(whole.text, sizeof whole.text, "%s: ", prefix);
    size_t used = strlen(whole.text);
    (void)snprintf(whole.text + used, sizeof whole.text - used, "%.*s",
                   (int)(sizeof whole.text - used - 1), error->text);
    make_printable(whole.text);
    *error = whole;
}
