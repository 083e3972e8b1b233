/* SPDX-License-Identifier: MIT */
/* Answers worked out outside the project: mixtures that standards print, and optima, nearest points
 * and two-emitter whites computed with SciPy and numpy. */
#include "support/check.h"

#include <metamer/solve.h>
#include <metamer/white.h>

/* Three primaries to a white: the share of each in the flux, solved from the chromaticities by the
 * centre-of-gravity law (numpy 1.24.2); they agree with the coefficients that the standards named
 * print (NTSC: 0.299, 0.587, 0.114 of ITU-R BT.601; ACES AP1: those of its reference transforms).
 * CIE RGB: luminance ratio 1 : 4.5907 : 0.0601. */
static const struct standard {
    const char *name;
    double xy[3][2], white[2], share[3];
} standards[] = {
    {"sRGB / BT.709 (IEC 61966-2-1; ITU-R BT.709)",
     {{0.64, 0.33}, {0.3, 0.6}, {0.15, 0.06}},
     {0.3127, 0.329},
     {0.21263901, 0.71516868, 0.07219232}},
    {"Rec. 2020 (ITU-R BT.2020)",
     {{0.708, 0.292}, {0.17, 0.797}, {0.131, 0.046}},
     {0.3127, 0.329},
     {0.26270021, 0.67799807, 0.05930172}},
    {"P3-D65 (SMPTE EG 432-1)",
     {{0.68, 0.32}, {0.265, 0.69}, {0.15, 0.06}},
     {0.3127, 0.329},
     {0.22897456, 0.69173852, 0.07928691}},
    {"NTSC 1953 (FCC 1953; ITU-R BT.470 system M)",
     {{0.67, 0.33}, {0.21, 0.71}, {0.14, 0.08}},
     {0.31, 0.316},
     {0.29896662, 0.58642121, 0.11461217}},
    {"ACES AP1 (AMPAS S-2014-004)",
     {{0.713, 0.293}, {0.165, 0.83}, {0.128, 0.044}},
     {0.32168, 0.33767},
     {0.27222872, 0.67408177, 0.05368952}},
    {"CIE RGB (CIE 1931, primaries 700.0, 546.1, 435.8 nm)",
     {{0.73467, 0.26533}, {0.27376, 0.71741}, {0.16658, 0.00886}},
     {1.0 / 3, 1.0 / 3},
     {0.17696231, 0.81240000, 0.01063768}},
};

static void test_standard(void **state)
{
    const struct standard *row = *state;
    mtm_xyz xyz[3];
    const double watts[3] = {1, 1, 1};
    mtm_solver *solver = NULL;
    mtm_answer answer;
    mtm_request request = {.xy = {row->white[0], row->white[1]}, .output = {MTM_OUTPUT_LM, 1}};

    for (size_t k = 0; k < 3; k++)
        xyz[k] = mtm_xyz_from_xy((mtm_xy){row->xy[k][0], row->xy[k][1]}, 2);
    assert_int_equal(mtm_solver_create(xyz, watts, 3, INFINITY, &solver, NULL), MTM_OK);
    assert_int_equal(mtm_solver_solve(solver, &request, &answer, NULL), MTM_OK);
    for (size_t k = 0; k < 3; k++)
        CHECK_NEAR("share", 2 * answer.level[k], row->share[k], 1e-7);
    mtm_solver_free(solver);
}

/* Synthetic emitters: x, y, lumens, watts. */
struct emitter {
    double x, y, flux_lm, watts;
};

struct fixture {
    size_t count;
    struct emitter emitter[5];
};

static mtm_solver *solver_of(const struct fixture *fixture, double limit_w)
{
    mtm_xyz xyz[5];
    double watts[5];
    mtm_solver *solver = NULL;

    for (size_t k = 0; k < fixture->count; k++) {
        const struct emitter *e = &fixture->emitter[k];
        xyz[k] = mtm_xyz_from_xy((mtm_xy){e->x, e->y}, e->flux_lm);
        watts[k] = e->watts;
    }
    assert_int_equal(mtm_solver_create(xyz, watts, fixture->count, limit_w, &solver, NULL), MTM_OK);
    return solver;
}

