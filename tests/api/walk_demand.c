/* SPDX-License-Identifier: MIT */
/* The walk through layouts, loads and sheets. */
#include "walk.h"

#include <metamer/cue_demand.h>
#include <metamer/demand.h>
#include <metamer/layout.h>
#include <metamer/limiter.h>
#include <metamer/match_demand.h>
#include <metamer/sheet.h>
#include <metamer/survey.h>

static void walk_layout(void)
{
    static const mtm_place bad[] = {
        {.supply = 0, .port = 99},      {.supply = 99, .port = 1},      {.supply = -2},
        {.supply = -1, .universe = -1}, {.supply = -1, .address = 513}, {.supply = -1, .port = 1}};
    const double shares[] = {NAN, INFINITY, -1, 1.5};
    mtm_rig *rig = world.rig;
    size_t units = mtm_rig_unit_count(rig);
    mtm_place *place = calloc(units, sizeof *place);
    mtm_layout_options options = {.first_universe = -1};
    mtm_layout_report report;
    const mtm_place open = {.supply = -1};

    assert_non_null(place);
    LEAVES(place[0], mtm_layout_places, NULL, place);
    LEAVES(place[0], mtm_layout_places, rig, NULL);
    REFUSED(mtm_layout_fill, NULL, NULL, place, &report);
    REFUSED(mtm_layout_fill, rig, NULL, NULL, &report);
    REFUSED(mtm_layout_fill, rig, NULL, place, NULL);
    for (size_t i = 0; i < COUNT(bad); i++) {
        mtm_layout_places(rig, place);
        place[1] = bad[i];
        REFUSED(mtm_layout_fill, rig, NULL, place, &report);
        HOLDS(mtm_layout_fill, memcmp(&place[1], &bad[i], sizeof bad[i]) == 0);
        REFUSED(mtm_layout_apply, rig, place);
    }
    mtm_layout_places(rig, place);
    REFUSED(mtm_layout_fill, rig, &options, place, &report);
    options.first_universe = 64000;
    REFUSED(mtm_layout_fill, rig, &options, place, &report);
    for (size_t i = 0; i < COUNT(shares); i++) {
        options = (mtm_layout_options){.supply_share = shares[i]};
        REFUSED(mtm_layout_fill, rig, &options, place, &report);
    }
    REFUSED(mtm_layout_move, NULL, place, 0, open);
    REFUSED(mtm_layout_move, rig, NULL, 0, open);
    REFUSED(mtm_layout_move, rig, place, units, open);
    REFUSED(mtm_layout_move, rig, place, 0, ((mtm_place){.supply = 99}));
    REFUSED(mtm_layout_move, rig, place, 0, ((mtm_place){.supply = -2}));
    REFUSED(mtm_layout_move, rig, place, 0, ((mtm_place){.supply = -1, .address = 513}));
    REFUSED(mtm_layout_move, rig, place, 0, ((mtm_place){.supply = -1, .address = 1}));
    REFUSED(mtm_layout_apply, NULL, place);
    REFUSED(mtm_layout_apply, rig, NULL);
    free(place);
}

#define BAD_DEMAND(member, value)                                                                  \
    do {                                                                                           \
        options = (mtm_demand_options){.member = (value)};                                         \
        REFUSED(mtm_demand_create, world.rig, world.watts, &options, &none);                       \
    } while (0)

