/* SPDX-License-Identifier: MIT */
/* L*a*b*, L*u*v*, CIEDE2000 and Oklab against published and independently computed figures. */
#include "support/check.h"

#include <metamer/lab.h>

/* ISO/CIE 11664-4, -5: computed with colour-science 0.4.6, a second program after the standard
 * agrees to 1e-6; the first three also print L*a*b* in a public colour calculator (within 0.0007),
 * carried over through the gold values of colorspacious 1.1.2. Tolerance 1e-5. */
static const struct lab_row {
    const char *name;
    mtm_xyz xyz, white;
    mtm_lab lab;
    mtm_luv luv;
} lab_rows[] = {
    {"row 1",
     {10, 20, 30},
     {95.047, 100, 108.883},
     {51.837212, -56.359096, -13.181164},
     {51.837212, -65.932668, -12.356537}}, /* printed 51.8372 -56.3591 -13.1812 */
    {"row 2",
     {0.5, 0.6, 0.4},
     {95.047, 100, 108.883},
     {5.419778, -2.879042, 3.623047},
     {5.419778, -0.769669, 2.560171}}, /* printed 5.4198 -2.879 3.623 */
    {"row 3",
     {2.61219, 1.52732, 10.96471},
     {96.422, 100, 82.521},
     {12.780699, 26.114007, -52.434656},
     {12.780699, -5.033038, -41.996454}}, /* printed 12.7806 26.1147 -52.4348 */
    {"row 4",
     {20.654008, 12.197225, 5.136952},
     {95.045593, 100, 108.90578},
     {41.527875, 52.638583, 26.923179},
     {41.527875, 96.836261, 17.752101}}, /* colour-science 0.4.6 test suite */
    {"row 5",
     {14.22201, 23.042768, 10.495772},
     {95.045593, 100, 108.90578},
     {55.116363, -41.087918, 30.918258},
     {55.116363, -37.593082, 44.137685}}, /* colour-science 0.4.6 test suite */
    {"row 6",
     {20.654008, 12.197225, 5.136952},
     {96.429568, 100, 82.51046},
     {41.527875, 51.193542, 19.918431},
     {41.527875, 90.709260, 7.084553}}, /* colour-science 0.4.6 test suite */
    {"row 7",
     {30.671, 65.745, 49.764},
     {95.047, 100, 108.883},
     {84.866178, -91.816137, 19.850100},
     {84.866178, -102.199899, 43.103651}}, /* colour-science 0.4.6 */
    {"row 8",
     {5.259, 6.084, 81.035},
     {96.422, 100, 82.521},
     {29.623408, -7.034859, -120.131170},
     {29.623408, -56.695428, -125.870583}}, /* colour-science 0.4.6 */
    {"row 9",
     {84.006, 52.957, 45.287},
     {109.84661, 100, 35.58228},
     {77.849605, 52.716202, -54.932426},
     {77.849605, 76.255458, -55.019360}}, /* colour-science 0.4.6 */
    {"row 10",
     {70.87, 63.338, 13.675},
     {95.047, 100, 108.883},
     {83.619901, 24.000217, 71.600425},
     {83.619901, 75.114988, 74.402754}}, /* colour-science 0.4.6 */
};

/* G. Sharma, W. Wu, E. N. Dalal, Color Res. Appl. 30 (2005) 21-30, table 1: printed to 4 decimals;
 * re-computed with scikit-image 0.19.3 and colour-science 0.4.6. Tolerance 0.0001. */
