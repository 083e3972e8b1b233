/* SPDX-License-Identifier: MIT */
/* Tolerance: classes, quadrangles and steps against the standard's figures and MacAdam's ellipses.
 */
#include "support/check.h"

#include <metamer/tolerance.h>
#include <metamer/white.h>

/* ANSI C78.377-2015/2017: centres and corners as printed (public copies; 0 where none was seen),
 * and computed with SciPy 1.10.1 from T, Duv and Duv +/- 0.006 at the edges. Printed figures are
 * rounded and not always equal between neighbours: 0.0003. */
static const struct class_row {
    const char *name;
    mtm_xy centre_printed, centre;
    mtm_xy corner[4], corner_printed[4];
} class_rows[] = {
    {"2200",
     {0.5018, 0.4153},
     {0.501806, 0.415273},
     {{0.525874, 0.434154}, {0.504467, 0.434437}, {0.479892, 0.396742}, {0.499276, 0.396703}},
     {{0, 0}, {0, 0}, {0, 0}, {0, 0}}},
    {"2500",
     {0.4806, 0.4141},
     {0.480611, 0.414122},
     {{0.504467, 0.434437}, {0.481293, 0.431885}, {0.459264, 0.394404}, {0.479892, 0.396742}},
     {{0, 0}, {0, 0}, {0, 0}, {0, 0}}},
    {"2700",
     {0.4578, 0.4101},
     {0.457827, 0.410131},
     {{0.481293, 0.431885}, {0.456202, 0.425991}, {0.437308, 0.389331}, {0.459264, 0.394404}},
     {{0.4813, 0.4319}, {0.4562, 0.4260}, {0.4373, 0.3893}, {0.4593, 0.3944}}},
    {"3000",
     {0.4339, 0.4033},
     {0.433908, 0.403262},
     {{0.456202, 0.425991}, {0.430255, 0.417259}, {0.414973, 0.382060}, {0.437308, 0.389331}},
     {{0.4562, 0.4260}, {0.4303, 0.4173}, {0.4150, 0.3821}, {0.4373, 0.3893}}},
    {"3500",
     {0.4078, 0.3930},
     {0.407818, 0.393108},
     {{0.430255, 0.417259}, {0.400294, 0.403521}, {0.389537, 0.370850}, {0.414973, 0.382060}},
     {{0.4303, 0.4173}, {0.4003, 0.4035}, {0.3895, 0.3709}, {0.4150, 0.3821}}},
    {"4000",
     {0.3818, 0.3797},
     {0.381814, 0.379746},
     {{0.400294, 0.403521}, {0.373710, 0.388042}, {0.367137, 0.358349}, {0.389537, 0.370850}},
     {{0.4003, 0.4035}, {0.3737, 0.3880}, {0.3671, 0.3583}, {0.3895, 0.3709}}},
    {"4500",
     {0.3613, 0.3670},
     {0.361308, 0.367001},
     {{0.373710, 0.388042}, {0.355009, 0.375282}, {0.351384, 0.348057}, {0.367137, 0.358349}},
     {{0.3737, 0.3882}, {0.3550, 0.3754}, {0.3514, 0.3482}, {0.3672, 0.3585}}},
    {"5000",
     {0.3446, 0.3551},
     {0.344656, 0.355243},
     {{0.355009, 0.375282}, {0.337541, 0.361939}, {0.336606, 0.337254}, {0.351384, 0.348057}},
     {{0.3550, 0.3753}, {0.3375, 0.3619}, {0.3366, 0.3373}, {0.3515, 0.3481}}},
    {"5700",
     {0.3287, 0.3425},
     {0.328663, 0.342606},
     {{0.337541, 0.361939}, {0.320516, 0.347576}, {0.322091, 0.325542}, {0.336606, 0.337254}},
     {{0.3375, 0.3619}, {0.3205, 0.3476}, {0.3221, 0.3256}, {0.3366, 0.3374}}},
    {"6500",
     {0.3123, 0.3283},
     {0.312280, 0.328378},
     {{0.320516, 0.347576}, {0.302656, 0.331017}, {0.306686, 0.311889}, {0.322091, 0.325542}},
     {{0.3205, 0.3477}, {0.3026, 0.3311}, {0.3067, 0.3119}, {0.3221, 0.3255}}},
};

