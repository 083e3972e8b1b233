/* SPDX-License-Identifier: MIT */
/* Trim: simulated units, whose truth the library does not see, measured and corrected in rounds. */
#include "support/rounds.h"
#include "support/simulated.h"

#include <metamer/match.h>
#include <metamer/solve.h>
#include <metamer/tolerance.h>

typedef struct setup {
    struct rounds work;
    simulated unit[8];
    simulated_meter meter;
} setup;

static void begin_with(setup *s, const char *file)
{
    uint64_t seed = 4;

    *s = (setup){.meter = {.scale = 0.4, .seed = 8}};
    rounds_begin(&s->work, file);
    for (size_t i = 0; i < 8; i++)
        s->unit[i] = simulated_unit(mtm_rig_unit(s->work.rig, i)->fixture, 0.12, 0.006, &seed);
}

static void begin(setup *s)
{
    begin_with(s, "rig.json");
}

static mtm_readings *new_readings(const setup *s)
{
    mtm_readings *readings = rounds_readings(&s->work);

    simulated_assume(readings);
    return readings;
}

static void add(mtm_readings *readings, mtm_reading reading)
{
    reading.line = mtm_readings_count(readings) + 1;
    assert_int_equal(mtm_readings_add(readings, &reading, NULL), MTM_OK);
}

/* First round: each emitter of the units up to count alone at full. */
static mtm_readings *read_singles(setup *s, size_t count)
{
    mtm_readings *readings = new_readings(s);

    for (size_t i = 0; i < count; i++) {
        for (size_t k = 0; k < s->unit[i].count; k++) {
            double code[MTM_EMITTERS_MAX] = {0};
            code[k] = 1;
            add(readings, simulated_reading(&s->unit[i], i, code, &s->meter));
        }
    }
    return readings;
}

/* Codes as fractions of what the mode can say; returns the dimmer. Wash-7 and pair-1 are 8-bit,
 * wash-7 has a dimmer (linear), the others are 16-bit. */
static double sent(const setup *s, const mtm_trim_unit *one, double *code)
{
    const mtm_mode *mode = mtm_rig_unit(s->work.rig, one->unit)->mode;

    for (size_t k = 0; k < s->unit[one->unit].count; k++)
        code[k] = one->codes.emitter[k] / (mode->emitter_bits[k] > 8 ? 65535.0 : 255.0);
    return mode->dimmer_bits > 0 ? one->codes.dimmer / 255.0 : 1;
}

/* Later rounds: each unit at its trimmed codes. */
static mtm_readings *read_trimmed(setup *s)
{
    mtm_readings *readings = new_readings(s);

    for (size_t i = 0; i < mtm_trim_count(s->work.trim); i++) {
        const mtm_trim_unit *one = mtm_trim_at(s->work.trim, i);
        double code[MTM_EMITTERS_MAX] = {0};
        double dimmer = sent(s, one, code);
        add(readings, simulated_read(&s->unit[one->unit], one->unit, code, dimmer, &s->meter));
    }
    return readings;
}

/* From the calibration so far, or from none. */
static void round_of(setup *s, mtm_readings *readings, bool again, const mtm_trim_request *request)
{
    mtm_trim_request now = *request;

    now.again = again;
    rounds_next(&s->work, readings, &now);
}

/* Truth: the farthest unit in steps, and the spread of output. */
static double worst_steps(const setup *s, mtm_xy target, double *spread)
{
    double worst = 0;
    double least = INFINITY;
    double most = 0;

    for (size_t i = 0; i < mtm_trim_count(s->work.trim); i++) {
        const mtm_trim_unit *one = mtm_trim_at(s->work.trim, i);
        double code[MTM_EMITTERS_MAX] = {0};
        double dimmer = sent(s, one, code);
        mtm_xyz light = simulated_dimmed(&s->unit[one->unit], code, dimmer);
        worst = fmax(worst, mtm_uv_distance(mtm_uv_from_xyz(light), mtm_uv_from_xy(target)));
        least = fmin(least, light.y);
        most = fmax(most, light.y);
    }
    *spread = most / least - 1;
    return worst / MTM_STEP_UV;
}

