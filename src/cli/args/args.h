/* SPDX-License-Identifier: MIT */
/* Args: a command line checked against a command's option tables. */
#ifndef METAMER_CLI_ARGS_ARGS_H
#define METAMER_CLI_ARGS_ARGS_H

#include "cli/command.h"

/** A value as given. */
struct given {
    const struct option_spec *option;
    const char *text;
    double number;
    const void *row; /**< of a choice */
};

/** A checked command line. Borrows argv. */
struct args {
    const struct command *command;
    struct given *given;
    size_t given_count;
    const char **words;
    size_t word_count;
    bool help_wanted;
};

/** Checks argv (what stands behind the command's name). args_free it also after a failure. */
MTM_CHECKED mtm_result args_parse(const struct command *command, int argc, char **argv,
                                  struct args *args, mtm_error *error);
void args_free(struct args *args);

/** True if the option was given. */
bool args_has(const struct args *args, const char *name);
/** Its text, or fallback if it was not given. For repeated options, the first. */
const char *args_text(const struct args *args, const char *name, const char *fallback);
/** Its number, or fallback. */
double args_number(const struct args *args, const char *name, double fallback);
/** The row of choices that was chosen; the first where the option was not given; NULL where
 *  the command has no such option. */
const void *args_choice(const struct args *args, const char *name);
/** Values of a repeated option: number index, or NULL past the last. */
const char *args_nth(const struct args *args, const char *name, size_t index);

/** Exactly count numbers split by commas ("0.31,0.33"). The sentence names the option. */
MTM_CHECKED mtm_result args_numbers(const struct args *args, const char *name, double *number,
                                    size_t count, mtm_error *error);

#endif