static void check_levels(const mtm_answer *answer, const double *level, size_t count)
{
    for (size_t k = 0; k < count; k++)
        CHECK_NEAR("level", answer->level[k], level[k], 1e-8);
}

/* Optima at a chromaticity. Computed with SciPy 1.10.1 linprog (HiGHS) and confirmed by enumerating
 * all vertices with numpy 1.24.2; 1e-8 relative. limit_w 0: none. */
static const struct optimum {
    const char *name;
    struct fixture fixture;
    double x, y, most_lm, most_level[5], watts, limit_w, limited_lm, limited_level[5], fixed_lm,
        fixed_watts, fixed_level[5];
} optima[] = {
    {"A1 5600 K Planckian",
     {5,
      {{0.687, 0.3046, 188.5, 7.55},
       {0.1754, 0.7139, 320.6, 4.24},
       {0.159, 0.0354, 33.7, 5.27},
       {0.4333, 0.401, 822.9, 10.16},
       {0.306, 0.3265, 466.4, 7.52}}},
     0.330200,
     0.339081,
     1681.31163,
     {0.210056172, 1.0, 0.944096334, 1.0, 1.0},
     28.4813118,
     21.6,
     1347.91092,
     {0.0, 0.556710201, 0.626202643, 0.828687088, 1.0},
     840.7,
     13.1875736,
     {0.0, 0.173741153, 0.205464528, 0.378751284, 1.0}},
    {"A2 rose",
     {3,
      {{0.5657, 0.43, 286.6, 5.41}, {0.1709, 0.7168, 286.8, 10.21}, {0.1587, 0.0294, 41.2, 5.43}}},
     0.400000,
     0.280000,
     315.085756,
     {1.0, 0.054527968, 0.311823658},
     7.65993302,
     0,
     0,
     {0},
     157.5,
     3.82892412,
     {0.499863916, 0.027256564, 0.155869395}},
    {"A3 6504 K daylight",
     {5,
      {{0.696, 0.3155, 124.6, 7.03},
       {0.1694, 0.7121, 188.6, 10.17},
       {0.1533, 0.0375, 68.1, 7.31},
       {0.4393, 0.4046, 385.8, 5.63},
       {0.3106, 0.3372, 676.4, 7.54}}},
     0.312700,
     0.329000,
     1295.59768,
     {0.164268051, 1.0, 0.357266902, 1.0, 1.0},
     27.1064255,
     20.6,
     1144.49986,
     {0.0, 0.612773849, 0.266550609, 0.866714921, 1.0},
     647.8,
     7.71350192,
     {0.0, 0.0, 0.046397772, 0.141694515, 0.872227332}},
    {"A4 rose",
     {5,
      {{0.6964, 0.3067, 147.7, 5.06},
       {0.4114, 0.5437, 269.0, 7.65},
       {0.164, 0.0174, 12.2, 4.78},
       {0.0867, 0.3662, 142.8, 6.11},
       {0.4377, 0.4053, 651.9, 11.56}}},
     0.400000,
     0.280000,
     721.293155,
     {1.0, 0.0, 1.0, 0.217695822, 0.813477821},
     20.5739251,
     0,
     0,
     {0},
     360.6,
     9.78135216,
     {0.413113582, 0.0, 0.521194708, 0.0, 0.44979989}},
    {"A5 lavender",
     {3,
      {{0.5687, 0.4231, 261.3, 6.5}, {0.1707, 0.7129, 478.9, 9.16}, {0.1503, 0.0321, 20.3, 6.41}}},
     0.290000,
     0.240000,
     273.508832,
     {0.605608001, 0.19829497, 1.0},
     12.1628339,
     12.7,
     273.508832,
     {0.605608001, 0.19829497, 1.0},
     136.8,
     6.08344407,
     {0.302904933, 0.099180534, 0.500166664}},
    {"A6 pale green",
     {5,
      {{0.687, 0.315, 103.4, 6.3},
       {0.1765, 0.7117, 124.4, 4.68},
       {0.152, 0.0285, 71.0, 9.69},
       {0.5721, 0.4293, 246.1, 8.19},
       {0.4389, 0.4053, 498.5, 10.44}}},
     0.330000,
     0.420000,
     303.020381,
     {0.0, 1.0, 0.04575586, 0.0, 0.351798827},
     8.79615404,
     0,
     0,
     {0},
     151.5,
     4.3977812,
     {0.0, 0.49996637, 0.022876391, 0.0, 0.175887582}},
    {"A7 6504 K daylight",
     {5,
      {{0.6841, 0.305, 147.3, 8.88},
       {0.4069, 0.5502, 493.2, 4.05},
       {0.1667, 0.0181, 16.9, 6.21},
       {0.0862, 0.3631, 279.9, 8.38},
       {0.4359, 0.4021, 797.1, 11.46}}},
     0.312700,
     0.329000,
     1405.39392,
     {0.086702357, 0.605682601, 1.0, 1.0, 1.0},
     29.2729315,
     19.8,
     1047.0706,
     {0.0, 1.0, 0.982044677, 0.442405733, 0.518686083},
     702.7,
     12.4069846,
     {0.0, 1.0, 0.794051684, 0.139318759, 0.197070889}},
    {"A8 6504 K daylight",
     {3,
      {{0.6955, 0.3103, 90.8, 6.48}, {0.3822, 0.4658, 451.6, 10.22}, {0.1533, 0.0305, 72.6, 6.3}}},
     0.312700,
     0.329000,
     467.855288,
     {0.029958889, 1.0, 0.186432788},
     11.5886602,
     0,
     0,
     {0},
     233.9,
     5.79364535,
     {0.014977674, 0.499940914, 0.093205378}},
};

