/* SPDX-License-Identifier: MIT */
/* The walk through pictures. */
#include "walk.h"

#include <metamer/choices_picture.h>
#include <metamer/demand_picture.h>
#include <metamer/diagram.h>
#include <metamer/filter_picture.h>
#include <metamer/fixture_picture.h>
#include <metamer/palette_picture.h>
#include <metamer/rendering_picture.h>
#include <metamer/survey_picture.h>

#define BAD_PICTURE(member, value)                                                                 \
    do {                                                                                           \
        mtm_picture_options options_ = {.member = (value)};                                        \
        mtm_picture *picture_ = NULL;                                                              \
        REFUSED(mtm_picture_of_colour, &world.target, &options_, &picture_);                       \
        HOLDS(mtm_picture_of_colour, picture_ == NULL);                                            \
    } while (0)

#define BAD_VIEW(member, value)                                                                    \
    do {                                                                                           \
        mtm_match_view bad_ = view;                                                                \
        bad_.member = (value);                                                                     \
        REFUSED(mtm_picture_of_match, &bad_, NULL, &picture);                                      \
    } while (0)

static void walk_match_picture(void)
{
    const mtm_match_request request = {.target = world.target};
    mtm_picture *picture = NULL;
    mtm_match match, nobody;
    const mtm_match_view view = {.rig = world.rig,
                                 .matcher = world.matcher,
                                 .target = &world.target,
                                 .match = &match,
                                 .count = 1};

    DONE(mtm_matcher_unit, world.matcher, 0, &request, &match);
    nobody = match;
    nobody.unit = mtm_rig_unit_count(world.rig);
    REFUSED(mtm_picture_of_match, NULL, NULL, &picture);
    REFUSED(mtm_picture_of_match, &view, NULL, NULL);
    BAD_VIEW(rig, NULL);
    BAD_VIEW(matcher, NULL);
    BAD_VIEW(target, NULL);
    BAD_VIEW(match, NULL);
    BAD_VIEW(match, &nobody);
    BAD_VIEW(count, 0);
    BAD_VIEW(tolerance_uv, -1);
    for (size_t i = 0; i < NO_NUMBERS; i++)
        BAD_VIEW(tolerance_uv, no_number[i]);
    HOLDS(mtm_picture_of_match, picture == NULL);
}

#define BAD_LIGHT(member, value)                                                                   \
    do {                                                                                           \
        mtm_light_view bad_ = light;                                                               \
        bad_.member = (value);                                                                     \
        REFUSED(mtm_picture_of_rendering, &bad_, 1, NULL, &picture);                               \
    } while (0)

static void walk_rendering_picture(void)
{
    const mtm_light_view light = {.name = "one"};
    const mtm_match_request request = {.target = world.target};
    const double level[MTM_EMITTERS_MAX] = {(double)NAN};
    mtm_quality quality = {.white = {3000, 0}};
    mtm_spectrum spectrum = {.value = {(double)NAN}};
    mtm_judgement judgement = {.has_spectrum = false};
    mtm_picture *picture = NULL;
    mtm_match match;
    mtm_match_light_view view = {.rig = world.rig,
                                 .target = &world.target,
                                 .match = &match,
                                 .judgement = &judgement,
                                 .count = 1};

    REFUSED(mtm_picture_of_rendering, NULL, 1, NULL, &picture);
    REFUSED(mtm_picture_of_rendering, &light, 0, NULL, &picture);
    REFUSED(mtm_picture_of_rendering, &light, 1, NULL, NULL);
    BAD_LIGHT(name, NULL);
    BAD_LIGHT(spectrum, &spectrum);
    BAD_LIGHT(fixture, world.fixture);
    quality.cri.r[3] = (double)INFINITY;
    BAD_LIGHT(quality, &quality);
    mtm_light_view levels = light;
    levels.fixture = world.fixture;
    levels.level = level;
    REFUSED(mtm_picture_of_rendering, &levels, 1, NULL, &picture);
    REFUSED(mtm_picture_of_match_rendering, NULL, NULL, &picture);
    DONE(mtm_matcher_unit, world.matcher, 0, &request, &match);
    REFUSED(mtm_picture_of_match_rendering, &view, NULL, NULL);
    match.unit = mtm_rig_unit_count(world.rig);
    REFUSED(mtm_picture_of_match_rendering, &view, NULL, &picture);
    view.count = 0;
    REFUSED(mtm_picture_of_match_rendering, &view, NULL, &picture);
    HOLDS(mtm_picture_of_rendering, picture == NULL);
}

#define BAD_CHOICES(member, value)                                                                 \
    do {                                                                                           \
        mtm_choices_view bad_ = view;                                                              \
        bad_.member = (value);                                                                     \
        REFUSED(mtm_picture_of_choices, &bad_, NULL, &picture);                                    \
    } while (0)

