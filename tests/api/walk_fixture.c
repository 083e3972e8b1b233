/* SPDX-License-Identifier: MIT */
/* The walk through the fixture room. */
#include "walk.h"

#include <metamer/selection.h>

#include <unistd.h>

static void walk_curves(void)
{
    const double code[] = {0, 0.5, 1};
    const double falls[] = {0, 1, 0.5};
    const double *points[2] = {NULL, NULL};
    mtm_curve *none = NULL;
    mtm_curve *curve = NULL;

    REFUSED(mtm_curve_create_named, NULL, &none);
    REFUSED(mtm_curve_create_named, "linear", NULL);
    REFUSED(mtm_curve_create_power, 0.09, &none);
    REFUSED(mtm_curve_create_power, 2, NULL);
    REFUSED(mtm_curve_create_table, NULL, code, 3, &none);
    REFUSED(mtm_curve_create_table, code, NULL, 3, &none);
    REFUSED(mtm_curve_create_table, code, code, 1, &none);
    REFUSED(mtm_curve_create_table, code, code, 65537, &none);
    REFUSED(mtm_curve_create_table, falls, code, 3, &none);
    REFUSED(mtm_curve_create_table, code, falls, 3, &none);
    REFUSED(mtm_curve_create_table, code, code, 3, NULL);
    REFUSED(mtm_curve_clone, NULL, &none);
    EACH_NUMBER(n)
    {
        const double odd[] = {0, *n, 1};
        REFUSED(mtm_curve_create_power, *n, &none);
        REFUSED(mtm_curve_create_table, odd, code, 3, &none);
        REFUSED(mtm_curve_create_table, code, odd, 3, &none);
    }
    assert_null(none);
    DONE(mtm_curve_create_table, code, code, 3, &curve);
    REFUSED(mtm_curve_clone, curve, NULL);
    HOLDS(mtm_curve_equal, !mtm_curve_equal(NULL, curve) && !mtm_curve_equal(curve, NULL));
    HOLDS(mtm_curve_type_name, mtm_curve_type_name(NULL) == NULL);
    HOLDS(mtm_curve_exponent, isnan(mtm_curve_exponent(NULL)));
    HOLDS(mtm_curve_points, mtm_curve_points(NULL, &points[0], &points[1]) == 0);
    HOLDS(mtm_curve_points, mtm_curve_points(curve, NULL, &points[1]) == 0);
    HOLDS(mtm_curve_level, isnan(mtm_curve_level(NULL, 0.5)));
    HOLDS(mtm_curve_code, isnan(mtm_curve_code(NULL, 0.5)));
    for (size_t i = 0; i < mtm_curve_type_count(); i++) { /* clamped; NaN is dark */
        mtm_curve *kind = NULL;
        DONE(mtm_curve_create_named, mtm_curve_type_at(i)->name, &kind);
        HOLDS(mtm_curve_level, mtm_curve_level(kind, NAN) == 0);
        HOLDS(mtm_curve_level, mtm_curve_level(kind, INFINITY) == 1);
        HOLDS(mtm_curve_code, mtm_curve_code(kind, NAN) == 0);
        HOLDS(mtm_curve_code, mtm_curve_code(kind, -INFINITY) == 0);
        mtm_curve_free(kind);
    }
    HOLDS(mtm_curve_level, mtm_curve_level(curve, NAN) == 0);
    mtm_curve_free(curve);
    LEAVES(points, mtm_curve_free, NULL);
}

/* A fixture of two emitters with one thing changed. */
static void refuse_fixture(const mtm_emitter *emitter, size_t count, const mtm_mode *mode,
                           size_t modes, double power_limit_w)
{
    mtm_fixture *none = NULL;

    REFUSED(mtm_fixture_create, "f", emitter, count, mode, modes, power_limit_w, 0, NULL, &none);
    assert_null(none);
}

