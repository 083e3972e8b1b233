/* SPDX-License-Identifier: MIT */
/* The quick way gives what the careful way gives, on every kind of processor the same. */
#include "support/check.h"

#include "random_emitters.h"
#include "solve/answer.h"
#include "solve/quick.h"

static void check_equal(const mtm_answer *a, const mtm_answer *b, double tolerance)
{
    for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
        CHECK_NEAR("level", a->level[k], b->level[k], tolerance);
    CHECK_NEAR("X", a->xyz.x, b->xyz.x, tolerance * b->most);
    CHECK_NEAR("Y", a->xyz.y, b->xyz.y, tolerance * b->most);
    CHECK_NEAR("Z", a->xyz.z, b->xyz.z, tolerance * b->most);
    CHECK_NEAR("x", a->xy.x, b->xy.x, tolerance);
    CHECK_NEAR("y", a->xy.y, b->xy.y, tolerance);
    CHECK_NEAR("distance", a->delta_uv, b->delta_uv, tolerance);
    CHECK_NEAR("watts", a->watts, b->watts, tolerance * (1 + b->watts));
    CHECK_NEAR("most", a->most, b->most, tolerance * b->most);
    assert_int_equal(a->shortfall, b->shortfall);
}

static mtm_request random_request(struct random *random, const struct emitters *set)
{
    mtm_request request = {.xy = random_target(random, set)};
    size_t kind = random_index(random, 3);

    request.goal = (mtm_goal)random_index(random, MTM_GOAL_WATTS + 1);
    request.output.type = (mtm_output_type)kind;
    if (kind == MTM_OUTPUT_LM)
        request.output.value = exp(random_between(random, 0, 8));
    else if (kind == MTM_OUTPUT_SHARE)
        request.output.value = fraction(random);
    return request;
}

/* How often the quick way answered. */
static int compare(struct random *random, size_t count)
{
    struct emitters set;
    mtm_solver *solver = NULL;
    int answered = 0;

    random_emitters(random, count, &set);
    assert_int_equal(mtm_solver_create(set.xyz, set.watts, count, set.limit_w, &solver, NULL),
                     MTM_OK);
    assert_true(solver->quick != NULL);
    for (int i = 0; i < 10; i++) {
        mtm_request request = random_request(random, &set);
        mtm_answer careful, plain, other;
        assert_int_equal(mtmi_answer_carefully(solver, &request, &careful, NULL), MTM_OK);
        bool quick = mtmi_quick_portable.answer(solver, &request, &plain);
        if (quick)
            check_equal(&plain, &careful, 1e-9);
        answered += quick;
        if (mtmi_quick_avx2.answer == NULL || !mtmi_quick_avx2.runs())
            continue;
        assert_int_equal(mtmi_quick_avx2.answer(solver, &request, &other), quick);
        if (quick)
            check_equal(&other, &plain, 0);
    }
    mtm_solver_free(solver);
    return answered;
}

static void test_same(void **state)
{
    struct random random = {21};
    int answered = 0;

    (void)state;
    for (int i = 0; i < 400; i++)
        answered += compare(&random, 3 + (size_t)(i % 14));
    assert_true(answered > 3000); /* of 4000; corners and edges are left to the careful way */
}

/* What the quick way must leave: sets without an inside, targets beyond, requests that are not
 * sound. */
static void test_left(void **state)
{
    struct random random = {22};
    struct emitters set;
    mtm_solver *solver = NULL;
    mtm_answer answer;

    (void)state;
    random_emitters(&random, 2, &set);
    assert_int_equal(mtm_solver_create(set.xyz, set.watts, 2, INFINITY, &solver, NULL), MTM_OK);
    assert_null(solver->quick);
    mtm_solver_free(solver);
    random_emitters(&random, 5, &set);
    assert_int_equal(mtm_solver_create(set.xyz, set.watts, 5, INFINITY, &solver, NULL), MTM_OK);
    const mtm_request left[] = {
        {.xy = {0.05, 0.9}},
        {.xy = {0.72, 0.27}},
        {.xy = {0.3, 0}},
        {.xy = {NAN, 0.3}},
        {.xy = {0.3, 0.3}, .output = {MTM_OUTPUT_LM, 0}},
        {.xy = {0.3, 0.3}, .output = {MTM_OUTPUT_LM, INFINITY}},
        {.xy = {0.3, 0.3}, .output = {MTM_OUTPUT_SHARE, 1.5}},
        {.xy = {0.3, 0.3}, .goal = MTM_GOAL_RENDERING},
    };
    for (size_t i = 0; i < COUNT(left); i++)
        assert_false(mtmi_quick_portable.answer(solver, &left[i], &answer));
    mtm_solver_free(solver);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_same),
        cmocka_unit_test(test_left),
    };

    return cmocka_run_group_tests_name("quick", tests, NULL, NULL);
}
