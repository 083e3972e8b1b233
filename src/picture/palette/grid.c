/* SPDX-License-Identifier: MIT */
/* Grid of a sheet of swatches: how many columns and rows there is room for, and where they stand.
 */
#include "picture/palette/grid.h"

#include "base/text.h"

#include <math.h>

/* In heights of the type. */
#define LETTER 0.58 /* of the family's letters, about */
#define COLUMN_LEAST 3.9
#define COLUMN_MOST 10.0
#define ROW 2.9
#define WANTED 4.2 /* a head's swatch, x and y */

#define TURNED_MOST 12.0
#define NAME_LEAST 7.0
/* Of the width, what names take at most. */
#define NAME_SHARE 0.3

static double longest_colour(const mtmi_palette_rows *rows)
{
    int most = 0;

    for (size_t k = 0; k < rows->colours; k++) {
        int letters = mtmi_text_letters(mtm_palette_colour_name(rows->of->palette, k));
        most = letters > most ? letters : most;
    }
    return most;
}

static double longest_row(const mtmi_palette_rows *rows)
{
    double most = 0;

    for (size_t i = 0; i < rows->count; i++) {
        const mtmi_palette_row *row = &rows->row[i];
        const mtm_unit *first = mtmi_palette_unit(rows->of, row->first);
        const mtm_unit *last = mtmi_palette_unit(rows->of, row->last);
        int letters = row->count == 1 ? mtmi_text_letters(first->name)
                      : rows->by_kind
                          ? mtmi_text_letters(mtm_fixture_name(first->fixture)) + 14
                          : mtmi_text_letters(first->name) + mtmi_text_letters(last->name) + 12;
        most = fmax(most, letters);
    }
    return most;
}

static size_t at_least_one(double count, size_t most)
{
    size_t whole = count < (double)most ? (size_t)fmax(count, 0) : most;

    return whole > 0 ? whole : 1;
}

mtmi_palette_grid mtmi_palette_grid_fit(const mtmi_palette_rows *rows, double width, double height,
                                        double type)
{
    double letters = longest_colour(rows) * LETTER;
    mtmi_palette_grid grid = {.type = type, .row = ROW * type};

    grid.name = fmin(NAME_SHARE * width, type * (1 + fmax(NAME_LEAST, longest_row(rows) * LETTER)));
    double room = width - grid.name;
    size_t fit = at_least_one(floor(room / (COLUMN_LEAST * type)), rows->colours);
    grid.bands = at_least_one(ceil((double)rows->colours / (double)fit), rows->colours);
    grid.columns = at_least_one(ceil((double)rows->colours / (double)grid.bands), rows->colours);
    grid.column = fmin(COLUMN_MOST * type, room / (double)grid.columns);
    grid.turned = (letters + 0.5) * type > grid.column;
    grid.head_words = type * (grid.turned ? fmin(TURNED_MOST, letters + 0.5) : 1.4);
    grid.head = grid.head_words + WANTED * type;

    double apart = MTMI_PALETTE_BANDS_APART * type;
    double band = grid.head + apart;
    grid.row_count = at_least_one(
        floor((height + apart - (double)grid.bands * band) / ((double)grid.bands * grid.row)),
        rows->count);
    size_t bands = at_least_one(
        floor((height + apart) / (band + (double)grid.row_count * grid.row)), grid.bands);
    grid.bands = bands;
    grid.column_count = bands * grid.columns < rows->colours ? bands * grid.columns : rows->colours;
    grid.height = (double)bands * (band + (double)grid.row_count * grid.row) - apart;
    return grid;
}
