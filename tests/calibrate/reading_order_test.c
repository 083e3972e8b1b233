/* SPDX-License-Identifier: MIT */
/* The order of a form for readings, by what the library itself doubts after each: whoever runs out
 * of time knows the colours of the rig's mixes at full at least as well as by reading one unit to
 * its end before the next, and on the whole better than with each emitter before all of them
 * together. For light far below full, low codes first would tell more, and help says so. The
 * readings are the fixture files' own light, so that nothing hangs on a draw; the mixes are drawn
 * with a fixed seed.
 */
#include "support/normal.h"
#include "support/trial.h"

#include <metamer/calibration.h>
#include <metamer/sheet.h>

enum { STEPS_MAX = 200, MIXES = 24 };

/* Of a doubt: the order in which readings are summed shows in the fit by about a tenth of this. */
#define NOISE 1e-4

struct step {
    size_t unit;
    size_t place;   /* in the form */
    size_t emitter; /* or MTM_EMITTERS_MAX for all */
    double code;    /* 0 to 1 */
};

/* The rows of the form itself. */
static int form_steps(const mtm_rig *rig, struct step *step)
{
    const double share[] = {0.5, 0.1};
    const mtm_sheet_request request = {
        .type = MTM_SHEET_READINGS, .format = MTM_SHEET_CSV, .share = share, .share_count = 2};
    char *text = NULL;
    size_t length = 0;
    int count = 0;

    assert_int_equal(mtm_sheet_write(rig, &request, &text, &length, NULL), MTM_OK);
    for (char *line = strstr(text, "dark,,,,\r\n") + 10; *line != '\0';
         line = strstr(line, "\r\n") + 2) {
        char *comma = strchr(line, ',');
        char *second = strchr(comma + 1, ',');
        struct step one = {.place = (size_t)count, .emitter = MTM_EMITTERS_MAX, .code = 1};
        *comma = *second = '\0';
        assert_int_equal(mtm_rig_find_unit(rig, line, &one.unit, NULL), MTM_OK);
        const mtm_unit *unit = mtm_rig_unit(rig, one.unit);
        for (size_t k = 0; k < mtm_fixture_emitter_count(unit->fixture); k++) {
            if (strcmp(mtm_fixture_emitter(unit->fixture, k)->name, comma + 1) == 0)
                one.emitter = k;
        }
        if (second[1] != 'f')
            one.code =
                strtod(second + 1, NULL) / (unit->mode->emitter_bits[0] == 16 ? 65535.0 : 255.0);
        assert_true(count < STEPS_MAX);
        step[count++] = one;
        line = second + 1;
    }
    free(text);
    return count;
}

/* What a meter would read of a unit that is as its file says. */
static mtm_reading reading_of(const mtm_rig *rig, const struct step *step)
{
    const mtm_fixture *fixture = mtm_rig_unit(rig, step->unit)->fixture;
    mtm_reading reading = {.unit = step->unit, .dimmer = 1, .line = step->place + 1};

    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(fixture, k);
        if (step->emitter != MTM_EMITTERS_MAX && step->emitter != k)
            continue;
        double level = mtm_curve_level(emitter->curve, step->code);
        reading.code[k] = step->code;
        reading.xyz.x += level * emitter->xyz[MTM_OBSERVER_2].x;
        reading.xyz.y += level * emitter->xyz[MTM_OBSERVER_2].y;
        reading.xyz.z += level * emitter->xyz[MTM_OBSERVER_2].z;
    }
    return reading;
}

/* Standard uncertainty of u', v' of one mix; NAN where the model has none. */
static double doubt_uv(const mtm_unit_model *model, const double *code)
{
    double level[MTM_EMITTERS_MAX];
    mtm_covariance c;

    if (!mtm_unit_model_covariance(model, code, 1, &c))
        return NAN;
    mtm_unit_model_levels(model, code, 1, level);
    mtm_xyz xyz = mtm_unit_model_xyz(model, level);
    double d = xyz.x + 15 * xyz.y + 3 * xyz.z;
    double du[3] = {4 / d - 4 * xyz.x / (d * d), -60 * xyz.x / (d * d), -12 * xyz.x / (d * d)};
    double dv[3] = {-9 * xyz.y / (d * d), 9 / d - 135 * xyz.y / (d * d), -27 * xyz.y / (d * d)};
    double sum = 0;
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++)
            sum += c.at[i][j] * (du[i] * du[j] + dv[i] * dv[j]);
    }
    return sqrt(fmax(0, sum));
}

/* After so many readings: mean over units and mixes whose codes go up to a share of full; NAN while
 * a unit's is not known. */
static double doubt_after(const mtm_rig *rig, const struct step *step, int count, double share)
{
    mtm_readings *readings = NULL;
    mtm_calibration *calibration = NULL;
    mtm_error error = {""};
    double sum = 0;
    uint64_t seed = 4711;

    assert_int_equal(mtm_readings_create(rig, &readings, NULL), MTM_OK);
    mtm_readings_set_meter(readings, &(mtm_meter){.xy = 0.002, .output = 0.04});
    for (int i = 0; i < count; i++) {
        mtm_reading reading = reading_of(rig, &step[i]);
        assert_int_equal(mtm_readings_add(readings, &reading, &error), MTM_OK);
    }
    if (mtm_calibration_fit(readings, rig, NULL, &calibration, &error) != MTM_OK)
        fail_msg("%s", error.text);
    for (size_t u = 0; u < mtm_rig_unit_count(rig); u++) {
        for (int m = 0; m < MIXES; m++) {
            double code[MTM_EMITTERS_MAX] = {0};
            for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
                code[k] = share * random_even(&seed);
            sum += doubt_uv(mtm_calibration_unit(calibration, u), code);
        }
    }
    mtm_calibration_free(calibration);
    mtm_readings_free(readings);
    return sum / (double)(MIXES * mtm_rig_unit_count(rig));
}

