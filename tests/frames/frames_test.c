/* SPDX-License-Identifier: MIT */
/* Frames: each format to the octet (the layouts are this project's own), and back. */
#include "support/check.h"

#include <metamer/frames.h>

/* What a sink took, and what an input gives. */
typedef struct box {
    uint8_t octet[1 << 16];
    size_t count;
    size_t room; /* a disk of this size */
    size_t at;
} box;

static mtm_result box_write(void *context, const void *octets, size_t count, mtm_error *error)
{
    box *to = context;

    if (to->count + count > to->room) {
        (void)snprintf(error->text, sizeof error->text, "no space left");
        return MTM_IO;
    }
    memcpy(to->octet + to->count, octets, count);
    to->count += count;
    return MTM_OK;
}

static mtm_result box_read(void *context, void *octets, size_t count, size_t *got, mtm_error *error)
{
    box *from = context;

    (void)error;
    *got = count < from->count - from->at ? count : from->count - from->at;
    memcpy(octets, from->octet + from->at, *got);
    from->at += *got;
    return MTM_OK;
}

static mtm_result box_rewind(void *context, mtm_error *error)
{
    (void)error;
    ((box *)context)->at = 0;
    return MTM_OK;
}

static const mtm_frame_universe universes[] = {{1, 4}, {300, 2}};
static const mtm_frame_layout layout = {40, 2, universes};

/* Three looks: the second equals the first, the third changes the last slot of each universe. */
static const uint8_t frames[][6] = {
    {0, 9, 10, 255, 1, 2}, {0, 9, 10, 255, 1, 2}, {0, 9, 10, 99, 1, 100}};

static void write_frames(mtm_frame_format format, box *to)
{
    mtm_frame_writer *writer = NULL;
    mtm_error error = {""};

    *to = (box){.room = sizeof to->octet};
    assert_int_equal(
        mtm_frame_writer_create(format, &layout, (mtm_frame_sink){to, box_write}, &writer, &error),
        MTM_OK);
    for (size_t i = 0; i < COUNT(frames); i++) {
        const uint8_t *slots[] = {frames[i], frames[i] + 4};
        assert_int_equal(mtm_frame_writer_add(writer, slots, &error), MTM_OK);
    }
    assert_int_equal(mtm_frame_writer_finish(writer, &error), MTM_OK);
    mtm_frame_writer_free(writer);
}

static void test_csv(void **state)
{
    static box to;

    (void)state;
    write_frames(MTM_FRAMES_CSV, &to);
    assert_string_equal((char *)to.octet, "frame,time_s,universe,slot_1,slot_2,slot_3,slot_4\n"
                                          "0,0.000000,1,0,9,10,255\n"
                                          "0,0.000000,300,1,2\n"
                                          "1,0.025000,1,0,9,10,255\n"
                                          "1,0.025000,300,1,2\n"
                                          "2,0.050000,1,0,9,10,99\n"
                                          "2,0.050000,300,1,100\n");
}

static void test_jsonl(void **state)
{
    static box to;

    (void)state;
    write_frames(MTM_FRAMES_JSONL, &to);
    assert_string_equal(
        (char *)to.octet,
        "{\"frame\":0,\"time_s\":0.000000,\"universes\":{\"1\":[0,9,10,255],\"300\":[1,2]}}\n"
        "{\"frame\":1,\"time_s\":0.025000,\"universes\":{\"1\":[0,9,10,255],\"300\":[1,2]}}\n"
        "{\"frame\":2,\"time_s\":0.050000,\"universes\":{\"1\":[0,9,10,99],\"300\":[1,100]}}\n");
}

/* The layout of metamer/frames.h, written out by hand; 40 as binary64 is 0x4044000000000000. */
static void test_binary(void **state)
{
    static const uint8_t wanted[] = {
        'm', 't', 'm', 'f', 'r', 'a', 'm', 'e', 0, 1, 0, 2,  0x40, 0x44,
        0,   0,   0,   0,   0,   0,   0,   1,   0, 4, 1, 44, 0,    2, /* universes */
        'A', 0,   9,   10,  255, 1,   2,                              /* frame 0 */
        'S', 0,   0,   0,   1,                                        /* frame 1 */
        'A', 0,   9,   10,  99,  1,   100, /* frame 2: shorter than its changes */
        'E', 0,   0,   0,   0,   0,   0,   0,   3};
    static box to;

    (void)state;
    write_frames(MTM_FRAMES_BINARY, &to);
    assert_int_equal(to.count, sizeof wanted);
    assert_memory_equal(to.octet, wanted, sizeof wanted);
}

