/* SPDX-License-Identifier: MIT */
/* Readings: what a meter read from which unit at which codes. */
#ifndef METAMER_READINGS_H
#define METAMER_READINGS_H

#include <metamer/assumed.h>
#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/fixture.h>
#include <metamer/meter.h>
#include <metamer/rig.h>
#include <metamer/spectrum.h>

MTM_BEGIN

/** Most readings of one file. */
#define MTM_READINGS_MAX 20000
/** As unit of a reading: no unit, all dark (the light of the room). */
#define MTM_READING_ROOM SIZE_MAX

/** What Y counts. */
typedef enum mtm_photometric {
    MTM_PHOTOMETRIC_ANY = 0,  /**< not said */
    MTM_PHOTOMETRIC_LUX,      /**< illuminance */
    MTM_PHOTOMETRIC_LUMINANCE /**< cd/m2 */
} mtm_photometric;

/** One reading. A plain value but for its spectrum, which the readings own. */
typedef struct mtm_reading {
    size_t line;                   /**< of the file: CSV line, or place in the JSON list from 1 */
    size_t unit;                   /**< index in the rig, or MTM_READING_ROOM */
    double code[MTM_EMITTERS_MAX]; /**< sent to each emitter, 0..1 of its full code */
    double dimmer;                 /**< sent to the master dimmer, 0..1; 1 where there is none */
    mtm_xyz xyz;                   /**< as read, dark not yet taken off; 2 degree observer */
    mtm_photometric quantity;      /**< what Y counts: lx or cd/m2 */
    bool keep; /**< somebody vouches for it: never left out, whatever it looks like */
    const mtm_spectrum *spectrum; /**< as read, any scale; NULL if the meter gave none */
} mtm_reading;

/** What a sentence about a row says of its reading. */
typedef enum mtm_note_type {
    MTM_NOTE_REMARK,     /**< it is taken */
    MTM_NOTE_LEFT_OUT,   /**< it is left out, wholly or its colour alone */
    MTM_NOTE_CONTRADICTS /**< it is taken, and so is another: one of the two is wrong */
} mtm_note_type;

/** A sentence about one row. */
typedef struct mtm_note {
    size_t line;        /**< as in mtm_reading; 0: the whole file */
    mtm_note_type type; /**< what it says of the reading */
    char text[400];     /**< the sentence, UTF-8 */
} mtm_note;

/** Readings of the units of a rig, the meter, and what is assumed beside. Many threads may read
 *  them while none changes them. */
typedef struct mtm_readings mtm_readings;

/** No readings yet, for a rig. The caller frees it; the rig must outlive it. MTM_OK or MTM_MEMORY.
 */
MTM_API MTM_CHECKED mtm_result mtm_readings_create(const mtm_rig *rig, mtm_readings **out,
                                                   mtm_error *error);
/** What a column of a table of readings may hold. A plain value. */
typedef struct mtm_reading_column {
    const char *name;     /**< by which mtm_column_choice names it */
    const char *headings; /**< over it, with bars between; words such as "CIE" and "1931", and a
                           * unit of measure, may stand beside them */
    const char *meaning;  /**< what it holds */
} mtm_reading_column;

/** The columns that are known, beside those of wavelengths; NULL past the last. */
MTM_API const mtm_reading_column *mtm_reading_column_at(size_t index);

/** Says what stands under a heading. */
typedef struct mtm_column_choice {
    const char *name;    /**< of mtm_reading_column_at */
    const char *heading; /**< the whole heading, as in the file */
} mtm_column_choice;

/**
 * Reads a "readings/1" file or a CSV table as meters export it, UTF-8 or UTF-16 with its mark. A
 * row that makes no sense is named in a note and left out; the rest is kept. The rig must outlive
 * the readings.
 * @return MTM_OK, also with notes; else as all that reads a file (see mtm_result)
 */
MTM_API MTM_CHECKED mtm_result mtm_readings_load(const char *path, const mtm_rig *rig,
                                                 mtm_readings **out, mtm_error *error);
/**
 * The same, where the user says what stands under some headings of a table, whatever is known of
 * them. Of the headings that choices give to one name, one must stand in the table; columns that
 * would hold the same are then not used.
 * @param choice count of them; NULL where count is 0
 * @return as mtm_readings_load; MTM_NOT_FOUND for a name that is not known, or where no heading of
 *         it stands in the table; MTM_PARSE for a file that is no table
 */
MTM_API MTM_CHECKED mtm_result mtm_readings_load_columns(const char *path, const mtm_rig *rig,
                                                         const mtm_column_choice *choice,
                                                         size_t count, mtm_readings **out,
                                                         mtm_error *error);
/** The same from text in memory; length bytes; no NUL is needed behind them. Results as of all that
 *  reads text (see mtm_result). */