static int compare(size_t a, size_t b)
{
    return (a > b) - (a < b);
}

/* One unit to its end before the next, each emitter with its lower codes. */
static int by_ladder(const void *a, const void *b)
{
    const struct step *x = a;
    const struct step *y = b;
    int unit = compare(x->unit, y->unit);
    int emitter = compare(x->emitter, y->emitter);

    return unit != 0 ? unit : emitter != 0 ? emitter : compare(x->place, y->place);
}

/* One unit to its end before the next, in the form's order. */
static int by_unit(const void *a, const void *b)
{
    const struct step *x = a;
    const struct step *y = b;
    int unit = compare(x->unit, y->unit);

    return unit != 0 ? unit : compare(x->place, y->place);
}

/* As the form, but all emitters together after each of them. */
static int by_singles(const void *a, const void *b)
{
    const struct step *x = a;
    const struct step *y = b;
    int round = (x->code < y->code) - (x->code > y->code);
    int unit = compare(x->unit, y->unit);

    return round != 0 ? round : unit != 0 ? unit : compare(x->emitter, y->emitter);
}

/* Low codes of all units first. */
static int by_low(const void *a, const void *b)
{
    const struct step *x = a;
    const struct step *y = b;
    int round = (x->code > y->code) - (x->code < y->code);

    return round != 0 ? round : compare(x->place, y->place);
}

/* The doubt after each reading of an order. */
static void doubts_of(const mtm_rig *rig, const struct step *form, int count,
                      int (*order)(const void *, const void *), double share, double *doubt)
{
    struct step step[STEPS_MAX];

    memcpy(step, form, (size_t)count * sizeof *step);
    if (order != NULL)
        qsort(step, (size_t)count, sizeof *step, order);
    for (int n = 1; n <= count; n++)
        doubt[n - 1] = doubt_after(rig, step, n, share);
}

static const struct row {
    const char *name, *file;
} rows[] = {
    {"two emitters", "two-rig.json"},
    {"three emitters", "three-rig.json"},
    {"five emitters", "five-rig.json"},
};

static mtm_rig *load(const struct row *row)
{
    char path[400];
    mtm_rig *rig = NULL;
    mtm_error error = {""};

    assert_non_null(getenv("METAMER_TEST_DATA"));
    (void)snprintf(path, sizeof path, "%s/doubt/%s", getenv("METAMER_TEST_DATA"), row->file);
    if (mtm_rig_load(path, &rig, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return rig;
}

/* The sum of both orders over all numbers of readings at which both know the rig. */
static void sum_both(const double *doubt, const double *other, int count, double sum[2])
{
    sum[0] = sum[1] = 0;
    for (int n = 0; n < count; n++) {
        bool known = !isnan(doubt[n]) && !isnan(other[n]);
        sum[0] += known ? doubt[n] : 0;
        sum[1] += known ? other[n] : 0;
    }
}

static void test_full(void **state)
{
    static const struct {
        const char *name;
        int (*order)(const void *, const void *);
        bool never_better; /* after any number of readings */
    } others[] = {{"ladders", by_ladder, true},
                  {"unit by unit", by_unit, true},
                  {"singles first", by_singles, false}};
    struct step form[STEPS_MAX];
    double doubt[STEPS_MAX], other[STEPS_MAX], sum[2];
    mtm_rig *rig = load(*state);
    int count = form_steps(rig, form);

    doubts_of(rig, form, count, NULL, 1, doubt);
    for (size_t o = 0; o < COUNT(others); o++) {
        doubts_of(rig, form, count, others[o].order, 1, other);
        for (int n = 0; others[o].never_better && n < count; n++) {
            if (!isnan(other[n]) && !(doubt[n] <= other[n] * (1 + NOISE)))
                fail_msg("%s: after %d readings %.6f, the form %.6f", others[o].name, n + 1,
                         other[n], doubt[n]);
        }
        sum_both(doubt, other, count, sum);
        if (!(sum[0] < 0.99 * sum[1]))
            fail_msg("%s: %.6f in all, the form %.6f", others[o].name, sum[1], sum[0]);
    }
    mtm_rig_free(rig);
}

/* At a fifth of full. */
static void test_low(void **state)
{
    struct step form[STEPS_MAX];
    double doubt[STEPS_MAX], low[STEPS_MAX], sum[2];
    mtm_rig *rig = load(*state);
    int count = form_steps(rig, form);

    doubts_of(rig, form, count, NULL, 0.2, doubt);
    doubts_of(rig, form, count, by_low, 0.2, low);
    sum_both(doubt, low, count, sum);
    assert_true(sum[1] > 0 && sum[1] < 0.9 * sum[0]);
    mtm_rig_free(rig);
}

int main(void)
{
    struct CMUnitTest tests[2 * COUNT(rows)];

    ROW_TESTS(tests, rows, test_full);
    ROW_TESTS(tests + COUNT(rows), rows, test_low);
    return cmocka_run_group_tests_name("reading order", tests, NULL, NULL);
}
