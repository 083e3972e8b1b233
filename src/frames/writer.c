/* SPDX-License-Identifier: MIT */
/* Frames: written as they come, as CSV, JSON lines or compact. */
#include <metamer/frames.h>
#include <metamer/rig.h>

#include "base/error.h"
#include "base/text.h"
#include "frames/octets.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

struct mtm_frame_writer {
    mtm_frame_format format;
    mtm_frame_layout layout; /* its universes are our own */
    mtm_frame_universe *universe;
    mtm_frame_sink sink;
    uint64_t count;
    uint32_t same;   /* frames held back because they equal the one before */
    size_t slots;    /* of all universes */
    uint8_t *before; /* compact: the frame written last */
    uint8_t *now;
    mtmi_text text; /* one frame, reused */
};

static void add_number(mtmi_text *text, uint64_t value, size_t octets)
{
    uint8_t number[8];

    for (size_t i = 0; i < octets; i++)
        number[i] = (uint8_t)(value >> 8 * (octets - 1 - i) & 255);
    mtmi_text_add_bytes(text, number, octets);
}

static mtm_result flush_text(mtm_frame_writer *writer, mtm_error *error)
{
    if (writer->text.failed)
        return mtmi_fail_memory(error);
    if (writer->text.length == 0)
        return MTM_OK;
    mtm_result result =
        writer->sink.write(writer->sink.context, writer->text.data, writer->text.length, error);
    writer->text.length = 0;
    return result;
}

/* Without the C library's decimal sign, which a locale may change. */
static void add_time(mtmi_text *text, uint64_t number, double rate_hz)
{
    uint64_t time_us = (uint64_t)llround((double)number * 1e6 / rate_hz);

    mtmi_text_add(text, "%" PRIu64 ".%06" PRIu64, time_us / 1000000, time_us % 1000000);
}

/* ",255" for each slot, quickly: this is most of the work of a large rig. */
static void add_slots(mtmi_text *text, const uint8_t *slot, size_t count, bool comma_first)
{
    char written[4 * MTM_ADDRESS_MAX];
    size_t used = 0;

    for (size_t i = 0; i < count; i++) {
        unsigned value = slot[i];
        if (i > 0 || comma_first)
            written[used++] = ',';
        if (value >= 100)
            written[used++] = (char)('0' + value / 100);
        if (value >= 10)
            written[used++] = (char)('0' + value / 10 % 10);
        written[used++] = (char)('0' + value % 10);
    }
    mtmi_text_add_bytes(text, written, used);
}

static void csv_head(mtm_frame_writer *writer)
{
    unsigned most = 0;

    for (size_t u = 0; u < writer->layout.universe_count; u++)
        most = writer->universe[u].slot_count > most ? writer->universe[u].slot_count : most;
    mtmi_text_add(&writer->text, "frame,time_s,universe");
    for (unsigned i = 1; i <= most; i++)
        mtmi_text_add(&writer->text, ",slot_%u", i);
    mtmi_text_add(&writer->text, "\n");
}

static void csv_frame(mtm_frame_writer *writer, const uint8_t *const *slots)
{
    for (size_t u = 0; u < writer->layout.universe_count; u++) {
        mtmi_text_add(&writer->text, "%" PRIu64 ",", writer->count);
        add_time(&writer->text, writer->count, writer->layout.rate_hz);
        mtmi_text_add(&writer->text, ",%u", (unsigned)writer->universe[u].universe);
        add_slots(&writer->text, slots[u], writer->universe[u].slot_count, true);
        mtmi_text_add(&writer->text, "\n");
    }
}

static void jsonl_frame(mtm_frame_writer *writer, const uint8_t *const *slots)
{
    mtmi_text_add(&writer->text, "{\"frame\":%" PRIu64 ",\"time_s\":", writer->count);
    add_time(&writer->text, writer->count, writer->layout.rate_hz);
    mtmi_text_add(&writer->text, ",\"universes\":{");
    for (size_t u = 0; u < writer->layout.universe_count; u++) {
        mtmi_text_add(&writer->text, "%s\"%u\":[", u > 0 ? "," : "",
                      (unsigned)writer->universe[u].universe);
        add_slots(&writer->text, slots[u], writer->universe[u].slot_count, false);
        mtmi_text_add(&writer->text, "]");
    }
    mtmi_text_add(&writer->text, "}}\n");
}