/* The claim: units with droop, drift and wrong curves are within one step in three rounds, and the
 * outputs within 1 %. Singles at full know nothing of all three. */
static const struct round_row {
    const char *name;
    double droop, power;
    mtm_uv drift;
    double cct_k, share; /* wanted white; of the common output */
    double scatter;      /* of the meter's x and y; its Y scatters by ten times that, relative */
} round_rows[] = {
    {"droop", 0.15, 1, {0, 0}, 3000, 1, 0},
    {"curve errors", 0, 1.25, {0, 0}, 3000, 1, 0},
    {"drift", 0, 1, {0.004, -0.003}, 4000, 0.5, 0},
    {"all together", 0.15, 1.2, {0.003, -0.002}, 3000, 0.6, 0},
    {"all together, read with scatter", 0.15, 1.2, {0.003, -0.002}, 3000, 0.6, 0.0002},
    {"cool and dim", 0.1, 1.2, {0.003, 0.002}, 5000, 0.2, 0},
};

static void test_rounds(void **state)
{
    const struct round_row *row = *state;
    setup s;
    double steps[4];
    double spread[4];
    mtm_trim_request request = {.steps = 1};

    begin(&s);
    s.meter.xy = row->scatter;
    s.meter.output = 10 * row->scatter;
    s.work.stated =
        (mtm_meter){.xy = fmax(0.0002, 2 * row->scatter), .output = fmax(0.002, 20 * row->scatter)};
    request.target = rounds_white(row->cct_k, 0);
    if (row->share < 1)
        request.output = (mtm_output){.type = MTM_OUTPUT_SHARE, .value = row->share};
    for (size_t i = 0; i < 7; i++) {
        s.unit[i].droop = row->droop * (0.7 + 0.1 * (double)i);
        s.unit[i].drift = row->drift;
        for (size_t k = 0; k < 4; k++)
            s.unit[i].power[k] = 1 + (row->power - 1) * (0.5 + 0.2 * (double)((i + k) % 4));
    }
    mtm_readings *readings = read_singles(&s, 7);
    round_of(&s, readings, false, &request);
    mtm_readings_free(readings);
    /* a stated output stays the same in all rounds; "the most" is found anew in each */
    if (row->share < 1)
        request.output =
            (mtm_output){.type = MTM_OUTPUT_LM, .value = mtm_trim_summarise(s.work.trim).output};
    for (int k = 0; k < 4; k++) {
        steps[k] = worst_steps(&s, request.target, &spread[k]);
        readings = read_trimmed(&s);
        round_of(&s, readings, true, &request);
        mtm_readings_free(readings);
    }
    print_message("%s: %.2f, %.2f, %.3f, %.3f steps; output %.1f, %.1f, %.2f, %.2f %%\n", row->name,
                  steps[0], steps[1], steps[2], steps[3], 100 * spread[0], 100 * spread[1],
                  100 * spread[2], 100 * spread[3]);
    assert_true(steps[2] < 1);
    assert_true(spread[2] < 0.01);
    rounds_end(&s.work);
}

/* Units that are what the readings say: exact but for the codes' grain, and every figure agrees
 * with the truth. */
