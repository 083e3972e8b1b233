/* SPDX-License-Identifier: MIT */
/* CAM16 backwards against published and computed cases. */
#include "support/check.h"

#include <metamer/appearance.h>

/* The inputs and the places in CAM16-UCS are those of appearance_test.c: "t" from the test suite of
 * colour-science 0.4.6 (after Li et al., Color Res. Appl. 42 (2017) 703), "c" computed with
 * colour-science 0.4.6. Places are printed to 6 decimals, which near black and at small chroma is
 * worth less than 0.0002 in XYZ on a scale of 100. */
static const struct row {
    const char *name;
    mtm_xyz xyz, white;
    double luminance_cd_m2;
    mtm_surround surround;
    mtm_ucs ucs;
} rows[] = {
    {"t1",
     {19.01, 20, 21.78},
     {95.05, 100, 108.88},
     318.31,
     MTM_SURROUND_AVERAGE,
     {54.904450, -0.085621, -0.064680}},
    {"t2",
     {57.06, 43.06, 31.96},
     {95.05, 100, 108.88},
     31.83,
     MTM_SURROUND_AVERAGE,
     {76.288225, 28.403162, 8.948176}},
    {"t4",
     {19.01, 20, 21.78},
     {109.85, 100, 35.58},
     318.31,
     MTM_SURROUND_AVERAGE,
     {54.529048, -6.861702, -34.931667}},
    {"c1",
     {36.638, 63.099, 24.387},
     {95.047, 100, 108.883},
     4,
     MTM_SURROUND_AVERAGE,
     {83.346225, -30.140084, 19.301728}},
    {"c2",
     {24.121, 38.066, 56.826},
     {109.85, 100, 35.585},
     20,
     MTM_SURROUND_DIM,
     {72.921455, -24.839781, -32.688281}},
    {"c3",
     {14.91, 32.802, 38.541},
     {96.422, 100, 82.521},
     64,
     MTM_SURROUND_DARK,
     {71.992420, -37.785521, -8.318929}},
    {"c4",
     {49.805, 27.393, 47.411},
     {99.187, 100, 67.393},
     100,
     MTM_SURROUND_AVERAGE,
     {65.654307, 43.896518, -18.469554}},
    {"c7",
     {34.75, 19.113, 24.545},
     {96.422, 100, 82.521},
     4,
     MTM_SURROUND_AVERAGE,
     {56.428437, 36.629880, -5.579866}},
};

static void test_back(void **state)
{
    const struct row *row = *state;
    const mtm_viewing viewing = {row->white, row->luminance_cd_m2, 20, row->surround, false};
    mtm_viewer viewer;

    assert_int_equal(mtm_viewer_create(MTM_CAM16, &viewing, &viewer, NULL), MTM_OK);
    mtm_xyz xyz = mtm_ucs_to_xyz(&viewer, row->ucs);
    CHECK_NEAR("X", xyz.x, row->xyz.x, 2e-4);
    CHECK_NEAR("Y", xyz.y, row->xyz.y, 2e-4);
    CHECK_NEAR("Z", xyz.z, row->xyz.z, 2e-4);
}

static void test_black(void **state)
{
    const mtm_viewing viewing = {{95.047, 100, 108.883}, 20, 20, MTM_SURROUND_AVERAGE, false};
    mtm_viewer viewer;

    (void)state;
    assert_int_equal(mtm_viewer_create(MTM_CAM16, &viewing, &viewer, NULL), MTM_OK);
    mtm_xyz xyz = mtm_ucs_to_xyz(&viewer, (mtm_ucs){0, 10, 10});
    CHECK_NEAR("X", xyz.x, 0, 0);
    CHECK_NEAR("Y", xyz.y, 0, 0);
    CHECK_NEAR("Z", xyz.z, 0, 0);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 1];

    ROW_TESTS(tests, rows, test_back);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_black);
    return cmocka_run_group_tests_name("CAM16 backwards", tests, NULL, NULL);
}
