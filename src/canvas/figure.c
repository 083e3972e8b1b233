/* SPDX-License-Identifier: MIT */
/* Figures: numbers as they stand on a picture. */
#include "canvas/canvas.h"

#include <math.h>
#include <stdio.h>

char *mtmi_figure(char text[MTMI_FIGURE_ROOM], double value, int decimals, const char *unit)
{
    char digits[MTMI_FIGURE_ROOM - 24];
    double shown = fabs(value) < 0.5 * pow(10, -decimals) ? 0 : value;

    (void)snprintf(digits, sizeof digits, "%.*f", decimals, fabs(shown));
    (void)snprintf(text, MTMI_FIGURE_ROOM, "%s%s%s%.12s", shown < 0 ? "−" : "", digits,
                   unit != NULL ? "\u2009" : "", unit != NULL ? unit : "");
    return text;
}