static void test_class(void **state)
{
    const struct class_row *row = *state;
    int nominal_k = (int)strtol(row->name, NULL, 10);
    mtm_white_class white_class = {0};
    mtm_xy centre = {0};
    mtm_xy corner[4] = {{0}};

    assert_int_equal(mtm_white_class_flexible(nominal_k, &white_class, NULL), MTM_OK);
    assert_int_equal(white_class.nominal_k, nominal_k);
    assert_int_equal(mtm_white_class_centre(&white_class, &centre, NULL), MTM_OK);
    CHECK_NEAR("centre x", centre.x, row->centre.x, 0.6e-6);
    CHECK_NEAR("centre y", centre.y, row->centre.y, 0.6e-6);
    CHECK_NEAR("printed x", centre.x, row->centre_printed.x, 3e-4);
    CHECK_NEAR("printed y", centre.y, row->centre_printed.y, 3e-4);
    assert_int_equal(mtm_white_class_corners(&white_class, 7, corner, NULL), MTM_OK);
    for (size_t i = 0; i < 4; i++) {
        CHECK_NEAR("corner x", corner[i].x, row->corner[i].x, 0.6e-6);
        CHECK_NEAR("corner y", corner[i].y, row->corner[i].y, 0.6e-6);
        if (row->corner_printed[i].x == 0)
            continue;
        CHECK_NEAR("printed x", corner[i].x, row->corner_printed[i].x, 3e-4);
        CHECK_NEAR("printed y", corner[i].y, row->corner_printed[i].y, 3e-4);
    }
}

/* ANSI C78.377 quadrangles, and steps of 0.0011 in u', v' from the nearest centre, as
 * metamer/tolerance.h defines them: computed with SciPy 1.10.1. within 0: in none. Tolerance 0.01
 * steps. */
static const struct case_row {
    const char *name;
    mtm_xy xy;
    int within_k, nearest_k;
    double steps;
} case_rows[] = {
    {"0.337981 0.340809", {0.337981, 0.340809}, 5000, 5700, 6.458},
    {"0.466837 0.393277", {0.466837, 0.393277}, 0, 2500, 9.309},
    {"0.319359 0.333292", {0.319359, 0.333292}, 6500, 6500, 4.334},
    {"0.305671 0.308122", {0.305671, 0.308122}, 0, 6500, 11.521},
    {"0.404011 0.385447", {0.404011, 0.385447}, 3500, 3500, 3.487},
    {"0.369937 0.382269", {0.369937, 0.382269}, 4500, 4500, 7.353},
    {"0.371503 0.357401", {0.371503, 0.357401}, 0, 4500, 10.101},
    {"0.445921 0.398929", {0.445921, 0.398929}, 2700, 2700, 6.127},
    {"0.359527 0.373596", {0.359527, 0.373596}, 4500, 4500, 4.179},
    {"0.489556 0.403977", {0.489556, 0.403977}, 2200, 2200, 6.024},
    {"0.369291 0.379789", {0.369291, 0.379789}, 4500, 4500, 6.289},
    {"0.339018 0.336752", {0.339018, 0.336752}, 0, 5700, 8.666},
    {"0.315027 0.336081", {0.315027, 0.336081}, 6500, 6500, 4.162},
    {"0.368831 0.372444", {0.368831, 0.372444}, 4500, 4500, 4.166},
    {"0.523187 0.437461", {0.523187, 0.437461}, 0, 2200, 10.449},
    {"0.471104 0.421935", {0.471104, 0.421935}, 2700, 2700, 6.521},
    {"0.432468 0.419398", {0.432468, 0.419398}, 0, 3000, 8.817},
    {"0.341938 0.338442", {0.341938, 0.338442}, 0, 5000, 9.049},
};

static void test_case(void **state)
{
    const struct case_row *row = *state;
    mtm_tolerance tolerance = {0};

    assert_int_equal(mtm_tolerance_from_xy(row->xy, &tolerance, NULL), MTM_OK);
    assert_int_equal(tolerance.within == NULL ? 0 : tolerance.within->nominal_k, row->within_k);
    assert_int_equal(tolerance.nearest->nominal_k, row->nearest_k);
    CHECK_NEAR("steps", tolerance.steps, row->steps, 0.001);
    assert_true(tolerance.macadam_steps > 0.5 * row->steps);
    assert_true(tolerance.macadam_steps < 2 * row->steps);
}

/* Steps from the centres of MacAdam's ellipses: numpy 1.24.2 from the observed table (J. Opt. Soc.
 * Am. 32, 247, 1942), by rotation and by the quadratic form. Points to 6 decimals: 1e-5 relative.
 */
