/* SPDX-License-Identifier: MIT */
/* Failing memory in layouts, loads and sheets. */
#include "support/failing.h"

#include "plan/layout_address.h"
#include "plan/layout_port.h"

#include <metamer/layout.h>
#include <metamer/match_demand.h>
#include <metamer/sheet.h>
#include <metamer/survey.h>

#include <unistd.h>

enum { UNITS_MAX = 32 };

static mtm_rig *hall, *foyer;
static mtm_matcher *matcher;
static mtm_match_request full;
static mtm_match looks[UNITS_MAX];
static size_t units; /* of the hall */

static void tell_places(const mtm_place *place, size_t count)
{
    failing_tell(place, count * sizeof *place);
}

static void tell_addresses(const mtm_address_report *report)
{
    failing_tell(&report->universes, sizeof report->universes);
    failing_tell(&report->universes_proven, sizeof report->universes_proven);
    failing_tell(&report->splits_proven, sizeof report->splits_proven);
    failing_tell(&report->gap_slots, sizeof report->gap_slots);
}

/* Fills; a layout that failed leaves the places as they were. */
static mtm_result fill(const mtm_rig *rig, mtm_place *place, mtm_error *error)
{
    mtm_place before[UNITS_MAX];
    mtm_layout_report report;
    const size_t count = mtm_rig_unit_count(rig);

    memcpy(before, place, count * sizeof *place);
    mtm_result result = mtm_layout_fill(rig, NULL, place, &report, error);
    if (result != MTM_OK) {
        assert_memory_equal(place, before, count * sizeof *place);
        return result;
    }
    tell_places(place, count);
    failing_tell(&report.universes_renumbered, sizeof report.universes_renumbered);
    failing_tell(&report.port.peak, sizeof report.port.peak);
    failing_tell(&report.port.peak_proven, sizeof report.port.peak_proven);
    tell_addresses(&report.address);
    return MTM_OK;
}

static mtm_result fill_open(mtm_error *error)
{
    mtm_place place[UNITS_MAX];

    mtm_layout_places(foyer, place);
    return fill(foyer, place, error);
}

/* Every unit open, supplies and all. */
static mtm_result fill_anew(mtm_error *error)
{
    mtm_place place[UNITS_MAX];

    for (size_t i = 0; i < units; i++)
        place[i] = (mtm_place){.supply = -1};
    return fill(hall, place, error);
}

/* Widths that no simple way packs into the fewest universes. */
static mtm_result pack_widths(mtm_error *error)
{
    static const int slots[] = {171, 170, 129, 128, 103, 215};
    mtmi_block block[60];
    mtm_address_report report;

    for (size_t i = 0; i < COUNT(block); i++)
        block[i] = (mtmi_block){.name = "unit",
                                .slots = slots[i % COUNT(slots)] + (int)(i % 7),
                                .group = MTMI_GROUP_NONE};
    failing_mark(&report, sizeof report);
    mtm_result result = mtmi_address_blocks(block, COUNT(block), 1, &report, error);
    if (result != MTM_OK) {
        failing_check_mark(&report, sizeof report);
        for (size_t i = 0; i < COUNT(block); i++)
            assert_int_equal(block[i].universe, 0);
        return result;
    }
    tell_addresses(&report);
    for (size_t i = 0; i < COUNT(block); i++)
        failing_tell(&block[i].address, sizeof block[i].address);
    return MTM_OK;
}

/* Watts whose smallest peak only the search proves. */
static mtm_result feed_few(mtm_error *error)
{
    static const double watts[] = {70, 64, 53, 47, 41, 38, 31, 29, 23};
    const mtm_supply supplies[] = {{.name = "a", .ports = 2, .port_w = 120, .total_w = 210},
                                   {.name = "b", .ports = 2, .port_w = 120, .total_w = 210},
                                   {.name = "c", .ports = 2, .port_w = 120, .total_w = 210}};
    mtmi_feed feed[COUNT(watts)];
    mtm_port_report report;

    for (size_t i = 0; i < COUNT(feed); i++)
        feed[i] = (mtmi_feed){"unit", watts[i], -1, 0};
    failing_mark(&report, sizeof report);
    mtm_result result =
        mtmi_port_feeds(feed, COUNT(feed), supplies, COUNT(supplies), &report, error);
    if (result != MTM_OK) {
        failing_check_mark(&report, sizeof report);
        for (size_t i = 0; i < COUNT(feed); i++)
            assert_int_equal(feed[i].port, 0);
        return result;
    }
    assert_true(report.peak_proven);
    failing_tell(&report.peak, sizeof report.peak);
    failing_tell(&report.peak_proven, sizeof report.peak_proven);
    for (size_t i = 0; i < COUNT(feed); i++)
        failing_tell(&feed[i].port, sizeof feed[i].port);
    return MTM_OK;
}

/* Widths whose universes only the search proves. */
static mtm_result pack_few(mtm_error *error)
{
    static const int slots[] = {281, 262, 243, 222, 211, 187, 171, 149, 133, 119, 97};
    mtmi_block block[COUNT(slots)];
    mtm_address_report report;

    for (size_t i = 0; i < COUNT(block); i++)
        block[i] = (mtmi_block){.name = "unit", .slots = slots[i], .group = (uint32_t)(i % 3)};
    mtm_result result = mtmi_address_blocks(block, COUNT(block), 1, &report, error);
    if (result == MTM_OK)
        tell_addresses(&report);
    return result;
}