static void test_exact(void **state)
{
    setup s;
    mtm_trim_request request = {.target = rounds_white(3000, 0), .steps = 3};
    double least = INFINITY;
    double spread = 0;

    (void)state;
    begin(&s);
    s.work.stated = (mtm_meter){.xy = 0.00002, .output = 0.0002};
    mtm_readings *readings = read_singles(&s, 7);
    round_of(&s, readings, false, &request);
    mtm_readings_free(readings);
    mtm_trim_summary summary = mtm_trim_summarise(s.work.trim);
    double truth = mtm_calibration_scale(s.work.calibration, 0) / s.meter.scale;
    for (size_t i = 0; i < 7; i++) {
        const double watts[4] = {20, 20, 20, 20};
        mtm_solver *solver = NULL;
        mtm_answer answer;
        assert_int_equal(mtm_solver_create(s.unit[i].full, watts, 4, INFINITY, &solver, NULL),
                         MTM_OK);
        assert_int_equal(
            mtm_solver_solve(solver, &(mtm_request){.xy = request.target}, &answer, NULL), MTM_OK);
        mtm_solver_free(solver);
        const mtm_trim_unit *one = mtm_trim_at(s.work.trim, i);
        CHECK_NEAR("most", one->most_own * truth, answer.xyz.y, 1e-3 * answer.xyz.y);
        assert_true(one->most <= one->most_own); /* one mix for all costs light */
        assert_true(one->most > 0.8 * one->most_own);
        assert_true(one->settled);
        assert_true(one->most_within[0] >= one->most_own);
        assert_true(one->most_within[1] >= one->most_within[0]);
        least = fmin(least, answer.xyz.y);
        assert_true(one->most >= summary.output * (1 - 1e-9));
    }
    CHECK_NEAR("output with mixes of their own", summary.output_own * truth, least, 1e-3 * least);
    CHECK_NEAR("common output", mtm_trim_at(s.work.trim, summary.limits)->most, summary.output,
               1e-9 * summary.output);
    assert_true(summary.without_limiting > summary.output);
    assert_true(summary.output_within[1] > summary.output_within[0]);
    assert_true(summary.output_within[0] > summary.output_own);
    assert_int_equal(summary.outside, 0);
    assert_true(worst_steps(&s, request.target, &spread) < 1); /* wash-7 has 8 bits */
    assert_true(spread < 0.01);
    for (size_t i = 0; i < 6; i++) /* 16-bit units */
        assert_true(mtm_trim_at(s.work.trim, i)->after.delta_uv < 2e-5);
    rounds_end(&s.work);
}

/* The circle's gain against a dense search by the plain solver. */
static void test_within(void **state)
{
    setup s;
    mtm_trim_request request = {.target = rounds_white(3500, 0.002), .steps = 4};
    mtm_solver *solver = NULL;
    const double watts[4] = {20, 20, 20, 20};
    double best = 0;
    mtm_xyz xyz[4];

    (void)state;
    begin(&s);
    mtm_readings *readings = read_singles(&s, 1);
    round_of(&s, readings, false, &request);
    mtm_readings_free(readings);
    const mtm_unit_model *model = mtm_calibration_unit(s.work.calibration, 0);
    for (size_t k = 0; k < 4; k++)
        xyz[k] = model->emitter[k].xyz;
    assert_int_equal(mtm_solver_create(xyz, watts, 4, INFINITY, &solver, NULL), MTM_OK);
    mtm_uv middle = mtm_uv_from_xy(request.target);
    for (int i = 0; i < 2000; i++) {
        double angle = 6.283185307179586 * i / 2000;
        mtm_answer answer;
        mtm_uv uv = {middle.u + 4 * MTM_STEP_UV * cos(angle),
                     middle.v + 4 * MTM_STEP_UV * sin(angle)};
        assert_int_equal(
            mtm_solver_solve(solver, &(mtm_request){.xy = mtm_xy_from_uv(uv)}, &answer, NULL),
            MTM_OK);
        best = fmax(best, answer.xyz.y);
    }
    mtm_solver_free(solver);
    double got = mtm_trim_at(s.work.trim, 0)->most_within[0];
    double most = mtm_trim_at(s.work.trim, 0)->most_own;
    CHECK_NEAR("alone of its kind", mtm_trim_at(s.work.trim, 0)->most, most, 1e-6 * most);
    print_message("gain %.4f %%, dense search %.4f %%\n", 100 * (got / most - 1),
                  100 * (best / most - 1));
    CHECK_NEAR("gain", (got - most) / (best - most), 1, 0.005); /* both have gaps */
    rounds_end(&s.work);
}

