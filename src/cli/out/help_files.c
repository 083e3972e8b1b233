/* SPDX-License-Identifier: MIT */
/* Help for files: the manual page and the completion script, made from the same tables. */
#include "cli/out/help.h"

#include <string.h>

/* Text for man(7): backslashes and hyphens escaped, no line that begins with a dot or quote. */
static void put_roff(const char *text, FILE *out)
{
    bool line_start = true;

    for (; *text != '\0'; text++) {
        if (line_start && (*text == '.' || *text == '\''))
            (void)fputs("\\&", out);
        line_start = *text == '\n';
        if (*text == '\\')
            (void)fputs("\\e", out);
        else if (*text == '-')
            (void)fputs("\\-", out);
        else if (text[0] == '\n' && text[1] == '\n') {
            (void)fputs("\n.PP\n", out);
            text++;
            line_start = true;
        } else
            (void)fputc(*text, out);
    }
}

static void manual_option(const struct option_spec *option, FILE *out)
{
    (void)fprintf(out, ".TP\n\\fB\\-\\-");
    put_roff(option->name, out);
    (void)fprintf(out, "\\fR");
    if (option->metavar != NULL) {
        (void)fprintf(out, " \\fI");
        put_roff(option->metavar, out);
        (void)fprintf(out, "\\fR");
    }
    (void)fputc('\n', out);
    put_roff(option->help, out);
    if (option->kind == VALUE_NUMBER || option->kind == VALUE_INTEGER)
        (void)fprintf(out, " (%.10g to %.10g)", option->least, option->most);
    for (size_t i = 0; option->kind == VALUE_CHOICE && choice_name(&option->choices, i) != NULL;
         i++)
        (void)fprintf(out, "%s%s", i == 0 ? ": " : ", ", choice_name(&option->choices, i));
    (void)fprintf(out, ".\n");
}

static void manual_command(const struct command *command, FILE *out)
{
    (void)fprintf(out, ".SS metamer %s ", command->name);
    put_roff(command->usage, out);
    (void)fprintf(out, "\n");
    put_roff(command->details, out);
    (void)fputc('\n', out);
    for (const struct option_group *group = command->groups; group->title != NULL; group++) {
        for (const struct option_spec *option = group->options; option->name != NULL; option++)
            manual_option(option, out);
    }
    if (command->examples == NULL || command->examples[0] == NULL)
        return;
    (void)fprintf(out, ".PP\n.nf\n");
    for (const char *const *example = command->examples; *example != NULL; example++) {
        put_roff(*example, out);
        (void)fputc('\n', out);
    }
    (void)fprintf(out, ".fi\n");
}

void help_manual(FILE *out)
{
    (void)fprintf(out,
                  ".TH METAMER 1 \"\" \"metamer %s\" \"User commands\"\n"
                  ".SH NAME\nmetamer \\- match, mix and calibrate the colours of LED fixtures\n"
                  ".SH SYNOPSIS\n.B metamer\n\\fICOMMAND\\fR [\\fIwords\\fR] [\\fIoptions\\fR]\n"
                  ".SH DESCRIPTION\n",
                  mtm_version());
    put_roff("metamer turns a wanted colour into exact emitter levels and slot values for rigs of "
             "mixed LED fixtures, and says how close each unit comes.",
             out);
    (void)fprintf(out, "\n.SH COMMANDS\n");
    for (const struct command *const *command = commands; *command != NULL; command++)
        manual_command(*command, out);
    (void)fprintf(
        out,
        ".SH EXIT STATUS\n"
        ".TP\n0\ndone\n.TP\n1\na stated tolerance was missed\n"
        ".TP\n2\nbad input or usage\n"
        ".TP\n3\nthe system failed (disk, network, memory)\n"
        ".SH ENVIRONMENT\n.TP\n\\fBMETAMER_PROFILES\\fR\n"
        "folder of fixture and filter files, in place of the installed one (or, where nothing is\n"
        "installed, of the folder profiles where the program runs)\n"
        ".SH CAUTIONS\n");
    put_roff("Ratings on the equipment, local codes and licensed practice decide about power and "
             "rigging. Bright, ultraviolet and flashing light can hurt people: look at the README.",
             out);
    (void)fputc('\n', out);
}

static void completion_options(const struct command *command, FILE *out)
{
    (void)fprintf(out, "    %s) words=\"--help", command->name);
    for (const struct option_group *group = command->groups; group->title != NULL; group++) {
        for (const struct option_spec *option = group->options; option->name != NULL; option++)
            (void)fprintf(out, " --%s", option->name);
    }
    (void)fprintf(out, "\" ;;\n");
}

static void completion_choices(FILE *out)
{
    for (const struct command *const *command = commands; *command != NULL; command++) {
        for (const struct option_group *group = (*command)->groups; group->title != NULL; group++) {
            for (const struct option_spec *o = group->options; o->name != NULL; o++) {
                if (o->kind != VALUE_CHOICE)
                    continue;
                (void)fprintf(out, "    %s/--%s) words=\"", (*command)->name, o->name);
                for (size_t i = 0; choice_name(&o->choices, i) != NULL; i++)
                    (void)fprintf(out, "%s%s", i > 0 ? " " : "", choice_name(&o->choices, i));
                (void)fprintf(out, "\" ;;\n");
            }
        }
    }
}

void help_completion(FILE *out)
{
    (void)fprintf(out,
                  "# bash completion for metamer; made from the commands' own tables\n"
                  "_metamer() {\n"
                  "  local word=\"${COMP_WORDS[COMP_CWORD]}\" words=\"\"\n"
                  "  local before=\"${COMP_WORDS[COMP_CWORD-1]}\" command=\"${COMP_WORDS[1]}\"\n"
                  "  COMPREPLY=()\n"
                  "  if [ \"$COMP_CWORD\" -eq 1 ] || [ \"$before\" = help ]; then\n"
                  "    words=\"help");
    for (const struct command *const *command = commands; *command != NULL; command++)
        (void)fprintf(out, " %s", (*command)->name);
    (void)fprintf(out,
                  "\"\n    COMPREPLY=($(compgen -W \"$words\" -- \"$word\"))\n    return\n  fi\n"
                  "  case \"$command/$before\" in\n");
    completion_choices(out);
    (void)fprintf(out, "  esac\n  if [ -z \"$words\" ] && [ \"${word:0:1}\" = - ]; then\n"
                       "    case \"$command\" in\n");
    for (const struct command *const *command = commands; *command != NULL; command++)
        completion_options(*command, out);
    (void)fprintf(out, "    esac\n  fi\n"
                       "  if [ -n \"$words\" ]; then\n"
                       "    COMPREPLY=($(compgen -W \"$words\" -- \"$word\"))\n  else\n"
                       "    COMPREPLY=($(compgen -f -- \"$word\"))\n  fi\n}\n"
                       "complete -o filenames -F _metamer metamer\n");
}
