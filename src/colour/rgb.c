/* SPDX-License-Identifier: MIT */
/* RGB spaces: primaries, whites and transfer functions of the standards. */
#include <metamer/rgb.h>

#include "base/error.h"
#include "base/name.h"
#include "colour/matrix.h"

#include <math.h>
#include <strings.h>

/* What rounding of an encoded value can put outside 0..1. */
#define SLACK 1e-6

static double linear(double value)
{
    return value;
}

/* IEC 61966-2-1; below 0 mirrored, as its amendment 1 does for extended values. */
static double srgb_to_light(double value)
{
    double v = fabs(value);

    return copysign(v <= 0.04045 ? v / 12.92 : pow((v + 0.055) / 1.055, 2.4), value);
}

static double srgb_from_light(double light)
{
    double v = fabs(light);

    return copysign(v <= 0.0031308 ? v * 12.92 : 1.055 * pow(v, 1 / 2.4) - 0.055, light);
}

/* ITU-R BT.2020-2, table 4: the curve of the camera, with the constants of full precision. */
#define REC2020_ALPHA 1.09929682680944
#define REC2020_BETA 0.018053968510807

static double rec2020_to_light(double value)
{
    double v = fabs(value);

    return copysign(v < 4.5 * REC2020_BETA ? v / 4.5
                                           : pow((v + REC2020_ALPHA - 1) / REC2020_ALPHA, 1 / 0.45),
                    value);
}

static double rec2020_from_light(double light)
{
    double v = fabs(light);

    return copysign(v < REC2020_BETA ? 4.5 * v : REC2020_ALPHA * pow(v, 0.45) - (REC2020_ALPHA - 1),
                    light);
}

static const mtm_rgb_space spaces[] = {
    {"srgb", "IEC 61966-2-1: what most screens show", .red = {0.64, 0.33}, .green = {0.30, 0.60},
     .blue = {0.15, 0.06}, .white = {0.3127, 0.3290}, .to_light = srgb_to_light,
     .from_light = srgb_from_light},
    {"rec2020", "ITU-R BT.2020: wide television, camera curve", .red = {0.708, 0.292},
     .green = {0.170, 0.797}, .blue = {0.131, 0.046}, .white = {0.3127, 0.3290},
     .to_light = rec2020_to_light, .from_light = rec2020_from_light},
    {"p3-d65", "SMPTE EG 432-1 primaries, D65, sRGB curve: wide screens", .red = {0.680, 0.320},
     .green = {0.265, 0.690}, .blue = {0.150, 0.060}, .white = {0.3127, 0.3290},
     .to_light = srgb_to_light, .from_light = srgb_from_light},
    /* The standard calls its white a 3200 K Planckian, which it is not quite; the stated one holds.
     */
    {"e1.54", "ANSI E1.54: linear, for colour in entertainment lighting", .red = {0.7347, 0.2653},
     .green = {0.1596, 0.8404}, .blue = {0.0366, 0.0001}, .white = {0.4254, 0.4044},
     .to_light = linear, .from_light = linear},
};

size_t mtm_rgb_space_count(void)
{
    return sizeof spaces / sizeof spaces[0];
}

const mtm_rgb_space *mtm_rgb_space_at(size_t index)
{
    return index < mtm_rgb_space_count() ? &spaces[index] : NULL;
}

static const char *name_at(const void *list, size_t index)
{
    (void)list;
    return index < mtm_rgb_space_count() ? spaces[index].name : NULL;
}

mtm_result mtm_rgb_space_find(const char *name, const mtm_rgb_space **space, mtm_error *error)
{
    if (name == NULL || space == NULL)
        return mtmi_fail(error, MTM_INVALID, "no name or no place for the RGB space was given");
    for (size_t i = 0; i < mtm_rgb_space_count(); i++) {
        if (strcasecmp(spaces[i].name, name) == 0) {
            *space = &spaces[i];
            return MTM_OK;
        }
    }
    const char *nearest = mtmi_name_nearest(name, NULL, name_at);
    if (nearest != NULL)
        return mtmi_fail(error, MTM_NOT_FOUND, "there is no RGB space \"%.40s\"; did you mean %s?",
                         name, nearest);
    return mtmi_fail(error, MTM_NOT_FOUND,
                     "there is no RGB space \"%.40s\"; there are srgb, rec2020, p3-d65 and e1.54",
                     name);
}

/* The primaries, each scaled so that together they make the white. */
mtm_matrix mtm_rgb_matrix(const mtm_rgb_space *space)
{
    if (space == NULL)
        return (mtm_matrix){{{0}}};
    const mtm_xyz p[3] = {mtm_xyz_from_xy(space->red, 1), mtm_xyz_from_xy(space->green, 1),
                          mtm_xyz_from_xy(space->blue, 1)};
    const mtm_matrix primaries = {
        {{p[0].x, p[1].x, p[2].x}, {p[0].y, p[1].y, p[2].y}, {p[0].z, p[1].z, p[2].z}}};
    mtm_matrix inverse = {{{0}}};

    (void)mtmi_matrix_invert(&primaries, &inverse); /* primaries span a plane: it exists */
    mtm_xyz s = mtm_matrix_apply(&inverse, mtm_xyz_from_xy(space->white, 1));
    return (mtm_matrix){{{s.x * p[0].x, s.y * p[1].x, s.z * p[2].x},
                         {s.x * p[0].y, s.y * p[1].y, s.z * p[2].y},
                         {s.x * p[0].z, s.y * p[1].z, s.z * p[2].z}}};
}

mtm_xyz mtm_rgb_to_xyz(const mtm_rgb_space *space, mtm_rgb rgb)
{
    if (space == NULL || space->to_light == NULL)
        return (mtm_xyz){0, 0, 0};
    const mtm_matrix matrix = mtm_rgb_matrix(space);

    return mtm_matrix_apply(
        &matrix, (mtm_xyz){space->to_light(rgb.r), space->to_light(rgb.g), space->to_light(rgb.b)});
}

mtm_rgb mtm_rgb_from_xyz(const mtm_rgb_space *space, mtm_xyz xyz)
{
    if (space == NULL || space->from_light == NULL)
        return (mtm_rgb){0, 0, 0};
    const mtm_matrix matrix = mtm_rgb_matrix(space);
    mtm_matrix inverse = {{{0}}};

    (void)mtmi_matrix_invert(&matrix, &inverse);
    mtm_xyz light = mtm_matrix_apply(&inverse, xyz);
    return (mtm_rgb){space->from_light(light.x), space->from_light(light.y),
                     space->from_light(light.z)};
}

mtm_rgb mtm_rgb_brightest(const mtm_rgb_space *space, mtm_xy xy)
{
    if (space == NULL || space->to_light == NULL || space->from_light == NULL)
        return (mtm_rgb){0, 0, 0};
    mtm_rgb rgb = mtm_rgb_from_xyz(space, mtm_xyz_from_xy(xy, 1));
    double most =
        fmax(space->to_light(rgb.r), fmax(space->to_light(rgb.g), space->to_light(rgb.b)));

    if (!(most > 0))
        return (mtm_rgb){0, 0, 0};
    return mtm_rgb_from_xyz(space, mtm_xyz_from_xy(xy, 1 / most));
}

static bool in_range(double part)
{
    return part >= -SLACK && part <= 1 + SLACK;
}

bool mtm_rgb_inside(mtm_rgb rgb)
{
    return in_range(rgb.r) && in_range(rgb.g) && in_range(rgb.b);
}
