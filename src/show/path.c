/* SPDX-License-Identifier: MIT */
/* Path: the way a colour takes from one to another. */
#include <metamer/path.h>

#include "base/error.h"

#include <metamer/lab.h>

#include <math.h>

#define TURN (2 * 3.14159265358979323846)
/* The lightness at which CAM16 looks at the ends, and its viewing conditions. */
#define LOOK_LIGHTNESS 50.0
#define LOOK_CD_M2 20.0
#define LOOK_BACKGROUND 20.0
/* Below this chroma (in the units of the space's own scale) a hue is noise. */
#define CAM16_GREY 0.1
#define OKLAB_GREY 0.0005

static const mtm_path_info paths[] = {
    {MTM_PATH_LIGHT, "light", "as two lights mix: straight in u'v'"},
    {MTM_PATH_WHITE, "white", "along the white locus, even in mired and in Duv"},
    {MTM_PATH_CAM16, "cam16", "straight in CAM16-UCS: hue kept where both ends share it"},
    {MTM_PATH_OKLAB, "oklab", "straight in Oklab: hue kept where both ends share it"},
    {MTM_PATH_CAM16_ROUND, "cam16-round", "round the white of CAM16-UCS, hue changing evenly"},
    {MTM_PATH_OKLAB_ROUND, "oklab-round", "round the white of Oklab, hue changing evenly"},
    {MTM_PATH_LAMP, "lamp",
     "as a lamp dims: the temperature goes with the light, down into the dark too"},
    {MTM_PATH_SLOTS, "slots", "straight in slots: what a console does on its own"},
};

size_t mtm_path_type_count(void)
{
    return sizeof paths / sizeof paths[0];
}

const mtm_path_info *mtm_path_type_at(size_t index)
{
    return index < mtm_path_type_count() ? &paths[index] : NULL;
}

static mtm_result make_viewer(mtm_viewer *viewer, mtm_error *error)
{
    const mtm_viewing viewing = {
        .white = {95.047, 100, 108.883}, /* D65, CIE 015:2018, table 9.2 */
        .luminance_cd_m2 = LOOK_CD_M2,
        .background_y = LOOK_BACKGROUND,
        .surround = MTM_SURROUND_AVERAGE,
        .discount = true, /* so that the white is grey */
    };

    return mtm_viewer_create(MTM_CAM16, &viewing, viewer, error);
}

static double ucs_lightness(void)
{
    return 1.7 * LOOK_LIGHTNESS / (1 + 0.007 * LOOK_LIGHTNESS);
}

/* a', b' of a chromaticity at the lightness of the look. Its luminance is found by a secant in
 * logarithms, where lightness is nearly straight. */
static void cam16_from_xy(const mtm_viewer *viewer, mtm_xy xy, double ab[2])
{
    const double wanted = log(ucs_lightness());
    double at = log(LOOK_BACKGROUND);
    double slope = 0.5;
    mtm_ucs ucs = mtm_ucs_from_xyz(viewer, mtm_xyz_from_xy(xy, exp(at)));

    for (int i = 0; i < 40 && fabs(log(ucs.j) - wanted) > 1e-14 && ucs.j > 0; i++) {
        double before = log(ucs.j);
        double step = (wanted - before) / slope;

        step = fmax(-2, fmin(2, step));
        at += step;
        ucs = mtm_ucs_from_xyz(viewer, mtm_xyz_from_xy(xy, exp(at)));
        double rise = (log(ucs.j) - before) / step;
        slope = rise > 0.05 && rise < 5 ? rise : slope;
    }
    ab[0] = ucs.a;
    ab[1] = ucs.b;
}

/* a, b of Oklab on the plane L = 1: the cube root makes them the same for every luminance. */
static void oklab_from_xy(mtm_xy xy, double ab[2])
{
    mtm_oklab lab = mtm_oklab_from_xyz(mtm_xyz_from_xy(xy, 1));

    ab[0] = lab.a / lab.l;
    ab[1] = lab.b / lab.l;
}

/* Turns a, b of both ends into hue and chroma, the shorter way round; a grey end takes the other's
 * hue. */
static void go_round(mtm_path *path, double grey)
{
    double chroma[2] = {hypot(path->start[0], path->start[1]), hypot(path->end[0], path->end[1])};
    double hue[2] = {atan2(path->start[1], path->start[0]), atan2(path->end[1], path->end[0])};

    if (chroma[0] < grey)
        hue[0] = hue[1];
    if (chroma[1] < grey)
        hue[1] = hue[0];
    if (hue[1] - hue[0] > TURN / 2)
        hue[1] -= TURN;
    if (hue[0] - hue[1] > TURN / 2)
        hue[1] += TURN;
    for (int i = 0; i < 2; i++) {
        double *end = i == 0 ? path->start : path->end;

        end[0] = hue[i];
        end[1] = chroma[i];
    }
}

