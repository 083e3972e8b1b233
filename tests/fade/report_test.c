/* SPDX-License-Identifier: MIT */
/* The report of fades: an 8-bit and a 16-bit unit side by side, and why each steps. */
#include "support/trial.h"

#include <metamer/fade_report.h>

static const struct trial_unit units[] = {
    {"fine", "three-colour-strip.json", "16-bit", 1, 1},
    {"coarse", "three-colour-strip.json", "8-bit", 1, 31},
};

static mtm_rig *rig;

/* Runs the last cue of a show; finding has two places. */
static mtm_show *examine(const char *cues, mtm_fade_finding *finding)
{
    mtm_show *show = trial_show(
        rig, "'colours': {'all': {'like': 'coarse', 'codes': [255, 255, 255]}}, 'cues': [%s]",
        cues);
    mtm_fader *fader = NULL;
    mtm_error error = {""};

    trial_must(mtm_fader_create(show, NULL, &fader, &error), &error);
    trial_must(mtm_fade_examine(fader, mtm_show_cue_count(show) - 1, finding, NULL, NULL, &error),
               &error);
    mtm_fader_free(fader);
    return show;
}

/* All three emitters of the linear 8-bit strip step together from code 0 to 1: light 1/255 of full,
 * whose L* is 24389/27/255 = 3.5423 (ISO/CIE 11664-4, the straight part). In 16 bits a fade of 20 s
 * at 40 frames a second has 100/800 of L* a frame, and half a code of light at the dark end. */
static void test_side_by_side(void **state)
{
    mtm_fade_finding finding[2] = {{0}};
    char cure[200];
    mtm_show *show =
        examine("{'number': 1, 'up_s': 20, 'set': [{'group': 'all', 'colour': 'all'}]}", finding);

    (void)state;
    assert_true(finding[0].moves && finding[1].moves);
    assert_int_equal(finding[0].bits, 16);
    assert_int_equal(finding[1].bits, 8);
    CHECK_NEAR("L* of 8 bits", finding[1].step_lightness, 24389.0 / 27 / 255, 1e-4);
    CHECK_NEAR("L* of 16 bits", finding[0].step_lightness, 0.125, 0.02);
    assert_int_equal(finding[0].cause, MTM_FADE_PACE);
    assert_int_equal(finding[1].cause, MTM_FADE_CODES);
    assert_int_equal(finding[1].code_from, 0);
    assert_int_equal(finding[1].code_to, 1);
    assert_true(finding[1].step > 10 * finding[0].step);
    mtm_fade_cure(show, 1, &finding[1], 1, cure, sizeof cure);
    CHECK_HOLDS(cure, "the mode \"16-bit\" of its fixture");
    mtm_fade_cure(show, 0, &finding[0], 1, cure, sizeof cure);
    assert_string_equal(cure, "");
    mtm_show_free(show);
}

/* Where codes are the cause, the cure named is applied: the same fades in the mode with 16 bits, at
 * the bottom of the scale, of light and of colour. Each step is then less than visible, and less
 * than a fifth of what it was. */
static void test_cure_of_codes(void **state)
{
    static const char *const fades[] = {
        "'output': 0.2",
        "'colour': {'xy': [0.30, 0.32]}, 'output': 0.01",
        "'output': 0",
    };

    (void)state;
    for (size_t i = 0; i < COUNT(fades); i++) {
        mtm_fade_finding finding[2] = {{0}};
        char cues[600];
        char cure[200];

        (void)snprintf(cues, sizeof cues,
                       "{'number': 1, 'up_s': 0, 'set': [{'group': 'all', 'colour': {'xy': [0.42, "
                       "0.38]}, 'output': 0.01}]}, "
                       "{'number': 2, 'up_s': 20, 'down_s': 20, 'set': [{'group': 'all', %s}]}",
                       fades[i]);
        mtm_show *show = examine(cues, finding);
        assert_true(finding[1].step > 1);
        assert_int_equal(finding[1].cause, MTM_FADE_CODES);
        mtm_fade_cure(show, 1, &finding[1], 1, cure, sizeof cure);
        CHECK_HOLDS(cure, "the mode \"16-bit\" of its fixture");
        assert_true(finding[0].step < 1 && 5 * finding[0].step < finding[1].step);
        mtm_show_free(show);
    }
}

/* A jump is the fade's own doing. */
static void test_jump(void **state)
{
    mtm_fade_finding finding[2] = {{0}};
    char cure[200];
    mtm_show *show =
        examine("{'number': 1, 'up_s': 0, 'set': [{'unit': 'fine', 'colour': 'all'}]}", finding);

    (void)state;
    assert_false(finding[1].moves);
    assert_int_equal(finding[0].cause, MTM_FADE_PACE);
    CHECK_NEAR("L*", finding[0].step_lightness, 100, 0.01);
    CHECK_NEAR("level", finding[0].level_change, 1, 1e-6);
    CHECK_NEAR("when", finding[0].step_s, 0.025, 1e-12);
    /* all at full is what was wanted, but for rounding, which is no stray */
    assert_true(finding[0].stray == 0);
    assert_true(finding[0].stray_s == 0);
    mtm_fade_cure(show, 0, &finding[0], 1, cure, sizeof cure);
    CHECK_HOLDS(cure, "a longer time");
    mtm_show_free(show);
}

