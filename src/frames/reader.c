/* SPDX-License-Identifier: MIT */
/* Frames: the compact format read back, as a source too. */
#include <metamer/frames.h>

#include "base/error.h"
#include "frames/octets.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

struct mtm_frame_reader {
    mtm_frame_input input;
    mtm_frame_layout layout;
    mtm_frame_universe *universe;
    size_t slots;
    uint8_t *frame; /* the frame read last */
    uint64_t count; /* frames read */
    uint32_t same;  /* frames still to come that equal it */
    bool ended;

    bool loop;
    uint64_t passed; /* frames of earlier rounds, for the source */
};

static uint64_t number_at(const uint8_t *octets, size_t count)
{
    uint64_t value = 0;

    for (size_t i = 0; i < count; i++)
        value = value << 8 | octets[i];
    return value;
}

/* Reads exactly count octets. */
static mtm_result take(mtm_frame_reader *reader, void *octets, size_t count, mtm_error *error)
{
    size_t got = 0;
    mtm_result result = reader->input.read(reader->input.context, octets, count, &got, error);

    if (result != MTM_OK)
        return result;
    if (got != count)
        return mtmi_fail(error, MTM_PARSE, "the frames are cut short after frame %" PRIu64,
                         reader->count);
    return MTM_OK;
}

static mtm_result take_number(mtm_frame_reader *reader, size_t octets, uint64_t *value,
                              mtm_error *error)
{
    uint8_t number[8] = {0};
    mtm_result result = take(reader, number, octets, error);

    if (result == MTM_OK)
        *value = number_at(number, octets);
    return result;
}

static mtm_result read_universes(mtm_frame_reader *reader, size_t count, mtm_error *error)
{
    mtm_frame_universe *universe = calloc(count, sizeof *universe);
    mtm_result result = MTM_OK;

    if (universe == NULL)
        return mtmi_fail_memory(error);
    for (size_t u = 0; result == MTM_OK && u < count; u++) {
        uint8_t octets[4] = {0};
        result = take(reader, octets, sizeof octets, error);
        universe[u].universe = (uint16_t)number_at(octets, 2);
        universe[u].slot_count = (uint16_t)number_at(octets + 2, 2);
    }
    reader->universe = universe;
    reader->layout.universe = universe;
    reader->layout.universe_count = count;
    return result;
}

static mtm_result read_head(mtm_frame_reader *reader, mtm_error *error)
{
    uint8_t head[MTMI_FRAME_HEAD] = {0};
    mtm_result result = take(reader, head, sizeof head, error);

    if (result != MTM_OK || memcmp(head, MTMI_FRAME_MAGIC, 8) != 0)
        return result == MTM_IO ? result
                                : mtmi_fail(error, MTM_PARSE,
                                            "not a file of frames: it does not begin with \"%s\"",
                                            MTMI_FRAME_MAGIC);
    if (number_at(head + 8, 2) != MTMI_FRAME_VERSION)
        return mtmi_fail(error, MTM_UNSUPPORTED, "frames of version %u; version %d is known",
                         (unsigned)number_at(head + 8, 2), MTMI_FRAME_VERSION);
    size_t count = (size_t)number_at(head + 10, 2);
    if (count < 1 || count > MTM_FRAME_UNIVERSES_MAX)
        return mtmi_fail(error, MTM_PARSE, "%zu universes in a frame; allowed are 1 to %d", count,
                         MTM_FRAME_UNIVERSES_MAX);
    uint64_t rate_bits = number_at(head + 12, 8);
    memcpy(&reader->layout.rate_hz, &rate_bits, sizeof rate_bits);
    result = read_universes(reader, count, error);
    if (result == MTM_OK && mtm_frame_layout_check(&reader->layout, error) != MTM_OK)
        result = MTM_PARSE; /* the sentence stays */
    return result;
}

