/* SPDX-License-Identifier: MIT */
/* Rows of a sheet of swatches, gathered: units that give the same, or kinds. */
#include "picture/palette/rows.h"

#include "base/error.h"
#include "base/number.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Colours nearer than this in x, y are drawn as one: a hundredth of a step. */
#define SAME_XY 1e-5

const mtm_unit *mtmi_palette_unit(const mtm_palette_view *of, size_t unit)
{
    return mtm_rig_unit(of->rig, of->match[unit].unit);
}

static const mtm_match *match_at(const mtmi_palette_rows *rows, size_t unit, size_t colour)
{
    return &rows->of->match[colour * rows->of->count + unit];
}

static bool is_lit(const mtm_match *match)
{
    return match->xyz.y > 0;
}

static bool same_kind(const mtm_unit *a, const mtm_unit *b)
{
    return (a->fixture == b->fixture ||
            strcmp(mtm_fixture_name(a->fixture), mtm_fixture_name(b->fixture)) == 0) &&
           strcmp(a->mode->name, b->mode->name) == 0;
}

static bool gives_same(const mtm_match *a, const mtm_match *b)
{
    return is_lit(a) == is_lit(b) && fabs(a->xy.x - b->xy.x) < SAME_XY &&
           fabs(a->xy.y - b->xy.y) < SAME_XY;
}

static bool shares_row(const mtmi_palette_rows *rows, size_t first, size_t unit)
{
    if (!same_kind(mtmi_palette_unit(rows->of, first), mtmi_palette_unit(rows->of, unit)))
        return false;
    for (size_t k = 0; !rows->by_kind && k < rows->colours; k++) {
        if (!gives_same(match_at(rows, first, k), match_at(rows, unit, k)))
            return false;
    }
    return true;
}

/* The one of two that stands for both: the farther of the lit. */
static const mtm_match *farther(const mtm_match *one, const mtm_match *other)
{
    if (one == NULL || !is_lit(one))
        return one == NULL || is_lit(other) ? other : one;
    return is_lit(other) && mtmi_exceeds(other->delta_uv, one->delta_uv) ? other : one;
}

static void put_in_row(mtmi_palette_rows *rows, size_t unit)
{
    size_t at = 0;

    while (at < rows->count && !shares_row(rows, rows->row[at].first, unit))
        at++;
    if (at == rows->count)
        rows->row[rows->count++] = (mtmi_palette_row){.first = unit, .worst_uv = -1};
    rows->row[at].last = unit;
    rows->row[at].count++;
    for (size_t k = 0; k < rows->colours; k++) {
        const mtm_match **cell = &rows->cell[at * rows->colours + k];
        *cell = farther(*cell, match_at(rows, unit, k));
    }
}

static void find_worst(mtmi_palette_rows *rows)
{
    for (size_t i = 0; i < rows->count; i++) {
        for (size_t k = 0; k < rows->colours; k++) {
            const mtm_match *match = rows->cell[i * rows->colours + k];
            if (!is_lit(match))
                continue;
            rows->row[i].worst_uv = fmax(rows->row[i].worst_uv, match->delta_uv);
            rows->worst_uv[k] = fmax(rows->worst_uv[k], match->delta_uv);
            if (rows->worst != NULL && !mtmi_exceeds(match->delta_uv, rows->worst->delta_uv))
                continue;
            rows->worst = match;
            rows->worst_row = i;
            rows->worst_colour = k;
        }
    }
}

static mtm_result make_swatches(mtmi_palette_rows *rows, mtm_error *error)
{
    size_t cells = rows->count * rows->colours;
    mtm_xy *xy = malloc((cells + rows->colours + 1) * sizeof *xy);
    mtm_result result = MTM_OK;

    if (xy == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < cells; i++) {
        const mtm_xy none = {1.0 / 3, 1.0 / 3}; /* of the dark, which are not shown */
        xy[i] = is_lit(rows->cell[i]) ? rows->cell[i]->xy : none;
    }
    for (size_t k = 0; k < rows->colours; k++)
        xy[cells + k] = mtm_palette_colour(rows->of->palette, k)->xy;
    result = mtm_swatches_from_xy(xy, cells, rows->of->white, rows->given, error);
    if (result == MTM_OK)
        result =
            mtm_swatches_from_xy(&xy[cells], rows->colours, rows->of->white, rows->wanted, error);
    free(xy);
    return result;
}

mtm_result mtmi_palette_rows_gather(const mtm_palette_view *of, bool by_kind,
                                    mtmi_palette_rows *rows, mtm_error *error)
{
    size_t colours = mtm_palette_count(of->palette);

    *rows = (mtmi_palette_rows){.of = of, .by_kind = by_kind, .colours = colours};
    rows->row = calloc(of->count, sizeof *rows->row);
    rows->cell = calloc(of->count * colours, sizeof(void *));
    rows->given = calloc(of->count * colours, sizeof *rows->given);
    rows->wanted = calloc(colours, sizeof *rows->wanted);
    rows->worst_uv = calloc(colours, sizeof *rows->worst_uv);
    if (rows->row == NULL || rows->cell == NULL || rows->given == NULL || rows->wanted == NULL ||
        rows->worst_uv == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < of->count; i++)
        put_in_row(rows, i);
    find_worst(rows);
    return make_swatches(rows, error);
}

void mtmi_palette_rows_free(mtmi_palette_rows *rows)
{
    free(rows->row);
    free((void *)rows->cell);
    free(rows->given);
    free(rows->wanted);
    free(rows->worst_uv);
}
