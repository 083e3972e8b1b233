/* SPDX-License-Identifier: MIT */
/* Fuzz: the compact format of frames. What is read whole, written again and read again is the same
 * frames; what is refused carries a sentence. Work is bounded by the frames asked for. */
#include "input.h"

#include <metamer/frames.h>

/* A repeat count of four octets may stand for billions of frames; so many are looked at. */
#define FRAMES_MAX 60
/* Larger frames are read, but not written again. */
#define SLOTS_MAX 2048

typedef struct block {
    const uint8_t *octet;
    size_t count;
    size_t at;
} block;

typedef struct growing {
    uint8_t *octet;
    size_t count;
} growing;

static mtm_result block_read(void *context, void *octets, size_t count, size_t *got,
                             mtm_error *error)
{
    block *from = context;

    (void)error;
    *got = count < from->count - from->at ? count : from->count - from->at;
    if (*got > 0)
        memcpy(octets, from->octet + from->at, *got);
    from->at += *got;
    return MTM_OK;
}

static mtm_result growing_write(void *context, const void *octets, size_t count, mtm_error *error)
{
    growing *to = context;
    uint8_t *larger = realloc(to->octet, to->count + count);

    (void)error;
    if (larger == NULL)
        abort();
    memcpy(larger + to->count, octets, count);
    to->octet = larger;
    to->count += count;
    return MTM_OK;
}

static uint8_t **make_slots(size_t universes)
{
    uint8_t **slots = calloc(universes, sizeof(void *));

    for (size_t u = 0; slots != NULL && u < universes; u++)
        slots[u] = calloc(512, 1);
    return slots;
}

static void free_slots(uint8_t **slots, size_t universes)
{
    for (size_t u = 0; u < universes; u++)
        free(slots[u]);
    free(slots);
}

/* Reads the frames of both and aborts where they differ. */
static void compare(block first, block second, size_t frames)
{
    mtm_frame_reader *a = NULL;
    mtm_frame_reader *b = NULL;
    bool end = false;

    if (mtm_frame_reader_create((mtm_frame_input){&first, block_read, NULL}, &a, NULL) != MTM_OK ||
        mtm_frame_reader_create((mtm_frame_input){&second, block_read, NULL}, &b, NULL) != MTM_OK)
        abort();
    mtm_frame_layout layout = mtm_frame_reader_layout(a);
    uint8_t **left = make_slots(layout.universe_count);
    uint8_t **right = make_slots(layout.universe_count);
    for (size_t i = 0; i < frames; i++) {
        if (mtm_frame_reader_next(a, left, &end, NULL) != MTM_OK || end ||
            mtm_frame_reader_next(b, right, &end, NULL) != MTM_OK || end)
            abort();
        for (size_t u = 0; u < layout.universe_count; u++) {
            if (memcmp(left[u], right[u], layout.universe[u].slot_count) != 0)
                abort();
        }
    }
    if (mtm_frame_reader_next(b, right, &end, NULL) != MTM_OK || !end)
        abort();
    free_slots(left, layout.universe_count);
    free_slots(right, layout.universe_count);
    mtm_frame_reader_free(a);
    mtm_frame_reader_free(b);
}

/* Writes what can be read to the sink; returns the frames. */
static size_t copy(mtm_frame_reader *reader, growing *to)
{
    mtm_frame_layout layout = mtm_frame_reader_layout(reader);
    uint8_t **slots = make_slots(layout.universe_count);
    mtm_frame_writer *writer = NULL;
    mtm_error error = {""};
    size_t frames = 0;
    bool end = false;

    if (mtm_frame_writer_create(MTM_FRAMES_BINARY, &layout, (mtm_frame_sink){to, growing_write},
                                &writer, NULL) != MTM_OK)
        abort();
    while (frames < FRAMES_MAX) {
        if (mtm_frame_reader_next(reader, slots, &end, &error) != MTM_OK) {
            if (error.text[0] == '\0')
                abort();
            break;
        }
        if (end)
            break;
        if (mtm_frame_writer_add(writer, (const uint8_t *const *)slots, NULL) != MTM_OK)
            abort();
        frames++;
    }
    if (mtm_frame_writer_finish(writer, NULL) != MTM_OK)
        abort();
    mtm_frame_writer_free(writer);
    free_slots(slots, layout.universe_count);
    return frames;
}

static void check(const uint8_t *data, size_t size)
{
    block from = {data, size, 0};
    mtm_frame_reader *reader = NULL;
    mtm_error error = {""};
    growing to = {NULL, 0};
    size_t slots = 0;

    if (mtm_frame_reader_create((mtm_frame_input){&from, block_read, NULL}, &reader, &error) !=
        MTM_OK) {
        hold(error.text[0] != '\0');
        return;
    }
    mtm_frame_layout layout = mtm_frame_reader_layout(reader);
    for (size_t u = 0; u < layout.universe_count; u++)
        slots += layout.universe[u].slot_count;
    if (slots <= SLOTS_MAX) {
        size_t frames = copy(reader, &to);
        compare((block){data, size, 0}, (block){to.octet, to.count, 0}, frames);
        free(to.octet);
    }
    mtm_frame_reader_free(reader);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    uint8_t *octets = exact_copy(data, size);

    check(octets, size);
    free(octets);
    return 0;
}
