/* SPDX-License-Identifier: MIT */
/* Help: the pages made from the commands' tables, for terminals, man and shells. */
#ifndef METAMER_CLI_OUT_HELP_H
#define METAMER_CLI_OUT_HELP_H

#include "cli/command.h"

#include <stdbool.h>

/** The list of commands. */
void help_overview(FILE *out);
/** One command's page. */
void help_command(const struct command *command, FILE *out);
/** The manual page of the whole program, man(7) format. */
void help_manual(FILE *out);
/** The manual page of the files, man(7) format. */
void help_formats(FILE *out);
/** What a file of a kind may hold ("rig", "readings", "colours"), for terminals; behind: another
 * page stands before it. False where there is no such topic. */
bool help_topic(const char *topic, bool behind, FILE *out);
struct completion_names;

/** A shell that completion scripts are made for. */
struct shell {
    const char *name;
    void (*put)(const struct completion_names *names, FILE *out);
};

/** All of them; ends with a NULL name. */
extern const struct shell completion_shells[];
/** A completion script for one of them. */
void help_completion(const struct shell *shell, FILE *out);

#endif
