/* SPDX-License-Identifier: MIT */
/* Target: a wanted colour, however it was stated. */
#include <metamer/target.h>

#include "base/error.h"
#include "base/number.h"
#include "colour/check.h"
#include "filter/read.h"
#include "unit/channels.h"
#include "unit/emitters.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static mtm_result set_xy(mtm_xy xy, mtm_observer observer, mtm_target *target, mtm_error *error)
{
    if (target == NULL)
        return mtmi_fail(error, MTM_INVALID, "a place for the target is needed");
    mtm_result result = mtmi_check_observer(observer, error);
    if (result != MTM_OK)
        return result;
    if (!mtm_xy_valid(xy))
        return mtmi_fail(error, MTM_INVALID,
                         "x %.6g, y %.6g is not a chromaticity: wanted are x >= 0, y > 0 and "
                         "x + y <= 1",
                         xy.x, xy.y);
    *target = (mtm_target){.observer = observer, .xy = xy};
    return MTM_OK;
}

mtm_result mtm_target_from_xy(mtm_xy xy, mtm_observer observer, mtm_target *target,
                              mtm_error *error)
{
    mtm_result result = set_xy(xy, observer, target, error);

    if (result == MTM_OK)
        (void)snprintf(target->description, sizeof target->description, "x %.4f, y %.4f", xy.x,
                       xy.y);
    return result;
}

mtm_result mtm_target_from_uv(mtm_uv uv, mtm_observer observer, mtm_target *target,
                              mtm_error *error)
{
    if (!isfinite(uv.u) || !isfinite(uv.v) || !mtm_xy_valid(mtm_xy_from_uv(uv)))
        return mtmi_fail(error, MTM_INVALID, "u' %.6g, v' %.6g is not a chromaticity", uv.u, uv.v);
    mtm_result result = set_xy(mtm_xy_from_uv(uv), observer, target, error);
    if (result == MTM_OK)
        (void)snprintf(target->description, sizeof target->description, "u' %.4f, v' %.4f", uv.u,
                       uv.v);
    return result;
}

static mtm_result set_xyz(mtm_xyz xyz, mtm_observer observer, mtm_target *target, mtm_error *error)
{
    if (target == NULL)
        return mtmi_fail(error, MTM_INVALID, "a place for the target is needed");
    if (!isfinite(xyz.x) || !isfinite(xyz.y) || !isfinite(xyz.z) || xyz.x < 0 || xyz.y < 0 ||
        xyz.z < 0)
        return mtmi_fail(error, MTM_INVALID,
                         "X %.6g, Y %.6g, Z %.6g are not tristimulus values: none may be negative",
                         xyz.x, xyz.y, xyz.z);
    if (xyz.x + xyz.y + xyz.z <= 0)
        return mtmi_fail(error, MTM_RANGE, "X, Y and Z are all 0: black has no chromaticity");
    return set_xy(mtm_xy_from_xyz(xyz), observer, target, error);
}

mtm_result mtm_target_from_xyz(mtm_xyz xyz, mtm_observer observer, mtm_target *target,
                               mtm_error *error)
{
    mtm_result result = set_xyz(xyz, observer, target, error);

    if (result == MTM_OK)
        (void)snprintf(target->description, sizeof target->description, "X %.6g, Y %.6g, Z %.6g",
                       xyz.x, xyz.y, xyz.z);
    return result;
}

/* Lays duv off at right angles to the 10 degree observer's own locus, in CIE 1960 u, v. */
static mtm_result white_for_10(mtm_white white, mtm_xy *xy, mtm_error *error)
{
    double step_k = white.cct_k * 1e-4;
    double near_k =
        white.cct_k + step_k <= MTM_CCT_MAX_K ? white.cct_k + step_k : white.cct_k - step_k;
    mtm_xy at;
    mtm_xy beside;
    mtm_result result = mtm_planck_xy(white.cct_k, MTM_OBSERVER_10, &at, error);

    if (result == MTM_OK)
        result = mtm_planck_xy(near_k, MTM_OBSERVER_10, &beside, error);
    if (result != MTM_OK)
        return result;
    mtm_uv p = mtm_uv_from_xy(at);
    mtm_uv q = mtm_uv_from_xy(beside);
    double sign = near_k > white.cct_k ? 1 : -1; /* du, dv point to lower temperatures */
    double du = sign * (p.u - q.u);
    double dv = sign * (p.v - q.v) * (2.0 / 3.0);
    double length = hypot(du, dv);
    mtm_uv uv = {p.u - white.duv * dv / length, p.v + 1.5 * white.duv * du / length};
    *xy = mtm_xy_from_uv(uv);
    return MTM_OK;
}

