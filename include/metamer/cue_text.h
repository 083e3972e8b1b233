/* SPDX-License-Identifier: MIT */
/* Cue text: cues as the trade exchanges them, USITT ASCII text, version 3.0, out and in. */
#ifndef METAMER_CUE_TEXT_H
#define METAMER_CUE_TEXT_H

#include <metamer/base.h>
#include <metamer/rig.h>

MTM_BEGIN

/*
 * "ASCII Text Representation for Lighting Console Data", USITT, version 3.0, 1992. What is known of
 * it here comes from its contents list, an annotated sample, a syntax listing, and memory; so the
 * writer uses only what every reading of it allows, the reader takes all that any of them does, and
 * conformance is not claimed.
 *
 * The format knows numbered channels with 8-bit levels, no colours. A 16-bit parameter is two
 * channels that follow each other, coarse and fine, each patched to its own slot at full scale. A
 * receiver fades the two on their own: the ends of a fade are right, what lies between is not.
 */

#define MTM_CUE_CHANNEL_MAX 65535 /**< highest channel */
#define MTM_CUE_DIMMER_MAX 65535  /**< highest dimmer, an absolute slot: see mtm_cue_patch */
/** Cue numbers are in tenths: 25 is cue 2.5. */
#define MTM_CUE_NUMBER_MAX 99999
/** Most cues, groups and submasters of a sheet together. */
#define MTM_CUE_COUNT_MAX 20000
/** Longest time, 99:99:99.9 in seconds. */
#define MTM_CUE_TIME_MAX_S 362439.9
/** Most characters of a line, its end not counted. */
#define MTM_CUE_LINE_MAX 80
/** Largest text that is read or written. */
#define MTM_CUE_TEXT_MAX ((size_t)64 * 1024 * 1024)
/** Most remarks that are kept; more are only counted. */
#define MTM_CUE_REMARKS_MAX 10000

/** What a block of levels is. */
typedef enum mtm_cue_type {
    MTM_CUE_CUE = 0, /**< a cue */
    MTM_CUE_GROUP,   /**< a group */
    MTM_CUE_SUB      /**< a submaster */
} mtm_cue_type;

/** One channel's level. A plain value. */
typedef struct mtm_cue_level {
    uint16_t channel; /**< 1..65535 */
    uint8_t level;    /**< 0..255 */
} mtm_cue_level;

/** A part of a cue; the first is the cue's own. Plain. */
typedef struct mtm_cue_part {
    uint16_t number;    /**< 0: the cue's own, what holds for all of it; 1..65535 */
    const char *text;   /**< ASCII; NULL: none */
    bool has_up;        /**< false: up_s is what holds instead: the cue's own, the default, or 0 */
    bool has_down;      /**< false: down_s is what holds instead, likewise */
    double up_s;        /**< fade time of rising levels, 0..MTM_CUE_TIME_MAX_S; kept to 0.1 s */
    double up_wait_s;   /**< seconds before they begin; range as up_s */
    double down_s;      /**< fade time of falling levels, seconds; range as up_s */
    double down_wait_s; /**< seconds before they begin; range as up_s */
    size_t level_count; /**< channels that it names */
    const mtm_cue_level *level; /**< channels rise */
} mtm_cue_part;

/** A cue, group or submaster. Plain; borrowed from its sheet where a sheet hands it out. */
typedef struct mtm_cue_entry {
    mtm_cue_type type;      /**< cue, group or submaster */
    uint32_t number_tenths; /**< 1..99999 */
    uint16_t page;          /**< 0: none; read, never written */
    bool has_follow;        /**< false: the next cue waits to be started */
    double follow_s;        /**< the next cue starts by itself so long after this one was started */
    uint32_t link_tenths;   /**< the cue to run next; 0: the next number */
    size_t part_count;      /**< at least 1 */
    const mtm_cue_part *part; /**< numbers rise, the first is 0 */
} mtm_cue_entry;

/** Which channel drives which dimmer. A plain value. */
typedef struct mtm_cue_patch {
    uint16_t channel; /**< 1..65535 */
    uint16_t dimmer;  /**< absolute slot: (universe - 1) * 512 + address */
    uint8_t level;    /**< scale: 255 is unscaled */
} mtm_cue_patch;

