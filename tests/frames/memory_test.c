/* SPDX-License-Identifier: MIT */
/* Failing memory where frames are written and read. */
#include "support/failing.h"

#include <metamer/frames.h>

static const mtm_frame_universe universes[] = {{1, 4}, {300, 200}};
static const mtm_frame_layout layout = {40, COUNT(universes), universes};

enum { FRAMES = 5, ROOM = 2000 };

/* Octets of a file in memory, which itself allocates nothing. */
static struct box {
    uint8_t octet[ROOM];
    size_t count, at;
} kept;

static mtm_result box_write(void *context, const void *octets, size_t count, mtm_error *error)
{
    struct box *box = context;

    (void)error;
    if (box == NULL) {
        failing_tell(octets, count);
        return MTM_OK;
    }
    assert_true(count <= ROOM - box->count);
    memcpy(box->octet + box->count, octets, count);
    box->count += count;
    return MTM_OK;
}

static mtm_result box_read(void *context, void *octets, size_t count, size_t *got, mtm_error *error)
{
    struct box *box = context;

    (void)error;
    *got = count < box->count - box->at ? count : box->count - box->at;
    memcpy(octets, box->octet + box->at, *got);
    box->at += *got;
    return MTM_OK;
}

/* Frames that change, that do not, and in few slots. */
static mtm_result write_frames(mtm_frame_format format, struct box *box, mtm_error *error)
{
    uint8_t first[4] = {0};
    uint8_t second[200] = {0};
    const uint8_t *const slots[] = {first, second};
    mtm_frame_writer *writer = NULL;
    mtm_result result =
        mtm_frame_writer_create(format, &layout, (mtm_frame_sink){box, box_write}, &writer, error);

    if (result != MTM_OK)
        assert_null(writer);
    for (int i = 0; result == MTM_OK && i < FRAMES; i++) {
        first[0] = (uint8_t)(i / 2);
        second[150] = (uint8_t)(i / 3);
        result = mtm_frame_writer_add(writer, slots, error);
    }
    if (result == MTM_OK)
        result = mtm_frame_writer_finish(writer, error);
    mtm_frame_writer_free(writer);
    return result;
}

static mtm_result write_csv(mtm_error *error)
{
    return write_frames(MTM_FRAMES_CSV, NULL, error);
}

static mtm_result write_jsonl(mtm_error *error)
{
    return write_frames(MTM_FRAMES_JSONL, NULL, error);
}

static mtm_result write_binary(mtm_error *error)
{
    return write_frames(MTM_FRAMES_BINARY, NULL, error);
}

static mtm_result read_binary(mtm_error *error)
{
    uint8_t first[4];
    uint8_t second[200];
    uint8_t *const slots[] = {first, second};
    mtm_frame_reader *reader = NULL;
    bool end = false;

    kept.at = 0;
    mtm_result result =
        mtm_frame_reader_create((mtm_frame_input){&kept, box_read, NULL}, &reader, error);
    if (result != MTM_OK)
        assert_null(reader);
    while (result == MTM_OK && !end) {
        result = mtm_frame_reader_next(reader, slots, &end, error);
        if (result == MTM_OK && !end) {
            failing_tell(first, sizeof first);
            failing_tell(second, sizeof second);
        }
    }
    mtm_frame_reader_free(reader);
    return result;
}

static const failing_row rows[] = {
    {"write CSV", write_csv},
    {"write JSON lines", write_jsonl},
    {"write the compact format", write_binary},
    {"read the compact format", read_binary},
};

static int enter(void **state)
{
    (void)state;
    return write_frames(MTM_FRAMES_BINARY, &kept, NULL) == MTM_OK ? 0 : -1;
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, failing_test);
    return cmocka_run_group_tests_name("frames_memory", tests, enter, NULL);
}