/* Two emitters lie on a line: the white beside it is an answer with its distance. */
static void test_line(void **state)
{
    setup s;
    mtm_trim_request request = {.target = rounds_white(3000, 0.01), .steps = 3};

    (void)state;
    begin(&s);
    s.work.stated = (mtm_meter){.xy = 0.0004, .output = 0.02};
    mtm_readings *readings = new_readings(&s);
    add(readings, simulated_reading(&s.unit[7], 7, (double[MTM_EMITTERS_MAX]){1, 0}, &s.meter));
    add(readings, simulated_reading(&s.unit[7], 7, (double[MTM_EMITTERS_MAX]){0, 1}, &s.meter));
    round_of(&s, readings, false, &request);
    mtm_readings_free(readings);
    const mtm_trim_unit *one = mtm_trim_at(s.work.trim, 0);
    assert_int_equal(mtm_trim_count(s.work.trim), 1);
    assert_true(one->shortfall & MTM_SHORT_GAMUT);
    assert_true(one->after.delta_uv > 3 * MTM_STEP_UV);
    assert_int_equal(one->after.verdict, MTM_VERDICT_OUTSIDE);
    assert_int_equal(mtm_trim_summarise(s.work.trim).outside, 1);
    CHECK_NEAR("without the only unit", mtm_trim_summarise(s.work.trim).without_limiting, 0, 0);
    rounds_end(&s.work);
}

/* With a poor meter nothing can be told; with a good one it can; unstated is said. */
static const struct verdict_row {
    const char *name;
    double xy; /* k = 2 */
    mtm_verdict wanted;
    bool sure; /* curves, drift and droop are known to be as the file says */
} verdict_rows[] = {
    {"good meter", 0.0005, MTM_VERDICT_INSIDE, true},
    {"good meter, singles alone", 0.0005, MTM_VERDICT_TO_MEASURE, false},
    {"poor meter", 0.02, MTM_VERDICT_OPEN, false},
    {"unstated", 0, MTM_VERDICT_UNSTATED, false},
};

static void test_verdicts(void **state)
{
    const struct verdict_row *row = *state;
    setup s;
    mtm_trim_request request = {.target = rounds_white(3000, 0), .steps = 3};

    begin(&s);
    s.work.stated = (mtm_meter){.xy = row->xy, .output = 0.01};
    mtm_readings *readings = read_singles(&s, 6);
    if (row->sure)
        simulated_assume_meter(readings);
    round_of(&s, readings, false, &request);
    mtm_readings_free(readings);
    for (size_t i = 0; i < 6; i++)
        assert_int_equal(mtm_trim_at(s.work.trim, i)->after.verdict, row->wanted);
    rounds_end(&s.work);
}

/* The expanded uncertainty after a trim covers the truth in about 95 of 100 trims: 40 trims of 6
 * units by a meter of real scatter. */
static void test_coverage(void **state)
{
    setup s;
    mtm_trim_request request = {.target = rounds_white(3000, 0), .steps = 3};
    size_t covered = 0;
    size_t all = 0;
    double mean = 0;

    (void)state;
    begin(&s);
    s.work.stated = (mtm_meter){.xy = 0.002, .output = 0.02};
    s.meter.xy = 0.001;
    s.meter.output = 0.01;
    for (int round = 0; round < 40; round++) {
        mtm_readings *readings = read_singles(&s, 6);
        simulated_assume_meter(readings);
        round_of(&s, readings, false, &request);
        mtm_readings_free(readings);
        for (size_t i = 0; i < 6; i++) {
            const mtm_trim_unit *one = mtm_trim_at(s.work.trim, i);
            double code[MTM_EMITTERS_MAX] = {0};
            double dimmer = sent(&s, one, code);
            mtm_uv truth = mtm_uv_from_xyz(simulated_dimmed(&s.unit[i], code, dimmer));
            covered +=
                mtm_uv_distance(truth, mtm_uv_from_xyz(one->after.xyz)) <= one->after.expanded_uv
                    ? 1
                    : 0;
            mean += one->after.expanded_uv;
            all++;
        }
    }
    print_message("covered %zu of %zu, mean expanded uncertainty %.5f\n", covered, all,
                  mean / (double)all);
    assert_true((double)covered >= 0.92 * (double)all);
    rounds_end(&s.work);
}

