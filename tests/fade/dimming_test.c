/* SPDX-License-Identifier: MIT */
/* Where intensity lives in a fade. What each dimming promises is checked frame by frame; how large
 * its steps are, by the report, beside what follows from the codes alone. Lightness is that of
 * ISO/CIE 11664-4, light adds in XYZ (CIE 015:2018, 7). */
#include "support/trial.h"

#include <metamer/fade_report.h>

#define FIXTURE "tests/data/dimming/wash.json"

/* By the bits of the dimmer and of the emitters; the dimmer's curve is the square. */
static const struct trial_unit units[] = {
    {"narrow", FIXTURE, "8 before 8", 1, 1},  {"mixed", FIXTURE, "8 before 16", 1, 21},
    {"ahead", FIXTURE, "16 before 8", 1, 41}, {"wide", FIXTURE, "16 before 16", 1, 61},
    {"low", FIXTURE, "8 alone", 1, 81},       {"high", FIXTURE, "16 alone", 1, 101},
};
enum { NARROW, MIXED, AHEAD, WIDE, LOW, HIGH, UNITS, DIMMED = LOW, EMITTERS = 3 };

static const double flux_lm[EMITTERS] = {400, 800, 120};

static const char cues[] =
    "'colours': {'white': {'xy': [0.33, 0.34]}, 'rose': {'xy': [0.42, 0.3]}}, 'cues': ["
    "{'number': 1, 'up_s': 5, 'set': [{'group': 'all', 'colour': 'white', 'output': 0.8}]}, "
    "{'number': 2, 'up_s': 5, 'set': [{'group': 'all', 'output': 0.05}]}, "
    "{'number': 3, 'up_s': 5, 'set': [{'group': 'all', 'colour': 'rose', 'output': 0.4}]}, "
    "{'number': 4, 'up_s': 5, 'set': [{'group': 'all', 'output': 0}]}]";
enum { CUES = 4, UP = 0, DIM = 1, ROSE = 2, OUT = 3 };

static mtm_rig *rig;

static int set_up(void **state)
{
    (void)state;
    rig = trial_rig(units, UNITS);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mtm_rig_free(rig);
    return 0;
}

static mtm_fader *fader_of(const mtm_show *show, const mtm_fader_options *options)
{
    mtm_fader *fader = NULL;
    mtm_error error = {""};

    trial_must(mtm_fader_create(show, options, &fader, &error), &error);
    return fader;
}

/* A show in which all cues have one dimming. */
static mtm_show *show_of(size_t dimming)
{
    return trial_show(rig, "'dimming': '%s', %s", mtm_dimming_at(dimming)->name, cues);
}

static void start(mtm_fader *fader, size_t cue)
{
    assert_int_equal(mtm_fader_set_before(fader, cue, NULL), MTM_OK);
    assert_int_equal(mtm_fader_go(fader, cue, NULL), MTM_OK);
}

static mtm_codes codes_of(mtm_fader *fader, size_t unit)
{
    mtm_fader_state now;

    mtm_fader_unit(fader, unit, &now);
    return now.codes;
}

static double lightness(double y)
{
    return y > 216.0 / 24389 ? 116 * cbrt(y) - 16 : 24389.0 / 27 * y;
}

/* The largest step in L* from one code of a square 8-bit dimmer to the next, behind emitters that
 * hold the colour of a cue at its most light, 16 bits each. */
static double dimmer_step(size_t cue)
{
    mtm_show *show = show_of(MTM_DIMMING_DIMMER);
    mtm_fader *fader = fader_of(show, NULL);
    double light = 0, full = 0, most = 0;

    assert_int_equal(mtm_fader_set(fader, cue, NULL), MTM_OK);
    mtm_codes codes = codes_of(fader, MIXED);
    for (size_t i = 0; i < EMITTERS; i++) {
        light += flux_lm[i] * codes.emitter[i] / 65535;
        full += flux_lm[i];
    }
    for (unsigned code = 0; code < codes.dimmer; code++)
        most = fmax(most, lightness(light / full * (code + 1) * (code + 1) / (255.0 * 255)) -
                              lightness(light / full * code * code / (255.0 * 255)));
    mtm_fader_free(fader);
    mtm_show_free(show);
    return most;
}

static void examine(size_t dimming, size_t cue, mtm_fade_finding *finding)
{
    mtm_show *show = show_of(dimming);
    mtm_fader *fader = fader_of(show, NULL);

    assert_int_equal(mtm_fade_examine(fader, cue, finding, NULL, NULL, NULL), MTM_OK);
    mtm_fader_free(fader);
    mtm_show_free(show);
}

/* By "finest" no unit steps farther than by another dimming, but for a twentieth: codes that are
 * chosen together settle colour and light at once. */
