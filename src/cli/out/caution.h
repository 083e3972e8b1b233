/* SPDX-License-Identifier: MIT */
/* Cautions: what light of an emitter may do that its brightness does not show. */
#ifndef METAMER_CLI_OUT_CAUTION_H
#define METAMER_CLI_OUT_CAUTION_H

#include <metamer/spectrum.h>

#include <stdio.h>

/** Writes a caution where the spectrum of the emitter of this name calls for one. */
void put_light_caution(const char *name, const mtm_spectrum *spectrum, FILE *out);

#endif
