/* SPDX-License-Identifier: MIT */
/* Ink: the greys of the ground, one accent, and colours that tell several things apart. */
#include "canvas/ink.h"

#include <math.h>

/* L* of the greys, by theme and role (paper, panel, rule, quiet text, text). */
static const double lightness[3][5] = {
    {98, 94, 82, 45, 15},
    {12, 16, 30, 65, 92},
    {100, 96, 80, 38, 0},
};

static const mtmi_ink accents[3] = {
    {0.04, 0.30, 0.62, 1}, {0.52, 0.76, 1.00, 1}, {0.04, 0.30, 0.62, 1}};

/* Blue, orange, green, purple, brown, teal: neighbours differ in L* by 8 and more. */
static const mtmi_ink on_light[MTMI_INK_SERIES] = {{0.05, 0.28, 0.60, 1}, {0.76, 0.32, 0.05, 1},
                                                   {0.00, 0.42, 0.30, 1}, {0.62, 0.22, 0.58, 1},
                                                   {0.38, 0.26, 0.08, 1}, {0.10, 0.50, 0.62, 1}};
static const mtmi_ink on_dark[MTMI_INK_SERIES] = {{0.46, 0.70, 1.00, 1}, {1.00, 0.62, 0.32, 1},
                                                  {0.36, 0.84, 0.62, 1}, {0.90, 0.58, 0.90, 1},
                                                  {0.86, 0.78, 0.52, 1}, {0.42, 0.84, 0.94, 1}};

/* The sRGB value of a neutral (IEC 61966-2-1) of this L* (ISO/CIE 11664-4). */
static double grey(double l)
{
    double f = (l + 16) / 116;
    double y = l > 8 ? f * f * f : l * 27 / 24389;

    return y <= 0.0031308 ? 12.92 * y : 1.055 * pow(y, 1 / 2.4) - 0.055;
}

mtmi_ink mtmi_ink_of(mtmi_theme theme, mtmi_ink_role role)
{
    if (role == MTMI_INK_ACCENT)
        return accents[theme];
    double value = grey(lightness[theme][role]);
    return (mtmi_ink){value, value, value, 1};
}

mtmi_ink mtmi_ink_of_series(mtmi_theme theme, unsigned index)
{
    return (theme == MTMI_THEME_DARK ? on_dark : on_light)[index % MTMI_INK_SERIES];
}

mtmi_ink mtmi_ink_covering(mtmi_ink ink, double cover)
{
    ink.cover = cover;
    return ink;
}