static void walk_load(void)
{
    const mtm_unit *unit = mtm_rig_unit(world.rig, 0);
    const double shares[] = {NAN, INFINITY, -INFINITY, -0.1, 1.1};
    double factor[2] = {1, 0.5};
    double level[MTM_EMITTERS_MAX] = {0};
    const bool both[2] = {true, true};
    mtm_demand_options options;
    mtm_demand *none = NULL;
    mtm_demand *demand = NULL;

    NOTHING(double, mtm_demand_full_w, NULL);
    NOTHING(double, mtm_demand_level_w, NULL, level);
    NOTHING(double, mtm_demand_level_w, unit, NULL);
    REFUSED(mtm_demand_white_w, NULL, world.target.xy, world.watts);
    REFUSED(mtm_demand_white_w, world.rig, world.target.xy, NULL);
    EACH_XY(xy)
    REFUSED(mtm_demand_white_w, world.rig, *xy, world.watts);
    REFUSED(mtm_demand_create, NULL, world.watts, NULL, &none);
    REFUSED(mtm_demand_create, world.rig, NULL, NULL, &none);
    REFUSED(mtm_demand_create, world.rig, world.watts, NULL, NULL);
    REFUSED(mtm_demand_factors, NULL, world.watts, NULL, factor);
    REFUSED(mtm_demand_factors, world.rig, NULL, NULL, factor);
    REFUSED(mtm_demand_factors, world.rig, world.watts, NULL, NULL);
    EACH_NUMBER(n)
    {
        level[0] = *n;
        NOTHING(double, mtm_demand_level_w, unit, level);
        world.watts[0] = *n;
        REFUSED(mtm_demand_create, world.rig, world.watts, NULL, &none);
        REFUSED(mtm_demand_factors, world.rig, world.watts, NULL, factor);
    }
    world.watts[0] = 0;
    for (size_t i = 0; i < COUNT(shares); i++) {
        BAD_DEMAND(power_factor, shares[i]);
        BAD_DEMAND(efficiency, shares[i]);
        BAD_DEMAND(circuit_share, shares[i]);
        BAD_DEMAND(supply_share, shares[i]);
        REFUSED(mtm_demand_factors, world.rig, world.watts, &options, factor);
    }
    EACH_NUMBER(n)
    BAD_DEMAND(voltage_v, *n);
    assert_null(none);
    DONE(mtm_demand_create, world.rig, world.watts, NULL, &demand);
    LEAVES(level, mtm_demand_take_fuller, NULL, demand);
    LEAVES(level, mtm_demand_take_fuller, demand, NULL);
    HOLDS(mtm_demand_row_count, mtm_demand_row_count(NULL) == 0);
    HOLDS(mtm_demand_row_at, mtm_demand_row_at(NULL, 0) == NULL);
    HOLDS(mtm_demand_row_at, mtm_demand_row_at(demand, mtm_demand_row_count(demand)) == NULL);
    HOLDS(mtm_demand_over_count, mtm_demand_over_count(NULL) == 0);
    HOLDS(mtm_demand_whole, mtm_demand_whole(NULL).drawn_w == 0);
    LEAVES(factor, mtm_demand_join_factors, NULL, 2, factor);
    LEAVES(factor, mtm_demand_join_factors, both, 2, NULL);
    mtm_demand_free(demand);
    LEAVES(level, mtm_demand_free, NULL);
}

static void walk_match_load(void)
{
    const mtm_match_request request = {.target = world.target};
    const mtm_demand_options bad = {.supply_share = -1};
    mtm_matcher *m = world.matcher;
    mtm_match match[1] = {{.unit = 0}};
    const mtm_match absent[1] = {{.unit = mtm_rig_unit_count(world.rig)}};
    mtm_match lost[1] = {absent[0]};
    bool held[1] = {false};
    mtm_demand *none = NULL;

    REFUSED(mtm_match_demand, NULL, match, 1, NULL, &none);
    REFUSED(mtm_match_demand, world.rig, NULL, 1, NULL, &none);
    REFUSED(mtm_match_demand, world.rig, absent, 1, NULL, &none);
    REFUSED(mtm_match_demand, world.rig, match, 1, &bad, &none);
    REFUSED(mtm_match_demand, world.rig, match, 1, NULL, NULL);
    assert_null(none);
    REFUSED(mtm_match_hold_demand, NULL, &request, match, 1, NULL, NULL, held);
    REFUSED(mtm_match_hold_demand, m, NULL, match, 1, NULL, NULL, held);
    REFUSED(mtm_match_hold_demand, m, &request, NULL, 1, NULL, NULL, held);
    REFUSED(mtm_match_hold_demand, m, &request, match, 0, NULL, NULL, held);
    REFUSED(mtm_match_hold_demand, m, &request, lost, 1, NULL, NULL, held);
    REFUSED(mtm_match_hold_demand, m, &request, match, 1, NULL, &bad, held);
    REFUSED(mtm_match_hold_demand, m, &request, match, 1, NULL, NULL, NULL);
    EACH_NUMBER(n)
    {
        match[0].watts = *n;
        REFUSED(mtm_match_demand, world.rig, match, 1, NULL, &none);
        REFUSED(mtm_match_hold_demand, m, &request, match, 1, NULL, NULL, held);
    }
}

static void walk_cue_load(void)
{
    const mtm_demand_options bad = {.supply_share = -1};
    const size_t absent = mtm_show_cue_count(world.show);
    mtm_cue_demand *none = NULL;
    mtm_cue_demand *demands = NULL;
    mtm_demand *demand = NULL;
    double total_w = 0;

    REFUSED(mtm_cue_demand_create, NULL, NULL, NULL, &none);
    REFUSED(mtm_cue_demand_create, world.show, NULL, &bad, &none);
    REFUSED(mtm_cue_demand_create, world.show, NULL, NULL, NULL);
    assert_null(none);
    DONE(mtm_cue_demand_create, world.show, NULL, NULL, &demands);
    REFUSED(mtm_cue_demand_set, NULL, 0);
    REFUSED(mtm_cue_demand_set, demands, absent);
    REFUSED(mtm_cue_demand_run, NULL, 0, false, &demand, &total_w);
    REFUSED(mtm_cue_demand_run, demands, absent, false, &demand, &total_w);
    REFUSED(mtm_cue_demand_run, demands, 0, false, NULL, &total_w);
    REFUSED(mtm_cue_demand_run, demands, 0, false, &demand, NULL);
    assert_null(demand);
    mtm_cue_demand_free(demands);
    LEAVES(total_w, mtm_cue_demand_free, NULL);
}

