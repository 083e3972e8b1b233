/* SPDX-License-Identifier: MIT */
/* Help for man: the manual page of the program, made from the option tables. */
#include "cli/out/help.h"
#include "cli/out/roff.h"

#include "base/installed.h"

static void manual_option(const struct option_spec *option, FILE *out)
{
    (void)fprintf(out, ".TP\n\\fB\\-\\-");
    roff_text(option->name, out);
    (void)fprintf(out, "\\fR");
    if (option->metavar != NULL) {
        (void)fprintf(out, " \\fI");
        roff_text(option->metavar, out);
        (void)fprintf(out, "\\fR");
    }
    (void)fputc('\n', out);
    roff_text(option->help, out);
    if (option->type == VALUE_NUMBER || option->type == VALUE_INTEGER)
        (void)fprintf(out, " (%.10g to %.10g)", option->least, option->most);
    for (size_t i = 0; option->type == VALUE_CHOICE && choice_name(&option->choices, i) != NULL;
         i++)
        (void)fprintf(out, "%s%s", i == 0 ? ": " : ", ", choice_name(&option->choices, i));
    (void)fprintf(out, ".\n");
}

static void manual_command(const struct command *command, FILE *out)
{
    (void)fprintf(out, ".SS metamer %s ", command->name);
    roff_text(command->usage, out);
    (void)fprintf(out, "\n");
    roff_text(command->details, out);
    (void)fputc('\n', out);
    const struct option_spec *option = NULL;
    for (size_t i = 0; (option = command_option(command, i)) != NULL; i++)
        manual_option(option, out);
    if (command->examples == NULL || command->examples[0] == NULL)
        return;
    (void)fprintf(out, ".PP\n.nf\n");
    for (const char *const *example = command->examples; *example != NULL; example++) {
        roff_text(*example, out);
        (void)fputc('\n', out);
    }
    (void)fprintf(out, ".fi\n");
}

void help_manual(FILE *out)
{
    roff_title("METAMER", 1, "User commands", out);
    (void)fputs(".SH NAME\nmetamer \\- match, mix and calibrate the colours of LED fixtures\n"
                ".SH SYNOPSIS\n.B metamer\n\\fICOMMAND\\fR [\\fIwords\\fR] [\\fIoptions\\fR]\n"
                ".SH DESCRIPTION\n",
                out);
    roff_text("metamer turns a wanted colour into exact emitter levels and slot values for rigs of "
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
        ".SH FILES\n"
        ".TP\n\\fI%s\\fR\n"
        "the installed fixtures and spectra; rigs that name a file find it there if it does not\n"
        "stand beside them\n"
        ".TP\n\\fI%s/filters\\fR\nthe installed library of colour filters\n"
        ".PP\nFixtures, rigs, shows, readings, calibrations and filters are JSON; each key of "
        "them\n"
        "is told in \\fBmetamer\\-files\\fR(5).\n"
        ".SH CAUTIONS\n",
        METAMER_PROFILE_FOLDER, METAMER_PROFILE_FOLDER);
    roff_text(
        "Ratings on the equipment, local codes and licensed practice decide about power and "
        "rigging. Bright, ultraviolet and flashing light can hurt people: look at the README.",
        out);
    (void)fputs("\n.SH SEE ALSO\n\\fBmetamer\\-files\\fR(5)\n", out);
}
