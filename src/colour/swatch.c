/* SPDX-License-Identifier: MIT */
/* Swatch: a light as a screen shows it beside a white. */
#include <metamer/swatch.h>

#include "base/error.h"
#include "colour/screen.h"

#include <metamer/adapt.h>
#include <metamer/lab.h>
#include <metamer/rgb.h>

#include <math.h>
#include <stdlib.h>

/* Halvings of the way from white: far below one of 255. */
#define HALVINGS 20

static mtm_xyz xyz_of(mtm_xy xy)
{
    double y = fmax(xy.y, 1e-9); /* the line of no light has colours in the limit */

    return (mtm_xyz){xy.x / y, 1, (1 - xy.x - xy.y) / y};
}

static bool has_no_negative(mtm_rgb rgb)
{
    return rgb.r >= 0 && rgb.g >= 0 && rgb.b >= 0;
}

/* Oklab scales its three parts alike with light, so that a and b beside L are hue and saturation
 * whatever the brightness. */
static mtm_rgb desaturated(const mtm_rgb_space *srgb, mtm_oklab lab, double share)
{
    return mtm_rgb_from_xyz(
        srgb, mtm_oklab_to_xyz((mtm_oklab){1, share * lab.a / lab.l, share * lab.b / lab.l}));
}

static mtm_rgb bring_in(const mtm_rgb_space *srgb, mtm_xyz xyz)
{
    mtm_oklab lab = mtm_oklab_from_xyz(xyz);
    double inside = 0, outside = 1;

    for (int i = 0; lab.l > 0 && i < HALVINGS; i++) {
        double middle = (inside + outside) / 2;
        if (has_no_negative(desaturated(srgb, lab, middle)))
            inside = middle;
        else
            outside = middle;
    }
    return lab.l > 0 ? desaturated(srgb, lab, inside) : (mtm_rgb){1, 1, 1};
}

/* The same colour, its largest part 1. */
static mtm_xyz brightest(const mtm_rgb_space *srgb, mtm_rgb rgb)
{
    double r = fmax(0, srgb->to_light(rgb.r)), g = fmax(0, srgb->to_light(rgb.g)),
           b = fmax(0, srgb->to_light(rgb.b));
    double most = fmax(r, fmax(g, b));

    return mtm_rgb_to_xyz(srgb, (mtm_rgb){srgb->from_light(r / most), srgb->from_light(g / most),
                                          srgb->from_light(b / most)});
}

static mtm_result check(const mtm_xy *xy, size_t count, mtm_xy *white, const mtm_swatch *swatch,
                        mtm_error *error)
{
    if (xy == NULL || swatch == NULL)
        return mtmi_fail(error, MTM_INVALID, "no colours, or no place for swatches, was given");
    for (size_t i = 0; i < count; i++) {
        if (!mtm_xy_valid(xy[i]))
            return mtmi_fail(error, MTM_INVALID, "x %g, y %g is no chromaticity", xy[i].x, xy[i].y);
    }
    if (white->x == 0 && white->y == 0)
        *white = mtm_rgb_space_at(0)->white;
    if (!mtm_xy_valid(*white))
        return mtmi_fail(error, MTM_INVALID, "the reference white x %g, y %g is no chromaticity",
                         white->x, white->y);
    return MTM_OK;
}

mtm_result mtm_swatches_from_xy(const mtm_xy *xy, size_t count, mtm_xy white, mtm_swatch *swatch,
                                mtm_error *error)
{
    const mtm_rgb_space *srgb = mtm_rgb_space_at(0);
    mtm_matrix adapt;
    mtm_result result = check(xy, count, &white, swatch, error);

    if (result == MTM_OK)
        result = mtm_adapt_matrix(MTM_ADAPT_BRADFORD, xyz_of(white), xyz_of(srgb->white), 1, &adapt,
                                  error);
    if (result != MTM_OK || count == 0)
        return result;
    mtm_xyz *xyz = malloc(count * sizeof *xyz);
    uint8_t(*rgb)[3] = malloc(count * sizeof *rgb);
    bool *shown = malloc(count * sizeof *shown);
    bool done = xyz != NULL && rgb != NULL && shown != NULL;
    for (size_t i = 0; done && i < count; i++) {
        mtm_xyz light = mtm_matrix_apply(&adapt, xyz_of(xy[i]));
        mtm_rgb meant = mtm_rgb_from_xyz(srgb, light);
        double most = fmax(meant.r, fmax(meant.g, meant.b));
        /* a sixteenth of a step of 8 bits is the screen's own colour */
        shown[i] = fmin(meant.r, fmin(meant.g, meant.b)) >= -most / 4096;
        xyz[i] = brightest(srgb, shown[i] ? meant : bring_in(srgb, light));
    }
    done = done && mtmi_screen_from_xyz(xyz, count, rgb);
    for (size_t i = 0; done && i < count; i++)
        swatch[i] = (mtm_swatch){rgb[i][0], rgb[i][1], rgb[i][2], shown[i]};
    free(xyz);
    free(rgb);
    free(shown);
    return done ? MTM_OK : mtmi_fail_memory(error);
}
