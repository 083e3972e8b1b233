/* SPDX-License-Identifier: MIT */
/* The picture of choices: each way where its output and Rf say; without Rf or watts; odd names. */
#include "support/check.h"
#include "support/drawn.h"
#include "support/trial.h"

#include <metamer/choices_picture.h>

static const struct trial_unit one[] = {{"one", "five-colour-wash.json", "16-bit"}};

static mtm_picture *draw(const mtm_choices_view *view, const mtm_picture_options *options)
{
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    mtm_result result = mtm_picture_of_choices(view, options, &picture, &error);

    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: %s\n", error.text);
        skip();
    }
    trial_must(result, &error);
    return picture;
}

/* Three ways; the second gives fewer lumens a watt than the first, the third more. */
static void set_ways(mtm_way_view way[3])
{
    static const double lm[3] = {1000, 900, 600}, watts[3] = {20, 19, 6}, rf[3] = {60, 80, 90};

    for (size_t i = 0; i < 3; i++)
        way[i] = (mtm_way_view){.match = {.flux_lm = lm[i], .watts = watts[i]},
                                .rf = rf[i],
                                .ra = rf[i] + 2,
                                .name = i == 0 ? "most light" : NULL};
    for (size_t k = 0; k < 5; k++)
        way[0].match.level[k] = way[1].match.level[k] = way[2].match.level[k] = 0.2;
}

/* The axes reach 12 % of the span beyond: 552 to 1048 lm, Rf 56.4 to 93.6. */
static void test_places(void **state)
{
    mtm_rig *rig = trial_rig(one, COUNT(one));
    const mtm_target target = {.description = "a colour"};
    mtm_way_view way[3];
    const mtm_choices_view view = {
        .unit = mtm_rig_unit(rig, 0), .target = &target, .way = way, .count = 3};

    (void)state;
    set_ways(way);
    mtm_picture *picture = draw(&view, NULL);
    struct drawing drawing = drawn_read(picture);
    const struct drawn *frame = drawn_frame(&drawing);
    for (size_t i = 0; i < 3; i++) {
        double x = drawn_along(way[i].match.flux_lm, 552, 1048, frame->left, frame->right);
        double y = drawn_along(way[i].rf, 56.4, 93.6, frame->bottom, frame->top);
        bool square = i == 2; /* 100 lm/W beside 50 */
        CHECK_DRAWN(&drawing, "way",
                    path->filled && (path->points == 5) == square && path->right - path->left < 12,
                    x, y);
    }
    free(drawing.path);
    mtm_picture_free(picture);
    mtm_rig_free(rig);
}

static const struct odd {
    const char *name;
    double rf, watts, width;
    size_t count;
} odds[] = {
    {"no Rf", NAN, 10, 0, 3},
    {"no Rf, no watts", NAN, NAN, 0, 3},
    {"one way", 80, 10, 600, 1},
    {"dark", NAN, 0, 240, 1},
};

static void test_odd(void **state)
{
    const struct odd *odd = *state;
    const mtm_picture_options options = {.width = odd->width};
    mtm_rig *rig = trial_rig(one, COUNT(one));
    const mtm_target target = {.description = "a <colour> & more"};
    mtm_way_view way[3];
    mtm_choices_view view = {
        .unit = mtm_rig_unit(rig, 0), .target = &target, .way = way, .count = odd->count};
    size_t count = 0, count_again = 0;

    set_ways(way);
    for (size_t i = 0; i < 3; i++) {
        way[i].rf = way[i].ra = odd->rf;
        way[i].match.watts = odd->watts;
        way[i].name = "a name that is longer than any line has room for, and has < and & in it";
        if (odd->watts == 0)
            way[i].match = (mtm_match){.flux_lm = 0};
    }
    mtm_picture *picture = draw(&view, &options), *again = draw(&view, &options);
    struct drawing drawing = drawn_read(picture);
    for (size_t i = 0; i < drawing.count; i++)
        assert_true(isfinite(drawing.path[i].left + drawing.path[i].bottom));
    const void *bytes = mtm_picture_bytes(picture, &count);
    const void *bytes_again = mtm_picture_bytes(again, &count_again);
    assert_int_equal(count, count_again);
    assert_memory_equal(bytes, bytes_again, count);
    free(drawing.path);
    mtm_picture_free(picture);
    mtm_picture_free(again);
    mtm_rig_free(rig);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(odds) + 1];

    ROW_TESTS(tests, odds, test_odd);
    tests[COUNT(odds)] = (struct CMUnitTest)cmocka_unit_test(test_places);
    return cmocka_run_group_tests_name("picture of choices", tests, NULL, NULL);
}
