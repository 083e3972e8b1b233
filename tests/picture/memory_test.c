/* SPDX-License-Identifier: MIT */
/* Pictures whose memory runs out at each allocation: a sentence, nothing leaked, or the same bytes.
 */
#include "support/failing.h"

#include <metamer/choices_picture.h>
#include <metamer/demand_picture.h>
#include <metamer/diagram.h>
#include <metamer/filter_picture.h>
#include <metamer/layout_picture.h>
#include <metamer/palette_picture.h>
#include <metamer/rendering_picture.h>
#include <metamer/survey_picture.h>
#include <metamer/trim_picture.h>

static struct {
    mtm_rig *rig;
    mtm_matcher *matcher;
    mtm_target target;
    mtm_match match[16];
    mtm_judgement judgement; /* of the first */
    mtm_palette *palette;
    size_t count;
    mtm_demand *demand;
    mtm_survey *survey; /* of one unit, at one white */
} world;

static mtm_result tell(mtm_result result, mtm_picture *picture)
{
    size_t count = 0;

    if (result == MTM_OK)
        failing_tell(mtm_picture_bytes(picture, &count), count);
    mtm_picture_free(picture);
    return result;
}

static mtm_result draw_match(mtm_error *error)
{
    const mtm_picture_options options = {.width = 240, .height = 300, .date = "2026-11-26"};
    const mtm_match_view view = {.rig = world.rig,
                                 .matcher = world.matcher,
                                 .target = &world.target,
                                 .match = world.match,
                                 .count = 3};
    mtm_picture *picture = NULL;

    mtm_result result = mtm_picture_of_match(&view, &options, &picture, error);

    return tell(result, picture);
}

static mtm_result draw_rendering(mtm_error *error)
{
    const mtm_picture_options options = {.width = 240, .height = 300};
    const mtm_match_light_view view = {.rig = world.rig,
                                       .target = &world.target,
                                       .match = world.match,
                                       .judgement = &world.judgement,
                                       .count = 1};
    mtm_picture *picture = NULL;
    mtm_result result = mtm_picture_of_match_rendering(&view, &options, &picture, error);

    return tell(result, picture);
}

static mtm_result draw_demand(mtm_error *error)
{
    const mtm_picture_options options = {.width = 400, .height = 300};
    const mtm_demand_case cases[] = {{"dark", world.demand}, {"again", world.demand}};
    const mtm_demand_view view = {world.rig, cases, 2};
    mtm_picture *picture = NULL;
    mtm_result result = mtm_picture_of_demand(&view, &options, &picture, error);

    return tell(result, picture);
}

static mtm_result draw_layout(mtm_error *error)
{
    const mtm_picture_options options = {.width = 240, .height = 240};
    mtm_picture *picture = NULL;
    mtm_place place[16];

    mtm_layout_places(world.rig, place);
    const mtm_layout_view view = {.rig = world.rig, .place = place};
    mtm_result result = mtm_picture_of_layout(&view, &options, &picture, error);

    return tell(result, picture);
}

static mtm_result draw_survey(mtm_error *error)
{
    const mtm_picture_options options = {.width = 240, .height = 360};
    const mtm_survey_view view = {world.rig, world.survey, 0};
    mtm_picture *picture = NULL;
    mtm_result result = mtm_picture_of_survey(&view, &options, &picture, error);

    return tell(result, picture);
}

static mtm_result draw_moved(mtm_error *error)
{
    const mtm_picture_options options = {.width = 240, .height = 300};
    const mtm_meter meter = {.xy = 0.002};
    const mtm_moved moved[] = {
        {.unit = 0, .old_uv = {0.23, 0.51}, .new_uv = {0.231, 0.51}, .old_most = 2, .new_most = 1},
        {.unit = 1, .old_uv = {0.23, 0.512}, .new_uv = {0.23, 0.51}, .old_most = 2, .new_most = 1}};
    const mtm_moved_view view = {.rig = world.rig,
                                 .moved = moved,
                                 .count = 2,
                                 .target = {0.38, 0.38},
                                 .tolerance_uv = 0.0033,
                                 .meter = &meter};
    mtm_picture *picture = NULL;
    mtm_result result = mtm_picture_of_moved(&view, &options, &picture, error);

    return tell(result, picture);
}

static mtm_result draw_choices(mtm_error *error)
{
    const mtm_picture_options options = {.width = 240, .height = 300};
    const mtm_way_view way = {.match = world.match[0], .rf = 80, .ra = 85, .name = "most light"};
    const mtm_choices_view view = {
        .unit = mtm_rig_unit(world.rig, 0), .target = &world.target, .way = &way, .count = 1};
    mtm_picture *picture = NULL;
    mtm_result result = mtm_picture_of_choices(&view, &options, &picture, error);

    return tell(result, picture);
}