static mtm_result no_frames(void *context, uint64_t number, uint8_t *const *slots, bool *end,
                            mtm_error *error)
{
    (void)context;
    (void)number;
    (void)slots;
    (void)error;
    *end = true;
    return MTM_OK;
}

static void walk_limiter(void)
{
    const mtm_frame_universe universe = {1, 512};
    const mtm_frame_source good = {
        .layout = {.rate_hz = 40, .universe_count = 1, .universe = &universe}, .fill = no_frames};
    const mtm_demand_options half = {.supply_share = NAN};
    mtm_frame_source bad = {.context = NULL};
    mtm_limiter *none = NULL;

    REFUSED(mtm_limiter_create, NULL, NULL, &good, &none);
    REFUSED(mtm_limiter_create, world.rig, &half, &good, &none);
    REFUSED(mtm_limiter_create, world.rig, NULL, NULL, &none);
    REFUSED(mtm_limiter_create, world.rig, NULL, &bad, &none);
    bad.layout = good.layout; /* and nothing that fills it */
    REFUSED(mtm_limiter_create, world.rig, NULL, &bad, &none);
    REFUSED(mtm_limiter_create, world.rig, NULL, &good, NULL);
    assert_null(none);
    HOLDS(mtm_limiter_source, mtm_limiter_source(NULL).fill == NULL);
    HOLDS(mtm_limiter_lowered, mtm_limiter_lowered(NULL) == 0);
    LEAVES(bad, mtm_limiter_free, NULL);
}

static void walk_survey(void)
{
    static const double cct_k[] = {3000};
    const mtm_survey_options good = {.cct_k = cct_k, .cct_count = 1};
    mtm_survey *survey = NULL;
    size_t unit = 0;

    REFUSED(mtm_survey_create, NULL, NULL, 0, &good, &survey);
    REFUSED(mtm_survey_create, world.rig, NULL, 1, &good, &survey);
    REFUSED(mtm_survey_create, world.rig, &unit, 0, &good, &survey);
    REFUSED(mtm_survey_create, world.rig, NULL, 0, &good, NULL);
    REFUSED(mtm_survey_create, world.rig, NULL, 0, &((mtm_survey_options){.cct_count = 1}),
            &survey);
    EACH_NUMBER(n)
    {
        REFUSED(mtm_survey_create, world.rig, NULL, 0, &((mtm_survey_options){.within_uv = *n}),
                &survey);
    }
    unit = mtm_rig_unit_count(world.rig);
    REFUSED(mtm_survey_create, world.rig, &unit, 1, &good, &survey);
    assert_null(survey);
    HOLDS(mtm_survey_sums_of, mtm_survey_sums_of(NULL).units == 0);
    HOLDS(mtm_survey_kind_count, mtm_survey_kind_count(NULL) == 0);
    HOLDS(mtm_survey_kind_at, mtm_survey_kind_at(NULL, 0) == NULL);
    HOLDS(mtm_survey_range_count, mtm_survey_range_count(NULL) == 0);
    HOLDS(mtm_survey_range_at, mtm_survey_range_at(NULL, 0) == NULL);
    HOLDS(mtm_survey_white_count, mtm_survey_white_count(NULL) == 0);
    HOLDS(mtm_survey_white_at, mtm_survey_white_at(NULL, 0) == NULL);
    LEAVES(unit, mtm_survey_free, NULL);
}

void walk_demand(void **state)
{
    mtm_sheet_request request = {.type = MTM_SHEET_LABELS};
    char *text = NULL;
    size_t length = 0;

    (void)state;
    walk_layout();
    walk_load();
    walk_limiter();
    walk_match_load();
    walk_cue_load();
    walk_survey();
    REFUSED(mtm_sheet_write, NULL, &request, &text, &length);
    REFUSED(mtm_sheet_write, world.rig, NULL, &text, &length);
    REFUSED(mtm_sheet_write, world.rig, &request, NULL, &length);
    REFUSED(mtm_sheet_write, world.rig, &request, &text, NULL);
    request.type = (mtm_sheet_type)NO_ENUM;
    REFUSED(mtm_sheet_write, world.rig, &request, &text, &length);
    request = (mtm_sheet_request){.format = (mtm_sheet_format)NO_ENUM};
    REFUSED(mtm_sheet_write, world.rig, &request, &text, &length);
}
