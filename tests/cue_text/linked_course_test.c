/* SPDX-License-Identifier: MIT */
/* The course of linked cues: the chain's own error, straight where the console is, and its ends. */
#include "support/trial.h"

#include <metamer/linked_course.h>

static const struct trial_unit units[] = {
    {"one", "three-colour-strip.json", "16-bit", 1, 1},
    {"same", "three-colour-strip.json", "16-bit", 1, 31},
    {"wash", "five-colour-wash.json", "16-bit", 1, 91},
};
enum { ONE, SAME, WASH };

static struct {
    mtm_rig *rig;
    mtm_show *show;
    mtm_fader *fader;
    mtm_linked *linked;
} world;

static mtm_linked_course *look(const bool *meant, size_t most)
{
    mtm_linked_course *course = NULL;
    mtm_error error = {""};

    trial_must(mtm_linked_course_create(world.fader, 1, world.linked, meant, most, &course, &error),
               &error);
    return course;
}

/* The largest error of all units is that of the chain, which was found by itself; at the end of
 * each cue of the chain codes are those of the way, rounded. */
static void test_error(void **state)
{
    mtm_linked_course *course = look(NULL, 8);
    size_t moments = mtm_linked_course_moments(course);
    double most = 0, end_s = 0;

    (void)state;
    assert_int_equal(mtm_linked_course_units(course), 2);
    for (size_t i = 0; i < 2; i++) {
        const mtm_linked_moment *moment = mtm_linked_course_of(course, i);
        for (size_t k = 0; k < moments; k++)
            most = fmax(most, k > 0 ? moment[k].error : 0);
        CHECK_NEAR("length", moment[moments - 1].time_s, 10, 1e-9);
        CHECK_NEAR("end", moment[moments - 1].straight.y, moment[moments - 1].way.y,
                   1e-3 * moment[moments - 1].way.y);
    }
    CHECK_NEAR("error", most, mtm_linked_error(world.linked), 1e-12);
    assert_int_equal(mtm_linked_course_cues(course), mtm_linked_count(world.linked));
    assert_true(mtm_linked_course_cues(course) > 1);
    for (size_t i = 0; i < mtm_linked_course_cues(course); i++) {
        end_s += mtm_linked_time_s(world.linked, i);
        CHECK_NEAR("cue's end", mtm_linked_course_end_s(course, i), end_s, 1e-9);
    }
    mtm_linked_course_free(course);
}

/* The strip's curve is linear and it has no dimmer, so its light goes straight from the end of a
 * cue to that of the next: half way it is the mean of both. */
static void test_straight(void **state)
{
    static const bool strips[] = {true, true, false};
    mtm_linked_course *course = look(strips, 8);
    const mtm_linked_moment *moment = mtm_linked_course_of(course, 0);
    size_t from = 0;

    (void)state;
    assert_int_equal(mtm_linked_course_units(course), 1);
    assert_int_equal(mtm_linked_course_unit(course, 0), ONE);
    assert_int_equal(mtm_linked_course_alike(course, 0), 2);
    for (size_t cue = 0; cue < mtm_linked_course_cues(course); cue++) {
        /* samples stand at 0.05 s */
        size_t to = (size_t)lround(mtm_linked_course_end_s(course, cue) / 0.05);
        double mean = (moment[from].straight.x + moment[to].straight.x) / 2;
        CHECK_NEAR("half way", moment[(from + to) / 2].straight.x, mean,
                   (from + to) % 2 == 0 ? 1e-9 * mean : INFINITY);
        from = to;
    }
    mtm_linked_course_free(course);
}

static void test_choice(void **state)
{
    mtm_linked_course *course = look(NULL, 1);

    (void)state;
    assert_int_equal(mtm_linked_course_units(course), 1);
    assert_true(mtm_linked_course_unit(course, 0) != SAME);
    mtm_linked_course_free(course);
}

/* A chain of another cue is refused. */
static void test_other(void **state)
{
    mtm_linked_course *course = NULL;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(
        mtm_linked_course_create(world.fader, 0, world.linked, NULL, 1, &course, &error),
        MTM_INVALID);
    CHECK_HOLDS(error.text, "another fade");
    assert_null(course);
}

static int make_world(void **state)
{
    mtm_error error = {""};

    (void)state;
    world.rig = trial_rig(units, COUNT(units));
    world.show = trial_show(
        world.rig,
        "'colours': {'warm': {'cct_k': 2800}, 'cool': {'cct_k': 6000}}, 'cues': [{'number': 1, "
        "'up_s': 3, 'set': [{'group': 'all', 'colour': 'warm', 'output': 0.1}]}, {'number': 2, "
        "'up_s': 10, 'set': [{'group': 'all', 'colour': 'cool', 'output': 0.8}]}]");
    trial_must(mtm_fader_create(world.show, NULL, &world.fader, &error), &error);
    trial_must(mtm_linked_create(world.fader, 1, 2, NULL, NULL, &world.linked, &error), &error);
    return 0;
}

static int free_world(void **state)
{
    (void)state;
    mtm_linked_free(world.linked);
    mtm_fader_free(world.fader);
    mtm_show_free(world.show);
    mtm_rig_free(world.rig);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_error),
        cmocka_unit_test(test_straight),
        cmocka_unit_test(test_choice),
        cmocka_unit_test(test_other),
    };

    return cmocka_run_group_tests_name("course of linked cues", tests, make_world, free_world);
}
