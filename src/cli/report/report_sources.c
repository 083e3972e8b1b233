/* SPDX-License-Identifier: MIT */
/* Where the figures of a report come from: standard and edition. */
#include "cli/report/report_out.h"

/* As src/data and the headers name them. */
static const char *const sources[][2] = {
    {"Standard observers", "ISO/CIE 11664-1:2019"},
    {"u', v' and Δu'v'", "CIE 015:2018; ISO/CIE 11664-5:2016"},
    {"Correlated colour temperature, Duv", "CIE 015:2018, 9.4; Planck's radiation law"},
    {"One step of a white tolerance, Δu'v' 0.0011", "ANSI C78.377"},
    {"Rf", "CIE 224:2017; ANSI/IES TM-30"},
    {"Ra", "CIE 13.3-1995"},
    {"Lines drawn from peak and width", "Y. Ohno, Optical Engineering 44 (2005) 111302"},
    {"Uncertainty of readings, verdicts", "JCGM 100:2008; JCGM 106:2012"},
    {"Universes and addresses", "ANSI E1.11; ANSI E1.31-2018"},
    {"Checksums", "SHA-256, FIPS 180-4"},
};

void report_add_sources(mtm_report *report, const struct args *args)
{
    static const mtm_report_column columns[] = {{"What", false}, {"Standard, edition", false}};

    (void)args;
    mtm_report_add_heading(report, 1, "Sources");
    mtm_report_add_table(report, columns, 2, 1);
    for (size_t i = 0; i < sizeof sources / sizeof sources[0]; i++)
        mtm_report_add_row(report, sources[i]);
}