/* Seconds that a cure asks for; fails where it asks for none. */
static double asked_seconds(const char *cure)
{
    const char *at = strstr(cure, "quick; ");

    if (at == NULL)
        fail_msg("\"%s\" asks for no time", cure);
    return at != NULL ? strtod(at + strlen("quick; "), NULL) : 0;
}

/* What would make each step invisible does so, and is not the time that the fade has already. The
 * time of the other direction has no part in it. */
static void test_longer(void **state)
{
    static const struct {
        const char *times; /* of a fade from dark to full */
        double time_s;
    } rows[] = {
        {"'up_s': 2", 2},
        {"'up_s': 0.3, 'down_s': 40", 0.3},
        {"'up_s': 0.7, 'down_s': 0", 0.7},
        {"'up_s': 0.5, 'delay_s': 3, 'curve': 'square'", 0.5},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mtm_fade_finding finding[2] = {{0}};
        char text[400];
        char cure[200];
        static const char cue[] = "{'number': 1, %s, 'set': [{'unit': 'fine', 'colour': 'all'}]}";

        (void)snprintf(text, sizeof text, cue, rows[i].times);
        mtm_show *show = examine(text, finding);
        CHECK_NEAR(rows[i].times, finding[0].fade_s, rows[i].time_s, 1e-9);
        mtm_fade_cure(show, 0, &finding[0], 1, cure, sizeof cure);
        double asked_s = asked_seconds(cure);
        assert_true(asked_s > rows[i].time_s);
        mtm_show_free(show);

        char longer[200];
        (void)snprintf(longer, sizeof longer, "'up_s': %g%s", asked_s,
                       strstr(rows[i].times, "square") != NULL ? ", 'curve': 'square'" : "");
        (void)snprintf(text, sizeof text, cue, longer);
        show = examine(text, finding);
        CHECK_HOLDS(finding[0].step <= 1 ? "invisible" : longer, "invisible");
        mtm_fade_cure(show, 0, &finding[0], 1, cure, sizeof cure);
        assert_string_equal(cure, "");
        mtm_show_free(show);
    }
}

/* Where the fade alone would not be seen to step, more time is no cure: the codes are. */
static void test_not_longer(void **state)
{
    mtm_fade_finding finding[2] = {{0}};
    char cure[200];
    mtm_show *show =
        examine("{'number': 1, 'up_s': 0, 'set': [{'group': 'all', 'colour': 'all'}]}", finding);

    (void)state;
    finding[1].cause = MTM_FADE_PACE;
    finding[1].fade_s = 3;
    finding[1].step = 1.16;
    finding[1].pace = 0.9;
    mtm_fade_cure(show, 1, &finding[1], 1, cure, sizeof cure);
    CHECK_HOLDS(cure, "the mode \"16-bit\" of its fixture");
    finding[1].pace = 1.1;
    finding[1].gentle_s = 3.42;
    mtm_fade_cure(show, 1, &finding[1], 1, cure, sizeof cure);
    CHECK_NEAR("seconds", asked_seconds(cure), 3.5, 1e-9);
    CHECK_HOLDS(cure, "8 bits");
    mtm_show_free(show);
}

/* Round the white from red to blue, the path leaves the triangle of the emitters. */
static void test_gamut(void **state)
{
    mtm_fade_finding finding[2] = {{0}};
    mtm_show *show = examine("{'number': 1, 'up_s': 0, 'set': [{'unit': 'fine', 'colour': {'xy': "
                             "[0.17, 0.60]}, 'output': 0.5}]}, "
                             "{'number': 2, 'up_s': 9, 'path': 'oklab-round', 'set': [{'unit': "
                             "'fine', 'colour': {'xy': [0.145, 0.12]}, 'output': 0.5}]}",
                             finding);

    (void)state;
    assert_int_equal(finding[0].stray_cause, MTM_FADE_GAMUT);
    assert_true(finding[0].stray > 0.003);
    mtm_show_free(show);
}

static bool refuse(void *context, double part)
{
    (void)context;
    return part < 0.5;
}

static void test_stopped(void **state)
{
    mtm_show *show = trial_show(rig, "'cues': [{'number': 1, 'up_s': 60, 'set': [{'unit': 'fine', "
                                     "'colour': {'cct_k': 5000}}]}]");
    mtm_fader *fader = NULL;
    mtm_fade_finding finding[2] = {{.bits = 77}};

    (void)state;
    assert_int_equal(mtm_fader_create(show, NULL, &fader, NULL), MTM_OK);
    assert_int_equal(mtm_fade_examine(fader, 0, finding, refuse, NULL, NULL), MTM_RANGE);
    assert_int_equal(finding[0].bits, 77);
    assert_int_equal(mtm_fade_examine(fader, 5, finding, NULL, NULL, NULL), MTM_INVALID);
    assert_int_equal(mtm_fade_examine(NULL, 0, finding, NULL, NULL, NULL), MTM_INVALID);
    mtm_fader_free(fader);
    mtm_show_free(show);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_side_by_side), cmocka_unit_test(test_cure_of_codes),
        cmocka_unit_test(test_jump),         cmocka_unit_test(test_longer),
        cmocka_unit_test(test_not_longer),   cmocka_unit_test(test_gamut),
        cmocka_unit_test(test_stopped),
    };

    rig = trial_rig(units, COUNT(units));
    int failed = cmocka_run_group_tests_name("fade report", tests, NULL, NULL);
    mtm_rig_free(rig);
    return failed;
}
