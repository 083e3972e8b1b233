/* SPDX-License-Identifier: MIT */
/* Painting of a build without cairo and Pango: none can be made, so that nothing is ever drawn. */
#include "canvas/canvas.h"

#include "base/error.h"

mtm_result mtmi_canvas_create(const mtmi_canvas_request *request, mtmi_canvas **out,
                              mtm_error *error)
{
    (void)request;
    (void)out;
    return mtmi_fail(error, MTM_UNSUPPORTED,
                     "pictures cannot be drawn: this program was built without cairo and Pango");
}

mtm_result mtmi_canvas_finish(mtmi_canvas *c, mtmi_text *bytes, mtm_error *error)
{
    (void)c;
    (void)bytes;
    return mtmi_fail(error, MTM_UNSUPPORTED, "pictures cannot be drawn");
}

/* The rest is called with a canvas, and there is none. */
#define NOTHING(name, ...)                                                                         \
    void name(__VA_ARGS__)                                                                         \
    {                                                                                              \
    }
#define ZERO(type, name, ...)                                                                      \
    type name(__VA_ARGS__)                                                                         \
    {                                                                                              \
        return (type){0};                                                                          \
    }
#pragma GCC diagnostic ignored "-Wunused-parameter"
/* NOLINTBEGIN(misc-unused-parameters) */

NOTHING(mtmi_canvas_lack_memory, mtmi_canvas *c)
NOTHING(mtmi_canvas_free, mtmi_canvas *c)
ZERO(mtmi_theme, mtmi_canvas_theme, const mtmi_canvas *c)
ZERO(mtmi_ink, mtmi_canvas_ink, const mtmi_canvas *c, mtmi_ink_role role)
ZERO(mtmi_ink, mtmi_canvas_series, const mtmi_canvas *c, unsigned index)
ZERO(mtmi_box, mtmi_canvas_page, const mtmi_canvas *c)
NOTHING(mtmi_move, mtmi_canvas *c, double x, double y)
NOTHING(mtmi_line, mtmi_canvas *c, double x, double y)
NOTHING(mtmi_close, mtmi_canvas *c)
NOTHING(mtmi_circle, mtmi_canvas *c, double x, double y, double radius)
NOTHING(mtmi_arc, mtmi_canvas *c, double x, double y, double radius, double from, double to)
NOTHING(mtmi_rectangle, mtmi_canvas *c, mtmi_box box)
NOTHING(mtmi_lay_points, mtmi_canvas *c, const mtmi_point *point, size_t count, bool closed)
NOTHING(mtmi_stroke, mtmi_canvas *c, mtmi_pen pen)
NOTHING(mtmi_fill, mtmi_canvas *c, mtmi_ink ink)
NOTHING(mtmi_hatch, mtmi_canvas *c, mtmi_pen pen, double apart)
NOTHING(mtmi_clip, mtmi_canvas *c)
NOTHING(mtmi_unclip, mtmi_canvas *c)
NOTHING(mtmi_rule, mtmi_canvas *c, double x0, double y0, double x1, double y1, mtmi_pen pen)
NOTHING(mtmi_image, mtmi_canvas *c, mtmi_box box, const uint32_t *pixel, int columns, int rows)
ZERO(mtmi_extent, mtmi_words_extent, mtmi_canvas *c, const mtmi_type *type, const char *words)
ZERO(mtmi_extent, mtmi_words, mtmi_canvas *c, double x, double y, const mtmi_type *type,
     const char *words)
NOTHING(mtmi_words_middle, mtmi_canvas *c, double x, double y, const mtmi_type *type,
        const char *words)
ZERO(double, mtmi_line_height, mtmi_canvas *c, mtmi_type_size size)
ZERO(double, mtmi_type_height, const mtmi_canvas *c, mtmi_type_size size)
NOTHING(mtmi_canvas_next_page, mtmi_canvas *c)
NOTHING(mtmi_tag_begin, mtmi_canvas *c, const char *tag)
NOTHING(mtmi_tag_end, mtmi_canvas *c, const char *tag)
ZERO(int, mtmi_bookmark, mtmi_canvas *c, int parent, const char *words)
/* NOLINTEND(misc-unused-parameters) */