static void test_optimum(void **state)
{
    const struct optimum *row = *state;
    size_t count = row->fixture.count;
    mtm_request request = {.xy = {row->x, row->y}};
    mtm_answer answer;
    mtm_solver *solver = solver_of(&row->fixture, INFINITY);

    assert_int_equal(mtm_solver_solve(solver, &request, &answer, NULL), MTM_OK);
    CHECK_NEAR("most", answer.xyz.y, row->most_lm, 1e-8 * row->most_lm);
    CHECK_NEAR("watts", answer.watts, row->watts, 1e-8 * row->watts);
    assert_int_equal(answer.shortfall, 0);
    check_levels(&answer, row->most_level, count);

    request.goal = MTM_GOAL_WATTS;
    request.output = (mtm_output){MTM_OUTPUT_LM, row->fixed_lm};
    assert_int_equal(mtm_solver_solve(solver, &request, &answer, NULL), MTM_OK);
    CHECK_NEAR("output", answer.xyz.y, row->fixed_lm, 1e-8 * row->fixed_lm);
    CHECK_NEAR("fewest watts", answer.watts, row->fixed_watts, 1e-8 * row->fixed_watts);
    check_levels(&answer, row->fixed_level, count);
    mtm_solver_free(solver);
    if (row->limit_w == 0)
        return;

    solver = solver_of(&row->fixture, row->limit_w);
    request.output.type = MTM_OUTPUT_MAX;
    assert_int_equal(mtm_solver_solve(solver, &request, &answer, NULL), MTM_OK);
    CHECK_NEAR("most", answer.xyz.y, row->limited_lm, 1e-8 * row->limited_lm);
    assert_int_equal(answer.shortfall, row->limited_lm < row->most_lm ? MTM_SHORT_POWER : 0);
    check_levels(&answer, row->limited_level, count);
    mtm_solver_free(solver);
}

/* Targets outside the gamut: nearest in CIE 1976 u', v', and the most flux there. Computed with
 * numpy 1.24.2 and SciPy 1.10.1 (convex hull in u', v'); 1e-6 in x, y and distance, 1e-5 relative
 * in flux. */
