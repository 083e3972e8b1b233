/* SPDX-License-Identifier: MIT */
/* Words on a canvas: any script, by Pango. */
#include "canvas/canvas.h"
#include "canvas/inside.h"
#include "canvas/safe.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* One family; Pango finds others for letters that it lacks. */
#define FAMILY "DejaVu Sans, Noto Sans, sans-serif"
/* Narrower than this, screens get smaller type. */
#define NARROW_PX 700

double mtmi_type_height(const mtmi_canvas *c, mtmi_type_size size)
{
    static const double sizes[3][5] = {
        {12, 14, 16, 20, 28}, {10, 12, 14, 16, 20}, {7, 8, 9.5, 12, 18}};
    int row = c->theme == MTMI_THEME_PRINT ? 2 : c->width < NARROW_PX ? 1 : 0;

    return sizes[row][size];
}

static void set_font(mtmi_canvas *c, const mtmi_type *type, PangoLayout *layout)
{
    PangoFontDescription *font = c->f.pango_font_description_new();
    PangoAttrList *list = c->f.pango_attr_list_new();

    c->f.pango_font_description_set_family_static(font, FAMILY);
    c->f.pango_font_description_set_absolute_size(font,
                                                  mtmi_type_height(c, type->size) * PANGO_SCALE);
    c->f.pango_font_description_set_weight(font,
                                           type->bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    c->f.pango_layout_set_font_description(layout, font);
    c->f.pango_font_description_free(font);
    c->f.pango_attr_list_insert(list, c->f.pango_attr_font_features_new("tnum=1"));
    /* a name that is broken gets no letter that it has not */
    c->f.pango_attr_list_insert(list, c->f.pango_attr_insert_hyphens_new(FALSE));
    c->f.pango_layout_set_attributes(layout, list);
    c->f.pango_attr_list_unref(list);
}

/* Words set, to be released; NULL without memory. */
static PangoLayout *set_words(mtmi_canvas *c, const mtmi_type *type, const char *words)
{
    static const PangoAlignment alignments[] = {PANGO_ALIGN_LEFT, PANGO_ALIGN_CENTER,
                                                PANGO_ALIGN_RIGHT};
    mtmi_text safe = {0};

    if (c->failed) /* nobody will see it */
        return NULL;
    if (type->whole)
        mtmi_safe_paragraph(words, &safe);
    else
        mtmi_safe_words(words, &safe);
    PangoLayout *layout = c->f.pango_layout_new(c->pango);
    if (layout == NULL || safe.failed) {
        mtmi_text_free(&safe);
        if (layout != NULL)
            c->f.g_object_unref(layout);
        mtmi_canvas_lack_memory(c);
        return NULL;
    }
    set_font(c, type, layout);
    c->f.pango_layout_set_auto_dir(layout, FALSE);
    c->f.pango_layout_set_text(layout, safe.data != NULL ? safe.data : "", (int)safe.length);
    c->f.pango_layout_set_alignment(layout, alignments[type->align]);
    if (type->lines > 1 && !type->whole)
        c->f.pango_layout_set_height(layout, -type->lines);
    else if (!type->whole)
        c->f.pango_layout_set_single_paragraph_mode(layout, TRUE);
    if (type->width > 0) {
        c->f.pango_layout_set_width(layout, (int)floor(type->width * PANGO_SCALE));
        c->f.pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
        if (!type->whole)
            c->f.pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
    }
    mtmi_text_free(&safe);
    return layout;
}

static mtmi_extent extent_of(mtmi_canvas *c, PangoLayout *layout)
{
    int width, height;

    c->f.pango_layout_get_size(layout, &width, &height);
    return (mtmi_extent){(double)width / PANGO_SCALE, (double)height / PANGO_SCALE,
                         (double)c->f.pango_layout_get_baseline(layout) / PANGO_SCALE};
}

mtmi_extent mtmi_words_extent(mtmi_canvas *c, const mtmi_type *type, const char *words)
{
    PangoLayout *layout = set_words(c, type, words);
    mtmi_extent extent = {0};

    if (layout != NULL) {
        extent = extent_of(c, layout);
        c->f.g_object_unref(layout);
    }
    return extent;
}

/* A ground of paper behind the words: their outlines would be many times the size of a file. */
static void draw_ground(mtmi_canvas *c, double x, double y, const mtmi_extent *extent)
{
    mtmi_rectangle(c, (mtmi_box){x - 1, y, extent->width + 2, extent->height});
    mtmi_fill(c, mtmi_ink_covering(mtmi_canvas_ink(c, MTMI_INK_PAPER), 0.6));
}

/* How far words that are aligned in a width begin behind its left end. */
static double slack(const mtmi_type *type, double wide, double width)
{
    return type->align == MTMI_ALIGN_LEFT     ? 0
           : type->align == MTMI_ALIGN_MIDDLE ? (wide - width) / 2
                                              : wide - width;
}

static mtmi_extent write_words(mtmi_canvas *c, double x, double y, const mtmi_type *type,
                               const char *words, bool about_middle)
{
    PangoLayout *layout = set_words(c, type, words);
    mtmi_ink_role role = type->ink == MTMI_INK_PAPER ? MTMI_INK_TEXT : type->ink;
    mtmi_ink ink = type->coloured ? type->colour : mtmi_canvas_ink(c, role);
    mtmi_extent extent = {0};

    if (layout == NULL)
        return extent;
    extent = extent_of(c, layout);
    /* Pango aligns within the width it was given, which is where the words then begin */
    double wide = type->width > 0 ? type->width : extent.width;
    double left = type->align == MTMI_ALIGN_LEFT     ? 0
                  : type->align == MTMI_ALIGN_MIDDLE ? -wide / 2
                                                     : -wide;
    c->f.cairo_save(c->cairo);
    c->f.cairo_translate(c->cairo, x, y);
    if (type->angle != 0)
        c->f.cairo_rotate(c->cairo, type->angle);
    c->f.pango_cairo_update_context(c->cairo, c->pango);
    double top = about_middle ? -extent.height / 2 : 0;
    if (type->halo)
        draw_ground(c, left + slack(type, wide, extent.width), top, &extent);
    c->f.cairo_move_to(c->cairo, left, top);
    c->f.cairo_set_source_rgba(c->cairo, ink.r, ink.g, ink.b, ink.cover);
    c->f.pango_cairo_show_layout(c->cairo, layout);
    c->f.cairo_new_path(c->cairo);
    c->f.cairo_restore(c->cairo);
    c->f.g_object_unref(layout);
    return extent;
}

mtmi_extent mtmi_words(mtmi_canvas *c, double x, double y, const mtmi_type *type, const char *words)
{
    return write_words(c, x, y, type, words, false);
}

void mtmi_words_middle(mtmi_canvas *c, double x, double y, const mtmi_type *type, const char *words)
{
    (void)write_words(c, x, y, type, words, true);
}

double mtmi_line_height(mtmi_canvas *c, mtmi_type_size size)
{
    mtmi_type type = {.size = size};

    return mtmi_words_extent(c, &type, "Äg").height;
}

int mtmi_bookmark(mtmi_canvas *c, int parent, const char *words)
{
    mtmi_text safe = {0};
    char place[32];
    int number = 0;

    if (c->form != MTMI_CANVAS_PDF)
        return 0;
    mtmi_safe_words(words, &safe);
    (void)snprintf(place, sizeof place, "page=%d", c->page);
    if (safe.data != NULL && !safe.failed)
        number = c->f.cairo_pdf_surface_add_outline(c->surface, parent, safe.data, place,
                                                    CAIRO_PDF_OUTLINE_FLAG_OPEN);
    if (safe.failed)
        mtmi_canvas_lack_memory(c);
    mtmi_text_free(&safe);
    return number;
}