static const struct macadam_row {
    const char *name;
    mtm_xy centre, xy;
    double steps;
} macadam_rows[] = {
    {"ellipse 1", {0.160, 0.057}, {0.159052, 0.056528}, 2.045221},
    {"ellipse 1", {0.160, 0.057}, {0.159672, 0.056885}, 0.742084},
    {"ellipse 2", {0.187, 0.118}, {0.184724, 0.108831}, 4.302880},
    {"ellipse 3", {0.253, 0.125}, {0.257326, 0.119367}, 13.539892},
    {"ellipse 3", {0.253, 0.125}, {0.247611, 0.123021}, 6.899772},
    {"ellipse 4", {0.150, 0.680}, {0.159494, 0.671754}, 3.246176},
    {"ellipse 5", {0.131, 0.521}, {0.117750, 0.524102}, 5.779349},
    {"ellipse 5", {0.131, 0.521}, {0.138303, 0.549874}, 10.246881},
    {"ellipse 6", {0.212, 0.550}, {0.218285, 0.544772}, 2.535911},
    {"ellipse 7", {0.258, 0.450}, {0.252460, 0.448970}, 2.791298},
    {"ellipse 7", {0.258, 0.450}, {0.260971, 0.450544}, 1.496677},
    {"ellipse 8", {0.152, 0.365}, {0.153242, 0.375294}, 3.465670},
    {"ellipse 9", {0.280, 0.385}, {0.281785, 0.397350}, 3.231478},
    {"ellipse 9", {0.280, 0.385}, {0.281237, 0.371708}, 4.354396},
    {"ellipse 10", {0.380, 0.498}, {0.362242, 0.510768}, 17.596569},
    {"ellipse 11", {0.160, 0.200}, {0.157638, 0.209380}, 4.606154},
    {"ellipse 11", {0.160, 0.200}, {0.149968, 0.204204}, 9.684674},
    {"ellipse 12", {0.228, 0.250}, {0.226337, 0.254928}, 3.702731},
    {"ellipse 13", {0.305, 0.323}, {0.310403, 0.322117}, 5.685830},
    {"ellipse 13", {0.305, 0.323}, {0.302348, 0.323251}, 2.697008},
    {"ellipse 14", {0.385, 0.393}, {0.388524, 0.392545}, 2.139942},
    {"ellipse 15", {0.472, 0.399}, {0.474263, 0.395708}, 2.758866},
};

static void test_macadam(void **state)
{
    const struct macadam_row *row = *state;
    double steps = 0;

    assert_int_equal(mtm_macadam_steps(row->centre, row->xy, &steps, NULL), MTM_OK);
    CHECK_NEAR("steps", steps, row->steps, 1e-5 * row->steps);
}

/* A step is 0.0011 in u', v' by its definition in metamer/tolerance.h, in every direction. */
static void test_step(void **state)
{
    mtm_xy centre = mtm_xy_from_uv((mtm_uv){0.21, 0.49});

    (void)state;
    for (int i = 0; i < 8; i++) {
        mtm_uv uv = {0.21 + (0.0033 * cos(i)), 0.49 + (0.0033 * sin(i))};
        double steps = 0;

        assert_int_equal(mtm_steps(centre, mtm_xy_from_uv(uv), &steps, NULL), MTM_OK);
        CHECK_NEAR("steps", steps, 3, 1e-9);
    }
}

/* ANSI C78.377-2017, flexible CCT: Duv by the formula that an open colorimetry library cites with
 * table 1; tolerances between those of the table's neighbours (2725 K 145, 3045 K 175, 3465 K 245),
 * centres inside. */
static void test_flexible(void **state)
{
    mtm_white_class white_class = {0};

    (void)state;
    assert_int_equal(mtm_white_class_flexible(3200, &white_class, NULL), MTM_OK);
    CHECK_NEAR("cct", white_class.cct_k, 3200, 0);
    CHECK_NEAR("duv", white_class.duv, (57700 / 3200.0 / 3200) - (44.6 / 3200) + 0.00854, 1e-12);
    assert_true(white_class.tolerance_k > 175 && white_class.tolerance_k < 245);
    assert_int_equal(mtm_white_class_flexible(2800, &white_class, NULL), MTM_OK);
    CHECK_NEAR("duv", white_class.duv, 0, 0);
    assert_true(white_class.tolerance_k > 145 && white_class.tolerance_k < 175);
    for (int nominal_k = 2700; nominal_k <= 6500; nominal_k += 100) {
        mtm_xy centre = {0};
        bool holds = false;

        assert_int_equal(mtm_white_class_flexible(nominal_k, &white_class, NULL), MTM_OK);
        assert_int_equal(mtm_white_class_centre(&white_class, &centre, NULL), MTM_OK);
        assert_int_equal(mtm_white_class_holds(&white_class, 1, centre, &holds, NULL), MTM_OK);
        assert_true(holds);
    }
}

