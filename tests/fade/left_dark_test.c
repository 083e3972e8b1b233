/* SPDX-License-Identifier: MIT */
/* Units that a cue leaves dark, since its colour is farther from what they reach than the show
 * allows. What is checked follows from light adding in XYZ (CIE 015:2018, 7): two whites reach
 * the line between them and nothing else. */
#include "support/trial.h"

#include <metamer/fade.h>
#include <metamer/fade_report.h>
#include <metamer/show_goals.h>

static const struct trial_unit units[] = {
    {"white", "tunable-white.json", "dimmer", 1, 1},
    {"wash", "five-colour-wash.json", "16-bit", 1, 11},
};
enum { UNITS = 2, WHITE = 0, WASH = 1 };

/* Warm; a blue far from white; the same at another output; cold; the blue, whatever it looks like;
 * blue again while out, then up. */
static const char cues_text[] =
    "'leave_dark_uv': 0.02, 'colours': {'warm': {'cct_k': 3000}, 'blue': {'xy': [0.17, 0.1]}, "
    "'cold': {'cct_k': 5000}}, 'cues': ["
    "{'number': 1, 'up_s': 1, 'set': [{'group': 'all', 'colour': 'warm'}]}, "
    "{'number': 2, 'up_s': 1, 'set': [{'group': 'all', 'colour': 'blue'}]}, "
    "{'number': 3, 'up_s': 1, 'set': [{'group': 'all', 'output': 0.5}]}, "
    "{'number': 4, 'up_s': 1, 'set': [{'group': 'all', 'colour': 'cold'}]}, "
    "{'number': 5, 'up_s': 1, 'leave_dark_uv': 0, 'set': [{'group': 'all', 'colour': 'blue'}]}, "
    "{'number': 6, 'up_s': 1, 'set': [{'group': 'all', 'colour': 'blue', 'output': 0}]}, "
    "{'number': 7, 'up_s': 1, 'set': [{'group': 'all', 'output': 1}]}]";
enum { CUES = 7, WARM = 0, BLUE = 1, HALF = 2, COLD = 3, ANYHOW = 4, UP = 6 };

static mtm_rig *rig;
static mtm_show *show;
static mtm_fader *fader;

static int set_up(void **state)
{
    (void)state;
    rig = trial_rig(units, UNITS);
    show = trial_show(rig, "%s", cues_text);
    return mtm_fader_create(show, NULL, &fader, NULL) == MTM_OK ? 0 : -1;
}

static int tear_down(void **state)
{
    (void)state;
    mtm_fader_free(fader);
    mtm_show_free(show);
    mtm_rig_free(rig);
    return 0;
}

static mtm_fader_state state_after(size_t cue, size_t unit)
{
    mtm_fader_state now;

    assert_int_equal(mtm_fader_set(fader, cue, NULL), MTM_OK);
    mtm_fader_unit(fader, unit, &now);
    return now;
}

/* The white goes out and stays out; the wash, which reaches all three, never does. */
static void test_dark(void **state)
{
    static const bool lit[CUES][UNITS] = {{true, true}, {false, true},  {false, true}, {true, true},
                                          {true, true}, {false, false}, {false, true}};

    (void)state;
    for (size_t cue = 0; cue < CUES; cue++)
        for (size_t unit = 0; unit < UNITS; unit++) {
            mtm_fader_state now = state_after(cue, unit);
            if ((now.wanted.y > 0) != lit[cue][unit])
                fail_msg("cue %zu, unit %zu: %g", cue + 1, unit, now.wanted.y);
            assert_int_equal(now.codes.dimmer > 0, lit[cue][unit]);
        }
}

/* However a cue is come to, the slots are the same; in the dark, the emitters keep the last colour
 * that shone and not the one that did not. */
