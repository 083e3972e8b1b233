/* SPDX-License-Identifier: MIT */
/* Cue export: written and read again, each cue of a show gives the slots that the fader gives. */
#include "support/trial.h"

#include <metamer/cue_export.h>
#include <metamer/fade.h>

static mtm_show *load_show(void)
{
    char path[4096];
    mtm_show *show = NULL;
    mtm_error error = {""};
    const char *source = getenv("METAMER_SOURCE");

    assert_non_null(source);
    (void)snprintf(path, sizeof path, "%s/examples/evening.json", source);
    if (mtm_show_load(path, &show, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return show;
}

static mtm_cue_sheet *export_show(const mtm_show *show, mtm_cue_export_options options)
{
    mtm_cue_sheet *sheet = NULL;
    mtm_error error = {""};

    if (mtm_cue_sheet_from_show(show, &options, &sheet, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return sheet;
}

static mtm_cue_sheet *write_and_read(const mtm_cue_sheet *sheet)
{
    mtm_cue_write_options options = {0};
    mtm_cue_sheet *again = NULL;
    char *text = NULL;
    size_t length = 0;

    assert_int_equal(mtm_cue_text_write(sheet, &options, &text, &length, NULL, NULL), MTM_OK);
    assert_int_equal(mtm_cue_text_read(text, length, NULL, &again, NULL), MTM_OK);
    assert_int_equal(mtm_cue_sheet_remark_count(again), 0);
    free(text);
    return again;
}

/* Either way a receiver may read what a cue leaves out. */
static void check_slots(const mtm_show *show, const mtm_cue_sheet *sheet, mtm_cue_missing missing)
{
    static uint8_t level[MTM_CUE_CHANNEL_MAX + 1];
    mtm_fader *fader = NULL;
    mtm_fader_options options = {0};

    assert_int_equal(mtm_fader_create(show, &options, &fader, NULL), MTM_OK);
    mtm_frame_layout layout = mtm_fader_layout(fader);
    assert_int_equal(mtm_cue_sheet_count(sheet), mtm_show_cue_count(show));
    for (size_t i = 0; i < mtm_show_cue_count(show); i++) {
        assert_int_equal(mtm_fader_set(fader, i, NULL), MTM_OK);
        assert_int_equal(mtm_cue_sheet_levels(sheet, i, missing, level, NULL), MTM_OK);
        for (size_t u = 0; u < layout.universe_count; u++) {
            uint8_t slot[512] = {0};
            mtm_cue_sheet_slots(sheet, level, layout.universe[u].universe, slot);
            assert_memory_equal(slot, mtm_fader_slots(fader, u), layout.universe[u].slot_count);
        }
    }
    mtm_fader_free(fader);
}

static void test_slots(void **state)
{
    mtm_show *show = load_show();
    mtm_cue_sheet *sheet = export_show(show, (mtm_cue_export_options){0});
    mtm_cue_sheet *again = write_and_read(sheet);

    (void)state;
    check_slots(show, sheet, MTM_CUE_ZERO);
    check_slots(show, again, MTM_CUE_ZERO);
    check_slots(show, again, MTM_CUE_UNCHANGED);
    mtm_cue_sheet_free(again);
    mtm_cue_sheet_free(sheet);
    mtm_show_free(show);
}

/* Times, follow-on and text are the show's; where up and down differ, each part has one of them. */
static void test_times(void **state)
{
    mtm_show *show = load_show();
    mtm_cue_sheet *sheet = export_show(show, (mtm_cue_export_options){0});

    (void)state;
    for (size_t i = 0; i < mtm_show_cue_count(show); i++) {
        const mtm_cue *cue = mtm_show_cue(show, i);
        const mtm_cue_entry *entry = mtm_cue_sheet_at(sheet, i);
        CHECK_NEAR("number", entry->number_tenths, cue->number * 10, 1e-6);
        CHECK_NEAR("up", entry->part[0].up_s, cue->up_s, 0);
        CHECK_NEAR("down", entry->part[0].down_s, cue->down_s, 0);
        CHECK_NEAR("delay", entry->part[0].up_wait_s, cue->delay_s, 0);
        assert_string_equal(entry->part[0].text, cue->text);
        assert_int_equal(entry->has_follow, cue->follow_s >= 0);
        assert_true(entry->part_count > 1 || cue->up_s == cue->down_s);
        for (size_t p = 1; p < entry->part_count; p++) {
            double both_s = entry->part[p].up_s;
            assert_int_equal(entry->part[p].number, p); /* without a gap from 1 on */
            assert_true(both_s == cue->up_s || both_s == cue->down_s);
            CHECK_NEAR("down of the part", entry->part[p].down_s, both_s, 0);
        }
    }
    mtm_cue_sheet_free(sheet);
    sheet = export_show(show, (mtm_cue_export_options){.no_parts = true});
    for (size_t i = 0; i < mtm_cue_sheet_count(sheet); i++)
        assert_int_equal(mtm_cue_sheet_at(sheet, i)->part_count, 1);
    check_slots(show, sheet, MTM_CUE_ZERO);
    mtm_cue_sheet_free(sheet);
    mtm_show_free(show);
}

/* Rising and falling units are in parts of their own times; a unit that is meant to fade as a
 * console does, each channel in the time of its direction, is left to the console. */
static void test_parts(void **state)
{
    static const struct trial_unit units[] = {
        {"a", "tunable-white.json", "8-bit", 1, 1},
        {"b", "tunable-white.json", "8-bit", 1, 11},
        {"c", "tunable-white.json", "8-bit", 1, 21},
    };
    mtm_rig *rig = trial_rig(units, COUNT(units));
    mtm_show *show = trial_show(
        rig,
        "'colours': {'w': {'cct_k': 3000}, 'c': {'cct_k': 4500}}, 'cues': ["
        "{'number': 1, 'up_s': 1, 'set': [{'units': ['a', 'c'], 'colour': 'w', 'output': 0.5}]}, "
        "{'number': 2, 'up_s': 2, 'down_s': 8, 'set': [{'unit': 'a', 'output': 0}, "
        "{'unit': 'b', 'colour': 'w', 'output': 1}, "
        "{'unit': 'c', 'colour': 'c', 'output': 0.5, 'path': 'slots'}]}, "
        "{'number': 3, 'up_s': 2, 'down_s': 8, 'set': [{'unit': 'b', 'output': 0}]}]");

    (void)state;
    mtm_cue_sheet *sheet = export_show(show, (mtm_cue_export_options){0});
    const mtm_cue_entry *both = mtm_cue_sheet_at(sheet, 1);
    assert_int_equal(both->part_count, 3);
    CHECK_NEAR("channels of c", (double)both->part[0].level_count, 2, 0);
    CHECK_NEAR("the first of c", both->part[0].level[0].channel, 5, 0);
    CHECK_NEAR("up of c", both->part[0].up_s, 2, 0);
    CHECK_NEAR("down of c", both->part[0].down_s, 8, 0);
    CHECK_NEAR("b rises", both->part[1].up_s, 2, 0);
    CHECK_NEAR("a falls", both->part[2].down_s, 8, 0);
    const mtm_cue_entry *falls = mtm_cue_sheet_at(sheet, 2);
    assert_int_equal(falls->part_count, 2);
    CHECK_NEAR("the only part", falls->part[1].number, 1, 0);
    CHECK_NEAR("down of b", falls->part[1].down_s, 8, 0);
    mtm_cue_sheet_free(sheet);
    mtm_show_free(show);
    mtm_rig_free(rig);
}

/* A jump is one linked cue of no time; that is no rounding. */
static void test_linked_jump(void **state)
{
    static const struct trial_unit units[] = {
        {"a", "tunable-white.json", "16-bit", 1, 1},
    };
    mtm_rig *rig = trial_rig(units, COUNT(units));
    mtm_show *show =
        trial_show(rig, "'cues': [{'number': 1, 'up_s': 0, 'follow_s': 2, "
                        "'set': [{'unit': 'a', 'colour': {'cct_k': 3000}, 'output': 0.5}]}]");
    mtm_cue_write_report report = {0};
    char *text = NULL;
    size_t length = 0;

    (void)state;
    mtm_cue_sheet *sheet = export_show(show, (mtm_cue_export_options){.linked_tolerance = 2});
    assert_int_equal(mtm_cue_sheet_count(sheet), 1);
    CHECK_NEAR("up", mtm_cue_sheet_at(sheet, 0)->part[0].up_s, 0, 0);
    CHECK_NEAR("follow", mtm_cue_sheet_at(sheet, 0)->follow_s, 2, 0);
    assert_int_equal(
        mtm_cue_text_write(sheet, &(mtm_cue_write_options){0}, &text, &length, &report, NULL),
        MTM_OK);
    CHECK_NEAR("times rounded", (double)report.times_rounded, 0, 0);
    free(text);
    mtm_cue_sheet_free(sheet);
    mtm_show_free(show);
    mtm_rig_free(rig);
}

/* A unit beyond slot 65535. */
static void test_beyond(void **state)
{
    static const struct trial_unit units[] = {
        {"far-one", "tunable-white.json", "8-bit", 129, 1},
        {"no-place", "tunable-white.json", "8-bit"},
    };
    mtm_rig *rig = trial_rig(units, COUNT(units));
    mtm_show *show =
        trial_show(rig, "'cues': [{'number': 1, 'up_s': 1, "
                        "'set': [{'unit': 'far-one', 'colour': {'cct_k': 3000}, 'output': 1}]}]");
    mtm_cue_sheet *sheet = NULL;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_cue_sheet_from_show(show, &(mtm_cue_export_options){0}, &sheet, &error),
                     MTM_RANGE);
    CHECK_HOLDS(error.text, "far-one");
    const mtm_cue_export_options placeless = {.meant = (const bool[]){false, true}};
    assert_int_equal(mtm_cue_sheet_from_show(show, &placeless, &sheet, &error), MTM_RANGE);
    assert_string_equal(error.text, "none of the units that are meant has an address");
    assert_null(sheet);
    mtm_show_free(show);
    mtm_rig_free(rig);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_slots),  cmocka_unit_test(test_times),
        cmocka_unit_test(test_parts),  cmocka_unit_test(test_linked_jump),
        cmocka_unit_test(test_beyond),
    };

    return cmocka_run_group_tests_name("cue export", tests, NULL, NULL);
}
