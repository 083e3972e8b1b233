/* SPDX-License-Identifier: MIT */
/* Weighing: what a reading tells of a curve that ends in a dead zone, and that a file keeps what
 * the weighing rests on. */
#include "calibrate/calibration.h"
#include "support/check.h"

#include <metamer/calibration.h>

#include <unistd.h>

enum { RED, GREEN, BLUE, EMITTERS };

static mtm_rig *load_rig(void)
{
    char path[400];
    const char *folder = getenv("METAMER_TEST_DATA");
    mtm_rig *rig = NULL;
    mtm_error error = {""};

    assert_non_null(folder);
    (void)snprintf(path, sizeof path, "%s/doubt/three-rig.json", folder);
    if (mtm_rig_load(path, &rig, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return rig;
}

static mtm_readings *no_readings(const mtm_rig *rig)
{
    mtm_readings *readings = NULL;

    assert_int_equal(mtm_readings_create(rig, &readings, NULL), MTM_OK);
    mtm_readings_set_meter(readings, &(mtm_meter){.xy = 0.002, .output = 0.02});
    return readings;
}

/* Light of the first unit as its file says, but that so much of a code lights nothing and that all
 * lose this share with the others at full. */
static void read_codes(const mtm_rig *rig, mtm_readings *readings, const double *code, double dead,
                       double droop)
{
    const mtm_fixture *fixture = mtm_rig_unit(rig, 0)->fixture;
    mtm_reading reading = {.unit = 0, .dimmer = 1, .line = mtm_readings_count(readings) + 1};
    double all = 0;

    for (size_t i = 0; i < EMITTERS; i++)
        all += fmax(0, (code[i] - dead) / (1 - dead));
    for (size_t i = 0; i < EMITTERS; i++) {
        mtm_xyz full = mtm_fixture_emitter(fixture, i)->xyz[MTM_OBSERVER_2];
        double level = fmax(0, (code[i] - dead) / (1 - dead));
        double light = level * (1 - droop * (all - level) / (EMITTERS - 1));
        reading.code[i] = code[i];
        reading.xyz.x += light * full.x;
        reading.xyz.y += light * full.y;
        reading.xyz.z += light * full.z;
    }
    assert_int_equal(mtm_readings_add(readings, &reading, NULL), MTM_OK);
}

/* Fits these readings onto an earlier calibration, and frees them. */
static mtm_calibration *fit(mtm_readings *readings, const mtm_rig *rig,
                            const mtm_calibration *before)
{
    mtm_calibration *calibration = NULL;
    mtm_error error = {""};

    if (mtm_calibration_fit(readings, rig, before, &calibration, &error) != MTM_OK)
        fail_msg("%s", error.text);
    mtm_readings_free(readings);
    return calibration;
}

static mtm_readings *read_singles(const mtm_rig *rig, double dead, double droop)
{
    mtm_readings *readings = no_readings(rig);

    for (size_t i = 0; i < EMITTERS; i++) {
        double code[EMITTERS] = {0};
        code[i] = 1;
        read_codes(rig, readings, code, dead, droop);
    }
    return readings;
}

static mtm_calibration *fit_singles(const mtm_rig *rig, double dead, double droop)
{
    return fit(read_singles(rig, dead, droop), rig, NULL);
}

/* A second round reads blue in its dead zone or shortly above: that must not put blue out at codes
 * far above. There a zone of 0.005 (k = 1) is assumed, which a straight line follows to a third. */
static const struct dead_row {
    const char *name;
    double dead, code;
} dead_rows[] = {
    {"blue dark at its code", 0.0071, 0.0059},  {"blue dark, far within", 0.0080, 0.0020},
    {"blue just lit", 0.0062, 0.0070},          {"blue at half its light", 0.0060, 0.0120},
    {"no dead zone, low code", 0.0000, 0.0030},
};

static void test_dead_zone(void **state)
{
    const struct dead_row *row = *state;
    const double code[EMITTERS] = {[RED] = 0.05, [GREEN] = 0.04, [BLUE] = row->code};
    mtm_rig *rig = load_rig();
    mtm_calibration *first = fit_singles(rig, row->dead, 0);
    mtm_readings *readings = no_readings(rig);

    read_codes(rig, readings, code, row->dead, 0);
    mtm_calibration *second = fit(readings, rig, first);
    const mtm_curve *blue = mtm_calibration_unit(second, 0)->emitter[BLUE].curve;
    CHECK_NEAR("blue where it was read", mtm_curve_level(blue, row->code),
               fmax(0, (row->code - row->dead) / (1 - row->dead)), 0.005 / 3);
    CHECK_NEAR("blue at 0.1", mtm_curve_level(blue, 0.1), (0.1 - row->dead) / (1 - row->dead),
               0.01);
    mtm_calibration_free(second);
    mtm_calibration_free(first);
    mtm_rig_free(rig);
}

static void same_settings(const mtmi_settings *a, const mtmi_settings *b)
{
    assert_int_equal(a->count, b->count);
    for (size_t i = 0; i < a->count; i++) {
        for (size_t k = 0; k < EMITTERS; k++)
            CHECK_NEAR("code", b->list[i].code[k], a->list[i].code[k], 1e-15);
        CHECK_NEAR("dimmer", b->list[i].dimmer, a->list[i].dimmer, 1e-15);
        assert_int_equal(a->list[i].repeats, b->list[i].repeats);
        assert_int_equal(a->list[i].round, b->list[i].round);
    }
}

/* A third round on both: they are as sure of the same light. */
static void same_doubt(const mtm_rig *rig, const mtm_calibration *a, const mtm_calibration *b)
{
    const double code[EMITTERS] = {0.3, 0.2, 0.1};
    const mtm_calibration *from[] = {a, b};
    mtm_covariance found[2];

    for (size_t i = 0; i < 2; i++) {
        mtm_readings *readings = no_readings(rig);
        read_codes(rig, readings, code, 0.004, 0.1);
        mtm_calibration *next = fit(readings, rig, from[i]);
        assert_true(mtm_unit_model_covariance(
            mtm_calibration_unit(next, 0), (const double[EMITTERS]){0.5, 0.5, 0.5}, 1, &found[i]));
        mtm_calibration_free(next);
    }
    for (size_t r = 0; r < 3; r++) {
        for (size_t c = 0; c < 3; c++)
            CHECK_NEAR("covariance", found[1].at[r][c], found[0].at[r][c],
                       1e-9 * found[0].at[1][1]);
    }
}

/* What was read in two rounds, one setting twice, and what each emitter loses, stand in the file.
 */
static void test_file_keeps(void **state)
{
    (void)state;
    char path[] = "/tmp/metamer-weigh-XXXXXX";
    mtm_rig *rig = load_rig();
    mtm_calibration *first = fit_singles(rig, 0.004, 0.1);
    mtm_readings *readings = no_readings(rig);
    mtm_calibration *loaded = NULL;
    mtm_error error = {""};

    for (int i = 0; i < 3; i++)
        read_codes(rig, readings,
                   i < 2 ? (const double[EMITTERS]){1, 1, 1}
                         : (const double[EMITTERS]){1 / 3.0, 0.7, 0.1},
                   0.004, 0.1);
    mtm_calibration *second = fit(readings, rig, first);
    int file = mkstemp(path);
    assert_true(file >= 0);
    (void)close(file);
    if (mtm_calibration_write(second, path, &error) != MTM_OK ||
        mtm_calibration_load(path, rig, &loaded, &error) != MTM_OK)
        fail_msg("%s", error.text);
    (void)remove(path);

    const mtmi_settings *settings = &second->units[0].settings;
    assert_int_equal(settings->count, EMITTERS + 2);
    assert_int_equal(settings->list[0].round, 1);
    assert_int_equal(settings->list[EMITTERS].round, 2);
    assert_int_equal(settings->list[EMITTERS].repeats, 2);
    same_settings(settings, &loaded->units[0].settings);
    for (size_t i = 0; i < EMITTERS; i++) {
        double droop = second->units[0].model.emitter[i].droop;
        CHECK_NEAR("droop, as it was", droop, 0.1, 0.03);
        CHECK_NEAR("droop", loaded->units[0].model.emitter[i].droop, droop, 1e-15);
    }
    same_doubt(rig, second, loaded);
    mtm_calibration_free(loaded);
    mtm_calibration_free(second);
    mtm_calibration_free(first);
    mtm_rig_free(rig);
}

/* The file's text, and the same with one setting more before its first. Both are to be freed. */
static void one_more(const char *path, char **text, char **more)
{
    static const char setting[] = "{\"codes\":[1,0,0],\"dimmer\":1,\"repeats\":1,\"round\":1},";
    FILE *file = fopen(path, "r");

    assert_non_null(file);
    *text = calloc(1, 1 << 20);
    *more = calloc(1, (1 << 20) + sizeof setting);
    assert_non_null(*text);
    assert_non_null(*more);
    assert_in_range(fread(*text, 1, (1 << 20) - 1, file), 1, (1 << 20) - 2);
    (void)fclose(file);
    const char *list = strstr(*text, "\"read\"");
    assert_non_null(list);
    size_t before = (size_t)(strchr(list, '[') + 1 - *text);
    memcpy(*more, *text, before);
    memcpy(*more + before, setting, sizeof setting - 1);
    memcpy(*more + before + sizeof setting - 1, *text + before, strlen(*text + before));
}

/* A unit that was read more often than is kept: the latest stand, and a file holds no more. */
static void test_most_settings(void **state)
{
    (void)state;
    mtm_rig *rig = load_rig();
    mtm_calibration *calibration = fit_singles(rig, 0, 0);

    for (int round = 2; round < 5; round++) {
        mtm_readings *readings = no_readings(rig);
        for (int i = 0; i < 150; i++)
            read_codes(rig, readings, (const double[EMITTERS]){1, 0.5 + 0.003 * i, 0.2 * round}, 0,
                       0);
        mtm_calibration *next = fit(readings, rig, calibration);
        mtm_calibration_free(calibration);
        calibration = next;
    }
    const mtmi_settings *settings = &calibration->units[0].settings;
    assert_int_equal(settings->count, MTMI_SETTINGS_MAX);
    assert_int_equal(settings->list[settings->count - 1].round, 4);
    CHECK_NEAR("latest", settings->list[settings->count - 1].code[GREEN], 0.5 + 0.003 * 149, 1e-12);

    char path[] = "/tmp/metamer-weigh-XXXXXX";
    mtm_calibration *loaded = NULL;
    mtm_error error = {""};
    char *text = NULL;
    char *more = NULL;
    int file = mkstemp(path);
    assert_true(file >= 0);
    (void)close(file);
    assert_int_equal(mtm_calibration_write(calibration, path, &error), MTM_OK);
    one_more(path, &text, &more);
    (void)remove(path);
    assert_int_equal(mtm_calibration_parse(text, strlen(text), "full", rig, &loaded, &error),
                     MTM_OK);
    assert_int_equal(loaded->units[0].settings.count, MTMI_SETTINGS_MAX);
    mtm_calibration_free(loaded);
    assert_int_equal(mtm_calibration_parse(more, strlen(more), "over", rig, &loaded, &error),
                     MTM_PARSE);
    assert_non_null(strstr(error.text, "400"));
    free(more);
    free(text);
    mtm_calibration_free(calibration);
    mtm_rig_free(rig);
}

/* After singles at full, what nothing was read of and is assumed is what is most in doubt. */
static const struct chief_row {
    const char *name;
    const char *assumed[2]; /* that are not 0, beside the file */
    double value[2];
    double code[EMITTERS];
    bool mixture; /* all together is all that was read */
    mtm_doubt chief;
} chief_rows[] = {
    {"nothing else", {0}, {0}, {1, 1, 1}, false, MTM_DOUBT_METER},
    {"bend", {"bend", "drift"}, {0.1, 0.0001}, {0.5, 0.3, 0.1}, false, MTM_DOUBT_CURVE},
    {"dead zone", {"dead", "drift"}, {0.01, 0.0001}, {0.05, 0.03, 0.01}, false, MTM_DOUBT_CURVE},
    {"bend, but at full", {"bend", "drift"}, {0.1, 0.02}, {1, 1, 0.999}, false, MTM_DOUBT_METER},
    {"drift", {"drift", "bend"}, {0.02, 0.001}, {0.5, 0.3, 0.1}, false, MTM_DOUBT_DRIFT},
    {"droop", {"droop-apart", "drift"}, {0.3, 0.0001}, {1, 1, 1}, false, MTM_DOUBT_DROOP},
    {"file", {"file-output", "bend"}, {0.2, 0.001}, {0.9, 0.5, 1}, true, MTM_DOUBT_FILE},
};

static void test_chief(void **state)
{
    const struct chief_row *row = *state;
    mtm_rig *rig = load_rig();
    mtm_readings *readings = row->mixture ? no_readings(rig) : read_singles(rig, 0, 0);
    mtm_assumed assumed = {{0}};

    assumed.value[MTM_ASSUMED_FILE_XY] = 0.012;
    assumed.value[MTM_ASSUMED_FILE_OUTPUT] = 0.15;
    if (row->mixture)
        read_codes(rig, readings, (const double[EMITTERS]){1, 1, 1}, 0, 0);
    for (size_t i = 0; i < COUNT(row->assumed) && row->assumed[i] != NULL; i++)
        assert_int_equal(mtm_assumed_set(&assumed, row->assumed[i], row->value[i], NULL), MTM_OK);
    mtm_readings_set_assumed(readings, &assumed);
    mtm_calibration *calibration = fit(readings, rig, NULL);
    const mtm_unit_model *model = mtm_calibration_unit(calibration, 0);
    assert_string_equal(mtm_doubt_text(mtm_unit_model_chief_doubt(model, row->code, 1)),
                        mtm_doubt_text(row->chief));
    /* nothing lit, nothing given: nothing is in doubt but the meter */
    assert_int_equal(mtm_unit_model_chief_doubt(model, (const double[EMITTERS]){0}, 1),
                     MTM_DOUBT_METER);
    assert_int_equal(mtm_unit_model_chief_doubt(model, NULL, 1), MTM_DOUBT_METER);
    assert_int_equal(mtm_unit_model_chief_doubt(NULL, row->code, 1), MTM_DOUBT_METER);
    assert_string_equal(mtm_doubt_text(MTM_DOUBT_COUNT), "");
    mtm_calibration_free(calibration);
    mtm_rig_free(rig);
}

int main(void)
{
    struct CMUnitTest chief[COUNT(chief_rows)];
    struct CMUnitTest dead[COUNT(dead_rows)];
    const struct CMUnitTest kept[] = {
        cmocka_unit_test(test_file_keeps),
        cmocka_unit_test(test_most_settings),
    };

    ROW_TESTS(dead, dead_rows, test_dead_zone);
    ROW_TESTS(chief, chief_rows, test_chief);
    return cmocka_run_group_tests_name("dead zones", dead, NULL, NULL) +
           cmocka_run_group_tests_name("most in doubt", chief, NULL, NULL) +
           cmocka_run_group_tests_name("what is kept", kept, NULL, NULL);
}
