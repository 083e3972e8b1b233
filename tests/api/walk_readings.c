/* SPDX-License-Identifier: MIT */
/* The walk through readings and calibrations. */
#include "walk.h"

/* A reading with one thing changed. */
static void refuse_reading(mtm_reading reading)
{
    size_t count = mtm_readings_count(world.readings);

    REFUSED(mtm_readings_add, world.readings, &reading);
    HOLDS(mtm_readings_count, mtm_readings_count(world.readings) == count);
}

static void walk_reading(void)
{
    const mtm_reading good = {.unit = 0, .code = {1}, .dimmer = 1, .xyz = {50, 40, 30}};
    const double shares[] = {NAN, INFINITY, -INFINITY, -1, 2, 1.0001};
    size_t emitters = mtm_fixture_emitter_count(mtm_rig_unit(world.rig, 0)->fixture);
    mtm_reading bad;

    DONE(mtm_readings_add, world.readings, &good);
    mtm_readings_remove_last(world.readings);
#define READING(member, value)                                                                     \
    do {                                                                                           \
        bad = good;                                                                                \
        bad.member = (value);                                                                      \
        refuse_reading(bad);                                                                       \
    } while (0)
    EACH_NUMBER(n)
    {
        READING(xyz.x, *n);
        READING(xyz.y, *n);
        READING(xyz.z, *n);
    }
    READING(xyz.y, 0);
    READING(xyz.y, -1);
    READING(xyz.x, -40);
    READING(xyz.y, 1e10);
    for (size_t i = 0; i < COUNT(shares); i++) {
        READING(code[0], shares[i]);
        READING(code[1], shares[i]);
        READING(dimmer, shares[i]);
    }
    READING(code[emitters], 1);
    READING(code[MTM_EMITTERS_MAX - 1], 0.5);
    READING(unit, mtm_rig_unit_count(world.rig));
    READING(unit, MTM_READING_ROOM); /* with an emitter lit */
    READING(quantity, (mtm_photometric)NO_ENUM);
    READING(spectrum, &world.no_spectrum);
    REFUSED(mtm_readings_add, NULL, &good);
    REFUSED(mtm_readings_add, world.readings, NULL);
    HOLDS(mtm_reading_is_dark, !mtm_reading_is_dark(NULL));
    HOLDS(mtm_reading_emitter, mtm_reading_emitter(NULL) == -1);
}

