/* SPDX-License-Identifier: MIT */
/* CIECAM02, CAM16, CIECAM16 and their uniform space against published and computed cases. */
#include "support/check.h"

#include <metamer/appearance.h>

#include <lcms2.h>

/* CIECAM02: "cie159-1" is the worked example of CIE 159:2004, section 9; "fairchild" are the cases
 * of M. D. Fairchild, Color Appearance Models, 3rd ed. (2013), table 16.4; these and "computed":
 * colour-science 0.4.6, equal to colorspacious 1.1.2 within 1e-5 (H from colorspacious).
 * CAM16: "t" are the values of the test suite of colour-science 0.4.6 (after Li et al., Color Res.
 * Appl. 42 (2017) 703); "c" and CIECAM16 (CIE 248:2022): computed with colour-science 0.4.6.
 * Tolerance 0.0001. A value of -1, or zeros in the uniform space: no figure. */
static const struct row {
    const char *name;
    mtm_appearance_model model;
    mtm_xyz xyz;
    mtm_viewing viewing;
    mtm_appearance look; /* J C h M s Q H */
    mtm_ucs ucs;
} rows[] = {
    {"CIECAM02 cie159-1",
     MTM_CIECAM02,
     {19.31, 23.93, 10.14},
     {{98.88, 90, 32.03}, 200, 18, MTM_SURROUND_AVERAGE, false},
     {48.031410, 38.778890, 191.045237, 38.778890, 46.017711, 183.124040, 240.8884},
     {0, 0, 0}},
    {"CIECAM02 fairchild-1",
     MTM_CIECAM02,
     {19.01, 20, 21.78},
     {{95.05, 100, 108.88}, 318.31, 20, MTM_SURROUND_AVERAGE, false},
     {41.731091, 0.104708, 219.048433, 0.108842, 2.360305, 195.371326, 278.0607},
     {0, 0, 0}},
    {"CIECAM02 fairchild-2",
     MTM_CIECAM02,
     {57.06, 43.06, 31.96},
     {{95.05, 100, 108.88}, 31.83, 20, MTM_SURROUND_AVERAGE, false},
     {65.955231, 48.570469, 19.557378, 41.673137, 52.245574, 152.671222, 399.3884},
     {0, 0, 0}},
    {"CIECAM02 fairchild-4",
     MTM_CIECAM02,
     {19.01, 20, 21.78},
     {{109.85, 100, 35.58}, 31.83, 20, MTM_SURROUND_AVERAGE, false},
     {42.531890, 51.915035, 248.904222, 44.542752, 60.219965, 122.827623, 305.4624},
     {0, 0, 0}},
    {"CIECAM02 computed-1",
     MTM_CIECAM02,
     {57.266, 41.619, 24.466},
     {{95.047, 100, 108.883}, 4, 20, MTM_SURROUND_AVERAGE, false},
     {64.949576, 56.029971, 25.266140, 40.443308, 63.812503, 99.319636, 6.4800},
     {0, 0, 0}},
    {"CIECAM02 computed-2",
     MTM_CIECAM02,
     {22.412, 49.306, 25.801},
     {{109.85, 100, 35.585}, 20, 20, MTM_SURROUND_DIM, false},
     {69.498933, 82.516289, 187.664146, 68.109297, 63.835970, 167.138105, 236.0389},
     {0, 0, 0}},
    {"CIECAM02 computed-3",
     MTM_CIECAM02,
     {69.989, 63.921, 12.452},
     {{96.422, 100, 82.521}, 64, 20, MTM_SURROUND_DARK, false},
     {83.872145, 46.213290, 75.062334, 42.027096, 40.109047, 261.243026, 76.2874},
     {0, 0, 0}},
    {"CIECAM02 computed-4",
     MTM_CIECAM02,
     {25.624, 14.093, 7.87},
     {{99.187, 100, 67.393}, 100, 20, MTM_SURROUND_AVERAGE, false},
     {36.429317, 69.550145, 5.692085, 65.646595, 67.593798, 143.680725, 385.5361},
     {0, 0, 0}},
    {"CIECAM02 computed-5",
     MTM_CIECAM02,
     {13.783, 30.323, 30.262},
     {{95.047, 100, 108.883}, 200, 20, MTM_SURROUND_DIM, false},
     {54.520050, 65.432022, 179.398165, 65.432022, 52.534077, 237.087213, 223.8211},
     {0, 0, 0}},
    {"CIECAM02 computed-6",
     MTM_CIECAM02,
     {40.83, 51.961, 59.582},
     {{109.85, 100, 35.585}, 318.31, 20, MTM_SURROUND_DARK, false},
     {77.103652, 64.979683, 232.883472, 67.545426, 43.941304, 349.824377, 294.6596},
     {0, 0, 0}},
    {"CIECAM02 computed-7",
     MTM_CIECAM02,
     {50.543, 27.799, 56.268},
     {{96.422, 100, 82.521}, 4, 20, MTM_SURROUND_AVERAGE, false},
     {53.096948, 81.470206, 334.484728, 58.806467, 80.904153, 89.842837, 358.6050},
     {0, 0, 0}},
    {"CIECAM02 computed-8",
     MTM_CIECAM02,
     {54.426, 29.934, 16.743},
     {{99.187, 100, 67.393}, 20, 20, MTM_SURROUND_DIM, false},
     {59.946268, 81.665270, 7.004144, 67.406862, 65.964861, 154.909769, 386.7918},
     {0, 0, 0}},
    {"CIECAM02 computed-9",
     MTM_CIECAM02,
     {58.804, 33.244, 18.311},
     {{95.047, 100, 108.883}, 64, 20, MTM_SURROUND_DARK, false},
     {67.368486, 79.712923, 15.817016, 72.492192, 55.664841, 233.953362, 395.5209},
     {0, 0, 0}},
    {"CAM16 t1",
     MTM_CAM16,
     {19.01, 20, 21.78},
     {{95.05, 100, 108.88}, 318.31, 20, MTM_SURROUND_AVERAGE, false},
     {41.731208, 0.103356, 217.067960, 0.107437, 2.345015, 195.371709, -1},
     {54.904450, -0.085621, -0.064680}},
    {"CAM16 t2",
     MTM_CAM16,
     {57.06, 43.06, 31.96},
     {{95.05, 100, 108.88}, 31.83, 20, MTM_SURROUND_AVERAGE, false},
     {65.428281, 49.679564, 17.486592, 42.624733, 52.943089, 152.069853, -1},
     {76.288225, 28.403162, 8.948176}},
    {"CAM16 t4",
     MTM_CAM16,
     {19.01, 20, 21.78},
     {{109.85, 100, 35.58}, 318.31, 20, MTM_SURROUND_AVERAGE, false},
     {41.363261, 52.811540, 258.886763, 54.896820, 53.124069, 194.520118, -1},
     {54.529048, -6.861702, -34.931667}},
    {"CAM16 c1",
     MTM_CAM16,
     {36.638, 63.099, 24.387},
     {{95.047, 100, 108.883}, 4, 20, MTM_SURROUND_AVERAGE, false},
     {74.644443, 76.652731, 147.364476, 55.329139, 72.083455, 106.483601, -1},
     {83.346225, -30.140084, 19.301728}},
    {"CAM16 c2",
     MTM_CAM16,
     {24.121, 38.066, 56.826},
     {{109.85, 100, 35.585}, 20, 20, MTM_SURROUND_DIM, false},
     {61.301724, 82.358240, 232.768847, 67.978842, 65.836468, 156.834179, -1},
     {72.921455, -24.839781, -32.688281}},
    {"CAM16 c3",
     MTM_CAM16,
     {14.91, 32.802, 38.541},
     {{96.422, 100, 82.521}, 64, 20, MTM_SURROUND_DARK, false},
     {60.191660, 68.294733, 192.416261, 62.108310, 52.983145, 221.245398, -1},
     {71.992420, -37.785521, -8.318929}},
    {"CAM16 c4",
     MTM_CAM16,
     {49.805, 27.393, 47.411},
     {{99.187, 100, 67.393}, 100, 20, MTM_SURROUND_AVERAGE, false},
     {52.929100, 91.163874, 337.180972, 86.047239, 70.491227, 173.167665, -1},
     {65.654307, 43.896518, -18.469554}},
    {"CAM16 c5",
     MTM_CAM16,
     {11.462, 20.78, 18.598},
     {{95.047, 100, 108.883}, 200, 20, MTM_SURROUND_DIM, false},
     {46.354195, 51.060868, 173.945460, 51.060868, 48.327404, 218.625723, -1},
     {59.496685, -33.672747, 3.571559}},
    {"CAM16 c6",
     MTM_CAM16,
     {10.668, 23.47, 10.249},
     {{109.85, 100, 35.585}, 318.31, 20, MTM_SURROUND_DARK, false},
     {52.282079, 70.383704, 183.070909, 73.162826, 50.416978, 287.830531, -1},
     {65.066757, -42.980790, -2.305870}},
    {"CAM16 c7",
     MTM_CAM16,
     {34.75, 19.113, 24.545},
     {{96.422, 100, 82.521}, 4, 20, MTM_SURROUND_AVERAGE, false},
     {43.240151, 80.662934, 351.338662, 58.223766, 84.750703, 81.061321, -1},
     {56.428437, 36.629880, -5.579866}},
    {"CAM16 c8",
     MTM_CAM16,
     {49.283, 54.238, 18.43},
     {{99.187, 100, 67.393}, 20, 20, MTM_SURROUND_DIM, false},
     {74.554538, 31.145787, 118.007987, 25.707865, 38.584655, 172.677902, -1},
     {83.280264, -9.501114, 17.862989}},
    {"CAM16 c9",
     MTM_CAM16,
     {26.662, 46.849, 30.98},
     {{95.047, 100, 108.883}, 64, 20, MTM_SURROUND_DARK, false},
     {70.796684, 56.442709, 162.744368, 51.329892, 46.259444, 239.866464, -1},
     {80.473543, -32.456088, 10.081381}},
    {"CIECAM16 t1",
     MTM_CIECAM16,
     {19.01, 20, 21.78},
     {{95.05, 100, 108.88}, 318.31, 20, MTM_SURROUND_AVERAGE, false},
     {41.731208, -1, 217.067960, 0.107437, -1, -1, -1},
     {0, 0, 0}},
    {"CIECAM16 t2",
     MTM_CIECAM16,
     {57.06, 43.06, 31.96},
     {{95.05, 100, 108.88}, 31.83, 20, MTM_SURROUND_AVERAGE, false},
     {65.428281, -1, 17.486592, 42.624733, -1, -1, -1},
     {0, 0, 0}},
    {"CIECAM16 t4",
     MTM_CIECAM16,
     {19.01, 20, 21.78},
     {{109.85, 100, 35.58}, 318.31, 20, MTM_SURROUND_AVERAGE, false},
     {41.363261, -1, 258.886763, 54.896820, -1, -1, -1},
     {0, 0, 0}},
    {"CIECAM16 c1",
     MTM_CIECAM16,
     {36.638, 63.099, 24.387},
     {{95.047, 100, 108.883}, 4, 20, MTM_SURROUND_AVERAGE, false},
     {74.644443, -1, 147.364476, 55.329139, -1, -1, -1},
     {0, 0, 0}},
    {"CIECAM16 c2",
     MTM_CIECAM16,
     {24.121, 38.066, 56.826},
     {{109.85, 100, 35.585}, 20, 20, MTM_SURROUND_DIM, false},
     {61.301724, -1, 232.768847, 67.978842, -1, -1, -1},
     {0, 0, 0}},
    {"CIECAM16 c3",
     MTM_CIECAM16,
     {14.91, 32.802, 38.541},
     {{96.422, 100, 82.521}, 64, 20, MTM_SURROUND_DARK, false},
     {60.191660, -1, 192.416261, 62.108310, -1, -1, -1},
     {0, 0, 0}},
    {"CIECAM16 c4",
     MTM_CIECAM16,
     {49.805, 27.393, 47.411},
     {{99.187, 100, 67.393}, 100, 20, MTM_SURROUND_AVERAGE, false},
     {52.929100, -1, 337.180972, 86.047239, -1, -1, -1},
     {0, 0, 0}},
    {"CIECAM16 c5",
     MTM_CIECAM16,
     {11.462, 20.78, 18.598},
     {{95.047, 100, 108.883}, 200, 20, MTM_SURROUND_DIM, false},
     {46.354195, -1, 173.945460, 51.060868, -1, -1, -1},
     {0, 0, 0}},
    {"CIECAM16 c6",
     MTM_CIECAM16,
     {10.668, 23.47, 10.249},
     {{109.85, 100, 35.585}, 318.31, 20, MTM_SURROUND_DARK, false},
     {52.282079, -1, 183.070909, 73.162826, -1, -1, -1},
     {0, 0, 0}},
    {"CIECAM16 c7",
     MTM_CIECAM16,
     {34.75, 19.113, 24.545},
     {{96.422, 100, 82.521}, 4, 20, MTM_SURROUND_AVERAGE, false},
     {43.240151, -1, 351.338662, 58.223766, -1, -1, -1},
     {0, 0, 0}},
    {"CIECAM16 c8",
     MTM_CIECAM16,
     {49.283, 54.238, 18.43},
     {{99.187, 100, 67.393}, 20, 20, MTM_SURROUND_DIM, false},
     {74.554538, -1, 118.007987, 25.707865, -1, -1, -1},
     {0, 0, 0}},
    {"CIECAM16 c9",
     MTM_CIECAM16,
     {26.662, 46.849, 30.98},
     {{95.047, 100, 108.883}, 64, 20, MTM_SURROUND_DARK, false},
     {70.796684, -1, 162.744368, 51.329892, -1, -1, -1},
     {0, 0, 0}},
};

