/* SPDX-License-Identifier: MIT */
/* Sheets: what a technician takes up the ladder: the patch, labels for the units, and forms for
 * readings. */
#ifndef METAMER_SHEET_H
#define METAMER_SHEET_H

#include <metamer/base.h>
#include <metamer/rig.h>

MTM_BEGIN

#define MTM_SHEET_PAGE_LINES 60  /**< usual lines of a page: A4 and letter, common practice */
#define MTM_SHEET_PAGE_LEAST 20  /**< shorter pages have no room for heads and a unit */
#define MTM_SHEET_PAGE_MOST 1000 /**< longest page */
#define MTM_SHEET_SHARES_MAX 16  /**< most codes below full of a form for readings */

/** What a sheet shows. */
typedef enum mtm_sheet_type {
    MTM_SHEET_SUPPLY = 0, /**< the patch by supply and port */
    MTM_SHEET_ADDRESS,    /**< the patch by universe and address, with what is free */
    MTM_SHEET_POSITION,   /**< the patch by position and address */
    MTM_SHEET_LABELS,     /**< one label a unit, to be cut out */
    MTM_SHEET_READINGS    /**< what to measure, with blanks */
} mtm_sheet_type;

/** How it is written. */
typedef enum mtm_sheet_format {
    MTM_SHEET_TEXT = 0, /**< at most 80 columns wide; UTF-8 */
    MTM_SHEET_CSV       /**< RFC 4180: one row a unit, the same columns for every type; for
                             MTM_SHEET_READINGS one row a reading, as mtm_readings_load reads it */
} mtm_sheet_format;

/** A sheet that is wanted. A plain value; zeroed is the patch by supply on one endless page. */
typedef struct mtm_sheet_request {
    mtm_sheet_type type;     /**< what it shows */
    mtm_sheet_format format; /**< how it is written */
    const size_t *unit;      /**< the units that it is of, indices; NULL: all of the rig */
    size_t unit_count;       /**< how many these are */
    int page_lines;          /**< of text; 0: no pages, else MTM_SHEET_PAGE_LEAST..PAGE_MOST. A page
                                  ends with a form feed, its heads stand on each */
    const char *revision;    /**< NULL: the rig's */
    const char *date;        /**< NULL: the rig's */
    /** MTM_SHEET_READINGS: codes below full at which each emitter is read too, as shares of the
     * full code, above 0 and below 1 */
    const double *share;
    size_t share_count; /**< how many, 0..MTM_SHEET_SHARES_MAX */
} mtm_sheet_request;

/**
 * Writes a sheet of a rig. Units that have no supply or address yet are shown as open.
 *
 * A form for readings begins with the room's own light, then has for each unit all emitters
 * together at full, and every one alone: with these, colour and light of any mix at full are known.
 * Readings at lower codes, which teach curves, come behind all of that. Whoever runs out of time so
 * knows mixes at full at least as well as by reading one unit to its end before the next; light far
 * below full stays in doubt until low codes are read. Units that follow others are not in it: they
 * light with their leader.
 *
 * @param text   the sheet, NUL-terminated; the caller frees it with free()
 * @param length bytes before the NUL
 * @return MTM_OK; MTM_INVALID for what is not allowed above; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_sheet_write(const mtm_rig *rig, const mtm_sheet_request *request,
                                               char **text, size_t *length, mtm_error *error);

MTM_END
#endif
