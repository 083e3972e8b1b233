/* SPDX-License-Identifier: MIT */
/* Painting: lines and surfaces of a canvas, a page of SVG, PNG or PDF, by cairo. */
#include "canvas/canvas.h"

#include "base/error.h"
#include "canvas/inside.h"
#include "canvas/svg.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PAGE_MIN 16.0
#define PAGE_MAX 16384.0
/* cairo leaves out what is no date; told nothing, it would write the time of drawing, and each run
 * would make another file. */
#define NO_DATE "none"

static cairo_status_t take(void *closure, const unsigned char *data, unsigned length)
{
    mtmi_text *bytes = closure;

    mtmi_text_add_bytes(bytes, data, length);
    /* what failed is remembered: told of it, cairo 1.16 can crash where it ends a PDF */
    return CAIRO_STATUS_SUCCESS;
}

static void describe_pdf(mtmi_canvas *c, const mtmi_canvas_request *request)
{
    const char *date = request->date != NULL ? request->date : NO_DATE;

    if (c->form != MTMI_CANVAS_PDF)
        return;
    if (c->title != NULL)
        c->f.cairo_pdf_surface_set_metadata(c->surface, CAIRO_PDF_METADATA_TITLE, c->title);
    if (c->about != NULL)
        c->f.cairo_pdf_surface_set_metadata(c->surface, CAIRO_PDF_METADATA_SUBJECT, c->about);
    if (request->author != NULL)
        c->f.cairo_pdf_surface_set_metadata(c->surface, CAIRO_PDF_METADATA_AUTHOR, request->author);
    c->f.cairo_pdf_surface_set_metadata(c->surface, CAIRO_PDF_METADATA_CREATE_DATE, date);
}

static cairo_surface_t *make_surface(mtmi_canvas *c)
{
    if (c->form == MTMI_CANVAS_PDF)
        return c->f.cairo_pdf_surface_create_for_stream(take, &c->bytes, c->width, c->height);
    if (c->form == MTMI_CANVAS_PNG)
        return c->f.cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)ceil(c->width),
                                               (int)ceil(c->height));
    cairo_surface_t *surface =
        c->f.cairo_svg_surface_create_for_stream(take, &c->bytes, c->width, c->height);
    c->f.cairo_svg_surface_set_document_unit(surface, CAIRO_SVG_UNIT_PX);
    return surface;
}

static char *copy_or_null(const char *text)
{
    return text != NULL ? strdup(text) : NULL;
}

/* Letters lie where the outlines say, not where a screen's pixels would like them: then all forms
 * are set alike. */
static bool make_letters(mtmi_canvas *c)
{
    cairo_font_options_t *options = c->f.cairo_font_options_create();

    c->f.cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    c->f.cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    c->f.cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    c->pango = c->f.pango_cairo_create_context(c->cairo);
    if (c->pango != NULL) {
        c->f.pango_cairo_context_set_font_options(c->pango, options);
        c->f.pango_cairo_context_set_resolution(c->pango, 72);
        /* a line begins at the left, whatever the script of its first name */
        c->f.pango_context_set_base_dir(c->pango, PANGO_DIRECTION_LTR);
        c->f.pango_context_set_round_glyph_positions(c->pango, FALSE);
    }
    c->f.cairo_font_options_destroy(options);
    return c->pango != NULL;
}

/* Without any font, Pango draws boxes and says nothing. */
static mtm_result check_font(mtmi_canvas *c, mtm_error *error)
{
    PangoLayout *layout = c->f.pango_layout_new(c->pango);

    if (layout == NULL)
        return mtmi_fail_memory(error);
    c->f.pango_layout_set_text(layout, "Aa0", -1);
    int unknown = c->f.pango_layout_get_unknown_glyphs_count(layout);
    c->f.g_object_unref(layout);
    return unknown == 0 ? MTM_OK
                        : mtmi_fail(error, MTM_UNSUPPORTED,
                                    "pictures cannot be drawn: no font is installed");
}

static void paint_paper(mtmi_canvas *c)
{
    if (c->theme == MTMI_THEME_PRINT)
        return;
    mtmi_rectangle(c, mtmi_canvas_page(c));
    mtmi_fill(c, mtmi_canvas_ink(c, MTMI_INK_PAPER));
}