static void check(const char *what, double got, double wanted)
{
    if (wanted >= 0)
        CHECK_NEAR(what, got, wanted, 1e-4);
}

static void test_row(void **state)
{
    const struct row *row = *state;
    mtm_viewer viewer;

    assert_int_equal(mtm_viewer_create(row->model, &row->viewing, &viewer, NULL), MTM_OK);
    mtm_appearance look = mtm_appearance_from_xyz(&viewer, row->xyz);
    check("J", look.lightness, row->look.lightness);
    check("C", look.chroma, row->look.chroma);
    check("h", look.hue_deg, row->look.hue_deg);
    check("M", look.colourfulness, row->look.colourfulness);
    check("s", look.saturation, row->look.saturation);
    check("Q", look.brightness, row->look.brightness);
    check("H", look.hue_quadrature, row->look.hue_quadrature);

    mtm_ucs ucs = mtm_ucs_from_xyz(&viewer, row->xyz);
    if (row->ucs.j > 0)
        CHECK_NEAR("UCS distance", mtm_ucs_distance(ucs, row->ucs), 0, 1e-4);
    CHECK_NEAR("both ways", mtm_ucs_distance(ucs, mtm_ucs_from_appearance(look)), 0, 1e-10);
}

/* CAM02-UCS of Fairchild's case 2: J' 76.709, a' 27.604, b' 9.806 (CIE 159 and Luo, Cui, Li 2006,
 * computed independently to 3 decimals). */
