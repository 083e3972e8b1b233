/* SPDX-License-Identifier: MIT */
/* Headings of a table of readings: what stands in a column, by the words over it. */
#ifndef METAMER_READINGS_HEADING_H
#define METAMER_READINGS_HEADING_H

#include "readings/readings.h"

/** What a column holds. */
typedef enum mtmi_column_type {
    MTMI_COLUMN_NOT_USED,
    MTMI_COLUMN_UNIT,
    MTMI_COLUMN_EMITTER,
    MTMI_COLUMN_CODE,
    MTMI_COLUMN_CODES,
    MTMI_COLUMN_SLOTS,
    MTMI_COLUMN_FIELD,
    MTMI_COLUMN_SPECTRUM
} mtmi_column_type;

/** One column. A plain value. */
typedef struct mtmi_column {
    mtmi_column_type type;
    mtmi_field field;     /**< of MTMI_COLUMN_FIELD */
    double wavelength_nm; /**< of MTMI_COLUMN_SPECTRUM */
    double scale;         /**< its figures times this are in the unit that metamer counts in */
    const char *chosen;   /**< the name that the user gave it, whatever its heading says; or NULL */
} mtmi_column;

/** What a heading says; MTMI_COLUMN_NOT_USED where it says nothing that is known. */
mtmi_column mtmi_heading_read(const char *heading);

/** The column with a name of mtm_reading_column_at, in the unit that stands in its heading, or in
 *  the usual one; MTMI_COLUMN_NOT_USED where there is no such name. */
mtmi_column mtmi_heading_named(const char *name, const char *heading);

#endif
