/* SPDX-License-Identifier: MIT */
/* White: colour temperature, Duv and the loci, against published figures and a dense search. */
#include "support/check.h"
#include "support/dense_locus.h"

#include <metamer/white.h>

#include "colour/locus.h"

/* Nearest point of the locus in CIE 1960 u, v (CIE 015:2018; Duv as in ANSI C78.377), c2
 * = 1.4388e-2, 1 nm, 360-830 nm: computed with SciPy 1.10.1 (brentq on the derivative). Printed to
 * 8 decimals in x, y; tolerance 0.01 K + 1e-6 relative, 1e-6 in Duv. */
static const struct cct_row {
    const char *name;
    mtm_xy xy;
    double cct_k, duv;
} cct_rows[] = {
    {"1000.0000 -0.0000000", {0.65275297, 0.34445964}, 1000.0000, -0.0000000},
    {"1000.0000 +0.0050000", {0.66599250, 0.35603964}, 1000.0000, 0.0050000},
    {"1200.0000 -0.0030000", {0.61727453, 0.36003141}, 1200.0000, -0.0030000},
    {"1500.0000 +0.0100000", {0.61268739, 0.42233908}, 1500.0000, 0.0100000},
    {"1500.0000 -0.0100000", {0.56099594, 0.36632890}, 1500.0000, -0.0100000},
    {"1800.0000 -0.0000000", {0.54924850, 0.40822386}, 1800.0000, -0.0000000},
    {"1800.0000 +0.0200000", {0.60310760, 0.47425721}, 1800.0000, 0.0200000},
    {"2200.0001 -0.0060000", {0.49300866, 0.39695720}, 2200.0001, -0.0060000},
    {"2400.0000 +0.0120000", {0.51154223, 0.45462876}, 2400.0000, 0.0120000},
    {"2700.0000 +0.0030000", {0.46511653, 0.42002930}, 2700.0000, 0.0030000},
    {"2699.9999 -0.0200000", {0.42837260, 0.35408359}, 2699.9999, -0.0200000},
    {"3000.0000 +0.0060000", {0.44593959, 0.42266101}, 3000.0000, 0.0060000},
    {"3200.0000 -0.0000000", {0.42336291, 0.39895299}, 3200.0000, -0.0000000},
    {"3200.0001 -0.0060000", {0.41585741, 0.38184221}, 3200.0001, -0.0060000},
    {"3500.0000 +0.0200000", {0.42831595, 0.45238784}, 3500.0000, 0.0200000},
    {"4000.0001 -0.0010000", {0.37974926, 0.37419298}, 4000.0001, -0.0010000},
    {"4000.0000 +0.0150000", {0.39161305, 0.41793727}, 4000.0000, 0.0150000},
    {"4500.0001 +0.0015000", {0.36141531, 0.36707851}, 4500.0001, 0.0015000},
    {"4999.9999 +0.0032000", {0.34572264, 0.35853196}, 4999.9999, 0.0032000},
    {"4999.9998 -0.0200000", {0.34155574, 0.31195020}, 4999.9998, -0.0200000},
    {"5600.0000 +0.0100000", {0.33004418, 0.35906963}, 5600.0000, 0.0100000},
    {"6500.0001 +0.0200000", {0.30852725, 0.35955824}, 6500.0001, 0.0200000},
    {"6499.9997 -0.0080000", {0.31534792, 0.31054973}, 6499.9997, -0.0080000},
    {"7499.9999 +0.0030000", {0.29914416, 0.31473317}, 7499.9999, 0.0030000},
    {"9300.0000 -0.0120000", {0.29140425, 0.27886589}, 9300.0000, -0.0120000},
    {"9999.9994 +0.0200000", {0.26788532, 0.31296009}, 9999.9994, 0.0200000},
    {"11999.9995 +0.0040000", {0.26901484, 0.28174585}, 11999.9995, 0.0040000},
    {"14999.9987 -0.0200000", {0.27810363, 0.24972368}, 14999.9987, -0.0200000},
    {"18000.0009 +0.0100000", {0.25073888, 0.26940925}, 18000.0009, 0.0100000},
    {"20000.0000 -0.0000000", {0.25645758, 0.25763132}, 20000.0000, -0.0000000},
    {"20000.0011 +0.0200000", {0.23971912, 0.27460486}, 20000.0011, 0.0200000},
    {"25000.0016 -0.0150000", {0.26457619, 0.24113254}, 25000.0016, -0.0150000},
    {"39999.9917 +0.0050000", {0.24288370, 0.24821604}, 39999.9917, 0.0050000},
};

