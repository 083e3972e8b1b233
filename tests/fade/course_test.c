/* SPDX-License-Identifier: MIT */
/* The course of a fade: the report's steps at fewer moments, ends, and which units it is of. */
#include "support/trial.h"

#include <metamer/fade_course.h>

static const struct trial_unit units[] = {
    {"fine", "three-colour-strip.json", "16-bit", 1, 1},
    {"coarse", "three-colour-strip.json", "8-bit", 1, 31},
    {"coarse too", "three-colour-strip.json", "8-bit", 1, 61},
    {"wash", "five-colour-wash.json", "16-bit", 1, 91},
};
enum { FINE, COARSE, COARSE_TOO, WASH, UNITS };

static mtm_rig *rig;

/* A fade up in a time, with its findings, and a course of so many units and moments. */
struct work {
    mtm_show *show;
    mtm_fader *fader;
    mtm_fade_finding finding[UNITS];
    mtm_fade_course *course;
};

static struct work run(double up_s, const bool *meant, size_t most_units, size_t moments)
{
    struct work work = {
        .show = trial_show(rig,
                           "'colours': {'white': {'cct_k': 3000}}, 'cues': [{'number': 1, 'up_s': "
                           "%g, 'set': [{'group': 'all', 'colour': 'white', 'output': 0.5}]}]",
                           up_s)};
    mtm_error error = {""};

    trial_must(mtm_fader_create(work.show, NULL, &work.fader, &error), &error);
    trial_must(mtm_fade_examine(work.fader, 0, work.finding, NULL, NULL, &error), &error);
    trial_must(mtm_fader_set_before(work.fader, 0, &error), &error);
    trial_must(mtm_fader_go(work.fader, 0, &error), &error);
    const mtm_fade_course_request request = {
        .meant = meant, .finding = work.finding, .units = most_units, .moments = moments};
    trial_must(mtm_fade_course_create(work.fader, &request, &work.course, &error), &error);
    return work;
}

static void free_work(struct work *work)
{
    mtm_fade_course_free(work->course);
    mtm_fader_free(work->fader);
    mtm_show_free(work->show);
}

static const struct length {
    const char *name;
    double up_s;
    size_t moments, recorded;
} lengths[] = {
    /* 40 frames a second, and the first: as many moments as there are frames, or as are allowed */
    {"each frame", 3, 500, 121},
    {"seven frames a moment", 20, 116, 116},
    {"two moments", 5, 2, 2},
    {"a jump", 0, 500, 2},
};

/* Nothing that happens between moments is lost: the largest step is that of the report, which looks
 * at each frame by itself. */
static void test_length(void **state)
{
    const struct length *length = *state;
    struct work work = run(length->up_s, NULL, UNITS, length->moments);

    assert_int_equal(mtm_fade_course_moments(work.course), length->recorded);
    for (size_t i = 0; i < mtm_fade_course_units(work.course); i++) {
        const mtm_fade_moment *moment = mtm_fade_course_of(work.course, i);
        size_t unit = mtm_fade_course_unit(work.course, i);
        double most = 0;
        mtm_fader_state end;
        for (size_t k = 0; k < length->recorded; k++) {
            most = fmax(most, moment[k].step);
            assert_true(k == 0 || moment[k].time_s > moment[k - 1].time_s);
        }
        CHECK_NEAR("step", most, work.finding[unit].step, 1e-12);
        assert_true(moment[0].time_s == 0 && moment[0].sent.y == 0 && moment[0].step == 0);
        mtm_fader_unit(work.fader, unit, &end);
        assert_memory_equal(&moment[length->recorded - 1].codes, &end.codes, sizeof end.codes);
        CHECK_NEAR("end", moment[length->recorded - 1].time_s, fmax(length->up_s, 1.0 / 40), 1e-9);
    }
    free_work(&work);
}

/* One of each fixture and mode before a second of one; alike units once; only what is meant. */
static void test_choice(void **state)
{
    static const bool no_wash[UNITS] = {true, true, true, false};
    struct work all = run(3, NULL, 2, 100);
    struct work some = run(3, no_wash, UNITS, 100);

    (void)state;
    assert_int_equal(mtm_fade_course_units(all.course), 2);
    assert_int_equal(mtm_fade_course_unit(all.course, 0), COARSE);
    assert_int_equal(mtm_fade_course_alike(all.course, 0), 2);
    assert_true(mtm_fade_course_unit(all.course, 1) != COARSE_TOO);
    assert_int_equal(mtm_fade_course_units(some.course), 2);
    assert_int_equal(mtm_fade_course_unit(some.course, 1), FINE);
    assert_int_equal(mtm_fade_course_alike(some.course, 1), 1);
    free_work(&all);
    free_work(&some);
}

static bool stop(void *context, double part)
{
    (void)context;
    return part < 0.5;
}

static void test_stop(void **state)
{
    struct work work = run(3, NULL, 2, 100);
    const mtm_fade_course_request request = {
        .finding = work.finding, .units = 1, .moments = 10, .progress = stop};
    mtm_fade_course *course = NULL;
    mtm_error error = {""};

    (void)state;
    trial_must(mtm_fader_set_before(work.fader, 0, &error), &error);
    trial_must(mtm_fader_go(work.fader, 0, &error), &error);
    assert_int_equal(mtm_fade_course_create(work.fader, &request, &course, &error), MTM_RANGE);
    assert_null(course);
    free_work(&work);
}

static int make_rig(void **state)
{
    (void)state;
    rig = trial_rig(units, COUNT(units));
    return 0;
}

static int free_rig(void **state)
{
    (void)state;
    mtm_rig_free(rig);
    return 0;
}

int main(void)
{
    struct CMUnitTest tests[COUNT(lengths) + 2];

    ROW_TESTS(tests, lengths, test_length);
    tests[COUNT(lengths)] = (struct CMUnitTest)cmocka_unit_test(test_choice);
    tests[COUNT(lengths) + 1] = (struct CMUnitTest)cmocka_unit_test(test_stop);
    return cmocka_run_group_tests_name("course of a fade", tests, make_rig, free_rig);
}