static void walk_reading_list(void)
{
    static const char text[] = "unit,emitter,x,y,Y\n";
    const mtm_meter bad = {.xy = NAN};
    mtm_readings *none = NULL;
    mtm_meter_found found;
    mtm_xyz xyz;
    size_t count = mtm_readings_count(world.readings);

    REFUSED(mtm_readings_create, NULL, &none);
    REFUSED(mtm_readings_create, world.rig, NULL);
    REFUSED(mtm_readings_load, NULL, world.rig, &none);
    REFUSED(mtm_readings_load, "examples/hall-readings.csv", NULL, &none);
    REFUSED(mtm_readings_load, "examples/hall-readings.csv", world.rig, NULL);
    const mtm_column_choice unnamed = {NULL, "x"};
    REFUSED(mtm_readings_load_columns, NULL, world.rig, NULL, 0, &none);
    REFUSED(mtm_readings_load_columns, "examples/hall-readings.csv", world.rig, NULL, 1, &none);
    REFUSED(mtm_readings_load_columns, "examples/hall-readings.csv", world.rig, &unnamed, 1, &none);
    REFUSED(mtm_readings_load_columns, "examples/hall-readings.csv", world.rig, NULL, 0, NULL);
    HOLDS(mtm_reading_column_at, mtm_reading_column_at(SIZE_MAX) == NULL);
    REFUSED(mtm_readings_parse, NULL, 0, "t", world.rig, &none);
    REFUSED(mtm_readings_parse, text, sizeof text - 1, NULL, world.rig, &none);
    REFUSED(mtm_readings_parse, text, sizeof text - 1, "t", NULL, &none);
    REFUSED(mtm_readings_parse, text, sizeof text - 1, "t", world.rig, NULL);
    assert_null(none);
    HOLDS(mtm_readings_count, mtm_readings_count(NULL) == 0);
    HOLDS(mtm_readings_at, mtm_readings_at(NULL, 0) == NULL);
    HOLDS(mtm_readings_at, mtm_readings_at(world.readings, count) == NULL);
    HOLDS(mtm_readings_note_count, mtm_readings_note_count(NULL) == 0);
    HOLDS(mtm_readings_note, mtm_readings_note(NULL, 0) == NULL);
    HOLDS(mtm_readings_note,
          mtm_readings_note(world.readings, mtm_readings_note_count(world.readings)) == NULL);
    HOLDS(mtm_readings_meter, mtm_readings_meter(NULL) == NULL);
    LEAVES(count, mtm_readings_set_meter, NULL, &bad);
    mtm_readings_set_meter(world.readings, NULL);
    mtm_readings_set_meter(world.readings, &bad);
    HOLDS(mtm_readings_set_meter, mtm_readings_meter(world.readings)->xy >= 0);
    mtm_assumed assumed = mtm_assumed_usual();
    HOLDS(mtm_assumed_usual, assumed.value[MTM_ASSUMED_DROOP] > 0);
    REFUSED(mtm_assumed_set, NULL, "droop", 0);
    REFUSED(mtm_assumed_set, &assumed, NULL, 0);
    EACH_NUMBER(n)
    {
        GIVES_RESULT(MTM_PARSE, mtm_assumed_set, &assumed, "droop", *n);
        assumed.value[MTM_ASSUMED_DROOP] = *n;
        mtm_readings_set_assumed(world.readings, &assumed);
        HOLDS(mtm_readings_set_assumed,
              mtm_readings_assumed(world.readings)->value[MTM_ASSUMED_DROOP] > 0);
        assumed = mtm_assumed_usual();
    }
    HOLDS(mtm_readings_assumed, mtm_readings_assumed(NULL) == NULL);
    LEAVES(count, mtm_readings_set_assumed, NULL, &assumed);
    LEAVES(count, mtm_readings_set_assumed, world.readings, NULL);
    LEAVES(count, mtm_readings_remove_last, NULL);
    LEAVES(count, mtm_readings_match, NULL, NULL);
    LEAVES(count, mtm_readings_match, world.readings, NULL);
    REFUSED(mtm_readings_match_meters, NULL, world.readings, &found);
    REFUSED(mtm_readings_match_meters, world.readings, NULL, &found);
    REFUSED(mtm_readings_match_meters, world.readings, world.readings, NULL);
    REFUSED(mtm_readings_vouch, NULL, 1);
    char *json = NULL;
    size_t length = 0;
    REFUSED(mtm_readings_to_json, NULL, &json, &length);
    REFUSED(mtm_readings_to_json, world.readings, NULL, &length);
    REFUSED(mtm_readings_to_json, world.readings, &json, NULL);
    assert_null(json);
    REFUSED(mtm_readings_write, NULL, "x.json");
    REFUSED(mtm_readings_write, world.readings, NULL);
    REFUSED(mtm_reading_type_in, NULL, &xyz);
    REFUSED(mtm_reading_type_in, "0.4 0.4 100", NULL);
    LEAVES(count, mtm_readings_free, NULL);
}