static void test_cam02_ucs(void **state)
{
    const mtm_viewing viewing = {{95.05, 100, 108.88}, 31.83, 20, MTM_SURROUND_AVERAGE, false};
    mtm_viewer viewer;

    (void)state;
    assert_int_equal(mtm_viewer_create(MTM_CIECAM02, &viewing, &viewer, NULL), MTM_OK);
    mtm_ucs ucs = mtm_ucs_from_xyz(&viewer, (mtm_xyz){57.06, 43.06, 31.96});
    CHECK_NEAR("J'", ucs.j, 76.709, 6e-4);
    CHECK_NEAR("a'", ucs.a, 27.604, 6e-4);
    CHECK_NEAR("b'", ucs.b, 9.806, 6e-4);
}

/* The discounted illuminant against LittleCMS's CIECAM02, which gives J, C and h. */
static void test_against_lcms(void **state)
{
    static const cmsFloat64Number degrees[] = {1, D_CALCULATE};
    cmsContext context = cmsCreateContext(NULL, NULL);

    (void)state;
    for (int i = 0; i < 2; i++) {
        const mtm_viewing viewing = {{96.42, 100, 82.49}, 100, 20, MTM_SURROUND_AVERAGE, i == 0};
        cmsViewingConditions theirs = {{96.42, 100, 82.49}, 20, 100, AVG_SURROUND, degrees[i]};
        cmsHANDLE their_model = cmsCIECAM02Init(context, &theirs);
        mtm_viewer viewer;

        assert_non_null(their_model);
        assert_int_equal(mtm_viewer_create(MTM_CIECAM02, &viewing, &viewer, NULL), MTM_OK);
        for (int step = 0; step < 200; step++) {
            const mtm_xyz xyz = {5 + step % 7 * 10, 4 + step % 11 * 6, 3 + step % 13 * 5};
            const cmsCIEXYZ their_xyz = {xyz.x, xyz.y, xyz.z};
            cmsJCh jch;

            cmsCIECAM02Forward(their_model, &their_xyz, &jch);
            mtm_appearance look = mtm_appearance_from_xyz(&viewer, xyz);
            if (!isfinite(jch.C)) /* theirs knows no guard far outside real colours */
                continue;
            CHECK_NEAR("J", look.lightness, jch.J, 0.01);
            CHECK_NEAR("C", look.chroma, jch.C, 0.01 * (1 + jch.C / 20));
            CHECK_NEAR("h", remainder(look.hue_deg - jch.h, 360), 0, 0.01);
        }
        cmsCIECAM02Done(their_model);
    }
    cmsDeleteContext(context);
}

