/* SPDX-License-Identifier: MIT */
/* Target arguments: the options that state a colour, shared by every command that takes one. */
#include "cli/args/target.h"

#include "cli/args/filter.h"
#include "cli/args/like.h"

#include "colour/rgb_numbers.h"

#include "base/error.h"
#include "base/number.h"

#include <metamer/dominant.h>
#include <metamer/match.h>
#include <metamer/rgb.h>

#include <string.h>

const struct option_spec target_options[] = {
    {.name = "xy", .metavar = "X,Y", .help = "CIE chromaticity", .kind = VALUE_TEXT},
    {.name = "uv", .metavar = "U,V", .help = "CIE 1976 u', v' chromaticity", .kind = VALUE_TEXT},
    {.name = "xyz",
     .metavar = "X,Y,Z",
     .help = "tristimulus values; only their chromaticity counts",
     .kind = VALUE_TEXT},
    {.name = "cct",
     .metavar = "K",
     .help = "white of a correlated colour temperature, in kelvin",
     .kind = VALUE_NUMBER,
     .least = MTM_CCT_MIN_K,
     .most = MTM_CCT_MAX_K},
    {.name = "duv",
     .with = "cct",
     .metavar = "D",
     .help = "with --cct: distance from the Planckian locus, positive towards green",
     .kind = VALUE_NUMBER,
     .least = -MTM_DUV_MAX,
     .most = MTM_DUV_MAX},
    {.name = "daylight",
     .metavar = "K",
     .help = "CIE daylight of a temperature, in kelvin",
     .kind = VALUE_NUMBER,
     .least = 4000,
     .most = 25000},
    {.name = "rgb",
     .metavar = "R,G,B",
     .help = "RGB value; 0 to 1 each, or 0 to 255 if any is above 1; only its chromaticity counts",
     .kind = VALUE_TEXT},
    {.name = "space",
     .with = "rgb",
     .metavar = "NAME",
     .help = "with --rgb: the space of the value, srgb if not said",
     .kind = VALUE_TEXT},
    {.name = "spectrum",
     .metavar = "FILE",
     .help = "the colour of a spectrum (CSV, CGATS.17 or IES TM-27 file)",
     .kind = VALUE_TEXT},
    {.name = "filter",
     .metavar = "NAME",
     .help =
         "the colour of a filter over a light; NAME is one of the library or a file, A+B stacks "
         "them",
     .kind = VALUE_TEXT},
    {0},
};

const struct option_spec over_options[] = {
    {.name = "over",
     .metavar = "LIGHT",
     .help = "the light before the filter: a temperature (3200), daylight:5600, a CIE illuminant "
             "(A, D65) or a spectrum file",
     .kind = VALUE_TEXT},
    {.name = "filters",
     .metavar = "FOLDER",
     .help = "a folder of filters in place of the delivered library",
     .kind = VALUE_TEXT},
    {0},
};

static const struct observer_choice {
    const char *name;
    mtm_observer observer;
} observer_choices[] = {{"2", MTM_OBSERVER_2}, {"10", MTM_OBSERVER_10}, {0}};

const struct option_spec observer_options[] = {
    {.name = "observer",
     .metavar = "DEGREES",
     .help = "CIE standard observer, 2 if not said",
     .kind = VALUE_CHOICE,
     .choices = CHOICES(struct observer_choice, observer_choices)},
    {0},
};

const struct option_spec white_options[] = {
    {.name = "white",
     .metavar = "X,Y",
     .help = "the white for dominant wavelength and purity; equal energy if not said",
     .kind = VALUE_TEXT},
    {0},
};

mtm_result white_from_args(const struct args *args, mtm_observer observer,
                           struct reference_white *white, mtm_error *error)
{
    struct reference_white made = {{1.0 / 3, 1.0 / 3}, "equal energy"};
    mtm_dominant unused;
    double v[2];

    if (args_has(args, "white")) {
        mtm_result result = args_numbers(args, "white", v, 2, error);
        if (result != MTM_OK)
            return result;
        made.xy = (mtm_xy){v[0], v[1]};
        (void)snprintf(made.name, sizeof made.name, "x %.4f, y %.4f", v[0], v[1]);
        /* any other colour tells whether this can be a white */
        result = mtm_dominant_from_xy((mtm_xy){0.7, 0.3}, made.xy, observer, &unused, error);
        if (result != MTM_OK && result != MTM_RANGE) {
            mtmi_error_prefix(error, "--white");
            return result;
        }
    }
    *white = made;
    return MTM_OK;
}

mtm_observer observer_from_args(const struct args *args)
{
    const struct observer_choice *choice = args_choice(args, "observer");

    return choice != NULL ? choice->observer : MTM_OBSERVER_2;
}

typedef mtm_result (*target_reader)(const struct args *args, const mtm_rig *rig, mtm_target *target,
                                    mtm_error *error);

static mtm_result read_xy(const struct args *args, const mtm_rig *rig, mtm_target *target,
                          mtm_error *error)
{
    double v[2];
    mtm_result result = args_numbers(args, "xy", v, 2, error);

    (void)rig;
    if (result != MTM_OK)
        return result;
    return mtm_target_from_xy((mtm_xy){v[0], v[1]}, observer_from_args(args), target, error);
}

static mtm_result read_uv(const struct args *args, const mtm_rig *rig, mtm_target *target,
                          mtm_error *error)
{
    double v[2];
    mtm_result result = args_numbers(args, "uv", v, 2, error);

    (void)rig;
    if (result != MTM_OK)
        return result;
    return mtm_target_from_uv((mtm_uv){v[0], v[1]}, observer_from_args(args), target, error);
}