static void binary_head(mtm_frame_writer *writer)
{
    uint64_t rate_bits = 0;

    memcpy(&rate_bits, &writer->layout.rate_hz, sizeof rate_bits);
    mtmi_text_add_bytes(&writer->text, MTMI_FRAME_MAGIC, 8);
    add_number(&writer->text, MTMI_FRAME_VERSION, 2);
    add_number(&writer->text, writer->layout.universe_count, 2);
    add_number(&writer->text, rate_bits, 8);
    for (size_t u = 0; u < writer->layout.universe_count; u++) {
        add_number(&writer->text, writer->universe[u].universe, 2);
        add_number(&writer->text, writer->universe[u].slot_count, 2);
    }
}

static void add_type(mtmi_text *text, int type)
{
    add_number(text, (uint64_t)type, 1);
}

/* Where the next run begins: the first slot from at that differs. */
static size_t next_change(const mtm_frame_writer *writer, size_t at)
{
    while (at < writer->slots && writer->now[at] == writer->before[at])
        at++;
    return at;
}

/* Where the run that begins at ends: a gap shorter than the head of a run is not worth one. */
static size_t run_end(const mtm_frame_writer *writer, size_t at)
{
    size_t end = at + 1;

    for (size_t i = end;
         i < writer->slots && i - end < MTMI_FRAME_RUN_HEAD && i - at < MTMI_FRAME_RUN_MAX; i++) {
        if (writer->now[i] != writer->before[i])
            end = i + 1;
    }
    return end;
}

static void add_changes(mtm_frame_writer *writer)
{
    mtmi_text *text = &writer->text;
    uint32_t runs = 0;
    size_t last = 0;
    size_t start = text->length;

    add_type(text, MTMI_FRAME_CHANGED);
    add_number(text, 0, 4); /* the number of runs, below */
    for (size_t at = next_change(writer, 0); at < writer->slots; at = next_change(writer, last)) {
        size_t end = run_end(writer, at);
        add_number(text, at - last, 4);
        add_number(text, end - at, 2);
        mtmi_text_add_bytes(text, writer->now + at, end - at);
        last = end;
        runs++;
    }
    if (text->failed)
        return;
    if (text->length - start > writer->slots) { /* all of them are shorter */
        text->length = start;
        add_type(text, MTMI_FRAME_ALL);
        mtmi_text_add_bytes(text, writer->now, writer->slots);
        return;
    }
    for (size_t i = 0; i < 4; i++)
        text->data[start + 1 + i] = (char)(runs >> 8 * (3 - i) & 255);
}

static void add_same(mtm_frame_writer *writer)
{
    if (writer->same == 0)
        return;
    add_type(&writer->text, MTMI_FRAME_SAME);
    add_number(&writer->text, writer->same, 4);
    writer->same = 0;
}

static void binary_frame(mtm_frame_writer *writer, const uint8_t *const *slots)
{
    uint8_t *at = writer->now;

    for (size_t u = 0; u < writer->layout.universe_count; u++) {
        memcpy(at, slots[u], writer->universe[u].slot_count);
        at += writer->universe[u].slot_count;
    }
    if (writer->count == 0) {
        add_type(&writer->text, MTMI_FRAME_ALL);
        mtmi_text_add_bytes(&writer->text, writer->now, writer->slots);
    } else if (memcmp(writer->now, writer->before, writer->slots) == 0) {
        writer->same++;
        if (writer->same == UINT32_MAX)
            add_same(writer);
        return;
    } else {
        add_same(writer);
        add_changes(writer);
    }
    uint8_t *written = writer->now;
    writer->now = writer->before;
    writer->before = written;
}

static mtm_result allocate(mtm_frame_writer *writer, mtm_error *error)
{
    size_t count = writer->layout.universe_count;

    writer->universe = malloc(count * sizeof *writer->universe);
    if (writer->universe == NULL)
        return mtmi_fail_memory(error);
    memcpy(writer->universe, writer->layout.universe, count * sizeof *writer->universe);
    writer->layout.universe = writer->universe;
    for (size_t u = 0; u < count; u++)
        writer->slots += writer->universe[u].slot_count;
    writer->before = calloc(writer->slots, 1);
    writer->now = calloc(writer->slots, 1);
    return writer->before == NULL || writer->now == NULL ? mtmi_fail_memory(error) : MTM_OK;
}