static void test_finest(void **state)
{
    mtm_fade_finding finding[3][UNITS] = {{{0}}};

    (void)state;
    for (size_t cue = 0; cue < CUES; cue++) {
        for (size_t d = 0; d < mtm_dimming_count(); d++)
            examine(d, cue, finding[d]);
        for (size_t unit = 0; unit < UNITS; unit++) {
            double finest = finding[MTM_DIMMING_FINEST][unit].step;
            double dimmer = finding[MTM_DIMMING_DIMMER][unit].step;
            double emitters = finding[MTM_DIMMING_EMITTERS][unit].step;

            if (!(finest <= 1.05 * fmin(dimmer, emitters)))
                fail_msg("cue %zu, %s: %.4f by finest, %.4f by dimmer, %.4f by emitters", cue + 1,
                         units[unit].mode, finest, dimmer, emitters);
            assert_int_equal(finding[0][unit].has_dimming, unit < DIMMED);
        }
    }
}

/* An 8-bit dimmer on its own has all its steps: a frame passes one of them, or as many as the fade
 * asks for. Before emitters of 16 bits it is the only one that steps so far. Linear 8-bit emitters
 * on their own begin with a 255th of their light: 24389/27/255 of L*, the straight part. */
static void test_own_steps(void **state)
{
    mtm_fade_finding finding[3][UNITS] = {{{0}}};
    char cure[200];

    (void)state;
    for (size_t d = 0; d < mtm_dimming_count(); d++)
        examine(d, UP, finding[d]);
    double pace = finding[MTM_DIMMING_FINEST][WIDE].step_lightness;
    double own = finding[MTM_DIMMING_DIMMER][MIXED].step_lightness;
    if (!(own >= dimmer_step(UP) - 1e-9 && own <= dimmer_step(UP) + pace))
        fail_msg("%.4f: one code is %.4f, the fade goes %.4f a frame", own, dimmer_step(UP), pace);
    CHECK_NEAR("finest", finding[MTM_DIMMING_FINEST][MIXED].step_lightness,
               finding[MTM_DIMMING_FINEST][HIGH].step_lightness, 1e-12);
    assert_true(finding[MTM_DIMMING_FINEST][MIXED].step <
                0.6 * finding[MTM_DIMMING_DIMMER][MIXED].step);
    CHECK_NEAR("8-bit emitters", finding[MTM_DIMMING_EMITTERS][NARROW].step_lightness,
               24389.0 / 27 / 255, 1e-4);
    assert_true(finding[MTM_DIMMING_FINEST][NARROW].step <
                0.2 * finding[MTM_DIMMING_EMITTERS][NARROW].step);

    mtm_show *show = show_of(MTM_DIMMING_EMITTERS);
    mtm_fade_cure(show, NARROW, &finding[MTM_DIMMING_EMITTERS][NARROW], 1, cure, sizeof cure);
    CHECK_HOLDS(cure, "the dimming \"finest\"");
    mtm_show_free(show);
}

/* By "emitters" a unit fades as one that has no dimmer: the same codes in every frame; the dimmer
 * is full whenever there is light. Before emitters of 16 bits an 8-bit one is so by itself. */
static void check_alone(mtm_fader *fader, size_t unit, size_t without)
{
    mtm_codes codes = codes_of(fader, unit), alone = codes_of(fader, without);
    bool lit = false;

    for (size_t i = 0; i < EMITTERS; i++) {
        lit = lit || codes.emitter[i] > 0;
        assert_int_equal(codes.emitter[i], alone.emitter[i]);
    }
    if (lit)
        assert_int_equal(codes.dimmer, unit == NARROW || unit == MIXED ? 255 : 65535);
}

static void test_emitters(void **state)
{
    mtm_show *show = show_of(MTM_DIMMING_EMITTERS), *usual = show_of(MTM_DIMMING_FINEST);
    mtm_fader *fader = fader_of(show, NULL), *other = fader_of(usual, NULL);

    (void)state;
    for (size_t cue = 0; cue < CUES; cue++) {
        start(fader, cue);
        start(other, cue);
        while (mtm_fader_frames_left(fader) > 0) {
            assert_int_equal(mtm_fader_step(fader, NULL), MTM_OK);
            assert_int_equal(mtm_fader_step(other, NULL), MTM_OK);
            check_alone(fader, NARROW, LOW);
            check_alone(fader, AHEAD, LOW);
            check_alone(fader, MIXED, HIGH);
            check_alone(fader, WIDE, HIGH);
            check_alone(other, MIXED, HIGH);
        }
    }
    mtm_fader_free(other);
    mtm_fader_free(fader);
    mtm_show_free(usual);
    mtm_show_free(show);
}

/* By "dimmer" the emitters stand still while the colour does, in the dark too, and are the codes of
 * the colour at its most light; the dimmer goes one way. */
