/* SPDX-License-Identifier: MIT */
/* Help for man: the manual page of the program, made from the option tables. */
#include "cli/out/help.h"
#include "cli/out/roff.h"

#include "base/installed.h"

#include <string.h>

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

static bool draws(const struct command *command)
{
    const struct option_spec *option = NULL;

    for (size_t i = 0; (option = command_option(command, i)) != NULL; i++) {
        if (strcmp(option->name, "picture") == 0)
            return true;
    }
    return false;
}

/* What is the same for all of them. */
static void manual_pictures(FILE *out)
{
    bool first = true;

    (void)fputs(".SH PICTURES\n", out);
    roff_text("With --picture these draw their answer too: ", out);
    for (const struct command *const *command = commands; *command != NULL; command++) {
        if (!draws(*command))
            continue;
        (void)fprintf(out, "%s\\fB%s\\fR", first ? "" : ", ", (*command)->name);
        first = false;
    }
    roff_text(
        ". The ending of the file says the form: .svg, .png, or .pdf, which is for print, black on "
        "white, with words that can be selected. The title is what was asked, the words below what "
        "the answer means; at the foot stand observer, standards and version. The same input gives "
        "the same file, byte by byte on one machine. In a chromaticity diagram an open ring is the "
        "target, a filled mark what a unit gives, a thin line between the two a miss; kinds differ "
        "by shape and dash before they differ in hue. A swatch is a light beside a reference "
        "white; where its corner is cut, a screen cannot show it, and the same hue stands for it, "
        "less saturated. Where not all units have room, those that give the same share a mark, "
        "then kinds stand for units; what is left out is said. A name of any script is set as it "
        "is written.",
        out);
    (void)fputc('\n', out);
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
    manual_pictures(out);
    (void)fprintf(
        out,
        ".SH EXIT STATUS\n"
        ".TP\n0\ndone\n.TP\n1\na stated tolerance was missed\n"
        ".TP\n2\nbad input or usage\n"
        ".TP\n3\nthe system failed (disk, network, memory)\n"
        ".SH ENVIRONMENT\n.TP\n\\fBMETAMER_PROFILES\\fR\n"
        "folder of fixture and filter files, in place of the installed one (or, where nothing is\n"
        "installed, of the folder profiles where the program runs)\n"
        ".TP\n\\fBNO_COLOR\\fR\nset and not empty: no swatches in tables\n"
        ".TP\n\\fBCOLORTERM\\fR\ntruecolor or 24bit: the terminal shows true colour, so that\n"
        "\\fB\\-\\-swatches screen\\fR draws swatches\n"
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