static double tolerance_k(double cct_k)
{
    return 0.01 + (1e-6 * cct_k);
}

static void test_cct(void **state)
{
    const struct cct_row *row = *state;
    mtm_white white = {-1, -1};
    mtm_error error = {""};
    mtm_result result = mtm_white_from_xy(row->xy, &white, &error);

    if (row->cct_k > 30000) {
        assert_int_equal(result, MTM_RANGE);
        CHECK_HOLDS(error.text, "above 25000 K");
        return;
    }
    if (row->xy.x + row->xy.y > 1) { /* no light has this colour; the geometry holds all the same */
        mtmi_locus_position place = mtmi_locus_nearest(row->xy);

        assert_int_equal(result, MTM_INVALID);
        assert_true(place.inside);
        white = (mtm_white){1e6 / place.mired, place.duv};
    } else {
        assert_int_equal(result, MTM_OK);
    }
    CHECK_NEAR("cct", white.cct_k, row->cct_k, tolerance_k(row->cct_k));
    CHECK_NEAR("duv", white.duv, row->duv, 1e-6);
}

/* The same rows backwards. 8 decimals of x, y are 2e-9 in both; rows are white to 4 decimals. */
static void test_back(void **state)
{
    const struct cct_row *row = *state;
    mtm_white white = {round(row->cct_k), row->duv};
    mtm_xy xy = {-1, -1};
    mtm_error error = {""};

    if (row->cct_k > 30000) {
        assert_int_equal(mtm_white_to_xy(white, &xy, &error), MTM_INVALID);
        assert_true(xy.x == -1);
        return;
    }
    assert_int_equal(mtm_white_to_xy(white, &xy, &error), MTM_OK);
    CHECK_NEAR("x", xy.x, row->xy.x, 1e-8);
    CHECK_NEAR("y", xy.y, row->xy.y, 1e-8);
}

/* Examples of the literature, with the tolerance of each source's own method. */
static const struct example_row {
    const char *name;
    mtm_xy xy;
    double cct_k, duv, tolerance_k, tolerance_duv;
} example_rows[] = {
    /* u = 0.1978, v = 0.3122; Ohno (2013) as in the colour-science 0.4.6 test suite */
    {"u .1978 v .3122", {0.31264489, 0.32897787}, 6507.47, 0.003223, 0.1, 1e-5},
    /* XYZ 95.04 100 108.88; the same source */
    {"D65 rounded", {0.31271387, 0.32903396}, 6503.307, 0.003217, 0.5, 1e-5},
    /* white of ANSI E1.54-2015; computed with SciPy 1.10.1 */
    {"E1.54 white", {0.4254, 0.4044}, 3206.5, 0.0019, 0.1, 5e-5},
    /* CIE 015 illuminant A: 2856 K by its nominal c2; 2855.5 K by this one, SciPy 1.10.1 */
    {"illuminant A", {0.44758, 0.40745}, 2855.5, 0, 0.1, 1e-5},
    /* CIE-related literature prints 5454 to 5455 K */
    {"equal energy", {0.33333333, 0.33333333}, 5455.5, -0.0044, 0.3, 5e-5},
};

static void test_example(void **state)
{
    const struct example_row *row = *state;
    mtm_white white = {0};

    assert_int_equal(mtm_white_from_xy(row->xy, &white, NULL), MTM_OK);
    CHECK_NEAR("cct", white.cct_k, row->cct_k, row->tolerance_k);
    CHECK_NEAR("duv", white.duv, row->duv, row->tolerance_duv);
}

/* Isotemperature lines: A. R. Robertson, J. Opt. Soc. Am. 58, 1968, table 1 (Wyszecki & Stiles
 * 1982, table 1(3.11)), without the two above 25000 K. Printed to 5 decimals by 1968 arithmetic:
 * 0.00002 in u, v; 0.5 % in the slope. */
