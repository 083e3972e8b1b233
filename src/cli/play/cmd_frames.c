/* SPDX-License-Identifier: MIT */
/* metamer frames: writes what every slot is at each refresh. */
#include "cli/args/args.h"
#include "cli/out/stop.h"
#include "cli/play/play_source.h"
#include "cli/show_notes.h"

#include "base/error.h"

#include <metamer/stream.h>

#include <string.h>
#include <unistd.h>

/* The source with an end, and with a word now and then to whoever waits. */
struct limited {
    const mtm_frame_source *source;
    uint64_t most;  /* frames; 0: as many as there are */
    FILE *progress; /* NULL: none */
    uint64_t told_ns;
};

static void tell_progress(struct limited *limited, uint64_t number)
{
    uint64_t now_ns = mtm_stream_now_ns();

    if (limited->progress == NULL || now_ns - limited->told_ns < 1000000000)
        return;
    limited->told_ns = now_ns;
    (void)fprintf(limited->progress, "\r%llu frames, %.0f s of the show\033[K",
                  (unsigned long long)number, (double)number / limited->source->layout.rate_hz);
    (void)fflush(limited->progress);
}

static mtm_result fill(void *context, uint64_t number, uint8_t *const *slots, bool *end,
                       mtm_error *error)
{
    struct limited *limited = context;

    tell_progress(limited, number);
    if (*stop_flag() != 0 || (limited->most > 0 && number >= limited->most)) {
        *end = true;
        return MTM_OK;
    }
    return limited->source->fill(limited->source->context, number, slots, end, error);
}

static mtm_result write_frames(const struct args *args, const struct play_source *play,
                               const struct outlet *to, mtm_error *error)
{
    double frames = args_number(args, "seconds", 0) * play->source.layout.rate_hz;
    struct limited limited = {.source = &play->source,
                              .most = frames > 0 && frames < 1 ? 1 : (uint64_t)frames,
                              .progress = isatty(fileno(to->err)) == 1 ? to->err : NULL,
                              .told_ns = mtm_stream_now_ns()};
    mtm_frame_source source = {play->source.layout, &limited, fill};
    const mtm_frame_format_info *format = args_choice(args, "format");
    mtm_frame_writer *writer = NULL;
    uint64_t count = 0;

    if (format->format == MTM_FRAMES_BINARY && isatty(fileno(to->out)) == 1)
        return mtmi_fail(error, MTM_PARSE,
                         "compact frames are nothing for a terminal: send them to a file with >");
    mtm_result result = mtm_frame_writer_create(format->format, &source.layout,
                                                mtm_frame_sink_stream(to->out), &writer, error);
    if (result == MTM_OK)
        result = mtm_frame_write_all(&source, writer, &count, error);
    if (limited.progress != NULL)
        (void)fprintf(to->err, "\r\033[K");
    mtm_frame_writer_free(writer);
    return result;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct play_source play = {0};
    struct stop stop;

    stop_begin(&stop);
    mtm_result result = play_source_open(args, false, &play, error);
    if (result == MTM_OK)
        play_say_cautions(args, &play, to->err);
    if (result == MTM_OK)
        result = play_name_overloads(args, &play, "frames", to->err, error);
    if (result == MTM_OK && play.show != NULL)
        result = show_note_goals(play.show, play.meant, "metamer frames: ", to->err, error);
    if (result == MTM_OK)
        result = write_frames(args, &play, to, error);
    stop_end(&stop);
    play_source_close(&play);
    if (result == MTM_IO && ferror(to->out) != 0)
        return MTM_OK; /* told by the one who sees to it for all commands */
    return result;
}

static const void *format_row_at(size_t index)
{
    return mtm_frame_format_at(index);
}

static const struct option_spec options[] = {
    OPTION_CHOICE_AT(
        "format", "NAME", mtm_frame_format_info, format_row_at,
        "csv (the usual): a line a universe and frame; jsonl: a line of JSON a frame; binary: "
        "compact, only what changes, can be played"),
    OPTION_NUMBER("seconds", "N", 0.001, 1e7, "at most so many seconds of the show"),
    OPTION_FLAG("loop", "begin again at the end, until --seconds or the reader ends it"),
    {0},
};

static const struct option_group groups[] = {
    {.title = "The frames", .options = options},
    {.title = "", .options = play_slot_options},
    {.title = "Of a show", .options = play_show_options},
    {0},
};

static const char *const examples[] = {
    "metamer frames examples/evening.json --cue 20",
    "metamer frames examples/waiting.json --loop --seconds 120 --format binary > waiting.frames",
    NULL,
};

const struct command cmd_frames = {
    .name = "frames",
    .summary = "write what every slot is at each refresh, as text or to play",
    .usage = "SHOW|FRAMES",
    .details =
        "SHOW is a show file (JSON): a cue runs, and those that follow it by themselves. FRAMES is "
        "a file of frames in the compact format, or - for standard input, to be turned into text. "
        "The frames go to standard output one by one, however long the show is.\n\n"
        "With --units a show's frames have only the universes of the chosen units, and as many "
        "slots "
        "as these need; slots of other units among them are dark.\n\n"
        "In CSV each line has the frame, its time, its universe and the slots; in lines of JSON a "
        "frame is {\"frame\":0,\"time_s\":0.000000,\"universes\":{\"1\":[0,255]}}. The layout of "
        "the compact format stands in the header metamer/frames.h.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
