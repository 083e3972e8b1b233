/* SPDX-License-Identifier: MIT */
/* Fades out of the dark and into it, and cues begun from another look than the one before. */
#include "support/trial.h"

#include <metamer/fade.h>

/* Units with a dimmer of 8 and of 16 bits, and one without; in two universes. */
static const struct trial_unit units[] = {
    {"coarse", "three-colour-wash.json", "8-bit", 1, 1},
    {"fine", "three-colour-wash.json", "16-bit", 1, 11},
    {"strip", "three-colour-strip.json", "8-bit", 2, 1},
};
enum { UNITS = 3, STRIP = 2 };

/* All lit; one of each brought elsewhere; all out; all up again, at once; one of them in a fade. */
static const char cues_text[] =
    "{'number': 1, 'up_s': 1, 'follow_s': 2, 'set': [{'group': 'all', 'colour': {'xy': [0.45, "
    "0.35]}, 'output': 0.9}]}, "
    "{'number': 2, 'up_s': 1, 'follow_s': 2, 'set': [{'unit': 'coarse', 'colour': {'xy': [0.25, "
    "0.3]}, 'output': 0.5}]}, "
    "{'number': 3, 'up_s': 1, 'down_s': 1, 'follow_s': 2, 'set': [{'group': 'all', 'output': 0}]}, "
    "{'number': 4, 'up_s': 0, 'follow_s': 2, 'set': [{'group': 'all', 'colour': {'xy': [0.3, "
    "0.4]}, 'output': 0.8}]}, "
    "{'number': 5, 'up_s': 0, 'down_s': 1, 'set': [{'unit': 'fine', 'output': 0.1}]}";

static mtm_rig *rig;
static mtm_show *show;
static mtm_fader *fader;
static mtm_coder *coder[UNITS];

static int set_up(void **state)
{
    (void)state;
    rig = trial_rig(units, UNITS);
    show = trial_show(rig, "'cues': [%s]", cues_text);
    assert_int_equal(mtm_fader_create(show, NULL, &fader, NULL), MTM_OK);
    for (size_t i = 0; i < UNITS; i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, i);
        assert_int_equal(
            mtm_coder_create(unit->fixture, unit->mode, MTM_OBSERVER_2, &coder[i], NULL), MTM_OK);
    }
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    for (size_t i = 0; i < UNITS; i++)
        mtm_coder_free(coder[i]);
    mtm_fader_free(fader);
    mtm_show_free(show);
    mtm_rig_free(rig);
    return 0;
}

/* A frame of the show's two universes. */
struct frame {
    uint8_t first[512], second[512];
};

static mtm_codes codes_of(const struct frame *frame, size_t unit)
{
    const mtm_unit *of = mtm_rig_unit(rig, unit);
    const uint8_t *slots = of->universe == 1 ? frame->first : frame->second;
    mtm_codes codes = {0};

    mtm_codes_from_slots(of->mode, slots + of->address - 1, &codes);
    return codes;
}

static mtm_xyz light_of(const mtm_codes *codes, size_t unit)
{
    const mtm_fixture *fixture = mtm_rig_unit(rig, unit)->fixture;
    double level[MTM_EMITTERS_MAX];
    mtm_xyz sum = {0, 0, 0};

    mtm_coder_levels(coder[unit], codes, level);
    for (size_t i = 0; i < mtm_fixture_emitter_count(fixture); i++) {
        mtm_xyz full = mtm_fixture_emitter(fixture, i)->xyz[MTM_OBSERVER_2];
        sum = (mtm_xyz){sum.x + level[i] * full.x, sum.y + level[i] * full.y,
                        sum.z + level[i] * full.z};
    }
    return sum;
}

static double output_of(const struct frame *frame, size_t unit)
{
    mtm_codes codes = codes_of(frame, unit);

    return light_of(&codes, unit).y;
}

/* How far the emitters' own mix is from a colour, whatever the dimmer does; 1 where they are dark.
 */
static double off_colour(const struct frame *frame, size_t unit, mtm_xy wanted)
{
    mtm_codes codes = codes_of(frame, unit);

    codes.dimmer = mtm_rig_unit(rig, unit)->mode->dimmer_bits == 8 ? 255 : 65535;
    mtm_xyz xyz = light_of(&codes, unit);
    return xyz.y > 0 ? mtm_uv_distance(mtm_uv_from_xyz(xyz), mtm_uv_from_xy(wanted)) : 1;
}