static void walk_parts(void)
{
    const mtm_slot slots[] = {{.role = MTM_SLOT_EMITTER, .emitter = 0},
                              {.role = MTM_SLOT_EMITTER, .emitter = 1}};
    const mtm_slot absent[] = {{.role = MTM_SLOT_EMITTER, .emitter = 0},
                               {.role = MTM_SLOT_EMITTER, .emitter = 7}};
    const mtm_slot unknown[] = {{.role = MTM_SLOT_EMITTER, .emitter = 0},
                                {.role = (mtm_slot_role)NO_ENUM, .emitter = 1}};
    const mtm_mode mode = {.name = "m", .slots = slots, .slot_count = 2};
    const mtm_emitter good[2] = {{.name = "a", .xyz = {{90, 100, 30}}, .watts = 1},
                                 {.name = "b", .xyz = {{80, 70, 90}}, .watts = 1}};
    const double level[2] = {1, 1};
    mtm_emitter bad[2];
    mtm_mode other = mode;
    mtm_fixture *none = NULL;

    refuse_fixture(NULL, 2, &mode, 1, 100);
    refuse_fixture(good, 1, &mode, 1, 100);
    refuse_fixture(good, 17, &mode, 1, 100);
    refuse_fixture(good, 2, NULL, 1, 100);
    refuse_fixture(good, 2, &mode, 0, 100);
    refuse_fixture(good, 2, &mode, 65, 100);
    refuse_fixture(good, 2, &mode, 1, 0);
    refuse_fixture(good, 2, &mode, 1, NAN);
    refuse_fixture(good, 2, &mode, 1, -INFINITY);
    other.slots = absent;
    refuse_fixture(good, 2, &other, 1, 100);
    other.slots = unknown;
    refuse_fixture(good, 2, &other, 1, 100);
    other.slots = NULL;
    refuse_fixture(good, 2, &other, 1, 100);
    other = (mtm_mode){0};
    refuse_fixture(good, 2, &other, 1, 100);
    memset(bad, 0, sizeof bad);
    refuse_fixture(bad, 2, &mode, 1, 100);
    EACH_NUMBER(n)
    {
        memcpy(bad, good, sizeof bad);
        bad[1].xyz[0].x = *n;
        refuse_fixture(bad, 2, &mode, 1, 100);
        memcpy(bad, good, sizeof bad);
        bad[1].xyz[1].z = *n;
        refuse_fixture(bad, 2, &mode, 1, 100);
        memcpy(bad, good, sizeof bad);
        bad[0].watts = *n;
        refuse_fixture(bad, 2, &mode, 1, 100);
    }
    memcpy(bad, good, sizeof bad);
    bad[0].spectrum = &world.no_spectrum;
    refuse_fixture(bad, 2, &mode, 1, 100);
    memcpy(bad, good, sizeof bad);
    bad[0].spectrum = &world.light; /* whose colour is another than that of xyz */
    refuse_fixture(bad, 2, &mode, 1, 100);
    HOLDS(mtm_fixture_of_mode, mtm_fixture_of_mode(NULL, &mode) == NULL);
    HOLDS(mtm_fixture_of_mode, mtm_fixture_of_mode(world.fixture, NULL) == NULL);
    HOLDS(mtm_fixture_of_mode, mtm_fixture_of_mode(world.fixture, &mode) == NULL);
    HOLDS(mtm_fixture_mixes, !mtm_fixture_mixes(NULL) && !mtm_fixture_mixes(world.fixture));
    HOLDS(mtm_fixture_dims, !mtm_fixture_dims(NULL) && !mtm_fixture_dims(world.fixture));
    HOLDS(mtm_fixture_watts_at, isnan(mtm_fixture_watts_at(NULL, level)));
    HOLDS(mtm_fixture_watts_at, isnan(mtm_fixture_watts_at(world.fixture, NULL)));
    HOLDS(mtm_fixture_most_watts, isnan(mtm_fixture_most_watts(NULL)));
    REFUSED(mtm_fixture_create, NULL, good, 2, &mode, 1, 100, 0, NULL, &none);
    REFUSED(mtm_fixture_create, "", good, 2, &mode, 1, 100, 0, NULL, &none);
    REFUSED(mtm_fixture_create, "f", good, 2, &mode, 1, 100, 0, NULL, NULL);
    REFUSED(mtm_fixture_create, "f", good, 2, &mode, 1, 100, -1, NULL, &none);
    REFUSED(mtm_fixture_create, "f", good, 2, &mode, 1, 100, NAN, NULL, &none);
    REFUSED(mtm_fixture_create, "f", good, 2, &mode, 1, 100, 1.1e6, NULL, &none);
    DONE(mtm_fixture_create, "f", good, 2, &mode, 1, 100, 0, NULL, &none);
    mtm_fixture_free(none);
}