/* Factors: of the codes of one kind the largest is 1, and factor times that code gives the code. */
static void test_factors(void **state)
{
    setup s;
    mtm_trim_request request = {.target = rounds_white(3000, 0), .steps = 3};

    (void)state;
    begin(&s);
    mtm_readings *readings = read_singles(&s, 6);
    round_of(&s, readings, false, &request);
    mtm_readings_free(readings);
    for (size_t k = 0; k < 4; k++) {
        double largest = 0;
        for (size_t i = 0; i < 6; i++)
            largest = fmax(largest, mtm_trim_at(s.work.trim, i)->codes.emitter[k]);
        for (size_t i = 0; i < 6; i++) {
            const mtm_trim_unit *one = mtm_trim_at(s.work.trim, i);
            if (largest > 0)
                CHECK_NEAR("factor", one->factor[k], one->codes.emitter[k] / largest, 2e-5);
        }
    }
    rounds_end(&s.work);
}

/* Other commands take the calibration: a plain match of the rig then gives the trimmed white, droop
 * and all. */
static void test_match_takes_it(void **state)
{
    setup s;
    mtm_trim_request request = {.target = rounds_white(3000, 0), .steps = 1};
    mtm_matcher *matcher = NULL;
    mtm_error error = {""};

    (void)state;
    begin(&s);
    s.work.stated = (mtm_meter){.xy = 0.0002, .output = 0.002};
    for (size_t i = 0; i < 7; i++)
        s.unit[i].droop = 0.15;
    mtm_readings *readings = read_singles(&s, 7);
    round_of(&s, readings, false, &request);
    mtm_readings_free(readings);
    readings = read_trimmed(&s);
    round_of(&s, readings, true, &request);
    mtm_readings_free(readings);
    double output = mtm_trim_summarise(s.work.trim).output;
    assert_int_equal(mtm_calibration_apply(s.work.rig, s.work.calibration, &error), MTM_OK);
    assert_int_equal(mtm_matcher_create(s.work.rig, MTM_OBSERVER_2, &matcher, &error), MTM_OK);
    const mtm_match_request wanted = {.target = {.xy = request.target},
                                      .output = {MTM_OUTPUT_LM, output}};
    for (size_t i = 0; i < 6; i++) {
        mtm_match match;
        double code[MTM_EMITTERS_MAX] = {0};
        assert_int_equal(mtm_matcher_unit(matcher, i, &wanted, &match, &error), MTM_OK);
        for (size_t k = 0; k < 4; k++)
            code[k] = match.codes.emitter[k] / 65535.0;
        mtm_xyz light = simulated_light(&s.unit[i], code);
        CHECK_NEAR("steps",
                   mtm_uv_distance(mtm_uv_from_xyz(light), mtm_uv_from_xy(request.target)) /
                       MTM_STEP_UV,
                   0, 0.3);
        CHECK_NEAR("output", light.y * s.meter.scale / mtm_calibration_scale(s.work.calibration, 0),
                   output, 0.015 * output);
    }
    mtm_matcher_free(matcher);
    rounds_end(&s.work);
}

