/* SPDX-License-Identifier: MIT */
/* Spectrum facts: spectra of files against other programs' figures, and what is told where there
 * are none. */
#include "support/check.h"

#include <metamer/spectrum_facts.h>

static const mtm_xy equal_energy = {1.0 / 3, 1.0 / 3};

static mtm_spectrum_set *load(const char *name)
{
    char path[1024];
    mtm_spectrum_set *set = NULL;
    mtm_error error = {""};

    (void)snprintf(path, sizeof path, "%s/%s", getenv("METAMER_TEST_DATA"), name);
    if (mtm_spectrum_set_load(path, MTM_ENDS_ZERO, &set, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return set;
}

static mtm_spectrum_set *parse(const char *text)
{
    mtm_spectrum_set *set = NULL;

    assert_int_equal(mtm_spectrum_set_parse(text, strlen(text), "t", MTM_ENDS_ZERO, &set, NULL),
                     MTM_OK);
    return set;
}

/* Figures of tests/quality/quality_test.c: numpy after CIE 13.3, colour-science 0.4.6. */
static void test_mixture(void **state)
{
    mtm_spectrum_set *set = load("led-mixtures.csv");
    mtm_spectrum_facts f;

    (void)state;
    assert_int_equal(mtm_spectrum_set_facts(set, 0, MTM_OBSERVER_10, equal_energy, NULL, &f, NULL),
                     MTM_OK);
    assert_string_equal(f.name, "three-line-warm");
    assert_true(f.has_quality && f.has_tolerance);
    assert_string_equal(f.missing, "");
    CHECK_NEAR("CCT, of the 2 degree observer", f.white.cct_k, 3546.24, 0.1);
    CHECK_NEAR("Ra", f.quality.cri.ra, 83.86, 0.01);
    CHECK_NEAR("Rf", f.quality.fidelity.rf, 81.336, 0.005);
    assert_string_equal(f.ssi_reference, "P3546");
    assert_int_equal(mtm_spectrum_set_facts(set, 4, MTM_OBSERVER_2, equal_energy, NULL, &f, NULL),
                     MTM_OK);
    assert_string_equal(f.ssi_reference, "D5878");
    mtm_spectrum_set_free(set);
}

/* SMPTE ST 2122: equal shapes have an index of 100. A stated reference needs no white. */
static void test_reference(void **state)
{
    mtm_spectrum_set *green = parse("500,0\n510,1\n520,3\n530,1\n540,0\n");
    mtm_spectrum_facts f;

    (void)state;
    assert_int_equal(
        mtm_spectrum_set_facts(green, 0, MTM_OBSERVER_2, equal_energy, green, &f, NULL), MTM_OK);
    CHECK_NEAR("SSI", f.ssi, 100, 1e-9);
    assert_string_equal(f.ssi_reference, "t");
    assert_false(f.has_quality || f.has_tolerance);
    assert_true(isnan(f.white.cct_k) && f.missing[0] != '\0');
    CHECK_NEAR("first", f.first_nm, 500, 0);
    CHECK_NEAR("last", f.last_nm, 540, 0);
    assert_int_equal(mtm_spectrum_set_facts(green, 0, MTM_OBSERVER_2, equal_energy, NULL, &f, NULL),
                     MTM_OK);
    assert_true(isnan(f.ssi));
    assert_string_equal(f.ssi_reference, "");
    mtm_spectrum_set_free(green);
}

/* Samples 25 nm apart say too little of what lies between: a white, but no index. */
static void test_coarse(void **state)
{
    mtm_spectrum_set *coarse = parse("350,1\n375,1\n400,1\n425,1\n450,1\n475,1\n500,1\n525,1\n"
                                     "550,1\n575,1\n600,1\n625,1\n650,1\n675,1\n700,1\n");
    mtm_spectrum_facts f;

    (void)state;
    assert_int_equal(
        mtm_spectrum_set_facts(coarse, 0, MTM_OBSERVER_2, equal_energy, NULL, &f, NULL), MTM_OK);
    CHECK_NEAR("spacing", f.spacing_nm, 25, 1e-9);
    assert_true(isfinite(f.white.cct_k) && f.has_tolerance);
    assert_false(f.has_quality);
    CHECK_HOLDS(f.missing, "25 nm apart");
    assert_true(isnan(f.ssi));
    mtm_spectrum_set_free(coarse);
}

static void test_dark(void **state)
{
    mtm_spectrum_set *dark = parse("400,0\n500,0\n700,0\n");
    mtm_spectrum_facts f = {.spacing_nm = 7};
    mtm_error error = {""};

    (void)state;
    assert_int_equal(
        mtm_spectrum_set_facts(dark, 0, MTM_OBSERVER_2, equal_energy, NULL, &f, &error), MTM_RANGE);
    assert_true(error.text[0] != '\0');
    CHECK_NEAR("untouched", f.spacing_nm, 7, 0);
    mtm_spectrum_set_free(dark);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_mixture),
        cmocka_unit_test(test_reference),
        cmocka_unit_test(test_coarse),
        cmocka_unit_test(test_dark),
    };

    return cmocka_run_group_tests_name("spectrum facts", tests, NULL, NULL);
}
