/* SPDX-License-Identifier: MIT */
/* Lowest levels: mixes that all emitters may have are those that GLPK finds as a mixed integer
 * program; where none gives the light wanted, no light that a search of its own finds is nearer. */
#include "support/check.h"

#include "solve/random_emitters.h"

#include "unit/lowest.h"

#define SEED 83

struct task {
    struct emitters set;
    double lowest, most[16], given[16];
    mtm_xyz wanted;
};

static mtm_xyz light_of(const struct emitters *set, const double *level)
{
    mtm_xyz sum = {0, 0, 0};

    for (size_t k = 0; k < set->count; k++) {
        sum.x += level[k] * set->xyz[k].x;
        sum.y += level[k] * set->xyz[k].y;
        sum.z += level[k] * set->xyz[k].z;
    }
    return sum;
}

static double watts_of(const struct emitters *set, const double *level)
{
    double sum = 0;

    for (size_t k = 0; k < set->count; k++)
        sum += level[k] * set->watts[k];
    return sum;
}

/* Levels of which some are too low, within the power limit. */
static void draw(struct random *random, size_t count, struct task *task)
{
    random_emitters(random, count, &task->set);
    task->lowest = random_between(random, 0.02, 0.4);
    for (size_t k = 0; k < count; k++) {
        task->most[k] = random_index(random, 3) > 0 ? 1 : random_between(random, 0.1, 1);
        bool low = k == 0 || random_index(random, 3) == 0;
        task->given[k] = random_index(random, 6) == 0
                             ? 0
                             : random_between(random, 0, low ? task->lowest : task->most[k]);
    }
    double watts = watts_of(&task->set, task->given);
    for (size_t k = 0; k < count && watts > task->set.limit_w; k++)
        task->given[k] *= task->set.limit_w / watts;
    task->wanted = light_of(&task->set, task->given);
}

static struct mtmi_lowest lowest_of(const struct task *task)
{
    struct mtmi_lowest lowest = {.count = task->set.count, .most_watts = task->set.limit_w};

    for (size_t k = 0; k < task->set.count; k++) {
        lowest.least[k] = task->lowest;
        lowest.most[k] = task->most[k];
        lowest.light[k] = mtmi_sums_of(task->set.xyz[k], task->set.watts[k]);
    }
    return lowest;
}

/* A column more for each emitter: whether it is lit. NaN where there is no such mix. */
static double peer(const struct task *task, bool most)
{
    const int count = (int)task->set.count;
    const mtm_xy xy = mtm_xy_from_xyz(task->wanted);
    glp_prob *lp = lp_peer_create(&task->set);
    glp_iocp how;
    double value = NAN;

    glp_add_cols(lp, count);
    for (int k = 1; k <= count; k++) {
        const int columns[] = {0, k, count + 1 + k};
        const double at_most[] = {0, 1, -task->most[k - 1]}, at_least[] = {0, 1, -task->lowest};
        int row = glp_add_rows(lp, 2);
        glp_set_col_kind(lp, count + 1 + k, GLP_BV);
        glp_set_row_bnds(lp, row, GLP_UP, 0, 0);
        glp_set_mat_row(lp, row, 2, columns, at_most);
        glp_set_row_bnds(lp, row + 1, GLP_LO, 0, 0);
        glp_set_mat_row(lp, row + 1, 2, columns, at_least);
    }
    if (!isnan(lp_peer_solve(lp, &task->set, xy, task->wanted.y, most))) {
        glp_init_iocp(&how);
        how.msg_lev = GLP_MSG_OFF;
        how.tol_int = 1e-9;
        if (glp_intopt(lp, &how) == 0 && glp_mip_status(lp) == GLP_OPT)
            value = glp_mip_obj_val(lp) * (most ? lp_peer_unit(&task->set) : 1);
    }
    glp_delete_prob(lp);
    return value > 1e-9 * (most ? task->wanted.y : 1) ? value : NAN; /* no light is none */
}

/* Squared steps of u', v' (CIE 15:2018, 8.2.1.1) of 0.0011 and of output of 2 %. */
static double cost_of(const struct task *task, const double *level)
{
    const mtm_xyz light = light_of(&task->set, level);
    const mtm_uv uv = mtm_uv_from_xyz(light), wanted = mtm_uv_from_xyz(task->wanted);
    double du = (uv.u - wanted.u) / 0.0011, dv = (uv.v - wanted.v) / 0.0011;
    double output = (light.y / task->wanted.y - 1) / 0.02;

    if (watts_of(&task->set, level) > task->set.limit_w)
        return INFINITY;
    return du * du + dv * dv + output * output;
}