static void test_dimmer(void **state)
{
    static const size_t still[] = {UP, DIM, OUT};
    mtm_show *show = show_of(MTM_DIMMING_DIMMER);
    mtm_fader *fader = fader_of(show, NULL);

    (void)state;
    for (size_t s = 0; s < COUNT(still); s++) {
        for (size_t unit = 0; unit < DIMMED; unit++) {
            mtm_codes colour;
            unsigned highest = 0;

            assert_int_equal(mtm_fader_set(fader, still[s] == OUT ? ROSE : still[s], NULL), MTM_OK);
            colour = codes_of(fader, unit);
            for (size_t i = 0; i < EMITTERS; i++)
                highest = colour.emitter[i] > highest ? colour.emitter[i] : highest;
            assert_int_equal(highest, unit == NARROW || unit == AHEAD ? 255 : 65535);
            start(fader, still[s]);
            unsigned before = codes_of(fader, unit).dimmer;
            while (mtm_fader_frames_left(fader) > 0) {
                assert_int_equal(mtm_fader_step(fader, NULL), MTM_OK);
                mtm_codes now = codes_of(fader, unit);
                assert_memory_equal(now.emitter, colour.emitter, sizeof now.emitter);
                assert_true(still[s] == UP ? now.dimmer >= before : now.dimmer <= before);
                before = now.dimmer;
            }
        }
    }
    mtm_fader_free(fader);
    mtm_show_free(show);
}

/* From one dimming to another the dimmer goes along with the fade, at most a hundredth of its codes
 * and a half a frame, and the emitters make up for it: with 16 bits nobody sees it, with 8 it is
 * about a visible step. */
static void test_between(void **state)
{
    mtm_show *show = trial_show(
        rig, "%s",
        "'colours': {'white': {'xy': [0.33, 0.34]}, 'rose': {'xy': [0.42, 0.3]}}, 'cues': ["
        "{'number': 1, 'up_s': 5, 'set': [{'group': 'all', 'colour': 'white', 'output': 0.3}]}, "
        "{'number': 2, 'up_s': 5, 'dimming': 'emitters', 'set': [{'group': 'all', 'output': "
        "0.3}]}, "
        "{'number': 3, 'up_s': 5, 'dimming': 'dimmer', 'set': [{'group': 'all', 'output': 0.5}]}, "
        "{'number': 4, 'up_s': 5, 'dimming': 'emitters', 'set': [{'group': 'all', 'colour': "
        "'rose', 'output': 0.2}]}, "
        "{'number': 5, 'up_s': 5, 'dimming': 'finest', 'set': [{'group': 'all', 'output': 0.6}]}]");
    mtm_fader *fader = fader_of(show, NULL);
    mtm_fade_finding finding[UNITS];

    (void)state;
    for (size_t cue = 1; cue < mtm_show_cue_count(show); cue++) {
        for (size_t unit = 0; unit < DIMMED; unit++) {
            double most = unit == NARROW || unit == MIXED ? 255 : 65535;

            start(fader, cue);
            double before = codes_of(fader, unit).dimmer;
            while (mtm_fader_frames_left(fader) > 0) {
                assert_int_equal(mtm_fader_step(fader, NULL), MTM_OK);
                double now = codes_of(fader, unit).dimmer;
                assert_true(fabs(now - before) <= 0.015 * most);
                before = now;
            }
        }
        assert_int_equal(mtm_fade_examine(fader, cue, finding, NULL, NULL, NULL), MTM_OK);
        for (size_t unit = 0; unit < DIMMED; unit++) {
            assert_true(finding[unit].step < (unit == MIXED || unit == WIDE ? 0.3 : 1.3));
            assert_true(finding[unit].stray < 0.003);
        }
    }
    mtm_fader_free(fader);
    mtm_show_free(show);
}

/* However a cue is come to, its slots are the same; and the option is the key. */
static void test_come_to(void **state)
{
    (void)state;
    for (size_t d = 0; d < mtm_dimming_count(); d++) {
        const mtm_fader_options options = {.has_dimming = true, .dimming = (mtm_dimming)d};
        mtm_show *show = show_of(d), *usual = show_of(MTM_DIMMING_FINEST);
        mtm_fader *fader = fader_of(show, NULL), *told = fader_of(usual, &options);
        size_t slots = mtm_fader_layout(fader).universe[0].slot_count;
        uint8_t run[512];

        for (size_t cue = 0; cue < CUES; cue++) {
            start(fader, cue);
            while (mtm_fader_frames_left(fader) > 0)
                assert_int_equal(mtm_fader_step(fader, NULL), MTM_OK);
            memcpy(run, mtm_fader_slots(fader, 0), slots);
            assert_int_equal(mtm_fader_set(fader, cue, NULL), MTM_OK);
            assert_memory_equal(run, mtm_fader_slots(fader, 0), slots);
            assert_int_equal(mtm_fader_set(told, cue, NULL), MTM_OK);
            assert_memory_equal(run, mtm_fader_slots(told, 0), slots);
        }
        mtm_fader_free(told);
        mtm_fader_free(fader);
        mtm_show_free(usual);
        mtm_show_free(show);
    }
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_finest),   cmocka_unit_test(test_own_steps),
        cmocka_unit_test(test_emitters), cmocka_unit_test(test_dimmer),
        cmocka_unit_test(test_between),  cmocka_unit_test(test_come_to),
    };

    return cmocka_run_group_tests_name("dimming of fades", tests, set_up, tear_down);
}
