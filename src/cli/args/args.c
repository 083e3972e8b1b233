/* SPDX-License-Identifier: MIT */
/* Args: a command line checked against a command's option tables. */
#include "cli/args/args.h"

#include "base/error.h"
#include "base/file.h"
#include "base/name.h"
#include "base/number.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct option_spec help_option = {.name = "help", .help = "show this help"};

static const struct option_spec *option_at(const struct command *command, size_t index)
{
    const struct option_spec *option = command_option(command, index);

    /* behind the command's own */
    return option == NULL && (index == 0 || command_option(command, index - 1) != NULL)
               ? &help_option
               : option;
}

static const char *option_name_at(const void *command, size_t index)
{
    const struct option_spec *option = option_at(command, index);

    return option != NULL ? option->name : NULL;
}

static const struct option_spec *find_option(const struct command *command, const char *name,
                                             size_t length)
{
    for (size_t i = 0;; i++) {
        const struct option_spec *option = option_at(command, i);
        if (option == NULL)
            return NULL;
        if (strlen(option->name) == length && strncmp(option->name, name, length) == 0)
            return option;
    }
}

static mtm_result fail_unknown(const struct command *command, const char *name, size_t length,
                               mtm_error *error)
{
    char cut[64];

    (void)snprintf(cut, sizeof cut, "%.*s", (int)(length < 60 ? length : 60), name);
    const char *nearest = mtmi_name_nearest(cut, command, option_name_at);
    if (nearest == NULL)
        return mtmi_fail(error, MTM_PARSE, "unknown option --%s; \"metamer help %s\" lists them",
                         cut, command->name);
    return mtmi_fail(error, MTM_PARSE, "unknown option --%s; the nearest known one is --%s", cut,
                     nearest);
}

static mtm_result check_number(struct given *given, mtm_error *error)
{
    const struct option_spec *option = given->option;
    bool whole = option->type == VALUE_INTEGER;

    if (mtmi_number_whole(given->text, &given->number) && given->number >= option->least &&
        given->number <= option->most && (!whole || given->number == floor(given->number)))
        return MTM_OK;
    return mtmi_fail(error, MTM_PARSE, "--%s: found \"%.60s\", allowed is a %s from %.10g to %.10g",
                     option->name, given->text, whole ? "whole number" : "number", option->least,
                     option->most);
}

const void *choice_row(const struct choices *choices, size_t index)
{
    if (choices->row_at != NULL)
        return choices->row_at(index);
    return (const char *)choices->rows + index * choices->size;
}

const char *choice_name(const struct choices *choices, size_t index)
{
    const char *row = choice_row(choices, index);
    const char *name = NULL;

    if (row != NULL)
        memcpy(&name, row + choices->name_at, sizeof name);
    return name;
}

static const char *choice_name_at(const void *choices, size_t index)
{
    return choice_name(choices, index);
}

static mtm_result check_choice(struct given *given, mtm_error *error)
{
    const struct choices *choices = &given->option->choices;
    char list[200];
    size_t found = mtmi_name_find(given->text, choices, choice_name_at);

    if (found == SIZE_MAX)
        return mtmi_fail(error, MTM_PARSE, "--%s: found \"%.60s\", allowed are: %s",
                         given->option->name, given->text,
                         mtmi_name_all(choices, choice_name_at, list, sizeof list));
    given->row = choice_row(choices, found);
    return MTM_OK;
}

static mtm_result check_value(struct given *given, mtm_error *error)
{
    if (given->option->type == VALUE_NONE)
        return MTM_OK;
    if (given->text[0] == '\0')
        return mtmi_fail(error, MTM_PARSE, "--%s: the value is empty; %s is wanted",
                         given->option->name, given->option->metavar);
    if (given->option->type == VALUE_NUMBER || given->option->type == VALUE_INTEGER)
        return check_number(given, error);
    if (given->option->type == VALUE_CHOICE)
        return check_choice(given, error);
    return MTM_OK;
}

/* Takes an option whose value is equals, or else stands behind argv[*at]; moves *at past it. */
static mtm_result take_value(struct args *args, const struct option_spec *option,
                             const char *equals, int argc, char **argv, int *at, mtm_error *error)
{
    if (!option->repeats && args_has(args, option->name))
        return mtmi_fail(error, MTM_PARSE, "--%s is given twice", option->name);
    if (option->type == VALUE_NONE && equals != NULL)
        return mtmi_fail(error, MTM_PARSE, "--%s takes no value", option->name);
    struct given given = {.option = option, .text = equals != NULL ? equals : ""};
    if (option->type != VALUE_NONE && equals == NULL) {
        if (*at + 1 >= argc)
            return mtmi_fail(error, MTM_PARSE, "--%s wants a value: %s", option->name,
                             option->metavar);
        given.text = argv[++*at];
    }
    mtm_result result = check_value(&given, error);
    if (result == MTM_OK)
        args->given[args->given_count++] = given;
    return result;
}