void walk_fixtures(void **state)
{
    static const char text[] = "{}";
    mtm_fixture *none = NULL;
    mtm_emitter emitters[MTM_EMITTERS_MAX];
    mtm_limits limits = {.headroom = 0.1};
    char *json = NULL;
    size_t length = 0;
    const mtm_fixture *f = world.fixture;

    (void)state;
    walk_curves();
    walk_parts();
    REFUSED(mtm_fixture_load, NULL, &none);
    REFUSED(mtm_fixture_load, "profiles/five-colour-wash.json", NULL);
    REFUSED(mtm_fixture_parse, NULL, 0, "t", NULL, &none);
    REFUSED(mtm_fixture_parse, text, 2, NULL, NULL, &none);
    REFUSED(mtm_fixture_parse, text, 2, "t", NULL, NULL);
    for (size_t i = 0; i < mtm_fixture_emitter_count(f); i++)
        emitters[i] = *mtm_fixture_emitter(f, i);
    REFUSED(mtm_fixture_with_emitters, NULL, emitters, &none);
    REFUSED(mtm_fixture_with_emitters, f, NULL, &none);
    REFUSED(mtm_fixture_with_emitters, f, emitters, NULL);
    emitters[0].xyz[0].y = NAN;
    REFUSED(mtm_fixture_with_emitters, f, emitters, &none);
    REFUSED(mtm_fixture_with_limits, NULL, &limits, &none);
    REFUSED(mtm_fixture_with_limits, f, NULL, &none);
    REFUSED(mtm_fixture_with_limits, f, &limits, NULL);
    limits.headroom = 0.91;
    REFUSED(mtm_fixture_with_limits, f, &limits, &none);
    HOLDS(mtm_fixture_limits, mtm_fixture_limits(NULL) == NULL);
    HOLDS(mtm_fixture_most_level, mtm_fixture_most_level(NULL, 0) == 0);
    HOLDS(mtm_fixture_most_level, mtm_fixture_most_level(f, mtm_fixture_emitter_count(f)) == 0);
    REFUSED(mtm_fixture_to_json, NULL, &json, &length);
    REFUSED(mtm_fixture_to_json, f, NULL, &length);
    REFUSED(mtm_fixture_to_json, f, &json, NULL);
    assert_null(none);
    assert_null(json);
    HOLDS(mtm_fixture_name, mtm_fixture_name(NULL) == NULL);
    HOLDS(mtm_fixture_emitter_count, mtm_fixture_emitter_count(NULL) == 0);
    HOLDS(mtm_fixture_emitter, mtm_fixture_emitter(NULL, 0) == NULL);
    HOLDS(mtm_fixture_emitter, mtm_fixture_emitter(f, mtm_fixture_emitter_count(f)) == NULL);
    HOLDS(mtm_fixture_mode_count, mtm_fixture_mode_count(NULL) == 0);
    HOLDS(mtm_fixture_mode, mtm_fixture_mode(NULL, 0) == NULL);
    HOLDS(mtm_fixture_mode, mtm_fixture_mode(f, mtm_fixture_mode_count(f)) == NULL);
    HOLDS(mtm_fixture_find_mode, mtm_fixture_find_mode(NULL, "8") == NULL);
    HOLDS(mtm_fixture_find_mode, mtm_fixture_find_mode(f, NULL) == NULL);
    HOLDS(mtm_fixture_power_limit_w, isnan(mtm_fixture_power_limit_w(NULL)));
    HOLDS(mtm_fixture_standby_w, isnan(mtm_fixture_standby_w(NULL)));
    HOLDS(mtm_fixture_dimmer_curve, mtm_fixture_dimmer_curve(NULL) == NULL);
    HOLDS(mtm_fixture_has_spectra, !mtm_fixture_has_spectra(NULL));
    LEAVES(length, mtm_fixture_free, NULL);
}

static void walk_supplies(void)
{
    const mtm_supply good = {
        .name = "walked", .ports = 2, .port_w = 100, .total_w = 150, .circuit = -1};
    const double shares[] = {NAN, INFINITY, -1, 0.05, 1.1};
    mtm_supply bad = {0};

    REFUSED(mtm_rig_add_supply, NULL, &good);
    REFUSED(mtm_rig_add_supply, world.rig, NULL);
    REFUSED(mtm_rig_add_supply, world.rig, &bad);
#define ADD(member, value)                                                                         \
    do {                                                                                           \
        bad = good;                                                                                \
        bad.member = (value);                                                                      \
        REFUSED(mtm_rig_add_supply, world.rig, &bad);                                              \
    } while (0)
    ADD(name, "");
    ADD(ports, 0);
    ADD(ports, 513);
    ADD(port_units, -1);
    ADD(circuit, -2);
    ADD(circuit, 4096);
    EACH_NUMBER(n)
    {
        ADD(port_w, *n);
        ADD(total_w, *n);
    }
    for (size_t i = 0; i < COUNT(shares); i++) {
        ADD(efficiency, shares[i]);
        ADD(power_factor, shares[i]);
    }
    for (size_t i = 0; i < 3; i++)
        ADD(standby_w, shares[i]);
}

