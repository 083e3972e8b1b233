/* SPDX-License-Identifier: MIT */
/* The forms in which a colour can be stated, and what each gives. */
#include "target/form.h"

#include "base/error.h"
#include "colour/rgb_numbers.h"
#include "filter/light.h"
#include "filter/read.h"
#include "target/like.h"

#include <stdio.h>

#define NAME_ROOM 40 /* of a member as it is spelled */

static mtm_result make_xy(struct mtmi_stated *stated, mtm_target *target, mtm_error *error)
{
    const double *v = stated->member[0].number;

    return mtm_target_from_xy((mtm_xy){v[0], v[1]}, stated->place->observer, target, error);
}

static mtm_result make_uv(struct mtmi_stated *stated, mtm_target *target, mtm_error *error)
{
    const double *v = stated->member[0].number;

    return mtm_target_from_uv((mtm_uv){v[0], v[1]}, stated->place->observer, target, error);
}

static mtm_result make_xyz(struct mtmi_stated *stated, mtm_target *target, mtm_error *error)
{
    const double *v = stated->member[0].number;

    return mtm_target_from_xyz((mtm_xyz){v[0], v[1], v[2]}, stated->place->observer, target, error);
}

static double luminance_of_xyz(const struct mtmi_stated *stated)
{
    return stated->member[0].number[1];
}

static mtm_result make_cct(struct mtmi_stated *stated, mtm_target *target, mtm_error *error)
{
    mtm_white white = {stated->member[0].number[0], stated->member[1].number[0]};

    return mtm_target_from_white(white, stated->place->observer, target, error);
}

static mtm_result make_daylight(struct mtmi_stated *stated, mtm_target *target, mtm_error *error)
{
    return mtm_target_from_daylight(stated->member[0].number[0], stated->place->observer, target,
                                    error);
}

static mtm_result make_lamp(struct mtmi_stated *stated, mtm_target *target, mtm_error *error)
{
    mtm_lamp lamp = {0, 0};

    stated->at = &stated->form->member[0];
    if (!mtmi_lamp_read(stated->member[0].text, &lamp))
        return mtmi_fail(error, MTM_PARSE,
                         "found \"%.60s\", wanted is a lamp's colour temperature and the share of "
                         "its light: 3200@30%%",
                         stated->member[0].text);
    return mtm_target_from_lamp(lamp, stated->place->observer, target, error);
}

static mtm_rgb rgb_of(const struct mtmi_stated *stated)
{
    const double *v = stated->member[0].number;
    double full = mtmi_rgb_full(v);

    return (mtm_rgb){v[0] / full, v[1] / full, v[2] / full};
}

static const char *space_of(const struct mtmi_stated *stated)
{
    return stated->member[1].text != NULL ? stated->member[1].text : "srgb";
}

static mtm_result make_rgb(struct mtmi_stated *stated, mtm_target *target, mtm_error *error)
{
    const double *v = stated->member[0].number;

    for (int i = 0; i < 3; i++) {
        if (v[i] >= 0 && v[i] <= mtmi_rgb_full(v))
            continue;
        stated->at = &stated->form->member[0];
        return mtmi_fail(error, MTM_PARSE,
                         "found %g, allowed are three numbers from 0 to 1, or from 0 to 255", v[i]);
    }
    return mtm_target_from_rgb(rgb_of(stated), space_of(stated), stated->place->observer, target,
                               error);
}

static double luminance_of_rgb(const struct mtmi_stated *stated)
{
    const mtm_rgb_space *space = NULL;

    if (mtm_rgb_space_find(space_of(stated), &space, NULL) != MTM_OK)
        return 0;
    return 100 * mtm_rgb_to_xyz(space, rgb_of(stated)).y;
}

static mtm_result make_spectrum(struct mtmi_stated *stated, mtm_target *target, mtm_error *error)
{
    mtm_spectrum spectrum;
    mtm_result result = mtm_spectrum_load(stated->member[0].path, MTM_ENDS_ZERO, &spectrum, error);

    if (result != MTM_OK)
        return result;
    return mtm_target_from_spectrum(&spectrum, stated->member[0].text, stated->place->observer,
                                    target, error);
}

/* The filters are loaded by the first colour that names one. */
static mtm_result make_filter(struct mtmi_stated *stated, mtm_target *target, mtm_error *error)
{
    struct mtmi_target_place *place = stated->place;
    mtm_filter filter = {.name = ""};
    mtm_light light;
    mtm_result result = MTM_OK;

    if (place->filters == NULL)
        result = mtm_filters_load(place->filters_folder, &place->filters, error);
    if (result != MTM_OK)
        return result;
    stated->at = &stated->form->member[0];
    result =
        mtmi_filters_find(place->filters, stated->member[0].text, place->base_dir, &filter, error);
    if (result != MTM_OK)
        return result;
    stated->at = &stated->form->member[1];
    result = mtmi_light_from_text(stated->member[1].text, place->base_dir, &light, error);
    if (result != MTM_OK)
        return result;
    stated->at = NULL;
    return mtm_target_from_filter(&filter, &light, place->observer, target, error);
}

