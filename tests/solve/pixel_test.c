/* SPDX-License-Identifier: MIT */
/* An RGB value with its own brightness: levels that keep the colours of a picture and how bright
 * they are beside each other. */
#include "support/check.h"

#include <metamer/rgb.h>
#include <metamer/solve.h>

#include <math.h>

/* Emitters that are the primaries of IEC 61966-2-1 make the white by the shares 0.2126, 0.7152 and
 * 0.0722 of its light (4.3: Y of linear red, green and blue). At those fluxes each level is the
 * linear value of its own component, by the same clause: V / 12.92 up to 0.04045, above it
 * ((V + 0.055) / 1.055)^2.4. Y of the value is the weighted sum. */
static double linear(double value)
{
    return value <= 0.04045 ? value / 12.92 : pow((value + 0.055) / 1.055, 2.4);
}

static const double weight[3] = {0.2126, 0.7152, 0.0722};

static mtm_solver *primaries(double red_lm, double green_lm, double blue_lm)
{
    const mtm_xyz xyz[3] = {mtm_xyz_from_xy((mtm_xy){0.64, 0.33}, red_lm),
                            mtm_xyz_from_xy((mtm_xy){0.30, 0.60}, green_lm),
                            mtm_xyz_from_xy((mtm_xy){0.15, 0.06}, blue_lm)};
    const double watts[3] = {1, 1, 1};
    mtm_solver *solver = NULL;

    assert_int_equal(mtm_solver_create(xyz, watts, 3, INFINITY, &solver, NULL), MTM_OK);
    return solver;
}

static const mtm_rgb_space *srgb(void)
{
    const mtm_rgb_space *space = NULL;

    assert_int_equal(mtm_rgb_space_find("srgb", &space, NULL), MTM_OK);
    return space;
}

static const struct row {
    const char *name;
    mtm_rgb rgb;
} rows[] = {
    {"white", {1, 1, 1}},       {"half grey", {0.5, 0.5, 0.5}}, {"red", {1, 0, 0}},
    {"blue", {0, 0, 1}},        {"slate", {0.2, 0.4, 0.6}},     {"near black", {0.02, 0.01, 0.03}},
    {"orange", {1, 0.55, 0.2}}, {"black", {0, 0, 0}},
};

/* The weights have four digits: so has what is compared. */
static void test_pixel(void **state)
{
    const struct row *row = *state;
    mtm_solver *solver = primaries(1000 * weight[0], 1000 * weight[1], 1000 * weight[2]);
    const double value[3] = {row->rgb.r, row->rgb.g, row->rgb.b};
    mtm_answer answer;
    double flux_lm = 0;

    assert_int_equal(mtm_solver_solve_rgb(solver, srgb(), row->rgb, &answer, NULL), MTM_OK);
    for (size_t i = 0; i < 3; i++) {
        CHECK_NEAR("level", answer.level[i], linear(value[i]), 1.5e-3);
        flux_lm += 1000 * weight[i] * linear(value[i]);
    }
    CHECK_NEAR("lumens", answer.xyz.y, flux_lm, 1);
    assert_int_equal(answer.shortfall, 0);
    mtm_solver_free(solver);
}

/* Blue of half the light it should have: the white is half as bright, and blue, 7.2 % of the white,
 * just what there is; green has twice the light it needs. */
static void test_weak_blue(void **state)
{
    mtm_solver *solver = primaries(1000 * weight[0], 1000 * weight[1], 500 * weight[2]);
    mtm_answer blue;
    mtm_answer green;

    (void)state;
    assert_int_equal(mtm_solver_solve_rgb(solver, srgb(), (mtm_rgb){0, 0, 1}, &blue, NULL), MTM_OK);
    assert_int_equal(mtm_solver_solve_rgb(solver, srgb(), (mtm_rgb){0, 1, 0}, &green, NULL),
                     MTM_OK);
    CHECK_NEAR("blue", blue.level[2], 1, 1.5e-3);
    CHECK_NEAR("green", green.level[1], 0.5, 1.5e-3);
    mtm_solver_free(solver);
}

static void test_refused(void **state)
{
    static const mtm_rgb wrong[] = {{1.01, 0, 0}, {0, -0.01, 0}, {0, 0, NAN}};
    mtm_solver *solver = primaries(1, 1, 1);
    mtm_answer answer = {.most = 42};
    mtm_error error;

    (void)state;
    for (size_t i = 0; i < COUNT(wrong); i++) {
        assert_int_equal(mtm_solver_solve_rgb(solver, srgb(), wrong[i], &answer, &error),
                         MTM_INVALID);
        CHECK_HOLDS(error.text, "from 0 to 1");
    }
    CHECK_NEAR("answer untouched", answer.most, 42, 0);
    mtm_solver_free(solver);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 2];

    ROW_TESTS(tests, rows, test_pixel);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_weak_blue);
    tests[COUNT(rows) + 1] = (struct CMUnitTest)cmocka_unit_test(test_refused);
    return cmocka_run_group_tests_name("pixels", tests, NULL, NULL);
}