mtm_result mtm_frame_writer_create(mtm_frame_format format, const mtm_frame_layout *layout,
                                   mtm_frame_sink sink, mtm_frame_writer **out, mtm_error *error)
{
    if (out == NULL || sink.write == NULL)
        return mtmi_fail(error, MTM_INVALID, "a sink and a place for the writer are needed");
    if ((unsigned)format > MTM_FRAMES_BINARY)
        return mtmi_fail(error, MTM_INVALID, "there is no such format of frames: %d", (int)format);
    mtm_frame_writer *writer = NULL;
    mtm_result result = mtm_frame_layout_check(layout, error);

    if (result != MTM_OK)
        return result;
    writer = calloc(1, sizeof *writer);
    if (writer == NULL)
        return mtmi_fail_memory(error);
    *writer = (mtm_frame_writer){.format = format, .layout = *layout, .sink = sink};
    result = allocate(writer, error);
    if (result != MTM_OK)
        goto done;
    if (format == MTM_FRAMES_CSV)
        csv_head(writer);
    else if (format == MTM_FRAMES_BINARY)
        binary_head(writer);
    result = flush_text(writer, error);
    if (result != MTM_OK)
        goto done;
    *out = writer;
    writer = NULL;
done:
    mtm_frame_writer_free(writer);
    return result;
}

mtm_result mtm_frame_writer_add(mtm_frame_writer *writer, const uint8_t *const *slots,
                                mtm_error *error)
{
    if (writer == NULL || slots == NULL)
        return mtmi_fail(error, MTM_INVALID, "a writer and slots are needed");
    switch (writer->format) {
    case MTM_FRAMES_CSV:
        csv_frame(writer, slots);
        break;
    case MTM_FRAMES_JSONL:
        jsonl_frame(writer, slots);
        break;
    case MTM_FRAMES_BINARY:
        binary_frame(writer, slots);
        break;
    }
    writer->count++;
    return flush_text(writer, error);
}

mtm_result mtm_frame_writer_finish(mtm_frame_writer *writer, mtm_error *error)
{
    if (writer == NULL)
        return mtmi_fail(error, MTM_INVALID, "a writer is needed");
    if (writer->format == MTM_FRAMES_BINARY) {
        add_same(writer);
        add_type(&writer->text, MTMI_FRAME_END);
        add_number(&writer->text, writer->count, 8);
    }
    return flush_text(writer, error);
}

void mtm_frame_writer_free(mtm_frame_writer *writer)
{
    if (writer == NULL)
        return;
    free(writer->universe);
    free(writer->before);
    free(writer->now);
    mtmi_text_free(&writer->text);
    free(writer);
}

/* One array of slots a universe, in one block behind the pointers; the caller frees it. */
static uint8_t **make_slots(const mtm_frame_layout *layout)
{
    size_t heads = layout->universe_count * sizeof(void *);
    uint8_t *block = calloc(1, heads + layout->universe_count * MTM_ADDRESS_MAX);
    uint8_t **slots = (uint8_t **)(void *)block;

    for (size_t u = 0; block != NULL && u < layout->universe_count; u++)
        slots[u] = block + heads + u * MTM_ADDRESS_MAX;
    return slots;
}

mtm_result mtm_frame_write_all(const mtm_frame_source *source, mtm_frame_writer *writer,
                               uint64_t *count, mtm_error *error)
{
    if (source == NULL || source->fill == NULL || writer == NULL)
        return mtmi_fail(error, MTM_INVALID, "a source and a writer are needed");
    mtm_result result = mtm_frame_layout_check(&source->layout, error);
    if (result != MTM_OK)
        return result;
    uint8_t **slots = make_slots(&source->layout);
    uint64_t number = 0;
    bool end = false;

    if (slots == NULL)
        return mtmi_fail_memory(error);

    while (result == MTM_OK) {
        result = source->fill(source->context, number, slots, &end, error);
        if (result != MTM_OK || end)
            break;
        result = mtm_frame_writer_add(writer, (const uint8_t *const *)slots, error);
        number++;
    }
    if (result == MTM_OK)
        result = mtm_frame_writer_finish(writer, error);
    if (result == MTM_OK)
        *count = number;
    free(slots);
    return result;
}
