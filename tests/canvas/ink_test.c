/* SPDX-License-Identifier: MIT */
/* Inks: contrast to the ground, by the formula of WCAG 2.2. */
#include "support/check.h"

#include "canvas/ink.h"

/* Relative luminance and contrast ratio: WCAG 2.2 (W3C Recommendation, 2023), definitions. */
static double linear(double value)
{
    return value <= 0.04045 ? value / 12.92 : pow((value + 0.055) / 1.055, 2.4);
}

static double luminance(mtmi_ink ink)
{
    return 0.2126 * linear(ink.r) + 0.7152 * linear(ink.g) + 0.0722 * linear(ink.b);
}

static double contrast(mtmi_ink a, mtmi_ink b)
{
    double first = luminance(a) + 0.05, second = luminance(b) + 0.05;

    return first > second ? first / second : second / first;
}

static const struct row {
    const char *name;
    mtmi_theme theme;
    mtmi_ink_role role;
    double least;
} rows[] = {
    {"text, light", MTMI_THEME_LIGHT, MTMI_INK_TEXT, 7},
    {"text, dark", MTMI_THEME_DARK, MTMI_INK_TEXT, 7},
    {"text, print", MTMI_THEME_PRINT, MTMI_INK_TEXT, 7},
    {"quiet text, light", MTMI_THEME_LIGHT, MTMI_INK_QUIET, 4.5},
    {"quiet text, dark", MTMI_THEME_DARK, MTMI_INK_QUIET, 4.5},
    {"quiet text, print", MTMI_THEME_PRINT, MTMI_INK_QUIET, 4.5},
    {"accent, light", MTMI_THEME_LIGHT, MTMI_INK_ACCENT, 4.5},
    {"accent, dark", MTMI_THEME_DARK, MTMI_INK_ACCENT, 4.5},
};

static void test_contrast(void **state)
{
    const struct row *row = *state;
    double got =
        contrast(mtmi_ink_of(row->theme, row->role), mtmi_ink_of(row->theme, MTMI_INK_PAPER));

    if (!(got >= row->least))
        fail_msg("%s: %.2f:1, wanted %.1f:1", row->name, got, row->least);
}

/* Marks that carry meaning: 3:1 (WCAG 2.2, 1.4.11), every one of a series. */
static void test_series(void **state)
{
    (void)state;
    for (int theme = MTMI_THEME_LIGHT; theme <= MTMI_THEME_PRINT; theme++) {
        for (unsigned i = 0; i < MTMI_INK_SERIES; i++) {
            double got = contrast(mtmi_ink_of_series((mtmi_theme)theme, i),
                                  mtmi_ink_of((mtmi_theme)theme, MTMI_INK_PAPER));
            if (!(got >= 3))
                fail_msg("theme %d, ink %u: %.2f:1", theme, i, got);
        }
    }
}

/* Greys are neutral: nothing of the ground tints the eye. */
static void test_neutral(void **state)
{
    (void)state;
    for (int theme = MTMI_THEME_LIGHT; theme <= MTMI_THEME_PRINT; theme++) {
        for (int role = MTMI_INK_PAPER; role <= MTMI_INK_TEXT; role++) {
            mtmi_ink ink = mtmi_ink_of((mtmi_theme)theme, (mtmi_ink_role)role);
            CHECK_NEAR("green of a grey", ink.g, ink.r, 0);
            CHECK_NEAR("blue of a grey", ink.b, ink.r, 0);
        }
    }
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 2];

    ROW_TESTS(tests, rows, test_contrast);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_series);
    tests[COUNT(rows) + 1] = (struct CMUnitTest)cmocka_unit_test(test_neutral);
    return cmocka_run_group_tests_name("inks", tests, NULL, NULL);
}