/* Two runs: gaps of six or more slots are skipped. */
static void test_runs(void **state)
{
    static const mtm_frame_universe one[] = {{1, 40}};
    static const mtm_frame_layout wide = {40, 1, one};
    static const uint8_t wanted[] = {'C', 0, 0, 0, 2, 0, 0, 0,  3, 0, 6, 7,  0,
                                     0,   0, 0, 8, 0, 0, 0, 30, 0, 1, 9, 'E'};
    static box to;
    mtm_frame_writer *writer = NULL;
    uint8_t slot[40] = {0};
    const uint8_t *slots[] = {slot};

    (void)state;
    to = (box){.room = sizeof to.octet};
    assert_int_equal(mtm_frame_writer_create(MTM_FRAMES_BINARY, &wide,
                                             (mtm_frame_sink){&to, box_write}, &writer, NULL),
                     MTM_OK);
    assert_int_equal(mtm_frame_writer_add(writer, slots, NULL), MTM_OK);
    slot[3] = 7;
    slot[8] = 8;
    slot[39] = 9;
    assert_int_equal(mtm_frame_writer_add(writer, slots, NULL), MTM_OK);
    assert_int_equal(mtm_frame_writer_finish(writer, NULL), MTM_OK);
    assert_memory_equal(to.octet + 20 + 4 + 41, wanted, sizeof wanted);
    mtm_frame_writer_free(writer);
}

static mtm_frame_reader *open_box(box *from)
{
    mtm_frame_reader *reader = NULL;
    mtm_error error = {""};

    if (mtm_frame_reader_create((mtm_frame_input){from, box_read, box_rewind}, &reader, &error) !=
        MTM_OK)
        fail_msg("%s", error.text);
    return reader;
}

static void test_read_back(void **state)
{
    static box file;
    uint8_t slot[2][512];
    uint8_t *slots[] = {slot[0], slot[1]};
    bool end = false;

    (void)state;
    write_frames(MTM_FRAMES_BINARY, &file);
    mtm_frame_reader *reader = open_box(&file);
    mtm_frame_layout read = mtm_frame_reader_layout(reader);
    CHECK_NEAR("rate", read.rate_hz, 40, 0);
    assert_int_equal(read.universe_count, 2);
    assert_memory_equal(read.universe, universes, sizeof universes);
    for (size_t i = 0; i < COUNT(frames); i++) {
        assert_int_equal(mtm_frame_reader_next(reader, slots, &end, NULL), MTM_OK);
        assert_false(end);
        assert_memory_equal(slot[0], frames[i], 4);
        assert_memory_equal(slot[1], frames[i] + 4, 2);
    }
    for (int i = 0; i < 2; i++) {
        assert_int_equal(mtm_frame_reader_next(reader, slots, &end, NULL), MTM_OK);
        assert_true(end);
    }
    mtm_frame_reader_free(reader);
}

/* A thousand random frames of some universes, through write_all and back. */
static mtm_result fill_random(void *context, uint64_t number, uint8_t *const *slots, bool *end,
                              mtm_error *error)
{
    uint32_t *seed = context;

    (void)error;
    *end = number == 1000;
    for (int i = 0; !*end && i < 3 && number % 4 != 3; i++) {
        *seed = *seed * 1664525 + 1013904223;
        slots[*seed >> 31][(*seed >> 16) % 300] = (uint8_t)(*seed >> 8);
    }
    return MTM_OK;
}

static void test_many(void **state)
{
    static const mtm_frame_universe two[] = {{1, 512}, {2, 300}};
    static box file;
    static uint8_t wanted[2][512];
    uint8_t slot[2][512];
    uint8_t *slots[] = {slot[0], slot[1]};
    uint8_t *wanted_slots[] = {wanted[0], wanted[1]};
    uint32_t seed = 1;
    mtm_frame_source source = {{44, 2, two}, &seed, fill_random};
    mtm_frame_writer *writer = NULL;
    uint64_t count = 0;
    bool end = false;

    (void)state;
    file = (box){.room = sizeof file.octet};
    assert_int_equal(mtm_frame_writer_create(MTM_FRAMES_BINARY, &source.layout,
                                             (mtm_frame_sink){&file, box_write}, &writer, NULL),
                     MTM_OK);
    assert_int_equal(mtm_frame_write_all(&source, writer, &count, NULL), MTM_OK);
    assert_int_equal(count, 1000);
    mtm_frame_reader *reader = open_box(&file);
    seed = 1;
    for (uint64_t i = 0; i < 1000; i++) {
        assert_int_equal(fill_random(&seed, i, wanted_slots, &end, NULL), MTM_OK);
        assert_int_equal(mtm_frame_reader_next(reader, slots, &end, NULL), MTM_OK);
        assert_memory_equal(slot[0], wanted[0], 512);
        assert_memory_equal(slot[1], wanted[1], 300);
    }
    mtm_frame_reader_free(reader);
    mtm_frame_writer_free(writer);
}

