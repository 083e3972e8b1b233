/* SPDX-License-Identifier: MIT */
/* "Like that unit": one colour and one spectrum, whoever asks: a command or a show. */
#include "support/trial.h"

#include <metamer/judge.h>
#include <metamer/show.h>
#include <metamer/target.h>

static const struct trial_unit units[] = {
    {"wash", "five-colour-wash.json", "16-bit", 1, 1},
    {"plain", "tests/data/plain/plain.json", "8-bit", 1, 121},
};

static mtm_rig *rig;

static const struct shown {
    const char *unit, *percent; /* of each channel */
    double value[MTM_EMITTERS_MAX + 1];
    size_t count;
    bool has_spectrum;
} shown[] = {
    {"wash", "100, 50, 20, 70, 0, 30", {100, 50, 20, 70, 0, 30}, 6, true},
    {"wash", "40, 0, 0, 0, 0, 80", {40, 0, 0, 0, 0, 80}, 6, true},
    {"plain", "50, 20, 70, 30", {50, 20, 70, 30}, 4, false},
};

static const mtm_unit *unit_of(const struct shown *row, mtm_codes *codes)
{
    size_t index = 0;
    mtm_error error = {""};

    assert_int_equal(mtm_rig_find_unit(rig, row->unit, &index, NULL), MTM_OK);
    const mtm_unit *unit = mtm_rig_unit(rig, index);
    if (mtm_codes_from_values(unit->fixture, unit->mode, MTM_VALUES_PERCENT, row->value, row->count,
                              codes, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return unit;
}

/* The spectrum is that of the mixture as it is judged, and the colour is the spectrum's (CIE
 * 015:2018, 7). */
static void test_unit(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(shown); i++) {
        double level[MTM_EMITTERS_MAX];
        mtm_codes codes;
        mtm_target target;
        mtm_coder *coder = NULL;
        mtm_judgement judgement;
        const mtm_unit *unit = unit_of(&shown[i], &codes);

        assert_int_equal(mtm_target_from_unit(unit, &codes, MTM_OBSERVER_2, &target, NULL), MTM_OK);
        assert_int_equal(target.has_spectrum, shown[i].has_spectrum);
        CHECK_HOLDS(target.description, "like ");
        assert_int_equal(mtm_coder_create(unit->fixture, unit->mode, MTM_OBSERVER_2, &coder, NULL),
                         MTM_OK);
        mtm_coder_levels(coder, &codes, level);
        mtm_coder_free(coder);
        if (!shown[i].has_spectrum)
            continue;
        assert_int_equal(mtm_judge(unit->fixture, level, &judgement, NULL), MTM_OK);
        for (size_t k = 0; k < MTM_SPECTRUM_COUNT; k++)
            CHECK_NEAR("W/nm", target.spectrum.value[k], judgement.spectrum.value[k], 0);
        CHECK_NEAR("x", target.xy.x, mtm_xy_from_xyz(judgement.xyz[0]).x, 1e-12);
        CHECK_NEAR("y", target.xy.y, mtm_xy_from_xyz(judgement.xyz[0]).y, 1e-12);
    }
}

/* A show that says "like" means the same colour and the same spectrum, so that the goal "spectrum"
 * is one thing. */
static void test_show(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(shown); i++) {
        mtm_codes codes;
        mtm_target target;
        const mtm_unit *unit = unit_of(&shown[i], &codes);

        assert_int_equal(mtm_target_from_unit(unit, &codes, MTM_OBSERVER_2, &target, NULL), MTM_OK);
        mtm_show *show = trial_show(
            rig,
            "'colours': {'that': {'like': '%s', 'percent': [%s]}}, 'cues': [{'number': 1, "
            "'up_s': 1, 'set': [{'unit': 'wash', 'colour': 'that'}]}]",
            shown[i].unit, shown[i].percent);
        const mtm_target *meant = mtm_show_colour(show, 0);
        assert_string_equal(meant->description, target.description);
        assert_true(meant->xy.x == target.xy.x && meant->xy.y == target.xy.y);
        assert_int_equal(meant->has_spectrum, target.has_spectrum);
        if (target.has_spectrum)
            assert_memory_equal(&meant->spectrum, &target.spectrum, sizeof target.spectrum);
        mtm_show_free(show);
    }
}

static void test_refusals(void **state)
{
    const mtm_codes dark = {0};
    mtm_codes codes;
    mtm_target target = {.cct_k = 77};
    mtm_error error = {""};
    const mtm_unit *unit = unit_of(&shown[2], &codes);

    (void)state;
    assert_int_equal(mtm_target_from_unit(unit, &dark, MTM_OBSERVER_2, &target, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "plain is dark at these codes, so it has no colour");
    assert_int_equal(mtm_target_from_unit(unit, &codes, MTM_OBSERVER_10, &target, &error),
                     MTM_UNSUPPORTED);
    assert_int_equal(mtm_target_from_unit(unit, &codes, (mtm_observer)7, &target, &error),
                     MTM_INVALID);
    assert_int_equal(mtm_target_from_unit(NULL, &codes, MTM_OBSERVER_2, &target, &error),
                     MTM_INVALID);
    assert_true(target.cct_k == 77);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_unit),
        cmocka_unit_test(test_show),
        cmocka_unit_test(test_refusals),
    };
    rig = trial_rig(units, COUNT(units));
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    mtm_rig_free(rig);
    return failed;
}
