/* SPDX-License-Identifier: MIT */
/* Units that do the very same share what is found out about one of them: each must be sent, and
 * told of, what it would be alone, also after a cue has moved the one that led. The outside figure
 * is the same unit in a rig of its own. */
#include "support/trial.h"

#include "fade/fader.h"

#include <metamer/fade.h>
#include <metamer/fade_report.h>

#define BEFORE 47 /* frames of the first cue when the second comes */

static const struct mode {
    const char *name, *fixture, *mode;
} modes[] = {
    {"8 bits, no dimmer", "tunable-white.json", "8-bit"},
    {"8 bits, five emitters, dimmer", "five-colour-batten.json", "8-bit"},
    {"8 bits without a dimmer, three emitters", "three-colour-strip.json", "8-bit"},
    {"16 bits", "five-colour-wash.json", "16-bit"},
    {"24 bits", "studio-panel.json", "24-bit"},
    {"shutter and codes left alone", "studio-panel.json", "8-bit"},
    {"hue and saturation", "studio-panel.json", "hsi"},
    {"x, y", "studio-panel.json", "xy"},
    {"RGB", "studio-panel.json", "rgb"},
};

/* The second cue moves the first unit alone, or the other one of a rig where that is missing. */
static mtm_show *make_show(const mtm_rig *rig, const char *path)
{
    return trial_show(
        rig,
        "'cues': [{'number': 1, 'up_s': 3, 'path': '%s', 'set': [{'group': 'all', 'colour': "
        "{'cct_k': 3100}, 'output': 0.7}]}, "
        "{'number': 2, 'up_s': 1, 'path': '%s', 'set': [{'unit': 'a', 'colour': {'cct_k': 5600}, "
        "'output': 0.2}]}, "
        "{'number': 3, 'up_s': 2, 'path': '%s', 'set': [{'group': 'all', 'colour': {'cct_k': "
        "4000}, 'output': 0.4}]}]",
        path, path, path);
}

/* A rig, its show and its fader. */
struct stage {
    mtm_rig *rig;
    mtm_show *show;
    mtm_fader *fader;
};

static struct stage set_up(const struct trial_unit *units, size_t count, const char *path,
                           bool dither)
{
    const mtm_fader_options options = {.dither = dither};
    struct stage stage = {.rig = trial_rig(units, count)};
    mtm_error error = {""};

    stage.show = make_show(stage.rig, path);
    trial_must(mtm_fader_create(stage.show, &options, &stage.fader, &error), &error);
    return stage;
}

static void take_down(struct stage *stage)
{
    mtm_fader_free(stage->fader);
    mtm_show_free(stage->show);
    mtm_rig_free(stage->rig);
}

/* What a unit is sent: the slots of its universe. */
static const uint8_t *sent(const struct stage *stage, size_t unit)
{
    return mtm_fader_slots(stage->fader, unit);
}

static void pass(struct stage *together, struct stage *alone, uint64_t frames, const char *name)
{
    const size_t slots = mtm_rig_unit(together->rig, 0)->mode->slot_count;
    mtm_error error = {""};

    for (uint64_t frame = 0; frame < frames; frame++) {
        trial_must(mtm_fader_step(together->fader, &error), &error);
        for (size_t i = 0; i < 3; i++) {
            trial_must(mtm_fader_step(alone[i].fader, &error), &error);
            if (memcmp(sent(together, i), sent(&alone[i], 0), slots) != 0)
                fail_msg("%s: frame %d, unit %d", name, (int)frame, (int)i);
        }
    }
}

static void go(struct stage *together, struct stage *alone, size_t cue)
{
    mtm_error error = {""};

    trial_must(mtm_fader_go(together->fader, cue, &error), &error);
    for (size_t i = 0; i < 3; i++)
        trial_must(mtm_fader_go(alone[i].fader, cue, &error), &error);
}

static void compare_findings(struct stage *together, struct stage *alone, const char *name)
{
    mtm_fade_finding found[3];
    mtm_fade_finding own[2];
    mtm_error error = {""};

    trial_must(mtm_fade_examine(together->fader, 2, found, NULL, NULL, &error), &error);
    for (size_t i = 1; i < 3; i++) {
        trial_must(mtm_fade_examine(alone[i].fader, 2, own, NULL, NULL, &error), &error);
        assert_true(own[0].moves && own[0].step > 0);
        assert_true(found[i].moves);
        if (found[i].step != own[0].step || found[i].step_s != own[0].step_s ||
            found[i].stray != own[0].stray || found[i].gentle_s != own[0].gentle_s ||
            found[i].cause != own[0].cause || found[i].code_to != own[0].code_to)
            fail_msg("%s: what is found of unit %d", name, (int)i);
    }
}

/* Three equal units beside three rigs of one, with an other for the cue that is not its own. */
static void compare(const struct mode *mode, const char *path, bool dither)
{
    const struct trial_unit three[] = {{"a", mode->fixture, mode->mode, 1, 1},
                                       {"b", mode->fixture, mode->mode, 2, 1},
                                       {"c", mode->fixture, mode->mode, 3, 1}};
    const struct trial_unit first[] = {three[0]};
    const struct trial_unit others[] = {three[1], {"a", "plain-white.json", "dimmer", 4, 1}};
    struct stage together = set_up(three, 3, path, dither);
    struct stage alone[] = {set_up(first, 1, path, dither), set_up(others, 2, path, dither),
                            set_up(others, 2, path, dither)};

    go(&together, alone, 0);
    assert_ptr_equal(together.fader->runners[1].leader, &together.fader->runners[0]);
    assert_ptr_equal(together.fader->runners[2].leader, &together.fader->runners[0]);
    pass(&together, alone, BEFORE, mode->name);
    go(&together, alone, 1);
    assert_null(together.fader->runners[0].leader);
    pass(&together, alone, BEFORE, mode->name);
    go(&together, alone, 2);
    assert_null(together.fader->runners[1].leader); /* a is elsewhere */
    assert_ptr_equal(together.fader->runners[2].leader, &together.fader->runners[1]);
    pass(&together, alone, 90, mode->name);
    compare_findings(&together, alone, mode->name);
    take_down(&together);
    for (size_t i = 0; i < 3; i++)
        take_down(&alone[i]);
}

static void test_mode(void **state)
{
    const struct mode *mode = *state;

    compare(mode, "cam16", false);
    compare(mode, "light", false);
    compare(mode, "slots", false);
    if (strcmp(mode->mode, "16-bit") == 0)
        compare(mode, "light", true);
}

/* Channels of 8 bits begin their dither at different frames: each unit is on its own. */
static void test_dither(void **state)
{
    const struct trial_unit two[] = {{"a", "tunable-white.json", "8-bit", 1, 1},
                                     {"b", "tunable-white.json", "8-bit", 1, 11}};
    struct stage stage = set_up(two, 2, "white", true);
    mtm_error error = {""};

    (void)state;
    trial_must(mtm_fader_go(stage.fader, 0, &error), &error);
    assert_null(stage.fader->runners[1].leader);
    take_down(&stage);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(modes) + 1] = {cmocka_unit_test(test_dither)};

    for (size_t i = 0; i < COUNT(modes); i++)
        tests[i + 1] = (struct CMUnitTest){.name = modes[i].name,
                                           .test_func = test_mode,
                                           .initial_state = (void *)(uintptr_t)&modes[i]};
    return cmocka_run_group_tests_name("units that do the same", tests, NULL, NULL);
}