static const struct isotherm_row {
    const char *name;
    double mired, u, v, slope;
} isotherm_rows[] = {
    {"50 mired", 50, 0.18388, 0.27709, -0.32675},   {"60 mired", 60, 0.18494, 0.28021, -0.35156},
    {"80 mired", 80, 0.18740, 0.28668, -0.40955},   {"100 mired", 100, 0.19032, 0.29326, -0.47888},
    {"125 mired", 125, 0.19462, 0.30141, -0.58204}, {"175 mired", 175, 0.20525, 0.31647, -0.84901},
    {"225 mired", 225, 0.21807, 0.32909, -1.2168},  {"250 mired", 250, 0.22511, 0.33439, -1.4512},
    {"300 mired", 300, 0.24010, 0.34308, -2.0637},  {"350 mired", 350, 0.25591, 0.34951, -2.9641},
    {"375 mired", 375, 0.26400, 0.35200, -3.5814},  {"425 mired", 425, 0.28039, 0.35577, -5.3762},
    {"475 mired", 475, 0.29685, 0.35823, -8.5955},  {"500 mired", 500, 0.30505, 0.35907, -11.324},
    {"550 mired", 550, 0.32129, 0.36011, -23.325},  {"600 mired", 600, 0.33724, 0.36051, -116.45},
};

static void test_isotherm(void **state)
{
    const struct isotherm_row *row = *state;
    mtm_uv uv[2];

    for (int i = 0; i < 2; i++) {
        mtm_white white = {mtm_cct_from_mired(row->mired), i == 0 ? 0 : 0.01};
        mtm_xy xy = {0};

        assert_int_equal(mtm_white_to_xy(white, &xy, NULL), MTM_OK);
        uv[i] = mtm_uv_from_xy(xy);
    }
    CHECK_NEAR("u", uv[0].u, row->u, 2e-5);
    CHECK_NEAR("v", uv[0].v * 2 / 3, row->v, 2e-5);
    CHECK_NEAR("slope", (uv[1].v - uv[0].v) * 2 / 3 / (uv[1].u - uv[0].u), row->slope,
               0.005 * fabs(row->slope));
}

/* Planckian locus under both observers (CIE 015:2018, c2 = 1.4388e-2), computed with numpy 1.24.2,
 * confirmed with colour-science 0.4.6; printed to 6 decimals. */
static const struct planck_row {
    const char *name;
    mtm_xy xy;
    mtm_uv uv;
    mtm_xy xy_10;
} planck_rows[] = {
    {"1000", {0.652753, 0.344460}, {0.448011, 0.531937}, {0.647217, 0.350588}},
    {"1200", {0.625047, 0.367452}, {0.405919, 0.536920}, {0.622522, 0.370984}},
    {"1500", {0.585721, 0.393120}, {0.357911, 0.540495}, {0.586451, 0.394041}},
    {"1600", {0.573233, 0.399263}, {0.345077, 0.540788}, {0.574730, 0.399601}},
    {"1800", {0.549248, 0.408224}, {0.323078, 0.540281}, {0.551877, 0.407716}},
    {"2000", {0.526681, 0.413296}, {0.305048, 0.538599}, {0.530001, 0.412264}},
    {"2200", {0.505629, 0.415208}, {0.290123, 0.536041}, {0.509312, 0.413873}},
    {"2400", {0.486147, 0.414666}, {0.277652, 0.532861}, {0.489959, 0.413180}},
    {"2500", {0.476998, 0.413676}, {0.272177, 0.531102}, {0.480811, 0.412154}},
    {"2700", {0.459863, 0.410600}, {0.262498, 0.527351}, {0.463589, 0.409066}},
    {"2856", {0.447539, 0.407429}, {0.255953, 0.524281}, {0.451139, 0.405927}},
    {"3000", {0.436934, 0.404075}, {0.250571, 0.521385}, {0.440389, 0.402624}},
    {"3200", {0.423363, 0.398953}, {0.243988, 0.517321}, {0.426589, 0.397601}},
    {"3500", {0.405307, 0.390717}, {0.235712, 0.511262}, {0.408166, 0.389552}},
    {"4000", {0.380442, 0.376749}, {0.225111, 0.501581}, {0.382708, 0.375946}},
    {"4500", {0.360790, 0.363546}, {0.217311, 0.492686}, {0.362537, 0.363125}},
    {"5000", {0.345103, 0.351610}, {0.211424, 0.484674}, {0.346418, 0.351559}},
    {"5500", {0.332436, 0.341037}, {0.206882, 0.477526}, {0.333396, 0.341332}},
    {"5600", {0.330200, 0.339081}, {0.206099, 0.476195}, {0.331097, 0.339442}},
    {"6000", {0.322085, 0.331755}, {0.203308, 0.471177}, {0.322755, 0.332368}},
    {"6500", {0.313528, 0.323630}, {0.200449, 0.465543}, {0.313959, 0.324531}},
    {"7000", {0.306375, 0.316514}, {0.198127, 0.460539}, {0.306609, 0.317675}},
    {"7500", {0.300336, 0.310268}, {0.196216, 0.456087}, {0.300405, 0.311663}},
    {"8000", {0.295188, 0.304767}, {0.194625, 0.452115}, {0.295120, 0.306372}},
    {"9000", {0.286927, 0.295585}, {0.192144, 0.445369}, {0.286641, 0.297550}},
    {"9300", {0.284865, 0.293223}, {0.191539, 0.443609}, {0.284525, 0.295283}},
    {"10000", {0.280634, 0.288289}, {0.190319, 0.439897}, {0.280187, 0.290548}},
    {"12000", {0.271785, 0.277564}, {0.187852, 0.431656}, {0.271119, 0.280268}},
    {"15000", {0.263707, 0.267280}, {0.185711, 0.423511}, {0.262853, 0.270425}},
    {"20000", {0.256458, 0.257631}, {0.183885, 0.415634}, {0.255444, 0.261205}},
    {"25000", {0.252521, 0.252221}, {0.182933, 0.411110}, {0.251427, 0.256040}},
};