/* Ageing: one unit fell to 80 % and its blue to 60 %; seen from new readings of the emitters. */
static void test_compare(void **state)
{
    setup s;
    mtm_trim_request request = {.target = rounds_white(4000, 0), .steps = 3};
    mtm_calibration *now = NULL;
    mtm_moved moved[8];
    size_t count = 0;
    double then = 0;
    double left = 0;

    (void)state;
    begin(&s);
    s.work.stated = (mtm_meter){.xy = 0.0002, .output = 0.002};
    mtm_readings *readings = read_singles(&s, 6);
    round_of(&s, readings, false, &request);
    mtm_readings_free(readings);
    for (size_t k = 0; k < 4; k++) {
        double kept = k == 2 ? 0.6 : 0.8;
        mtm_xyz *full = &s.unit[3].full[k];
        *full = (mtm_xyz){kept * full->x, kept * full->y, kept * full->z};
    }
    readings = read_singles(&s, 6);
    assert_int_equal(mtm_calibration_fit(readings, s.work.rig, s.work.calibration, &now, NULL),
                     MTM_OK);
    mtm_readings_free(readings);
    assert_int_equal(mtm_trim_compare(s.work.calibration, now, s.work.rig, &request, moved, &count,
                                      &then, &left, NULL),
                     MTM_OK);
    assert_int_equal(count, 6);
    for (size_t i = 0; i < 6; i++) {
        for (size_t k = 0; k < 4; k++) {
            double wanted = i != 3 ? 1 : k == 2 ? 0.6 : 0.8;
            CHECK_NEAR("emitter", moved[i].emitter_output[k], wanted, 2e-3);
            CHECK_NEAR("emitter's colour", moved[i].emitter_uv[k], 0, 1e-4);
        }
        if (i != 3) {
            CHECK_NEAR("kept still", moved[i].delta_uv, 0, 1e-4);
            CHECK_NEAR("kept its output", moved[i].output, 1, 1e-3);
        }
    }
    assert_true(moved[3].delta_uv > 0.002);
    assert_true(moved[3].output < 0.8 && moved[3].output > 0.75);
    assert_true(left < then);
    assert_true(moved[3].new_most <= left * 1.0001);
    mtm_calibration_free(now);
    rounds_end(&s.work);
}

static const struct bad_row {
    const char *name;
    mtm_trim_request request;
    const char *sentence;
} bad_rows[] = {
    {"no target", {.target = {0.9, 0.3}, .steps = 3}, "no chromaticity"},
    {"no tolerance", {.target = {0.4, 0.4}}, "a tolerance of 0 steps"},
    {"vast tolerance", {.target = {0.4, 0.4}, .steps = 101}, "a tolerance of 101 steps"},
    {"no output",
     {.target = {0.4, 0.4}, .steps = 3, .output = {MTM_OUTPUT_LM, 0}},
     "an output of 0"},
    {"no such goal", {.target = {0.4, 0.4}, .steps = 3, .goal = (mtm_goal)9}, "goal 9"},
    {"no such index", {.target = {0.4, 0.4}, .steps = 3, .index = (mtm_index)-1}, "index -1"},
};

static void test_bad(void **state)
{
    const struct bad_row *row = *state;
    setup s;
    mtm_error error = {""};

    begin(&s);
    assert_int_equal(mtm_calibration_create(s.work.rig, &s.work.calibration, NULL), MTM_OK);
    assert_int_equal(mtm_trim_run(s.work.calibration, s.work.rig, NULL, NULL, &row->request,
                                  &s.work.trim, &error),
                     MTM_INVALID);
    CHECK_HOLDS(error.text, row->sentence);
    assert_null(s.work.trim);
    rounds_end(&s.work);
}

static void test_uncalibrated(void **state)
{
    setup s;
    mtm_error error = {""};
    mtm_trim_request request = {.target = rounds_white(3000, 0), .steps = 3};

    (void)state;
    begin(&s);
    assert_int_equal(mtm_calibration_create(s.work.rig, &s.work.calibration, NULL), MTM_OK);
    assert_int_equal(
        mtm_trim_run(s.work.calibration, s.work.rig, NULL, NULL, &request, &s.work.trim, &error),
        MTM_UNSUPPORTED);
    CHECK_HOLDS(error.text, "no unit of the rig is calibrated");
    rounds_end(&s.work);
}