static const struct nearest {
    const char *name;
    struct fixture fixture;
    double x, y, x_near, y_near, away, most_lm;
} nearest[] = {
    {"N1",
     {3,
      {{0.6851, 0.3114, 154.5, 8.06},
       {0.4026, 0.5397, 347.1, 10.85},
       {0.1488, 0.0323, 88.9, 8.23}}},
     0.1000,
     0.5500,
     0.3597730,
     0.4540797,
     0.1436465,
     351.31692},
    {"N2",
     {5,
      {{0.6908, 0.3035, 117.0, 5.81},
       {0.1623, 0.7158, 478.8, 7.62},
       {0.1542, 0.0323, 66.3, 9.97},
       {0.5712, 0.421, 246.3, 7.45},
       {0.4427, 0.4075, 460.3, 5.29}}},
     0.0800,
     0.8000,
     0.1623000,
     0.7158000,
     0.0326441,
     478.8},
    {"N3",
     {3,
      {{0.6941, 0.3123, 194.2, 7.59}, {0.4117, 0.5423, 465.9, 6.92}, {0.1447, 0.0373, 25.9, 9.82}}},
     0.0600,
     0.3000,
     0.2600205,
     0.2554155,
     0.1505506,
     312.19256},
    {"N4",
     {5,
      {{0.6876, 0.3071, 109.6, 7.71},
       {0.1625, 0.7099, 421.4, 7.19},
       {0.154, 0.03, 63.9, 9.19},
       {0.5728, 0.4316, 281.9, 6.51},
       {0.4357, 0.4078, 693.4, 7.22}}},
     0.4500,
     0.5300,
     0.4433857,
     0.5193797,
     0.0037455,
     495.53063},
    {"N5",
     {3,
      {{0.6902, 0.3157, 106.6, 6.52}, {0.4156, 0.5456, 393.9, 5.58}, {0.1556, 0.0333, 42.2, 5.86}}},
     0.2500,
     0.0800,
     0.2478276,
     0.0820188,
     0.0059897,
     125.60957},
    {"N6",
     {5,
      {{0.6861, 0.3022, 249.0, 7.52},
       {0.1658, 0.7052, 342.2, 6.73},
       {0.1466, 0.0281, 73.0, 4.21},
       {0.4149, 0.5518, 730.5, 4.85},
       {0.0898, 0.3637, 92.8, 4.87}}},
     0.7000,
     0.2900,
     0.6861000,
     0.3022000,
     0.0291136,
     249.0},
};

static void test_nearest(void **state)
{
    const struct nearest *row = *state;
    mtm_request request = {.xy = {row->x, row->y}};
    mtm_answer answer;
    double away = 0;
    mtm_solver *solver = solver_of(&row->fixture, INFINITY);
    mtm_xy near = mtm_solver_nearest(solver, request.xy, &away);

    assert_int_equal(mtm_solver_solve(solver, &request, &answer, NULL), MTM_OK);
    assert_int_equal(answer.shortfall, MTM_SHORT_GAMUT);
    CHECK_NEAR("x", answer.xy.x, row->x_near, 1e-6);
    CHECK_NEAR("y", answer.xy.y, row->y_near, 1e-6);
    CHECK_NEAR("distance", answer.delta_uv, row->away, 1e-6);
    CHECK_NEAR("most", answer.xyz.y, row->most_lm, 1e-5 * row->most_lm);
    CHECK_NEAR("nearest x", near.x, answer.xy.x, 1e-9);
    CHECK_NEAR("nearest y", near.y, answer.xy.y, 1e-9);
    CHECK_NEAR("nearest distance", away, answer.delta_uv, 1e-9);
    mtm_solver_free(solver);
}

/* Two-emitter whites: the share of the cool emitter in the flux at which the mixture has exactly
 * the wanted CCT, and the point nearest to the Planckian point of that CCT. Computed with
 * SciPy 1.10.1; 1e-6 in share and x, y, 1e-5 relative in flux. */
