/* SPDX-License-Identifier: MIT */
/* Frames: what a layout may be, and the streams they go to and come from. */
#include <metamer/frames.h>
#include <metamer/rig.h>

#include "base/error.h"

#include <errno.h>
#include <string.h>

static const mtm_frame_format_info formats[] = {
    {MTM_FRAMES_CSV, "csv", "a line a universe and frame, slots in columns"},
    {MTM_FRAMES_JSONL, "jsonl", "a line of JSON a frame"},
    {MTM_FRAMES_BINARY, "binary", "compact, only what changes; can be played"},
};

size_t mtm_frame_format_count(void)
{
    return sizeof formats / sizeof formats[0];
}

const mtm_frame_format_info *mtm_frame_format_at(size_t index)
{
    return index < mtm_frame_format_count() ? &formats[index] : NULL;
}

mtm_result mtm_frame_layout_check(const mtm_frame_layout *layout, mtm_error *error)
{
    if (layout == NULL)
        return mtmi_fail(error, MTM_INVALID, "a layout is needed");
    if (!(layout->rate_hz >= MTM_FRAME_RATE_MIN && layout->rate_hz <= MTM_FRAME_RATE_MAX))
        return mtmi_fail(error, MTM_INVALID, "%.10g frames a second; allowed are %.10g to %.10g",
                         layout->rate_hz, MTM_FRAME_RATE_MIN, MTM_FRAME_RATE_MAX);
    if (layout->universe_count < 1 || layout->universe_count > MTM_FRAME_UNIVERSES_MAX)
        return mtmi_fail(error, MTM_INVALID, "%zu universes in a frame; allowed are 1 to %d",
                         layout->universe_count, MTM_FRAME_UNIVERSES_MAX);
    if (layout->universe == NULL)
        return mtmi_fail(error, MTM_INVALID, "a layout without its universes");
    for (size_t i = 0; i < layout->universe_count; i++) {
        const mtm_frame_universe *each = &layout->universe[i];
        if (each->universe < MTM_UNIVERSE_MIN || each->universe > MTM_UNIVERSE_MAX)
            return mtmi_fail(error, MTM_INVALID, "universe %u; allowed are 1 to %d",
                             (unsigned)each->universe, MTM_UNIVERSE_MAX);
        if (i > 0 && each->universe <= each[-1].universe)
            return mtmi_fail(error, MTM_INVALID,
                             "universe %u after universe %u; the universes of a frame rise",
                             (unsigned)each->universe, (unsigned)each[-1].universe);
        if (each->slot_count < 1 || each->slot_count > MTM_ADDRESS_MAX)
            return mtmi_fail(error, MTM_INVALID, "%u slots in universe %u; allowed are 1 to %d",
                             (unsigned)each->slot_count, (unsigned)each->universe, MTM_ADDRESS_MAX);
    }
    return MTM_OK;
}

static mtm_result stream_write(void *context, const void *octets, size_t count, mtm_error *error)
{
    errno = 0;
    if (fwrite(octets, 1, count, context) != count)
        return mtmi_fail(error, MTM_IO, "the frames cannot be written: %s",
                         errno != 0 ? strerror(errno) : "the stream failed");
    return MTM_OK;
}

mtm_frame_sink mtm_frame_sink_stream(FILE *stream)
{
    return stream != NULL ? (mtm_frame_sink){stream, stream_write} : (mtm_frame_sink){0};
}

static mtm_result stream_read(void *context, void *octets, size_t count, size_t *got,
                              mtm_error *error)
{
    errno = 0;
    *got = fread(octets, 1, count, context);
    if (*got < count && ferror((FILE *)context))
        return mtmi_fail(error, MTM_IO, "the frames cannot be read: %s", strerror(errno));
    return MTM_OK;
}

static mtm_result stream_rewind(void *context, mtm_error *error)
{
    if (fseek(context, 0, SEEK_SET) != 0)
        return mtmi_fail(error, MTM_UNSUPPORTED,
                         "frames that come through a pipe cannot be repeated: %s", strerror(errno));
    return MTM_OK;
}

mtm_frame_input mtm_frame_input_stream(FILE *stream)
{
    if (stream == NULL)
        return (mtm_frame_input){0};
    return (mtm_frame_input){stream, stream_read, stream_rewind};
}