static void walk_choices_picture(void)
{
    mtm_way_view way = {.match = {.flux_lm = 100}};
    mtm_picture *picture = NULL;
    const mtm_choices_view view = {
        .unit = mtm_rig_unit(world.rig, 0), .target = &world.target, .way = &way, .count = 1};

    REFUSED(mtm_picture_of_choices, NULL, NULL, &picture);
    REFUSED(mtm_picture_of_choices, &view, NULL, NULL);
    BAD_CHOICES(unit, NULL);
    BAD_CHOICES(target, NULL);
    BAD_CHOICES(way, NULL);
    BAD_CHOICES(count, 0);
    BAD_CHOICES(count, MTM_CHOICES_MAX + 1);
    for (size_t i = 0; i < NO_NUMBERS; i++) {
        way.match.flux_lm = no_number[i];
        REFUSED(mtm_picture_of_choices, &view, NULL, &picture);
    }
    HOLDS(mtm_picture_of_choices, picture == NULL);
}

#define BAD_LOADS(member, value)                                                                   \
    do {                                                                                           \
        mtm_demand_view bad_ = view;                                                               \
        bad_.member = (value);                                                                     \
        REFUSED(mtm_picture_of_demand, &bad_, NULL, &picture);                                     \
    } while (0)

static void walk_demand_picture(void)
{
    const size_t units = mtm_rig_unit_count(world.rig);
    double *watts = calloc(units, sizeof *watts);
    mtm_picture *picture = NULL;
    mtm_demand *demand = NULL;
    mtm_rig *empty = NULL;

    assert_non_null(watts);
    DONE(mtm_demand_create, world.rig, watts, NULL, &demand);
    DONE(mtm_rig_create, "no supply", &empty);
    const mtm_demand_case cases[] = {{"dark", demand}}, no_name[] = {{NULL, demand}},
                          no_demand[] = {{"dark", NULL}};
    const mtm_demand_view view = {world.rig, cases, 1};
    REFUSED(mtm_picture_of_demand, NULL, NULL, &picture);
    REFUSED(mtm_picture_of_demand, &view, NULL, NULL);
    BAD_LOADS(rig, NULL);
    BAD_LOADS(rig, empty);
    BAD_LOADS(cases, NULL);
    BAD_LOADS(cases, no_name);
    BAD_LOADS(cases, no_demand);
    BAD_LOADS(count, 0);
    BAD_LOADS(count, MTM_DEMAND_CASES_MAX + 1);
    HOLDS(mtm_picture_of_demand, picture == NULL);
    mtm_rig_free(empty);
    mtm_demand_free(demand);
    free(watts);
}

#define BAD_SURVEY(member, value)                                                                  \
    do {                                                                                           \
        mtm_survey_view bad_ = view;                                                               \
        bad_.member = (value);                                                                     \
        REFUSED(mtm_picture_of_survey, &bad_, NULL, &picture);                                     \
    } while (0)

static void walk_survey_picture(void)
{
    mtm_picture *picture = NULL;
    mtm_survey *survey = NULL;
    mtm_rig *empty = NULL;

    DONE(mtm_survey_create, world.rig, NULL, 0, NULL, &survey);
    DONE(mtm_rig_create, "no unit", &empty);
    const mtm_survey_view view = {world.rig, survey, 0};
    REFUSED(mtm_picture_of_survey, NULL, NULL, &picture);
    REFUSED(mtm_picture_of_survey, &view, NULL, NULL);
    BAD_SURVEY(rig, NULL);
    BAD_SURVEY(rig, empty);
    BAD_SURVEY(survey, NULL);
    BAD_SURVEY(within_uv, -0.001);
    BAD_SURVEY(within_uv, 0.11);
    for (size_t i = 0; i < NO_NUMBERS; i++)
        BAD_SURVEY(within_uv, no_number[i]);
    HOLDS(mtm_picture_of_survey, picture == NULL);
    mtm_rig_free(empty);
    mtm_survey_free(survey);
}

#define BAD_FILTERS(member, value)                                                                 \
    do {                                                                                           \
        mtm_filter_view bad_ = view;                                                               \
        bad_.member = (value);                                                                     \
        REFUSED(mtm_picture_of_filters, &bad_, NULL, &picture);                                    \
    } while (0)

static void walk_filter_picture(void)
{
    static const mtm_filter filter = {.name = "a"};
    static const mtm_light light = {.name = "b"};
    const mtm_shown_filter good = {.filter = &filter, .made = {.light_xyz = {1, 1, 1}}};
    const mtm_shown_filter none = {.made = {.light_xyz = {1, 1, 1}}}, dark = {.filter = &filter};
    mtm_picture *picture = NULL;
    mtm_target nowhere = world.target;
    const mtm_filter_view view = {.light = &light, .filter = &good, .count = 1};

    REFUSED(mtm_picture_of_filters, NULL, NULL, &picture);
    REFUSED(mtm_picture_of_filters, &view, NULL, NULL);
    BAD_FILTERS(light, NULL);
    BAD_FILTERS(filter, NULL);
    BAD_FILTERS(filter, &none);
    BAD_FILTERS(filter, &dark);
    BAD_FILTERS(count, 0);
    BAD_FILTERS(count, MTM_FILTERS_MAX + 1);
    BAD_FILTERS(observer, (mtm_observer)NO_ENUM);
    for (size_t i = 0; i < NO_XYS; i++) {
        nowhere.xy = no_xy[i];
        BAD_FILTERS(target, &nowhere);
    }
    HOLDS(mtm_picture_of_filters, picture == NULL);
}

