/* SPDX-License-Identifier: MIT */
/* Commands: the table of them, and what finds and runs one. */
#include "cli/args/args.h"
#include "cli/command.h"
#include "cli/out/help.h"
#include "cli/out/text.h"

#include "base/error.h"
#include "base/name.h"

#include <poll.h>
#include <string.h>
#include <unistd.h>

extern const struct command cmd_choices, cmd_colour, cmd_cues, cmd_fade, cmd_filter, cmd_fixture,
    cmd_frames, cmd_help, cmd_layout, cmd_load, cmd_match, cmd_play, cmd_report, cmd_rig, cmd_sheet,
    cmd_spectrum, cmd_trim, cmd_watch;

/* In the order of a day's work. */
const struct command *const commands[] = {
    &cmd_rig,      &cmd_match,  &cmd_choices, &cmd_trim,  &cmd_fixture, &cmd_colour, &cmd_filter,
    &cmd_spectrum, &cmd_layout, &cmd_load,    &cmd_sheet, &cmd_fade,    &cmd_report, &cmd_frames,
    &cmd_cues,     &cmd_play,   &cmd_watch,   &cmd_help,  NULL,
};

const struct option_spec *command_option(const struct command *command, size_t index)
{
    for (const struct option_group *group = command->groups; group->title != NULL; group++) {
        for (const struct option_spec *option = group->options; option->name != NULL; option++) {
            if (index-- == 0)
                return option;
        }
    }
    return NULL;
}

static const char *command_name_at(const void *list, size_t index)
{
    const struct command *const *table = list;

    return table[index] != NULL ? table[index]->name : NULL;
}

const struct command *command_find(const char *name)
{
    for (size_t i = 0; commands[i] != NULL; i++) {
        if (strcmp(commands[i]->name, name) == 0)
            return commands[i];
    }
    return NULL;
}

static int fail_unknown(const char *name, FILE *err)
{
    const char *nearest = mtmi_name_nearest(name, commands, command_name_at);

    if (nearest != NULL)
        (void)fprintf(err, "metamer: there is no command \"%.60s\"; the nearest is \"%s\"\n", name,
                      nearest);
    else
        (void)fprintf(err, "metamer: there is no command \"%.60s\"; \"metamer help\" lists them\n",
                      name);
    return EXIT_USAGE;
}

/* Whoever read the output has had enough of it ("metamer ... | head"). */
static bool reader_left(FILE *out)
{
    struct pollfd pipe = {.fd = fileno(out), .events = POLLOUT};

    return pipe.fd >= 0 && poll(&pipe, 1, 0) > 0 && (pipe.revents & POLLERR) != 0;
}

/* A full disk must not pass for success. */
static int check_written(int status, FILE *out, FILE *err)
{
    if ((fflush(out) == 0 && !ferror(out)) || reader_left(out))
        return status;
    (void)fprintf(err, "metamer: the output could not be written whole\n");
    return EXIT_SYSTEM;
}

/* The exit status that goes with a failure. */
static int failed_status(mtm_result result)
{
    return result == MTM_IO || result == MTM_MEMORY ? EXIT_SYSTEM : EXIT_USAGE;
}

/* One line for programs; on a terminal as many as it takes. */
static void tell_failure(const struct command *command, const char *sentence, FILE *err)
{
    char name[80];

    (void)snprintf(name, sizeof name, "metamer %s:", command->name);
    if (fileno(err) < 0 || isatty(fileno(err)) != 1) {
        (void)fprintf(err, "%s %s\n", name, sentence);
        return;
    }
    int at = text_put_wrapped(name, 0, 0, text_line_columns(err), err);
    (void)text_put_wrapped(sentence, at, 0, text_line_columns(err), err);
    (void)fputc('\n', err);
}

static int run(const struct command *command, int argc, char **argv, FILE *out, FILE *err)
{
    struct args args;
    struct outlet to = {.out = out, .err = err, .status = EXIT_DONE};
    mtm_error error = {""};
    mtm_result result = args_parse(command, argc, argv, &args, &error);

    if (result == MTM_OK && args.help_wanted)
        help_command(command, out);
    else if (result == MTM_OK)
        result = command->run(&args, &to, &error);
    if (result != MTM_OK) {
        tell_failure(command, error.text, err);
        to.status = failed_status(result);
    }
    args_free(&args);
    return check_written(to.status, out, err);
}

int command_main(int argc, char **argv, FILE *out, FILE *err)
{
    if (argc < 2) {
        help_overview(err);
        return EXIT_USAGE;
    }
    if (strcmp(argv[1], "--version") == 0) {
        (void)fprintf(out, "metamer %s\n", mtm_version());
        return check_written(EXIT_DONE, out, err);
    }
    const char *name = argv[1];
    if (strcmp(name, "--help") == 0 || strcmp(name, "-h") == 0)
        name = "help";
    const struct command *command = command_find(name);
    if (command == NULL)
        return fail_unknown(name, err);
    return run(command, argc - 2, argv + 2, out, err);
}