/* Random steps, ever shorter, from the least of a few random places of a set of lit emitters. */
static double search(struct random *random, const struct task *task, unsigned lit)
{
    double level[16] = {0}, next[16] = {0}, best = INFINITY, reach = 1;

    for (int i = 0; i < 4000; i++) {
        for (size_t k = 0; k < task->set.count; k++) {
            if ((lit >> k & 1) == 0)
                continue;
            if (task->most[k] < task->lowest)
                return INFINITY;
            double at = i < 200 ? random_between(random, task->lowest, task->most[k])
                                : level[k] + reach * random_between(random, -1, 1);
            next[k] = fmin(fmax(at, task->lowest), task->most[k]);
        }
        double cost = cost_of(task, next);
        reach = i < 200 ? 0.3 : cost < best ? reach * 1.5 : reach * 0.985;
        if (!(cost < best))
            continue;
        best = cost;
        memcpy(level, next, sizeof level);
    }
    return best;
}

static void check_kept(const struct task *task, const double *level)
{
    for (size_t k = 0; k < task->set.count; k++) {
        if (level[k] != 0 && !(level[k] >= task->lowest - 1e-12 && level[k] <= task->most[k]))
            fail_msg("emitter %zu at %.15g, lowest %g", k, level[k], task->lowest);
    }
    assert_true(watts_of(&task->set, level) <= task->set.limit_w * (1 + 1e-9));
}

static void check_goal(const struct task *task, enum mtmi_lowest_goal goal, int *met)
{
    const struct mtmi_lowest lowest = lowest_of(task);
    const bool most = goal == MTMI_LOWEST_LIGHT;
    double level[16], wanted = peer(task, most);

    memcpy(level, task->given, sizeof level);
    double cost = mtmi_lowest_hold(&lowest, goal, level);
    check_kept(task, level);
    if (isnan(wanted)) {
        assert_true(cost > 0);
        return;
    }
    ++*met;
    CHECK_NEAR("cost", cost, 0, 0);
    const mtm_xyz light = light_of(&task->set, level);
    CHECK_NEAR("u'", mtm_uv_from_xyz(light).u, mtm_uv_from_xyz(task->wanted).u, 2e-9);
    CHECK_NEAR("v'", mtm_uv_from_xyz(light).v, mtm_uv_from_xyz(task->wanted).v, 2e-9);
    double found = most ? light.y : watts_of(&task->set, level);
    CHECK_NEAR("of the goal", found / wanted, 1, 1e-6);
}

static void test_goals(void **state)
{
    struct random random = {SEED};
    struct task task;
    int met = 0;

    (void)state;
    print_message("seed %d\n", SEED);
    for (size_t i = 0; i < 600; i++) {
        draw(&random, 2 + i % 4, &task);
        const struct mtmi_lowest lowest = lowest_of(&task);
        if (!mtmi_lowest_breaks(&lowest, task.given))
            continue;
        check_goal(&task, MTMI_LOWEST_LIGHT, &met);
        check_goal(&task, MTMI_LOWEST_WATTS, &met);
    }
    print_message("of 1200, %d can be met\n", met);
    assert_true(met > 100);
}

static void test_nearest_light(void **state)
{
    struct random random = {SEED + 1};
    struct task task;
    int compared = 0;

    (void)state;
    print_message("seed %d\n", SEED + 1);
    for (size_t i = 0; i < 80; i++) {
        double level[16], least = 2500; /* dark: its output is all off */
        draw(&random, 1 + i % 4, &task);
        const struct mtmi_lowest lowest = lowest_of(&task);
        memcpy(level, task.given, sizeof level);
        if (!mtmi_lowest_breaks(&lowest, level) || !(task.wanted.y > 0))
            continue;
        double cost = mtmi_lowest_hold(&lowest, MTMI_LOWEST_NEAREST, level);
        check_kept(&task, level);
        if (light_of(&task.set, level).y > 0)
            CHECK_NEAR("cost", cost, cost_of(&task, level), 1e-9 * (1 + cost));
        for (unsigned lit = 1; lit >> task.set.count == 0; lit++)
            least = fmin(least, search(&random, &task, lit));
        if (!(cost <= least * (1 + 1e-6) + 1e-9))
            fail_msg("case %zu: cost %.9g, a search finds %.9g", i, cost, least);
        compared++;
    }
    assert_true(compared > 50);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_goals),
                                       cmocka_unit_test(test_nearest_light)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
