/* SPDX-License-Identifier: MIT */
/* A fader steered by hand, and one that begins from what another source leaves standing. What must
 * hold is stated by this project's own header; there is no outside figure for it. */
#include "support/trial.h"

#include "fade/fader.h"

#include <metamer/fade.h>

#include <math.h>

#define UNIVERSES 2

static const struct trial_unit units[] = {
    {"fine", "five-colour-batten.json", "16-bit", 3, 11},
    {"coarse", "five-colour-batten.json", "8-bit", 3, 31},
    {"dimmed", "five-colour-wash.json", "16-bit", 7, 1},
    {"white", "tunable-white.json", "16-bit", 7, 101},
    {"strip", "three-colour-strip.json", "8-bit", 3, 1},
};

static const char cues[] =
    "{'number': 1, 'up_s': 1, 'set': [{'group': 'all', 'colour': {'cct_k': 3000}}]}, "
    "{'number': 2, 'up_s': 2, 'follow_s': 3, 'set': [{'group': 'all', 'colour': {'cct_k': 5600}, "
    "'output': 0.4}]}, "
    "{'number': 3, 'up_s': 1, 'set': [{'group': 'all', 'output': 0.8}]}";

struct run {
    mtm_rig *rig;
    mtm_show *show;
    mtm_fader *fader;
    mtm_frame_source source;
    uint64_t number; /* of the frame to be asked for next */
    uint8_t slot[UNIVERSES][512];
};

static struct run begin(void)
{
    struct run run = {.rig = trial_rig(units, COUNT(units))};
    mtm_error error = {""};

    run.show = trial_show(run.rig, "'cues': [%s]", cues);
    trial_must(mtm_fader_create(run.show, NULL, &run.fader, &error), &error);
    trial_must(
        mtm_fader_source(run.fader, MTM_FADER_DARK, 0, MTM_PLAY_BY_HAND, &run.source, &error),
        &error);
    assert_int_equal(run.source.layout.universe_count, UNIVERSES);
    return run;
}

static void finish(struct run *run)
{
    mtm_fader_free(run->fader);
    mtm_show_free(run->show);
    mtm_rig_free(run->rig);
}

/* Asks for so many frames. */
static void pass(struct run *run, uint64_t frames)
{
    uint8_t *slots[UNIVERSES] = {run->slot[0], run->slot[1]};
    bool end = true;

    for (uint64_t i = 0; i < frames; i++) {
        assert_int_equal(run->source.fill(run->source.context, run->number++, slots, &end, NULL),
                         MTM_OK);
        assert_false(end);
    }
}

static void jump(struct run *run, size_t cue)
{
    mtm_error error = {""};

    trial_must(mtm_fader_jump(run->fader, cue, &error), &error);
}

static void test_by_hand(void **state)
{
    struct run run = begin();
    mtm_fader_progress now = mtm_fader_progress_of(run.fader);

    (void)state;
    pass(&run, 80);
    assert_true(now.cue == MTM_FADER_DARK && now.next == 0 && now.follow_s < 0);
    jump(&run, 0);
    pass(&run, 20);
    now = mtm_fader_progress_of(run.fader);
    assert_true(now.cue == 0 && now.next == 1);
    CHECK_NEAR("left", now.left_s, 0.5, 0.026); /* colours are set in the dark for one frame */
    pass(&run, 100);
    assert_true(mtm_fader_progress_of(run.fader).left_s <= 0);
    jump(&run, 1);
    pass(&run, 100); /* 2.5 s: cue 2 stands */
    now = mtm_fader_progress_of(run.fader);
    assert_true(now.cue == 1 && now.left_s <= 0);
    CHECK_NEAR("follow", now.follow_s, 0.5, 1e-9);
    pass(&run, 22);
    assert_int_equal(mtm_fader_progress_of(run.fader).cue, 2);
    assert_int_equal(mtm_fader_progress_of(run.fader).next, MTM_FADER_DARK);
    finish(&run);
}

static void test_pause(void **state)
{
    struct run run = begin();
    uint8_t before[UNIVERSES][512];

    (void)state;
    jump(&run, 1);
    pass(&run, 41);
    mtm_fader_pause(run.fader, true);
    memcpy(before, run.slot, sizeof before);
    double left_s = mtm_fader_progress_of(run.fader).left_s;
    pass(&run, 200);
    assert_true(mtm_fader_progress_of(run.fader).paused);
    assert_memory_equal(before, run.slot, sizeof before);
    CHECK_NEAR("left", mtm_fader_progress_of(run.fader).left_s, left_s, 0);
    mtm_fader_pause(run.fader, false);
    pass(&run, 1);
    assert_memory_not_equal(before, run.slot, sizeof before);
    finish(&run);
}

