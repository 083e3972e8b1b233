/* SPDX-License-Identifier: MIT */
/* Colour facts: all forms of some colours against published figures. */
#include "support/check.h"

#include <metamer/colour_facts.h>

static const mtm_xy equal_energy = {1.0 / 3, 1.0 / 3};

/* D65 at the Y of a white: L*, L* again, J' are 100 and the rest 0 by definition (ISO/CIE 11664-4,
 * -5; CIE 248:2022); temperature as tests/colour/white_test.c has it from another program; Oklab 1,
 * 0, 0 to 3 decimals (B. Ottosson, 2020, table of test points). */
static void test_white(void **state)
{
    mtm_colour_facts facts;

    (void)state;
    assert_int_equal(mtm_colour_facts_from_xy((mtm_xy){0.31272, 0.32903}, MTM_OBSERVER_2, 100,
                                              equal_energy, &facts, NULL),
                     MTM_OK);
    CHECK_NEAR("L*", facts.lab.l, 100, 1e-9);
    CHECK_NEAR("a*", facts.lab.a, 0, 1e-9);
    CHECK_NEAR("b*", facts.lab.b, 0, 1e-9);
    CHECK_NEAR("L* of L*u*v*", facts.luv.l, 100, 1e-9);
    CHECK_NEAR("u*", facts.luv.u, 0, 1e-9);
    CHECK_NEAR("J'", facts.ucs.j, 100, 1e-6);
    CHECK_NEAR("l", facts.oklab.l, 1, 0.0005);
    CHECK_NEAR("a", facts.oklab.a, 0, 0.0005);
    CHECK_NEAR("b", facts.oklab.b, 0, 0.0005);
    CHECK_NEAR("CCT", facts.white.cct_k, 6503.3, 0.6);
    CHECK_NEAR("Duv", facts.white.duv, 0.003217, 1e-5);
    assert_string_equal(facts.white_missing, "");
}

/* ISO/CIE 11664-4: L* = 116 (Y / Yn)^(1/3) - 16 is 50 at Y = 100 (66 / 116)^3. */
static void test_half(void **state)
{
    mtm_colour_facts facts;

    (void)state;
    assert_int_equal(mtm_colour_facts_from_xy((mtm_xy){0.31382, 0.33100}, MTM_OBSERVER_10,
                                              100 * pow(66.0 / 116, 3), equal_energy, &facts, NULL),
                     MTM_OK);
    CHECK_NEAR("L*", facts.lab.l, 50, 1e-9);
    CHECK_NEAR("a*", facts.lab.a, 0, 1e-9);
    assert_true(isnan(facts.white.cct_k) && isnan(facts.oklab.l));
    CHECK_HOLDS(facts.white_missing, "defined for the 2° observer");
}

/* CIE 1931: what lies below the purple line or outside the locus is no light's colour. */
static void test_odd_colours(void **state)
{
    const mtm_xy d65 = {0.31272, 0.32903};
    mtm_colour_facts facts;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(
        mtm_colour_facts_from_xy((mtm_xy){0.05, 0.9}, MTM_OBSERVER_2, 50, d65, &facts, &error),
        MTM_OK);
    assert_true(mtm_dominant_imaginary(facts.dominant));
    assert_true(isnan(facts.white.cct_k) && facts.white_missing[0] != '\0');
    assert_int_equal(mtm_colour_facts_from_xy(d65, MTM_OBSERVER_2, 50, d65, &facts, &error),
                     MTM_OK);
    assert_true(isnan(facts.dominant.wavelength_nm) && isnan(facts.dominant.purity));
    mtm_colour_facts before = facts;
    assert_int_equal(
        mtm_colour_facts_from_xy(d65, MTM_OBSERVER_2, 50, (mtm_xy){0.05, 0.9}, &facts, &error),
        MTM_INVALID);
    assert_int_equal(mtm_colour_facts_from_xy(d65, MTM_OBSERVER_2, 0, d65, &facts, &error),
                     MTM_INVALID);
    CHECK_HOLDS(error.text, "allowed is above 0");
    assert_memory_equal(&facts, &before, sizeof facts);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_white),
        cmocka_unit_test(test_half),
        cmocka_unit_test(test_odd_colours),
    };

    return cmocka_run_group_tests_name("colour facts", tests, NULL, NULL);
}