/* rig has no groups yet. */
static void walk_selection(mtm_rig *rig)
{
    size_t unit[64];
    size_t count = 0;

    REFUSED(mtm_rig_select, NULL, "all", unit, &count);
    REFUSED(mtm_rig_select, rig, "all", NULL, &count);
    REFUSED(mtm_rig_select, rig, "all", unit, NULL);
    HOLDS(mtm_rig_select, mtm_rig_select(rig, NULL, unit, &count, NULL) == MTM_OK &&
                              count == mtm_rig_unit_count(rig));
    HOLDS(mtm_rig_group_count, mtm_rig_group_count(NULL) == 0);
    HOLDS(mtm_rig_group_name, mtm_rig_group_name(NULL, 0) == NULL);
    HOLDS(mtm_rig_group_name, mtm_rig_group_name(rig, mtm_rig_group_count(rig)) == NULL);
    HOLDS(mtm_rig_group, mtm_rig_group(NULL, 0, &count) == NULL);
    HOLDS(mtm_rig_group, mtm_rig_group(rig, 0, NULL) == NULL);
    HOLDS(mtm_rig_group, mtm_rig_group(rig, mtm_rig_group_count(rig), &count) == NULL);
    REFUSED(mtm_rig_add_group, NULL, "g", unit, 1);
    REFUSED(mtm_rig_add_group, rig, NULL, unit, 1);
    REFUSED(mtm_rig_add_group, rig, "", unit, 1);
    REFUSED(mtm_rig_add_group, rig, "all", unit, 1);
    REFUSED(mtm_rig_add_group, rig, "a\nb", unit, 1);
    REFUSED(mtm_rig_add_group, rig, mtm_rig_unit(rig, 0)->name, unit, 1);
    REFUSED(mtm_rig_add_group, rig, "g", NULL, 1);
    REFUSED(mtm_rig_add_group, rig, "g", unit, 0);
    REFUSED(mtm_rig_add_group, rig, "g", unit, mtm_rig_unit_count(rig) + 1);
    unit[0] = mtm_rig_unit_count(rig);
    REFUSED(mtm_rig_add_group, rig, "g", unit, 1);
    REFUSED(mtm_rig_restrict, rig, unit, 1);
    REFUSED(mtm_rig_restrict, rig, unit, 0);
    REFUSED(mtm_rig_restrict, rig, NULL, 1);
    REFUSED(mtm_rig_restrict, NULL, unit, 1);
    unit[0] = unit[1] = 0;
    REFUSED(mtm_rig_add_group, rig, "g", unit, 2);
}

