/* SPDX-License-Identifier: MIT */
/* Adaptation matrices against published and computed ones; what must hold for any white. */
#include "support/check.h"

#include <metamer/adapt.h>

/* D65 to D50 and back by Bradford: as published by B. Lindbloom (brucelindbloom.com, chromatic
 * adaptation), equal to colour-science 0.4.6 within 1e-6; all others computed with colour-science
 * 0.4.6. Whites of ASTM E308. Tolerance 2e-6. */
static const struct row {
    const char *name;
    mtm_adapt_method method;
    mtm_xyz from, to;
    mtm_matrix matrix;
} rows[] = {
    {"D65 to D50, bradford",
     MTM_ADAPT_BRADFORD,
     {0.95047, 1, 1.08883},
     {0.96422, 1, 0.82521},
     {{{1.0478112, 0.0228866, -0.0501270},
       {0.0295424, 0.9904844, -0.0170491},
       {-0.0092345, 0.0150436, 0.7521316}}}},
    {"D65 to D50, cat16",
     MTM_ADAPT_CAT16,
     {0.95047, 1, 1.08883},
     {0.96422, 1, 0.82521},
     {{{1.0108226, 0.0405991, -0.0341060},
       {0.0054139, 0.9935956, 0.0011560},
       {0.0002508, -0.0114802, 0.7682115}}}},
    {"D50 to D65, bradford",
     MTM_ADAPT_BRADFORD,
     {0.96422, 1, 0.82521},
     {0.95047, 1, 1.08883},
     {{{0.9555766, -0.0230393, 0.0631636},
       {-0.0282895, 1.0099416, 0.0210077},
       {0.0122982, -0.0204830, 1.3299098}}}},
    {"D50 to D65, cat16",
     MTM_ADAPT_CAT16,
     {0.96422, 1, 0.82521},
     {0.95047, 1, 1.08883},
     {{{0.9894962, -0.0399233, 0.0439904},
       {-0.0053911, 1.0066457, -0.0017541},
       {-0.0004037, 0.0150564, 1.3016843}}}},
    {"A to D65, bradford",
     MTM_ADAPT_BRADFORD,
     {1.0985, 1, 0.35585},
     {0.95047, 1, 1.08883},
     {{{0.8446965, -0.1179225, 0.3948108},
       {-0.1366303, 1.1041226, 0.1291718},
       {0.0798489, -0.1348999, 3.1924009}}}},
    {"A to D65, cat16",
     MTM_ADAPT_CAT16,
     {1.0985, 1, 0.35585},
     {0.95047, 1, 1.08883},
     {{{0.9506894, -0.1873763, 0.2627906},
       {-0.0256652, 1.0323067, -0.0115596},
       {-0.0027406, 0.0909675, 2.8126265}}}},
    {"D65 to F11, bradford",
     MTM_ADAPT_BRADFORD,
     {0.95047, 1, 1.08883},
     {1.00962, 1, 0.6435},
     {{{1.1080915, 0.0541551, -0.0897687},
       {0.0731970, 0.9648481, -0.0316116},
       {-0.0150340, 0.0234731, 0.5825669}}}},
    {"D65 to F11, cat16",
     MTM_ADAPT_CAT16,
     {0.95047, 1, 1.08883},
     {1.00962, 1, 0.6435},
     {{{1.0270854, 0.0972447, -0.0586304},
       {0.0128190, 0.9862843, 0.0014066},
       {0.0002544, -0.0191855, 0.6083996}}}},
    {"C to D65, bradford",
     MTM_ADAPT_BRADFORD,
     {0.98074, 1, 1.18232},
     {0.95047, 1, 1.08883},
     {{{0.9904476, -0.0071683, -0.0116156},
       {-0.0123712, 1.0155950, -0.0029282},
       {-0.0035635, 0.0067697, 0.9181569}}}},
    {"C to D65, cat16",
     MTM_ADAPT_CAT16,
     {0.98074, 1, 1.18232},
     {0.95047, 1, 1.08883},
     {{{0.9952680, -0.0135434, -0.0102221},
       {-0.0016669, 1.0005823, 0.0008902},
       {0.0002408, -0.0039555, 0.9240725}}}},
    {"D75 to D55, bradford",
     MTM_ADAPT_BRADFORD,
     {0.94972, 1, 1.22638},
     {0.95682, 1, 0.92149},
     {{{1.0501142, 0.0226752, -0.0515090},
       {0.0290589, 0.9938026, -0.0174501},
       {-0.0095853, 0.0156802, 0.7460274}}}},
    {"D75 to D55, cat16",
     MTM_ADAPT_CAT16,
     {0.94972, 1, 1.22638},
     {0.95682, 1, 0.92149},
     {{{1.0104840, 0.0401980, -0.0351073},
       {0.0053690, 0.9934004, 0.0012236},
       {0.0002685, -0.0118491, 0.7608442}}}},
    {"D55 to D65, bradford",
     MTM_ADAPT_BRADFORD,
     {0.95682, 1, 0.92149},
     {0.95047, 1, 1.08883},
     {{{0.9726856, -0.0135482, 0.0361731},
       {-0.0167463, 1.0049102, 0.0120598},
       {0.0070026, -0.0116372, 1.1869548}}}},
    {"D55 to D65, cat16",
     MTM_ADAPT_CAT16,
     {0.95682, 1, 0.92149},
     {0.95047, 1, 1.08883},
     {{{0.9938229, -0.0236342, 0.0251708},
       {-0.0031859, 1.0039577, -0.0009869},
       {-0.0002259, 0.0085992, 1.1724999}}}},
};

