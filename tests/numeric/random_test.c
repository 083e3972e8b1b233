/* SPDX-License-Identifier: MIT */
/* Random numbers against the figure that a standard prints for the same generator. */
#include "support/check.h"

#include "numeric/random.h"

/* ISO/IEC 14882 (C++), [rand.predef]: the 10000th number of minstd_rand from its default seed 1 is
 * 399268537. */
static void test_standard(void **state)
{
    mtmi_random random = {1};
    double share = 0;

    (void)state;
    for (int n = 0; n < 10000; n++)
        share = mtmi_random_next(&random);
    assert_int_equal(random.state, 399268537);
    CHECK_NEAR("share", share, 399268537 / 2147483647.0, 0);
}

static void test_range(void **state)
{
    mtmi_random random = {1};
    double sum = 0;

    (void)state;
    for (int n = 0; n < 100000; n++) {
        double share = mtmi_random_next(&random);
        assert_true(share > 0 && share < 1);
        sum += share;
    }
    CHECK_NEAR("mean", sum / 100000, 0.5, 0.005); /* 5 standard deviations of the mean: 0.0046 */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_standard),
        cmocka_unit_test(test_range),
    };

    return cmocka_run_group_tests_name("random", tests, NULL, NULL);
}