MTM_API MTM_CHECKED mtm_result mtm_readings_parse(const char *text, size_t length,
                                                  const char *name_for_errors, const mtm_rig *rig,
                                                  mtm_readings **out, mtm_error *error);
/** Frees readings; NULL is allowed. */
MTM_API void mtm_readings_free(mtm_readings *readings);

/** Number of readings. */
MTM_API size_t mtm_readings_count(const mtm_readings *readings);
/** Borrowed until readings are added or removed; index < count. */
MTM_API const mtm_reading *mtm_readings_at(const mtm_readings *readings, size_t index);
/** Number of notes on rows left out or doubtful. */
MTM_API size_t mtm_readings_note_count(const mtm_readings *readings);
/** Borrowed; index < count. */
MTM_API const mtm_note *mtm_readings_note(const mtm_readings *readings, size_t index);
/** The meter; borrowed. */
MTM_API const mtm_meter *mtm_readings_meter(const mtm_readings *readings);
/** Replaces the meter by a copy of this one; a meter out of range is not taken. */
MTM_API void mtm_readings_set_meter(mtm_readings *readings, const mtm_meter *meter);
/** What is assumed of what no reading tells; borrowed. The usual values where the file says
 * nothing.
 */
MTM_API const mtm_assumed *mtm_readings_assumed(const mtm_readings *readings);
/** Replaces it; nothing happens where a value is out of its range (mtm_assumed_row_at). */
MTM_API void mtm_readings_set_assumed(mtm_readings *readings, const mtm_assumed *assumed);

/**
 * Adds a copy of a reading (and of its spectrum).
 *
 * Allowed: a unit of the rig, or MTM_READING_ROOM with all codes 0; codes and dimmer of 0..1, 0 for
 * emitters that the unit has not, dimmer 1 where its mode has none; X, Y and Z of 0..1e9 (X and
 * Z may lie a fiftieth of X + Y + Z below 0: noise), and Y above 0 where an emitter is lit; a
 * spectrum of finite values, or NULL.
 * @return MTM_OK; MTM_INVALID for what is not allowed; MTM_LIMIT beyond MTM_READINGS_MAX;
 * MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_readings_add(mtm_readings *readings, const mtm_reading *reading,
                                                mtm_error *error);
/** Marks the readings of a line (as in mtm_reading; 0: all of them) as vouched for: none is left
 * out, whatever it looks like. MTM_INVALID where the line holds no reading. */
MTM_API MTM_CHECKED mtm_result mtm_readings_vouch(mtm_readings *readings, size_t line,
                                                  mtm_error *error);
/** Takes the last reading away; nothing happens where there is none. */
MTM_API void mtm_readings_remove_last(mtm_readings *readings);
/** Turns every reading (spectra aside) into what another meter would have read: the uncertainty of
 *  the meter is then that of the match, where it states one; its repeatability stays. A
 *  matrix that is not finite or has no inverse changes nothing. */
MTM_API void mtm_readings_match(mtm_readings *readings, const mtm_meter_match *match);
/** A matrix between two meters and what it was made from. A plain value. */
typedef struct mtm_meter_found {
    mtm_meter_match match; /**< the matrix */
    size_t unit;           /**< whose readings were used */
    size_t line[4];        /**< of our readings: three emitters alone and the mixture */
    double before_uv; /**< largest distance in u', v' between the meters over all settings that both
                       *   read */
    double after_uv;  /**< the same with our readings corrected */
} mtm_meter_found;

/**
 * Makes the matrix between two meters that read the same emitters: of the first unit where both
 * read three emitters alone and a mixture inside their triangle, those with the largest triangle.
 * @return MTM_OK; MTM_UNSUPPORTED where there is no such unit; what mtm_meter_match_four returns
 */
MTM_API MTM_CHECKED mtm_result mtm_readings_match_meters(const mtm_readings *ours,
                                                         const mtm_readings *reference,
                                                         mtm_meter_found *found, mtm_error *error);
/** Writes "readings/1" text: length bytes and a NUL. The caller frees *text with free(). MTM_OK,
 *  MTM_INVALID or MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_readings_to_json(const mtm_readings *readings, char **text,
                                                    size_t *length, mtm_error *error);
/** Writes a "readings/1" file, whole or not at all. MTM_OK, MTM_IO or MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_readings_write(const mtm_readings *readings, const char *path,
                                                  mtm_error *error);

/** True if no emitter is lit. */
MTM_API bool mtm_reading_is_dark(const mtm_reading *reading);
/** The only emitter lit, or -1 where none or several are. */
MTM_API int mtm_reading_emitter(const mtm_reading *reading);

/** Understands "x y Y", with points or decimal commas, blanks or semicolons between: what a person
 *  types. MTM_PARSE says what is wrong. */
MTM_API MTM_CHECKED mtm_result mtm_reading_type_in(const char *text, mtm_xyz *xyz,
                                                   mtm_error *error);

MTM_END
#endif
