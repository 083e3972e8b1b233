/* SPDX-License-Identifier: MIT */
/* The nearest mix: its certificate is checked by an independent solver of linear programs (GLPK).
 * Levels are nearest to a base exactly if no others of the same light lie farther along the way
 * from them to the base: the projection theorem for convex sets. */
#include "support/check.h"
#include "support/random.h"

#include "fade/mix.h"

#include <glpk.h>

static mtmi_mix_basis draw(struct random *random, bool limited)
{
    mtmi_mix_basis set = {.count = 2 + random_index(random, 9), .limited = limited};
    double most = 0;

    for (size_t i = 0; i < set.count; i++) {
        set.xyz[1][i] = random_between(random, 0.02, 1);
        set.xyz[0][i] = set.xyz[1][i] * random_between(random, 0.2, 3);
        set.xyz[2][i] = set.xyz[1][i] * random_between(random, 0.01, 8);
        set.watts[i] = limited ? random_between(random, 0.05, 0.5) : 0;
        set.most[i] = random_index(random, 2) == 0 ? 1 : random_between(random, 0.2, 1);
        most += set.xyz[1][i];
    }
    for (size_t i = 0; i < set.count; i++)
        for (size_t k = 0; k < 3; k++)
            set.xyz[k][i] /= most;
    set.full_y = 1000;
    return set;
}

/* The most that weight * level can be among the levels of this light. */
static double lp_most(const mtmi_mix_basis *set, mtm_xyz wanted, const double *weight)
{
    glp_prob *lp = glp_create_prob();
    const double light[3] = {wanted.x, wanted.y, wanted.z};
    glp_smcp how;

    glp_term_out(GLP_OFF);
    glp_add_rows(lp, 4);
    glp_add_cols(lp, (int)set->count);
    for (int row = 1; row <= 3; row++)
        glp_set_row_bnds(lp, row, GLP_FX, light[row - 1] / set->full_y,
                         light[row - 1] / set->full_y);
    glp_set_row_bnds(lp, 4, set->limited ? GLP_UP : GLP_FR, 0, 1);
    for (size_t i = 0; i < set->count; i++) {
        const int rows[] = {0, 1, 2, 3, 4};
        const double values[] = {0, set->xyz[0][i], set->xyz[1][i], set->xyz[2][i], set->watts[i]};

        glp_set_col_bnds(lp, (int)i + 1, GLP_DB, 0, set->most[i]);
        glp_set_mat_col(lp, (int)i + 1, 4, rows, values);
        glp_set_obj_coef(lp, (int)i + 1, weight[i]);
    }
    glp_set_obj_dir(lp, GLP_MAX);
    glp_init_smcp(&how);
    how.msg_lev = GLP_MSG_OFF;
    double most =
        glp_simplex(lp, &how) == 0 && glp_get_status(lp) == GLP_OPT ? glp_get_obj_val(lp) : NAN;
    glp_delete_prob(lp);
    return most;
}

/* Levels that keep to the power limit. */
static void draw_levels(struct random *random, const mtmi_mix_basis *set, double *level)
{
    double power = 0;

    for (size_t i = 0; i < set->count; i++) {
        double v = random_between(random, -0.3, 1.3); /* some at the ends */

        level[i] = v > 0 ? fmin(v, set->most[i]) : 0;
        power += level[i] * set->watts[i];
    }
    for (size_t i = 0; i < set->count && power > 1; i++)
        level[i] /= power;
}

static void check_nearest(bool limited, uint64_t seed)
{
    struct random random = {seed};

    for (int round = 0; round < 400; round++) {
        mtmi_mix_basis set = draw(&random, limited);
        double made_of[MTM_EMITTERS_MAX];
        double base[MTM_EMITTERS_MAX];
        double level[MTM_EMITTERS_MAX];
        double to_base[MTM_EMITTERS_MAX];
        double own = 0;
        double power = 0;

        draw_levels(&random, &set, made_of);
        draw_levels(&random, &set, base);
        mtm_xyz wanted = mtmi_mix_xyz(&set, made_of);
        if (!mtmi_mix_nearest(&set, base, wanted, level))
            fail_msg("round %d: no levels found where there are some", round);
        mtm_xyz got = mtmi_mix_xyz(&set, level);
        CHECK_NEAR("X", got.x, wanted.x, 1e-5);
        CHECK_NEAR("Y", got.y, wanted.y, 1e-5);
        CHECK_NEAR("Z", got.z, wanted.z, 1e-5);
        for (size_t i = 0; i < set.count; i++) {
            assert_true(level[i] >= 0 && level[i] <= set.most[i]);
            to_base[i] = base[i] - level[i];
            own += to_base[i] * level[i];
            power += level[i] * set.watts[i];
        }
        assert_true(power <= 1 + 1e-9);
        double most = lp_most(&set, wanted, to_base);
        if (!(most <= own + 1e-5))
            fail_msg("round %d: %.9g is farther along than %.9g", round, most, own);
    }
}

static void test_nearest(void **state)
{
    (void)state;
    check_nearest(false, 11);
}

static void test_nearest_within_power(void **state)
{
    (void)state;
    check_nearest(true, 12);
}

/* A light brighter than all emitters together, and a colour beyond them. */
static void test_out_of_reach(void **state)
{
    struct random random = {5};
    mtmi_mix_basis set = draw(&random, false);
    double base[MTM_EMITTERS_MAX] = {0};
    double level[MTM_EMITTERS_MAX];

    (void)state;
    assert_false(mtmi_mix_nearest(&set, base, (mtm_xyz){1500, 1500, 1500}, level));
    assert_false(mtmi_mix_nearest(&set, base, (mtm_xyz){1, 100, 1}, level));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_nearest),
        cmocka_unit_test(test_nearest_within_power),
        cmocka_unit_test(test_out_of_reach),
    };

    return cmocka_run_group_tests_name("nearest mix", tests, NULL, NULL);
}
