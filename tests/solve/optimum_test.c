/* SPDX-License-Identifier: MIT */
/* Thousands of random fixtures: the optimum is that of GLPK, an independent solver, and each answer
 * proves itself: levels in 0..1, the chromaticity asked, power within the limit. */
#include "support/check.h"
#include "support/random.h"

#include "lp_peer.h"
#include "random_emitters.h"

#include <metamer/solve.h>

/* The same with repetitions: duplicates, lights on one line, dark ones, equal or no watts. */
static void spoil(struct random *random, struct emitters *set)
{
    for (size_t k = 0; k < set->count; k++) {
        size_t a = random_index(random, set->count), b = random_index(random, set->count);
        double share = 0.25 * (double)random_index(random, 5);
        switch (random_index(random, 6)) {
        case 0:
            set->xyz[k] = set->xyz[a];
            break;
        case 1: {
            mtm_xyz p = set->xyz[a], q = set->xyz[b];
            set->xyz[k] = (mtm_xyz){p.x + share * (q.x - p.x), p.y + share * (q.y - p.y),
                                    p.z + share * (q.z - p.z)};
            break;
        }
        case 2:
            set->xyz[k] = (mtm_xyz){0, 0, 0};
            break;
        case 3:
            set->watts[k] = set->watts[a];
            break;
        case 4:
            set->watts[k] = 0;
            break;
        default:
            break;
        }
    }
    for (size_t k = 0; random_index(random, 8) == 0 && k < set->count; k++)
        set->watts[k] = 0;
    for (size_t k = 0; random_index(random, 8) == 0 && k < set->count; k++)
        set->watts[k] = 5;
}

static void check_certificate(const struct emitters *set, const mtm_solver *solver, mtm_xy xy,
                              const mtm_answer *answer)
{
    double watts = 0, total = 0;
    mtm_xyz xyz = mtm_solver_xyz(solver, answer->level);

    for (size_t k = 0; k < set->count; k++) {
        assert_true(answer->level[k] >= 0 && answer->level[k] <= 1);
        watts += answer->level[k] * set->watts[k];
        total += set->watts[k];
    }
    for (size_t k = set->count; k < MTM_EMITTERS_MAX; k++)
        CHECK_NEAR("level beyond the count", answer->level[k], 0, 0);
    CHECK_NEAR("watts", answer->watts, watts, 1e-12 * total);
    assert_true(watts <= set->limit_w * (1 + 1e-9) + 1e-300);
    CHECK_NEAR("Y", answer->xyz.y, xyz.y, 1e-12 * answer->most);
    CHECK_NEAR("x", answer->xy.x, xy.x, 1e-9);
    CHECK_NEAR("y", answer->xy.y, xy.y, 1e-9);
    CHECK_NEAR("x of the levels", mtm_xy_from_xyz(xyz).x, xy.x, 1e-9);
    CHECK_NEAR("distance", answer->delta_uv, 0, 1e-9);
    assert_false(answer->shortfall & (MTM_SHORT_GAMUT | MTM_SHORT_OUTPUT));
}

static void compare(struct random *random, const struct emitters *set)
{
    mtm_solver *solver = NULL;
    mtm_answer answer;
    mtm_request request = {.xy = random_target(random, set)};
    mtm_answer full;
    glp_prob *lp = lp_peer_create(set);
    double total = 0;

    for (size_t k = 0; k < set->count; k++)
        total += set->watts[k];
    assert_int_equal(
        mtm_solver_create(set->xyz, set->watts, set->count, set->limit_w, &solver, NULL), MTM_OK);

    double most = lp_peer_solve(lp, set, request.xy, 0, 1);
    assert_int_equal(mtm_solver_solve(solver, &request, &answer, NULL), MTM_OK);
    check_certificate(set, solver, request.xy, &answer);
    CHECK_NEAR("most", answer.most, most, 1e-9 * most);
    CHECK_NEAR("output", answer.xyz.y, most, 1e-9 * most);
    CHECK_NEAR("fewest watts of the most", answer.watts,
               lp_peer_solve(lp, set, request.xy, answer.xyz.y * (1 - 1e-11), 0), 1e-4 * total);

    full = answer;

    request.goal = MTM_GOAL_WATTS;
    request.output = (mtm_output){MTM_OUTPUT_SHARE, fraction(random)};
    double wanted = request.output.value * most;
    double watts = lp_peer_solve(lp, set, request.xy, wanted, 0);
    assert_int_equal(mtm_solver_solve(solver, &request, &answer, NULL), MTM_OK);
    check_certificate(set, solver, request.xy, &answer);
    CHECK_NEAR("output", answer.xyz.y, wanted, 1e-9 * most);
    CHECK_NEAR("fewest watts", answer.watts, watts, 1e-9 * total);

    request.goal = MTM_GOAL_LIGHT;
    assert_int_equal(mtm_solver_solve(solver, &request, &answer, NULL), MTM_OK);
    check_certificate(set, solver, request.xy, &answer);
    CHECK_NEAR("output", answer.xyz.y, wanted, 1e-9 * most);
    for (size_t k = 0; k < set->count; k++)
        CHECK_NEAR("the same mix", answer.level[k], full.level[k] * request.output.value, 1e-9);

    glp_delete_prob(lp);
    mtm_solver_free(solver);
}

