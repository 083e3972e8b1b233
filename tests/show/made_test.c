/* SPDX-License-Identifier: MIT */
/* Shows made in memory: the same as those that are read, by the same rules. */
#include "support/check.h"

#include <metamer/fade.h>
#include <metamer/show.h>

#include <unistd.h>

static mtm_rig *rig;

static const char text[] =
    "{\"metamer\": \"show/1\", \"name\": \"made\", \"rig\": \"hall.json\", \"refresh_hz\": 30, "
    "\"colours\": {\"dusk\": {\"cct_k\": 2700}, \"noon\": {\"cct_k\": 5600}}, "
    "\"groups\": {\"two\": [\"front-left-wash\", \"front-right-wash\"]}, \"cues\": ["
    "{\"number\": 1, \"text\": \"doors\", \"up_s\": 3, \"set\": [{\"group\": \"all\", \"colour\": "
    "\"dusk\"}]}, "
    "{\"number\": 2.5, \"up_s\": 2, \"down_s\": 4, \"delay_s\": 1, \"follow_s\": 6, \"path\": "
    "\"white\", \"set\": [{\"group\": \"two\", \"colour\": \"noon\", \"output\": 0.5, \"goal\": "
    "\"watts\", \"leave_dark_uv\": 0.1, \"dimming\": \"emitters\", \"curve\": \"linear\"}]}, "
    "{\"number\": 3, \"up_s\": 1, \"set\": [{\"group\": \"two\", \"output\": 0}]}]}";

/* The show of the text, added part by part. */
static mtm_show *made_show(void)
{
    mtm_show *show = NULL;
    mtm_target dusk, noon;
    size_t two[2] = {0};
    const mtm_cue cues[] = {
        {1, "doors", 3, 3, 0, -1}, {2.5, NULL, 2, 4, 1, 6}, {3, "", 1, 1, 0, -1}};

    assert_int_equal(mtm_show_create("made", rig, MTM_OBSERVER_2, 30, &show, NULL), MTM_OK);
    assert_int_equal(mtm_target_from_white((mtm_white){2700, 0}, MTM_OBSERVER_2, &dusk, NULL),
                     MTM_OK);
    assert_int_equal(mtm_target_from_white((mtm_white){5600, 0}, MTM_OBSERVER_2, &noon, NULL),
                     MTM_OK);
    assert_int_equal(mtm_show_add_colour(show, "dusk", &dusk, NULL), MTM_OK);
    assert_int_equal(mtm_show_add_colour(show, "noon", &noon, NULL), MTM_OK);
    assert_int_equal(mtm_rig_find_unit(rig, "front-left-wash", &two[0], NULL), MTM_OK);
    assert_int_equal(mtm_rig_find_unit(rig, "front-right-wash", &two[1], NULL), MTM_OK);
    assert_int_equal(mtm_show_add_group(show, "two", two, 2, NULL), MTM_OK);
    const size_t last = mtm_show_group_count(show) - 1;
    const mtm_setting settings[] = {
        {.group = 0, .target = mtm_show_colour(show, 0)},
        {.group = last,
         .target = mtm_show_colour(show, 1),
         .has_output = true,
         .output = {MTM_OUTPUT_SHARE, 0.5},
         .goal = MTM_GOAL_WATTS,
         .leave_dark_uv = 0.1,
         .dimming = MTM_DIMMING_EMITTERS,
         .path = MTM_PATH_WHITE,
         .shape = MTM_SHAPE_LINEAR},
        {.group = last, .has_output = true, .output = {MTM_OUTPUT_SHARE, 0}},
    };
    for (size_t i = 0; i < 3; i++)
        assert_int_equal(mtm_show_add_cue(show, &cues[i], &settings[i], 1, NULL), MTM_OK);
    return show;
}

static void check_look(const mtm_look *a, const mtm_look *b)
{
    assert_int_equal(a->target == NULL, b->target == NULL);
    if (a->target != NULL)
        assert_memory_equal(&a->target->xy, &b->target->xy, sizeof a->target->xy);
    assert_true(a->output.type == b->output.type && a->output.value == b->output.value);
    assert_true(a->goal == b->goal && a->path == b->path && a->shape == b->shape);
    assert_true(a->leave_dark_uv == b->leave_dark_uv && a->dimming == b->dimming);
}