static mtm_result allocate(mtm_frame_reader *reader, mtm_error *error)
{
    for (size_t u = 0; u < reader->layout.universe_count; u++)
        reader->slots += reader->universe[u].slot_count;
    reader->frame = calloc(reader->slots, 1);
    return reader->frame == NULL ? mtmi_fail_memory(error) : MTM_OK;
}

mtm_result mtm_frame_reader_create(mtm_frame_input input, mtm_frame_reader **out, mtm_error *error)
{
    if (input.read == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "an input and a place for the reader are needed");
    mtm_frame_reader *reader = calloc(1, sizeof *reader);

    if (reader == NULL)
        return mtmi_fail_memory(error);
    reader->input = input;
    mtm_result result = read_head(reader, error);
    if (result == MTM_OK)
        result = allocate(reader, error);
    if (result == MTM_OK) {
        *out = reader;
        reader = NULL;
    }
    mtm_frame_reader_free(reader);
    return result;
}

void mtm_frame_reader_free(mtm_frame_reader *reader)
{
    if (reader == NULL)
        return;
    free(reader->universe);
    free(reader->frame);
    free(reader);
}

mtm_frame_layout mtm_frame_reader_layout(const mtm_frame_reader *reader)
{
    return reader != NULL ? reader->layout : (mtm_frame_layout){0};
}

static mtm_result read_runs(mtm_frame_reader *reader, mtm_error *error)
{
    uint64_t runs = 0;
    size_t at = 0;
    mtm_result result = take_number(reader, 4, &runs, error);

    if (result == MTM_OK && runs == 0)
        return mtmi_fail(error, MTM_PARSE, "frame %" PRIu64 ": no changes in a record of changes",
                         reader->count);
    for (uint64_t run = 0; result == MTM_OK && run < runs; run++) {
        uint8_t head[MTMI_FRAME_RUN_HEAD] = {0};
        result = take(reader, head, sizeof head, error);
        if (result != MTM_OK)
            return result;
        size_t skip = (size_t)number_at(head, 4);
        size_t count = (size_t)number_at(head + 4, 2);
        if (count == 0 || skip > reader->slots - at || count > reader->slots - at - skip)
            return mtmi_fail(error, MTM_PARSE,
                             "frame %" PRIu64 ": a run of %zu slots after slot %zu of %zu",
                             reader->count, count, at + skip, reader->slots);
        result = take(reader, reader->frame + at + skip, count, error);
        at += skip + count;
    }
    return result;
}

static mtm_result read_end(mtm_frame_reader *reader, mtm_error *error)
{
    uint64_t count = 0;
    uint8_t more = 0;
    size_t got = 0;
    mtm_result result = take_number(reader, 8, &count, error);

    if (result != MTM_OK)
        return result;
    if (count != reader->count)
        return mtmi_fail(error, MTM_PARSE, "%" PRIu64 " frames, where the end says %" PRIu64,
                         reader->count, count);
    result = reader->input.read(reader->input.context, &more, 1, &got, error);
    if (result == MTM_OK && got != 0)
        return mtmi_fail(error, MTM_PARSE, "something follows the end of the frames");
    reader->ended = result == MTM_OK;
    return result;
}

static mtm_result read_record(mtm_frame_reader *reader, mtm_error *error)
{
    uint64_t type = 0;
    uint64_t same = 0;
    mtm_result result = take_number(reader, 1, &type, error);

    if (result != MTM_OK)
        return result;
    if (reader->count == 0 && type != MTMI_FRAME_ALL && type != MTMI_FRAME_END)
        return mtmi_fail(error, MTM_PARSE, "the first frame does not hold all slots");
    switch (type) {
    case MTMI_FRAME_ALL:
        return take(reader, reader->frame, reader->slots, error);
    case MTMI_FRAME_CHANGED:
        return read_runs(reader, error);
    case MTMI_FRAME_SAME:
        result = take_number(reader, 4, &same, error);
        if (result == MTM_OK && same == 0)
            return mtmi_fail(error, MTM_PARSE, "frame %" PRIu64 ": repeated no times",
                             reader->count);
        reader->same = same > 0 ? (uint32_t)(same - 1) : 0;
        return result;
    case MTMI_FRAME_END:
        return read_end(reader, error);
    default:
        return mtmi_fail(error, MTM_PARSE,
                         "frame %" PRIu64 ": a record of kind 0x%02x; known are A, C, S, E",
                         reader->count, (unsigned)type);
    }
}