mtm_result mtmi_canvas_create(const mtmi_canvas_request *request, mtmi_canvas **out,
                              mtm_error *error)
{
    if (!(request->width >= PAGE_MIN && request->width <= PAGE_MAX && request->height >= PAGE_MIN &&
          request->height <= PAGE_MAX))
        return mtmi_fail(error, MTM_INVALID,
                         "a picture of %g by %g; width and height are %.0f to %.0f", request->width,
                         request->height, PAGE_MIN, PAGE_MAX);
    mtmi_canvas *c = calloc(1, sizeof *c);
    if (c == NULL)
        return mtmi_fail_memory(error);
    c->form = request->form;
    c->page = 1;
    c->theme = request->form == MTMI_CANVAS_PDF ? MTMI_THEME_PRINT
               : request->dark                  ? MTMI_THEME_DARK
                                                : MTMI_THEME_LIGHT;
    c->width = request->width;
    c->height = request->height;
    c->title = copy_or_null(request->title);
    c->about = copy_or_null(request->about);
    c->failed = (request->title != NULL && c->title == NULL) ||
                (request->about != NULL && c->about == NULL);
    mtm_result result = mtmi_library_load(&c->f, error);
    if (result != MTM_OK) {
        mtmi_canvas_free(c);
        return result;
    }
    c->surface = make_surface(c);
    describe_pdf(c, request);
    c->cairo = c->f.cairo_create(c->surface);
    if (c->f.cairo_status(c->cairo) != CAIRO_STATUS_SUCCESS || !make_letters(c)) {
        mtmi_canvas_free(c);
        return mtmi_fail_memory(error);
    }
    result = check_font(c, error);
    if (result != MTM_OK) {
        mtmi_canvas_free(c);
        return result;
    }
    c->f.cairo_set_line_join(c->cairo, CAIRO_LINE_JOIN_ROUND);
    mtmi_tag_begin(c, "Document"); /* without, readers take the tags for none */
    paint_paper(c);
    *out = c;
    return MTM_OK;
}

mtm_result mtmi_canvas_finish(mtmi_canvas *c, mtmi_text *bytes, mtm_error *error)
{
    mtmi_tag_end(c, "Document");
    bool good = !c->failed && c->f.cairo_status(c->cairo) == CAIRO_STATUS_SUCCESS;

    if (c->form == MTMI_CANVAS_PNG)
        good = good && c->f.cairo_surface_write_to_png_stream(c->surface, take, &c->bytes) ==
                           CAIRO_STATUS_SUCCESS;
    else
        c->f.cairo_show_page(c->cairo);
    c->f.cairo_surface_finish(c->surface);
    good = good && c->f.cairo_surface_status(c->surface) == CAIRO_STATUS_SUCCESS &&
           !c->bytes.failed && c->bytes.length > 0;
    if (!good)
        return mtmi_fail(error, MTM_MEMORY,
                         "the picture could not be drawn: out of memory, or larger than cairo "
                         "can draw");
    if (c->form == MTMI_CANVAS_SVG)
        return mtmi_svg_tidy(&c->bytes, c->title, c->about, bytes, error);
    *bytes = c->bytes;
    c->bytes = (mtmi_text){0};
    return MTM_OK;
}

void mtmi_canvas_lack_memory(mtmi_canvas *c)
{
    c->failed = true;
}

void mtmi_canvas_free(mtmi_canvas *c)
{
    if (c == NULL)
        return;
    if (c->pango != NULL)
        c->f.g_object_unref(c->pango);
    if (c->cairo != NULL)
        c->f.cairo_destroy(c->cairo);
    if (c->surface != NULL)
        c->f.cairo_surface_destroy(c->surface);
    mtmi_text_free(&c->bytes);
    free(c->title);
    free(c->about);
    free(c);
}

mtmi_theme mtmi_canvas_theme(const mtmi_canvas *c)
{
    return c->theme;
}

mtmi_ink mtmi_canvas_ink(const mtmi_canvas *c, mtmi_ink_role role)
{
    return mtmi_ink_of(c->theme, role);
}

mtmi_ink mtmi_canvas_series(const mtmi_canvas *c, unsigned index)
{
    return mtmi_ink_of_series(c->theme, index);
}

mtmi_box mtmi_canvas_page(const mtmi_canvas *c)
{
    return (mtmi_box){0, 0, c->width, c->height};
}

void mtmi_move(mtmi_canvas *c, double x, double y)
{
    c->f.cairo_move_to(c->cairo, x, y);
}

void mtmi_line(mtmi_canvas *c, double x, double y)
{
    c->f.cairo_line_to(c->cairo, x, y);
}

void mtmi_close(mtmi_canvas *c)
{
    c->f.cairo_close_path(c->cairo);
}

void mtmi_circle(mtmi_canvas *c, double x, double y, double radius)
{
    c->f.cairo_new_sub_path(c->cairo);
    c->f.cairo_arc(c->cairo, x, y, radius, 0, 2 * 3.14159265358979323846);
    c->f.cairo_close_path(c->cairo);
}

void mtmi_arc(mtmi_canvas *c, double x, double y, double radius, double from, double to)
{
    c->f.cairo_new_sub_path(c->cairo);
    c->f.cairo_arc(c->cairo, x, y, radius, from, to);
}

void mtmi_rectangle(mtmi_canvas *c, mtmi_box box)
{
    c->f.cairo_rectangle(c->cairo, box.x, box.y, box.width, box.height);
}

void mtmi_lay_points(mtmi_canvas *c, const mtmi_point *point, size_t count, bool closed)
{
    for (size_t i = 0; i < count; i++) {
        if (i == 0)
            mtmi_move(c, point[i].x, point[i].y);
        else
            mtmi_line(c, point[i].x, point[i].y);
    }
    if (closed && count > 0)
        mtmi_close(c);
}

