/* SPDX-License-Identifier: MIT */
/* Spectra from formulas: black body, CIE daylight, LED line, through both observers. */
#include "support/check.h"

#include <metamer/colour.h>
#include <metamer/spectrum.h>

#include "colour/radiator.h"

/* Planckian locus: definition of CIE 015:2018 and ISO/CIE 11664-2, c2 = 1.4388e-2 m K, CIE 1931 and
 * 1964 observers at 1 nm, 360..830 nm, plain sums with numpy 1.24.2; over 360..780 nm the same sums
 * agree with colour-science 0.4.6 to 2e-7. u', v' of CIE 1976. Tolerance 0.000002. */
static const struct planck_row {
    const char *name;
    double t_k;
    mtm_xy xy;
    mtm_uv uv;
    mtm_xy xy_10;
} planck_rows[] = {
    {"1000 K", 1000, {0.652753, 0.344460}, {0.448011, 0.531937}, {0.647217, 0.350588}},
    {"1200 K", 1200, {0.625047, 0.367452}, {0.405919, 0.536920}, {0.622522, 0.370984}},
    {"1500 K", 1500, {0.585721, 0.393120}, {0.357911, 0.540495}, {0.586451, 0.394041}},
    {"1600 K", 1600, {0.573233, 0.399263}, {0.345077, 0.540788}, {0.574730, 0.399601}},
    {"1800 K", 1800, {0.549248, 0.408224}, {0.323078, 0.540281}, {0.551877, 0.407716}},
    {"2000 K", 2000, {0.526681, 0.413296}, {0.305048, 0.538599}, {0.530001, 0.412264}},
    {"2200 K", 2200, {0.505629, 0.415208}, {0.290123, 0.536041}, {0.509312, 0.413873}},
    {"2400 K", 2400, {0.486147, 0.414666}, {0.277652, 0.532861}, {0.489959, 0.413180}},
    {"2500 K", 2500, {0.476998, 0.413676}, {0.272177, 0.531102}, {0.480811, 0.412154}},
    {"2700 K", 2700, {0.459863, 0.410600}, {0.262498, 0.527351}, {0.463589, 0.409066}},
    {"2856 K", 2856, {0.447539, 0.407429}, {0.255953, 0.524281}, {0.451139, 0.405927}},
    {"3000 K", 3000, {0.436934, 0.404075}, {0.250571, 0.521385}, {0.440389, 0.402624}},
    {"3200 K", 3200, {0.423363, 0.398953}, {0.243988, 0.517321}, {0.426589, 0.397601}},
    {"3500 K", 3500, {0.405307, 0.390717}, {0.235712, 0.511262}, {0.408166, 0.389552}},
    {"4000 K", 4000, {0.380442, 0.376749}, {0.225111, 0.501581}, {0.382708, 0.375946}},
    {"4500 K", 4500, {0.360790, 0.363546}, {0.217311, 0.492686}, {0.362537, 0.363125}},
    {"5000 K", 5000, {0.345103, 0.351610}, {0.211424, 0.484674}, {0.346418, 0.351559}},
    {"5500 K", 5500, {0.332436, 0.341037}, {0.206882, 0.477526}, {0.333396, 0.341332}},
    {"5600 K", 5600, {0.330200, 0.339081}, {0.206099, 0.476195}, {0.331097, 0.339442}},
    {"6000 K", 6000, {0.322085, 0.331755}, {0.203308, 0.471177}, {0.322755, 0.332368}},
    {"6500 K", 6500, {0.313528, 0.323630}, {0.200449, 0.465543}, {0.313959, 0.324531}},
    {"7000 K", 7000, {0.306375, 0.316514}, {0.198127, 0.460539}, {0.306609, 0.317675}},
    {"7500 K", 7500, {0.300336, 0.310268}, {0.196216, 0.456087}, {0.300405, 0.311663}},
    {"8000 K", 8000, {0.295188, 0.304767}, {0.194625, 0.452115}, {0.295120, 0.306372}},
    {"9000 K", 9000, {0.286927, 0.295585}, {0.192144, 0.445369}, {0.286641, 0.297550}},
    {"9300 K", 9300, {0.284865, 0.293223}, {0.191539, 0.443609}, {0.284525, 0.295283}},
    {"10000 K", 10000, {0.280634, 0.288289}, {0.190319, 0.439897}, {0.280187, 0.290548}},
    {"12000 K", 12000, {0.271785, 0.277564}, {0.187852, 0.431656}, {0.271119, 0.280268}},
    {"15000 K", 15000, {0.263707, 0.267280}, {0.185711, 0.423511}, {0.262853, 0.270425}},
    {"20000 K", 20000, {0.256458, 0.257631}, {0.183885, 0.415634}, {0.255444, 0.261205}},
    {"25000 K", 25000, {0.252521, 0.252221}, {0.182933, 0.411110}, {0.251427, 0.256040}},
    {"40000 K", 40000, {0.247203, 0.244721}, {0.181692, 0.404702}, {0.246006, 0.248890}},
    {"100000 K", 100000, {0.242582, 0.238028}, {0.180655, 0.398842}, {0.241303, 0.242520}},
};

