/* SPDX-License-Identifier: MIT */
/* Mixer: codes to light. */
#include "unit/mixer.h"

#include "base/error.h"
#include "numeric/convex.h"

#include <metamer/white.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

mtm_result mtmi_mixer_create(const mtm_fixture *view, const mtm_mode *mode, struct mtmi_mixer **out,
                             mtm_error *error)
{
    struct mtmi_mixer *made = calloc(1, sizeof *made);
    mtm_result result = MTM_OK;

    if (made == NULL)
        return mtmi_fail_memory(error);
    made->mixing = *mode->mixing;
    made->channels = mtmi_channel_count(view, mode);
    for (size_t i = 0; i < made->channels; i++)
        made->channel[i] = mtmi_table_plain(mode, i);
    made->corners = mtm_fixture_emitter_count(view);
    for (size_t i = 0; i < made->corners; i++) {
        made->corner[i] = mtm_fixture_emitter(view, i)->xyz[MTM_OBSERVER_2];
        made->corner_xy[i] = mtm_xy_from_xyz(made->corner[i]);
    }
    if (made->mixing.type == MTM_MIXING_HSI)
        result = mtm_curve_clone(mtm_fixture_emitter(view, 0)->curve, &made->transfer, error);
    if (result == MTM_OK)
        *out = made;
    else
        mtmi_mixer_free(made);
    return result;
}

void mtmi_mixer_free(struct mtmi_mixer *mixer)
{
    if (mixer == NULL)
        return;
    mtm_curve_free(mixer->transfer);
    free(mixer);
}

/* What a table says at a code: straight between points. */
static double value_at(const mtm_mixing_point *point, size_t count, uint32_t code)
{
    size_t i = 0;

    while (i + 1 < count && point[i + 1].code <= code)
        i++;
    if (i + 1 == count || code <= point[0].code)
        return point[code <= point[0].code ? 0 : i].value;
    double part = (code - point[i].code) / (double)(point[i + 1].code - point[i].code);
    return point[i].value + part * (point[i + 1].value - point[i].value);
}

static mtm_xy white_of(const mtm_mixing *m, const uint32_t *code)
{
    mtm_white white = {value_at(m->temperature, m->temperature_count, code[0]), 0};
    mtm_xy xy = {0, 0};

    if (m->tint_count > 0)
        white.duv = value_at(m->tint, m->tint_count, code[1]);
    /* in range: checked when it was made */
    return mtm_white_to_xy(white, &xy, NULL) == MTM_OK ? xy : (mtm_xy){0, 0};
}

/* Between its two ends. */
static double between(const double end[2], uint32_t code, unsigned most)
{
    return end[0] + code / (double)most * (end[1] - end[0]);
}

/* The nearest chromaticity of the corners' polygon in u', v': the same if it lies within. */
static mtm_xy within_corners(const struct mtmi_mixer *mixer, mtm_xy xy)
{
    mtmi_point corner[MTM_EMITTERS_MAX];
    const mtmi_polygon polygon = {corner, mixer->corners, MTM_EMITTERS_MAX};
    const mtm_uv uv = mtm_uv_from_xy(xy);

    for (size_t i = 0; i < mixer->corners; i++) {
        mtm_uv at = mtm_uv_from_xy(mixer->corner_xy[i]);
        corner[i] = (mtmi_point){at.u, at.v};
    }
    mtmi_point near = mtmi_polygon_nearest(&polygon, (mtmi_point){uv.u, uv.v});
    if (near.x == uv.u && near.y == uv.v)
        return xy;
    return mtm_xy_from_uv((mtm_uv){near.x, near.y});
}

mtm_uv mtmi_mixer_uv(const struct mtmi_mixer *mixer, const uint32_t *code)
{
    const mtm_mixing *m = &mixer->mixing;

    if (m->type == MTM_MIXING_WHITE)
        return mtm_uv_from_xy(white_of(m, code));
    mtm_xy xy = {between(m->x, code[0], mixer->channel[0].most),
                 between(m->y, code[1], mixer->channel[1].most)};
    xy.y = fmax(xy.y, 1e-6); /* codes may say what is no chromaticity */
    return mtm_uv_from_xy(within_corners(mixer, xy));
}