static void test_hold(void **state)
{
    struct run run = begin();

    (void)state;
    jump(&run, 1);
    mtm_fader_hold(run.fader, true);
    pass(&run, 400);
    mtm_fader_progress now = mtm_fader_progress_of(run.fader);
    assert_true(now.cue == 1 && now.held && now.left_s <= 0);
    CHECK_NEAR("follow", now.follow_s, 0, 0);
    mtm_fader_hold(run.fader, false);
    pass(&run, 1);
    assert_int_equal(mtm_fader_progress_of(run.fader).cue, 2);
    finish(&run);
}

/* Back, amid a fade: the look of the cue before is reached, to the code. */
static void test_back(void **state)
{
    struct run run = begin();
    uint8_t first[UNIVERSES][512];

    (void)state;
    jump(&run, 0);
    pass(&run, 60);
    memcpy(first, run.slot, sizeof first);
    jump(&run, 1);
    pass(&run, 40);
    assert_memory_not_equal(first, run.slot, sizeof first);
    jump(&run, 0);
    CHECK_NEAR("left", mtm_fader_progress_of(run.fader).left_s, 1, 0); /* and not that of cue 2 */
    pass(&run, 60);
    assert_memory_equal(first, run.slot, sizeof first);
    assert_int_equal(mtm_fader_progress_of(run.fader).cue, 0);
    finish(&run);
}

/* Light of one emitter, behind its dimmer, of what a unit's slots say. */
static double light_of(const struct run *run, size_t unit, size_t emitter)
{
    const mtm_unit *of = mtm_rig_unit(run->rig, unit);
    const mtmi_kind *kind = run->fader->runners[unit].kind;
    mtm_codes codes;

    mtm_codes_from_slots(of->mode, run->slot[of->universe == 3 ? 0 : 1] + of->address - 1, &codes);
    double dimmer = kind->has_dimmer ? mtmi_level_of(kind, kind->emitters.count, codes.dimmer) : 1;
    return dimmer * mtmi_level_of(kind, emitter, codes.emitter[emitter]);
}

/* Another source stands amid its fade; slots 60 to 99 of universe 7 are no unit's. The first frame
 * is what stands, light goes on from there without a jump, and the cue's own look is reached. */
static void test_stand(void **state)
{
    struct run other = begin();
    struct run run = begin();
    struct run plain = begin();
    const uint8_t *standing[UNIVERSES] = {other.slot[0], other.slot[1]};

    (void)state;
    jump(&other, 0);
    pass(&other, 23);
    for (size_t i = 59; i < 100; i++)
        other.slot[1][i] = (uint8_t)i;
    assert_int_equal(mtm_fader_stand(run.fader, standing, NULL), MTM_OK);
    pass(&run, 2);
    for (size_t u = 0; u < UNIVERSES; u++)
        assert_memory_equal(run.slot[u], other.slot[u], run.source.layout.universe[u].slot_count);
    jump(&run, 1);
    double before[COUNT(units)][MTM_EMITTERS_MAX] = {{0}};
    for (size_t frame = 0; frame < 82; frame++) {
        for (size_t i = 0; i < COUNT(units); i++) {
            for (size_t e = 0; e < run.fader->runners[i].kind->emitters.count; e++) {
                double now = light_of(&run, i, e);
                /* 80 frames from end to end, and a code of 8 bits on either side of the dimmer */
                if (frame > 0 && !(fabs(now - before[i][e]) <= 1.0 / 80 + 2.0 / 255))
                    fail_msg("frame %zu, %s, emitter %zu: from %g to %g", frame, units[i].name, e,
                             before[i][e], now);
                before[i][e] = now;
            }
        }
        pass(&run, 1);
    }
    jump(&plain, 1);
    pass(&plain, 90);
    for (size_t i = 59; i < 100; i++)
        assert_int_equal(run.slot[1][i], i);
    memset(run.slot[1] + 59, 0, 41);
    assert_memory_equal(run.slot, plain.slot, sizeof run.slot);
    finish(&plain);
    finish(&run);
    finish(&other);
}

/* A universe that nobody is heard on begins in the dark. */
static void test_stand_unheard(void **state)
{
    struct run run = begin();
    const uint8_t *standing[UNIVERSES] = {NULL, NULL};

    (void)state;
    jump(&run, 0);
    pass(&run, 60);
    assert_int_equal(mtm_fader_stand(run.fader, standing, NULL), MTM_OK);
    pass(&run, 2);
    for (size_t i = 0; i < COUNT(units); i++)
        CHECK_NEAR(units[i].name, light_of(&run, i, 0), 0, 0);
    finish(&run);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_by_hand), cmocka_unit_test(test_pause),
        cmocka_unit_test(test_hold),    cmocka_unit_test(test_back),
        cmocka_unit_test(test_stand),   cmocka_unit_test(test_stand_unheard),
    };

    return cmocka_run_group_tests_name("steered by hand", tests, NULL, NULL);
}
