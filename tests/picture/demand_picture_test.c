/* SPDX-License-Identifier: MIT */
/* The picture of a demand: bars and limits where arithmetic says; no rig too small or too large. */
#include "support/check.h"
#include "support/drawn_words.h"
#include "support/trial.h"

#include <metamer/demand_picture.h>

static mtm_picture *draw(const mtm_demand_view *view, const mtm_picture_options *options)
{
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    mtm_result result = mtm_picture_of_demand(view, options, &picture, &error);

    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: %s\n", error.text);
        skip();
    }
    trial_must(result, &error);
    return picture;
}

/* One unit a port, the ports of a supply in turn. */
static mtm_rig *rig_of(size_t units, int ports, double port_w, const char *name)
{
    mtm_rig *rig = NULL;
    mtm_fixture *fixture = NULL;
    mtm_error error = {""};
    char text[4200], path[1024];

    trial_must(mtm_rig_create("trial", &rig, &error), &error);
    (void)snprintf(path, sizeof path, "%s/three-colour-wash.json", getenv("METAMER_PROFILES"));
    trial_must(mtm_fixture_load(path, &fixture, &error), &error);
    trial_must(mtm_rig_add_fixture(rig, fixture, &error), &error);
    const mtm_circuit circuit = {.name = "mains", .rated_a = 100, .voltage_v = 230};
    trial_must(mtm_rig_add_circuit(rig, &circuit, &error), &error);
    for (size_t i = 0; i < units; i++) {
        size_t supply = i / (size_t)ports;
        if (i % (size_t)ports == 0) {
            (void)snprintf(text, sizeof text, "%s%zu", name, supply);
            const mtm_supply made = {.name = text,
                                     .ports = ports,
                                     .port_w = port_w,
                                     .total_w = 3 * port_w,
                                     .circuit = 0};
            trial_must(mtm_rig_add_supply(rig, &made, &error), &error);
        }
        (void)snprintf(text, sizeof text, "unit %zu", i);
        const mtm_unit unit = {.name = text,
                               .fixture_file = "x",
                               .fixture = fixture,
                               .mode = mtm_fixture_mode(fixture, 0),
                               .supply = (int)supply,
                               .port = (int)(i % (size_t)ports) + 1,
                               .follows = -1};
        trial_must(mtm_rig_add_unit(rig, &unit, &error), &error);
    }
    return rig;
}

static mtm_demand *demand_of(const mtm_rig *rig, const double *watts)
{
    mtm_demand *demand = NULL;
    mtm_error error = {""};

    trial_must(mtm_demand_create(rig, watts, NULL, &demand, &error), &error);
    return demand;
}

/* Ports of 100 W and a supply of 300 W that carry 30, 60 and 150 W: 30, 60, 150 and 80 % of their
 * ratings, in the order of the rig; the scale goes 5 % beyond the fullest. */
static void test_places(void **state)
{
    static const double watts[] = {30, 60, 150}, dark[] = {0, 0, 0};
    static const double parts[] = {0.30, 0.60, 1.50, 0.80};
    mtm_rig *rig = rig_of(3, 3, 100, "supply ");
    mtm_demand *full = demand_of(rig, watts), *none = demand_of(rig, dark);
    const mtm_demand_case cases[] = {{"full", full}, {"dark", none}};
    const mtm_demand_view view = {rig, cases, 2};
    mtm_picture *picture = draw(&view, NULL);
    struct drawing drawing = drawn_read(picture);
    const struct drawn *frame = drawn_frame(&drawing);
    size_t found = 0;

    (void)state;
    for (size_t i = 0; i < drawing.count; i++) {
        const struct drawn *path = &drawing.path[i];
        if (found == COUNT(parts) || !path->filled || path->points != 5 ||
            fabs(path->left - frame->left) > 0.5 || path->bottom - path->top < 8)
            continue;
        double right = drawn_along(parts[found], 0, 1.05 * 1.5, frame->left, frame->right);
        if (!(fabs(path->right - right) <= 0.5))
            fail_msg("bar %zu ends at %.2f, not %.2f", found, path->right, right);
        found++;
    }
    assert_int_equal(found, COUNT(parts));
    /* the ratings of ports and supplies, and 80 % of the circuit's */
    static const double limits[] = {1, 1, 0.8};
    found = 0;
    for (size_t i = 0; i < drawing.count && found < COUNT(limits); i++) {
        const struct drawn *path = &drawing.path[i];
        double x = drawn_along(limits[found], 0, 1.05 * 1.5, frame->left, frame->right);
        found += path->points == 2 && !path->filled && fabs(path->line - 1.25) < 0.01 &&
                 fabs(path->left - x) <= 0.5 && fabs(path->right - x) <= 0.5;
    }
    assert_int_equal(found, COUNT(limits));
    assert_true(drawn_check_words(picture, 1000) > 15);
    free(drawing.path);
    mtm_picture_free(picture);
    mtm_demand_free(full);
    mtm_demand_free(none);
    mtm_rig_free(rig);
}

static char long_name[4001];

static const struct crowd {
    const char *name;
    size_t units;
    int ports;
    double width, height, unit_w;
    const char *supply;
} crowds[] = {
    {"one unit", 1, 1, 0, 0, 40, "s"},
    {"200 units at 600 px", 200, 8, 600, 0, 40, "supply "},
    {"2000 units", 2000, 8, 0, 0, 40, "supply "},
    {"10 000 units, all over", 10000, 12, 0, 0, 400, "supply "},
    {"the smallest page", 300, 4, 240, 240, 40, "supply "},
    {"hostile names", 30, 4, 600, 0, 40, "<&\"\n\u202e\u05e9\u05dc\u05d5\u05dd "},
    {"4000 letters", 30, 4, 0, 0, 40, long_name},
};

static void test_crowd(void **state)
{
    const struct crowd *crowd = *state;
    mtm_rig *rig = rig_of(crowd->units, crowd->ports, 100, crowd->supply);
    double *watts = calloc(crowd->units, sizeof *watts);

    assert_non_null(watts);
    for (size_t i = 0; i < crowd->units; i++)
        watts[i] = crowd->unit_w * (0.5 + 0.5 * (double)(i % 97) / 97);
    mtm_demand *full = demand_of(rig, watts);
    const mtm_demand_case cases[] = {{"all full", full}};
    const mtm_demand_view view = {rig, cases, 1};
    const mtm_picture_options options = {.width = crowd->width, .height = crowd->height};
    mtm_picture *picture = draw(&view, &options);
    mtm_picture *again = draw(&view, &options);
    size_t count = 0, count_again = 0;
    const void *bytes = mtm_picture_bytes(picture, &count);
    const void *bytes_again = mtm_picture_bytes(again, &count_again);
    assert_int_equal(count, count_again);
    assert_memory_equal(bytes, bytes_again, count);
    assert_true(count < 1000000);
    assert_true(drawn_check_words(picture, crowd->width > 0 ? crowd->width : 1000) > 3);
    mtm_picture_free(picture);
    mtm_picture_free(again);
    mtm_demand_free(full);
    mtm_rig_free(rig);
    free(watts);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(crowds) + 1];

    memset(long_name, 'x', sizeof long_name - 1);
    ROW_TESTS(tests, crowds, test_crowd);
    tests[COUNT(crowds)] = (struct CMUnitTest)cmocka_unit_test(test_places);
    return cmocka_run_group_tests_name("picture of a demand", tests, NULL, NULL);
}
