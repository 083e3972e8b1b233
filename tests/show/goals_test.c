/* SPDX-License-Identifier: MIT */
/* Goals in shows: a cue that changes only the output changes no proportion between emitters, and
 * units that cannot do what a cue's goal asks go by light and are told of. What is checked follows
 * from light adding in XYZ (CIE 015:2018, 7). */
#include "support/trial.h"

#include <metamer/fade.h>
#include <metamer/fade_report.h>
#include <metamer/show_goals.h>

/* Five emitters of each resolution, with a dimmer and without; a tunable white; and a fixture of
 * four emitters known by x, y only. */
static const struct trial_unit units[] = {
    {"fine", "five-colour-batten.json", "16-bit", 1, 1},
    {"coarse", "five-colour-batten.json", "8-bit", 1, 31},
    {"dimmed", "five-colour-wash.json", "16-bit", 1, 51},
    {"white", "tunable-white.json", "16-bit", 1, 101},
    {"plain", "tests/data/plain/plain.json", "8-bit", 1, 121},
};

enum { UNITS = 5 };

static mtm_rig *rig;

static mtm_show *show_of(const char *head, const char *cues)
{
    return trial_show(rig, "%s 'cues': [%s]", head, cues);
}

static mtm_fader *fader_of(const mtm_show *show)
{
    mtm_fader *fader = NULL;
    mtm_error error = {""};

    if (mtm_fader_create(show, &(mtm_fader_options){.refresh_hz = 40}, &fader, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return fader;
}

static double sum_of(const mtm_fader_state *state)
{
    double sum = 0;

    for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
        sum += state->level[k];
    return sum;
}

/* Every frame's levels are those of the first look, scaled. */
static void check_proportions(mtm_fader *fader, const mtm_fader_state first[UNITS])
{
    for (size_t unit = 0; unit < UNITS; unit++) {
        mtm_fader_state now;
        mtm_fader_unit(fader, unit, &now);
        double scale = sum_of(&now) / sum_of(&first[unit]);
        for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
            CHECK_NEAR(mtm_rig_unit(rig, unit)->name, now.level[k], scale * first[unit].level[k],
                       1e-9);
    }
}

/* Down, up, out and in again: nothing but the output of the units changes. */
static const char output_cues[] =
    "{'number': 1, 'up_s': 0, %s 'set': [{'group': 'all', 'colour': {'cct_k': 3400}}]}, "
    "{'number': 2, 'up_s': 1, 'set': [{'group': 'all', 'output': 0.6}]}, "
    "{'number': 3, 'up_s': 1, 'curve': 's', 'set': [{'group': 'all', 'output': 0.05}]}, "
    "{'number': 4, 'up_s': 1, 'set': [{'group': 'all', 'output_lm': 150}]}, "
    "{'number': 5, 'up_s': 1, 'set': [{'group': 'all', 'output': 0}]}, "
    "{'number': 6, 'up_s': 1, 'set': [{'group': 'all', 'output': 0.8}]}";

static const struct way {
    const char *head, *cue;
} ways[] = {
    {"", ""},
    {"'path': 'cam16-round',", ""},
    {"'path': 'white',", ""},
    {"'path': 'cam16',", ""},
    {"'path': 'oklab',", ""},
    {"'goal': 'rendering',", ""},
    {"", "'goal': 'rendering',"},
    {"'goal': 'spectrum', 'path': 'cam16',", ""},
};

static void test_output_alone(void **state)
{
    (void)state;
    for (size_t w = 0; w < COUNT(ways); w++) {
        char cues[2000];
        mtm_fader_state first[UNITS];
        (void)snprintf(cues, sizeof cues, output_cues, ways[w].cue);
        mtm_show *show = show_of(ways[w].head, cues);
        mtm_fader *fader = fader_of(show);
        assert_int_equal(mtm_fader_set(fader, 0, NULL), MTM_OK);
        for (size_t unit = 0; unit < UNITS; unit++)
            mtm_fader_unit(fader, unit, &first[unit]);
        for (size_t cue = 1; cue < mtm_show_cue_count(show); cue++) {
            assert_int_equal(mtm_fader_go(fader, cue, NULL), MTM_OK);
            while (mtm_fader_frames_left(fader) > 0) {
                assert_int_equal(mtm_fader_step(fader, NULL), MTM_OK);
                check_proportions(fader, first);
            }
        }
        mtm_fader_free(fader);
        mtm_show_free(show);
    }
}

/* The goal goes with the colour; a cue or setting may state another. */
static void test_goal_kept(void **state)
{
    mtm_show *show =
        show_of("'goal': 'spectrum',",
                "{'number': 1, 'up_s': 0, 'set': [{'unit': 'fine', 'colour': {'cct_k': 3400}, "
                "'goal': 'rendering'}, {'unit': 'coarse', 'colour': {'cct_k': 3400}}]}, "
                "{'number': 2, 'up_s': 1, 'set': [{'group': 'all', 'output': 0.6}]}, "
                "{'number': 3, 'up_s': 1, 'goal': 'watts', 'set': [{'unit': 'fine', 'output': "
                "0.6}, {'unit': 'coarse', 'output': 0.6, 'goal': 'light'}]}, "
                "{'number': 4, 'up_s': 1, 'set': [{'unit': 'fine', 'colour': {'cct_k': 3400}}]}");
    static const mtm_goal wanted[][2] = {
        {MTM_GOAL_RENDERING, MTM_GOAL_SPECTRUM},
        {MTM_GOAL_RENDERING, MTM_GOAL_SPECTRUM},
        {MTM_GOAL_WATTS, MTM_GOAL_LIGHT},
        {MTM_GOAL_SPECTRUM, MTM_GOAL_LIGHT},
    };
    mtm_look look[UNITS] = {{0}};

    (void)state;
    for (size_t cue = 0; cue < COUNT(wanted); cue++) {
        mtm_show_apply(show, cue, look, NULL);
        for (size_t unit = 0; unit < 2; unit++)
            assert_int_equal(look[unit].goal, wanted[cue][unit]);
    }
    mtm_show_free(show);
}

struct told {
    size_t count;
    mtm_goal_lapse lapse[16];
};

static void tell(void *context, const mtm_goal_lapse *lapse)
{
    struct told *told = context;

    assert_true(told->count < COUNT(told->lapse));
    told->lapse[told->count++] = *lapse;
}

/* Three of the five units cannot do what some cue asks; the show runs on all the same. */
static void test_lapses(void **state)
{
    mtm_show *show =
        show_of("", "{'number': 1, 'up_s': 1, 'goal': 'rendering', 'set': [{'group': 'all', "
                    "'colour': {'cct_k': 3400}}]}, "
                    "{'number': 2, 'up_s': 1, 'set': [{'group': 'all', 'output': 0.6}]}, "
                    "{'number': 3, 'up_s': 1, 'goal': 'spectrum', 'set': [{'unit': 'dimmed', "
                    "'colour': {'xy': [0.25, 0.25]}}, {'unit': 'white', 'output': 0}]}");
    static const mtm_goal_lapse wanted[] = {
        {0, 3, MTM_GOAL_RENDERING, MTM_FALLBACK_ONE_MIX},
        {0, 4, MTM_GOAL_RENDERING, MTM_FALLBACK_SPECTRUM},
        {2, 2, MTM_GOAL_SPECTRUM, MTM_FALLBACK_WHITE},
        {2, 3, MTM_GOAL_SPECTRUM, MTM_FALLBACK_ONE_MIX},
    };
    struct told told = {0};
    mtm_fade_finding finding[UNITS];
    mtm_fader *fader = fader_of(show);

    (void)state;
    assert_int_equal(mtm_show_goal_lapses(show, tell, &told, NULL), MTM_OK);
    assert_int_equal(told.count, COUNT(wanted));
    for (size_t i = 0; i < COUNT(wanted); i++) {
        assert_int_equal(told.lapse[i].cue, wanted[i].cue);
        assert_int_equal(told.lapse[i].unit, wanted[i].unit);
        assert_int_equal(told.lapse[i].goal, wanted[i].goal);
        assert_int_equal(told.lapse[i].why, wanted[i].why);
    }
    assert_int_equal(mtm_fader_check(fader, NULL), MTM_OK);
    assert_int_equal(mtm_fade_examine(fader, 1, finding, NULL, NULL, NULL), MTM_OK);
    for (size_t unit = 0; unit < UNITS; unit++) {
        assert_int_equal(finding[unit].goal, MTM_GOAL_RENDERING);
        assert_int_equal(finding[unit].fallback, unit == 3   ? MTM_FALLBACK_ONE_MIX
                                                 : unit == 4 ? MTM_FALLBACK_SPECTRUM
                                                             : MTM_FALLBACK_NONE);
    }
    mtm_fader_free(fader);
    mtm_show_free(show);
}

static void test_refused(void **state)
{
    mtm_error error;

    (void)state;
    assert_int_equal(mtm_show_goal_lapses(NULL, tell, NULL, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "show");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_output_alone),
        cmocka_unit_test(test_goal_kept),
        cmocka_unit_test(test_lapses),
        cmocka_unit_test(test_refused),
    };

    rig = trial_rig(units, COUNT(units));
    int failed = cmocka_run_group_tests_name("show goals", tests, NULL, NULL);
    mtm_rig_free(rig);
    return failed;
}