static void test_source(void **state)
{
    static box file;
    uint8_t slot[2][512];
    uint8_t *slots[] = {slot[0], slot[1]};
    bool end = false;

    (void)state;
    write_frames(MTM_FRAMES_BINARY, &file);
    mtm_frame_reader *reader = open_box(&file);
    mtm_frame_source once = mtm_frame_reader_source(reader, false);
    assert_int_equal(once.fill(once.context, 2, slots, &end, NULL), MTM_OK); /* 0 and 1 left out */
    assert_int_equal(slot[1][1], 100);
    assert_int_equal(once.fill(once.context, 3, slots, &end, NULL), MTM_OK);
    assert_true(end);
    mtm_frame_reader_free(reader);

    file.at = 0;
    reader = open_box(&file);
    mtm_frame_source loop = mtm_frame_reader_source(reader, true);
    end = false;
    for (uint64_t i = 0; i < 20; i++) {
        assert_int_equal(loop.fill(loop.context, i, slots, &end, NULL), MTM_OK);
        assert_false(end);
        assert_int_equal(slot[1][1], frames[i % 3][5]);
    }
    assert_int_equal(loop.fill(loop.context, 3002, slots, &end, NULL), MTM_OK);
    assert_int_equal(slot[1][1], 100);
    assert_memory_equal(loop.layout.universe, universes, sizeof universes);
    file.octet[21] = 2; /* universe 1 became 2 meanwhile */
    mtm_error error = {""};
    assert_int_equal(loop.fill(loop.context, 3003, slots, &end, &error), MTM_PARSE);
    CHECK_HOLDS(error.text, "have changed");
    mtm_frame_reader_free(reader);
}

/* The file above with one octet changed; offsets by the layout. */
static const struct bad_row {
    const char *name;
    size_t at;
    uint8_t value;
    const char *part;
} bad_rows[] = {
    {"magic", 0, 'M', "does not begin with"},
    {"version", 9, 2, "version 2"},
    {"no universes", 11, 0, "0 universes"},
    {"too many universes", 10, 0xff, "65282 universes"},
    {"rate not a number", 12, 0x7f, "frames a second"},
    {"universe 0", 21, 0, "universe 0"},
    {"universes do not rise", 20, 2, "rise"},
    {"no slots", 23, 0, "0 slots"},
    {"first record", 28, 'S', "first frame does not hold all"},
    {"unknown record", 40, 'X', "kind 0x58"},
    {"repeated no times", 39, 0, "repeated no times"},
    {"wrong count", 55, 4, "the end says 4"},
    {"a run beyond the slots", 40, 'C', "a run of 0 slots after slot"},
};

static void test_bad(void **state)
{
    const struct bad_row *row = *state;
    static box file;
    uint8_t slot[2][512];
    uint8_t *slots[] = {slot[0], slot[1]};
    mtm_frame_reader *reader = NULL;
    mtm_error error = {""};
    bool end = false;

    write_frames(MTM_FRAMES_BINARY, &file);
    file.octet[row->at] = row->value;
    mtm_result result =
        mtm_frame_reader_create((mtm_frame_input){&file, box_read, box_rewind}, &reader, &error);
    while (result == MTM_OK && !end)
        result = mtm_frame_reader_next(reader, slots, &end, &error);
    assert_true(result == MTM_PARSE || result == MTM_UNSUPPORTED);
    CHECK_HOLDS(error.text, row->part);
    mtm_frame_reader_free(reader);
}

static void test_no_changes(void **state)
{
    static box file;
    uint8_t slot[2][512];
    uint8_t *slots[] = {slot[0], slot[1]};
    mtm_error error = {""};
    bool end = false;

    (void)state;
    write_frames(MTM_FRAMES_BINARY, &file);
    memcpy(file.octet + 40, "C\0\0\0\0", 5);
    mtm_frame_reader *reader = open_box(&file);
    mtm_frame_source source = mtm_frame_reader_source(reader, false);
    assert_int_equal(source.fill(source.context, 2, slots, &end, &error), MTM_PARSE);
    CHECK_HOLDS(error.text, "frame 2: no changes");
    mtm_frame_reader_free(reader);
}