/* CIE daylight locus: formula of CIE 015:2018, evaluated with numpy 1.24.2, equal to colour-science
 * 0.4.6 to 1e-9. Tolerance 0.000002 in x, y; 0.0002 in M1, M2. */
static const struct daylight_row {
    const char *name;
    double t_k;
    mtm_xy xy;
    double m1, m2;
} daylight_rows[] = {
    {"4000 K", 4000, {0.382344, 0.383766}, -1.5046, 2.8265},
    {"4500 K", 4500, {0.362089, 0.370870}, -1.2862, 1.3016},
    {"5000 K", 5000, {0.345741, 0.358666}, -1.0401, 0.3667},
    {"5003 K", 5003, {0.345653, 0.358596}, -1.0386, 0.3623},
    {"5500 K", 5500, {0.332502, 0.347608}, -0.7863, -0.1954},
    {"5750 K", 5750, {0.326829, 0.342548}, -0.6604, -0.3808},
    {"6000 K", 6000, {0.321692, 0.337798}, -0.5363, -0.5190},
    {"6500 K", 6500, {0.312779, 0.329183}, -0.2963, -0.6883},
    {"6774 K", 6774, {0.308549, 0.324928}, -0.1703, -0.7359},
    {"7000 K", 7000, {0.305357, 0.321646}, -0.0696, -0.7570},
    {"7500 K", 7500, {0.299091, 0.315025}, 0.1436, -0.7599},
    {"8000 K", 8000, {0.293772, 0.309220}, 0.3419, -0.7198},
    {"8500 K", 8500, {0.289211, 0.304106}, 0.5262, -0.6518},
    {"9000 K", 9000, {0.285265, 0.299582}, 0.6971, -0.5665},
    {"10000 K", 10000, {0.278800, 0.291967}, 1.0027, -0.3689},
    {"10500 K", 10500, {0.276126, 0.288745}, 1.1393, -0.2646},
    {"12000 K", 12000, {0.269709, 0.280836}, 1.4946, 0.0450},
    {"14000 K", 14000, {0.263689, 0.273192}, 1.8675, 0.4194},
    {"15000 K", 15000, {0.261397, 0.270224}, 2.0209, 0.5857},
    {"18000 K", 18000, {0.256315, 0.263531}, 2.3861, 1.0060},
    {"22500 K", 22500, {0.251620, 0.257211}, 2.7577, 1.4638},
    {"25000 K", 25000, {0.249854, 0.254799}, 2.9069, 1.6551},
};

/* LED line shape of Y. Ohno, Opt. Eng. 44 (2005) 111302, by peak and the formula's width: half
 * width solved, sums at 1 nm, 360..830 nm, with numpy 1.24.2; one shape value in the test suite of
 * colour-science 0.4.6 (555 nm, 25 nm: 0.127118445 at 530 nm). Tolerance 2e-8 (the half width is
 * given to 1e-6 nm), 2e-6, 0.001 lm/W. */