/* What codes give by the fixture's own curve is within what its limits leave; the watts too. */
static void check_limits(const setup *s)
{
    for (size_t i = 0; i < mtm_trim_count(s->work.trim); i++) {
        const mtm_trim_unit *one = mtm_trim_at(s->work.trim, i);
        const mtm_unit *unit = mtm_rig_unit(s->work.rig, one->unit);
        const mtm_fixture *fixture = unit->fixture;
        double code[MTM_EMITTERS_MAX] = {0}, watts = 0;
        double dimmer = sent(s, one, code);
        for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
            const mtm_emitter *emitter = mtm_fixture_emitter(fixture, k);
            double level = mtm_curve_level(emitter->curve, code[k]);
            double lowest = mtm_fixture_limits(fixture)->lowest_level;
            if (level > 0 && !(dimmer * level >= lowest * (1 - 1e-3)))
                fail_msg("%s: emitter %zu at %.6f, at least %.6f", unit->name, k, dimmer * level,
                         lowest);
            if (!(level <= mtm_fixture_most_level(fixture, k) + 1e-9))
                fail_msg("%s: emitter %zu at %.6f, at most %.6f", unit->name, k, level,
                         mtm_fixture_most_level(fixture, k));
            watts += dimmer * level * emitter->watts;
        }
        double most_w =
            mtm_fixture_power_limit_w(fixture) * (1 - mtm_fixture_limits(fixture)->headroom);
        assert_true(watts <= most_w * (1 + 1e-9));
    }
}

/* Units with limits come to one white and one output as others do. */
static void test_limits(void **state)
{
    setup s;
    double spread = 0, steps = 0;
    mtm_trim_request request = {.target = rounds_white(3000, 0), .steps = 1};

    (void)state;
    begin_with(&s, "limited.json");
    s.work.stated = (mtm_meter){.xy = 0.0002, .output = 0.002};
    mtm_readings *readings = read_singles(&s, 7);
    round_of(&s, readings, false, &request);
    mtm_readings_free(readings);
    for (int k = 0; k < 3; k++) {
        check_limits(&s);
        steps = worst_steps(&s, request.target, &spread);
        readings = read_trimmed(&s);
        round_of(&s, readings, true, &request);
        mtm_readings_free(readings);
    }
    check_limits(&s);
    CHECK_NEAR("steps", steps, 0, 1);
    CHECK_NEAR("spread", spread, 0, 0.01);
    rounds_end(&s.work);
}

/* The mix of a white that has an emitter below the lowest level is beyond wash-5 and wash-6: their
 * codes keep it, their answer says how far from the white that leaves them, and the others come to
 * it all the same. */
static void test_lowest_level(void **state)
{
    setup s;
    mtm_trim_request request = {.target = rounds_white(3000, 0), .steps = 1};
    double farthest = 0;

    (void)state;
    begin_with(&s, "lowest.json");
    s.work.stated = (mtm_meter){.xy = 0.0002, .output = 0.002};
    mtm_readings *readings = read_singles(&s, 7);
    round_of(&s, readings, false, &request);
    mtm_readings_free(readings);
    for (int k = 0; k < 3; k++) {
        check_limits(&s);
        readings = read_trimmed(&s);
        round_of(&s, readings, true, &request);
        mtm_readings_free(readings);
    }
    check_limits(&s);
    for (size_t i = 0; i < mtm_trim_count(s.work.trim); i++) {
        const mtm_trim_unit *one = mtm_trim_at(s.work.trim, i);
        double code[MTM_EMITTERS_MAX] = {0};
        double dimmer = sent(&s, one, code);
        mtm_uv light = mtm_uv_from_xyz(simulated_dimmed(&s.unit[one->unit], code, dimmer));
        double off = mtm_uv_distance(light, mtm_uv_from_xy(request.target)) / MTM_STEP_UV;
        CHECK_NEAR("said", one->after.delta_uv / MTM_STEP_UV, off, 0.5);
        if (one->unit == 4 || one->unit == 5)
            farthest = fmax(farthest, off);
        else
            CHECK_NEAR("steps", off, 0, 1);
    }
    assert_true(farthest > 2); /* so that the limit was met */
    rounds_end(&s.work);
}