void walk_rigs(void **state)
{
    static const mtm_place bad[] = {{.supply = 0, .port = 999},
                                    {.supply = 999, .port = 1},
                                    {.supply = -2},
                                    {.supply = -1, .port = 1},
                                    {.supply = -1, .universe = -1},
                                    {.supply = -1, .address = 513},
                                    {.supply = -1, .universe = 64000}};
    static const char text[] = "{}";
    mtm_rig *rig = world.rig;
    mtm_rig *none = NULL;
    size_t units = mtm_rig_unit_count(rig);
    size_t index = 0;
    char *json = NULL;

    (void)state;
    REFUSED(mtm_rig_load, NULL, &none);
    REFUSED(mtm_rig_load, "examples/hall.json", NULL);
    REFUSED(mtm_rig_parse, NULL, 0, "t", NULL, &none);
    REFUSED(mtm_rig_parse, text, 2, NULL, NULL, &none);
    REFUSED(mtm_rig_parse, text, 2, "t", NULL, NULL);
    assert_null(none);
    HOLDS(mtm_rig_name, mtm_rig_name(NULL) == NULL);
    HOLDS(mtm_rig_revision, mtm_rig_revision(NULL) == NULL);
    HOLDS(mtm_rig_job, mtm_rig_job(NULL) == NULL);
    HOLDS(mtm_rig_site, mtm_rig_site(NULL) == NULL);
    HOLDS(mtm_rig_by, mtm_rig_by(NULL) == NULL);
    HOLDS(mtm_rig_date, mtm_rig_date(NULL) == NULL);
    HOLDS(mtm_rig_unit_count, mtm_rig_unit_count(NULL) == 0);
    HOLDS(mtm_rig_unit, mtm_rig_unit(NULL, 0) == NULL && mtm_rig_unit(rig, units) == NULL);
    REFUSED(mtm_rig_find_unit, NULL, "u", &index);
    REFUSED(mtm_rig_find_unit, rig, NULL, &index);
    REFUSED(mtm_rig_find_unit, rig, "u", NULL);
    REFUSED(mtm_rig_find_supply, NULL, "s", &index);
    REFUSED(mtm_rig_find_supply, rig, NULL, &index);
    REFUSED(mtm_rig_find_supply, rig, "s", NULL);
    HOLDS(mtm_rig_supply_count, mtm_rig_supply_count(NULL) == 0);
    HOLDS(mtm_rig_supply, mtm_rig_supply(NULL, 0) == NULL);
    HOLDS(mtm_rig_supply, mtm_rig_supply(rig, mtm_rig_supply_count(rig)) == NULL);
    HOLDS(mtm_rig_circuit_count, mtm_rig_circuit_count(NULL) == 0);
    HOLDS(mtm_rig_circuit, mtm_rig_circuit(NULL, 0) == NULL);
    HOLDS(mtm_rig_circuit, mtm_rig_circuit(rig, mtm_rig_circuit_count(rig)) == NULL);
    walk_supplies();
    REFUSED(mtm_rig_create, NULL, &none);
    REFUSED(mtm_rig_create, "", &none);
    REFUSED(mtm_rig_create, "rig", NULL);
    REFUSED(mtm_rig_add_fixture, NULL, world.fixture);
    REFUSED(mtm_rig_add_fixture, rig, NULL);
    HOLDS(mtm_unit_gain, mtm_unit_gain(NULL) == 1);
    HOLDS(mtm_unit_lux_per_lm, mtm_unit_lux_per_lm(NULL) == 0);
    REFUSED(mtm_rig_add_unit, NULL, mtm_rig_unit(rig, 0));
    REFUSED(mtm_rig_add_unit, rig, NULL);
    REFUSED(mtm_rig_add_unit, rig, &(mtm_unit){.name = NULL});
    REFUSED(mtm_rig_add_unit, rig, mtm_rig_unit(rig, 0)); /* it is there already */
    mtm_circuit circuit = {"walked", 16, 230, NULL};
    REFUSED(mtm_rig_add_circuit, NULL, &circuit);
    REFUSED(mtm_rig_add_circuit, rig, NULL);
    EACH_NUMBER(n)
    {
        REFUSED(mtm_rig_add_circuit, rig, &((mtm_circuit){"walked", *n, 230, NULL}));
        REFUSED(mtm_rig_add_circuit, rig, &((mtm_circuit){"walked", 16, *n, NULL}));
    }
    REFUSED(mtm_rig_add_circuit, rig, &((mtm_circuit){"walked", 16, 1001, NULL}));
    REFUSED(mtm_rig_add_circuit, rig, &((mtm_circuit){"", 16, 230, NULL}));
    walk_selection(rig);
    REFUSED(mtm_rig_set_unit_fixture, NULL, 0, world.fixture);
    REFUSED(mtm_rig_set_unit_fixture, rig, units, world.fixture);
    REFUSED(mtm_rig_set_unit_fixture, rig, 0, NULL);
    REFUSED(mtm_rig_set_place, NULL, 0, ((mtm_place){.supply = -1}));
    REFUSED(mtm_rig_set_place, rig, units, ((mtm_place){.supply = -1}));
    for (size_t i = 0; i < COUNT(bad); i++)
        REFUSED(mtm_rig_set_place, rig, 0, bad[i]);
    REFUSED(mtm_rig_check, NULL);
    REFUSED(mtm_rig_to_json, NULL, &json, &index);
    REFUSED(mtm_rig_to_json, rig, NULL, &index);
    REFUSED(mtm_rig_to_json, rig, &json, NULL);
    REFUSED(mtm_rig_save, NULL, "/nowhere/x");
    REFUSED(mtm_rig_save, rig, NULL);
    LEAVES(index, mtm_rig_free, NULL);
}

