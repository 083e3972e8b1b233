/* SPDX-License-Identifier: MIT */
/* Survey: the two plots of the picture of a survey, over one scale of colour temperatures. */
#ifndef METAMER_PICTURE_LIGHT_SURVEY_H
#define METAMER_PICTURE_LIGHT_SURVEY_H

#include "picture/axes.h"

#include <metamer/survey_picture.h>

/** Where a colour temperature stands. */
double mtmi_survey_x(const mtmi_plot *plot, double cct_k);
/** Draws the common output of each white into a plot whose box and x scale are laid out; words stay
 *  within bounds. */
void mtmi_survey_draw_output(mtmi_canvas *canvas, const mtm_survey_view *view,
                             const mtmi_plot *plot, mtmi_box bounds);

#endif