static mtm_result tell_demand(mtm_result result, mtm_demand *demand)
{
    if (result != MTM_OK)
        assert_null(demand);
    for (size_t i = 0; result == MTM_OK && i < mtm_demand_row_count(demand); i++)
        failing_tell(&mtm_demand_row_at(demand, i)->part, sizeof(double));
    mtm_demand_free(demand);
    return result;
}

static mtm_result weigh_match(mtm_error *error)
{
    mtm_demand *demand = NULL;
    mtm_result result = mtm_match_demand(hall, looks, units, NULL, &demand, error);

    return tell_demand(result, demand);
}

static mtm_result weigh_white(mtm_error *error)
{
    double watts[UNITS_MAX];

    failing_mark(watts, sizeof watts);
    mtm_result result = mtm_demand_white_w(hall, (mtm_xy){0.4369, 0.4041}, watts, error);
    if (result != MTM_OK)
        failing_check_mark(watts, sizeof watts);
    else
        failing_tell(watts, units * sizeof *watts);
    return result;
}

static mtm_result find_factors(mtm_error *error)
{
    double watts[UNITS_MAX], factor[UNITS_MAX];
    const mtm_demand_options tight = {.supply_share = 0.3};

    for (size_t i = 0; i < units; i++)
        watts[i] = mtm_demand_full_w(mtm_rig_unit(hall, i));
    failing_mark(factor, sizeof factor);
    mtm_result result = mtm_demand_factors(hall, watts, &tight, factor, error);
    if (result != MTM_OK)
        failing_check_mark(factor, sizeof factor);
    else
        failing_tell(factor, units * sizeof *factor);
    return result;
}

static mtm_result hold_load(mtm_error *error)
{
    static mtm_match match[UNITS_MAX];
    bool held[UNITS_MAX];
    const mtm_demand_options tight = {.supply_share = 0.3};

    memcpy(match, looks, sizeof match);
    failing_mark(held, sizeof held);
    mtm_result result =
        mtm_match_hold_demand(matcher, &full, match, units, NULL, &tight, held, error);
    if (result != MTM_OK) {
        assert_memory_equal(match, looks, sizeof match);
        failing_check_mark(held, sizeof held);
        return result;
    }
    failing_tell(held, units * sizeof *held);
    for (size_t i = 0; i < units; i++)
        failing_tell(&match[i].codes, sizeof match[i].codes);
    return MTM_OK;
}

static mtm_result write_sheet(mtm_sheet_type kind, mtm_sheet_format format, mtm_error *error)
{
    char *text = NULL;
    size_t length = 77;
    mtm_result result = mtm_sheet_write(
        hall, &(mtm_sheet_request){.type = kind, .format = format, .page_lines = 20}, &text,
        &length, error);

    if (result != MTM_OK)
        assert_true(text == NULL && length == 77);
    else
        failing_tell(text, length);
    free(text);
    return result;
}

static mtm_result write_supplies(mtm_error *error)
{
    return write_sheet(MTM_SHEET_SUPPLY, MTM_SHEET_TEXT, error);
}

static mtm_result write_addresses(mtm_error *error)
{
    return write_sheet(MTM_SHEET_ADDRESS, MTM_SHEET_TEXT, error);
}

static mtm_result write_labels(mtm_error *error)
{
    return write_sheet(MTM_SHEET_LABELS, MTM_SHEET_CSV, error);
}

static mtm_result survey_hall(mtm_error *error)
{
    static const double cct_k[] = {3000};
    const mtm_survey_options options = {.cct_k = cct_k, .cct_count = 1};
    mtm_survey *survey = NULL;
    mtm_result result = mtm_survey_create(hall, NULL, 0, &options, &survey, error);

    if (result == MTM_OK)
        failing_tell(mtm_survey_white_at(survey, 0), sizeof(mtm_survey_white));
    mtm_survey_free(survey);
    return result;
}

static const failing_row rows[] = {
    {"lay out what is open", fill_open},
    {"lay out anew", fill_anew},
    {"pack many widths", pack_widths},
    {"pack few widths", pack_few},
    {"feed few units", feed_few},
    {"weigh a match", weigh_match},
    {"weigh a white", weigh_white},
    {"find factors", find_factors},
    {"hold a match within the ratings", hold_load},
    {"write the patch by supply", write_supplies},
    {"write the patch by address", write_addresses},
    {"write labels", write_labels},
    {"survey a rig", survey_hall},
};

static int enter(void **state)
{
    const char *source = getenv("METAMER_SOURCE");

    (void)state;
    if (source == NULL || chdir(source) != 0 ||
        mtm_rig_load("examples/hall.json", &hall, NULL) != MTM_OK ||
        mtm_rig_load("examples/foyer.json", &foyer, NULL) != MTM_OK ||
        mtm_matcher_create(hall, MTM_OBSERVER_2, &matcher, NULL) != MTM_OK ||
        mtm_target_from_white((mtm_white){3000, 0}, MTM_OBSERVER_2, &full.target, NULL) != MTM_OK)
        return -1;
    units = mtm_rig_unit_count(hall);
    if (units > UNITS_MAX || mtm_rig_unit_count(foyer) > UNITS_MAX)
        return -1;
    for (size_t i = 0; i < units; i++) {
        if (mtm_matcher_unit(matcher, i, &full, &looks[i], NULL) != MTM_OK)
            return -1;
    }
    return 0;
}

static int leave(void **state)
{
    (void)state;
    mtm_matcher_free(matcher);
    mtm_rig_free(foyer);
    mtm_rig_free(hall);
    return 0;
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, failing_test);
    return cmocka_run_group_tests_name("plan_memory", tests, enter, leave);
}