/* Takes the option at argv[*at]; moves *at past its value. */
static mtm_result take_option(struct args *args, int argc, char **argv, int *at, mtm_error *error)
{
    const char *name = argv[*at] + 2;
    const char *equals = strchr(name, '=');
    size_t length = equals != NULL ? (size_t)(equals - name) : strlen(name);
    const struct option_spec *option = find_option(args->command, name, length);

    if (option == NULL)
        return fail_unknown(args->command, name, length, error);
    if (option == &help_option) {
        args->help_wanted = true;
        return MTM_OK;
    }
    return take_value(args, option, equals != NULL ? equals + 1 : NULL, argc, argv, at, error);
}

/* The option that has a letter too, as in -o; NULL for any other word. */
static const struct option_spec *find_letter(const struct command *command, const char *word)
{
    const struct option_spec *option = NULL;

    if (word[0] != '-' || word[1] == '\0' || word[2] != '\0')
        return NULL;
    for (size_t i = 0; (option = command_option(command, i)) != NULL; i++) {
        if (option->letter == word[1])
            return option;
    }
    return NULL;
}

/* Does the command line name this file once more, to be read? By the file, not by its spelling. */
static bool is_named_beside(const struct args *args, const char *path)
{
    for (size_t i = 0; i < args->word_count; i++) {
        if (mtmi_file_same(path, args->words[i]))
            return true;
    }
    for (size_t i = 0; i < args->given_count; i++) {
        const struct given *one = &args->given[i];
        if (one->option->type == VALUE_TEXT && !one->option->goes_on &&
            mtmi_file_same(path, one->text))
            return true;
    }
    return false;
}

/* Files that are written are none of those that are read. */
static mtm_result check_written(const struct args *args, mtm_error *error)
{
    for (size_t i = 0; i < args->given_count; i++) {
        const struct option_spec *option = args->given[i].option;
        const char *path = args->given[i].text;
        if (option == NULL || option->type != VALUE_WRITTEN || !is_named_beside(args, path))
            continue;
        return mtmi_fail(error, MTM_PARSE,
                         "--%s: %s is read by this command and is not written over; name another "
                         "file",
                         option->name, path);
    }
    return MTM_OK;
}

static mtm_result check_words(const struct args *args, mtm_error *error)
{
    const struct command *command = args->command;
    char most[48] = "";

    if (args->word_count < command->words_least)
        return mtmi_fail(error, MTM_PARSE, "%s; wanted is: metamer %s %s (see \"metamer help %s\")",
                         args->word_count == 0 ? "something is missing" : "more is wanted",
                         command->name, command->usage, command->name);
    if (strstr(command->usage, "...") != NULL)
        (void)snprintf(most, sizeof most, ", at most %zu are taken", (size_t)command->words_most);
    if (args->word_count > command->words_most)
        return mtmi_fail(error, MTM_PARSE,
                         "\"%.60s\" is one word too many%s; wanted is: metamer %s %s",
                         args->words[command->words_most], most, command->name, command->usage);
    return MTM_OK;
}

/* Whether "cct" or "goal=rendering" (of this length) was given. */
static bool is_given(const struct args *args, const char *wanted, size_t length)
{
    const char *equals = memchr(wanted, '=', length);
    size_t name = equals != NULL ? (size_t)(equals - wanted) : length;

    for (size_t i = 0; i < args->given_count; i++) {
        const struct given *one = &args->given[i];
        if (strlen(one->option->name) == name && strncmp(one->option->name, wanted, name) == 0 &&
            (equals == NULL || (strlen(one->text) == length - name - 1 &&
                                strncmp(one->text, equals + 1, length - name - 1) == 0)))
            return true;
    }
    return false;
}

/* The first of a list that was given, as it is typed; false where none was, and text is all. */
static bool find_any(const struct args *args, const char *list, char *text, size_t room)
{
    size_t used = 0;

    for (const char *at = list; *at != '\0'; at += strspn(at, " ")) {
        size_t length = strcspn(at, " ");
        bool given = is_given(args, at, length);
        used = given ? 0 : used;
        int more =
            snprintf(text + used, room - used, "%s--%.*s", used > 0 ? " or " : "", (int)length, at);
        for (char *c = text + used; *c != '\0'; c++)
            *c = *c == '=' ? ' ' : *c;
        if (given)
            return true;
        used += more > 0 && (size_t)more < room - used ? (size_t)more : 0;
        at += length;
    }
    return false;
}