/* Goes one frame on, without handing it out. */
static mtm_result advance(mtm_frame_reader *reader, mtm_error *error)
{
    mtm_result result = MTM_OK;

    if (reader->ended)
        return MTM_OK;
    if (reader->same > 0)
        reader->same--;
    else
        result = read_record(reader, error);
    if (result == MTM_OK && !reader->ended)
        reader->count++;
    return result;
}

static void hand_out(const mtm_frame_reader *reader, uint8_t *const *slots)
{
    const uint8_t *at = reader->frame;

    for (size_t u = 0; u < reader->layout.universe_count; u++) {
        memcpy(slots[u], at, reader->universe[u].slot_count);
        at += reader->universe[u].slot_count;
    }
}

mtm_result mtm_frame_reader_next(mtm_frame_reader *reader, uint8_t *const *slots, bool *end,
                                 mtm_error *error)
{
    if (reader == NULL || slots == NULL || end == NULL)
        return mtmi_fail(error, MTM_INVALID, "a reader and places for its frame are needed");
    mtm_result result = advance(reader, error);

    if (result != MTM_OK)
        return result;
    *end = reader->ended;
    if (!reader->ended)
        hand_out(reader, slots);
    return MTM_OK;
}

static bool same_layout(const mtm_frame_layout *a, const mtm_frame_layout *b)
{
    if (a->universe_count != b->universe_count || a->rate_hz != b->rate_hz)
        return false;
    for (size_t u = 0; u < a->universe_count; u++) {
        if (a->universe[u].universe != b->universe[u].universe ||
            a->universe[u].slot_count != b->universe[u].slot_count)
            return false;
    }
    return true;
}

/* Back to the first frame, past a head that must be what it was. */
static mtm_result begin_again(mtm_frame_reader *reader, mtm_error *error)
{
    mtm_frame_reader again = {.input = reader->input};

    if (reader->count == 0)
        return mtmi_fail(error, MTM_PARSE, "there are no frames to repeat");
    if (reader->input.rewind == NULL)
        return mtmi_fail(error, MTM_UNSUPPORTED, "these frames cannot be repeated");
    mtm_result result = reader->input.rewind(reader->input.context, error);
    if (result != MTM_OK)
        return result;
    result = read_head(&again, error);
    bool same = result == MTM_OK && same_layout(&again.layout, &reader->layout);
    free(again.universe);
    if (result != MTM_OK)
        return result;
    if (!same)
        return mtmi_fail(error, MTM_PARSE, "the frames have changed since they were opened");
    reader->passed += reader->count;
    reader->count = 0;
    reader->same = 0;
    reader->ended = false;
    return MTM_OK;
}

static mtm_result fill(void *context, uint64_t number, uint8_t *const *slots, bool *end,
                       mtm_error *error)
{
    mtm_frame_reader *reader = context;

    while (reader->passed + reader->count <= number) {
        mtm_result result = advance(reader, error);
        if (result == MTM_OK && reader->ended && reader->loop)
            result = begin_again(reader, error);
        if (result != MTM_OK)
            return result;
        if (reader->ended) {
            *end = true;
            break; /* the last frame is handed out again */
        }
    }
    hand_out(reader, slots);
    return MTM_OK;
}

mtm_frame_source mtm_frame_reader_source(mtm_frame_reader *reader, bool loop)
{
    if (reader == NULL)
        return (mtm_frame_source){.context = NULL};
    reader->loop = loop;
    return (mtm_frame_source){reader->layout, reader, fill};
}
