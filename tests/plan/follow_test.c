/* SPDX-License-Identifier: MIT */
/* Following: units that share slots get one set of codes, whatever their own emitters are. */
#include "support/check.h"

#include <metamer/fade.h>
#include <metamer/match.h>

#define UNIT(name, more)                                                                           \
    "{\"name\": \"" name "\", \"fixture\": \"tunable-white.json\", \"mode\": \"16-bit\"" more "}"

/* Followers before and behind the unit that leads them. */
static const char rig_text[] = "{\"metamer\": \"rig/1\", \"name\": \"r\", \"units\": [" UNIT(
    "b",
    ", \"follows\": "
    "\"a\"") ", " UNIT("a",
                       ", \"universe\": 1, \"address\": 1") ", " UNIT("c",
                                                                      ", \"follows\": \"a\"") "]}";

static const char show_text[] =
    "{\"metamer\": \"show/1\", \"name\": \"s\", \"rig\": \"r.json\", "
    "\"colours\": {\"white\": {\"cct_k\": 4000}}, \"cues\": [{\"number\": 1, \"text\": \"up\", "
    "\"up_s\": 1, \"set\": [{\"group\": \"all\", \"colour\": \"white\", \"output\": 0.5}]}]}";

static void must(mtm_result result, const mtm_error *error)
{
    if (result != MTM_OK)
        fail_msg("%s", error->text);
}

/* A rig whose units b and c have emitters of their own, weaker in blue than a's. */
static mtm_rig *make(void)
{
    mtm_rig *rig = NULL;
    mtm_error error = {""};

    must(mtm_rig_parse(rig_text, strlen(rig_text), "rig", NULL, &rig, &error), &error);
    for (size_t i = 0; i < 3; i += 2) {
        const mtm_fixture *shared = mtm_rig_unit(rig, 1)->fixture;
        mtm_emitter emitter[2] = {*mtm_fixture_emitter(shared, 0), *mtm_fixture_emitter(shared, 1)};
        mtm_fixture *own = NULL;
        for (int e = 0; e < 2; e++) {
            emitter[e].spectrum = NULL;
            emitter[e].xyz[MTM_OBSERVER_2].z *= 0.8;
        }
        must(mtm_fixture_with_emitters(shared, emitter, &own, &error), &error);
        must(mtm_rig_set_unit_fixture(rig, i, own, &error), &error);
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
    must(mtm_matcher_create(rig, MTM_OBSERVER_2, &matcher, &error), &error);
    must(mtm_target_from_white((mtm_white){4000, 0}, MTM_OBSERVER_2, &request.target, &error),
         &error);
    for (size_t i = 0; i < 3; i++)
        must(mtm_matcher_unit(matcher, i, &request, &match[i], &error), &error);
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
    mtm_show *show = NULL;
    mtm_fader *fader = NULL;
    mtm_fader_state leader = {0};
    uint8_t slots[4];
    mtm_error error = {""};

    (void)state;
    must(mtm_show_parse(show_text, strlen(show_text), "show", NULL, rig, &show, &error), &error);
    must(mtm_fader_create(show, NULL, &fader, &error), &error);
    must(mtm_fader_go(fader, 0, &error), &error);
    while (mtm_fader_frames_left(fader) > 0) {
        must(mtm_fader_step(fader, &error), &error);
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