static void walk_meter_sums(void)
{
    const mtm_meter good = {.xy = 0.002, .output = 0.04};
    const mtm_xyz light = {95, 100, 108};
    const mtm_uv target = {0.2, 0.47};
    mtm_covariance covariance = mtm_meter_covariance(&good, light, 1);
    mtm_covariance unknown = {{{NAN}}};

    NOTHING(mtm_covariance, mtm_meter_covariance, NULL, light, 1);
    NOTHING(mtm_covariance, mtm_meter_covariance, &good, light, 0);
    NOTHING(double, mtm_delta_uncertainty, light, NULL, target);
    HOLDS(mtm_delta_uncertainty, !(mtm_delta_uncertainty(light, &unknown, target) > 0));
    EACH_NUMBER(n)
    {
        mtm_meter bad = {.xy = *n};
        NOTHING(mtm_covariance, mtm_meter_covariance, &bad, light, 1);
        bad = (mtm_meter){.repeat_output = *n};
        NOTHING(mtm_covariance, mtm_meter_covariance, &bad, light, 1);
        NOTHING(mtm_covariance, mtm_meter_covariance, &good, (mtm_xyz){1, *n, 1}, 1);
        NOTHING(double, mtm_delta_uncertainty, (mtm_xyz){1, *n, 1}, &covariance, target);
        NOTHING(double, mtm_delta_uncertainty, light, &covariance, (mtm_uv){*n, 0.3});
    }
    HOLDS(mtm_verdict_of, mtm_verdict_of(0.001, NAN, 0.002) == MTM_VERDICT_UNSTATED);
    HOLDS(mtm_verdict_of, mtm_verdict_of(0.001, INFINITY, 0.002) == MTM_VERDICT_OPEN);
    HOLDS(mtm_verdict_of, mtm_verdict_of(NAN, 0.001, 0.002) == MTM_VERDICT_OPEN);
    HOLDS(mtm_verdict_of, mtm_verdict_of(0.001, 0.001, NAN) == MTM_VERDICT_OPEN);
    HOLDS(mtm_verdict_text, mtm_verdict_text((mtm_verdict)NO_ENUM) == NULL);
}

void walk_meters(void **state)
{
    char *json = NULL;
    size_t length = 0;
    const mtm_xyz good[4] = {{60, 30, 5}, {30, 60, 10}, {20, 10, 90}, {110, 100, 105}};
    const mtm_meter_match unit = {.matrix = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
    mtm_meter_match match = {.matrix = {{0}}};
    mtm_meter_match bad;

    (void)state;
    walk_meter_sums();
    DONE(mtm_meter_match_four, good, good, &match);
    REFUSED(mtm_meter_match_four, NULL, good, &match);
    REFUSED(mtm_meter_match_four, good, NULL, &match);
    REFUSED(mtm_meter_match_four, good, good, NULL);
    EACH_NUMBER(n)
    {
        mtm_xyz odd[4];
        memcpy(odd, good, sizeof odd);
        odd[2].z = *n;
        REFUSED(mtm_meter_match_four, odd, good, &match);
        REFUSED(mtm_meter_match_four, good, odd, &match);
        bad = unit;
        bad.matrix[1][2] = *n;
        REFUSED(mtm_meter_match_write, &bad, "/nowhere/x");
        REFUSED(mtm_meter_match_to_json, &bad, &json, &length);
        NOTHING(mtm_xyz, mtm_meter_match_apply, &unit, (mtm_xyz){*n, 1, 1});
        mtm_xyz first = mtm_readings_at(world.readings, 0)->xyz;
        mtm_readings_match(world.readings, &bad);
        HOLDS(mtm_readings_match, mtm_readings_at(world.readings, 0)->xyz.y == first.y);
    }
    NOTHING(mtm_xyz, mtm_meter_match_apply, NULL, good[0]);
    REFUSED(mtm_meter_match_load, NULL, &match);
    REFUSED(mtm_meter_match_load, "x.json", NULL);
    REFUSED(mtm_meter_match_parse, NULL, 2, "t", &match);
    REFUSED(mtm_meter_match_parse, "{}", 2, NULL, &match);
    REFUSED(mtm_meter_match_parse, "{}", 2, "t", NULL);
    REFUSED(mtm_meter_match_to_json, NULL, &json, &length);
    REFUSED(mtm_meter_match_to_json, &unit, NULL, &length);
    REFUSED(mtm_meter_match_to_json, &unit, &json, NULL);
    assert_null(json);
    REFUSED(mtm_meter_match_write, NULL, "x.json");
    REFUSED(mtm_meter_match_write, &unit, NULL);
    bad = (mtm_meter_match){.matrix = {{0}}};
    REFUSED(mtm_meter_match_write, &bad, "/nowhere/x");
}