static const struct led_row {
    const char *name;
    double peak_nm, width_nm, fwhm_nm, at_minus_width, at_plus_half_width;
    mtm_xy xy;
    double ler_lm_per_w;
} led_rows[] = {
    {"555 nm, 25 nm",
     555,
     25,
     23.045578,
     0.127118445057,
     0.450603458931,
     {0.3492798, 0.6433030},
     654.8873},
    {"530 nm, 30 nm",
     530,
     30,
     27.654694,
     0.127118445057,
     0.450603458931,
     {0.1894027, 0.7424411},
     545.7109},
    {"450 nm, 18 nm",
     450,
     18,
     16.592816,
     0.127118445057,
     0.450603458931,
     {0.1547028, 0.0203694},
     28.3585},
    {"470 nm, 25 nm",
     470,
     25,
     23.045578,
     0.127118445057,
     0.450603458931,
     {0.1259480, 0.0715187},
     74.0012},
    {"595 nm, 15 nm",
     595,
     15,
     13.827347,
     0.127118445057,
     0.450603458931,
     {0.5968726, 0.4025549},
     472.7612},
    {"660 nm, 20 nm",
     660,
     20,
     18.436462,
     0.127118445057,
     0.450603458931,
     {0.7257082, 0.2742811},
     48.9258},
    {"525 nm, 35 nm",
     525,
     35,
     32.263809,
     0.127118445057,
     0.450603458931,
     {0.1691813, 0.7165369},
     495.9623},
    {"425 nm, 15 nm",
     425,
     15,
     13.827347,
     0.127118445057,
     0.450603458931,
     {0.1687763, 0.0071172},
     5.9711},
    {"640 nm, 16 nm",
     640,
     16,
     14.749170,
     0.127118445057,
     0.450603458931,
     {0.7142291, 0.2857252},
     125.5486},
    {"605 nm, 60 nm",
     605,
     60,
     55.309387,
     0.127118445057,
     0.450603458931,
     {0.5815986, 0.4143319},
     375.4681},
};

static double at(const mtm_spectrum *spectrum, double nm)
{
    return spectrum->value[(size_t)nm - MTM_SPECTRUM_FIRST_NM];
}

static double sum(const mtm_spectrum *spectrum)
{
    double total = 0;

    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        total += spectrum->value[i];
    return total;
}

static void test_planck(void **state)
{
    const struct planck_row *row = *state;
    mtm_spectrum spectrum;

    assert_int_equal(mtm_spectrum_planck(row->t_k, &spectrum, NULL), MTM_OK);
    CHECK_NEAR("at 560 nm", at(&spectrum, 560), 1, 1e-15);
    mtm_xyz xyz = mtm_xyz_from_spectrum(&spectrum, MTM_OBSERVER_2);
    CHECK_NEAR("x", mtm_xy_from_xyz(xyz).x, row->xy.x, 2e-6);
    CHECK_NEAR("y", mtm_xy_from_xyz(xyz).y, row->xy.y, 2e-6);
    CHECK_NEAR("u'", mtm_uv_from_xyz(xyz).u, row->uv.u, 2e-6);
    CHECK_NEAR("v'", mtm_uv_from_xyz(xyz).v, row->uv.v, 2e-6);
    xyz = mtm_xyz_from_spectrum(&spectrum, MTM_OBSERVER_10);
    CHECK_NEAR("x, 10 degrees", mtm_xy_from_xyz(xyz).x, row->xy_10.x, 2e-6);
    CHECK_NEAR("y, 10 degrees", mtm_xy_from_xyz(xyz).y, row->xy_10.y, 2e-6);
}

static void test_daylight(void **state)
{
    const struct daylight_row *row = *state;
    double m1 = 0;
    double m2 = 0;
    mtm_spectrum spectrum;

    mtm_xy xy = mtmi_daylight_point(row->t_k);
    CHECK_NEAR("x", xy.x, row->xy.x, 2e-6);
    CHECK_NEAR("y", xy.y, row->xy.y, 2e-6);
    mtmi_daylight_weights(xy, &m1, &m2);
    CHECK_NEAR("M1", m1, row->m1, 2e-4);
    CHECK_NEAR("M2", m2, row->m2, 2e-4);

    /* The spectrum was made to have this chromaticity: the fit is good to about 1e-4. */
    assert_int_equal(mtm_spectrum_daylight(row->t_k, &spectrum, NULL), MTM_OK);
    CHECK_NEAR("at 560 nm", at(&spectrum, 560), 100, 1e-12);
    xy = mtm_xy_from_xyz(mtm_xyz_from_spectrum(&spectrum, MTM_OBSERVER_2));
    CHECK_NEAR("x of the spectrum", xy.x, row->xy.x, 2e-4);
    CHECK_NEAR("y of the spectrum", xy.y, row->xy.y, 2e-4);
}

