/* SPDX-License-Identifier: MIT */
/* Uniform spaces and colour difference: L*a*b*, L*u*v*, CIEDE2000, Oklab. */
#ifndef METAMER_LAB_H
#define METAMER_LAB_H

#include <metamer/base.h>
#include <metamer/colour.h>

MTM_BEGIN

/** CIE 1976 L*a*b*; L* of the white is 100. */
typedef struct mtm_lab {
    double l; /**< lightness L*, 0 black, 100 the white */
    double a; /**< a*, from green to red */
    double b; /**< b*, from blue to yellow */
} mtm_lab;

/** CIE 1976 L*u*v*; L* of the white is 100. */
typedef struct mtm_luv {
    double l; /**< lightness L*, 0 black, 100 the white */
    double u; /**< u* */
    double v; /**< v* */
} mtm_luv;

/** Oklab; l of the white is 1. */
typedef struct mtm_oklab {
    double l; /**< lightness, 0 black, 1 the white */
    double a; /**< from green to red */
    double b; /**< from blue to yellow */
} mtm_oklab;

/** L*a*b* of XYZ beside a white on the same scale, all of whose values are > 0.
 *  ISO/CIE 11664-4, by LittleCMS. */
MTM_API mtm_lab mtm_lab_from_xyz(mtm_xyz xyz, mtm_xyz white);
/** The inverse; XYZ on the scale of the white. */
MTM_API mtm_xyz mtm_lab_to_xyz(mtm_lab lab, mtm_xyz white);
/** Chroma C*ab. */
MTM_API double mtm_lab_chroma(mtm_lab lab);
/** Hue angle hab, degrees, 0 <= h < 360; 0 without chroma. */
MTM_API double mtm_lab_hue_deg(mtm_lab lab);
/** Colour difference of 1976, Euclidean in L*a*b*. */
MTM_API double mtm_lab_difference(mtm_lab a, mtm_lab b);
/** Colour difference CIEDE2000 with all parametric factors 1. ISO/CIE 11664-6, by LittleCMS. */
MTM_API double mtm_lab_ciede2000(mtm_lab a, mtm_lab b);

/** L*u*v* of XYZ beside a white on the same scale with Y > 0; black gives zeros. ISO/CIE 11664-5.
 */
MTM_API mtm_luv mtm_luv_from_xyz(mtm_xyz xyz, mtm_xyz white);
/** The inverse; l <= 0 gives black. */
MTM_API mtm_xyz mtm_luv_to_xyz(mtm_luv luv, mtm_xyz white);

/** Oklab of XYZ beside D65, Y of the white = 1. B. Ottosson, 2020 (not a formal standard). */
MTM_API mtm_oklab mtm_oklab_from_xyz(mtm_xyz xyz);
/** The inverse; Y of the white = 1. */
MTM_API mtm_xyz mtm_oklab_to_xyz(mtm_oklab oklab);

MTM_END
#endif