static const struct pair_row {
    const char *name;
    mtm_lab a, b;
    double delta_e;
} pair_rows[] = {
    {"pair 1", {50.0000, 2.6772, -79.7751}, {50.0000, 0.0000, -82.7485}, 2.0425},
    {"pair 2", {50.0000, 3.1571, -77.2803}, {50.0000, 0.0000, -82.7485}, 2.8615},
    {"pair 4", {50.0000, -1.3802, -84.2814}, {50.0000, 0.0000, -82.7485}, 1.0000},
    {"pair 5", {50.0000, -1.1848, -84.8006}, {50.0000, 0.0000, -82.7485}, 1.0000},
    {"pair 7", {50.0000, 0.0000, 0.0000}, {50.0000, -1.0000, 2.0000}, 2.3669},
    {"pair 9", {50.0000, 2.4900, -0.0010}, {50.0000, -2.4900, 0.0009}, 7.1792},
    {"pair 11", {50.0000, 2.4900, -0.0010}, {50.0000, -2.4900, 0.0011}, 7.2195},
    {"pair 13", {50.0000, -0.0010, 2.4900}, {50.0000, 0.0009, -2.4900}, 4.8045},
    {"pair 15", {50.0000, -0.0010, 2.4900}, {50.0000, 0.0011, -2.4900}, 4.7461},
    {"pair 16", {50.0000, 2.5000, 0.0000}, {50.0000, 0.0000, -2.5000}, 4.3065},
    {"pair 17", {50.0000, 2.5000, 0.0000}, {73.0000, 25.0000, -18.0000}, 27.1492},
    {"pair 19", {50.0000, 2.5000, 0.0000}, {56.0000, -27.0000, -3.0000}, 31.9030},
    {"pair 21", {50.0000, 2.5000, 0.0000}, {50.0000, 3.1736, 0.5854}, 1.0000},
    {"pair 23", {50.0000, 2.5000, 0.0000}, {50.0000, 1.8634, 0.5757}, 1.0000},
    {"pair 25", {60.2574, -34.0099, 36.2677}, {60.4626, -34.1751, 39.4387}, 1.2644},
    {"pair 27", {61.2901, 3.7196, -5.3901}, {61.4292, 2.2480, -4.9620}, 1.8731},
    {"pair 29", {22.7233, 20.0904, -46.6940}, {23.0331, 14.9730, -42.5619}, 2.0373},
    {"pair 31", {90.8027, -2.0831, 1.4410}, {91.1528, -1.6435, 0.0447}, 1.4441},
    {"pair 33", {6.7747, -0.2908, -2.4247}, {5.8714, -0.0985, -2.2286}, 0.6377},
    {"pair 34", {2.0776, 0.0795, -1.1350}, {0.9033, -0.0636, -0.5514}, 0.9082},
};

/* B. Ottosson, 2020: table of test points, to 3 decimals, recomputed with the published matrices by
 * colour-science 0.4.6; others from the test suites named. Tolerance 1e-6. */
static const struct oklab_row {
    const char *name;
    mtm_xyz xyz;
    mtm_oklab oklab;
} oklab_rows[] = {
    {"row 1",
     {0.95, 1, 1.089},
     {0.99996868, -0.00025801,
      -0.00011500}}, /* Oklab publication (B. Ottosson, 2020), table of test points */
    {"row 2", {1, 0, 0}, {0.44993158, 1.23571021, -0.01902758}},  /* Oklab publication (2020) */
    {"row 3", {0, 1, 0}, {0.92181676, -0.67123761, 0.26332355}},  /* Oklab publication (2020) */
    {"row 4", {0, 0, 1}, {0.15260258, -1.41499655, -0.44892720}}, /* Oklab publication (2020) */
    {"row 5",
     {0.20654008, 0.12197225, 0.05136952},
     {0.51634019, 0.15469500, 0.06289579}}, /* colour-science 0.4.6 test suite */
    {"row 6", {0.1, 0.2, 0.3}, {0.56407913, -0.17363647, -0.03757807}}, /* colorio test suite */
    {"row 7",
     {0.70391, 0.42928, 0.38128},
     {0.78408844, 0.22915082, 0.02596773}}, /* colour-science 0.4.6 */
    {"row 8",
     {0.58611, 0.69351, 0.79402},
     {0.87877961, -0.05132011, -0.00834723}}, /* colour-science 0.4.6 */
    {"row 9",
     {0.79649, 0.66265, 0.87238},
     {0.88565941, 0.10397035, -0.03006781}}, /* colour-science 0.4.6 */
};

static void test_lab(void **state)
{
    const struct lab_row *row = *state;

    mtm_lab lab = mtm_lab_from_xyz(row->xyz, row->white);
    CHECK_NEAR("L*", lab.l, row->lab.l, 1e-5);
    CHECK_NEAR("a*", lab.a, row->lab.a, 1e-5);
    CHECK_NEAR("b*", lab.b, row->lab.b, 1e-5);
    mtm_xyz back = mtm_lab_to_xyz(lab, row->white);
    CHECK_NEAR("X back", back.x, row->xyz.x, 1e-10);
    CHECK_NEAR("Y back", back.y, row->xyz.y, 1e-10);
    CHECK_NEAR("Z back", back.z, row->xyz.z, 1e-10);

    mtm_luv luv = mtm_luv_from_xyz(row->xyz, row->white);
    CHECK_NEAR("L*", luv.l, row->luv.l, 1e-5);
    CHECK_NEAR("u*", luv.u, row->luv.u, 1e-5);
    CHECK_NEAR("v*", luv.v, row->luv.v, 1e-5);
    back = mtm_luv_to_xyz(luv, row->white);
    CHECK_NEAR("X back", back.x, row->xyz.x, 1e-10);
    CHECK_NEAR("Y back", back.y, row->xyz.y, 1e-10);
    CHECK_NEAR("Z back", back.z, row->xyz.z, 1e-10);
}