static void test_cut_short(void **state)
{
    static box file;
    size_t whole;

    (void)state;
    write_frames(MTM_FRAMES_BINARY, &file);
    whole = file.count;
    for (size_t i = 0; i <= whole + 1; i++) {
        uint8_t slot[2][512];
        uint8_t *slots[] = {slot[0], slot[1]};
        mtm_frame_reader *reader = NULL;
        mtm_error error = {""};
        bool end = false;

        file.at = 0;
        file.count = i;
        mtm_result result = mtm_frame_reader_create((mtm_frame_input){&file, box_read, box_rewind},
                                                    &reader, &error);
        while (result == MTM_OK && !end)
            result = mtm_frame_reader_next(reader, slots, &end, &error);
        assert_int_equal(result, i == whole ? MTM_OK : MTM_PARSE);
        mtm_frame_reader_free(reader);
    }
}

static void test_full_disk(void **state)
{
    static box to;
    mtm_frame_writer *writer = NULL;
    mtm_error error = {""};
    const uint8_t *slots[] = {frames[0], frames[0] + 4};

    (void)state;
    for (int format = MTM_FRAMES_CSV; format <= MTM_FRAMES_BINARY; format++) {
        to = (box){.room = 80};
        assert_int_equal(mtm_frame_writer_create((mtm_frame_format)format, &layout,
                                                 (mtm_frame_sink){&to, box_write}, &writer, &error),
                         MTM_OK);
        to.room = to.count;
        assert_int_equal(mtm_frame_writer_add(writer, slots, &error), MTM_IO);
        CHECK_HOLDS(error.text, "no space left");
        mtm_frame_writer_free(writer);
    }
    FILE *full = fopen("/dev/full", "w");
    assert_non_null(full);
    setvbuf(full, NULL, _IONBF, 0);
    assert_int_equal(mtm_frame_writer_create(MTM_FRAMES_BINARY, &layout,
                                             mtm_frame_sink_stream(full), &writer, &error),
                     MTM_IO);
    CHECK_HOLDS(error.text, "No space left on device");
    (void)fclose(full);
}

static void test_layouts(void **state)
{
    static const struct {
        double rate_hz;
        size_t count;
        mtm_frame_universe universe[2];
        const char *part;
    } rows[] = {
        {0, 1, {{1, 1}}, "frames a second"},        {1001, 1, {{1, 1}}, "0.01 to 1000"},
        {NAN, 1, {{1, 1}}, "frames a second"},      {40, 0, {{1, 1}}, "1 to 4096"},
        {40, 4097, {{1, 1}}, "4097 universes"},     {40, 1, {{0, 1}}, "universe 0"},
        {40, 1, {{64000, 1}}, "1 to 63999"},        {40, 2, {{2, 1}, {2, 1}}, "rise"},
        {40, 1, {{1, 0}}, "0 slots in universe 1"}, {40, 1, {{1, 513}}, "1 to 512"},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        mtm_frame_layout bad = {rows[i].rate_hz, rows[i].count, rows[i].universe};
        mtm_error error = {""};
        assert_int_equal(mtm_frame_layout_check(&bad, &error), MTM_INVALID);
        CHECK_HOLDS(error.text, rows[i].part);
    }
}

static void test_formats(void **state)
{
    size_t count = 0;

    (void)state;
    for (; count < mtm_frame_format_count(); count++)
        assert_int_equal(mtm_frame_format_at(count)->format, count);
    assert_int_equal(count, 3);
}

int main(void)
{
    static const struct CMUnitTest single[] = {
        cmocka_unit_test(test_csv),       cmocka_unit_test(test_jsonl),
        cmocka_unit_test(test_binary),    cmocka_unit_test(test_runs),
        cmocka_unit_test(test_read_back), cmocka_unit_test(test_many),
        cmocka_unit_test(test_source),    cmocka_unit_test(test_cut_short),
        cmocka_unit_test(test_full_disk), cmocka_unit_test(test_layouts),
        cmocka_unit_test(test_formats),   cmocka_unit_test(test_no_changes),
    };
    struct CMUnitTest tests[COUNT(bad_rows) + COUNT(single)];

    ROW_TESTS(tests, bad_rows, test_bad);
    memcpy(tests + COUNT(bad_rows), single, sizeof single);
    return cmocka_run_group_tests_name("frames", tests, NULL, NULL);
}
