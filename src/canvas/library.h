/* SPDX-License-Identifier: MIT */
/* Library: what is called of cairo and Pango, found by name when the first canvas is made. */
#ifndef METAMER_CANVAS_LIBRARY_H
#define METAMER_CANVAS_LIBRARY_H

#include <metamer/base.h>

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>
#include <pango/pangocairo.h>

/** Each function once: the pointers, the names and the look-up are made of this list. */
#define MTMI_CAIRO_FUNCTIONS(X)                                                                    \
    X(cairo_arc)                                                                                   \
    X(cairo_clip)                                                                                  \
    X(cairo_close_path)                                                                            \
    X(cairo_copy_path)                                                                             \
    X(cairo_create)                                                                                \
    X(cairo_destroy)                                                                               \
    X(cairo_fill)                                                                                  \
    X(cairo_font_options_create)                                                                   \
    X(cairo_font_options_destroy)                                                                  \
    X(cairo_font_options_set_antialias)                                                            \
    X(cairo_font_options_set_hint_metrics)                                                         \
    X(cairo_font_options_set_hint_style)                                                           \
    X(cairo_get_source)                                                                            \
    X(cairo_image_surface_create)                                                                  \
    X(cairo_image_surface_create_for_data)                                                         \
    X(cairo_line_to)                                                                               \
    X(cairo_move_to)                                                                               \
    X(cairo_new_path)                                                                              \
    X(cairo_new_sub_path)                                                                          \
    X(cairo_paint)                                                                                 \
    X(cairo_path_extents)                                                                          \
    X(cairo_pattern_set_extend)                                                                    \
    X(cairo_pattern_set_filter)                                                                    \
    X(cairo_pdf_surface_add_outline)                                                               \
    X(cairo_pdf_surface_create_for_stream)                                                         \
    X(cairo_pdf_surface_set_metadata)                                                              \
    X(cairo_rectangle)                                                                             \
    X(cairo_restore)                                                                               \
    X(cairo_rotate)                                                                                \
    X(cairo_save)                                                                                  \
    X(cairo_scale)                                                                                 \
    X(cairo_set_dash)                                                                              \
    X(cairo_set_line_cap)                                                                          \
    X(cairo_set_line_join)                                                                         \
    X(cairo_set_line_width)                                                                        \
    X(cairo_set_source_rgba)                                                                       \
    X(cairo_set_source_surface)                                                                    \
    X(cairo_show_page)                                                                             \
    X(cairo_status)                                                                                \
    X(cairo_stroke)                                                                                \
    X(cairo_surface_destroy)                                                                       \
    X(cairo_surface_finish)                                                                        \
    X(cairo_surface_status)                                                                        \
    X(cairo_surface_write_to_png_stream)                                                           \
    X(cairo_svg_surface_create_for_stream)                                                         \
    X(cairo_svg_surface_set_document_unit)                                                         \
    X(cairo_tag_begin)                                                                             \
    X(cairo_tag_end)                                                                               \
    X(cairo_translate)

#define MTMI_PANGO_FUNCTIONS(X)                                                                    \
    X(pango_attr_font_features_new)                                                                \
    X(pango_attr_insert_hyphens_new)                                                               \
    X(pango_attr_list_insert)                                                                      \
    X(pango_attr_list_new)                                                                         \
    X(pango_attr_list_unref)                                                                       \
    X(pango_context_set_base_dir)                                                                  \
    X(pango_context_set_round_glyph_positions)                                                     \
    X(pango_font_description_free)                                                                 \
    X(pango_font_description_new)                                                                  \
    X(pango_font_description_set_absolute_size)                                                    \
    X(pango_font_description_set_family_static)                                                    \
    X(pango_font_description_set_weight)                                                           \
    X(pango_layout_get_baseline)                                                                   \
    X(pango_layout_get_size)                                                                       \
    X(pango_layout_get_unknown_glyphs_count)                                                       \
    X(pango_layout_new)                                                                            \
    X(pango_layout_set_alignment)                                                                  \
    X(pango_layout_set_attributes)                                                                 \
    X(pango_layout_set_auto_dir)                                                                   \
    X(pango_layout_set_ellipsize)                                                                  \
    X(pango_layout_set_font_description)                                                           \
    X(pango_layout_set_height)                                                                     \
    X(pango_layout_set_single_paragraph_mode)                                                      \
    X(pango_layout_set_text)                                                                       \
    X(pango_layout_set_width)                                                                      \
    X(pango_layout_set_wrap)

#define MTMI_PANGOCAIRO_FUNCTIONS(X)                                                               \
    X(pango_cairo_context_set_font_options)                                                        \
    X(pango_cairo_context_set_resolution)                                                          \
    X(pango_cairo_create_context)                                                                  \
    X(pango_cairo_show_layout)                                                                     \
    X(pango_cairo_update_context)

#define MTMI_GOBJECT_FUNCTIONS(X) X(g_object_unref)

#define MTMI_POINTER(name) __typeof__(name) *(name);

/** Pointers to them. */
typedef struct mtmi_library {
    MTMI_CAIRO_FUNCTIONS(MTMI_POINTER)
    MTMI_PANGO_FUNCTIONS(MTMI_POINTER)
    MTMI_PANGOCAIRO_FUNCTIONS(MTMI_POINTER)
    MTMI_GOBJECT_FUNCTIONS(MTMI_POINTER)
} mtmi_library;

/** Finds all of them. MTM_UNSUPPORTED, with the library that is missing, where one is not there.
 *  The libraries are never closed: they do not survive being loaded twice. */
MTM_CHECKED mtm_result mtmi_library_load(mtmi_library *library, mtm_error *error);

#endif