/* Values of channels: what they may be depends on the unit, which tells it; not here. */
#define VALUES .type = MTMI_MEMBER_VALUES, .least = -1e9, .most = 1e9

const struct mtmi_form mtmi_forms[] = {
    {.member = {{.key = "xy", .option = "xy", .count = 2, .most = 1}}, .make = make_xy},
    {.member = {{.key = "uv", .option = "uv", .count = 2, .most = 1}}, .make = make_uv},
    {.member = {{.key = "xyz", .option = "xyz", .count = 3, .most = 1e9}},
     .make = make_xyz,
     .luminance = luminance_of_xyz},
    {.member =
         {{.key = "cct_k",
           .option = "cct",
           .count = 1,
           .least = MTM_CCT_MIN_K,
           .most = MTM_CCT_MAX_K},
          {.key = "duv", .option = "duv", .count = 1, .least = -MTM_DUV_MAX, .most = MTM_DUV_MAX}},
     .make = make_cct},
    {.member = {{.key = "daylight_k",
                 .option = "daylight",
                 .count = 1,
                 .least = MTM_DAYLIGHT_MIN_K,
                 .most = MTM_CCT_MAX_K}},
     .make = make_daylight},
    {.member = {{.key = "lamp", .option = "lamp", .type = MTMI_MEMBER_TEXT}}, .make = make_lamp},
    {.member = {{.key = "rgb", .option = "rgb", .count = 3, .most = 255},
                {.key = "space", .option = "space", .type = MTMI_MEMBER_TEXT}},
     .make = make_rgb,
     .luminance = luminance_of_rgb},
    {.member = {{.key = "spectrum", .option = "spectrum", .type = MTMI_MEMBER_FILE}},
     .make = make_spectrum},
    {.member = {{.key = "filter", .option = "filter", .type = MTMI_MEMBER_TEXT},
                {.key = "over", .option = "over", .type = MTMI_MEMBER_TEXT, .must = true}},
     .make = make_filter},
    {.member = {{.key = "like", .option = "like", .type = MTMI_MEMBER_TEXT},
                {.key = "codes", VALUES}, /* as mtm_value_type */
                {.key = "slots", VALUES},
                {.key = "percent", VALUES}},
     .make = mtmi_like_make,
     .split = mtmi_like_split},
    {.make = NULL},
};

static const char *spell(const struct mtmi_spelling *spelling, const struct mtmi_member *member,
                         char room[NAME_ROOM])
{
    if (spelling->by_options)
        (void)snprintf(room, NAME_ROOM, "--%s", member->option);
    else
        (void)snprintf(room, NAME_ROOM, "\"%s\"", member->key);
    return room;
}

/* "--xy, --uv, ...": the first member of each form. */
static mtm_result fail_none(const struct mtmi_spelling *spelling, mtm_error *error)
{
    char list[200] = "";
    char room[NAME_ROOM];
    size_t used = 0;

    for (const struct mtmi_form *form = mtmi_forms; form->member[0].key != NULL; form++) {
        int more = snprintf(list + used, sizeof list - used, "%s%s", used > 0 ? ", " : "",
                            spell(spelling, &form->member[0], room));
        used += more > 0 && (size_t)more < sizeof list - used ? (size_t)more : 0;
    }
    return mtmi_fail(error, MTM_PARSE, "no colour is stated; one of these is wanted: %s", list);
}

mtm_result mtmi_form_read(const struct mtmi_spelling *spelling, const void *source,
                          struct mtmi_stated *stated, mtm_error *error)
{
    char first[NAME_ROOM];
    char second[NAME_ROOM];
    const struct mtmi_form *found = NULL;
    mtm_result result = MTM_OK;

    for (const struct mtmi_form *form = mtmi_forms; form->member[0].key != NULL; form++) {
        if (!spelling->has(source, &form->member[0]))
            continue;
        if (found != NULL)
            return mtmi_fail(
                error, MTM_PARSE, "%s and %s both state a colour; one of them is wanted",
                spell(spelling, found->member, first), spell(spelling, form->member, second));
        found = form;
    }
    if (found == NULL)
        return fail_none(spelling, error);
    stated->form = found;
    for (size_t i = 0; result == MTM_OK && found->member[i].key != NULL; i++) {
        const struct mtmi_member *member = &found->member[i];
        if (spelling->has(source, member) || member->must)
            result = spelling->read(source, i, stated, error);
    }
    return result;
}