static void test_same_as_read(void **state)
{
    mtm_show *read = NULL;
    mtm_look looks[2][64] = {{{0}}};
    bool moved[2][64];
    mtm_error error = {""};

    (void)state;
    mtm_show *made = made_show();
    if (mtm_show_parse(text, strlen(text), "text", NULL, rig, &read, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_true(mtm_rig_unit_count(rig) <= 64);
    assert_string_equal(mtm_show_name(made), mtm_show_name(read));
    assert_true(mtm_show_refresh_hz(made) == mtm_show_refresh_hz(read));
    assert_int_equal(mtm_show_colour_count(made), mtm_show_colour_count(read));
    assert_int_equal(mtm_show_group_count(made), mtm_show_group_count(read));
    assert_int_equal(mtm_show_cue_count(made), mtm_show_cue_count(read));
    for (size_t i = 0; i < mtm_show_cue_count(made); i++) {
        const mtm_cue *a = mtm_show_cue(made, i), *b = mtm_show_cue(read, i);
        assert_string_equal(a->text, b->text);
        assert_true(a->number == b->number && a->up_s == b->up_s && a->down_s == b->down_s &&
                    a->delay_s == b->delay_s && a->follow_s == b->follow_s);
        mtm_show_apply(made, i, looks[0], moved[0]);
        mtm_show_apply(read, i, looks[1], moved[1]);
        for (size_t unit = 0; unit < mtm_rig_unit_count(rig); unit++) {
            check_look(&looks[0][unit], &looks[1][unit]);
            assert_int_equal(moved[0][unit], moved[1][unit]);
        }
    }
    mtm_show_free(read);
    mtm_show_free(made);
}

/* A made show is run as one that was read is; one without cues has nothing to run. */
static void test_runs(void **state)
{
    mtm_show *show = made_show(), *empty = NULL;
    mtm_fader *fader = NULL;
    size_t index = 0;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_fader_create(show, NULL, &fader, NULL), MTM_OK);
    assert_int_equal(mtm_fader_check(fader, NULL), MTM_OK);
    mtm_fader_free(fader);
    mtm_show_free(show);
    assert_int_equal(mtm_show_create("empty", rig, MTM_OBSERVER_2, 0, &empty, NULL), MTM_OK);
    assert_true(mtm_show_refresh_hz(empty) == 40);
    assert_int_equal(mtm_show_find_cue(empty, 1, &index, &error), MTM_NOT_FOUND);
    CHECK_HOLDS(error.text, "the show has none");
    assert_int_equal(mtm_fader_create(empty, NULL, &fader, NULL), MTM_OK);
    assert_int_equal(mtm_fader_check(fader, NULL), MTM_OK);
    mtm_fader_free(fader);
    mtm_show_free(empty);
}

static void refuse_cue(mtm_show *show, mtm_cue cue, const mtm_setting *setting, size_t count,
                       const char *sentence)
{
    mtm_error error = {""};

    assert_int_equal(mtm_show_add_cue(show, &cue, setting, count, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, sentence);
    assert_int_equal(mtm_show_cue_count(show), 3);
}

static void test_refusals(void **state)
{
    mtm_show *show = made_show(), *read = NULL;
    const mtm_target noon = *mtm_show_colour(show, 1);
    mtm_target other = noon;
    const mtm_setting good = {.target = mtm_show_colour(show, 0)}, empty = {.group = 0};
    const mtm_setting twice[] = {good, {.group = 1, .target = good.target}};
    const mtm_setting stranger = {.target = &noon}, group = {.group = 7, .target = good.target};
    const mtm_setting bright = {.has_output = true, .output = {MTM_OUTPUT_SHARE, 1.5}};
    mtm_error error = {""};

    (void)state;
    refuse_cue(show, (mtm_cue){.number = 3}, &good, 1, "cue 3 is there already");
    refuse_cue(show, (mtm_cue){.number = 2}, &good, 1, "cue 2 stands after cue 3");
    refuse_cue(show, (mtm_cue){.number = 4.25}, &good, 1, "allowed are whole numbers and tenths");
    refuse_cue(show, (mtm_cue){.number = 4, .up_s = -1}, &good, 1, "a time is out of its range");
    refuse_cue(show, (mtm_cue){.number = 4}, &empty, 1, "a colour or an output is wanted");
    refuse_cue(show, (mtm_cue){.number = 4}, twice, 2, "is set twice by one cue");
    refuse_cue(show, (mtm_cue){.number = 4}, &stranger, 1, "none of the show's");
    refuse_cue(show, (mtm_cue){.number = 4}, &group, 1, "no group number 7");
    refuse_cue(show, (mtm_cue){.number = 4}, &bright, 1, "allowed are 0 to 1");
    refuse_cue(show, (mtm_cue){.number = 4}, &good, 0, "found 0 settings");
    assert_int_equal(mtm_show_add_colour(show, "dusk", &noon, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "has a colour \"dusk\" already");
    other.observer = MTM_OBSERVER_10;
    assert_int_equal(mtm_show_add_colour(show, "new", &other, &error), MTM_INVALID);
    assert_int_equal(mtm_show_add_group(show, "all", (size_t[]){0}, 1, &error), MTM_INVALID);
    assert_int_equal(mtm_show_add_group(show, "new", (size_t[]){1, 0}, 2, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "the units of a group rise");
    assert_int_equal(mtm_show_load("examples/evening.json", &read, NULL), MTM_OK);
    assert_int_equal(mtm_show_add_colour(read, "new", &noon, &error), MTM_INVALID);
    mtm_show_free(read);
    mtm_show_free(show);
}

static int enter(void **state)
{
    const char *source = getenv("METAMER_SOURCE");

    (void)state;
    if (source == NULL || chdir(source) != 0)
        return -1;
    return mtm_rig_load("examples/hall.json", &rig, NULL) == MTM_OK ? 0 : -1;
}

static int leave(void **state)
{
    (void)state;
    mtm_rig_free(rig);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_same_as_read),
                                       cmocka_unit_test(test_runs),
                                       cmocka_unit_test(test_refusals)};

    return cmocka_run_group_tests_name("shows made in memory", tests, enter, leave);
}
