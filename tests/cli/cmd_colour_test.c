/* SPDX-License-Identifier: MIT */
/* metamer colour: the forms it prints against published figures. */
#include "support/command.h"

static const struct row {
    const char *name; /* the line */
    const char *part; /* of the output */
} rows[] = {
    /* IEC 61966-2-1: the white of sRGB is D65, x 0.3127, y 0.3290 */
    {"colour --rgb 1,1,1", "x, y             0.31270  0.32900"},
    /* IEC 61966-2-1: the red primary, x 0.64, y 0.33 */
    {"colour --rgb 255,0,0", "x, y             0.64000  0.33000"},
    {"colour --rgb 255,0,0", "srgb            1.0000   0.0000   0.0000"},
    /* IEC 61966-2-1: the matrix to XYZ, first column 0.4124, 0.2126, 0.0193 */
    {"colour --rgb 255,0,0", "X, Y, Z          41.24    21.26     1.93"},
    {"colour --xyz 20,30,10", "X, Y, Z          20.00    30.00    10.00"},
    {"colour --xyz 20,30,10 --luminance 60", "X, Y, Z          40.00    60.00    20.00"},
    /* ITU-R BT.2020: the green primary */
    {"colour --rgb 0,1,0 --space rec2020", "x, y             0.17000  0.79700"},
    /* ANSI E1.54-2015: its white, x 0.4254, y 0.4044 */
    {"colour --rgb 1,1,1 --space e1.54", "x, y             0.42540  0.40440"},
    /* Planckian locus at 3200 K, c2 = 1.4388e-2: x 0.423363, y 0.398953 (computed with the CIE 1931
     * observer at 1 nm by an independent program, SciPy 1.10.1) */
    {"colour --cct 3200", "x, y             0.42336  0.39895"},
    {"colour --cct 3200", "CCT, Duv         3200.0 K  +0.00000   (312.5 mired)"},
    /* a saturated green has no colour temperature */
    {"colour --xy 0.2,0.7", "CCT, Duv         none: "},
    {"colour --xy 0.2,0.7", "outside the space"},
    {"colour --xy 0.3138,0.3310 --observer 10", "defined for the 2° observer"},
};

static void test_row(void **state)
{
    const struct row *row = *state;
    struct ran ran = run_line(row->name);

    if (ran.status != EXIT_DONE)
        fail_msg("%s: %s", row->name, ran.err);
    CHECK_HOLDS(ran.out, row->part);
    ran_free(&ran);
}

static void test_bad(void **state)
{
    (void)state;
    expect_failure("colour", EXIT_USAGE, "no colour is stated");
    expect_failure("colour --like a=1", EXIT_USAGE, "unknown option --like");
    expect_failure("colour --cct 3200 --luminance 0", EXIT_USAGE, "--luminance: found \"0\"");
    expect_failure("colour red", EXIT_USAGE, "one word too many");
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 1];

    ROW_TESTS(tests, rows, test_row);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_bad);
    return cmocka_run_group_tests_name("colour", tests, enter_source, NULL);
}
