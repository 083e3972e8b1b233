/* SPDX-License-Identifier: MIT */
/* The picture of a palette: a sheet of swatches, units by colours. */
#include <metamer/palette_picture.h>

#include "base/error.h"
#include "base/number.h"
#include "base/text.h"
#include "picture/make.h"
#include "picture/palette/sheet.h"

#include <metamer/rgb.h>
#include <metamer/tolerance.h>

#include <math.h>

/* Px of a picture whose width is not said, and below which the type is smaller; points of print. */
#define WIDTH_PX 1000.0
#define NARROW_PX 700.0
#define PRINT_PT 842.0
#define PRINT_HEIGHT_PT 595.0
/* Higher than this many widths, kinds stand in place of units. */
#define HEIGHT_MOST 4.5
/* Heights of the type that titles, sources and margins take at most, in sheets of no other words.
 */
#define WORDS 12.0
#define LETTER 0.58
#define SUBTITLE_LETTERS 160 /* of our own sentence, about */

static mtm_result draw(mtmi_canvas *c, mtmi_box box, const void *subject,
                       const mtm_picture_options *options, mtm_error *error)
{
    (void)options;
    return mtmi_palette_sheet_draw(c, box, subject, error);
}

/* How wide it becomes, how high it may, and the height of its type. */
struct size {
    double width, height, type;
};

static struct size size_of(const mtm_picture_options *options)
{
    bool print = options->form == MTM_PICTURE_PDF;
    struct size size = {.width = options->width > 0 ? options->width : print ? PRINT_PT : WIDTH_PX};

    size.type = print ? 7 : size.width < NARROW_PX ? 10 : 12;
    size.height = options->height > 0            ? options->height
                  : print && options->width == 0 ? PRINT_HEIGHT_PT
                                                 : HEIGHT_MOST * size.width;
    return size;
}

/* Room of the words about the body: their lines by the letters that they have. */
static double words_height(const mtmi_captions *words, const struct size *size)
{
    const char *const text[] = {words->title, words->subtitle, words->sources};
    const double bigger[] = {1.7, 1.17, 1};
    double height = WORDS * size->type;

    for (size_t i = 0; i < 3; i++) {
        double line = bigger[i] * size->type;
        double letters = text[i] != NULL ? mtmi_text_letters(text[i]) : SUBTITLE_LETTERS;
        double lines = ceil(letters * LETTER * line / (size->width - 32));
        height += fmin(4, fmax(1, lines) - 1) * 1.35 * line;
    }
    return height;
}

/* Units where there is room for all of them, else kinds. */
static mtm_result gather(const mtm_palette_view *view, const struct size *size, double words,
                         mtmi_palette_rows *rows, double *height, mtm_error *error)
{
    double width = size->width - 32;
    mtm_result result = mtmi_palette_rows_gather(view, view->by_kind, rows, error);

    if (result != MTM_OK)
        return result;
    mtmi_palette_grid grid = mtmi_palette_grid_fit(rows, width, size->height - words, size->type);
    if (!view->by_kind && (grid.row_count < rows->count || grid.column_count < rows->colours)) {
        mtmi_palette_rows_free(rows);
        result = mtmi_palette_rows_gather(view, true, rows, error);
        if (result != MTM_OK)
            return result;
        grid = mtmi_palette_grid_fit(rows, width, size->height - words, size->type);
    }
    *height = grid.height + words;
    return MTM_OK;
}

static void say(const mtm_palette_view *view, const mtmi_palette_rows *rows, mtmi_text *text)
{
    size_t within = 0, all = view->count * rows->colours;

    for (size_t i = 0; i < all; i++)
        within += view->match[i].xyz.y > 0 && !mtmi_exceeds(view->match[i].delta_uv, MTM_STEP_UV);
    mtmi_text_add(text, "%zu of %zu matches agree with their colour within one step (Δu'v' %.4f)",
                  within, all, MTM_STEP_UV);
    if (rows->worst != NULL && rows->worst->delta_uv > MTM_ON_TARGET_UV)
        mtmi_text_add(text, "; %s in %s is farthest, by Δu'v' %.4f",
                      mtm_rig_unit(view->rig, rows->worst->unit)->name,
                      mtm_palette_colour_name(view->palette, rows->worst_colour),
                      rows->worst->delta_uv);
    mtmi_text_add(text, ".");
}

