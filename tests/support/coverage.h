/* SPDX-License-Identifier: MIT */
/* How often what a trim states of its doubt holds: rigs of varied units, in classes. */
#ifndef METAMER_TESTS_COVERAGE_H
#define METAMER_TESTS_COVERAGE_H

#include "support/check.h"
#include "support/varied.h"

#include <metamer/tolerance.h>
#include <metamer/trim.h>
#include <metamer/white.h>

enum { COVERAGE_UNITS = 2, COVERAGE_STATES = 4, COVERAGE_OUTPUTS = 3, COVERAGE_READ = 2 };

static const char *const coverage_kinds[] = {"singles", "mixtures", "ladders"};
static const char *const coverage_rigs[] = {"two", "three", "five"};
static const char *const coverage_states[COVERAGE_STATES] = {"before", "predicted", "as read",
                                                             "again"};
static const double coverage_outputs[COVERAGE_OUTPUTS] = {1, 0.2, 0.05};

/** What came of one class. */
typedef struct coverage_class {
    size_t count;
    size_t room;
    double *ratio;   /* error of the stated distance over U */
    double *width;   /* U */
    size_t unstated; /* no U */
    size_t inside, inside_right;
    size_t outside, outside_right;
} coverage_class;

/** Classes of one kind of readings of one kind of unit. */
typedef struct coverage_table {
    size_t emitters; /* index in coverage_rigs */
    size_t kind;
    size_t refused; /* fits and trims that were refused */
    coverage_class at[COVERAGE_OUTPUTS][COVERAGE_STATES];
} coverage_table;

typedef struct coverage_run {
    mtm_rig *rig;
    varied unit[COVERAGE_UNITS];
    varied_meter meter;
    mtm_trim_request request;
    coverage_table *table;
} coverage_run;

static inline void coverage_put(coverage_class *class, double ratio, double width)
{
    if (class->count == class->room) {
        class->room = class->room > 0 ? 2 * class->room : 256;
        class->ratio = realloc(class->ratio, class->room * sizeof *class->ratio);
        class->width = realloc(class->width, class->room * sizeof *class->width);
        assert_non_null(class->ratio);
        assert_non_null(class->width);
    }
    class->ratio[class->count] = ratio;
    class->width[class->count++] = width;
}

/** Adds the cases of one class to another. */
static inline void coverage_join(coverage_class *to, const coverage_class *from)
{
    for (size_t i = 0; i < from->count; i++)
        coverage_put(to, from->ratio[i], from->width[i]);
}

static inline void coverage_add(coverage_class *class, const coverage_run *run,
                                const mtm_trim_state *state, mtm_xyz truth)
{
    mtm_uv target = mtm_uv_from_xy(run->request.target);
    double distance = mtm_uv_distance(mtm_uv_from_xyz(truth), target);
    double tolerance = run->request.steps * MTM_STEP_UV;

    if (!(state->expanded_uv > 0)) {
        class->unstated++;
        return;
    }
    coverage_put(class, fabs(distance - state->delta_uv) / state->expanded_uv, state->expanded_uv);
    if (state->verdict == MTM_VERDICT_INSIDE) {
        class->inside++;
        class->inside_right += distance <= tolerance ? 1 : 0;
    }
    if (state->verdict == MTM_VERDICT_OUTSIDE) {
        class->outside++;
        class->outside_right += distance > tolerance ? 1 : 0;
    }
}

static inline void coverage_read(const coverage_run *run, mtm_readings *readings, size_t unit,
                                 const double *code, varied_meter *meter)
{
    mtm_reading reading = varied_reading(&run->unit[unit], unit, code, meter);

    reading.line = mtm_readings_count(readings) + 1;
    assert_int_equal(mtm_readings_add(readings, &reading, NULL), MTM_OK);
}

static inline mtm_readings *coverage_no_readings(const coverage_run *run)
{
    mtm_readings *readings = NULL;

    assert_int_equal(mtm_readings_create(run->rig, &readings, NULL), MTM_OK);
    mtm_readings_set_meter(readings, &run->meter.stated);
    return readings;
}

/* Singles at full; mixtures of one at full among the others at half; ladders of each alone. */
static inline mtm_readings *coverage_first_readings(coverage_run *run)
{
    static const double rungs[] = {1, 0.5, 0.2, 0.1, 0.05, 0.02};
    mtm_readings *readings = coverage_no_readings(run);

    for (size_t u = 0; u < COVERAGE_UNITS; u++) {
        size_t count = run->unit[u].count;
        for (size_t i = 0; i < count; i++) {
            double code[MTM_EMITTERS_MAX] = {0};
            size_t most = run->table->kind == 2 ? COUNT(rungs) : 1;
            for (size_t r = 0; r < most; r++) {
                for (size_t k = 0; k < count && run->table->kind == 1; k++)
                    code[k] = 0.5;
                code[i] = rungs[r];
                coverage_read(run, readings, u, code, &run->meter);
            }
        }
        if (run->table->kind == 1) {
            double code[MTM_EMITTERS_MAX] = {1, 1, 1, 1, 1};
            coverage_read(run, readings, u, code, &run->meter);
        }
    }
    return readings;
}

