/* SPDX-License-Identifier: MIT */
/* Rendering: the picture of lights that were checked. */
#ifndef METAMER_PICTURE_LIGHT_RENDERING_H
#define METAMER_PICTURE_LIGHT_RENDERING_H

#include <metamer/rendering_picture.h>

typedef struct mtmi_lights {
    const mtm_light_view *light;
    size_t count;
} mtmi_lights;

/** Draws lights under a title. MTM_OK, MTM_UNSUPPORTED, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_rendering_make(const mtmi_lights *lights, const char *title,
                                           const mtm_picture_options *options, mtm_picture **out,
                                           mtm_error *error);

#endif
