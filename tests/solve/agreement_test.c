/* SPDX-License-Identifier: MIT */
/* Matches that are judged together are judged as each would be alone (mtm_judge, which has checks
 * of its own), however equal and unequal ones follow each other. */
#include "support/random.h"
#include "support/trial.h"

#include <metamer/agreement.h>

#define MATCHES 60
#define LIGHTS 7

static const struct trial_unit units[] = {{"a", "five-colour-wash.json", "16-bit"},
                                          {"b", "five-colour-wash.json", "8-bit"},
                                          {"c", "tunable-white.json", "8-bit"},
                                          {"d", "three-colour-strip.json", "8-bit"}};

static void test_as_alone(void **state)
{
    static mtm_judgement together[MATCHES], alone;
    mtm_rig *rig = trial_rig(units, COUNT(units));
    struct random random = {77};
    mtm_match match[MATCHES] = {0};
    mtm_error error = {""};

    (void)state;
    for (size_t i = 0; i < MATCHES; i++) {
        size_t light = random_index(&random, LIGHTS);
        match[i].unit = random_index(&random, COUNT(units));
        const mtm_fixture *fixture = mtm_rig_unit(rig, match[i].unit)->fixture;
        for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++)
            match[i].level[k] = (double)((3 * k + 5 * light) % 8) / 8;
    }
    trial_must(mtm_judge_matches(rig, match, MATCHES, together, &error), &error);
    for (size_t i = 0; i < MATCHES; i++) {
        trial_must(
            mtm_judge(mtm_rig_unit(rig, match[i].unit)->fixture, match[i].level, &alone, &error),
            &error);
        assert_int_equal(together[i].has_spectrum, alone.has_spectrum);
        assert_int_equal(together[i].has_quality, alone.has_quality);
        if (alone.has_spectrum)
            assert_memory_equal(&together[i].spectrum, &alone.spectrum, sizeof alone.spectrum);
        if (alone.has_quality)
            CHECK_NEAR("Rf", together[i].rf, alone.rf, 0);
    }
    mtm_rig_free(rig);
}

/* The first that cannot be judged says so, wherever its like stand. */
static void test_refused(void **state)
{
    static mtm_judgement judgement[3];
    mtm_rig *rig = trial_rig(units, COUNT(units));
    mtm_match match[3] = {{.unit = 2}, {.unit = 2}, {.unit = 2}};
    mtm_error error = {""};

    (void)state;
    match[1].level[0] = 2;
    match[2].level[0] = 1.5;
    assert_int_equal(mtm_judge_matches(rig, match, 3, judgement, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "level 2 of emitter \"warm\"");
    match[1].level[0] = 0.5;
    match[2].unit = 9;
    assert_int_equal(mtm_judge_matches(rig, match, 3, judgement, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "match 2 is of no unit of the rig");
    assert_int_equal(mtm_judge_matches(rig, NULL, 0, NULL, &error), MTM_OK);
    mtm_rig_free(rig);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_as_alone),
                                       cmocka_unit_test(test_refused)};

    return cmocka_run_group_tests_name("agreement", tests, NULL, NULL);
}
