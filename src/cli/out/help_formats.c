/* SPDX-License-Identifier: MIT */
/* Help for man: the manual page of the files, made from the tables of file formats. */
#include "cli/out/file_formats.h"
#include "cli/out/help.h"
#include "cli/out/roff.h"

#include <string.h>

static void put_key(const struct file_key *key, FILE *out)
{
    char example[512];

    (void)fputs(".TP\n\\fB", out);
    roff_text(key->name, out);
    (void)fputs("\\fR  ", out);
    roff_text(key->value, out);
    if (key->missing == NULL)
        (void)fputs(" (needed)\n", out);
    else {
        (void)fputs(" (if missing: ", out);
        roff_text(key->missing, out);
        (void)fputs(")\n", out);
    }
    roff_text(key->meaning, out);
    for (size_t i = 0; key->choice_at != NULL && key->choice_at(i) != NULL; i++) {
        (void)fputs(i == 0 ? ": " : ", ", out);
        roff_text(key->choice_at(i), out);
    }
    (void)fputs("\n.br\n", out);
    file_example(key, example, sizeof example);
    roff_text(example, out);
    (void)fputc('\n', out);
}

static void put_object(const struct file_object *object, FILE *out)
{
    (void)fprintf(out, ".SS %s\n", object->title);
    if (object->about[0] != '\0') {
        roff_text(object->about, out);
        (void)fputc('\n', out);
    }
    for (const struct file_key *key = object->keys; key->name != NULL; key++)
        put_key(key, out);
}

/* "lux, lx": a list with bars between. */
static void put_list(const char *list, FILE *out)
{
    for (; *list != '\0'; list++) {
        if (*list == '|')
            (void)fputs(", ", out);
        else
            (void)fputc(*list, out);
    }
}

static void put_names(const struct file_names *names, FILE *out)
{
    struct file_name row;

    (void)fprintf(out, ".SS %s\n", names->title);
    roff_text(names->about, out);
    for (size_t i = 0; names->row_at(i, &row); i++) {
        (void)fputs("\n.TP\n\\fB", out);
        roff_text(row.name, out);
        (void)fprintf(out, "\\fR  %s\n", row.value);
        roff_text(row.meaning, out);
        if (row.more != NULL) {
            (void)fputs("; headings: ", out);
            put_list(row.more, out);
        }
    }
    (void)fputc('\n', out);
}

static void put_topic(const char *topic, FILE *out)
{
    for (const struct file_names *names = file_names; names->topic != NULL; names++) {
        if (strcmp(names->topic, topic) == 0)
            put_names(names, out);
    }
}

static void put_format(const struct file_format *format, FILE *out)
{
    (void)fprintf(out, ".SH FILES OF KIND %s\n", format->name);
    roff_text(format->about, out);
    (void)fputc('\n', out);
    if (format->example != NULL)
        roff_verbatim(format->example, out);
    for (const struct file_object *object = format->objects; object->title != NULL; object++)
        put_object(object, out);
    for (size_t i = 0; file_topic_at(i) != NULL; i++) {
        if (file_format_is(format, file_topic_at(i)))
            put_topic(file_topic_at(i), out);
    }
}

static const char about_all[] =
    "Fixtures, rigs, shows, readings, calibrations and filters are JSON, each with a key "
    "\"metamer\" that names its kind. JSON has no comments; \"note\" holds free text. A key that "
    "is "
    "not known is an error that names the nearest known one. A file has at most 2000000 values, a "
    "text at most 400 bytes.\n\n"
    "A file that names another is read relative to its own folder, then among the installed "
    "profiles, or in the folder that METAMER_PROFILES names.";

const char file_about_tables[] =
    "Readings can be a table too, in UTF-8, or UTF-16 with its mark; lines end in LF, CR LF or CR. "
    "Commas, semicolons or tabs stand between the columns (tabs if the heading has one, else "
    "semicolons if it has one); quotes as in RFC 4180; a decimal comma where the separator leaves "
    "it "
    "free. The first line that is no comment is the heading. Each row names a unit (the room, for "
    "\"dark\", without one), then what was sent (emitter, perhaps with code; codes; or slots), one "
    "form of colour, and the light.\n\n"
    "Lines that begin with # are comments; these say something: \"# meter: NAME\", "
    "\"# certificate: TEXT\", \"# uncertainty "
    "xy: 0.002\", \"# uncertainty output: 0.04\", \"# repeat xy: 0.0005\", \"# repeat output: "
    "0.01\", and \"# assumed NAME: VALUE\".\n\n"
    "The columns are listed above. Case counts in what is "
    "one "
    "letter, and in Ev (EV may be exposure values, so it needs a unit of measure; so do E and L). "
    "A "
    "unit of measure may stand behind, bare or in brackets: K; lx, klx, lm/m2, fc; cd/m2, kcd/m2, "
    "nit, fL; foot-candles and foot-lamberts are converted by the foot of 0.3048 m. \"CIE\", "
    "\"1931\", \"1976\", \"2°\", \"chromaticity\" and \"value\" may stand beside a quantity that "
    "they fit. A column of a spectrum has its wavelength as heading: 380, \"380 nm\", \"380[nm]\", "
    "SPEC_380. A heading with anything else in it may mean something else (\"x 10°\"): it is named "
    "and not used, unless --column of \"metamer trim\" says what it holds.";

static const char about_spectra[] =
    "CSV: rows of wavelength in nm and one value a spectrum; comma, semicolon, tab, bar or blanks "
    "between them; a decimal comma where the separator leaves it free; lines that begin with # are "
    "comments; of the lines before the first number, the last names the columns.\n\n"
    "CGATS.17 / ISO 28178 text: columns named after wavelengths (SPEC_400), or pairs of "
    "SPECTRAL_NM and SPECTRAL_DEC or SPECTRAL_PCT.\n\n"
    "ANSI/IES TM-27 XML, if metamer was built with the headers of libxml2.\n\n"
    "A file has at most 16 MB.";

static void put_section(const char *heading, const char *text, FILE *out)
{
    (void)fprintf(out, ".SH %s\n", heading);
    roff_text(text, out);
    (void)fputc('\n', out);
}

void help_formats(FILE *out)
{
    roff_title("METAMER-FILES", 5, "File formats", out);
    (void)fputs(".SH NAME\nmetamer\\-files \\- the files that metamer reads and writes\n", out);
    put_section("DESCRIPTION", about_all, out);
    for (const struct file_format *format = file_formats; format->name != NULL; format++)
        put_format(format, out);
    put_section("READINGS AS A TABLE", file_about_tables, out);
    (void)fputs(".SH COLOURS\n", out);
    put_topic("colours", out);
    put_section("SPECTRA", about_spectra, out);
    (void)fputs(".SH SEE ALSO\n\\fBmetamer\\fR(1)\n", out);
}
