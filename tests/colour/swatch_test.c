/* SPDX-License-Identifier: MIT */
/* Swatches: what sRGB shows, by its standard; what it does not, at the hue of Oklab. */
#include "support/check.h"

#include <metamer/lab.h>
#include <metamer/rgb.h>
#include <metamer/swatch.h>

/* IEC 61966-2-1:1999: chromaticities of the primaries and of D65 (table 1). White beside itself is
 * the screen's white whatever it is. The others: linear RGB by the matrix of the standard (5.3),
 * scaled to a largest part of 1 and encoded (5.2), worked out apart from the library. */
static const struct shown {
    const char *name;
    mtm_xy xy, white;
    int r, g, b;
} shown[] = {
    {"white", {0.3127, 0.3290}, {0, 0}, 255, 255, 255},
    {"red", {0.6400, 0.3300}, {0, 0}, 255, 0, 0},
    {"green", {0.3000, 0.6000}, {0, 0}, 0, 255, 0},
    {"blue", {0.1500, 0.0600}, {0, 0}, 0, 0, 255},
    {"white of 2856 K beside itself", {0.44758, 0.40745}, {0.44758, 0.40745}, 255, 255, 255},
    /* X, Y, Z 1.0985, 1, 0.3558: linear 1.8452, 0.8262, 0.2333; of the largest 0.4478, 0.1264;
     * encoded 0.6999, 0.3907 */
    {"illuminant A beside D65", {0.44758, 0.40745}, {0, 0}, 255, 178, 100},
};

static void test_shown(void **state)
{
    const struct shown *row = *state;
    mtm_swatch swatch = {0};

    assert_int_equal(mtm_swatches_from_xy(&row->xy, 1, row->white, &swatch, NULL), MTM_OK);
    if (abs(swatch.r - row->r) > 1 || abs(swatch.g - row->g) > 1 || abs(swatch.b - row->b) > 1)
        fail_msg("%d, %d, %d", swatch.r, swatch.g, swatch.b);
    assert_true(swatch.shown);
}

/* Pure lines of light at 460, 520 and 600 nm (CIE 018:2019, table of the spectrum locus), and a
 * purple: the hue angle in Oklab is that of the colour itself, and one part at least is 0. */
static const mtm_xy beyond[] = {
    {0.1440, 0.0297}, {0.0743, 0.8338}, {0.6270, 0.3725}, {0.50, 0.15}, {0.7347, 0.2653}};

static double hue_of(mtm_xyz xyz)
{
    mtm_oklab lab = mtm_oklab_from_xyz(xyz);

    return atan2(lab.b, lab.a);
}

static void test_beyond(void **state)
{
    mtm_swatch swatch[COUNT(beyond)];

    (void)state;
    assert_int_equal(mtm_swatches_from_xy(beyond, COUNT(beyond), (mtm_xy){0, 0}, swatch, NULL),
                     MTM_OK);
    for (size_t i = 0; i < COUNT(beyond); i++) {
        const mtm_swatch *s = &swatch[i];
        mtm_xyz xyz = {beyond[i].x / beyond[i].y, 1, (1 - beyond[i].x - beyond[i].y) / beyond[i].y};
        mtm_rgb rgb = {s->r / 255.0, s->g / 255.0, s->b / 255.0};
        double turn = hue_of(mtm_rgb_to_xyz(mtm_rgb_space_at(0), rgb)) - hue_of(xyz);
        assert_false(s->shown);
        CHECK_NEAR("hue", remainder(turn, 2 * 3.14159265358979323846), 0, 0.01);
        CHECK_NEAR("darkest part", fmin(s->r, fmin(s->g, s->b)), 0, 1);
        CHECK_NEAR("brightest part", fmax(s->r, fmax(s->g, s->b)), 255, 0);
    }
}

int main(void)
{
    struct CMUnitTest tests[COUNT(shown) + 1];

    ROW_TESTS(tests, shown, test_shown);
    tests[COUNT(shown)] = (struct CMUnitTest)cmocka_unit_test(test_beyond);
    return cmocka_run_group_tests_name("swatches", tests, NULL, NULL);
}
