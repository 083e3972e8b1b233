/* SPDX-License-Identifier: MIT */
/* Radiators: what the formulas of black body and daylight share with their loci. */
#ifndef METAMER_COLOUR_RADIATOR_H
#define METAMER_COLOUR_RADIATOR_H

#include <metamer/colour.h>
#include <metamer/spectrum.h>

/** Second radiation constant of colorimetry, nm K (CIE 015:2018; not the SI value of today). */
#define MTMI_C2_NM_K 1.4388e7

/** CIE daylight chromaticity, 2 degree; cct_k 4000..25000. ISO/CIE 11664-2. */
mtm_xy mtmi_daylight_point(double cct_k);

/** Weights of the components S1 and S2 for a daylight chromaticity. ISO/CIE 11664-2. */
void mtmi_daylight_weights(mtm_xy xy, double *m1, double *m2);

/** S0 + m1 S1 + m2 S2 on the grid, linear between the 10 nm of the table. */
void mtmi_daylight_sum(double m1, double m2, mtm_spectrum *spectrum);

/** Planck's law with this constant, 1 at 560 nm. */
void mtmi_planck_shape(double c2_nm_k, double temperature_k, mtm_spectrum *spectrum);

#endif
