/* SPDX-License-Identifier: MIT */
/* Fades as a lamp dims: the temperature goes with the light, into the dark and between two lights.
 */
#include "support/trial.h"

#include <metamer/fade.h>
#include <metamer/match.h>
#include <metamer/white.h>

/* Light to the power of 0.42 / 3.4: see the source in tests/colour/lamp_test.c. */
#define POWER (0.42 / 3.4)

static const struct trial_unit units[] = {
    {"fine", "five-colour-batten.json", "16-bit", 1, 1},
    {"dimmed", "five-colour-wash.json", "16-bit", 1, 51},
};

static const struct row {
    const char *name;
    const char *from, *to; /* colour and output of the two cues */
    size_t checked;        /* fewest frames that must have been looked at */
} rows[] = {
    {"out", "'colour': {'cct_k': 3200}, 'output': 0.8", "'output': 0", 100},
    {"in", "'output': 0, 'colour': {'cct_k': 2900}", "'colour': {'cct_k': 2900}, 'output': 1", 100},
    {"between", "'colour': {'cct_k': 3200}, 'output': 1",
     "'colour': {'cct_k': 2300}, 'output': 0.1", 190},
    {"same light", "'colour': {'cct_k': 3200}, 'output': '300lm'",
     "'colour': {'cct_k': 2300}, 'output': '300lm'", 190},
};

static mtm_xyz light_of(mtm_fader *fader, mtm_matcher *matcher, size_t unit)
{
    mtm_match match;

    assert_true(mtm_matcher_decode(matcher, unit, mtm_fader_slots(fader, 0), 512, &match));
    return match.xyz;
}

struct end {
    double cct_k, y;
};

static struct end end_of(mtm_xyz xyz)
{
    mtm_white white = {0, 0};

    if (xyz.y > 0)
        assert_int_equal(mtm_white_from_xy(mtm_xy_from_xyz(xyz), &white, NULL), MTM_OK);
    return (struct end){white.cct_k, xyz.y};
}

/* The temperature that the light of a frame asks for. */
static double wanted_k(struct end a, struct end b, double y, double part)
{
    if (!(a.y > 0))
        return b.cct_k * pow(y / b.y, POWER);
    if (!(b.y > 0))
        return a.cct_k * pow(y / a.y, POWER);
    if (fabs(log(b.y / a.y)) > 1e-3)
        part = log(y / a.y) / log(b.y / a.y);
    return a.cct_k * pow(b.cct_k / a.cct_k, part);
}

static void test_row(void **state)
{
    const struct row *row = *state;
    mtm_rig *rig = trial_rig(units, COUNT(units));
    mtm_show *show =
        trial_show(rig,
                   "'cues': [{'number': 1, 'up_s': 0, 'set': [{'group': 'all', %s}]},"
                   "{'number': 2, 'up_s': 5, 'path': 'lamp', 'set': [{'group': 'all', %s}]}]",
                   row->from, row->to);
    const mtm_fader_options options = {40, false, true};
    mtm_fader *fader = NULL;
    mtm_matcher *matcher = NULL;
    struct end ends[2][COUNT(units)];
    mtm_error error = {""};

    trial_must(mtm_fader_create(show, &options, &fader, &error), &error);
    trial_must(mtm_matcher_create(rig, MTM_OBSERVER_2, &matcher, &error), &error);
    for (size_t i = 0; i < 2; i++) {
        trial_must(mtm_fader_set(fader, i, &error), &error);
        for (size_t u = 0; u < COUNT(units); u++)
            ends[i][u] = end_of(light_of(fader, matcher, u));
    }
    trial_must(mtm_fader_set(fader, 0, &error), &error);
    trial_must(mtm_fader_go(fader, 1, &error), &error);
    size_t checked = 0;
    for (int frame = 1; frame < 200; frame++) {
        trial_must(mtm_fader_step(fader, &error), &error);
        for (size_t u = 0; u < COUNT(units); u++) {
            mtm_xyz xyz = light_of(fader, matcher, u);
            if (!(xyz.y > 3)) /* lumens: below, codes of 16 bits are too coarse to tell */
                continue;
            struct end now = end_of(xyz);
            double wanted = wanted_k(ends[0][u], ends[1][u], now.y, frame / 200.0);
            if (wanted < 1500) /* nearly the gamut's end */
                continue;
            checked++;
            if (!(fabs(now.cct_k - wanted) < 0.004 * wanted))
                fail_msg("unit %zu, frame %d: %.1f K at %.2f lm, wanted %.1f K", u, frame,
                         now.cct_k, now.y, wanted);
        }
    }
    assert_true(checked >= row->checked);
    mtm_matcher_free(matcher);
    mtm_fader_free(fader);
    mtm_show_free(show);
    mtm_rig_free(rig);
}

/* A colour that is no white cannot dim as a lamp. */
static void test_no_white(void **state)
{
    mtm_rig *rig = trial_rig(units, COUNT(units));
    mtm_show *show = trial_show(
        rig, "'cues': [{'number': 1, 'up_s': 2, 'path': 'lamp', 'set': [{'group': 'all', "
             "'colour': {'xy': [0.2, 0.15]}}]}]");
    mtm_fader *fader = NULL;
    mtm_error error = {""};

    (void)state;
    trial_must(mtm_fader_create(show, NULL, &fader, &error), &error);
    assert_int_equal(mtm_fader_go(fader, 0, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "a path along the white locus cannot end here");
    mtm_fader_free(fader);
    mtm_show_free(show);
    mtm_rig_free(rig);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 1] = {cmocka_unit_test(test_no_white)};

    ROW_TESTS(tests + 1, rows, test_row);
    return cmocka_run_group_tests_name("fades of a lamp", tests, NULL, NULL);
}
