/* SPDX-License-Identifier: MIT */
/* Writers: the ways to write what a command found, and the option --format that chooses one. */
#ifndef METAMER_CLI_OUT_WRITER_H
#define METAMER_CLI_OUT_WRITER_H

#include "cli/args/args.h"

#include <cjson/cJSON.h>

/** One way to write a command's report: as text, or as a tree of JSON. Of the two functions one is
 *  set; report is the command's own struct. A table of writers ends with a NULL name. */
struct writer {
    const char *name;
    void (*put)(const void *report, FILE *out);
    cJSON *(*tree)(const void *report);
};

/* Rows of such a table, with the names that these ways have in every command. */
#define WRITER_TABLE(put_)                                                                         \
    {                                                                                              \
        "table", (put_), NULL                                                                      \
    }
#define WRITER_JSON(tree_)                                                                         \
    {                                                                                              \
        "json", NULL, (tree_)                                                                      \
    }
#define WRITER_CSV(put_)                                                                           \
    {                                                                                              \
        "csv", (put_), NULL                                                                        \
    }

/** --format: the first of the writers if it is not given. */
#define OPTION_FORMAT(writers, help_) OPTION_CHOICE("format", "NAME", struct writer, writers, help_)
/** What nearly all commands say of it. */
#define FORMAT_HELP "how the answer is written"

/** Writes a report in the way that --format names. MTM_MEMORY or MTM_OK. */
MTM_CHECKED mtm_result write_report(const struct args *args, const void *report, FILE *out,
                                    mtm_error *error);
/** True if that way is the table, which is for people. */
bool writes_table(const struct args *args);

#endif
