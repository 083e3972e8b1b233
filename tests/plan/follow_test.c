/* SPDX-License-Identifier: MIT */
/* Following: units that share slots get one set of codes, whatever their own emitters are. */
#include "support/trial.h"

#include <metamer/fade.h>
#include <metamer/match.h>

/* Followers before and behind the unit that leads them. */
static const struct trial_unit units[] = {
    {"b", "tunable-white.json", "16-bit", .follows = "a"},
    {"a", "tunable-white.json", "16-bit", 1, 1},
    {"c", "tunable-white.json", "16-bit", .follows = "a"},
};

static const char cues[] =
    "'cues': [{'number': 1, 'up_s': 1, 'set': [{'group': 'all', 'colour': {'cct_k': 4000}, "
    "'output': 0.5}]}]";

/* A rig whose units b and c have emitters of their own, weaker in blue than a's. */
static mtm_rig *make(void)
{
    mtm_rig *rig = trial_rig(units, COUNT(units));
    mtm_error error = {""};

    for (size_t i = 0; i < 3; i += 2) {
        const mtm_fixture *shared = mtm_rig_unit(rig, 1)->fixture;
        mtm_emitter emitter[2] = {*mtm_fixture_emitter(shared, 0), *mtm_fixture_emitter(shared, 1)};
        mtm_fixture *own = NULL;
        for (int e = 0; e < 2; e++) {
            emitter[e].spectrum = NULL;
            emitter[e].xyz[MTM_OBSERVER_2].z *= 0.8;
        }
        trial_must(mtm_fixture_with_emitters(shared, emitter, &own, &error), &error);
        trial_must(mtm_rig_set_unit_fixture(rig, i, own, &error), &error);
    }
    return rig;
}

static void test_match(void **state)
{
    mtm_rig *rig = make();
    mtm_matcher *matcher = NULL;
    mtm_match_request request = {.goal = MTM_GOAL_LIGHT};
    mtm_match match[3];
    mtm_error error = {""};

    (void)state;
    trial_must(mtm_matcher_create(rig, MTM_OBSERVER_2, &matcher, &error), &error);
    trial_must(mtm_target_from_white((mtm_white){4000, 0}, MTM_OBSERVER_2, &request.target, &error),
               &error);
    for (size_t i = 0; i < 3; i++)
        trial_must(mtm_matcher_unit(matcher, i, &request, &match[i], &error), &error);
    for (size_t i = 0; i < 3; i += 2) {
        assert_int_equal(match[i].unit, i);
        assert_memory_equal(match[i].codes.emitter, match[1].codes.emitter,
                            2 * sizeof match[1].codes.emitter[0]);
        assert_int_equal(match[i].codes.dimmer, match[1].codes.dimmer);
        CHECK_NEAR("Z of its own emitters", match[i].xyz.z, 0.8 * match[1].xyz.z,
                   1e-9 * match[1].xyz.z);
        assert_true(match[i].delta_uv > match[1].delta_uv + 0.001);
    }
    mtm_matcher_free(matcher);
    mtm_rig_free(rig);
}

static void test_fade(void **state)
{
    mtm_rig *rig = make();
    mtm_show *show = trial_show(rig, "%s", cues);
    mtm_fader *fader = NULL;
    mtm_fader_state leader = {0};
    uint8_t slots[4];
    mtm_error error = {""};

    (void)state;
    trial_must(mtm_fader_create(show, NULL, &fader, &error), &error);
    trial_must(mtm_fader_go(fader, 0, &error), &error);
    while (mtm_fader_frames_left(fader) > 0) {
        trial_must(mtm_fader_step(fader, &error), &error);
        mtm_fader_unit(fader, 1, &leader);
        mtm_codes_to_slots(mtm_rig_unit(rig, 1)->mode, &leader.codes, slots);
        assert_memory_equal(mtm_fader_slots(fader, 0), slots, sizeof slots);
    }
    assert_true(leader.codes.emitter[0] > 0 || leader.codes.emitter[1] > 0);
    mtm_fader_free(fader);
    mtm_show_free(show);
    mtm_rig_free(rig);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_match),
        cmocka_unit_test(test_fade),
    };

    return cmocka_run_group_tests_name("following", tests, NULL, NULL);
}