static mtm_result read_xyz(const struct args *args, const mtm_rig *rig, mtm_target *target,
                           mtm_error *error)
{
    double v[3];
    mtm_result result = args_numbers(args, "xyz", v, 3, error);

    (void)rig;
    if (result != MTM_OK)
        return result;
    return mtm_target_from_xyz((mtm_xyz){v[0], v[1], v[2]}, observer_from_args(args), target,
                               error);
}

static mtm_result read_cct(const struct args *args, const mtm_rig *rig, mtm_target *target,
                           mtm_error *error)
{
    mtm_white white = {args_number(args, "cct", 0), args_number(args, "duv", 0)};

    (void)rig;
    return mtm_target_from_white(white, observer_from_args(args), target, error);
}

static mtm_result read_daylight(const struct args *args, const mtm_rig *rig, mtm_target *target,
                                mtm_error *error)
{
    (void)rig;
    return mtm_target_from_daylight(args_number(args, "daylight", 0), observer_from_args(args),
                                    target, error);
}

/* The value of --rgb, 0 to 1. */
static mtm_result rgb_from_args(const struct args *args, mtm_rgb *rgb, mtm_error *error)
{
    double v[3];
    mtm_result result = args_numbers(args, "rgb", v, 3, error);

    if (result != MTM_OK)
        return result;
    double scale = mtmi_rgb_full(v);
    for (int i = 0; i < 3; i++) {
        if (v[i] < 0 || v[i] > scale)
            return mtmi_fail(error, MTM_PARSE,
                             "--rgb: found %g, allowed are three numbers from 0 to 1, or from 0 to "
                             "255",
                             v[i]);
    }
    *rgb = (mtm_rgb){v[0] / scale, v[1] / scale, v[2] / scale};
    return MTM_OK;
}

static mtm_result read_rgb(const struct args *args, const mtm_rig *rig, mtm_target *target,
                           mtm_error *error)
{
    mtm_rgb rgb = {0, 0, 0};
    mtm_result result = rgb_from_args(args, &rgb, error);

    (void)rig;
    if (result != MTM_OK)
        return result;
    return mtm_target_from_rgb(rgb, args_text(args, "space", "srgb"), observer_from_args(args),
                               target, error);
}

static mtm_result read_spectrum(const struct args *args, const mtm_rig *rig, mtm_target *target,
                                mtm_error *error)
{
    const char *path = args_text(args, "spectrum", "");
    const char *slash = strrchr(path, '/');
    mtm_spectrum spectrum;
    mtm_result result = mtm_spectrum_load(path, MTM_ENDS_ZERO, &spectrum, error);

    (void)rig;
    if (result != MTM_OK)
        return result;
    return mtm_target_from_spectrum(&spectrum, slash != NULL ? slash + 1 : path,
                                    observer_from_args(args), target, error);
}

static mtm_result read_like(const struct args *args, const mtm_rig *rig, mtm_target *target,
                            mtm_error *error)
{
    size_t unit = 0;
    mtm_codes codes;

    mtm_result result = like_read(args_text(args, "like", ""), rig, &unit, &codes, error);
    if (result == MTM_OK)
        result = mtm_target_from_unit(mtm_rig_unit(rig, unit), &codes, observer_from_args(args),
                                      target, error);
    if (result != MTM_OK)
        mtmi_error_prefix(error, "--like");
    return result;
}

static mtm_result read_filter(const struct args *args, const mtm_rig *rig, mtm_target *target,
                              mtm_error *error)
{
    (void)rig;
    return filter_target_from_args(args, observer_from_args(args), target, error);
}

static const struct form {
    const char *option;
    target_reader read;
} forms[] = {
    {"xy", read_xy},
    {"uv", read_uv},
    {"xyz", read_xyz},
    {"cct", read_cct},
    {"daylight", read_daylight},
    {"rgb", read_rgb},
    {"like", read_like},
    {"spectrum", read_spectrum},
    {"filter", read_filter},
};

#define FORM_COUNT (sizeof forms / sizeof forms[0])

mtm_result target_from_args(const struct args *args, const mtm_rig *rig, mtm_target *target,
                            mtm_error *error)
{
    const struct form *found = NULL;

    for (size_t i = 0; i < FORM_COUNT; i++) {
        if (!args_has(args, forms[i].option))
            continue;
        if (found != NULL)
            return mtmi_fail(error, MTM_PARSE,
                             "--%s and --%s both state a colour; one of them is wanted",
                             found->option, forms[i].option);
        found = &forms[i];
    }
    if (found == NULL)
        return mtmi_fail(error, MTM_PARSE,
                         "no colour is stated; use one of --cct, --xy, --uv, --xyz, --daylight, "
                         "--rgb, --spectrum, --filter%s",
                         rig != NULL ? ", --like" : "");
    return found->read(args, rig, target, error);
}

double target_luminance(const struct args *args)
{
    const mtm_rgb_space *space = NULL;
    double xyz[3];
    mtm_rgb rgb = {0, 0, 0};

    if (args_has(args, "xyz") && args_numbers(args, "xyz", xyz, 3, NULL) == MTM_OK)
        return xyz[1];
    if (args_has(args, "rgb") && rgb_from_args(args, &rgb, NULL) == MTM_OK &&
        mtm_rgb_space_find(args_text(args, "space", "srgb"), &space, NULL) == MTM_OK)
        return 100 * mtm_rgb_to_xyz(space, rgb).y;
    return 0;
}