static void test_row(void **state)
{
    const struct row *row = *state;
    mtm_matrix matrix;

    assert_int_equal(mtm_adapt_matrix(row->method, row->from, row->to, 1, &matrix, NULL), MTM_OK);
    for (int i = 0; i < 3; i++) {
        for (int k = 0; k < 3; k++)
            CHECK_NEAR("element", matrix.m[i][k], row->matrix.m[i][k], 2e-6);
    }
    /* The white itself arrives at the other, whatever the scale it was given on. */
    const mtm_xyz scaled = {row->from.x * 50, row->from.y * 50, row->from.z * 50};
    assert_int_equal(mtm_adapt_matrix(row->method, scaled, row->to, 1, &matrix, NULL), MTM_OK);
    mtm_xyz white = mtm_matrix_apply(&matrix, row->from);
    CHECK_NEAR("X", white.x, row->to.x, 1e-12);
    CHECK_NEAR("Y", white.y, row->to.y, 1e-12);
    CHECK_NEAR("Z", white.z, row->to.z, 1e-12);
    /* Not at all adapted is untouched; half is half way for the white. */
    assert_int_equal(mtm_adapt_matrix(row->method, row->from, row->to, 0, &matrix, NULL), MTM_OK);
    CHECK_NEAR("not adapted", mtm_matrix_apply(&matrix, row->from).x, row->from.x, 1e-15);
    assert_int_equal(mtm_adapt_matrix(row->method, row->from, row->to, 0.5, &matrix, NULL), MTM_OK);
    CHECK_NEAR("half", mtm_matrix_apply(&matrix, row->from).z, (row->from.z + row->to.z) / 2,
               1e-12);
}

static void test_refused(void **state)
{
    const mtm_xyz white = {95, 100, 108};
    mtm_matrix matrix = {{{7}}};
    mtm_error error;

    (void)state;
    assert_int_equal(
        mtm_adapt_matrix(MTM_ADAPT_CAT16, (mtm_xyz){1, 0, 1}, white, 1, &matrix, &error),
        MTM_INVALID);
    CHECK_HOLDS(error.text, "a white needs X, Y and Z above 0");
    assert_int_equal(
        mtm_adapt_matrix(MTM_ADAPT_CAT16, white, (mtm_xyz){1, 1, INFINITY}, 1, &matrix, &error),
        MTM_INVALID);
    assert_int_equal(mtm_adapt_matrix(MTM_ADAPT_CAT16, white, white, 1.01, &matrix, &error),
                     MTM_INVALID);
    CHECK_HOLDS(error.text, "0..1, not 1.01");
    assert_int_equal(mtm_adapt_matrix(MTM_ADAPT_CAT16, white, white, NAN, &matrix, &error),
                     MTM_INVALID);
    assert_int_equal(
        mtm_adapt_matrix(MTM_ADAPT_CAT16, (mtm_xyz){1e4, 1, 1}, white, 1, &matrix, &error),
        MTM_INVALID);
    CHECK_HOLDS(error.text, "too far from any light");
    assert_int_equal(mtm_adapt_matrix(MTM_ADAPT_CAT16, white, white, 1, NULL, &error), MTM_INVALID);
    CHECK_NEAR("untouched", matrix.m[0][0], 7, 0);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 1];

    ROW_TESTS(tests, rows, test_row);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_refused);
    return cmocka_run_group_tests_name("adaptation", tests, NULL, NULL);
}
