/* SPDX-License-Identifier: MIT */
/* Help: the pages made from the commands' tables, for terminals. */
#include "cli/out/help.h"

#include "cli/out/text.h"

#include <string.h>

#define WIDTH 80

/* Prints words wrapped at WIDTH; every line begins with indent blanks, the first one having column
 * of them already used. */
static void print_wrapped(FILE *out, const char *text, size_t indent, size_t column)
{
    bool line_empty = column <= indent;

    while (*text != '\0') {
        size_t length = text_unbroken(text);
        size_t letters = 0;
        for (size_t i = 0; i < length; i++)
            letters += ((unsigned char)text[i] & 0xc0) != 0x80; /* UTF-8 letters, not bytes */
        if (!line_empty && column + 1 + letters > WIDTH) {
            (void)fputc('\n', out);
            column = 0;
            line_empty = true;
        }
        if (length > 0) {
            if (line_empty && column < indent)
                column += (size_t)fprintf(out, "%*s", (int)(indent - column), "");
            else if (!line_empty)
                column += (size_t)fprintf(out, " ");
            (void)fprintf(out, "%.*s", (int)length, text);
            column += letters;
            line_empty = false;
        }
        text += length;
        if (text[0] == '\n' && text[1] == '\n') {
            (void)fprintf(out, "\n\n");
            column = 0;
            line_empty = true;
        }
        text += strspn(text, " \n");
    }
    (void)fputc('\n', out);
}

static void print_range(char *help, size_t room, const struct option_spec *option)
{
    size_t used = (size_t)snprintf(help, room, "%s", option->help);

    if (used >= room)
        return;
    if (option->type == VALUE_NUMBER || option->type == VALUE_INTEGER)
        (void)snprintf(help + used, room - used, " (%.10g to %.10g)", option->least, option->most);
    if (option->type != VALUE_CHOICE)
        return;
    for (size_t i = 0; choice_name(&option->choices, i) != NULL && used < room; i++)
        used += (size_t)snprintf(help + used, room - used, "%s%s", i == 0 ? ": " : ", ",
                                 choice_name(&option->choices, i));
}

static void print_option(const struct option_spec *option, FILE *out)
{
    char help[1024];
    size_t column =
        (size_t)fprintf(out, "  --%s%s%s", option->name, option->metavar != NULL ? " " : "",
                        option->metavar != NULL ? option->metavar : "");

    print_range(help, sizeof help, option);
    if (column > 26) {
        (void)fputc('\n', out);
        column = 0;
    }
    column += (size_t)fprintf(out, "%*s", (int)(28 - column), "");
    print_wrapped(out, help, 28, column);
}

void help_command(const struct command *command, FILE *out)
{
    (void)fprintf(out, "metamer %s: %s\n\nUsage: metamer %s%s%s [options]\n\n", command->name,
                  command->summary, command->name, command->usage[0] != '\0' ? " " : "",
                  command->usage);
    print_wrapped(out, command->details, 0, 0);
    for (const struct option_group *group = command->groups; group->title != NULL; group++) {
        if (group->title[0] != '\0') /* "" goes on with the heading before */
            (void)fprintf(out, "\n%s\n", group->title);
        for (const struct option_spec *option = group->options; option->name != NULL; option++)
            print_option(option, out);
    }
    if (command->examples != NULL && command->examples[0] != NULL) {
        (void)fprintf(out, "\nExamples\n");
        for (const char *const *example = command->examples; *example != NULL; example++)
            (void)fprintf(out, "  %s\n", *example);
    }
}

void help_overview(FILE *out)
{
    (void)fprintf(out, "metamer: match, mix and calibrate the colours of LED fixtures\n\n"
                       "Usage: metamer COMMAND [words] [options]\n\nCommands\n");
    for (const struct command *const *command = commands; *command != NULL; command++)
        (void)fprintf(out, "  %-12s %s\n", (*command)->name, (*command)->summary);
    (void)fprintf(out,
                  "\n\"metamer help COMMAND\" tells all about one command; a good first one is\n"
                  "  metamer match examples/hall.json --cct 3200\n"
                  "\"metamer help readings\" tells what such a file may hold, and so for fixture,\n"
                  "rig, show, colours, calibration, filter and meter.\n\n"
                  "Exit status: 0 done, 1 a stated tolerance was missed, 2 bad input or usage,\n"
                  "3 the system failed (disk, network, memory).\n");
}