/** A show as cue text knows it. One thread at a time. */
typedef struct mtm_cue_sheet mtm_cue_sheet;

/** An empty sheet, which the caller frees. MTM_OK, MTM_INVALID or MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_cue_sheet_create(mtm_cue_sheet **out, mtm_error *error);
/** Frees a sheet; NULL is allowed. */
MTM_API void mtm_cue_sheet_free(mtm_cue_sheet *sheet);

/** Adds a copy of a cue, in place of one of the same type and number. Only cues have follow-on,
 * link and more than one part with times; groups have no times, submasters one part. MTM_OK;
 * MTM_INVALID for a figure out of its range; MTM_LIMIT beyond MTM_CUE_COUNT_MAX; MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_cue_sheet_add(mtm_cue_sheet *sheet, const mtm_cue_entry *cue,
                                                 mtm_error *error);
/** Patches a dimmer to a channel (both from 1), in place of an earlier patch of that dimmer.
 *  MTM_OK; MTM_INVALID for channel or dimmer 0; MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_cue_sheet_patch(mtm_cue_sheet *sheet, mtm_cue_patch patch,
                                                   mtm_error *error);
/** Says that coarse (1..65534) and coarse + 1 are one 16-bit parameter. MTM_OK; MTM_INVALID where
 *  it overlaps another pair; MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_cue_sheet_pair(mtm_cue_sheet *sheet, uint16_t coarse,
                                                  mtm_error *error);
/** Names whose file it is: 1..10 letters and digits each, else MTM_INVALID; NULL leaves one out. */
MTM_API MTM_CHECKED mtm_result mtm_cue_sheet_set_maker(mtm_cue_sheet *sheet,
                                                       const char *manufacturer,
                                                       const char *console, mtm_error *error);
/** Sets what cues without times take, 0..MTM_CUE_TIME_MAX_S, else MTM_INVALID. */
MTM_API MTM_CHECKED mtm_result mtm_cue_sheet_set_defaults(mtm_cue_sheet *sheet, double up_s,
                                                          double down_s, mtm_error *error);

/** Cues, then groups, then submasters, each in rising order. */
MTM_API size_t mtm_cue_sheet_count(const mtm_cue_sheet *sheet);
/** Borrowed; index < count. */
MTM_API const mtm_cue_entry *mtm_cue_sheet_at(const mtm_cue_sheet *sheet, size_t index);
/** How many dimmers are patched. */
MTM_API size_t mtm_cue_sheet_patch_count(const mtm_cue_sheet *sheet);
/** What a dimmer is patched to; its channel is 0 where it is not. */
MTM_API mtm_cue_patch mtm_cue_sheet_patch_of(const mtm_cue_sheet *sheet, uint16_t dimmer);
/** The manufacturer; "" where the sheet names none. Borrowed. */
MTM_API const char *mtm_cue_sheet_manufacturer(const mtm_cue_sheet *sheet);
/** The console; "" where the sheet names none. Borrowed. */
MTM_API const char *mtm_cue_sheet_console(const mtm_cue_sheet *sheet);

/** What a channel that a cue does not mention does. */
typedef enum mtm_cue_missing {
    MTM_CUE_UNCHANGED = 0, /**< keeps its level from the cue before, in rising numbers */
    MTM_CUE_ZERO           /**< goes out */
} mtm_cue_missing;

/**
 * The levels of every channel when the cue at index stands. Links are not followed.
 *
 * @param index  of a cue (not of a group or submaster)
 * @param level  MTM_CUE_CHANNEL_MAX + 1 places, by channel; [0] is 0; set on MTM_OK
 * @return MTM_OK; MTM_INVALID where there is no cue at index
 */
MTM_API MTM_CHECKED mtm_result mtm_cue_sheet_levels(const mtm_cue_sheet *sheet, size_t index,
                                                    mtm_cue_missing missing, uint8_t *level,
                                                    mtm_error *error);
/** The slots of a universe from levels by channel, through the patch: level * scale / 255. Slots
 *  that are not patched are left alone. */
MTM_API void mtm_cue_sheet_slots(const mtm_cue_sheet *sheet, const uint8_t *level,
                                 unsigned universe, uint8_t slot[512]);

