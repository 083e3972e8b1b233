/* SPDX-License-Identifier: MIT */
/* Cost of codes: one step of u', v' (0.0011) or of output (2 %) costs 1; squares add; black and too
 * many watts. u', v' are those of ISO/CIE 11664-5 as the library computes them elsewhere. */
#include "support/check.h"
#include "support/random.h"

#include "unit/code_cost.h"

static struct mtmi_cost_basis basis_of(mtm_xyz xyz, double most_watts)
{
    return mtmi_cost_basis_of(mtmi_sums_of(xyz, 0), most_watts);
}

static mtm_xyz draw(struct random *random)
{
    return (mtm_xyz){random_between(random, 1, 100), random_between(random, 1, 100),
                     random_between(random, 1, 100)};
}

static void test_off(void **state)
{
    struct random random = {41}; /* the seed */

    (void)state;
    for (int i = 0; i < 1000; i++) {
        mtm_xyz wanted = draw(&random), light = draw(&random);
        mtm_uv to = mtm_uv_from_xyz(wanted), from = mtm_uv_from_xyz(light);
        const struct mtmi_cost_basis basis = basis_of(wanted, INFINITY);
        struct mtmi_off off = mtmi_off_by(&basis, mtmi_sums_of(light, 0));
        CHECK_NEAR("u'", off.u, (from.u - to.u) / 0.0011, 1e-9);
        CHECK_NEAR("v'", off.v, (from.v - to.v) / 0.0011, 1e-9);
        CHECK_NEAR("output", off.output, (light.y / wanted.y - 1) / 0.02, 1e-9);
        double cost = mtmi_code_cost(&basis, mtmi_sums_of(light, 0));
        double uv = mtm_uv_distance(to, from) / 0.0011, output = off.output;
        CHECK_NEAR("cost", cost, uv * uv + output * output, 1e-9 * cost);
    }
}

/* A light is itself at no cost; one step less; none; too many watts. */
static void test_limits(void **state)
{
    const mtm_xyz white = {95.047, 100, 108.883}; /* D65, CIE 015:2018, table 9.2 */
    const struct mtmi_cost_basis basis = basis_of(white, 40);
    const mtm_xyz dimmer = {0.98 * white.x, 0.98 * white.y, 0.98 * white.z};

    (void)state;
    CHECK_NEAR("itself", mtmi_code_cost(&basis, mtmi_sums_of(white, 40)), 0, 1e-20);
    CHECK_NEAR("2 % less", mtmi_code_cost(&basis, mtmi_sums_of(dimmer, 39)), 1, 1e-9);
    CHECK_NEAR("black", mtmi_code_cost(&basis, mtmi_sums_of((mtm_xyz){0, 0, 0}, 0)), 50 * 50, 1e-9);
    assert_true(isinf(mtmi_code_cost(&basis, mtmi_sums_of(white, 40.1))));
    CHECK_NEAR("open", mtmi_same_behind(1), MTMI_SAME_LEVEL, 0);
    CHECK_NEAR("half", mtmi_same_behind(0.5), 2 * MTMI_SAME_LEVEL, 0);
    CHECK_NEAR("nearly shut", mtmi_same_behind(1e-9), 1e-6, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_off),
        cmocka_unit_test(test_limits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
