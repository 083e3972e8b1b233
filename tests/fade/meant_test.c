/* SPDX-License-Identifier: MIT */
/* A show of which only some units are played: their slots are what they would be with all, and
 * nothing else is sent but what a universe cannot leave out. Slots of the panels: 1 and 13 dimmers,
 * 2 and 14 hold 16, 3 and 15 shutters, 9 and 21 rest at 128. */
#include "support/trial.h"

#include <metamer/fade.h>

static const struct trial_unit units[] = {
    {"first", "studio-panel.json", "8-bit", 1, 1},
    {"second", "studio-panel.json", "8-bit", 1, 13},
    {"third", "tunable-white.json", "16-bit", 1, 41},
    {"away", "tunable-white.json", "dimmer", 2, 1},
    {"beside", "studio-panel.json", "8-bit", 1, 13, .follows = "second"},
};
enum { FIRST, SECOND, THIRD, AWAY, BESIDE, UNITS };

static const char cues[] =
    "'cues': [{'number': 1, 'up_s': 1, 'follow_s': 1.5, 'set': [{'group': 'all', 'colour': "
    "{'cct_k': 4000}}]}, "
    "{'number': 2, 'up_s': 1, 'set': [{'group': 'all', 'colour': {'cct_k': 3000}, 'output': "
    "0.3}]}]";

static mtm_rig *rig;
static mtm_show *show;

static int set_up(void **state)
{
    (void)state;
    rig = trial_rig(units, UNITS);
    show = trial_show(rig, "%s", cues);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mtm_show_free(show);
    mtm_rig_free(rig);
    return 0;
}

static mtm_fader *fader_of(const bool *meant)
{
    const mtm_fader_options options = {.meant = meant};
    mtm_fader *fader = NULL;
    mtm_error error = {""};

    trial_must(mtm_fader_create(show, &options, &fader, &error), &error);
    return fader;
}

static void check_dark(const uint8_t *slot)
{
    static const uint8_t dark[9] = {0, 16, 0, 0, 0, 0, 0, 0, 128};

    assert_memory_equal(slot, dark, sizeof dark);
}

/* Both faders frame by frame, one with all units, one with the second panel alone. */
static void test_slots(void **state)
{
    const bool meant[UNITS] = {[SECOND] = true};
    mtm_fader *all = fader_of(NULL), *some = fader_of(meant);
    mtm_frame_layout layout = mtm_fader_layout(some);
    bool lit = false;

    (void)state;
    assert_int_equal(mtm_fader_layout(all).universe_count, 2);
    assert_int_equal(layout.universe_count, 1);
    assert_int_equal(layout.universe[0].universe, 1);
    assert_int_equal(layout.universe[0].slot_count, 21);
    for (size_t cue = 0; cue < 2; cue++) {
        assert_int_equal(mtm_fader_go_to(all, cue, NULL), MTM_OK);
        assert_int_equal(mtm_fader_go_to(some, cue, NULL), MTM_OK);
        for (int frame = 0; frame < 45; frame++) {
            const uint8_t *a = mtm_fader_slots(all, 0), *b = mtm_fader_slots(some, 0);
            assert_memory_equal(a + 12, b + 12, 9);
            check_dark(b);
            lit = lit || b[12] > 0;
            assert_int_equal(mtm_fader_step(all, NULL), MTM_OK);
            assert_int_equal(mtm_fader_step(some, NULL), MTM_OK);
        }
    }
    assert_true(lit);
    mtm_fader_free(all);
    mtm_fader_free(some);
}

/* Who follows shares its leader's slots: chosen alone it is played as the leader is. */
static void test_follower(void **state)
{
    const bool meant[UNITS] = {[BESIDE] = true};
    mtm_fader *fader = fader_of(meant);

    (void)state;
    assert_int_equal(mtm_fader_layout(fader).universe[0].slot_count, 21);
    assert_int_equal(mtm_fader_set(fader, 0, NULL), MTM_OK);
    assert_true(mtm_fader_slots(fader, 0)[12] > 0);
    mtm_fader_free(fader);
}

/* What other units were heard to have stays as it is, whatever the cues do. */
static void test_heard(void **state)
{
    const bool meant[UNITS] = {[SECOND] = true};
    mtm_fader *fader = fader_of(meant);
    uint8_t heard[21];
    const uint8_t *const standing[] = {heard};

    (void)state;
    for (size_t i = 0; i < sizeof heard; i++)
        heard[i] = (uint8_t)(200 + i);
    assert_int_equal(mtm_fader_stand(fader, standing, NULL), MTM_OK);
    for (size_t cue = 0; cue < 2; cue++) {
        assert_int_equal(mtm_fader_go_to(fader, cue, NULL), MTM_OK);
        for (int frame = 0; frame < 45; frame++) {
            assert_int_equal(mtm_fader_step(fader, NULL), MTM_OK);
            assert_memory_equal(mtm_fader_slots(fader, 0), heard, 12);
        }
    }
    mtm_fader_free(fader);
}

static void test_unplaced(void **state)
{
    static const struct trial_unit some[] = {{"a", "tunable-white.json", "16-bit", 1, 1},
                                             {"b", "tunable-white.json", "16-bit"}};
    const bool meant[] = {false, true};
    const mtm_fader_options options = {.meant = meant};
    mtm_rig *other = trial_rig(some, COUNT(some));
    mtm_show *made = trial_show(other, "%s", cues);
    mtm_fader *fader = NULL;
    mtm_frame_source source;
    mtm_error error = {""};

    (void)state;
    trial_must(mtm_fader_create(made, &options, &fader, &error), &error);
    assert_int_equal(mtm_fader_source(fader, MTM_FADER_DARK, 0, MTM_PLAY_FOLLOW, &source, &error),
                     MTM_NOT_FOUND);
    CHECK_HOLDS(error.text, "none of the chosen units has a universe and an address");
    mtm_fader_free(fader);
    mtm_show_free(made);
    mtm_rig_free(other);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_slots),
        cmocka_unit_test(test_follower),
        cmocka_unit_test(test_heard),
        cmocka_unit_test(test_unplaced),
    };

    return cmocka_run_group_tests_name("units that are played", tests, set_up, tear_down);
}