static void test_random(void **state)
{
    struct random random = {1};
    struct emitters set;

    (void)state;
    for (int i = 0; i < 3000; i++) {
        random_emitters(&random, i % 8 == 0 ? 9 + random_index(&random, 8) : 2 + (size_t)(i % 7),
                        &set);
        compare(&random, &set);
    }
}

static void test_degenerate(void **state)
{
    struct random random = {2};
    struct emitters set;

    (void)state;
    for (int i = 0; i < 3000; i++) {
        double sum = 0;
        random_emitters(&random, i % 8 == 0 ? 9 + random_index(&random, 8) : 1 + (size_t)(i % 8),
                        &set);
        spoil(&random, &set);
        for (size_t k = 0; k < set.count; k++)
            sum += set.xyz[k].y;
        if (sum > 0)
            compare(&random, &set);
    }
}

/* Lights that agree to 1e-7, but not quite: GLPK's tolerances are too wide for these, but the
 * colour and the power must be right. */
static void test_near(void **state)
{
    struct random random = {4};
    struct emitters set;

    (void)state;
    for (int i = 0; i < 2000; i++) {
        mtm_solver *solver = NULL;
        mtm_answer answer;
        double sum = 0;
        random_emitters(&random, 2 + (size_t)(i % 7), &set);
        spoil(&random, &set);
        for (size_t k = 0; k < set.count; k++) {
            double much = pow(10, random_between(&random, -7, -3));
            set.xyz[k].x *= 1 + much * random_between(&random, -1, 1);
            set.xyz[k].z *= 1 + much * random_between(&random, -1, 1);
            sum += set.xyz[k].y;
        }
        if (!(sum > 0))
            continue;
        mtm_request request = {.xy = random_target(&random, &set),
                               .output = {(mtm_output_type)(i % 2 * MTM_OUTPUT_SHARE), 0.3}};
        assert_int_equal(
            mtm_solver_create(set.xyz, set.watts, set.count, set.limit_w, &solver, NULL), MTM_OK);
        assert_int_equal(mtm_solver_solve(solver, &request, &answer, NULL), MTM_OK);
        mtm_xy xy = mtm_xy_from_xyz(mtm_solver_xyz(solver, answer.level));
        CHECK_NEAR("x of the levels", xy.x, request.xy.x, 1e-8);
        CHECK_NEAR("y of the levels", xy.y, request.xy.y, 1e-8);
        CHECK_NEAR("output", answer.xyz.y, (i % 2 != 0 ? 0.3 : 1) * answer.most,
                   1e-6 * answer.most);
        assert_true(answer.watts <= set.limit_w * (1 + 1e-6));
        mtm_solver_free(solver);
    }
}

/* Lumens may be a thousandth or a million: nothing but the scale of the answer changes. */
static void test_scale(void **state)
{
    struct random random = {3};
    struct emitters set;

    (void)state;
    for (int i = 0; i < 300; i++) {
        random_emitters(&random, 2 + (size_t)(i % 7), &set);
        double scale = pow(10, random_between(&random, -6, 5));
        for (size_t k = 0; k < set.count; k++) {
            set.xyz[k].x *= scale;
            set.xyz[k].y *= scale;
            set.xyz[k].z *= scale;
        }
        compare(&random, &set);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_random),
        cmocka_unit_test(test_degenerate),
        cmocka_unit_test(test_near),
        cmocka_unit_test(test_scale),
    };

    return cmocka_run_group_tests_name("optimum", tests, NULL, NULL);
}