static void take_ink(mtmi_canvas *c, mtmi_ink ink)
{
    c->f.cairo_set_source_rgba(c->cairo, ink.r, ink.g, ink.b, ink.cover);
}

/* Lines of print are as much finer as its type is smaller. */
#define PRINT_SHARE 0.6

/* Lengths of dash and gap in widths of the line, at least 1. */
static void take_pen(mtmi_canvas *c, mtmi_pen pen)
{
    static const struct {
        double length[4];
        int count;
    } dashes[MTMI_DASH_COUNT] = {{{0}, 0}, {{5, 3}, 2}, {{0, 2.5}, 2}, {{6, 2.5, 0, 2.5}, 4}};
    double scaled[4];
    double width = pen.width * (c->theme == MTMI_THEME_PRINT ? PRINT_SHARE : 1);
    double unit = fmax(width, PRINT_SHARE);

    for (int i = 0; i < dashes[pen.dash].count; i++)
        scaled[i] = dashes[pen.dash].length[i] * unit;
    take_ink(c, pen.ink);
    c->f.cairo_set_line_width(c->cairo, width);
    c->f.cairo_set_line_cap(c->cairo, pen.dash == MTMI_DASH_DOTS || pen.dash == MTMI_DASH_MIXED
                                          ? CAIRO_LINE_CAP_ROUND
                                          : CAIRO_LINE_CAP_BUTT);
    c->f.cairo_set_dash(c->cairo, scaled, dashes[pen.dash].count, 0);
}

void mtmi_stroke(mtmi_canvas *c, mtmi_pen pen)
{
    take_pen(c, pen);
    c->f.cairo_stroke(c->cairo);
}

void mtmi_fill(mtmi_canvas *c, mtmi_ink ink)
{
    take_ink(c, ink);
    c->f.cairo_fill(c->cairo);
}

void mtmi_hatch(mtmi_canvas *c, mtmi_pen pen, double apart)
{
    double x0, y0, x1, y1;

    c->f.cairo_path_extents(c->cairo, &x0, &y0, &x1, &y1);
    mtmi_clip(c);
    /* lines x + y = constant, the constants whole steps, so that hatches side by side join */
    double step = apart * 1.4142135623730951;
    long first = lround(ceil((x0 + y0) / step)), last = lround(floor((x1 + y1) / step));
    for (long i = first; i <= last; i++) {
        mtmi_move(c, (double)i * step - y1, y1);
        mtmi_line(c, (double)i * step - y0, y0);
    }
    mtmi_stroke(c, pen);
    mtmi_unclip(c);
}

void mtmi_clip(mtmi_canvas *c)
{
    c->f.cairo_save(c->cairo);
    c->f.cairo_clip(c->cairo);
}

void mtmi_unclip(mtmi_canvas *c)
{
    c->f.cairo_restore(c->cairo);
}

void mtmi_rule(mtmi_canvas *c, double x0, double y0, double x1, double y1, mtmi_pen pen)
{
    mtmi_move(c, x0, y0);
    mtmi_line(c, x1, y1);
    mtmi_stroke(c, pen);
}

void mtmi_image(mtmi_canvas *c, mtmi_box box, const uint32_t *pixel, int columns, int rows)
{
    /* cairo wants memory that may be written, and does not write it here */
    cairo_surface_t *image = c->f.cairo_image_surface_create_for_data(
        (unsigned char *)(uintptr_t)pixel, CAIRO_FORMAT_RGB24, columns, rows, columns * 4);

    c->f.cairo_save(c->cairo);
    c->f.cairo_translate(c->cairo, box.x, box.y);
    c->f.cairo_scale(c->cairo, box.width / columns, box.height / rows);
    c->f.cairo_set_source_surface(c->cairo, image, 0, 0);
    c->f.cairo_pattern_set_filter(c->f.cairo_get_source(c->cairo), CAIRO_FILTER_BILINEAR);
    c->f.cairo_pattern_set_extend(c->f.cairo_get_source(c->cairo), CAIRO_EXTEND_PAD);
    c->f.cairo_rectangle(c->cairo, 0, 0, columns, rows);
    c->f.cairo_fill(c->cairo);
    c->f.cairo_restore(c->cairo);
    /* what has not been drawn yet (PDF, SVG) is copied before the pixels go */
    c->f.cairo_surface_finish(image);
    c->f.cairo_surface_destroy(image);
}

void mtmi_canvas_next_page(mtmi_canvas *c)
{
    if (c->form != MTMI_CANVAS_PDF)
        return;
    c->f.cairo_show_page(c->cairo);
    c->page++;
}

void mtmi_tag_begin(mtmi_canvas *c, const char *tag)
{
    if (c->form == MTMI_CANVAS_PDF)
        c->f.cairo_tag_begin(c->cairo, tag, "");
}

void mtmi_tag_end(mtmi_canvas *c, const char *tag)
{
    if (c->form == MTMI_CANVAS_PDF)
        c->f.cairo_tag_end(c->cairo, tag);
}