static void test_planck(void **state)
{
    const struct planck_row *row = *state;
    double cct_k = strtod(row->name, NULL);
    mtm_xy xy = {0};
    mtm_xy xy_10 = {0};

    assert_int_equal(mtm_planck_xy(cct_k, MTM_OBSERVER_2, &xy, NULL), MTM_OK);
    assert_int_equal(mtm_planck_xy(cct_k, MTM_OBSERVER_10, &xy_10, NULL), MTM_OK);
    CHECK_NEAR("x", xy.x, row->xy.x, 0.51e-6);
    CHECK_NEAR("y", xy.y, row->xy.y, 0.51e-6);
    CHECK_NEAR("u'", mtm_uv_from_xy(xy).u, row->uv.u, 0.51e-6);
    CHECK_NEAR("v'", mtm_uv_from_xy(xy).v, row->uv.v, 0.51e-6);
    CHECK_NEAR("x 10", xy_10.x, row->xy_10.x, 0.51e-6);
    CHECK_NEAR("y 10", xy_10.y, row->xy_10.y, 0.51e-6);
}

/* Daylight locus (CIE 015:2018): formula evaluated with numpy 1.24.2, equal to colour-science 0.4.6
 * to 1e-9; the nearest Planckian of each by SciPy 1.10.1, printed to 0.1 K and 1e-5. */
static const struct daylight_row {
    const char *name;
    double t_k;
    mtm_xy xy;
    double cct_k, duv;
} daylight_rows[] = {
    {"4000", 4000, {0.382344, 0.383766}, 4000.1, 0.00270},
    {"4500", 4500, {0.362089, 0.370870}, 4499.9, 0.00309},
    {"5000", 5000, {0.345741, 0.358666}, 4999.8, 0.00326},
    {"5003", 5003, {0.345653, 0.358596}, 5002.8, 0.00326},
    {"5500", 5500, {0.332502, 0.347608}, 5499.4, 0.00331},
    {"5750", 5750, {0.326829, 0.342548}, 5749.3, 0.00331},
    {"6000", 6000, {0.321692, 0.337798}, 5999.1, 0.00330},
    {"6500", 6500, {0.312779, 0.329183}, 6498.7, 0.00326},
    {"6774", 6774, {0.308549, 0.324928}, 6772.3, 0.00324},
    {"7000", 7000, {0.305357, 0.321646}, 6997.8, 0.00322},
    {"7500", 7500, {0.299091, 0.315025}, 7498.3, 0.00318},
    {"8000", 8000, {0.293772, 0.309220}, 7998.0, 0.00315},
    {"8500", 8500, {0.289211, 0.304106}, 8497.1, 0.00312},
    {"9000", 9000, {0.285265, 0.299582}, 8995.8, 0.00310},
    {"10000", 10000, {0.278800, 0.291967}, 9992.8, 0.00308},
    {"10500", 10500, {0.276126, 0.288745}, 10491.2, 0.00307},
    {"12000", 12000, {0.269709, 0.280836}, 11986.2, 0.00308},
    {"14000", 14000, {0.263689, 0.273192}, 13979.5, 0.00310},
    {"15000", 15000, {0.261397, 0.270224}, 14976.2, 0.00312},
    {"18000", 18000, {0.256315, 0.263531}, 17964.5, 0.00317},
    {"22500", 22500, {0.251620, 0.257211}, 22437.0, 0.00324},
    {"25000", 25000, {0.249854, 0.254799}, 24913.0, 0.00327},
};