static inline void coverage_sent(const mtm_trim_unit *one, size_t count, double *code)
{
    for (size_t k = 0; k < count; k++)
        code[k] = one->codes.emitter[k] / 65535.0;
}

/* The codes of the fixture file for the target: what "before" speaks of. */
static inline void coverage_file_codes(const coverage_run *run, size_t unit, double *code)
{
    const mtm_unit *of = mtm_rig_unit(run->rig, unit);
    mtm_solver *solver = NULL;
    mtm_coder *coder = NULL;
    mtm_answer answer;
    mtm_codes codes;

    assert_int_equal(mtm_solver_create_for(of->fixture, MTM_OBSERVER_2, &solver, NULL), MTM_OK);
    assert_int_equal(
        mtm_solver_solve(solver, &(mtm_request){.xy = run->request.target}, &answer, NULL), MTM_OK);
    assert_int_equal(mtm_coder_create(of->fixture, of->mode, MTM_OBSERVER_2, &coder, NULL), MTM_OK);
    mtm_coder_round(coder, answer.level, &codes);
    for (size_t k = 0; k < run->unit[unit].count; k++)
        code[k] = codes.emitter[k] / 65535.0;
    mtm_coder_free(coder);
    mtm_solver_free(solver);
}

/* Reads what the trim sends, fits again, trims again. */
static inline void coverage_again(coverage_run *run, const mtm_calibration *first,
                                  const mtm_trim *trim, coverage_class *classes)
{
    mtm_readings *readings = coverage_no_readings(run);
    mtm_calibration *second = NULL;
    mtm_trim *next = NULL;
    mtm_trim_request request = run->request;
    varied_meter meter = run->meter;

    for (size_t u = 0; u < mtm_trim_count(trim); u++) {
        const mtm_trim_unit *one = mtm_trim_at(trim, u);
        double code[MTM_EMITTERS_MAX] = {0};
        coverage_sent(one, run->unit[one->unit].count, code);
        coverage_read(run, readings, one->unit, code, &meter);
    }
    request.output = (mtm_output){MTM_OUTPUT_LM, mtm_trim_summarise(trim).output};
    if (mtm_calibration_fit(readings, run->rig, first, &second, NULL) != MTM_OK ||
        mtm_trim_run(second, run->rig, readings, &run->meter.stated, &request, &next, NULL) !=
            MTM_OK)
        run->table->refused++;
    for (size_t u = 0; next != NULL && u < mtm_trim_count(next); u++) {
        const mtm_trim_unit *one = mtm_trim_at(next, u);
        const varied *unit = &run->unit[one->unit];
        double code[MTM_EMITTERS_MAX] = {0};
        coverage_sent(mtm_trim_at(trim, u), unit->count, code);
        if (one->before.measured)
            coverage_add(&classes[2], run, &one->before, varied_light(unit, code));
        coverage_sent(one, unit->count, code);
        coverage_add(&classes[3], run, &one->after, varied_light(unit, code));
    }
    mtm_trim_free(next);
    mtm_calibration_free(second);
    mtm_readings_free(readings);
}

static inline void coverage_trim(coverage_run *run, mtm_calibration *calibration,
                                 coverage_class *classes)
{
    mtm_trim *trim = NULL;

    if (mtm_trim_run(calibration, run->rig, NULL, &run->meter.stated, &run->request, &trim, NULL) !=
        MTM_OK) {
        run->table->refused++;
        return;
    }
    for (size_t u = 0; u < mtm_trim_count(trim); u++) {
        const mtm_trim_unit *one = mtm_trim_at(trim, u);
        const varied *unit = &run->unit[one->unit];
        double code[MTM_EMITTERS_MAX] = {0};
        coverage_file_codes(run, one->unit, code);
        coverage_add(&classes[0], run, &one->before, varied_light(unit, code));
        coverage_sent(one, unit->count, code);
        coverage_add(&classes[1], run, &one->after, varied_light(unit, code));
    }
    mtm_trim_store(trim, calibration);
    coverage_again(run, calibration, trim, classes);
    mtm_trim_free(trim);
}