static const struct white {
    const char *name;
    struct fixture fixture;
    double cct_k, share, x, y, duv, most_lm, x_near, y_near;
} whites[] = {
    {"T1",
     {2, {{0.45503, 0.40998, 443.1, 5}, {0.31970, 0.33165, 783.4, 5}}},
     4016,
     0.527222698,
     0.3765962,
     0.3645819,
     -0.004676,
     937.22774,
     0.3800388,
     0.3665745},
    {"T2",
     {2, {{0.49650, 0.40661, 587.6, 5}, {0.30835, 0.32348, 834.9, 5}}},
     2401,
     0.093652387,
     0.4748716,
     0.3970539,
     -0.005765,
     648.31638,
     0.4821964,
     0.4002903},
    {"T3",
     {2, {{0.45033, 0.40927, 941.4, 5}, {0.32283, 0.33632, 460.8, 5}}},
     3726,
     0.422810860,
     0.3902395,
     0.3748888,
     -0.003573,
     1089.849,
     0.3933095,
     0.3766453},
    {"T4",
     {2, {{0.48809, 0.41631, 1096.1, 5}, {0.33272, 0.34659, 627.3, 5}}},
     2674,
     0.171650685,
     0.4571250,
     0.4024149,
     -0.002827,
     1323.234,
     0.4603454,
     0.4038600},
    {"T5",
     {2, {{0.44635, 0.39962, 802.7, 5}, {0.31528, 0.32533, 836.7, 5}}},
     4721,
     0.678492989,
     0.3517668,
     0.3460106,
     -0.005500,
     1233.1741,
     0.3541858,
     0.3473817},
    {"T6",
     {2, {{0.48403, 0.41507, 958.8, 5}, {0.32507, 0.33565, 848.5, 5}}},
     2868,
     0.241439894,
     0.4391344,
     0.3926391,
     -0.004868,
     1263.9737,
     0.4447755,
     0.3954576},
};

static void test_white(void **state)
{
    const struct white *row = *state;
    mtm_request request = {.beyond = MTM_BEYOND_CCT};
    mtm_answer answer;
    mtm_white white;
    mtm_solver *solver = solver_of(&row->fixture, INFINITY);

    assert_int_equal(mtm_white_to_xy((mtm_white){row->cct_k, 0}, &request.xy, NULL), MTM_OK);
    for (int stated = 0; stated < 2; stated++) {
        request.cct_k = stated ? row->cct_k : 0; /* that of the target is the same */
        assert_int_equal(mtm_solver_solve(solver, &request, &answer, NULL), MTM_OK);
        CHECK_NEAR("x", answer.xy.x, row->x, 1e-6);
        CHECK_NEAR("y", answer.xy.y, row->y, 1e-6);
        CHECK_NEAR("most", answer.xyz.y, row->most_lm, 1e-5 * row->most_lm);
        double cool = answer.level[1] * row->fixture.emitter[1].flux_lm;
        CHECK_NEAR("share", cool / answer.xyz.y, row->share, 1e-6);
        assert_int_equal(mtm_white_from_xy(answer.xy, &white, NULL), MTM_OK);
        CHECK_NEAR("CCT", white.cct_k, row->cct_k, 0.01);
        CHECK_NEAR("Duv", white.duv, row->duv, 1e-6);
    }
    request.beyond = MTM_BEYOND_NEAREST;
    assert_int_equal(mtm_solver_solve(solver, &request, &answer, NULL), MTM_OK);
    CHECK_NEAR("nearest x", answer.xy.x, row->x_near, 1e-6);
    CHECK_NEAR("nearest y", answer.xy.y, row->y_near, 1e-6);
    mtm_solver_free(solver);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(standards) + COUNT(optima) + COUNT(nearest) + COUNT(whites)];
    struct CMUnitTest *at = tests;

    ROW_TESTS(at, standards, test_standard);
    at += COUNT(standards);
    ROW_TESTS(at, optima, test_optimum);
    at += COUNT(optima);
    ROW_TESTS(at, nearest, test_nearest);
    at += COUNT(nearest);
    ROW_TESTS(at, whites, test_white);
    return cmocka_run_group_tests_name("worked", tests, NULL, NULL);
}
