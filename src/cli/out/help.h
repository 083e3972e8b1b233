/* SPDX-License-Identifier: MIT */
/* Help: the pages made from the commands' tables, for terminals, man and shells. */
#ifndef METAMER_CLI_OUT_HELP_H
#define METAMER_CLI_OUT_HELP_H

#include "cli/command.h"

/** The list of commands. */
void help_overview(FILE *out);
/** One command's page. */
void help_command(const struct command *command, FILE *out);
/** The manual page of the whole program, man(7) format. */
void help_manual(FILE *out);
/** A completion script for bash. */
void help_completion(FILE *out);

#endif