static mtm_result draw_filter(mtm_error *error)
{
    static mtm_filter filter = {.name = "half"};
    static mtm_light light = {.name = "even"};
    mtm_picture *picture = NULL;

    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        filter.transmittance.value[i] = i < 200 ? 0.25 : 0.75;
        light.spectrum.value[i] = 1;
    }
    mtm_shown_filter shown = {.filter = &filter};
    const mtm_filter_view view = {.light = &light, .filter = &shown, .count = 1};
    const mtm_picture_options options = {.width = 240, .height = 300};
    mtm_result result =
        mtm_filter_over(&filter, &light.spectrum, MTM_OBSERVER_2, &shown.made, error);
    if (result == MTM_OK)
        result = mtm_picture_of_filters(&view, &options, &picture, error);
    return tell(result, picture);
}

static mtm_result draw_palette(mtm_error *error)
{
    const mtm_picture_options options = {.width = 240, .height = 300};
    const mtm_palette_view view = {
        .rig = world.rig, .palette = world.palette, .match = world.match, .count = 2};
    mtm_picture *picture = NULL;
    mtm_result result = mtm_picture_of_palette(&view, &options, &picture, error);

    return tell(result, picture);
}

static const failing_row rows[] = {
    {"a match", draw_match},       {"a palette", draw_palette}, {"a filter", draw_filter},
    {"rendering", draw_rendering}, {"choices", draw_choices},   {"a demand", draw_demand},
    {"a layout", draw_layout},     {"what moved", draw_moved},  {"a survey", draw_survey}};

static int make_world(void **state)
{
    char path[512];
    mtm_error error = {""};

    (void)state;
    (void)snprintf(path, sizeof path, "%s/examples/hall.json", getenv("METAMER_SOURCE"));
    if (mtm_rig_load(path, &world.rig, &error) != MTM_OK ||
        mtm_matcher_create(world.rig, MTM_OBSERVER_2, &world.matcher, &error) != MTM_OK ||
        mtm_target_from_xy((mtm_xy){0.25, 0.2}, MTM_OBSERVER_2, &world.target, &error) != MTM_OK)
        return -1;
    const mtm_match_request request = {.target = world.target};
    world.count = mtm_rig_unit_count(world.rig);
    for (size_t i = 0; i < world.count; i++) {
        if (mtm_matcher_unit(world.matcher, i, &request, &world.match[i], &error) != MTM_OK)
            return -1;
    }
    double *dark = calloc(world.count + 1, sizeof *dark);
    mtm_result result = mtm_demand_create(world.rig, dark, NULL, &world.demand, &error);
    free(dark);
    if (result != MTM_OK)
        return -1;
    static const double white_k[] = {4000};
    const mtm_survey_options one = {.cct_k = white_k, .cct_count = 1};
    if (mtm_survey_create(world.rig, &(size_t){0}, 1, &one, &world.survey, &error) != MTM_OK)
        return -1;
    static const char colours[] =
        "{\"metamer\":\"colours/1\",\"name\":\"a\",\"colours\":{\"b\":{\"xy\":[0.25,0.2]}}}";
    if (mtm_palette_parse(colours, sizeof colours - 1, "colours", NULL, NULL, MTM_OBSERVER_2,
                          &world.palette, &error) != MTM_OK)
        return -1;
    return mtm_judge(mtm_rig_unit(world.rig, 0)->fixture, world.match[0].level, &world.judgement,
                     &error) == MTM_OK
               ? 0
               : -1;
}

static int free_world(void **state)
{
    (void)state;
    mtm_survey_free(world.survey);
    mtm_demand_free(world.demand);
    mtm_palette_free(world.palette);
    mtm_matcher_free(world.matcher);
    mtm_rig_free(world.rig);
    return 0;
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];
    mtm_picture *picture = NULL;
    mtm_target white;

    if (mtm_target_from_xy((mtm_xy){0.3, 0.3}, MTM_OBSERVER_2, &white, NULL) != MTM_OK)
        return 1;
    mtm_result result = mtm_picture_of_colour(&white, NULL, &picture, NULL);
    mtm_picture_free(picture);
    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: cairo and Pango are not here\n");
        return 77;
    }
    ROW_TESTS(tests, rows, failing_test);
    return cmocka_run_group_tests_name("memory of pictures", tests, make_world, free_world);
}