static mtm_result check_beside(const struct args *args, const char *name, const char *with,
                               const char *against, mtm_error *error)
{
    char text[120];

    if (with != NULL && !find_any(args, with, text, sizeof text))
        return mtmi_fail(error, MTM_PARSE, "--%s goes with %s, and would do nothing without", name,
                         text);
    if (against != NULL && find_any(args, against, text, sizeof text))
        return mtmi_fail(error, MTM_PARSE, "--%s and %s exclude each other", name, text);
    return MTM_OK;
}

/* Nothing is given that would do nothing beside the rest. */
static mtm_result check_options(const struct args *args, mtm_error *error)
{
    mtm_result result = MTM_OK;

    for (const struct option_group *group = args->command->groups; group->title != NULL; group++) {
        for (const struct option_spec *option = group->options; option->name != NULL; option++) {
            if (!args_has(args, option->name))
                continue;
            result = check_beside(args, option->name, group->with, group->against, error);
            if (result == MTM_OK)
                result = check_beside(args, option->name, option->with, option->against, error);
            if (result != MTM_OK)
                return result;
        }
    }
    return MTM_OK;
}

mtm_result args_parse(const struct command *command, int argc, char **argv, struct args *args,
                      mtm_error *error)
{
    size_t room = (size_t)(argc > 0 ? argc : 0) + 1;
    bool options_ended = false;

    *args = (struct args){.command = command};
    args->given = calloc(room, sizeof *args->given);
    args->words = calloc(room, sizeof *args->words);
    if (args->given == NULL || args->words == NULL)
        return mtmi_fail_memory(error);
    for (int at = 0; at < argc; at++) {
        if (!options_ended && strcmp(argv[at], "--") == 0) {
            options_ended = true;
        } else if (!options_ended && strcmp(argv[at], "-h") == 0) {
            args->help_wanted = true;
        } else if (!options_ended && strncmp(argv[at], "--", 2) == 0) {
            mtm_result result = take_option(args, argc, argv, &at, error);
            if (result != MTM_OK)
                return result;
        } else if (!options_ended && find_letter(command, argv[at]) != NULL) {
            mtm_result result =
                take_value(args, find_letter(command, argv[at]), NULL, argc, argv, &at, error);
            if (result != MTM_OK)
                return result;
        } else if (!options_ended && argv[at][0] == '-' && argv[at][1] != '\0') {
            return mtmi_fail(error, MTM_PARSE,
                             "found \"%.60s\"; options begin with two dashes, as in --%s", argv[at],
                             option_name_at(command, 0));
        } else {
            args->words[args->word_count++] = argv[at];
        }
    }
    if (args->help_wanted)
        return MTM_OK;
    mtm_result result = check_words(args, error);
    if (result == MTM_OK)
        result = check_options(args, error);
    return result == MTM_OK ? check_written(args, error) : result;
}

void args_free(struct args *args)
{
    free(args->given);
    free((void *)args->words);
    *args = (struct args){0};
}

static const struct given *find_given(const struct args *args, const char *name, size_t index)
{
    for (size_t i = 0; i < args->given_count; i++) {
        if (strcmp(args->given[i].option->name, name) == 0 && index-- == 0)
            return &args->given[i];
    }
    return NULL;
}

bool args_has(const struct args *args, const char *name)
{
    return find_given(args, name, 0) != NULL;
}

const char *args_text(const struct args *args, const char *name, const char *fallback)
{
    const struct given *given = find_given(args, name, 0);

    return given != NULL ? given->text : fallback;
}

double args_number(const struct args *args, const char *name, double fallback)
{
    const struct given *given = find_given(args, name, 0);

    return given != NULL ? given->number : fallback;
}

const void *args_choice(const struct args *args, const char *name)
{
    const struct given *given = find_given(args, name, 0);

    if (given != NULL)
        return given->row;
    const struct option_spec *option = find_option(args->command, name, strlen(name));
    return option != NULL ? choice_row(&option->choices, 0) : NULL;
}

const char *args_nth(const struct args *args, const char *name, size_t index)
{
    const struct given *given = find_given(args, name, index);

    return given != NULL ? given->text : NULL;
}

mtm_result args_numbers(const struct args *args, const char *name, double *number, size_t count,
                        mtm_error *error)
{
    const char *text = args_text(args, name, "");
    double value[16];

    for (size_t i = 0, at = 0; i < count; i++) {
        size_t used = mtmi_number_read(text + at, &value[i]);
        char wanted = i + 1 < count ? ',' : '\0';
        if (used == 0 || text[at + used] != wanted)
            return mtmi_fail(error, MTM_PARSE,
                             "--%s: found \"%.60s\", wanted are %zu numbers split by commas, "
                             "without blanks, with decimal points",
                             name, text, count);
        at += used + 1;
    }
    for (size_t i = 0; i < count; i++)
        number[i] = value[i];
    return MTM_OK;
}