static void test_led(void **state)
{
    const struct led_row *row = *state;
    mtm_spectrum spectrum;

    assert_int_equal(mtm_spectrum_led(row->peak_nm, row->fwhm_nm, &spectrum, NULL), MTM_OK);
    CHECK_NEAR("peak", at(&spectrum, row->peak_nm), 1, 0);
    if (row->peak_nm - row->width_nm >= MTM_SPECTRUM_FIRST_NM)
        CHECK_NEAR("one width below", at(&spectrum, row->peak_nm - row->width_nm),
                   row->at_minus_width, 2e-8);
    if (fmod(row->width_nm, 2) == 0)
        CHECK_NEAR("half a width above", at(&spectrum, row->peak_nm + row->width_nm / 2),
                   row->at_plus_half_width, 2e-8);
    mtm_xyz xyz = mtm_xyz_from_spectrum(&spectrum, MTM_OBSERVER_2);
    CHECK_NEAR("x", mtm_xy_from_xyz(xyz).x, row->xy.x, 2e-6);
    CHECK_NEAR("y", mtm_xy_from_xyz(xyz).y, row->xy.y, 2e-6);
    CHECK_NEAR("lm/W", xyz.y / sum(&spectrum), row->ler_lm_per_w, 1e-3);
}

static void test_refused(void **state)
{
    mtm_spectrum spectrum = {.value = {7}};
    mtm_error error;

    (void)state;
    assert_int_equal(mtm_spectrum_led(299, 20, &spectrum, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "300..900 nm, not 299 nm");
    assert_int_equal(mtm_spectrum_led(500, 0.4, &spectrum, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "0.5..300 nm, not 0.4 nm");
    assert_int_equal(mtm_spectrum_led(NAN, 20, &spectrum, &error), MTM_INVALID);
    assert_int_equal(mtm_spectrum_planck(499, &spectrum, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "500..1000000 K, not 499 K");
    assert_int_equal(mtm_spectrum_planck(NAN, &spectrum, &error), MTM_INVALID);
    assert_int_equal(mtm_spectrum_daylight(3999, &spectrum, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "4000..25000 K, not 3999 K");
    assert_int_equal(mtm_spectrum_daylight(25001, &spectrum, &error), MTM_INVALID);
    assert_int_equal(mtm_spectrum_led(500, 20, NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_spectrum_planck(3000, NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_spectrum_daylight(5000, NULL, &error), MTM_INVALID);
    CHECK_NEAR("untouched", spectrum.value[0], 7, 0);
    assert_int_equal(mtm_spectrum_planck(500, &spectrum, NULL), MTM_OK);
    assert_int_equal(mtm_spectrum_planck(1e6, &spectrum, NULL), MTM_OK);
    assert_int_equal(mtm_spectrum_led(300, 0.5, &spectrum, NULL), MTM_OK);
    assert_int_equal(mtm_spectrum_led(900, 300, &spectrum, NULL), MTM_OK);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(planck_rows) + COUNT(daylight_rows) + COUNT(led_rows) + 1];
    struct CMUnitTest *next = tests;

    ROW_TESTS(next, planck_rows, test_planck);
    next += COUNT(planck_rows);
    ROW_TESTS(next, daylight_rows, test_daylight);
    next += COUNT(daylight_rows);
    ROW_TESTS(next, led_rows, test_led);
    next += COUNT(led_rows);
    *next = (struct CMUnitTest)cmocka_unit_test(test_refused);
    return cmocka_run_group_tests_name("spectra from formulas", tests, NULL, NULL);
}