#define BAD_PALETTE(member, value)                                                                 \
    do {                                                                                           \
        mtm_palette_view bad_ = view;                                                              \
        bad_.member = (value);                                                                     \
        REFUSED(mtm_picture_of_palette, &bad_, NULL, &picture);                                    \
    } while (0)

static void walk_palette_picture(void)
{
    static const char text[] =
        "{\"metamer\":\"colours/1\",\"name\":\"a\",\"colours\":{\"b\":{\"cct_k\":3200}}}";
    mtm_palette *palette = NULL;
    mtm_picture *picture = NULL;
    mtm_match match, nobody;
    const mtm_match_request request = {.target = world.target};

    DONE(mtm_palette_parse, text, sizeof text - 1, "colours", NULL, world.rig, MTM_OBSERVER_2,
         &palette);
    DONE(mtm_matcher_unit, world.matcher, 0, &request, &match);
    nobody = match;
    nobody.unit = mtm_rig_unit_count(world.rig);
    const mtm_palette_view view = {
        .rig = world.rig, .palette = palette, .match = &match, .count = 1};
    REFUSED(mtm_picture_of_palette, NULL, NULL, &picture);
    REFUSED(mtm_picture_of_palette, &view, NULL, NULL);
    BAD_PALETTE(rig, NULL);
    BAD_PALETTE(palette, NULL);
    BAD_PALETTE(match, NULL);
    BAD_PALETTE(match, &nobody);
    BAD_PALETTE(count, 0);
    for (size_t i = 0; i < NO_XYS; i++) {
        if (no_xy[i].x != 0 || no_xy[i].y != 0) /* which stands for D65 */
            BAD_PALETTE(white, no_xy[i]);
    }
    HOLDS(mtm_picture_of_palette, picture == NULL);
    mtm_palette_free(palette);
}

void walk_pictures(void **state)
{
    mtm_picture_form form = MTM_PICTURE_PDF;
    mtm_picture *picture = NULL;
    mtm_target nowhere = world.target;
    size_t count = 7;

    (void)state;
    HOLDS(mtm_picture_form_at, mtm_picture_form_at(0) != NULL && mtm_picture_form_at(99) == NULL);
    REFUSED(mtm_picture_form_from_path, NULL, &form);
    REFUSED(mtm_picture_form_from_path, "a.svg", NULL);
    REFUSED(mtm_picture_form_from_path, "a.jpeg", &form);
    HOLDS(mtm_picture_form_from_path, form == MTM_PICTURE_PDF);
    REFUSED(mtm_picture_of_colour, NULL, NULL, &picture);
    REFUSED(mtm_picture_of_colour, &world.target, NULL, NULL);
    for (size_t i = 0; i < NO_XYS; i++) {
        nowhere.xy = no_xy[i];
        REFUSED(mtm_picture_of_colour, &nowhere, NULL, &picture);
    }
    for (size_t i = 0; i < NO_NUMBERS; i++) {
        BAD_PICTURE(width, no_number[i]);
        BAD_PICTURE(height, no_number[i]);
    }
    BAD_PICTURE(width, -1);
    BAD_PICTURE(width, 239);
    BAD_PICTURE(height, 8193);
    BAD_PICTURE(form, (mtm_picture_form)NO_ENUM);
    BAD_PICTURE(diagram, (mtm_diagram)NO_ENUM);
    HOLDS(mtm_picture_bytes, mtm_picture_bytes(NULL, &count) == NULL && count == 7);
    REFUSED(mtm_picture_save, NULL, "a.svg");
    walk_match_picture();
    walk_palette_picture();
    walk_filter_picture();
    walk_rendering_picture();
    walk_choices_picture();
    walk_demand_picture();
    walk_survey_picture();
    REFUSED(mtm_picture_of_fixture, NULL, MTM_OBSERVER_2, NULL, &picture);
    REFUSED(mtm_picture_of_fixture, world.fixture, MTM_OBSERVER_2, NULL, NULL);
    REFUSED(mtm_picture_of_fixture, world.fixture, (mtm_observer)NO_ENUM, NULL, &picture);
    HOLDS(mtm_picture_of_fixture, picture == NULL);
    mtm_picture_free(NULL);
    walk_note("mtm_picture_free");
}