static void walk_models(void)
{
    const mtm_unit_model *model = mtm_calibration_unit(world.calibration, 0);
    const mtm_unit_model empty = {.count = 0};
    const double one[MTM_EMITTERS_MAX] = {1, 1};
    double odd[MTM_EMITTERS_MAX] = {NAN, NAN};
    double level[MTM_EMITTERS_MAX] = {0};
    mtm_xyz each[MTM_EMITTERS_MAX] = {{0, 0, 0}};
    mtm_covariance covariance;

    LEAVES(level, mtm_unit_model_levels, NULL, one, 1, level);
    LEAVES(level, mtm_unit_model_levels, model, NULL, 1, level);
    LEAVES(level, mtm_unit_model_levels, model, one, 1, NULL);
    LEAVES(level, mtm_unit_model_levels, &empty, one, 1, level);
    mtm_unit_model_levels(model, odd, 1, level);
    HOLDS(mtm_unit_model_levels, level[0] == 0 && level[1] == 0);
    mtm_unit_model_levels(model, one, NAN, level);
    HOLDS(mtm_unit_model_levels, level[0] == 0 && level[1] == 0);
    NOTHING(mtm_xyz, mtm_unit_model_xyz, NULL, one);
    NOTHING(mtm_xyz, mtm_unit_model_xyz, model, NULL);
    NOTHING(mtm_xyz, mtm_unit_model_xyz, &empty, one);
    NOTHING(mtm_xyz, mtm_unit_model_xyz, model, odd);
    LEAVES(each, mtm_unit_model_effective, NULL, one, each);
    LEAVES(each, mtm_unit_model_effective, model, NULL, each);
    LEAVES(each, mtm_unit_model_effective, model, one, NULL);
    HOLDS(mtm_unit_model_covariance, !mtm_unit_model_covariance(NULL, one, 1, &covariance));
    HOLDS(mtm_unit_model_covariance, !mtm_unit_model_covariance(model, NULL, 1, &covariance));
    HOLDS(mtm_unit_model_covariance, !mtm_unit_model_covariance(model, one, 1, NULL));
    HOLDS(mtm_unit_model_covariance, !mtm_unit_model_covariance(&empty, one, 1, &covariance));
    HOLDS(mtm_unit_model_chief_doubt, mtm_unit_model_chief_doubt(NULL, one, 1) == MTM_DOUBT_METER);
    HOLDS(mtm_unit_model_chief_doubt,
          mtm_unit_model_chief_doubt(model, NULL, 1) == MTM_DOUBT_METER);
    HOLDS(mtm_unit_model_chief_doubt,
          mtm_unit_model_chief_doubt(&empty, one, 1) == MTM_DOUBT_METER);
    HOLDS(mtm_doubt_text, mtm_doubt_text((mtm_doubt)-1)[0] == '\0');
    HOLDS(mtm_doubt_text, mtm_doubt_text(MTM_DOUBT_COUNT)[0] == '\0');
}

