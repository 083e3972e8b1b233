/* SPDX-License-Identifier: MIT */
/* Emitters: what is read from a fixture, and that its light and spectrum add. What is checked
 * follows from light adding in XYZ (CIE 015:2018, 7). */
#include "support/check.h"
#include "support/random.h"

#include "unit/emitters.h"

/* Delivered fixtures: all with spectra; and one of the tests' own, known by x, y only. */
static const struct file {
    const char *path;
    bool has_spectra;
} files[] = {
    {"profiles/five-colour-wash.json", true},
    {"profiles/tunable-white.json", true},
    {"profiles/three-colour-strip.json", false},
    {"tests/data/plain/plain.json", false},
};

static mtm_fixture *load(const char *path)
{
    char whole[1000];
    mtm_fixture *fixture = NULL;
    mtm_error error = {""};

    (void)snprintf(whole, sizeof whole, "%s/%s", getenv("METAMER_SOURCE"), path);
    if (mtm_fixture_load(whole, &fixture, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return fixture;
}

/* Each emitter alone at full gives what its file says: Y is its lumens. */
static void test_alone(void **state)
{
    (void)state;
    for (size_t f = 0; f < COUNT(files); f++) {
        mtm_fixture *fixture = load(files[f].path);
        struct mtmi_emitters emitters;

        assert_int_equal(mtmi_emitters_from(fixture, MTM_OBSERVER_2, &emitters, NULL), MTM_OK);
        assert_int_equal(emitters.count, mtm_fixture_emitter_count(fixture));
        for (size_t k = 0; k < emitters.count; k++) {
            double level[MTM_EMITTERS_MAX] = {0};

            level[k] = 1;
            CHECK_NEAR("lumens", mtmi_emitters_xyz(&emitters, level).y,
                       mtm_fixture_emitter(fixture, k)->flux_lm, 0);
            assert_true(emitters.watts[k] == mtm_fixture_emitter(fixture, k)->watts);
        }
        assert_true(emitters.power_limit_w == mtm_fixture_power_limit_w(fixture));
        mtm_fixture_free(fixture);
    }
}

/* The light of levels is the light of their spectrum, for both observers. */
static void test_spectrum(void **state)
{
    struct random random = {7}; /* the seed */

    (void)state;
    for (size_t f = 0; f < COUNT(files); f++) {
        mtm_fixture *fixture = load(files[f].path);

        for (int observer = 0; observer < MTM_OBSERVER_COUNT; observer++) {
            struct mtmi_emitters emitters;
            double level[MTM_EMITTERS_MAX];
            mtm_spectrum spectrum;
            mtm_error error = {""};

            if (!files[f].has_spectra && observer != MTM_OBSERVER_2) {
                assert_int_equal(mtmi_emitters_from(fixture, MTM_OBSERVER_10, &emitters, &error),
                                 MTM_UNSUPPORTED);
                CHECK_HOLDS(error.text, "is known by x, y only; the 10 degree observer needs");
                continue;
            }
            assert_int_equal(mtmi_emitters_from(fixture, (mtm_observer)observer, &emitters, &error),
                             MTM_OK);
            for (size_t k = 0; k < emitters.count; k++)
                level[k] = random_between(&random, 0, 1);
            assert_int_equal(mtmi_emitters_spectrum(&emitters, level, &spectrum),
                             files[f].has_spectra);
            if (!files[f].has_spectra)
                continue;
            mtm_xyz sum = mtmi_emitters_xyz(&emitters, level);
            mtm_xyz whole = mtm_xyz_from_spectrum(&spectrum, (mtm_observer)observer);
            CHECK_NEAR("X", whole.x, sum.x, 1e-12 * sum.x);
            CHECK_NEAR("Y", whole.y, sum.y, 1e-12 * sum.y);
            CHECK_NEAR("Z", whole.z, sum.z, 1e-12 * sum.z);
        }
        mtm_fixture_free(fixture);
    }
}

static void test_refusals(void **state)
{
    mtm_fixture *fixture = load(files[0].path);
    struct mtmi_emitters emitters = {.count = 77};
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtmi_emitters_from(fixture, (mtm_observer)7, &emitters, &error), MTM_INVALID);
    assert_int_equal(emitters.count, 77);
    mtm_fixture_free(fixture);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_alone),
        cmocka_unit_test(test_spectrum),
        cmocka_unit_test(test_refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