static void test_daylight(void **state)
{
    const struct daylight_row *row = *state;
    mtm_xy xy = {0};
    mtm_white white = {0};

    assert_int_equal(mtm_daylight_xy(row->t_k, MTM_OBSERVER_2, &xy, NULL), MTM_OK);
    CHECK_NEAR("x", xy.x, row->xy.x, 0.51e-6);
    CHECK_NEAR("y", xy.y, row->xy.y, 0.51e-6);
    assert_int_equal(mtm_white_from_xy(xy, &white, NULL), MTM_OK);
    CHECK_NEAR("cct", white.cct_k, row->cct_k, 0.051);
    CHECK_NEAR("duv", white.duv, row->duv, 0.51e-5);
}

/* CIE 015:2018, 10 degree chromaticities of D50 and D65, printed to 5 decimals; the CIE rounds M1
 * and M2 of these two to 3 decimals, hence 2e-5. Temperatures: nominal times 1.4388/1.4380. */
static void test_daylight_10(void **state)
{
    mtm_xy d50 = {0};
    mtm_xy d65 = {0};

    (void)state;
    assert_int_equal(mtm_daylight_xy(5000 * 1.4388 / 1.4380, MTM_OBSERVER_10, &d50, NULL), MTM_OK);
    assert_int_equal(mtm_daylight_xy(6500 * 1.4388 / 1.4380, MTM_OBSERVER_10, &d65, NULL), MTM_OK);
    CHECK_NEAR("D50 x", d50.x, 0.34773, 2e-5);
    CHECK_NEAR("D50 y", d50.y, 0.35952, 2e-5);
    CHECK_NEAR("D65 x", d65.x, 0.31382, 2e-5);
    CHECK_NEAR("D65 y", d65.y, 0.33100, 2e-5);
}

/* Evenly scattered in 0..1, the same each time. */
static double scattered(uint64_t *state)
{
    *state = (*state * 6364136223846793005U) + 1442695040888963407U;
    return (double)(*state >> 11) / 9007199254740992.0;
}

/* Any chromaticity of the diagram gets the answer of the dense search, or is refused as it should.
 */
static void test_dense(void **state)
{
    static struct dense dense;
    uint64_t random = 20140110;
    size_t answered = 0;

    (void)state;
    dense_fill(&dense);
    for (int i = 0; i < 400; i++) {
        mtm_xy xy = {scattered(&random) * 0.75, scattered(&random) * 0.7};
        mtm_white white = {-1, -1};
        mtm_error error = {""};
        mtm_result result = mtm_white_from_xy(xy, &white, &error);
        double u = 4 * xy.x / ((-2 * xy.x) + (12 * xy.y) + 3);
        double v = 6 * xy.y / ((-2 * xy.x) + (12 * xy.y) + 3);
        double distance = 0;

        if (xy.x + xy.y > 1) {
            assert_int_equal(result, MTM_INVALID);
            continue;
        }
        double cct_k = 1e6 / dense_nearest(&dense, u, v, &distance);
        if (distance > 0.05 || cct_k < 1000 || cct_k > 25000) {
            assert_int_equal(result, MTM_RANGE);
            assert_true(white.cct_k == -1);
            assert_true(strlen(error.text) > 20);
            continue;
        }
        answered++;
        assert_int_equal(result, MTM_OK);
        CHECK_NEAR("cct", white.cct_k, cct_k, 0.001);
        CHECK_NEAR("duv", fabs(white.duv), distance, 1e-9);
    }
    assert_true(answered > 50);
}