/* The white has J = 100; black and what no light can be give finite numbers. */
static void test_corners(void **state)
{
    (void)state;
    for (int model = MTM_CAM16; model <= MTM_CIECAM16; model++) {
        const mtm_viewing viewing = {{95, 100, 108}, 50, 20, MTM_SURROUND_DIM, true};
        mtm_viewer viewer;

        assert_int_equal(mtm_viewer_create((mtm_appearance_model)model, &viewing, &viewer, NULL),
                         MTM_OK);
        mtm_appearance white = mtm_appearance_from_xyz(&viewer, viewing.white);
        CHECK_NEAR("J of white", white.lightness, 100, 1e-9);
        CHECK_NEAR("C of white", white.chroma, 0, 0.1);
        mtm_ucs black = mtm_ucs_from_xyz(&viewer, (mtm_xyz){0, 0, 0});
        CHECK_NEAR("black", mtm_ucs_distance(black, (mtm_ucs){0, 0, 0}), 0, 1e-12);
        for (int i = 0; i < 3; i++) {
            const mtm_xyz xyz = {i == 0 ? 1e5 : -50, i == 1 ? 1e5 : -50, i == 2 ? 1e5 : -50};
            mtm_appearance look = mtm_appearance_from_xyz(&viewer, xyz);

            assert_true(isfinite(look.lightness) && isfinite(look.chroma) &&
                        isfinite(look.saturation) && isfinite(look.hue_quadrature));
            assert_true(look.hue_deg >= 0 && look.hue_deg < 360);
        }
    }
}

