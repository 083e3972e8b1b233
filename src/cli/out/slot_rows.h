/* SPDX-License-Identifier: MIT */
/* Slot rows: what many units are sent, as blocks of a table (one for each fixture kind and mode,
 * its channels as heads) and as columns of CSV. */
#ifndef METAMER_CLI_OUT_SLOT_ROWS_H
#define METAMER_CLI_OUT_SLOT_ROWS_H

#include "cli/out/slot_view.h"

#include <metamer/rig.h>

/** Units and their codes, in each of some ways (colours, choices); made by whoever has them. */
struct slot_source {
    const void *context;
    size_t rows;
    const mtm_unit *(*unit)(const void *context, size_t row);
    const mtm_codes *(*codes)(const void *context, size_t row, size_t way);
    size_t ways;          /**< at least 1 */
    const char *way_head; /**< over the names of ways; NULL: none */
    const char *(*way_name)(const void *context, size_t way);
    bool by_kind; /**< one line for all units of a kind that get the same */
};

/** A column of CSV: by the slot that brought its name in. */
struct slot_column {
    const mtm_fixture *fixture;
    const mtm_mode *mode;
    const mtm_slot *slot;
};

/** Rows brought together by fixture kind and mode; by their limits too, where one line is for a
 * kind. Zeroed holds nothing. */
struct slot_kinds {
    const struct slot_view *view;
    bool dimmer_apart; /**< set behind slot_kinds_create: the dimmer is left to the console */
    size_t *of_row;    /**< by row: its kind */
    size_t *first;     /**< by kind: the first row of it */
    size_t count, room;
    struct slot_column *column; /**< of CSV */
    size_t column_count, column_room;
    const char **emitter; /**< names of all emitters, each once */
    size_t emitter_count, emitter_room;
};

/** Sorts rows into kinds. Freed by slot_kinds_free, also after a failure. MTM_MEMORY or MTM_OK. */
MTM_CHECKED mtm_result slot_kinds_create(const struct slot_source *source,
                                         const struct slot_view *view, struct slot_kinds *kinds,
                                         mtm_error *error);
void slot_kinds_free(struct slot_kinds *kinds);

/** True if the name of b is that of a with a number that is one more: "house-1", "house-2". */
bool names_follow(const char *a, const char *b);
/** The name of a run of units that follow each other so: "house-1 to house-8", or one name. */
void put_run_name(const char *first, const char *last, char *text, size_t room);
/** Room for the name of a run. */
#define RUN_NAME_ROOM 420

/** The blocks, each behind an empty line; lines keep to line_width columns. */
void put_slot_blocks(const struct slot_source *source, const struct slot_kinds *kinds,
                     int line_width, FILE *out);

/** Heads of CSV: ",level red" for every emitter (if levels), then ",slot red,slot red fine". */
void put_csv_channel_heads(const struct slot_kinds *kinds, bool levels, FILE *out);
/** Cells under these heads, empty where the unit has no such channel; level (by emitter) is NULL if
 *  the heads have none. */
void put_csv_channels(const struct slot_kinds *kinds, const mtm_unit *unit, const mtm_codes *codes,
                      const double *level, FILE *out);

#endif