static mtm_frame_source begin(size_t from, size_t cue, mtm_fader_play play)
{
    mtm_frame_source source = {0};
    mtm_error error = {""};

    if (mtm_fader_source(fader, from, cue, play, &source, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return source;
}

static bool take(const mtm_frame_source *source, uint64_t number, struct frame *frame)
{
    uint8_t *const slots[2] = {frame->first, frame->second};
    bool end = false;

    assert_int_equal(source->fill(source->context, number, slots, &end, NULL), MTM_OK);
    return !end;
}

/* Whenever a unit with a dimmer begins to shine, the frame before had its colour, in the dark. */
static void test_colour_first(void **state)
{
    mtm_frame_source source = begin(MTM_FADER_DARK, 0, MTM_PLAY_FOLLOW);
    struct frame before = {{0}, {0}};
    struct frame now = {{0}, {0}};
    int rises = 0;

    (void)state;
    for (uint64_t i = 0; take(&source, i, &now); i++) {
        mtm_xy wanted = i < 200 ? (mtm_xy){0.45, 0.35} : (mtm_xy){0.3, 0.4};

        for (size_t unit = 0; unit < STRIP; unit++) {
            if (output_of(&before, unit) > 0 || !(output_of(&now, unit) > 0))
                continue;
            rises++;
            CHECK_NEAR("colour before light", off_colour(&before, unit, wanted), 0, 0.02);
        }
        before = now;
    }
    assert_int_equal(rises, 4); /* both units, in cues 1 and 4 */
}

/* Going out, the emitters keep the colour to the end, and in the dark. */
static void test_colour_stays(void **state)
{
    static const mtm_xy last[] = {{0.25, 0.3}, {0.45, 0.35}};
    mtm_frame_source source = begin(1, 2, MTM_PLAY_ONE);
    struct frame now = {{0}, {0}};

    (void)state;
    for (uint64_t i = 0; take(&source, i, &now); i++)
        for (size_t unit = 0; unit < STRIP; unit++)
            CHECK_NEAR("colour", off_colour(&now, unit, last[unit]), 0, 0.02);
    for (size_t unit = 0; unit < UNITS; unit++)
        CHECK_NEAR("dark", output_of(&now, unit), 0, 0);
}

/* A cue begun from the dark: nothing shines in frame 0, nothing ever shines brighter than in the
 * end, and units that only earlier cues name come up with it. */
static void test_from_dark(void **state)
{
    mtm_frame_source source = begin(MTM_FADER_DARK, 1, MTM_PLAY_ONE);
    struct frame last = {{0}, {0}};
    struct frame now = {{0}, {0}};

    (void)state;
    assert_int_equal(mtm_fader_set(fader, 1, NULL), MTM_OK);
    memcpy(last.first, mtm_fader_slots(fader, 0), source.layout.universe[0].slot_count);
    memcpy(last.second, mtm_fader_slots(fader, 1), source.layout.universe[1].slot_count);
    source = begin(MTM_FADER_DARK, 1, MTM_PLAY_ONE);
    for (uint64_t i = 0; take(&source, i, &now); i++)
        for (size_t unit = 0; unit < UNITS; unit++) {
            double full = output_of(&last, unit);
            if (!(output_of(&now, unit) <= (i == 0 ? 0 : 1.02 * full)))
                fail_msg("frame %d, unit %zu: %g of %g", (int)i, unit, output_of(&now, unit), full);
        }
    assert_memory_equal(&now, &last, sizeof now);
}

/* From the look before it, only what the cue names moves. */
static void test_from_before(void **state)
{
    mtm_frame_source source = begin(0, 1, MTM_PLAY_ONE);
    struct frame first = {{0}, {0}};
    struct frame now = {{0}, {0}};

    (void)state;
    assert_true(take(&source, 0, &first));
    for (size_t unit = 0; unit < UNITS; unit++)
        assert_true(output_of(&first, unit) > 0);
    for (uint64_t i = 0; take(&source, i, &now); i++) {
        mtm_codes fine = codes_of(&now, 1);
        mtm_codes was = codes_of(&first, 1);
        assert_memory_equal(&fine, &was, sizeof fine);
        assert_memory_equal(now.second, first.second, sizeof now.second);
    }
    assert_memory_not_equal(now.first, first.first, sizeof now.first);
}

/* A fade out of the dark that is followed when it ends comes to its end first. */
static void test_followed(void **state)
{
    struct frame end = {{0}, {0}};
    struct frame now = {{0}, {0}};
    mtm_frame_source source;
    mtm_show *followed = trial_show(
        rig, "'cues': [{'number': 1, 'up_s': 0, 'follow_s': 0.5, 'set': [{'group': 'all', "
             "'colour': {'xy': [0.45, 0.35]}, 'output': 0}]}, "
             "{'number': 2, 'up_s': 1, 'follow_s': 1, 'set': [{'group': 'all', 'output': 0.9}]}, "
             "{'number': 3, 'up_s': 1, 'down_s': 1, 'set': [{'group': 'all', 'output': 0.2}]}]");
    mtm_fader *own = NULL;
    int reached = 0;

    (void)state;
    assert_int_equal(mtm_fader_create(followed, NULL, &own, NULL), MTM_OK);
    assert_int_equal(mtm_fader_set(own, 1, NULL), MTM_OK);
    mtm_frame_layout layout = mtm_fader_layout(own);
    memcpy(end.first, mtm_fader_slots(own, 0), layout.universe[0].slot_count);
    memcpy(end.second, mtm_fader_slots(own, 1), layout.universe[1].slot_count);
    assert_int_equal(mtm_fader_source(own, MTM_FADER_DARK, 0, MTM_PLAY_FOLLOW, &source, NULL),
                     MTM_OK);
    for (uint64_t i = 0; take(&source, i, &now); i++)
        reached += memcmp(&now, &end, sizeof now) == 0;
    assert_int_equal(reached, 1);
    mtm_fader_free(own);
    mtm_show_free(followed);
}

static void test_refused(void **state)
{
    mtm_frame_source source;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_fader_source(fader, 5, 0, MTM_PLAY_ONE, &source, &error), MTM_INVALID);
    assert_int_equal(mtm_fader_go_to(fader, 5, &error), MTM_INVALID);
    assert_int_equal(mtm_fader_go_to(NULL, 0, &error), MTM_INVALID);
    assert_int_equal(mtm_fader_set(fader, MTM_FADER_DARK, NULL), MTM_OK);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_colour_first), cmocka_unit_test(test_colour_stays),
        cmocka_unit_test(test_from_dark),    cmocka_unit_test(test_from_before),
        cmocka_unit_test(test_followed),     cmocka_unit_test(test_refused),
    };

    return cmocka_run_group_tests_name("fades and the dark", tests, set_up, tear_down);
}
