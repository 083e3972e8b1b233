/* SPDX-License-Identifier: MIT */
/* Sheets: what a technician takes up the ladder: the patch, and labels for the units. */
#ifndef METAMER_SHEET_H
#define METAMER_SHEET_H

#include <metamer/base.h>
#include <metamer/rig.h>

MTM_BEGIN

/** What a sheet shows. */
typedef enum mtm_sheet_type {
    MTM_SHEET_SUPPLY = 0, /**< the patch by supply and port */
    MTM_SHEET_ADDRESS,    /**< the patch by universe and address, with what is free */
    MTM_SHEET_LABELS      /**< one label a unit, to be cut out */
} mtm_sheet_type;

/** How it is written. */
typedef enum mtm_sheet_format {
    MTM_SHEET_TEXT = 0, /**< at most 80 columns wide; UTF-8 */
    MTM_SHEET_CSV       /**< one row a unit, RFC 4180; the same columns for every type */
} mtm_sheet_format;

/**
 * Writes a sheet of a rig. Units that have no supply or address yet are shown as open.
 *
 * @param text   the sheet, NUL-terminated; the caller frees it with free()
 * @param length bytes before the NUL
 * @return MTM_OK; MTM_INVALID for no such type or format; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_sheet_write(const mtm_rig *rig, mtm_sheet_type type,
                                               mtm_sheet_format format, char **text, size_t *length,
                                               mtm_error *error);

MTM_END
#endif