/* Of emitters that do not depend on each other a headroom takes its share of the most, whatever
 * they are. */
static void test_headroom(void **state)
{
    mtm_trim_request request = {.target = rounds_white(3000, 0), .steps = 1};
    double most[2];

    (void)state;
    for (int i = 0; i < 2; i++) {
        setup s;
        begin_with(&s, i == 0 ? "rig.json" : "limited.json");
        mtm_readings *readings = read_singles(&s, 1);
        round_of(&s, readings, false, &request);
        mtm_readings_free(readings);
        most[i] = mtm_trim_at(s.work.trim, 0)->most_own;
        rounds_end(&s.work);
    }
    CHECK_NEAR("most", most[1] / most[0], 1 - 0.15, 1e-6);
}

/* A white that is purer than a unit may be is refused. */
static void test_purity(void **state)
{
    static const char text[] =
        "{\"metamer\": \"rig/1\", \"name\": \"r\", \"units\": [{\"name\": \"a\", \"fixture\": "
        "\"tunable-white.json\", \"mode\": \"16-bit\", \"limits\": {\"most_purity\": 0.1}}]}";
    const mtm_trim_request request = {.target = rounds_white(3000, 0), .steps = 3};
    mtm_rig *rig = NULL;
    mtm_calibration *calibration = NULL;
    mtm_readings *readings = NULL;
    mtm_trim *trim = NULL;
    mtm_error error = {""};
    uint64_t seed = 4;
    simulated_meter meter = {.scale = 0.4, .seed = 8};
    double code[MTM_EMITTERS_MAX] = {0};

    (void)state;
    if (mtm_rig_parse(text, strlen(text), "rig", NULL, &rig, &error) != MTM_OK)
        fail_msg("%s", error.text);
    const simulated unit = simulated_unit(mtm_rig_unit(rig, 0)->fixture, 0.1, 0.005, &seed);
    assert_int_equal(mtm_readings_create(rig, &readings, &error), MTM_OK);
    for (size_t k = 0; k < unit.count; k++) {
        memset(code, 0, sizeof code);
        code[k] = 1;
        add(readings, simulated_reading(&unit, 0, code, &meter));
    }
    assert_int_equal(mtm_calibration_fit(readings, rig, NULL, &calibration, &error), MTM_OK);
    assert_int_equal(mtm_trim_run(calibration, rig, NULL, NULL, &request, &trim, &error),
                     MTM_INVALID);
    CHECK_HOLDS(error.text, "the limits of unit \"a\" allow a purity of 0.1");
    mtm_readings_free(readings);
    mtm_calibration_free(calibration);
    mtm_rig_free(rig);
}

int main(void)
{
    struct CMUnitTest rounds[COUNT(round_rows)];
    struct CMUnitTest verdicts[COUNT(verdict_rows)];
    struct CMUnitTest bad[COUNT(bad_rows)];
    const struct CMUnitTest others[] = {
        cmocka_unit_test(test_exact),        cmocka_unit_test(test_within),
        cmocka_unit_test(test_line),         cmocka_unit_test(test_coverage),
        cmocka_unit_test(test_factors),      cmocka_unit_test(test_compare),
        cmocka_unit_test(test_uncalibrated), cmocka_unit_test(test_limits),
        cmocka_unit_test(test_lowest_level), cmocka_unit_test(test_headroom),
        cmocka_unit_test(test_purity),       cmocka_unit_test(test_match_takes_it)};

    ROW_TESTS(rounds, round_rows, test_rounds);
    ROW_TESTS(verdicts, verdict_rows, test_verdicts);
    ROW_TESTS(bad, bad_rows, test_bad);
    int failed = cmocka_run_group_tests_name("measure, correct, measure", rounds, NULL, NULL);
    failed += cmocka_run_group_tests_name("verdicts", verdicts, NULL, NULL);
    failed += cmocka_run_group_tests_name("trims refused", bad, NULL, NULL);
    return failed + cmocka_run_group_tests_name("trim", others, NULL, NULL);
}
