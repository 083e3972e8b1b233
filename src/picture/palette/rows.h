/* SPDX-License-Identifier: MIT */
/* Rows of a sheet of swatches, gathered: units that give the same, or kinds. */
#ifndef METAMER_PICTURE_PALETTE_ROWS_H
#define METAMER_PICTURE_PALETTE_ROWS_H

#include <metamer/palette_picture.h>
#include <metamer/swatch.h>

/** Units that share a row. */
typedef struct mtmi_palette_row {
    size_t first, last, count; /**< of the view's units */
    double worst_uv;           /**< the farthest of the lit; below 0: none is lit */
} mtmi_palette_row;

/** What a sheet shows. */
typedef struct mtmi_palette_rows {
    const mtm_palette_view *of;
    bool by_kind;
    size_t colours;
    mtmi_palette_row *row;
    size_t count;
    const mtm_match **cell; /**< row * colours + colour */
    mtm_swatch *given;      /**< the same */
    mtm_swatch *wanted;     /**< by colour */
    double *worst_uv;       /**< by colour, as of a row */
    size_t worst_row, worst_colour;
    const mtm_match *worst; /**< NULL: none is lit */
} mtmi_palette_rows;

/** mtmi_palette_rows_free them, also after a failure. MTM_OK, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_palette_rows_gather(const mtm_palette_view *of, bool by_kind,
                                                mtmi_palette_rows *rows, mtm_error *error);
void mtmi_palette_rows_free(mtmi_palette_rows *rows);

/** The unit of a view's row of matches. */
const mtm_unit *mtmi_palette_unit(const mtm_palette_view *of, size_t unit);

#endif