/* A white of 2700 to 6500 K; of two emitters, one that they make by their file. */
static inline mtm_xy coverage_target(const mtm_fixture *fixture, uint64_t *seed)
{
    mtm_xy xy = {0, 0};

    if (mtm_fixture_emitter_count(fixture) == 2) {
        mtm_xyz a = mtm_fixture_emitter(fixture, 0)->xyz[MTM_OBSERVER_2];
        mtm_xyz b = mtm_fixture_emitter(fixture, 1)->xyz[MTM_OBSERVER_2];
        double part = 0.15 + 0.7 * random_even(seed);
        return mtm_xy_from_xyz((mtm_xyz){a.x + part * (b.x - a.x), a.y + part * (b.y - a.y),
                                         a.z + part * (b.z - a.z)});
    }
    const mtm_white white = {1e6 / (154 + 216 * random_even(seed)), 0};
    assert_int_equal(mtm_white_to_xy(white, &xy, NULL), MTM_OK);
    return xy;
}

/** Runs rigs of one kind of unit and one kind of readings; the caller frees with coverage_free. */
static inline void coverage_of(size_t emitters, size_t kind, size_t rigs, uint64_t seed,
                               coverage_table *table)
{
    char path[400];
    const char *folder = getenv("METAMER_TEST_DATA");
    mtm_error error = {""};
    coverage_run run = {.table = table};

    assert_non_null(folder);
    table->emitters = emitters;
    table->kind = kind;
    (void)snprintf(path, sizeof path, "%s/doubt/%s-rig.json", folder, coverage_rigs[emitters]);
    if (mtm_rig_load(path, &run.rig, &error) != MTM_OK)
        fail_msg("%s", error.text);
    for (size_t i = 0; i < rigs; i++) {
        mtm_calibration *calibration = NULL;
        run.meter = varied_meter_draw(&seed);
        for (size_t u = 0; u < COVERAGE_UNITS; u++)
            run.unit[u] = varied_draw(mtm_rig_unit(run.rig, u)->fixture, &seed);
        run.request = (mtm_trim_request){.steps = 1 + 6 * random_even(&seed)};
        run.request.target = coverage_target(mtm_rig_unit(run.rig, 0)->fixture, &seed);
        mtm_readings *readings = coverage_first_readings(&run);
        if (mtm_calibration_fit(readings, run.rig, NULL, &calibration, NULL) != MTM_OK)
            table->refused++;
        for (size_t o = 0; calibration != NULL && o < COVERAGE_OUTPUTS; o++) {
            run.request.output = (mtm_output){MTM_OUTPUT_SHARE, coverage_outputs[o]};
            coverage_trim(&run, calibration, table->at[o]);
        }
        mtm_calibration_free(calibration);
        mtm_readings_free(readings);
    }
    mtm_rig_free(run.rig);
}

static inline void coverage_free(coverage_table *table)
{
    for (size_t o = 0; o < COVERAGE_OUTPUTS; o++) {
        for (size_t s = 0; s < COVERAGE_STATES; s++) {
            free(table->at[o][s].ratio);
            free(table->at[o][s].width);
        }
    }
}

static inline int coverage_compare(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;

    return (x > y) - (x < y);
}

/** The share of cases that U holds; sorts. *reach: 95th percentile of error over U. */
static inline double coverage_share(coverage_class *class, double *reach, double *median_width)
{
    size_t held = 0;

    *reach = *median_width = 0;
    if (class->count == 0)
        return 0;
    for (size_t i = 0; i < class->count; i++)
        held += class->ratio[i] <= 1 ? 1 : 0;
    qsort(class->ratio, class->count, sizeof *class->ratio, coverage_compare);
    qsort(class->width, class->count, sizeof *class->width, coverage_compare);
    *reach = class->ratio[(size_t)(0.95 * (double)(class->count - 1))];
    *median_width = class->width[class->count / 2];
    return (double)held / (double)class->count;
}

static inline void coverage_print(coverage_table *table)
{
    for (size_t o = 0; o < COVERAGE_OUTPUTS; o++) {
        for (size_t s = 0; s < COVERAGE_STATES; s++) {
            coverage_class *class = &table->at[o][s];
            double reach = 0;
            double width = 0;
            double share = coverage_share(class, &reach, &width);
            print_message("%-5s %-8s %3.0f %% %-9s %5zu held %5.1f %%  p95 %.2f U  U %.4f  inside "
                          "%zu/%zu outside %zu/%zu unstated %zu\n",
                          coverage_rigs[table->emitters], coverage_kinds[table->kind],
                          100 * coverage_outputs[o], coverage_states[s], class->count, 100 * share,
                          reach, width, class->inside_right, class->inside, class->outside_right,
                          class->outside, class->unstated);
        }
    }
    if (table->refused > 0)
        print_message("refused: %zu\n", table->refused);
}

#endif