/* Whites all over the stated range, out and back, against the dense search. */
static void test_round_trip(void **state)
{
    static struct dense dense;
    uint64_t random = 19680801;

    (void)state;
    dense_fill(&dense);
    for (int i = 0; i < 400; i++) {
        mtm_white wanted = {mtm_cct_from_mired(40 + (960 * scattered(&random))),
                            (0.1 * scattered(&random)) - 0.05};
        mtm_white white = {0};
        mtm_xy xy = {0};
        double distance = 0;

        assert_int_equal(mtm_white_to_xy(wanted, &xy, NULL), MTM_OK);
        mtm_uv uv = mtm_uv_from_xy(xy);
        double cct_k = 1e6 / dense_nearest(&dense, uv.u, uv.v * 2 / 3, &distance);
        CHECK_NEAR("dense cct", cct_k, wanted.cct_k, 0.001);
        CHECK_NEAR("dense duv", distance, fabs(wanted.duv), 1e-9);
        if (!mtm_xy_valid(xy))
            continue;
        assert_int_equal(mtm_white_from_xy(xy, &white, NULL), MTM_OK);
        CHECK_NEAR("cct", white.cct_k, wanted.cct_k, 0.001);
        CHECK_NEAR("duv", white.duv, wanted.duv, 1e-9);
    }
}

static const struct refused_row {
    const char *name;
    mtm_xy xy;
    mtm_result result;
    const char *says;
} refused_rows[] = {
    {"x not a number", {NAN, 0.3}, MTM_INVALID, "is no chromaticity"},
    {"y not a number", {0.3, NAN}, MTM_INVALID, "is no chromaticity"},
    {"x infinite", {INFINITY, 0.3}, MTM_INVALID, "is no chromaticity"},
    {"x negative", {-0.01, 0.3}, MTM_INVALID, "x >= 0"},
    {"y zero", {0.3, 0}, MTM_INVALID, "y > 0"},
    {"sum above one", {0.6, 0.41}, MTM_INVALID, "x + y <= 1"},
    {"green", {0.20, 0.70}, MTM_RANGE, "above the Planckian locus"},
    {"purple", {0.35, 0.12}, MTM_RANGE, "below the Planckian locus"},
    {"deep blue, behind the hot end", {0.12, 0.08}, MTM_RANGE, " from the Planckian locus"},
    {"blue, where the locus ends", {0.235, 0.230}, MTM_RANGE, "above 25000 K"},
    {"red, where the locus ends", {0.665, 0.333}, MTM_RANGE, "below 1000 K"},
    {"violet corner", {0.17, 0.005}, MTM_RANGE, "means nothing"},
    {"red corner", {0.73, 0.265}, MTM_RANGE, "Planckian"},
};

static void test_refused(void **state)
{
    const struct refused_row *row = *state;
    mtm_white white = {-1, -1};
    mtm_error error = {""};

    assert_int_equal(mtm_white_from_xy(row->xy, &white, &error), row->result);
    assert_true(white.cct_k == -1 && white.duv == -1);
    CHECK_HOLDS(error.text, row->says);
}

/* A point just inside and just outside of each bound; the bound itself is inside. */
static void test_bounds(void **state)
{
    static const struct {
        double cct_k, duv;
        double beyond_k, beyond_duv;
    } bounds[] = {{1000, -0.02, 999.9, -0.02},  {25000, 0.02, 25001, 0.02},
                  {25000, -0.02, 25001, -0.02}, {5000, 0.05, 5000, 0.0501},
                  {5000, -0.05, 5000, -0.0501}, {25000, 0.05, 25000, 0.0501}};

    (void)state;
    for (size_t i = 0; i < COUNT(bounds); i++) {
        mtm_xy xy = {0};
        mtm_white white = {0};

        assert_int_equal(mtm_white_to_xy((mtm_white){bounds[i].cct_k, bounds[i].duv}, &xy, NULL),
                         MTM_OK);
        assert_int_equal(mtm_white_from_xy(xy, &white, NULL), MTM_OK);
        assert_true(white.cct_k >= 1000 && white.cct_k <= 25000 && fabs(white.duv) <= 0.05);
        CHECK_NEAR("cct", white.cct_k, bounds[i].cct_k, 0.01);

        /* beyond, by plain sums, since the library will not make such a point */
        double uv[2];
        double slope[2];
        dense_point(mtmi_table_observer_2, 1e6 / bounds[i].beyond_k, uv, slope);
        double u = uv[0] - (bounds[i].beyond_duv * slope[1] / hypot(slope[0], slope[1]));
        double v = uv[1] + (bounds[i].beyond_duv * slope[0] / hypot(slope[0], slope[1]));
        assert_int_equal(mtm_white_from_xy(mtm_xy_from_uv((mtm_uv){u, v * 1.5}), &white, NULL),
                         MTM_RANGE);
    }
}