static void test_pair(void **state)
{
    const struct pair_row *row = *state;

    CHECK_NEAR("as printed", mtm_lab_ciede2000(row->a, row->b), row->delta_e, 1e-4);
    CHECK_NEAR("the other way", mtm_lab_ciede2000(row->b, row->a), row->delta_e, 1e-4);
    CHECK_NEAR("to itself", mtm_lab_ciede2000(row->a, row->a), 0, 1e-12);
}

static void test_oklab(void **state)
{
    const struct oklab_row *row = *state;

    mtm_oklab oklab = mtm_oklab_from_xyz(row->xyz);
    CHECK_NEAR("l", oklab.l, row->oklab.l, 1e-6);
    CHECK_NEAR("a", oklab.a, row->oklab.a, 1e-6);
    CHECK_NEAR("b", oklab.b, row->oklab.b, 1e-6);
    mtm_xyz back = mtm_oklab_to_xyz(oklab);
    CHECK_NEAR("X back", back.x, row->xyz.x, 1e-12);
    CHECK_NEAR("Y back", back.y, row->xyz.y, 1e-12);
    CHECK_NEAR("Z back", back.z, row->xyz.z, 1e-12);
}

/* What the formulas say at their corners: white, black, the axes of hue. */
static void test_corners(void **state)
{
    const mtm_xyz white = {95.047, 100, 108.883};
    const mtm_xyz black = {0, 0, 0};

    (void)state;
    CHECK_NEAR("L* of white", mtm_lab_from_xyz(white, white).l, 100, 1e-12);
    CHECK_NEAR("a* of white", mtm_lab_from_xyz(white, white).a, 0, 1e-12);
    CHECK_NEAR("u* of white", mtm_luv_from_xyz(white, white).u, 0, 1e-12);
    CHECK_NEAR("L* of black", mtm_lab_from_xyz(black, white).l, 0, 1e-12);
    CHECK_NEAR("L* of black", mtm_luv_from_xyz(black, white).l, 0, 0);
    CHECK_NEAR("u* of black", mtm_luv_from_xyz(black, white).u, 0, 0);
    CHECK_NEAR("black back", mtm_luv_to_xyz((mtm_luv){0, 0, 0}, white).y, 0, 0);
    CHECK_NEAR("hue of +a", mtm_lab_hue_deg((mtm_lab){50, 1, 0}), 0, 0);
    CHECK_NEAR("hue of +b", mtm_lab_hue_deg((mtm_lab){50, 0, 1}), 90, 1e-12);
    CHECK_NEAR("hue of -b", mtm_lab_hue_deg((mtm_lab){50, 0, -1}), 270, 1e-12);
    CHECK_NEAR("hue just below 360", mtm_lab_hue_deg((mtm_lab){50, 1, -1e-30}), 0, 0);
    CHECK_NEAR("chroma", mtm_lab_chroma((mtm_lab){50, 3, -4}), 5, 1e-12);
    CHECK_NEAR("1976", mtm_lab_difference((mtm_lab){1, 2, 3}, (mtm_lab){3, 5, 9}), 7, 1e-12);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(lab_rows) + COUNT(pair_rows) + COUNT(oklab_rows) + 1];
    struct CMUnitTest *next = tests;

    ROW_TESTS(next, lab_rows, test_lab);
    next += COUNT(lab_rows);
    ROW_TESTS(next, pair_rows, test_pair);
    next += COUNT(pair_rows);
    ROW_TESTS(next, oklab_rows, test_oklab);
    next += COUNT(oklab_rows);
    *next = (struct CMUnitTest)cmocka_unit_test(test_corners);
    return cmocka_run_group_tests_name("uniform spaces", tests, NULL, NULL);
}