void walk_calibrations(void **state)
{
    static const char text[] = "{}";
    mtm_calibration *c = world.calibration;
    mtm_calibration *none = NULL;
    mtm_rig *other = NULL;
    mtm_note note = {.line = 7};
    mtm_reading reading = {.unit = 0, .code = {1}, .dimmer = 1, .xyz = {NAN, 1, 1}};
    double level[MTM_EMITTERS_MAX] = {NAN};
    size_t units = mtm_rig_unit_count(world.rig);

    (void)state;
    walk_reading();
    walk_reading_list();
    walk_models();
    assert_int_equal(mtm_rig_load("examples/hall.json", &other, NULL), MTM_OK);
    REFUSED(mtm_calibration_fit, NULL, world.rig, NULL, &none);
    REFUSED(mtm_calibration_fit, world.readings, NULL, NULL, &none);
    REFUSED(mtm_calibration_fit, world.readings, other, NULL, &none);
    REFUSED(mtm_calibration_fit, world.readings, world.rig, NULL, NULL);
    REFUSED(mtm_calibration_create, NULL, &none);
    REFUSED(mtm_calibration_create, world.rig, NULL);
    REFUSED(mtm_calibration_load, NULL, world.rig, &none);
    REFUSED(mtm_calibration_parse, NULL, 0, "t", world.rig, &none);
    REFUSED(mtm_calibration_parse, text, 2, NULL, world.rig, &none);
    REFUSED(mtm_calibration_parse, text, 2, "t", NULL, &none);
    REFUSED(mtm_calibration_parse, text, 2, "t", world.rig, NULL);
    char *json = NULL;
    size_t length = 0;
    REFUSED(mtm_calibration_to_json, NULL, &json, &length);
    REFUSED(mtm_calibration_to_json, c, NULL, &length);
    REFUSED(mtm_calibration_to_json, c, &json, NULL);
    assert_null(json);
    REFUSED(mtm_calibration_write, NULL, "x.json");
    REFUSED(mtm_calibration_write, c, NULL);
    REFUSED(mtm_calibration_apply, NULL, c);
    REFUSED(mtm_calibration_apply, other, c);
    REFUSED(mtm_calibration_apply, world.rig, NULL);
    assert_null(none);
    mtm_rig_free(other);
    HOLDS(mtm_calibration_unit, mtm_calibration_unit(NULL, 0) == NULL);
    HOLDS(mtm_calibration_unit, mtm_calibration_unit(c, units) == NULL);
    HOLDS(mtm_calibration_scale, isnan(mtm_calibration_scale(NULL, 0)));
    HOLDS(mtm_calibration_scale, isnan(mtm_calibration_scale(c, units)));
    HOLDS(mtm_calibration_residual_count, mtm_calibration_residual_count(NULL) == 0);
    HOLDS(mtm_calibration_residual, mtm_calibration_residual(NULL, 0) == NULL);
    HOLDS(mtm_calibration_residual,
          mtm_calibration_residual(c, mtm_calibration_residual_count(c)) == NULL);
    HOLDS(mtm_calibration_note_count, mtm_calibration_note_count(NULL) == 0);
    HOLDS(mtm_calibration_note, mtm_calibration_note(NULL, 0) == NULL);
    HOLDS(mtm_calibration_note, mtm_calibration_note(c, mtm_calibration_note_count(c)) == NULL);
    HOLDS(mtm_calibration_question, !mtm_calibration_question(NULL, &reading, &note));
    HOLDS(mtm_calibration_question, !mtm_calibration_question(c, NULL, &note));
    HOLDS(mtm_calibration_question, !mtm_calibration_question(c, &reading, NULL));
    HOLDS(mtm_calibration_question, !mtm_calibration_question(c, &reading, &note));
    const double dark[MTM_EMITTERS_MAX] = {0};
    mtm_trim_aim aim = {.target = {0.3, 0.3}, .output_lm = NAN};
    LEAVES(level, mtm_calibration_set_trim, c, 0, dark, NAN);
    HOLDS(mtm_calibration_trim, mtm_calibration_trim(NULL, 0, NULL) == NULL);
    HOLDS(mtm_calibration_trim, mtm_calibration_trim(c, units, NULL) == NULL);
    HOLDS(mtm_calibration_trim, mtm_calibration_trim(c, 0, NULL) == NULL);
    LEAVES(level, mtm_calibration_set_aim, NULL, 0, &aim);
    LEAVES(level, mtm_calibration_set_aim, c, units, &aim);
    LEAVES(level, mtm_calibration_set_aim, c, 0, NULL);
    LEAVES(level, mtm_calibration_set_aim, c, 0, &aim);
    HOLDS(mtm_calibration_aim, mtm_calibration_aim(c, 0) == NULL);
    HOLDS(mtm_calibration_aim, mtm_calibration_aim(c, units) == NULL);
    HOLDS(mtm_calibration_aim, mtm_calibration_aim(NULL, 0) == NULL);
    LEAVES(level, mtm_calibration_set_trim, NULL, 0, level, 1);
    LEAVES(level, mtm_calibration_set_trim, c, units, level, 1);
    LEAVES(level, mtm_calibration_set_trim, c, 0, NULL, 1);
    LEAVES(level, mtm_calibration_set_trim, c, 0, level, 1); /* does not poison the unit: */
    DONE(mtm_calibration_apply, world.rig, c);
    LEAVES(level, mtm_calibration_free, NULL);
}
