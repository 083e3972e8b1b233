/* SPDX-License-Identifier: MIT */
/* metamer help: what the commands do. */
#include "cli/args/args.h"
#include "cli/out/help.h"

#include "base/error.h"

/* A command, a kind of file, or both. */
static mtm_result put_page(const char *name, FILE *out, mtm_error *error)
{
    const struct command *command = command_find(name);

    if (command != NULL)
        help_command(command, out);
    if (!help_topic(name, command != NULL, out) && command == NULL)
        return mtmi_fail(
            error, MTM_NOT_FOUND,
            "there is no command and no kind of file \"%.60s\"; \"metamer help\" lists "
            "them",
            name);
    return MTM_OK;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    const char *name = args->word_count > 0 ? args->words[0] : NULL;

    if (args_has(args, "manual"))
        help_manual(to->out);
    else if (args_has(args, "files"))
        help_formats(to->out);
    else if (args_has(args, "completion"))
        help_completion(args_choice(args, "completion"), to->out);
    else if (name == NULL)
        help_overview(to->out);
    else
        return put_page(name, to->out, error);
    return MTM_OK;
}

static const struct option_spec page_options[] = {
    OPTION_FLAG("manual", "print the manual page of the whole program, for man",
                .against = "completion files"),
    OPTION_FLAG("files", "print the manual page of the files, with every key of them, for man",
                .against = "completion"),
    OPTION_CHOICE("completion", "SHELL", struct shell, completion_shells,
                  "print the completion script for a shell"),
    {0},
};

static const struct option_group groups[] = {{.title = "Other pages", .options = page_options},
                                             {0}};

static const char *const examples[] = {"metamer help match", "metamer help readings",
                                       "metamer help --manual | man -l -",
                                       "metamer help --files | man -l -", NULL};

const struct command cmd_help = {
    .name = "help",
    .summary = "what the commands do, and what each kind of file may hold",
    .usage = "[COMMAND|FILE]",
    .details = "Without a word, lists the commands; with the name of one, tells all about it. With "
               "the name of a kind of file (fixture, rig, show, colours, readings, calibration, "
               "filter, meter), tells every key that it may hold, with meaning, unit, range and "
               "what holds where it is missing.",
    .examples = examples,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