/* Smaller quadrangles shrink in proportion and lie within the larger. */
static void test_smaller(void **state)
{
    const mtm_white_class *white_class = &mtm_white_classes()[3];
    mtm_xy corner[4];

    (void)state;
    assert_int_equal(mtm_white_class_corners(white_class, 4, corner, NULL), MTM_OK);
    for (size_t i = 0; i < 4; i++) {
        bool holds = false;
        mtm_white white = {0};

        assert_int_equal(mtm_white_class_holds(white_class, 7, corner[i], &holds, NULL), MTM_OK);
        assert_true(holds);
        assert_int_equal(mtm_white_class_holds(white_class, 3.9, corner[i], &holds, NULL), MTM_OK);
        assert_false(holds);
        assert_int_equal(mtm_white_from_xy(corner[i], &white, NULL), MTM_OK);
        CHECK_NEAR("edge", fabs(white.cct_k - 3045), 100, 0.001);
    }
}

static void test_wrong_calls(void **state)
{
    const mtm_white_class *white_class = mtm_white_classes();
    mtm_white_class other = {0};
    mtm_tolerance tolerance = {.steps = -1};
    mtm_error error = {""};
    mtm_xy corner[4] = {{-1, -1}};
    mtm_xy good = {0.33, 0.33};
    double steps = -1;
    bool holds = false;

    (void)state;
    assert_int_equal(mtm_white_class_flexible(3250, &other, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "steps of 100");
    assert_int_equal(mtm_white_class_flexible(2600, &other, &error), MTM_INVALID);
    assert_int_equal(mtm_white_class_flexible(6600, &other, &error), MTM_INVALID);
    assert_int_equal(mtm_white_class_flexible(3000, NULL, &error), MTM_INVALID);
    assert_int_equal(other.nominal_k, 0);
    assert_int_equal(mtm_white_class_corners(white_class, 0.99, corner, &error), MTM_INVALID);
    assert_int_equal(mtm_white_class_corners(white_class, 7.01, corner, &error), MTM_INVALID);
    assert_int_equal(mtm_white_class_corners(white_class, NAN, corner, &error), MTM_INVALID);
    assert_int_equal(mtm_white_class_corners(NULL, 7, corner, &error), MTM_INVALID);
    assert_true(corner[0].x == -1);
    assert_int_equal(mtm_white_class_centre(NULL, corner, &error), MTM_INVALID);
    other = (mtm_white_class){30000, 30000, 100, 0};
    assert_int_equal(mtm_white_class_corners(&other, 7, corner, &error), MTM_INVALID);
    assert_int_equal(mtm_white_class_holds(white_class, 7, (mtm_xy){NAN, 0}, &holds, &error),
                     MTM_INVALID);
    assert_int_equal(mtm_white_class_holds(white_class, 7, good, NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_steps(good, (mtm_xy){0.7, 0.4}, &steps, &error), MTM_INVALID);
    assert_int_equal(mtm_steps((mtm_xy){0, 0}, good, &steps, &error), MTM_INVALID);
    assert_int_equal(mtm_steps(good, good, NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_macadam_steps(good, (mtm_xy){0.3, -1}, &steps, &error), MTM_INVALID);
    assert_int_equal(mtm_macadam_steps(good, good, NULL, &error), MTM_INVALID);
    assert_true(steps == -1);
    assert_int_equal(mtm_tolerance_from_xy((mtm_xy){0.5, 0.6}, &tolerance, &error), MTM_INVALID);
    assert_int_equal(mtm_tolerance_from_xy(good, NULL, &error), MTM_INVALID);
    assert_true(tolerance.steps == -1);
}

static const struct CMUnitTest single_tests[] = {
    cmocka_unit_test(test_step),
    cmocka_unit_test(test_flexible),
    cmocka_unit_test(test_smaller),
    cmocka_unit_test(test_wrong_calls),
};

int main(void)
{
    static struct CMUnitTest
        tests[COUNT(class_rows) + COUNT(case_rows) + COUNT(macadam_rows) + COUNT(single_tests)];
    struct CMUnitTest *next = tests;

    ROW_TESTS(next, class_rows, test_class);
    next += COUNT(class_rows);
    ROW_TESTS(next, case_rows, test_case);
    next += COUNT(case_rows);
    ROW_TESTS(next, macadam_rows, test_macadam);
    next += COUNT(macadam_rows);
    memcpy(next, single_tests, sizeof single_tests);
    return cmocka_run_group_tests_name("tolerance", tests, NULL, NULL);
}