static void test_refused(void **state)
{
    static const struct {
        mtm_viewing viewing;
        const char *sentence;
    } bad[] = {
        {{{0, 100, 100}, 50, 20, MTM_SURROUND_DIM, false}, "a white needs X, Y and Z above 0"},
        {{{95, 100, NAN}, 50, 20, MTM_SURROUND_DIM, false}, "a white needs X, Y and Z above 0"},
        {{{95, 100, 100}, 0, 20, MTM_SURROUND_DIM, false}, "is above 0, not 0 cd/m2"},
        {{{95, 100, 100}, 50, -1, MTM_SURROUND_DIM, false}, "a background is above 0, not -1"},
        {{{95, 100, 100}, 50, 20, (mtm_surround)3, false}, "no such model or surround"},
        {{{1e4, 1, 1}, 50, 20, MTM_SURROUND_DIM, false}, "too far from any light"},
    };
    mtm_viewer viewer;
    mtm_error error;

    (void)state;
    for (size_t i = 0; i < COUNT(bad); i++) {
        assert_int_equal(mtm_viewer_create(MTM_CAM16, &bad[i].viewing, &viewer, &error),
                         MTM_INVALID);
        CHECK_HOLDS(error.text, bad[i].sentence);
    }
    assert_int_equal(mtm_viewer_create(MTM_CAM16, NULL, &viewer, &error), MTM_INVALID);
}

int main(void)
{
    static const struct CMUnitTest single[] = {
        cmocka_unit_test(test_cam02_ucs),
        cmocka_unit_test(test_against_lcms),
        cmocka_unit_test(test_corners),
        cmocka_unit_test(test_refused),
    };
    struct CMUnitTest tests[COUNT(rows) + COUNT(single)];

    ROW_TESTS(tests, rows, test_row);
    memcpy(tests + COUNT(rows), single, sizeof single);
    return cmocka_run_group_tests_name("appearance", tests, NULL, NULL);
}