/* Levels of three corners that make a light; false where they lie in line. */
static bool in_triangle(const mtm_xyz *a, const mtm_xyz *b, const mtm_xyz *c, mtm_xyz xyz,
                        double level[3])
{
    const double bc[] = {b->y * c->z - b->z * c->y, b->z * c->x - b->x * c->z,
                         b->x * c->y - b->y * c->x};
    const double ca[] = {c->y * a->z - c->z * a->y, c->z * a->x - c->x * a->z,
                         c->x * a->y - c->y * a->x};
    const double ab[] = {a->y * b->z - a->z * b->y, a->z * b->x - a->x * b->z,
                         a->x * b->y - a->y * b->x};
    const double volume = a->x * bc[0] + a->y * bc[1] + a->z * bc[2];

    if (!(fabs(volume) > 0))
        return false;
    level[0] = (xyz.x * bc[0] + xyz.y * bc[1] + xyz.z * bc[2]) / volume;
    level[1] = (xyz.x * ca[0] + xyz.y * ca[1] + xyz.z * ca[2]) / volume;
    level[2] = (xyz.x * ab[0] + xyz.y * ab[1] + xyz.z * ab[2]) / volume;
    return true;
}

/* The triangle of a fan that a light lies in gives its levels; of several the first. */
static void find_levels(const struct mtmi_mixer *mixer, mtm_xyz xyz, double *level)
{
    double best = -INFINITY, found[3] = {0, 0, 0};
    size_t at = 1;

    for (size_t k = 1; k + 1 < mixer->corners; k++) {
        double one[3];
        if (!in_triangle(&mixer->corner[0], &mixer->corner[k], &mixer->corner[k + 1], xyz, one))
            continue;
        double least = fmin(one[0], fmin(one[1], one[2]));
        if (least > best + 1e-9) {
            best = least;
            at = k;
            memcpy(found, one, sizeof found);
        }
    }
    level[0] = fmax(0, found[0]);
    level[at] = fmax(0, found[1]);
    level[at + 1] = fmax(0, found[2]);
}

void mtmi_mixer_levels(const struct mtmi_mixer *mixer, const uint32_t *code, double gain,
                       double *level)
{
    for (size_t i = 0; i < MTM_EMITTERS_MAX; i++)
        level[i] = 0;
    if (mixer->mixing.type == MTM_MIXING_HSI) {
        double hsi[3], rgb[3];
        for (size_t i = 0; i < 3; i++)
            hsi[i] = code[i] / (double)mixer->channel[i].most;
        mtmi_hsi_to_rgb(hsi, rgb);
        for (size_t i = 0; i < 3; i++)
            level[i] = gain * mtm_curve_level(mixer->transfer, rgb[i]);
        return;
    }
    mtm_xy xy =
        mtm_xy_from_uv(mixer->mixing.type == MTM_MIXING_DIMS ? mtmi_mixer_dims_uv(mixer, gain)
                                                             : mtmi_mixer_uv(mixer, code));
    if (!(gain > 0))
        return;
    find_levels(mixer, mtm_xyz_from_xy(xy, mixer->mixing.flux_lm), level);
    for (size_t i = 0; i < mixer->corners; i++)
        level[i] *= gain;
}

mtm_xyz mtmi_mixer_xyz(const struct mtmi_mixer *mixer, const double *level)
{
    mtm_xyz sum = {0, 0, 0};

    for (size_t i = 0; i < mixer->corners; i++) {
        double part = level[i] > 0 ? fmin(level[i], 1) : 0;
        sum.x += part * mixer->corner[i].x;
        sum.y += part * mixer->corner[i].y;
        sum.z += part * mixer->corner[i].z;
    }
    return sum;
}