static void test_colour_kept(void **state)
{
    mtm_fader_state warm = state_after(WARM, WHITE);
    uint8_t run[512];
    size_t slots = mtm_fader_layout(fader).universe[0].slot_count;

    for (size_t cue = 0; cue < CUES; cue++) {
        assert_int_equal(mtm_fader_set_before(fader, cue, NULL), MTM_OK);
        assert_int_equal(mtm_fader_go(fader, cue, NULL), MTM_OK);
        while (mtm_fader_frames_left(fader) > 0)
            assert_int_equal(mtm_fader_step(fader, NULL), MTM_OK);
        memcpy(run, mtm_fader_slots(fader, 0), slots);
        assert_int_equal(mtm_fader_set(fader, cue, NULL), MTM_OK);
        assert_memory_equal(run, mtm_fader_slots(fader, 0), slots);
    }
    for (size_t cue = BLUE; cue <= HALF; cue++) {
        mtm_fader_state now = state_after(cue, WHITE);
        double was = (double)warm.codes.emitter[0] / warm.codes.emitter[1];
        double is = (double)now.codes.emitter[0] / now.codes.emitter[1];
        CHECK_NEAR("warm to cool", is, was, 0.05 * was);
    }
    (void)state;
}

/* The unit that stayed dark comes up in its own colour: the emitters have it before there is light,
 * and never leave it. */
static void test_comes_up(void **state)
{
    mtm_fader_state end = state_after(COLD, WHITE);
    mtm_fader_state now;

    (void)state;
    assert_int_equal(mtm_fader_set(fader, HALF, NULL), MTM_OK);
    assert_int_equal(mtm_fader_go(fader, COLD, NULL), MTM_OK);
    while (mtm_fader_frames_left(fader) > 0) {
        assert_int_equal(mtm_fader_step(fader, NULL), MTM_OK);
        mtm_fader_unit(fader, WHITE, &now);
        for (size_t i = 0; i < 2; i++)
            CHECK_NEAR("share", now.level[i] * (end.level[0] + end.level[1]),
                       end.level[i] * (now.level[0] + now.level[1]), 1e-9);
    }
}

struct told {
    size_t count;
    mtm_goal_lapse lapse[8];
};

static void tell(void *context, const mtm_goal_lapse *lapse)
{
    struct told *told = context;

    assert_true(told->count < COUNT(told->lapse));
    told->lapse[told->count++] = *lapse;
}

/* Told once for a colour, again where it would shine anew; the distance is that from the nearest
 * white of a scan of all mixes. */
static void test_told(void **state)
{
    const mtm_fixture *fixture = mtm_rig_unit(rig, WHITE)->fixture;
    mtm_xyz warm = mtm_fixture_emitter(fixture, 0)->xyz[MTM_OBSERVER_2];
    mtm_xyz cool = mtm_fixture_emitter(fixture, 1)->xyz[MTM_OBSERVER_2];
    mtm_uv blue = mtm_uv_from_xy((mtm_xy){0.17, 0.1});
    mtm_fade_finding finding[UNITS];
    struct told told = {0};
    double nearest = 1;

    (void)state;
    for (int i = 0; i <= 1000; i++) {
        double a = i / 1000.0, b = 1 - a;
        mtm_xyz mix = {a * warm.x + b * cool.x, a * warm.y + b * cool.y, a * warm.z + b * cool.z};
        nearest = fmin(nearest, mtm_uv_distance(mtm_uv_from_xyz(mix), blue));
    }
    assert_int_equal(mtm_show_goal_lapses(show, tell, &told, NULL), MTM_OK);
    assert_int_equal(told.count, 2);
    for (size_t i = 0; i < 2; i++) {
        assert_int_equal(told.lapse[i].cue, i == 0 ? BLUE : UP);
        assert_int_equal(told.lapse[i].unit, WHITE);
        CHECK_NEAR("nearest", told.lapse[i].left_dark_uv, nearest, 1e-5);
    }
    assert_int_equal(mtm_fade_examine(fader, BLUE, finding, NULL, NULL, NULL), MTM_OK);
    CHECK_NEAR("found", finding[WHITE].left_dark_uv, nearest, 1e-5);
    assert_true(finding[WASH].left_dark_uv == 0);
    assert_int_equal(mtm_fade_examine(fader, ANYHOW, finding, NULL, NULL, NULL), MTM_OK);
    assert_true(finding[WHITE].left_dark_uv == 0);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_dark),
        cmocka_unit_test(test_colour_kept),
        cmocka_unit_test(test_comes_up),
        cmocka_unit_test(test_told),
    };

    return cmocka_run_group_tests_name("units left dark", tests, set_up, tear_down);
}
