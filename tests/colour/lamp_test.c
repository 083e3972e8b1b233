/* SPDX-License-Identifier: MIT */
/* Lamp: the colour temperature of a dimmed lamp, beside the powers of its voltage. */
#include "support/check.h"

#include <metamer/lamp.h>

#include <math.h>

/* D. G. Fink, H. W. Beaty, Standard Handbook for Electrical Engineers, 11th ed., 1978, p. 22-8, as
 * open encyclopedias cite it under lamp rerating: light goes with the voltage to the power of 3.4
 * (3.4 to 3.5), colour temperature to the power of 0.42. */
static void test_powers(void **state)
{
    (void)state;
    for (int percent = 10; percent <= 100; percent += 5) {
        double voltage = percent / 100.0;
        mtm_lamp lamp = {3200, pow(voltage, 3.4)};

        CHECK_NEAR("light", mtm_lamp_share_at(3200, 3200 * pow(voltage, 0.42)), lamp.light_share,
                   1e-12);
        CHECK_NEAR("temperature", mtm_lamp_dimmed_cct_k(lamp), 3200 * pow(voltage, 0.42), 1e-9);
    }
}

/* By hand from the same powers: 0.3 ^ (0.42 / 3.4) = 0.861803, 0.01 ^ ... = 0.566155. */
static void test_shares(void **state)
{
    (void)state;
    CHECK_NEAR("30 %", mtm_lamp_dimmed_cct_k((mtm_lamp){3200, 0.3}), 2757.8, 0.05);
    CHECK_NEAR("1 %", mtm_lamp_dimmed_cct_k((mtm_lamp){2700, 0.01}), 1528.6, 0.05);
    CHECK_NEAR("dark", mtm_lamp_dimmed_cct_k((mtm_lamp){2700, 0}), 0, 0);
    CHECK_NEAR("full", mtm_lamp_dimmed_cct_k((mtm_lamp){2700, 1}), 2700, 0);
}

static void test_no_lamp(void **state)
{
    static const mtm_lamp none[] = {{3200, -0.1},          {3200, 1.01}, {3200, NAN}, {NAN, 0.5},
                                    {(double)INFINITY, 1}, {0, 0.5},     {-3200, 0.5}};

    (void)state;
    for (size_t i = 0; i < COUNT(none); i++)
        assert_true(mtm_lamp_dimmed_cct_k(none[i]) == 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_powers),
        cmocka_unit_test(test_shares),
        cmocka_unit_test(test_no_lamp),
    };

    return cmocka_run_group_tests_name("lamp", tests, NULL, NULL);
}