static mtm_result make_white(mtm_path *path, mtm_error *error)
{
    const mtm_xy ends[2] = {path->from, path->to};

    for (int i = 0; i < 2; i++) {
        mtm_white white;
        mtm_error inner = {""};
        double *end = i == 0 ? path->start : path->end;
        mtm_result result = mtm_white_from_xy(ends[i], &white, &inner);

        if (result != MTM_OK)
            return mtmi_fail(error, result, "a path along the white locus cannot end here: %s",
                             inner.text);
        end[0] = path->type == MTM_PATH_LAMP ? log(white.cct_k) : mtm_mired_from_cct(white.cct_k);
        end[1] = white.duv;
    }
    return MTM_OK;
}

static mtm_result make_ends(mtm_path *path, mtm_error *error)
{
    mtm_result result = MTM_OK;

    switch (path->type) {
    case MTM_PATH_LIGHT:
        break;
    case MTM_PATH_WHITE:
    case MTM_PATH_LAMP:
        result = make_white(path, error);
        break;
    case MTM_PATH_CAM16:
    case MTM_PATH_CAM16_ROUND:
        result = make_viewer(&path->viewer, error);
        if (result != MTM_OK)
            break;
        cam16_from_xy(&path->viewer, path->from, path->start);
        cam16_from_xy(&path->viewer, path->to, path->end);
        break;
    case MTM_PATH_OKLAB:
    case MTM_PATH_OKLAB_ROUND:
        oklab_from_xy(path->from, path->start);
        oklab_from_xy(path->to, path->end);
        break;
    case MTM_PATH_SLOTS:
        result =
            mtmi_fail(error, MTM_INVALID, "a path straight in slots has no colours of its own");
        break;
    }
    if (path->type == MTM_PATH_CAM16_ROUND)
        go_round(path, CAM16_GREY);
    if (path->type == MTM_PATH_OKLAB_ROUND)
        go_round(path, OKLAB_GREY);
    return result;
}

mtm_result mtm_path_create(mtm_path_type type, mtm_xy from, mtm_xy to, mtm_path *path,
                           mtm_error *error)
{
    mtm_path made = {.type = type, .from = from, .to = to};

    if (path == NULL || (unsigned)type > MTM_PATH_SLOTS)
        return mtmi_fail(error, MTM_INVALID, "there is no such path, or no place for it");
    if (!mtm_xy_valid(from) || !mtm_xy_valid(to))
        return mtmi_fail(error, MTM_INVALID, "the ends of a path must be chromaticities");
    mtm_result result = make_ends(&made, error);
    if (result == MTM_OK)
        *path = made;
    return result;
}

static mtm_xy light_at(const mtm_path *path, double part)
{
    mtm_xyz a = mtm_xyz_from_xy(path->from, 1 - part);
    mtm_xyz b = mtm_xyz_from_xy(path->to, part);

    return mtm_xy_from_xyz((mtm_xyz){a.x + b.x, a.y + b.y, a.z + b.z});
}

static mtm_xy white_at(double cct_k, double duv)
{
    mtm_xy xy = {0, 0};
    mtm_white white = {cct_k, duv};

    if (mtm_white_to_xy(white, &xy, NULL) != MTM_OK) /* both ends are in range, so this is too */
        return (mtm_xy){0, 0};
    return xy;
}

static mtm_xy cam16_at(const mtm_path *path, const double ab[2])
{
    return mtm_xy_from_xyz(mtm_ucs_to_xyz(&path->viewer, (mtm_ucs){ucs_lightness(), ab[0], ab[1]}));
}

static mtm_xy oklab_at(const double ab[2])
{
    return mtm_xy_from_xyz(mtm_oklab_to_xyz((mtm_oklab){1, ab[0], ab[1]}));
}

mtm_xy mtm_path_at(const mtm_path *path, double part)
{
    if (path == NULL)
        return (mtm_xy){0, 0};
    if (isnan(part))
        return (mtm_xy){NAN, NAN};
    if (!(part > 0))
        return path->from;
    if (part >= 1)
        return path->to;
    const double at[2] = {path->start[0] + part * (path->end[0] - path->start[0]),
                          path->start[1] + part * (path->end[1] - path->start[1])};
    const double turned[2] = {at[1] * cos(at[0]), at[1] * sin(at[0])};

    switch (path->type) {
    case MTM_PATH_WHITE:
        return white_at(mtm_cct_from_mired(at[0]), at[1]);
    case MTM_PATH_LAMP:
        return white_at(exp(at[0]), at[1]);
    case MTM_PATH_CAM16:
        return cam16_at(path, at);
    case MTM_PATH_CAM16_ROUND:
        return cam16_at(path, turned);
    case MTM_PATH_OKLAB:
        return oklab_at(at);
    case MTM_PATH_OKLAB_ROUND:
        return oklab_at(turned);
    default:
        return light_at(path, part);
    }
}
