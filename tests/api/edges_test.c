/* SPDX-License-Identifier: MIT */
/* The edge of the library: a call without what it needs is MTM_INVALID with a sentence. */
#include "support/check.h"

#include <metamer/calibration.h>
#include <metamer/cue_export.h>
#include <metamer/cue_text.h>
#include <metamer/e131.h>
#include <metamer/frames.h>
#include <metamer/layout.h>
#include <metamer/match.h>
#include <metamer/player.h>
#include <metamer/readings.h>
#include <metamer/stream.h>
#include <metamer/target.h>
#include <metamer/trim.h>

/* Each call of a function without one or all of the pointers that it needs. */
#define REFUSED(call)                                                                              \
    do {                                                                                           \
        mtm_error error = {""};                                                                    \
        mtm_result result = (call);                                                                \
        if (result != MTM_INVALID)                                                                 \
            fail_msg("%s: result %d", #call, (int)result);                                         \
        if (error.text[0] == '\0')                                                                 \
            fail_msg("%s: no sentence", #call);                                                    \
    } while (0)

static void test_readings(void **state)
{
    mtm_xyz xyz = {0, 0, 0};
    mtm_meter_match match = {.matrix = {{0}}};

    (void)state;
    REFUSED(mtm_readings_add(NULL, NULL, &error));
    REFUSED(mtm_readings_keep(NULL, 1, &error));
    REFUSED(mtm_readings_write(NULL, "x.json", &error));
    REFUSED(mtm_readings_match_meters(NULL, NULL, NULL, &error));
    REFUSED(mtm_reading_type_in(NULL, &xyz, &error));
    REFUSED(mtm_reading_type_in("0.4 0.4 100", NULL, &error));
    REFUSED(mtm_meter_match_write(&match, NULL, &error));
    REFUSED(mtm_meter_match_write(NULL, "x.json", &error));
    REFUSED(mtm_calibration_write(NULL, "x.json", &error));
}

static void test_targets_and_matches(void **state)
{
    mtm_match_request request = {.target = {.observer = MTM_OBSERVER_2}};
    mtm_match match;
    mtm_common common;
    mtm_matcher *matcher = NULL;
    mtm_target target;
    mtm_spectrum spectrum = {{1}};
    const size_t unit = 0;

    (void)state;
    REFUSED(mtm_target_from_xy((mtm_xy){0.3, 0.3}, MTM_OBSERVER_2, NULL, &error));
    REFUSED(mtm_target_from_uv((mtm_uv){0.2, 0.5}, MTM_OBSERVER_2, NULL, &error));
    REFUSED(mtm_target_from_xyz((mtm_xyz){1, 1, 1}, MTM_OBSERVER_2, NULL, &error));
    REFUSED(mtm_target_from_spectrum(NULL, "s", MTM_OBSERVER_2, &target, &error));
    REFUSED(mtm_target_from_spectrum(&spectrum, "s", MTM_OBSERVER_2, NULL, &error));
    REFUSED(mtm_matcher_create(NULL, MTM_OBSERVER_2, &matcher, &error));
    REFUSED(mtm_matcher_create_for(NULL, &unit, 1, MTM_OBSERVER_2, &matcher, &error));
    REFUSED(mtm_matcher_unit(NULL, 0, &request, &match, &error));
    REFUSED(mtm_matcher_together(NULL, &unit, 1, &request, &match, &common, &error));
    REFUSED(mtm_trim_compare(NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, &error));
    assert_null(matcher);
}

static void test_cue_sheets(void **state)
{
    mtm_cue_sheet *sheet = NULL;
    mtm_cue_sheet *none = NULL;
    mtm_cue_part part = {.level_count = 1, .text = ""};
    mtm_cue_entry cue = {.number_tenths = 10, .part_count = 1};
    const mtm_cue_write_options options = {0};
    size_t length = 0;

    (void)state;
    REFUSED(mtm_cue_sheet_create(NULL, &error));
    assert_int_equal(mtm_cue_sheet_create(&sheet, NULL), MTM_OK);
    REFUSED(mtm_cue_sheet_add(NULL, &cue, &error));
    REFUSED(mtm_cue_sheet_add(sheet, NULL, &error));
    REFUSED(mtm_cue_sheet_add(sheet, &cue, &error)); /* a part that is not there */
    cue.part = &part;
    REFUSED(mtm_cue_sheet_add(sheet, &cue, &error)); /* a level that is not there */
    REFUSED(mtm_cue_sheet_patch(NULL, (mtm_cue_patch){.channel = 1, .dimmer = 1}, &error));
    REFUSED(mtm_cue_sheet_pair(NULL, 1, &error));
    REFUSED(mtm_cue_sheet_set_maker(NULL, NULL, NULL, &error));
    REFUSED(mtm_cue_sheet_set_defaults(NULL, 1, 1, &error));
    REFUSED(mtm_cue_sheet_look(sheet, 0, MTM_CUE_ZERO, NULL, &error));
    REFUSED(mtm_cue_text_write(sheet, &options, NULL, &length, NULL, &error));
    REFUSED(mtm_cue_text_write(sheet, NULL, NULL, &length, NULL, &error));
    REFUSED(mtm_cue_text_read(NULL, 0, NULL, &none, &error));
    REFUSED(mtm_cue_text_read("", 0, NULL, NULL, &error));
    REFUSED(mtm_cue_sheet_from_show(NULL, NULL, &none, &error));
    assert_null(none);
    mtm_cue_sheet_free(sheet);
}

static void test_frames(void **state)
{
    const mtm_frame_layout layout = {.rate_hz = 40, .universe_count = 1};
    const mtm_frame_source source = {.layout = layout};
    mtm_frame_writer *writer = NULL;
    mtm_frame_reader *reader = NULL;
    bool end = false;
    uint64_t count = 0;

    (void)state;
    REFUSED(mtm_frame_layout_check(NULL, &error));
    REFUSED(mtm_frame_layout_check(&layout, &error)); /* a universe that is not there */
    REFUSED(mtm_frame_writer_create(MTM_FRAMES_CSV, &layout, (mtm_frame_sink){0}, &writer, &error));
    REFUSED(mtm_frame_writer_add(NULL, NULL, &error));
    REFUSED(mtm_frame_writer_finish(NULL, &error));
    REFUSED(mtm_frame_write_all(&source, NULL, &count, &error));
    REFUSED(mtm_frame_reader_create((mtm_frame_input){0}, &reader, &error));
    REFUSED(mtm_frame_reader_next(NULL, NULL, &end, &error));
    assert_null(writer);
    assert_null(reader);
}

static void test_stream(void **state)
{
    mtm_cid cid = {{0}};
    mtm_e131_packet packet = {0};
    uint8_t octets[16] = {0};
    size_t length = 0;
    mtm_sender *sender = NULL;
    mtm_receiver *receiver = NULL;

    (void)state;
    REFUSED(mtm_cid_random(NULL, &error));
    REFUSED(mtm_cid_parse(NULL, &cid, &error));
    REFUSED(mtm_e131_encode(NULL, octets, &length, &error));
    REFUSED(mtm_e131_encode(&packet, NULL, &length, &error));
    REFUSED(mtm_e131_decode(NULL, 0, &packet, &error));
    REFUSED(mtm_sender_create(NULL, &sender, &error));
    REFUSED(mtm_sender_add(NULL, 1, 512, &error));
    REFUSED(mtm_sender_send(NULL, 0, &error));
    REFUSED(mtm_sender_finish(NULL, 0, &error));
    REFUSED(mtm_receiver_create(NULL, &receiver, &error));
    REFUSED(mtm_receiver_add(NULL, 1, &error));
    REFUSED(mtm_receiver_wait(NULL, 0, &length, &error));
    REFUSED(mtm_player_run(NULL, NULL, NULL, NULL, &error));
    assert_null(sender);
    assert_null(receiver);
}

/* Places are the caller's: one that the rig does not have must not reach the tables of ports. */
static void test_places(void **state)
{
    static const mtm_place bad[] = {
        {.supply = 0, .port = 99},      {.supply = 99, .port = 1},      {.supply = -2},
        {.supply = -1, .universe = -1}, {.supply = -1, .address = 513}, {.supply = -1, .port = 1},
    };
    const char *folder = getenv("METAMER_SOURCE");
    char path[400];
    mtm_rig *rig = NULL;
    mtm_layout_report report;

    (void)state;
    assert_non_null(folder);
    (void)snprintf(path, sizeof path, "%s/examples/hall.json", folder);
    assert_int_equal(mtm_rig_load(path, &rig, NULL), MTM_OK);
    mtm_place *place = calloc(mtm_rig_unit_count(rig), sizeof *place);
    assert_non_null(place);
    for (size_t i = 0; i < COUNT(bad); i++) {
        mtm_layout_places(rig, place);
        place[1] = bad[i];
        REFUSED(mtm_layout_fill(rig, NULL, place, &report, &error));
        assert_memory_equal(&place[1], &bad[i], sizeof bad[i]);
    }
    free(place);
    mtm_rig_free(rig);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_readings),   cmocka_unit_test(test_targets_and_matches),
        cmocka_unit_test(test_cue_sheets), cmocka_unit_test(test_frames),
        cmocka_unit_test(test_stream),     cmocka_unit_test(test_places),
    };

    return cmocka_run_group_tests_name("edges", tests, NULL, NULL);
}
