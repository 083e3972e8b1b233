/* SPDX-License-Identifier: MIT */
/* Layout of a rig: open places filled, fixed ones kept, followers led, moves shown honestly. */
#include "support/trial.h"

#include <metamer/demand.h>
#include <metamer/layout.h>

static const struct trial_supply supplies[] = {{"S1", 6, 130, 300}, {"S2", 6, 130, 300}};

/* A row of 4 slots and 60 W. */
#define WHITE "tunable-white.json", "16-bit"

static void check_place(mtm_place place, int universe, int address, int supply, int port)
{
    assert_int_equal(place.universe, universe);
    assert_int_equal(place.address, address);
    assert_int_equal(place.supply, supply);
    assert_int_equal(place.port, port);
}

static void test_all_open(void **state)
{
    static const struct trial_unit units[] = {
        {"a", WHITE}, {"b", WHITE}, {"c", WHITE}, {"d", WHITE}, {"e", WHITE}, {"f", WHITE},
    };
    mtm_rig *rig = trial_rig_on(supplies, COUNT(supplies), units, COUNT(units));
    mtm_place place[6];
    mtm_layout_report report;
    mtm_error error = {""};

    (void)state;
    CHECK_NEAR("watts", mtm_demand_full_w(mtm_rig_unit(rig, 0)), 60, 1e-9);
    mtm_layout_places(rig, place);
    assert_int_equal(mtm_layout_fill(rig, NULL, place, &report, &error), MTM_OK);
    for (int i = 0; i < 6; i++) /* six of 60 W need both supplies of 300 W: three on each */
        check_place(place[i], 1, 1 + 4 * i, i / 3, i % 3 + 1);
    assert_int_equal(report.open_addresses, 6);
    assert_int_equal(report.open_ports, 6);
    assert_int_equal(report.port.supplies, 2);
    assert_true(report.port.supplies_proven && report.port.peak_proven);
    CHECK_NEAR("peak", report.port.peak, 0.6, 1e-9);
    assert_int_equal(report.address.slots, 24);
    assert_int_equal(report.address.universes, 1);
    assert_int_equal(report.universes_renumbered, 1);

    mtm_layout_options options = {.first_universe = 7, .supply_share = 0.5};
    mtm_layout_places(rig, place);
    assert_int_equal(mtm_layout_fill(rig, &options, place, &report, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "with 50 % of each rating: the units do not fit");
    check_place(place[0], 0, 0, -1, 0);
    options.supply_share = 0.7;
    assert_int_equal(mtm_layout_fill(rig, &options, place, &report, &error), MTM_OK);
    assert_int_equal(place[5].universe, 7);
    mtm_rig_free(rig);
}

static void test_fixed_and_followers(void **state)
{
    static const struct trial_unit units[] = {
        {"a", WHITE, 3, 5, "S2", 4},
        {"b", WHITE},
        {"c", WHITE, .follows = "b"},
        {"d", WHITE, .follows = "a"},
    };
    mtm_rig *rig = trial_rig_on(supplies, COUNT(supplies), units, COUNT(units));
    mtm_place place[4];
    mtm_layout_report report;
    mtm_error error = {""};

    (void)state;
    mtm_layout_places(rig, place);
    assert_int_equal(mtm_layout_fill(rig, NULL, place, &report, &error), MTM_OK);
    check_place(place[0], 3, 5, 1, 4);
    check_place(place[1], 3, 1, 1, 1); /* fills what is free before a */
    check_place(place[2], 3, 1, 1, 2);
    check_place(place[3], 3, 5, 1, 3);
    assert_int_equal(report.address.slots, 8);
    assert_int_equal(report.open_addresses, 1);
    assert_int_equal(report.open_ports, 3);
    assert_int_equal(mtm_layout_apply(rig, place, &error), MTM_OK);
    assert_int_equal(mtm_rig_unit(rig, 2)->address, 1);
    assert_int_equal(mtm_rig_unit(rig, 2)->port, 2);
    mtm_rig_free(rig);
}

static void test_moving(void **state)
{
    static const struct trial_unit units[] = {
        {"a", WHITE, 1, 1, "S1", 1},
        {"b", WHITE, 1, 5, "S1", 2},
        {"c", WHITE, 1, 9, "S1", 3},
        {"d", WHITE, .supply = "S1", .port = 4, .follows = "c"},
    };
    mtm_rig *rig = trial_rig_on(supplies, COUNT(supplies), units, COUNT(units));
    mtm_place place[4];
    mtm_layout_report report;
    mtm_error error = {""};

    (void)state;
    mtm_layout_places(rig, place);
    /* a takes slots 7 to 10, which are b's and c's; those find new places, d goes along with c */
    assert_int_equal(mtm_layout_move(rig, place, 0, (mtm_place){1, 7, -1, 0}, &error), MTM_OK);
    assert_int_equal(place[1].address, 0);
    assert_int_equal(place[2].address, 0);
    assert_int_equal(mtm_layout_fill(rig, NULL, place, &report, &error), MTM_OK);
    check_place(place[0], 1, 7, 0, 1);
    check_place(place[1], 1, 1, 0, 2);
    check_place(place[2], 1, 11, 0, 3);
    check_place(place[3], 1, 11, 0, 4);
    assert_int_equal(report.address.gap_slots, 2);

    mtm_layout_places(rig, place);
    assert_int_equal(mtm_layout_move(rig, place, 3, (mtm_place){0, 0, 1, 0}, &error), MTM_OK);
    assert_int_equal(mtm_layout_fill(rig, NULL, place, &report, &error), MTM_OK);
    check_place(place[3], 1, 9, 1, 1);
    mtm_rig_free(rig);
}

static const struct refused {
    const char *name;
    size_t unit;
    mtm_place wanted;
    const char *sentence;
} refusals[] = {
    {"a follower", 1, {1, 9, -1, 0}, "unit \"b\" follows \"a\"; move that one"},
    {"universe 0", 0, {0, 9, -1, 0}, "found universe 0"},
    {"universe 64000", 0, {64000, 9, -1, 0}, "found universe 64000"},
    {"over the end", 0, {1, 510, -1, 0}, "its mode has 4 slots, so allowed is 1 to 509"},
    {"no such supply", 0, {0, 0, 2, 1}, "there is no supply number 2"},
    {"no such port", 0, {0, 0, 1, 7}, "found port 7, allowed is 1 to 6"},
    {"port of no supply", 0, {0, 0, -1, 1}, "found port 1"},
    {"no such unit", 2, {1, 1, -1, 0}, "a unit of the rig is needed"},
};

static void test_refused(void **state)
{
    static const struct trial_unit units[] = {
        {"a", WHITE},
        {"b", WHITE, .follows = "a"},
    };
    const struct refused *row = *state;
    mtm_rig *rig = trial_rig_on(supplies, COUNT(supplies), units, COUNT(units));
    mtm_place place[2];
    mtm_error error = {""};

    mtm_layout_places(rig, place);
    assert_int_equal(mtm_layout_move(rig, place, row->unit, row->wanted, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, row->sentence);
    check_place(place[0], 0, 0, -1, 0);
    mtm_rig_free(rig);
}

static void test_no_supplies(void **state)
{
    static const struct trial_unit units[] = {
        {"a", WHITE, .address = 7},
        {"b", WHITE},
    };
    mtm_rig *rig = trial_rig(units, COUNT(units));
    mtm_place place[2];
    mtm_layout_report report = {.open_ports = 77};
    mtm_layout_options options = {.supply_share = 1.5};
    mtm_error error = {""};

    (void)state;
    mtm_layout_places(rig, place);
    assert_int_equal(mtm_layout_fill(rig, NULL, place, &report, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "unit \"a\" has address 7 but no universe");
    assert_int_equal(report.open_ports, 77);
    assert_int_equal(mtm_layout_fill(rig, &options, place, &report, &error), MTM_INVALID);
    options = (mtm_layout_options){.first_universe = 64000};
    assert_int_equal(mtm_layout_fill(rig, &options, place, &report, &error), MTM_INVALID);
    place[0].universe = 2;
    assert_int_equal(mtm_layout_fill(rig, NULL, place, &report, &error), MTM_OK);
    assert_false(report.has_ports);
    check_place(place[0], 2, 7, -1, 0);
    check_place(place[1], 2, 1, -1, 0);
    mtm_rig_free(rig);
}

/* What one would do by hand: with the addresses given two universes are needed, else one. */
static void test_renumbered(void **state)
{
    static const struct trial_unit units[] = {
        {"a", WHITE, 1, 1},
        {"b", WHITE, 2, 1},
    };
    mtm_rig *rig = trial_rig(units, COUNT(units));
    mtm_place place[2];
    mtm_layout_report report;
    mtm_error error = {""};

    (void)state;
    mtm_layout_places(rig, place);
    assert_int_equal(mtm_layout_fill(rig, NULL, place, &report, &error), MTM_OK);
    assert_int_equal(report.address.universes, 2);
    assert_true(report.address.universes_proven);
    assert_int_equal(report.universes_renumbered, 1);
    mtm_rig_free(rig);
}

int main(void)
{
    const struct CMUnitTest single[] = {
        cmocka_unit_test(test_all_open),   cmocka_unit_test(test_fixed_and_followers),
        cmocka_unit_test(test_moving),     cmocka_unit_test(test_no_supplies),
        cmocka_unit_test(test_renumbered),
    };
    struct CMUnitTest tests[COUNT(refusals) + COUNT(single)];

    ROW_TESTS(tests, refusals, test_refused);
    memcpy(tests + COUNT(refusals), single, sizeof single);
    return cmocka_run_group_tests_name("layout", tests, NULL, NULL);
}