/** A 16-bit value as two levels: coarse on channel (1..65534), fine on the next. */
MTM_API void mtm_cue_level_pair(uint16_t channel, uint16_t value, mtm_cue_level level[2]);
/** And back, from levels by channel; level as in mtm_cue_sheet_levels. */
MTM_API uint16_t mtm_cue_pair_value(const uint8_t *level, uint16_t channel);

/** How to write. A zeroed one is the usual. */
typedef struct mtm_cue_write_options {
    mtm_cue_missing missing; /**< how channels that a cue leaves out are filled in */
    bool as_given;      /**< writes cues as they are; otherwise every channel that any cue or the
                             patch uses stands in each, so that it means the same to every
                             receiver */
    bool coarse_only;   /**< fine channels at 0, for receivers that fade pairs badly */
    bool clear_all;     /**< begins with CLEAR ALL, which erases the receiver's show */
    const char *note;   /**< a comment of one line at the top; NULL: none */
    const mtm_rig *rig; /**< whose slots the patch drives: what each channel carries, of which
                             unit, stands in a comment of its own; NULL: none */
} mtm_cue_write_options;

/** What writing had to change. A plain value. */
typedef struct mtm_cue_write_report {
    size_t texts_changed; /**< cut to the line, or characters that the format cannot carry */
    size_t times_rounded; /**< to 0.1 s */
} mtm_cue_write_report;

/**
 * Writes a sheet: lines of at most 80 ASCII characters, ended by CR LF, levels in hex.
 *
 * @param text    set to length characters and a NUL; the caller frees it
 * @param report  may be NULL
 * @return MTM_OK; MTM_LIMIT where it would be more than MTM_CUE_TEXT_MAX
 */
MTM_API MTM_CHECKED mtm_result mtm_cue_text_write(const mtm_cue_sheet *sheet,
                                                  const mtm_cue_write_options *options, char **text,
                                                  size_t *length, mtm_cue_write_report *report,
                                                  mtm_error *error);

/** How much a remark matters. */
typedef enum mtm_cue_severity {
    MTM_CUE_NOTE = 0, /**< skipped by rule */
    MTM_CUE_WARN,     /**< changed or guessed */
    MTM_CUE_ERROR     /**< dropped */
} mtm_cue_severity;

/** Something that was not as the standard has it. Borrowed from its sheet. */
typedef struct mtm_cue_remark {
    size_t line;               /**< from 1 */
    mtm_cue_severity severity; /**< how much it matters */
    const char *code;          /**< name of one of mtm_cue_code_at */
    const char *text;          /**< a sentence */
} mtm_cue_remark;

/** A type of remark. */
typedef struct mtm_cue_code {
    const char *name;          /**< short, as remarks show it */
    mtm_cue_severity severity; /**< how much such a remark matters */
    const char *meaning;       /**< one line */
} mtm_cue_code;

/** Number of types of remarks. */
MTM_API size_t mtm_cue_code_count(void);
/** One of them; static storage. NULL past the last. */
MTM_API const mtm_cue_code *mtm_cue_code_at(size_t index);

/** "note", "warn", "error"; NULL for no such severity. */
MTM_API const char *mtm_cue_severity_name(mtm_cue_severity severity);

/** How to read. */
typedef struct mtm_cue_read_options {
    const uint16_t
        *pair;         /**< coarse channels of 16-bit parameters; those that come alone are told */
    size_t pair_count; /**< how many there are */
} mtm_cue_read_options;

/**
 * Reads cue text. Keeps going whatever it finds: each thing that is not understood becomes a
 * remark.
 *
 * @param text     length characters; CR, LF and CR LF end lines, mixed at will
 * @param options  NULL: none
 * @return MTM_OK, also with remarks; MTM_LIMIT; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_cue_text_read(const char *text, size_t length,
                                                 const mtm_cue_read_options *options,
                                                 mtm_cue_sheet **out, mtm_error *error);

/** Remarks kept, in the order of lines. */
MTM_API size_t mtm_cue_sheet_remark_count(const mtm_cue_sheet *sheet);
/** A remark; index < count. Its text is borrowed. */
MTM_API mtm_cue_remark mtm_cue_sheet_remark(const mtm_cue_sheet *sheet, size_t index);
/** Remarks of that severity, kept or not. */
MTM_API size_t mtm_cue_sheet_remarks_of(const mtm_cue_sheet *sheet, mtm_cue_severity severity);

MTM_END
#endif
