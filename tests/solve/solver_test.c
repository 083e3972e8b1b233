/* SPDX-License-Identifier: MIT */
/* A solver's edges: what it refuses, what is degenerate, how outputs are stated, where it aims. The
 * wanted values follow from the centre-of-gravity law (light adds in XYZ) by hand. */
#include "support/check.h"

#include <metamer/solve.h>
#include <metamer/white.h>

#define RED 0.70, 0.29
#define GREEN 0.17, 0.70
#define BLUE 0.15, 0.03

static mtm_xyz lm(double x, double y, double flux_lm)
{
    return mtm_xyz_from_xy((mtm_xy){x, y}, flux_lm);
}

static mtm_solver *make(const mtm_xyz *xyz, const double *watts, size_t count, double limit_w)
{
    mtm_solver *solver = NULL;

    assert_int_equal(mtm_solver_create(xyz, watts, count, limit_w, &solver, NULL), MTM_OK);
    return solver;
}

static mtm_answer solve(const mtm_solver *solver, mtm_request request)
{
    mtm_answer answer;
    mtm_error error;

    if (mtm_solver_solve(solver, &request, &answer, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return answer;
}

static mtm_solver *rgb(double limit_w)
{
    const mtm_xyz xyz[] = {lm(RED, 100), lm(GREEN, 200), lm(BLUE, 20)};
    const double watts[] = {5, 6, 7};

    return make(xyz, watts, 3, limit_w);
}

static void test_create_refuses(void **state)
{
    static const struct refusal {
        mtm_xyz xyz;
        double watts, limit_w;
        size_t count;
        const char *says;
    } refusals[] = {
        {{1, 1, 1}, 1, INFINITY, 0, "found 0 emitters"},
        {{1, 1, 1}, 1, INFINITY, 17, "found 17 emitters"},
        {{1, -1, 1}, 1, INFINITY, 1, "XYZ 1, -1, 1"},
        {{1, 1, -3}, 1, INFINITY, 1, "XYZ 1, 1, -3"},
        {{NAN, 1, 1}, 1, INFINITY, 1, "XYZ nan"},
        {{INFINITY, 1, 1}, 1, INFINITY, 1, "XYZ inf"},
        {{1, 1, 1}, -1, INFINITY, 1, "takes -1 W"},
        {{1, 1, 1}, NAN, INFINITY, 1, "takes nan W"},
        {{1, 1, 1}, 1, 0, 1, "power limit is 0 W"},
        {{1, 1, 1}, 1, NAN, 1, "power limit is nan W"},
    };
    mtm_error error;

    (void)state;
    for (size_t i = 0; i < COUNT(refusals); i++) {
        const struct refusal *r = &refusals[i];
        mtm_solver *solver = NULL;
        assert_int_equal(
            mtm_solver_create(&r->xyz, &r->watts, r->count, r->limit_w, &solver, &error),
            MTM_INVALID);
        CHECK_HOLDS(error.text, r->says);
        assert_null(solver);
    }
    mtm_solver_free(NULL);
}

static void test_solve_refuses(void **state)
{
    static const struct refusal {
        mtm_request request;
        const char *says;
    } refusals[] = {
        {{.xy = {-0.1, 0.3}}, "x = -0.1"},
        {{.xy = {0.3, 0}}, "y = 0"},
        {{.xy = {0.7, 0.4}}, "x = 0.7"},
        {{.xy = {NAN, 0.3}}, "x = nan"},
        {{.xy = {0.3, 0.3}, .output = {MTM_OUTPUT_LM, -1}}, "output asked is -1"},
        {{.xy = {0.3, 0.3}, .output = {MTM_OUTPUT_LM, NAN}}, "output asked is nan"},
        {{.xy = {0.3, 0.3}, .output = {MTM_OUTPUT_SHARE, 1.1}}, "1.1 of the most"},
        {{.xy = {0.3, 0.3}, .goal = (mtm_goal)99}, "goal"},
        {{.xy = {0.3, 0.3}, .output = {(mtm_output_type)9, 0}}, "output kind"},
        {{.xy = {0.3, 0.3}, .beyond = (mtm_beyond)9}, "goal"},
        {{.xy = {0.05, 0.9}, .beyond = MTM_BEYOND_HUE, .white = {0.3, -1}}, "white x = 0.3"},
        {{.xy = {0.05, 0.9}, .beyond = MTM_BEYOND_CCT, .cct_k = 999}, "found 999 K"},
        {{.xy = {0.05, 0.9}, .beyond = MTM_BEYOND_CCT, .cct_k = 25001}, "found 25001 K"},
    };
    mtm_solver *solver = rgb(INFINITY);
    mtm_answer answer = {.most = 42};
    mtm_error error;

    (void)state;
    for (size_t i = 0; i < COUNT(refusals); i++) {
        assert_int_equal(mtm_solver_solve(solver, &refusals[i].request, &answer, &error),
                         MTM_INVALID);
        CHECK_HOLDS(error.text, refusals[i].says);
    }
    CHECK_NEAR("answer untouched", answer.most, 42, 0);
    mtm_solver_free(solver);
}

static void test_dark(void **state)
{
    const mtm_xyz xyz[3] = {{0, 0, 0}};
    const double watts[3] = {1, 2, 3};
    mtm_solver *solver = make(xyz, watts, 3, INFINITY);
    mtm_request request = {.xy = {0.3, 0.3}};
    mtm_answer answer;
    mtm_error error;
    mtm_xy corner[MTM_EMITTERS_MAX];
    double away = 0;

    (void)state;
    assert_int_equal(mtm_solver_solve(solver, &request, &answer, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "dark");
    assert_int_equal(mtm_solver_gamut(solver, corner), 0);
    (void)mtm_solver_nearest(solver, request.xy, &away);
    assert_true(away > 1e300);
    mtm_solver_free(solver);
}

/* One chromaticity: whatever is asked, the lumens add; the fewest watts come from the most lumens a
 * watt first. */
static void test_one_chromaticity(void **state)
{
    const mtm_xyz xyz[] = {lm(0.4, 0.4, 100), lm(0.4, 0.4, 50), lm(0.4, 0.4, 200), {0, 0, 0}};
    const double watts[] = {10, 1, 5, 2};
    mtm_solver *solver = make(xyz, watts, 4, INFINITY);
    mtm_answer most = solve(solver, (mtm_request){.xy = {0.4, 0.4}});
    mtm_answer part = solve(
        solver,
        (mtm_request){.xy = {0.4, 0.4}, .goal = MTM_GOAL_WATTS, .output = {MTM_OUTPUT_LM, 150}});
    mtm_answer other = solve(solver, (mtm_request){.xy = {0.3, 0.3}});

    (void)state;
    CHECK_NEAR("most", most.xyz.y, 350, 1e-9);
    CHECK_NEAR("watts", most.watts, 16, 1e-9);
    CHECK_NEAR("dark emitter", most.level[3], 0, 0);
    CHECK_NEAR("50 lm at 50 lm/W, 100 at 40", part.watts, 1 + 2.5, 1e-9);
    assert_int_equal(other.shortfall, MTM_SHORT_GAMUT);
    CHECK_NEAR("x", other.xy.x, 0.4, 1e-12);
    CHECK_NEAR("y", other.xy.y, 0.4, 1e-12);
    mtm_solver_free(solver);

    solver = make(xyz, watts, 4, 3.5);
    most = solve(solver, (mtm_request){.xy = {0.4, 0.4}});
    CHECK_NEAR("most within the limit", most.xyz.y, 150, 1e-9);
    assert_int_equal(most.shortfall, MTM_SHORT_POWER);
    mtm_solver_free(solver);
}

static void test_one_emitter(void **state)
{
    const mtm_xyz xyz[] = {lm(RED, 100)};
    const double watts[] = {4};
    mtm_solver *solver = make(xyz, watts, 1, 3);
    mtm_answer answer = solve(solver, (mtm_request){.xy = {RED}});

    (void)state;
    CHECK_NEAR("level", answer.level[0], 0.75, 1e-12);
    assert_int_equal(answer.shortfall, MTM_SHORT_POWER);
    mtm_solver_free(solver);
}

/* Equal emitters share no light that one of fewer watts can give. */
static void test_duplicates(void **state)
{
    const mtm_xyz xyz[] = {lm(RED, 100),   lm(RED, 100), lm(GREEN, 200),
                           lm(GREEN, 200), lm(BLUE, 20), lm(BLUE, 20)};
    const double watts[] = {5, 4, 6, 6, 7, 9};
    mtm_solver *single = rgb(INFINITY), *solver = make(xyz, watts, 6, INFINITY);
    mtm_request request = {.xy = {0.31, 0.33}};
    double most = solve(single, request).xyz.y;
    mtm_answer answer = solve(solver, request);

    (void)state;
    CHECK_NEAR("most", answer.xyz.y, 2 * most, 1e-9 * most);
    request.goal = MTM_GOAL_WATTS;
    request.output = (mtm_output){MTM_OUTPUT_LM, most / 2};
    answer = solve(solver, request);
    CHECK_NEAR("dear red", answer.level[0], 0, 0);
    CHECK_NEAR("dear blue", answer.level[5], 0, 0);
    CHECK_NEAR("output", answer.xyz.y, most / 2, 1e-9 * most);
    mtm_solver_free(single);
    mtm_solver_free(solver);
}

/* An emitter on the line between two others, for fewer watts a lumen or for more. */
static void test_on_a_line(void **state)
{
    const mtm_xyz red = lm(RED, 100), green = lm(GREEN, 200);
    const mtm_xyz yellow = {(red.x + green.x) / 2, (red.y + green.y) / 2, (red.z + green.z) / 2};
    const mtm_xyz xyz[] = {red, green, yellow};
    const double cheap[] = {5, 5, 1}, dear[] = {5, 5, 30};
    mtm_request request = {
        .xy = mtm_xy_from_xyz(yellow), .goal = MTM_GOAL_WATTS, .output = {MTM_OUTPUT_LM, 100}};
    mtm_solver *solver = make(xyz, cheap, 3, INFINITY);
    mtm_answer answer = solve(solver, request);

    (void)state;
    CHECK_NEAR("yellow", answer.level[2], 100.0 / 150, 1e-12);
    CHECK_NEAR("red", answer.level[0], 0, 1e-12);
    CHECK_NEAR("most", answer.most, 450, 1e-9);
    mtm_solver_free(solver);

    solver = make(xyz, dear, 3, INFINITY);
    answer = solve(solver, request);
    CHECK_NEAR("yellow", answer.level[2], 0, 1e-12);
    CHECK_NEAR("red", answer.level[0], 1.0 / 3, 1e-12);
    request.xy = (mtm_xy){0.25, 0.25}; /* off the line */
    answer = solve(solver, request);
    assert_int_equal(answer.shortfall, MTM_SHORT_GAMUT);
    mtm_solver_free(solver);
}

/* Corners and edges of the gamut are reached, by the emitters that span them alone. */
static void test_boundary(void **state)
{
    mtm_solver *solver = rgb(INFINITY);
    const mtm_xyz edge = {lm(RED, 50).x + lm(GREEN, 50).x, 100, lm(RED, 50).z + lm(GREEN, 50).z};
    mtm_answer corner = solve(solver, (mtm_request){.xy = {BLUE}});
    mtm_answer side = solve(solver, (mtm_request){.xy = mtm_xy_from_xyz(edge)});
    mtm_xy gamut[MTM_EMITTERS_MAX];

    (void)state;
    CHECK_NEAR("blue", corner.xyz.y, 20, 1e-9);
    assert_int_equal(corner.shortfall, 0);
    CHECK_NEAR("red", side.level[0], 1, 1e-9);
    CHECK_NEAR("green", side.level[1], 0.5, 1e-9);
    CHECK_NEAR("no blue", side.level[2], 0, 1e-12);
    assert_int_equal(side.shortfall, 0);
    assert_int_equal(mtm_solver_gamut(solver, gamut), 3);
    double turn = (gamut[1].x - gamut[0].x) * (gamut[2].y - gamut[0].y) -
                  (gamut[1].y - gamut[0].y) * (gamut[2].x - gamut[0].x);
    assert_true(turn > 0); /* counter-clockwise */
    mtm_solver_free(solver);
}

/* A chromaticity known, but no light: it adds nothing to the gamut. */
static void test_dark_corner(void **state)
{
    const mtm_xyz xyz[] = {lm(RED, 100), lm(GREEN, 200), lm(BLUE, 0)};
    const double watts[] = {5, 6, 7};
    mtm_solver *solver = make(xyz, watts, 3, INFINITY);
    mtm_answer answer = solve(solver, (mtm_request){.xy = {BLUE}});

    (void)state;
    assert_int_equal(answer.shortfall, MTM_SHORT_GAMUT);
    CHECK_NEAR("dark", answer.level[2], 0, 0);
    CHECK_NEAR("u'v'", answer.delta_uv,
               mtm_uv_distance(mtm_uv_from_xy(answer.xy), mtm_uv_from_xy((mtm_xy){BLUE})), 1e-12);
    mtm_solver_free(solver);
}

static void test_outputs(void **state)
{
    mtm_solver *solver = rgb(INFINITY), *limited = rgb(6);
    mtm_request request = {.xy = {0.31, 0.33}};
    double most = solve(solver, request).xyz.y, less = solve(limited, request).xyz.y;
    mtm_answer answer;

    (void)state;
    assert_true(less < most);
    request.output = (mtm_output){MTM_OUTPUT_LM, 2 * most};
    answer = solve(solver, request);
    assert_int_equal(answer.shortfall, MTM_SHORT_OUTPUT);
    CHECK_NEAR("all there is", answer.xyz.y, most, 1e-9 * most);
    answer = solve(limited, request);
    assert_int_equal(answer.shortfall, MTM_SHORT_OUTPUT | MTM_SHORT_POWER);
    CHECK_NEAR("watts", answer.watts, 6, 1e-9);

    request.output = (mtm_output){MTM_OUTPUT_SHARE, 0.5};
    answer = solve(limited, request);
    CHECK_NEAR("half of the limited most", answer.xyz.y, less / 2, 1e-9 * less);
    assert_int_equal(answer.shortfall, 0);

    request.output.value = 0;
    answer = solve(solver, request);
    for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
        CHECK_NEAR("off", answer.level[k], 0, 0);
    CHECK_NEAR("target's x", answer.xy.x, 0.31, 0);
    CHECK_NEAR("no distance", answer.delta_uv, 0, 1e-12);
    mtm_solver_free(solver);
    mtm_solver_free(limited);
}

/* On the straight line to the white, on the gamut's edge; a white outside leads to the first point
 * reached; a line that misses the gamut to the nearest. */
static void test_hue(void **state)
{
    mtm_solver *solver = rgb(INFINITY);
    mtm_request request = {.xy = {0.05, 0.6}, .beyond = MTM_BEYOND_HUE, .white = {0.31, 0.33}};
    mtm_answer answer = solve(solver, request);
    double away = 0;

    (void)state;
    CHECK_NEAR("slope", (answer.xy.y - 0.6) * (0.31 - 0.05), (0.33 - 0.6) * (answer.xy.x - 0.05),
               1e-9);
    CHECK_NEAR("red is off", answer.level[0], 0, 1e-9);
    assert_int_equal(answer.shortfall, MTM_SHORT_GAMUT);

    request.white = (mtm_xy){0, 0};
    answer = solve(solver, request);
    CHECK_NEAR("equal energy", (answer.xy.y - 0.6) * (1.0 / 3 - 0.05),
               (1.0 / 3 - 0.6) * (answer.xy.x - 0.05), 1e-9);

    request.white = (mtm_xy){0.04, 0.9};
    answer = solve(solver, request);
    mtm_xy near = mtm_solver_nearest(solver, request.xy, &away);
    CHECK_NEAR("nearest", answer.delta_uv, away, 1e-12);
    CHECK_NEAR("nearest", answer.xy.x, near.x, 1e-9);
    mtm_solver_free(solver);
}

/* Two emitters: the line to the white crosses their segment, or passes it by and the nearest
 * counts. */
static void test_hue_of_two(void **state)
{
    const mtm_xyz xyz[] = {mtm_xyz_from_xy((mtm_xy){0.45, 0.41}, 900),
                           mtm_xyz_from_xy((mtm_xy){0.31, 0.32}, 800)};
    const double watts[] = {9, 8};
    mtm_solver *solver = make(xyz, watts, 2, INFINITY);
    mtm_request request = {.xy = {0.36, 0.42}, .beyond = MTM_BEYOND_HUE, .white = {0.36, 0.30}};
    mtm_answer answer = solve(solver, request);
    double away = 0;

    (void)state;
    CHECK_NEAR("straight down to the segment", answer.xy.x, 0.36, 1e-9);
    CHECK_NEAR("on it", answer.xy.y, 0.32 + (0.36 - 0.31) * (0.41 - 0.32) / (0.45 - 0.31), 1e-9);
    request.white = (mtm_xy){0.56, 0.43}; /* would cross the segment only beyond its end */
    answer = solve(solver, request);
    mtm_xy near = mtm_solver_nearest(solver, request.xy, &away);
    CHECK_NEAR("nearest", answer.xy.x, near.x, 1e-9);
    CHECK_NEAR("nearest", answer.delta_uv, away, 1e-12);
    assert_int_equal(answer.shortfall, MTM_SHORT_GAMUT);
    mtm_solver_free(solver);
}

/* Three emitters may hold a whole piece of the wanted temperature's line; and a temperature that
 * two cannot make is answered by the nearest. */
static void test_temperature(void **state)
{
    const mtm_xyz whites[] = {lm(0.45, 0.41, 400), lm(0.32, 0.33, 500)};
    const double watts[] = {5, 5};
    mtm_solver *solver = rgb(INFINITY);
    mtm_request request = {.xy = {0.05, 0.6}, .beyond = MTM_BEYOND_CCT, .cct_k = 4000};
    mtm_white white;
    double away = 0;

    (void)state;
    assert_int_equal(mtm_white_from_xy(solve(solver, request).xy, &white, NULL), MTM_OK);
    CHECK_NEAR("CCT", white.cct_k, 4000, 0.01);
    mtm_solver_free(solver);

    solver = make(whites, watts, 2, INFINITY);
    request.cct_k = 9000;
    mtm_answer answer = solve(solver, request);
    (void)mtm_solver_nearest(solver, request.xy, &away);
    CHECK_NEAR("nearest", answer.delta_uv, away, 1e-12);
    request.cct_k = 0; /* a green without a temperature */
    answer = solve(solver, request);
    CHECK_NEAR("nearest", answer.delta_uv, away, 1e-12);
    mtm_solver_free(solver);
}

/* Light at a stated output keeps the mixture of the most. */
static void test_scaled(void **state)
{
    const mtm_xyz xyz[] = {lm(RED, 100), lm(GREEN, 200), lm(BLUE, 20), lm(0.31, 0.33, 300)};
    const double watts[] = {5, 6, 7, 2};
    mtm_solver *solver = make(xyz, watts, 4, INFINITY);
    mtm_request request = {.xy = {0.31, 0.33}};
    mtm_answer most = solve(solver, request);

    (void)state;
    request.goal = MTM_GOAL_LIGHT;
    request.output = (mtm_output){MTM_OUTPUT_SHARE, 0.25};
    mtm_answer part = solve(solver, request);
    for (size_t k = 0; k < 4; k++)
        CHECK_NEAR("level", part.level[k], most.level[k] / 4, 1e-12);
    request.goal = MTM_GOAL_WATTS;
    assert_true(solve(solver, request).watts < part.watts);
    mtm_solver_free(solver);
}

static void test_goals(void **state)
{
    size_t count = 0;

    (void)state;
    for (; count < mtm_goal_count(); count++) {
        assert_non_null(mtm_goal_at(count)->description);
        assert_int_equal(mtm_goal_at(count)->goal, (mtm_goal)count);
    }
    assert_true(count >= 2);
    assert_string_equal(mtm_goal_at(0)->name, "light");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_create_refuses),
        cmocka_unit_test(test_solve_refuses),
        cmocka_unit_test(test_dark),
        cmocka_unit_test(test_one_chromaticity),
        cmocka_unit_test(test_one_emitter),
        cmocka_unit_test(test_duplicates),
        cmocka_unit_test(test_on_a_line),
        cmocka_unit_test(test_boundary),
        cmocka_unit_test(test_dark_corner),
        cmocka_unit_test(test_outputs),
        cmocka_unit_test(test_hue),
        cmocka_unit_test(test_hue_of_two),
        cmocka_unit_test(test_temperature),
        cmocka_unit_test(test_scaled),
        cmocka_unit_test(test_goals),
    };

    return cmocka_run_group_tests_name("solver", tests, NULL, NULL);
}
