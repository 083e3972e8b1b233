/* SPDX-License-Identifier: MIT */
/* Outputs as people write them. */
#ifndef METAMER_SOLVE_OUTPUT_H
#define METAMER_SOLVE_OUTPUT_H

#include <metamer/solve.h>

/** The forms, for sentences. */
#define MTMI_OUTPUT_FORMS "0% to 100%, lumens as in 1200lm, lux as in 500lx, or max"

/** Reads "60%", "1200lm", "500lx" or "max"; false leaves output as it was. */
bool mtmi_output_read(const char *text, mtm_output *output);

#endif
