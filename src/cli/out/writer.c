/* SPDX-License-Identifier: MIT */
/* Writers: the ways to write what a command found. */
#include "cli/out/writer.h"

#include "cli/out/json.h"

#include <string.h>

mtm_result write_report(const struct args *args, const void *report, FILE *out, mtm_error *error)
{
    const struct writer *writer = args_choice(args, "format");

    if (writer->tree != NULL)
        return json_print(writer->tree(report), out, error);
    writer->put(report, out);
    return MTM_OK;
}

bool writes_table(const struct args *args)
{
    const struct writer *writer = args_choice(args, "format");

    return strcmp(writer->name, "table") == 0;
}
