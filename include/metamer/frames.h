/* SPDX-License-Identifier: MIT */
/* Frames: what every slot is at each refresh, from a source, to a file, and back. */
#ifndef METAMER_FRAMES_H
#define METAMER_FRAMES_H

#include <metamer/base.h>

#include <stdio.h>

MTM_BEGIN

/** Most universes of a frame. */
#define MTM_FRAME_UNIVERSES_MAX 4096
#define MTM_FRAME_RATE_MIN 0.01   /**< slowest rate, frames a second */
#define MTM_FRAME_RATE_MAX 1000.0 /**< fastest rate, frames a second */

/** One universe of each frame. A plain value. */
typedef struct mtm_frame_universe {
    uint16_t universe;   /**< 1..63999 */
    uint16_t slot_count; /**< 1..512 */
} mtm_frame_universe;

/** What every frame of a stream has. The universes rise. */
typedef struct mtm_frame_layout {
    double rate_hz;        /**< frames a second, MTM_FRAME_RATE_MIN..MTM_FRAME_RATE_MAX */
    size_t universe_count; /**< 1..MTM_FRAME_UNIVERSES_MAX */
    const mtm_frame_universe *universe; /**< borrowed from whoever gives the layout */
} mtm_frame_layout;

/** Where frames come from. Whoever makes one says how long it lives. One thread at a time, the same
 *  as uses what it was made from. */
typedef struct mtm_frame_source {
    mtm_frame_layout layout; /**< what every frame has */
    void *context;           /**< handed to fill */
    /**
     * Gives one frame. Numbers rise from call to call but may leave some out (frames that came too
     * late to be sent); a source that computes each frame from the one before catches up by itself.
     *
     * @param slots  one array a universe, in the layout's order, each with its slot_count places;
     *               they keep what the call before left in them
     * @param end    set to true where the frames end before this number; slots then get the last
     *               frame, so that a player that is late still reaches it
     * @return MTM_OK, or why there is no frame: that ends the frames
     */
    mtm_result (*fill)(void *context, uint64_t number, uint8_t *const *slots, bool *end,
                       mtm_error *error);
} mtm_frame_source;

/** Checks a layout: MTM_INVALID with what is out of its range. */
MTM_API MTM_CHECKED mtm_result mtm_frame_layout_check(const mtm_frame_layout *layout,
                                                      mtm_error *error);

/** How frames are written. */
typedef enum mtm_frame_format {
    MTM_FRAMES_CSV = 0, /**< a line a universe and frame: frame,time_s,universe,slots... */
    MTM_FRAMES_JSONL,   /**< a line a frame: {"frame":0,"time_s":0.000000,"universes":{"1":[0,255]}}
                         */
    MTM_FRAMES_BINARY   /**< compact; see below */
} mtm_frame_format;

/** A format's name and meaning, for parsers and help. */
typedef struct mtm_frame_format_info {
    mtm_frame_format format; /**< which */
    const char *name;        /**< as the user writes it */
    const char *description; /**< one line */
} mtm_frame_format_info;

/** Number of formats. */
MTM_API size_t mtm_frame_format_count(void);
/** One of them; static storage. NULL past the last. In the order of mtm_frame_format. */
MTM_API const mtm_frame_format_info *mtm_frame_format_at(size_t index);

/*
 * The compact format. All numbers are big-endian.
 *
 *   octets  what
 *   8       "mtmframe"
 *   2       version, 1
 *   2       number of universes, U: 1..4096
 *   8       frames a second, IEEE 754 binary64
 *   4 * U   of each universe, rising: its number (2), its slots (2)
 *
 * Then records, each of which begins with one octet:
 *
 *   'A'     all: every slot, universe after universe. The first record is of this type
 *   'C'     changed: number of runs (4), at least 1; of each run the slots skipped since the end of
 *           the run before, across universes (4), the slots that follow (2, at least 1), and those
 *   'S'     same: this many more frames (4, at least 1) equal the one before
 *   'E'     end: the number of frames (8); nothing follows. A file without it was cut short
 */

/** Where octets go. */
typedef struct mtm_frame_sink {
    void *context; /**< handed to write */
    /** Takes all octets or fails with the reason (usually MTM_IO). */
    mtm_result (*write)(void *context, const void *octets, size_t count, mtm_error *error);
} mtm_frame_sink;

/** A sink that writes to a stream, which stays the caller's. */
MTM_API mtm_frame_sink mtm_frame_sink_stream(FILE *stream);