mtm_result mtm_target_from_white(mtm_white white, mtm_observer observer, mtm_target *target,
                                 mtm_error *error)
{
    mtm_xy xy = {0, 0};
    mtm_result result = mtm_white_to_xy(white, &xy, error); /* checks the ranges as well */

    if (result == MTM_OK && observer == MTM_OBSERVER_10)
        result = white_for_10(white, &xy, error);
    if (result == MTM_OK)
        result = set_xy(xy, observer, target, error);
    if (result != MTM_OK)
        return result;
    target->cct_k = white.cct_k;
    if (white.duv == 0)
        (void)snprintf(target->description, sizeof target->description, "%.6g K", white.cct_k);
    else
        (void)snprintf(target->description, sizeof target->description, "%.6g K, Duv %+.4f",
                       white.cct_k, white.duv);
    return MTM_OK;
}

mtm_result mtm_target_from_spectrum(const mtm_spectrum *spectrum, const char *name,
                                    mtm_observer observer, mtm_target *target, mtm_error *error)
{
    if (spectrum == NULL || name == NULL || target == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a spectrum, its name and a place for the target are needed");
    mtm_result result = mtmi_check_observer(observer, error);
    if (result == MTM_OK)
        result = mtmi_check_spectrum(spectrum, error);
    if (result != MTM_OK)
        return result;
    mtm_xyz xyz = mtm_xyz_from_spectrum(spectrum, observer);
    mtm_target made;

    if (!(xyz.x + xyz.y + xyz.z > 0))
        return mtmi_fail(error, MTM_RANGE, "%s: has no light between 360 and 830 nm, so no colour",
                         name);
    result = set_xyz(xyz, observer, &made, error);
    if (result != MTM_OK)
        return result;
    made.has_spectrum = true;
    made.spectrum = *spectrum;
    (void)snprintf(made.description, sizeof made.description, "spectrum %.80s", name);
    *target = made;
    return MTM_OK;
}

mtm_result mtm_target_from_daylight(double cct_k, mtm_observer observer, mtm_target *target,
                                    mtm_error *error)
{
    mtm_target made;
    mtm_xy xy;

    if (target == NULL)
        return mtmi_fail(error, MTM_INVALID, "a place for the target is needed");
    mtm_result result = mtm_spectrum_daylight(cct_k, &made.spectrum, error);

    if (result == MTM_OK)
        result = mtm_daylight_xy(cct_k, observer, &xy, error);
    if (result != MTM_OK)
        return result;
    made.observer = observer;
    made.xy = xy;
    made.cct_k = cct_k;
    made.has_spectrum = true;
    (void)snprintf(made.description, sizeof made.description, "daylight of %.6g K", cct_k);
    *target = made;
    return MTM_OK;
}

/* Refuses what is no lamp; the temperature that it has when dimmed. */
static mtm_result dim_lamp(mtm_lamp lamp, double *cct_k, mtm_error *error)
{
    if (!(lamp.cct_k >= MTM_CCT_MIN_K && lamp.cct_k <= MTM_CCT_MAX_K))
        return mtmi_fail(error, MTM_INVALID, "a lamp of %.10g K; allowed is %.10g to %.10g K",
                         lamp.cct_k, MTM_CCT_MIN_K, MTM_CCT_MAX_K);
    if (!(lamp.light_share >= 0 && lamp.light_share <= 1))
        return mtmi_fail(error, MTM_INVALID,
                         "a lamp at %.10g %% of its light; allowed is above 0 to 100 %%",
                         100 * lamp.light_share);
    *cct_k = mtm_lamp_dimmed_cct_k(lamp);
    if (mtmi_exceeds(MTM_CCT_MIN_K, *cct_k))
        return mtmi_fail(error, MTM_RANGE,
                         "a lamp of %g K at %g %% of its light has %.4g K; no less than %g K is "
                         "computed",
                         lamp.cct_k, 100 * lamp.light_share, *cct_k, MTM_CCT_MIN_K);
    return MTM_OK;
}

mtm_result mtm_target_from_lamp(mtm_lamp lamp, mtm_observer observer, mtm_target *target,
                                mtm_error *error)
{
    mtm_spectrum spectrum;
    double cct_k = 0;

    if (target == NULL)
        return mtmi_fail(error, MTM_INVALID, "a place for the target is needed");
    mtm_result result = dim_lamp(lamp, &cct_k, error);
    if (result == MTM_OK)
        result = mtm_spectrum_planck(cct_k, &spectrum, error);
    if (result == MTM_OK)
        result = mtm_target_from_spectrum(&spectrum, "of a lamp", observer, target, error);
    if (result != MTM_OK)
        return result;
    target->cct_k = cct_k;
    (void)snprintf(target->description, sizeof target->description,
                   "%.6g K lamp at %.4g %% of its light: %.0f K", lamp.cct_k,
                   100 * lamp.light_share, cct_k);
    return MTM_OK;
}

mtm_result mtm_target_from_rgb(mtm_rgb rgb, const char *space, mtm_observer observer,
                               mtm_target *target, mtm_error *error)
{
    const mtm_rgb_space *found = NULL;
    mtm_result result = mtmi_check_observer(observer, error);

    if (result == MTM_OK)
        result = mtm_rgb_space_find(space, &found, error);
    if (result != MTM_OK)
        return result;
    if (observer != MTM_OBSERVER_2)
        return mtmi_fail(error, MTM_UNSUPPORTED,
                         "an RGB value has no colour for the 10 degree observer: %s is defined for "
                         "the 2 degree one",
                         found->name);
    if (!isfinite(rgb.r) || !isfinite(rgb.g) || !isfinite(rgb.b) || rgb.r < 0 || rgb.g < 0 ||
        rgb.b < 0 || rgb.r > 1 || rgb.g > 1 || rgb.b > 1)
        return mtmi_fail(error, MTM_INVALID, "R %g, G %g, B %g: each may be from 0 to 1", rgb.r,
                         rgb.g, rgb.b);
    if (rgb.r + rgb.g + rgb.b <= 0)
        return mtmi_fail(error, MTM_RANGE, "R, G and B are all 0: black has no chromaticity");
    result = set_xyz(mtm_rgb_to_xyz(found, rgb), observer, target, error);
    if (result == MTM_OK)
        (void)snprintf(target->description, sizeof target->description, "%s %.3g, %.3g, %.3g",
                       found->name, rgb.r, rgb.g, rgb.b);
    return result;
}

mtm_result mtm_target_from_filter(const mtm_filter *filter, const mtm_light *light,
                                  mtm_observer observer, mtm_target *target, mtm_error *error)
{
    char name[sizeof filter->name + sizeof light->name + 8];

    if (filter == NULL || light == NULL || target == NULL)
        return mtmi_fail(error, MTM_INVALID, "a filter, a light and a place are needed");
    mtm_result result = mtmi_filter_check(filter, &light->spectrum, observer, error);
    if (result != MTM_OK)
        return result;
    mtm_spectrum behind = mtm_filter_apply(filter, &light->spectrum);
    (void)snprintf(name, sizeof name, "%s over %s", filter->name, light->name);
    result = mtm_target_from_spectrum(&behind, name, observer, target, error);
    if (result == MTM_OK)
        (void)snprintf(target->description, sizeof target->description, "%.95s", name);
    return result;
}

mtm_result mtm_target_from_unit(const mtm_unit *unit, const mtm_codes *codes, mtm_observer observer,
                                mtm_target *target, mtm_error *error)
{
    double level[MTM_EMITTERS_MAX] = {0};
    struct mtmi_emitters emitters;
    struct mtmi_channels channels = {0};
    mtm_spectrum spectrum;
    mtm_target made = {.cct_k = 0};

    if (unit == NULL || codes == NULL || target == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a unit, its codes and a place for the target are needed");
    mtm_result result = mtmi_emitters_from(unit->fixture, observer, &emitters, error);
    if (result == MTM_OK)
        result = mtmi_channels_create(&channels, unit->fixture, unit->mode, NULL, error);
    if (result == MTM_OK)
        mtmi_channels_levels(&channels, codes, level);
    mtmi_channels_free(&channels);
    if (result != MTM_OK)
        return result;
    mtm_xyz xyz = mtmi_emitters_xyz(&emitters, level);
    if (!(xyz.y > 0))
        return mtmi_fail(error, MTM_RANGE, "%s is dark at these codes, so it has no colour",
                         unit->name);
    if (mtmi_emitters_spectrum(&emitters, level, &spectrum))
        result = mtm_target_from_spectrum(&spectrum, unit->name, observer, &made, error);
    else
        result = mtm_target_from_xyz(xyz, observer, &made, error);
    if (result != MTM_OK)
        return result;
    (void)snprintf(made.description, sizeof made.description, "like %.40s: x %.4f, y %.4f",
                   unit->name, made.xy.x, made.xy.y);
    *target = made;
    return MTM_OK;
}
