/* SPDX-License-Identifier: MIT */
/* Matches kept within ratings, and how near they agree: by the definitions of the sums, of
 * u', v' (CIE 015:2018, 8.2.1), and of what is left alone. */
#include "support/check.h"

#include <metamer/agreement.h>
#include <metamer/match_demand.h>

/* Of the example rig, all units on one white at the most they give. */
struct matched {
    mtm_rig *rig;
    mtm_matcher *matcher;
    mtm_match_request request;
    mtm_match match[32];
    bool held[32];
    size_t count;
};

static int match_rig(void **state)
{
    static struct matched m;
    char path[512];
    const char *source = getenv("METAMER_SOURCE");

    assert_non_null(source);
    m = (struct matched){.request = {.goal = MTM_GOAL_LIGHT}};
    (void)snprintf(path, sizeof path, "%s/examples/hall.json", source);
    assert_int_equal(mtm_rig_load(path, &m.rig, NULL), MTM_OK);
    assert_int_equal(
        mtm_target_from_white((mtm_white){3200, 0}, MTM_OBSERVER_2, &m.request.target, NULL),
        MTM_OK);
    assert_int_equal(mtm_matcher_create(m.rig, MTM_OBSERVER_2, &m.matcher, NULL), MTM_OK);
    m.count = mtm_rig_unit_count(m.rig);
    assert_true(m.count <= COUNT(m.match));
    for (size_t i = 0; i < m.count; i++)
        assert_int_equal(mtm_matcher_unit(m.matcher, i, &m.request, &m.match[i], NULL), MTM_OK);
    *state = &m;
    return 0;
}

static int free_rig(void **state)
{
    struct matched *m = *state;

    mtm_matcher_free(m->matcher);
    mtm_rig_free(m->rig);
    return 0;
}

/* Rows of ports and supplies that are over; circuits are not held. */
static size_t count_over(const struct matched *m, const mtm_demand_options *options)
{
    mtm_demand *demand = NULL;
    size_t over = 0;

    assert_int_equal(mtm_match_demand(m->rig, m->match, m->count, options, &demand, NULL), MTM_OK);
    for (size_t i = 0; i < mtm_demand_row_count(demand); i++)
        over += mtm_demand_row_at(demand, i)->over &&
                mtm_demand_row_at(demand, i)->type != MTM_DEMAND_CIRCUIT;
    mtm_demand_free(demand);
    return over;
}

static void test_each_is_held(void **state)
{
    struct matched *m = *state;
    const mtm_demand_options fifth = {.supply_share = 0.2};
    mtm_match before[32];
    size_t lowered = 0;

    memcpy(before, m->match, sizeof before);
    assert_true(count_over(m, &fifth) > 0);
    assert_int_equal(mtm_match_hold_demand(m->matcher, &m->request, m->match, m->count, NULL,
                                           &fifth, m->held, NULL),
                     MTM_OK);
    assert_int_equal(count_over(m, &fifth), 0);
    for (size_t i = 0; i < m->count; i++) {
        lowered += m->held[i];
        if (m->held[i])
            assert_true(m->match[i].watts < before[i].watts);
        else
            assert_memory_equal(&m->match[i], &before[i], sizeof before[i]);
        /* the mix does not depend on the output: only the steps of the codes move the colour */
        CHECK_NEAR("gamut", m->match[i].gamut_uv, before[i].gamut_uv, 1e-9);
    }
    assert_true(lowered > 0);
}

static void test_failure_leaves_all(void **state)
{
    struct matched *m = *state;
    const mtm_demand_options bad = {.supply_share = 2};
    mtm_match before[32];

    memcpy(before, m->match, sizeof before);
    assert_int_equal(mtm_match_hold_demand(m->matcher, &m->request, m->match, m->count, NULL, &bad,
                                           m->held, NULL),
                     MTM_INVALID);
    assert_memory_equal(before, m->match, sizeof before);
    for (size_t i = 0; i < m->count; i++)
        assert_false(m->held[i]);
}

/* u' = 4 X / (X + 15 Y + 3 Z), v' = 9 Y / (X + 15 Y + 3 Z); by hand. */
static void test_spread(void **state)
{
    static const mtm_xyz xyz[] = {{4, 1, 1}, {0, 0, 0}, {1, 1, 8}, {4, 1, 1}, {2, 2, 16}};
    const double u[2] = {16.0 / 22, 4.0 / 40};
    const double v[2] = {9.0 / 22, 9.0 / 40};
    mtm_match match[COUNT(xyz)] = {{.unit = 0}};
    double spread_uv = -1;

    (void)state;
    for (size_t i = 0; i < COUNT(xyz); i++)
        match[i].xyz = xyz[i];
    assert_int_equal(mtm_match_spread(match, COUNT(xyz), &spread_uv, NULL), MTM_OK);
    CHECK_NEAR("spread", spread_uv, hypot(u[0] - u[1], v[0] - v[1]), 1e-15);
    assert_int_equal(mtm_match_spread(match, 2, &spread_uv, NULL), MTM_OK); /* one lit, one dark */
    CHECK_NEAR("of one", spread_uv, 0, 0);
}

static void test_farthest_is_first_of_equals(void **state)
{
    mtm_match match[4] = {{.delta_uv = 0.001}, {.delta_uv = 0.004}, {.delta_uv = 0.004}};

    (void)state;
    match[2].delta_uv += 1e-12; /* no more than rounding makes */
    assert_ptr_equal(mtm_match_farthest(match, 4), &match[1]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_each_is_held, match_rig, free_rig),
        cmocka_unit_test_setup_teardown(test_failure_leaves_all, match_rig, free_rig),
        cmocka_unit_test(test_spread),
        cmocka_unit_test(test_farthest_is_first_of_equals),
    };

    return cmocka_run_group_tests_name("match_load", tests, NULL, NULL);
}