/** Writes frames as they come, in constant memory. One thread at a time. */
typedef struct mtm_frame_writer mtm_frame_writer;

/** Makes a writer and writes the head. Copies layout and sink. MTM_OK; MTM_INVALID for a layout or
 *  format that is none; MTM_MEMORY; what the sink fails with. */
MTM_API MTM_CHECKED mtm_result mtm_frame_writer_create(mtm_frame_format format,
                                                       const mtm_frame_layout *layout,
                                                       mtm_frame_sink sink, mtm_frame_writer **out,
                                                       mtm_error *error);
/** Writes the next frame: one array of slots a universe, in the layout's order. MTM_OK, or what
 *  the sink fails with, usually MTM_IO. */
MTM_API MTM_CHECKED mtm_result mtm_frame_writer_add(mtm_frame_writer *writer,
                                                    const uint8_t *const *slots, mtm_error *error);
/** Writes what is held back, and the end. MTM_OK, or what the sink fails with, usually MTM_IO. */
MTM_API MTM_CHECKED mtm_result mtm_frame_writer_finish(mtm_frame_writer *writer, mtm_error *error);
/** Frees a writer; what was not finished stays cut short. NULL is allowed. */
MTM_API void mtm_frame_writer_free(mtm_frame_writer *writer);

/** Writes every frame of a source, from number 0, and finishes; *count is set to their number.
 *  MTM_OK; MTM_MEMORY; what the source or the sink fails with, the latter usually MTM_IO. */
MTM_API MTM_CHECKED mtm_result mtm_frame_write_all(const mtm_frame_source *source,
                                                   mtm_frame_writer *writer, uint64_t *count,
                                                   mtm_error *error);

/** Where octets come from. */
typedef struct mtm_frame_input {
    void *context; /**< handed to read and rewind */
    /** Reads up to count octets; fewer only at the end. */
    mtm_result (*read)(void *context, void *octets, size_t count, size_t *got, mtm_error *error);
    /** Goes back to the first octet; NULL where that cannot be done. */
    mtm_result (*rewind)(void *context, mtm_error *error);
} mtm_frame_input;

/** An input that reads a stream, which stays the caller's. */
MTM_API mtm_frame_input mtm_frame_input_stream(FILE *stream);

/** Reads frames in the compact format. One thread at a time. */
typedef struct mtm_frame_reader mtm_frame_reader;

/** Reads the head. Needs no more memory than one frame of it says, 2 MiB at most. MTM_OK;
 *  MTM_PARSE for what are no frames; MTM_UNSUPPORTED for another version; MTM_MEMORY; what the
 * input fails with, usually MTM_IO. */
MTM_API MTM_CHECKED mtm_result mtm_frame_reader_create(mtm_frame_input input,
                                                       mtm_frame_reader **out, mtm_error *error);
/** Frees a reader; NULL is allowed. */
MTM_API void mtm_frame_reader_free(mtm_frame_reader *reader);
/** Borrowed from the reader. */
MTM_API mtm_frame_layout mtm_frame_reader_layout(const mtm_frame_reader *reader);
/** Reads the next frame, or sets *end where there is none. MTM_PARSE where the file is not what it
 *  should be, or was cut short; both name the frame. */
MTM_API MTM_CHECKED mtm_result mtm_frame_reader_next(mtm_frame_reader *reader,
                                                     uint8_t *const *slots, bool *end,
                                                     mtm_error *error);
/** The reader as a source; it lives as long as the reader. With loop it begins again at the end,
 *  for which the input must be able to go back. */
MTM_API mtm_frame_source mtm_frame_reader_source(mtm_frame_reader *reader, bool loop);

/** Shortest time between packets of a DMX512 line that carries this many slots (0..512; more count
 *  as 512), in microseconds: break 92, mark 12, 44 a slot with the START code, never below 1204.
 *  Source: ANSI E1.11-2008 (R2018), transmitter timing of the table "timing values". */
MTM_API double mtm_e111_packet_us(size_t slots);
/** Packets a second that E1.11 allows for a universe of this many slots: 44.1 at 512. */
MTM_API double mtm_e111_max_refresh_hz(size_t slots);
/** Checks that E1.11 allows the layout's rate for the slots of each universe: MTM_RANGE with the
 *  first that it does not. */
MTM_API MTM_CHECKED mtm_result mtm_e111_check(const mtm_frame_layout *layout, mtm_error *error);

MTM_END
#endif
