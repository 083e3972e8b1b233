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

/* The text of a sheet, with what its channels carry or without. */
static void write_to(char **text, const mtm_cue_sheet *sheet, const mtm_rig *rig,
                     mtm_cue_write_report *report)
{
    mtm_cue_write_options options = {.rig = rig};
    size_t length = 0;

    assert_int_equal(mtm_cue_text_write(sheet, &options, text, &length, report, NULL), MTM_OK);
    assert_int_equal(length, strlen(*text));
}

/* Remarks of a text that tell of a channel: each of the slot that the patch has, in their order. */
static size_t count_carried(const mtm_cue_sheet *sheet, const char *text)
{
    unsigned last = 0;
    size_t found = 0;

    for (const char *line = strchr(text, '!'); line != NULL; line = strstr(line + 1, "\r\n! ")) {
        char *end = NULL;
        line += *line == '\r' ? 2 : 0;
        unsigned channel = (unsigned)strtoul(line + 1, &end, 10);
        if (end == line + 1 || *end == '/')
            continue; /* the note, the pairs and the heading */
        unsigned universe = (unsigned)strtoul(end, &end, 10);
        unsigned slot = (unsigned)strtoul(end + 1, &end, 10);
        mtm_cue_patch patch =
            mtm_cue_sheet_patch_of(sheet, (uint16_t)((universe - 1) * 512 + slot));
        assert_int_equal(patch.channel, channel);
        assert_true(channel > last);
        last = channel;
        found++;
    }
    return found;
}

/* The channel list stands in remarks, one for each slot that the patch has, in the order of
 * channels; what is read is the same with it and without. */
static void test_carried(void **state)
{
    mtm_show *show = load_show();
    mtm_cue_sheet *sheet = export_show(show, (mtm_cue_export_options){0});
    mtm_cue_sheet *again = NULL;
    mtm_cue_write_report report = {0};
    char *text = NULL;
    char *plain = NULL;
    char *twice = NULL;

    (void)state;
    write_to(&text, sheet, mtm_show_rig(show), &report);
    write_to(&plain, sheet, NULL, NULL);
    assert_int_equal(report.texts_changed, 0);
    CHECK_HOLDS(text, "\r\n!       1  1/1        dimmer of front-left-wash\r\n");
    CHECK_HOLDS(text, "\r\n!       4  1/4        red fine of front-left-wash\r\n");
    CHECK_HOLDS(text, "\r\n!      25  1/26       ");
    assert_int_equal(count_carried(sheet, text), mtm_cue_sheet_patch_count(sheet));
    assert_int_equal(mtm_cue_text_read(text, strlen(text), NULL, &again, NULL), MTM_OK);
    assert_int_equal(mtm_cue_sheet_remark_count(again), 0);
    write_to(&twice, again, NULL, NULL);
    assert_string_equal(strstr(twice, "MANUFACTURER"), strstr(plain, "MANUFACTURER"));
    free(twice);
    free(plain);
    free(text);
    mtm_cue_sheet_free(again);
    mtm_cue_sheet_free(sheet);
    mtm_show_free(show);
}

/* Names that the format cannot carry, or that fill the line, change the remark and nothing else. */
static void test_carried_names(void **state)
{
    static const char text[] =
        "{ \"metamer\": \"rig/1\", \"name\": \"t\", \"units\": [ { \"name\": \"caf\xc3\xa9! "
        "a name that goes on and on, until the line ends and a good deal farther than that\", "
        "\"fixture\": \"studio-panel.json\", \"mode\": \"8-bit\", \"universe\": 128, "
        "\"address\": 500 } ] }";
    mtm_rig *rig = NULL;
    mtm_cue_sheet *sheet = NULL;
    mtm_cue_write_report report = {0};
    char *written = NULL;

    (void)state;
    assert_int_equal(mtm_rig_parse(text, strlen(text), "t", NULL, &rig, NULL), MTM_OK);
    assert_int_equal(mtm_cue_sheet_create(&sheet, NULL), MTM_OK);
    for (unsigned i = 0; i < 9; i++)
        assert_int_equal(mtm_cue_sheet_patch(sheet,
                                             (mtm_cue_patch){(uint16_t)(65527 + i),
                                                             (uint16_t)(127 * 512 + 500 + i), 255},
                                             NULL),
                         MTM_OK);
    write_to(&written, sheet, rig, &report);
    assert_int_equal(report.texts_changed, 9);
    CHECK_HOLDS(written, "\r\n!   65528  128/501    hold of caf?. a name");
    CHECK_HOLDS(written, "\r\n!   65529  128/502    open of caf?. a name");
    for (const char *line = written; *line != '\0'; line = strstr(line, "\r\n") + 2)
        assert_true(strcspn(line, "\r") <= MTM_CUE_LINE_MAX);
    free(written);
    mtm_cue_sheet_free(sheet);
    mtm_rig_free(rig);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_slots),         cmocka_unit_test(test_times),
        cmocka_unit_test(test_parts),         cmocka_unit_test(test_linked_jump),
        cmocka_unit_test(test_beyond),        cmocka_unit_test(test_carried),
        cmocka_unit_test(test_carried_names),
    };

    return cmocka_run_group_tests_name("cue export", tests, NULL, NULL);
}
