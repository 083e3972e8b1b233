/* SPDX-License-Identifier: MIT */
/* Where the figures of a report come from: standard and edition. */
#include "cli/report/report_out.h"

/* What a source is for, where not for every report. */
enum needs { ALWAYS, OF_TRIM, OF_SHOW };

/* As src/data and the headers name them. */
static const struct source {
    enum needs needs;
    const char *what, *source;
} sources[] = {
    {ALWAYS, "Standard observers", "ISO/CIE 11664-1:2019"},
    {ALWAYS, "u', v' and Δu'v'", "CIE 015:2018; ISO/CIE 11664-5:2016"},
    {ALWAYS, "Correlated colour temperature, Duv", "CIE 015:2018, 9.4; Planck's radiation law"},
    {ALWAYS, "One step of a white tolerance, Δu'v' 0.0011", "ANSI C78.377"},
    {ALWAYS, "Rf", "CIE 224:2017; ANSI/IES TM-30"},
    {ALWAYS, "Ra", "CIE 13.3-1995"},
    {ALWAYS, "Lines drawn from peak and width", "Y. Ohno, Optical Engineering 44 (2005) 111302"},
    {OF_TRIM, "Uncertainty of readings", "JCGM 100:2008; JCGM 101:2008"},
    {OF_TRIM, "Verdicts on a tolerance", "JCGM 106:2012, 8.3"},
    {OF_SHOW, "Steps of fades", "CIEDE2000, ISO/CIE 11664-6:2014"},
    {ALWAYS, "Universes and addresses", "ANSI E1.11; ANSI E1.31-2018"},
    {ALWAYS, "Checksums", "SHA-256, FIPS 180-4"},
};

void report_add_sources(mtm_report *report, bool trimmed, bool shown)
{
    static const mtm_report_column columns[] = {{"What", false}, {"Standard, edition", false}};

    mtm_report_add_heading(report, 1, "Sources");
    mtm_report_add_table(report, columns, 2, 1);
    for (size_t i = 0; i < sizeof sources / sizeof sources[0]; i++) {
        const struct source *one = &sources[i];
        if (one->needs == ALWAYS || (one->needs == OF_TRIM && trimmed) ||
            (one->needs == OF_SHOW && shown))
            mtm_report_add_row(report, (const char *const[]){one->what, one->source});
    }
}
