/* SPDX-License-Identifier: MIT */
/* Target arguments: the options that state a colour, shared by every command that takes one. */
#include "cli/args/target.h"

#include "base/error.h"
#include "target/form.h"

#include <metamer/dominant.h>

#include <string.h>

const struct option_spec target_options[] = {
    OPTION_TEXT("xy", "X,Y", "CIE chromaticity"),
    OPTION_TEXT("uv", "U,V", "CIE 1976 u', v' chromaticity"),
    OPTION_TEXT("xyz", "X,Y,Z", "tristimulus values; only their chromaticity counts"),
    OPTION_NUMBER("cct", "K", MTM_CCT_MIN_K, MTM_CCT_MAX_K,
                  "white of a correlated colour temperature, in kelvin"),
    OPTION_NUMBER("duv", "D", -MTM_DUV_MAX, MTM_DUV_MAX,
                  "with --cct: distance from the Planckian locus, positive towards green",
                  .with = "cct"),
    OPTION_NUMBER("daylight", "K", MTM_DAYLIGHT_MIN_K, MTM_CCT_MAX_K,
                  "CIE daylight of a temperature, in kelvin"),
    OPTION_TEXT("lamp", "K@SHARE",
                "white of a tungsten lamp dimmed to a share of its light, as in 3200@30%; the "
                "temperature goes with the light to the power of 0.1235 (a rule for lamps near "
                "their voltage), the spectrum is taken as a black body's"),
    OPTION_TEXT(
        "rgb", "R,G,B",
        "RGB value; 0 to 1 each, or 0 to 255 if any is above 1; only its chromaticity counts"),
    OPTION_TEXT("space", "NAME", "with --rgb: the space of the value, srgb if not said",
                .with = "rgb"),
    OPTION_TEXT("spectrum", "FILE", "the colour of a spectrum (CSV, CGATS.17 or IES TM-27 file)"),
    OPTION_TEXT(
        "filter", "NAME",
        "the colour of a filter over a light; NAME is one of the library or a file, A+B stacks "
        "them"),
    {0},
};

const struct option_spec over_options[] = {
    OPTION_TEXT("over", "LIGHT",
                "the light before the filter: a temperature (3200), a dimmed lamp (3200@30%), "
                "daylight:5600, a "
                "CIE illuminant "
                "(A, D65) or a spectrum file"),
    OPTION_TEXT("filters", "FOLDER", "a folder of filters in place of the delivered library"),
    {0},
};

const struct option_spec like_options[] = {
    OPTION_TEXT(
        "like", "UNIT=VALUES",
        "the colour that a unit of the rig shows at these values: one code a channel in the "
        "order of its slots (spot=200,120; coarse and fine make one, 0 to 65535), per cent of "
        "each channel's codes (spot=50%,30%), or the value of every slot as tables print them "
        "(spot=slots:200,0,120,7)"),
    {0},
};

static const struct observer_choice {
    const char *name;
    mtm_observer observer;
} observer_choices[] = {{"2", MTM_OBSERVER_2}, {"10", MTM_OBSERVER_10}, {0}};

const struct option_spec observer_options[] = {
    OPTION_CHOICE("observer", "DEGREES", struct observer_choice, observer_choices,
                  "CIE standard observer, 2 if not said"),
    {0},
};

const struct option_spec white_options[] = {
    OPTION_TEXT("white", "X,Y",
                "the white for dominant wavelength and purity; equal energy if not said"),
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

static bool has_member(const void *source, const struct mtmi_member *member)
{
    return member->option != NULL && args_has(source, member->option);
}

/* A file stands where it is named, and goes by the end of its name. */
static void set_file(const char *text, struct mtmi_stated_member *member)
{
    const char *slash = strrchr(text, '/');

    member->text = slash != NULL ? slash + 1 : text;
    member->path = text;
}

static mtm_result read_member(const void *source, size_t index, struct mtmi_stated *stated,
                              mtm_error *error)
{
    const struct mtmi_member *member = &stated->form->member[index];
    struct mtmi_stated_member *read = &stated->member[index];
    const char *text = args_text(source, member->option, NULL);

    if (text == NULL)
        return mtmi_fail(error, MTM_PARSE, "--%s needs --%s beside it",
                         stated->form->member[0].option, member->option);
    if (member->type == MTMI_MEMBER_FILE)
        set_file(text, read);
    else if (member->type == MTMI_MEMBER_TEXT)
        read->text = text;
    else if (member->count == 1)
        read->number[0] = args_number(source, member->option, 0);
    else
        return args_numbers(source, member->option, read->number, member->count, error);
    if (stated->form->split == NULL)
        return MTM_OK;
    stated->at = member;
    return stated->form->split(text, stated, error);
}

static const struct mtmi_spelling spelling = {has_member, read_member, true};

/* "--like: unit: sentence": the member, and the option that states it. */
static void prefix_member(const struct mtmi_stated *stated, mtm_error *error)
{
    const struct mtmi_member *at = stated->at;
    char name[40];

    if (at == NULL)
        return;
    if (at->option == NULL) {
        mtmi_error_prefix(error, stated->member[0].text);
        at = stated->form->member;
    }
    (void)snprintf(name, sizeof name, "--%s", at->option);
    mtmi_error_prefix(error, name);
}

mtm_result target_from_args(const struct args *args, const mtm_rig *rig, mtm_target *target,
                            mtm_error *error)
{
    struct mtmi_target_place place = {.observer = observer_from_args(args),
                                      .rig = rig,
                                      .filters_folder = args_text(args, "filters", NULL)};
    struct mtmi_stated stated = {.place = &place};
    mtm_result result = mtmi_form_read(&spelling, args, &stated, error);

    if (result == MTM_OK)
        result = stated.form->make(&stated, target, error);
    if (result != MTM_OK)
        prefix_member(&stated, error);
    mtm_filters_free(place.filters);
    return result;
}

double target_luminance(const struct args *args)
{
    struct mtmi_stated stated = {.form = NULL};

    if (mtmi_form_read(&spelling, args, &stated, NULL) != MTM_OK || stated.form->luminance == NULL)
        return 0;
    return stated.form->luminance(&stated);
}