static void test_wrong_calls(void **state)
{
    mtm_error error = {""};
    mtm_white white = {3000, 0};
    mtm_xy xy = {-1, -1};

    (void)state;
    assert_int_equal(mtm_white_from_xy((mtm_xy){0.3, 0.3}, NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_white_to_xy(white, NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_white_to_xy((mtm_white){999.99, 0}, &xy, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "1000 to 25000 K");
    assert_int_equal(mtm_white_to_xy((mtm_white){25000.1, 0}, &xy, &error), MTM_INVALID);
    assert_int_equal(mtm_white_to_xy((mtm_white){NAN, 0}, &xy, &error), MTM_INVALID);
    assert_int_equal(mtm_white_to_xy((mtm_white){3000, NAN}, &xy, &error), MTM_INVALID);
    assert_int_equal(mtm_white_to_xy((mtm_white){3000, 0.0501}, &xy, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "-0.05 to 0.05");
    assert_int_equal(mtm_white_to_xy((mtm_white){3000, -0.0501}, &xy, &error), MTM_INVALID);
    assert_int_equal(mtm_planck_xy(999.9, MTM_OBSERVER_2, &xy, &error), MTM_INVALID);
    assert_int_equal(mtm_planck_xy(25000.1, MTM_OBSERVER_10, &xy, &error), MTM_INVALID);
    assert_int_equal(mtm_planck_xy(3000, (mtm_observer)2, &xy, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "observer 2");
    assert_int_equal(mtm_planck_xy(3000, MTM_OBSERVER_2, NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_daylight_xy(3999.9, MTM_OBSERVER_2, &xy, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "4000 to 25000 K");
    assert_int_equal(mtm_daylight_xy(25000.1, MTM_OBSERVER_2, &xy, &error), MTM_INVALID);
    assert_int_equal(mtm_daylight_xy(5000, MTM_OBSERVER_2, NULL, &error), MTM_INVALID);
    assert_true(xy.x == -1 && xy.y == -1);
}

/* Arithmetic: 3200 K is 312.5 mired, 5600 K is 178.571. */
static void test_mired(void **state)
{
    (void)state;
    CHECK_NEAR("3200 K", mtm_mired_from_cct(3200), 312.5, 1e-12);
    CHECK_NEAR("shift", mtm_mired_from_cct(5600) - mtm_mired_from_cct(3200), -133.928571, 1e-6);
    CHECK_NEAR("back", mtm_cct_from_mired(312.5), 3200, 1e-12);
}

static const struct CMUnitTest single_tests[] = {
    cmocka_unit_test(test_daylight_10), cmocka_unit_test(test_dense),
    cmocka_unit_test(test_round_trip),  cmocka_unit_test(test_bounds),
    cmocka_unit_test(test_wrong_calls), cmocka_unit_test(test_mired),
};

int main(void)
{
    static struct CMUnitTest tests[(2 * COUNT(cct_rows)) + COUNT(example_rows) +
                                   COUNT(isotherm_rows) + COUNT(planck_rows) +
                                   COUNT(daylight_rows) + COUNT(refused_rows) +
                                   COUNT(single_tests)];
    struct CMUnitTest *next = tests;

    ROW_TESTS(next, cct_rows, test_cct);
    next += COUNT(cct_rows);
    ROW_TESTS(next, cct_rows, test_back);
    next += COUNT(cct_rows);
    ROW_TESTS(next, example_rows, test_example);
    next += COUNT(example_rows);
    ROW_TESTS(next, isotherm_rows, test_isotherm);
    next += COUNT(isotherm_rows);
    ROW_TESTS(next, planck_rows, test_planck);
    next += COUNT(planck_rows);
    ROW_TESTS(next, daylight_rows, test_daylight);
    next += COUNT(daylight_rows);
    ROW_TESTS(next, refused_rows, test_refused);
    next += COUNT(refused_rows);
    memcpy(next, single_tests, sizeof single_tests);
    return cmocka_run_group_tests_name("white", tests, NULL, NULL);
}
