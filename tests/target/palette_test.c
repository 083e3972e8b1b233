/* SPDX-License-Identifier: MIT */
/* Palettes: files of named colours, alone and in shows, and what they refuse. */
#include "support/check.h"

#include <metamer/palette.h>
#include <metamer/show.h>

#include <stdio.h>
#include <unistd.h>

/* The example, and the white of CIE illuminant D65 (CIE 015:2018, table 2.2: x 0.3127, y 0.3290 as
 * IEC 61966-2-1 rounds it), which is RGB white. */
static void test_load(void **state)
{
    static const char *const names[] = {"lamp", "dusk", "moon", "sea green", "deep blue"};
    mtm_palette *palette = NULL;
    mtm_error error = {""};

    (void)state;
    if (mtm_palette_load("examples/palette.json", NULL, MTM_OBSERVER_2, &palette, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_string_equal(mtm_palette_name(palette), "evening palette");
    assert_int_equal(mtm_palette_count(palette), COUNT(names));
    for (size_t i = 0; i < COUNT(names); i++)
        assert_string_equal(mtm_palette_colour_name(palette, i), names[i]);
    assert_null(mtm_palette_colour_name(palette, COUNT(names)));
    assert_null(mtm_palette_colour(palette, COUNT(names)));
    assert_string_equal(mtm_palette_colour(palette, 0)->description, "2900 K");
    CHECK_NEAR("sea green", mtm_palette_colour(palette, 3)->xy.x, 0.24, 1e-12);
    assert_true(mtm_palette_colour(palette, 2)->has_spectrum);
    mtm_palette_free(palette);
    const char white[] = "{\"metamer\":\"colours/1\",\"name\":\"p\",\"colours\":"
                         "{\"w\":{\"rgb\":[1,1,1]}}}";
    assert_int_equal(
        mtm_palette_parse(white, strlen(white), "p", NULL, NULL, MTM_OBSERVER_2, &palette, NULL),
        MTM_OK);
    CHECK_NEAR("x of D65", mtm_palette_colour(palette, 0)->xy.x, 0.3127, 0.5e-4);
    CHECK_NEAR("y of D65", mtm_palette_colour(palette, 0)->xy.y, 0.3290, 0.5e-4);
    mtm_palette_free(palette);
}

static const struct refused {
    const char *name; /* behind the kind */
    const char *part;
} refused[] = {
    {"\"name\":\"p\"", "p: key \"colours\" is missing"},
    {"\"name\":\"p\",\"colours\":{}", "p: colours: has 0 colours, allowed are 1 to 4096"},
    {"\"name\":\"p\",\"colours\":[]", "p: colours: found a list, wanted is an object of colours"},
    {"\"name\":\"p\",\"colours\":\"q\"", "wanted is an object of colours by name"},
    {"\"colours\":{\"a\":{\"cct_k\":3200}}", "\"name\""},
    {"\"name\":\"p\",\"colours\":{\"\":{\"cct_k\":3200}}", "a colour's name is empty"},
    {"\"name\":\"p\",\"colours\":{\"a\":{}}", "p: colours.a: no colour is stated"},
    {"\"name\":\"p\",\"colours\":{\"a\":{\"cct_k\":1}}", "p: colours.a.cct_k: "},
    {"\"name\":\"p\",\"colours\":{\"a\":{\"cct_k\":3200},\"a\":{\"cct_k\":2700}}",
     "key \"a\" stands twice"},
    {"\"name\":\"p\",\"colour\":{}", "unknown key \"colour\""},
};

static void test_refused(void **state)
{
    const struct refused *row = *state;
    char text[300];
    mtm_palette *palette = NULL;
    mtm_error error = {""};
    int length = snprintf(text, sizeof text, "{\"metamer\":\"colours/1\",%s}", row->name);

    assert_int_equal(
        mtm_palette_parse(text, (size_t)length, "p", NULL, NULL, MTM_OBSERVER_2, &palette, &error),
        MTM_PARSE);
    assert_null(palette);
    CHECK_HOLDS(error.text, row->part);
}

/* What "colours" of a show is, the colours it then has, or what is wrong with it. */
static const struct in_show {
    const char *name;
    size_t count;
    const char *part;
} in_shows[] = {
    {"\"palette.json\"", 5, NULL},
    {"[\"palette.json\",{\"night\":{\"xy\":[0.2,0.2]}}]", 6, NULL},
    {"[{\"night\":{\"xy\":[0.2,0.2]}},\"palette.json\"]", 6, NULL},
    {"[]", 0, NULL},
    {"[\"palette.json\",{\"moon\":{\"xy\":[0.2,0.2]}}]", 0,
     "show: colours[1].moon: colour \"moon\" is named twice"},
    {"[\"palette.json\",\"palette.json\"]", 0, "show: colours[1]: colour \"lamp\" is named twice"},
    {"\"nowhere.json\"", 0, "show: colours: "},
    {"\"hall.json\"", 0, "hall.json: metamer: found \"rig/1\", allowed is \"colours/1\""},
    {"[3]", 0, "show: colours[0]: found a number, wanted is an object of colours by name"},
};

static void test_in_show(void **state)
{
    const struct in_show *row = *state;
    char text[400];
    mtm_show *show = NULL;
    mtm_error error = {""};
    int length = snprintf(text, sizeof text,
                          "{\"metamer\":\"show/1\",\"name\":\"s\",\"rig\":\"hall.json\","
                          "\"colours\":%s,\"cues\":[{\"number\":1,\"up_s\":1,\"set\":[{\"group\":"
                          "\"all\",\"colour\":%s}]}]}",
                          row->name, row->count > 0 ? "\"moon\"" : "{\"cct_k\":3200}");
    mtm_result result =
        mtm_show_parse(text, (size_t)length, "show", "examples", NULL, &show, &error);

    if (row->part != NULL) {
        assert_int_not_equal(result, MTM_OK);
        CHECK_HOLDS(error.text, row->part);
        return;
    }
    if (result != MTM_OK)
        fail_msg("%s", error.text);
    assert_int_equal(mtm_show_colour_count(show), row->count);
    mtm_show_free(show);
}

static int enter(void **state)
{
    (void)state;
    return chdir(getenv("METAMER_SOURCE"));
}

int main(void)
{
    const struct CMUnitTest plain[] = {cmocka_unit_test(test_load)};
    struct CMUnitTest bad[COUNT(refused)];
    struct CMUnitTest shows[COUNT(in_shows)];

    ROW_TESTS(bad, refused, test_refused);
    ROW_TESTS(shows, in_shows, test_in_show);
    return cmocka_run_group_tests_name("palette", plain, enter, NULL) +
           cmocka_run_group_tests_name("palette refuses", bad, enter, NULL) +
           cmocka_run_group_tests_name("palette in a show", shows, enter, NULL);
}