static void add_sources(const mtm_palette_view *view, mtmi_text *text)
{
    bool usual = view->white.x == 0 && view->white.y == 0;
    mtm_xy white = usual ? mtm_rgb_space_at(0)->white : view->white;
    mtm_observer observer = mtm_palette_colour(view->palette, 0)->observer;

    mtmi_text_add(
        text,
        "Each swatch is the light that is predicted for the unit's codes, over a strip of "
        "what was wanted, beside a white of x %.4f, y %.4f%s, as bright as sRGB (IEC "
        "61966-2-1) shows it; a cut corner: sRGB cannot show it, and the same hue (Oklab), "
        "less saturated, stands for it. Figures: Δu'v' (CIE 1976), CIE %d° observer.",
        white.x, white.y, usual ? " (D65)" : "", observer == MTM_OBSERVER_10 ? 10 : 2);
}

static mtm_result check(const mtm_palette_view *view, mtm_picture **out, mtm_error *error)
{
    if (view == NULL || view->rig == NULL || view->palette == NULL || view->match == NULL ||
        view->count == 0 || out == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a picture of a palette needs its rig, palette, matches and a place");
    for (size_t i = 0; i < view->count * mtm_palette_count(view->palette); i++) {
        if (view->match[i].unit != view->match[i % view->count].unit ||
            view->match[i].unit >= mtm_rig_unit_count(view->rig))
            return mtmi_fail(error, MTM_INVALID,
                             "match %zu is of unit %zu, which the rig or the first colour has not",
                             i, view->match[i].unit);
    }
    return MTM_OK;
}

static mtm_result make(const mtm_palette_view *view, const mtm_picture_options *options,
                       const mtmi_captions *captions, mtmi_palette_rows *rows, mtm_picture **out,
                       mtm_error *error)
{
    struct size size = size_of(options);
    mtmi_captions words = *captions;
    mtmi_text subtitle = {0};
    double height = 0;

    words.subtitle = options->subtitle;
    mtm_result result = gather(view, &size, words_height(&words, &size), rows, &height, error);
    if (result != MTM_OK)
        return result;
    say(view, rows, &subtitle);
    words.subtitle = subtitle.data;
    const mtmi_picture_kind kind = {draw, height / size.width, height / size.width};
    result = subtitle.failed ? mtmi_fail_memory(error)
                             : mtmi_picture_make(&kind, rows, &words, options, out, error);
    mtmi_text_free(&subtitle);
    return result;
}

mtm_result mtm_picture_of_palette(const mtm_palette_view *view, const mtm_picture_options *options,
                                  mtm_picture **out, mtm_error *error)
{
    static const mtm_picture_options usual = {.form = MTM_PICTURE_SVG};
    mtmi_text title = {0}, sources = {0};
    mtmi_palette_rows rows = {0};
    mtm_result result = mtmi_picture_check(options, error);

    if (result == MTM_OK)
        result = check(view, out, error);
    if (result != MTM_OK)
        return result;
    size_t colours = mtm_palette_count(view->palette);
    mtmi_text_add(&title, "%s: %zu unit%s, %zu colour%s of %s", mtm_rig_name(view->rig),
                  view->count, view->count == 1 ? "" : "s", colours, colours == 1 ? "" : "s",
                  mtm_palette_name(view->palette));
    add_sources(view, &sources);
    const mtmi_captions captions = {title.data, NULL, sources.data};
    result = title.failed || sources.failed
                 ? mtmi_fail_memory(error)
                 : make(view, options != NULL ? options : &usual, &captions, &rows, out, error);
    mtmi_palette_rows_free(&rows);
    mtmi_text_free(&title);
    mtmi_text_free(&sources);
    return result;
}
