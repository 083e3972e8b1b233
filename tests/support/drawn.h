/* SPDX-License-Identifier: MIT */
/* What an SVG draws, read back: each path as its box, its ends and how it is painted. */
#ifndef METAMER_TESTS_DRAWN_H
#define METAMER_TESTS_DRAWN_H

#include "support/check.h"

#include "base/xml.h"

#include <metamer/picture.h>

/** Points of a path that are kept. */
#define DRAWN_POINTS 96

/** One path. */
struct drawn {
    double left, top, right, bottom; /**< of all its points, of curves also those beside */
    double first_x, first_y, last_x, last_y;
    int points;
    double x[DRAWN_POINTS], y[DRAWN_POINTS]; /**< the first of them */
    bool filled;
    double fill[3]; /**< red, green, blue, 0..1, where it is filled with one colour */
    double line;    /**< width of its stroke; 0: none */
};

/** All paths outside <defs>. */
struct drawing {
    struct drawn *path;
    size_t count, room;
};

/** The figure behind "name:" in a style; 0 where there is none. */
static inline double drawn_style(const char *style, const char *name)
{
    const char *at = strstr(style, name);

    return at != NULL ? strtod(at + strlen(name), NULL) : 0;
}

/** The parts of "fill:rgb(100%,50%,0%)". */
static inline void drawn_fill(const char *style, double fill[3])
{
    const char *at = strstr(style, "fill:rgb(");

    at = at != NULL ? at + strlen("fill:rgb(") : NULL;
    for (int i = 0; at != NULL && i < 3; i++) {
        char *end;
        fill[i] = strtod(at, &end) / 100;
        at = end + strspn(end, "%,");
    }
}

static inline void drawn_add(struct drawing *drawing, const char *style, const char *data)
{
    struct drawn path = {
        .left = INFINITY, .top = INFINITY, .right = -INFINITY, .bottom = -INFINITY};

    for (const char *at = data; *at != '\0';) {
        char *end;
        double x = strtod(at, &end);
        if (end == at) {
            at++; /* a letter or a blank */
            continue;
        }
        double y = strtod(end, &end);
        path.left = fmin(path.left, x);
        path.right = fmax(path.right, x);
        path.top = fmin(path.top, y);
        path.bottom = fmax(path.bottom, y);
        if (path.points < DRAWN_POINTS) {
            path.x[path.points] = x;
            path.y[path.points] = y;
        }
        if (path.points++ == 0) {
            path.first_x = x;
            path.first_y = y;
        }
        path.last_x = x;
        path.last_y = y;
        at = end;
    }
    path.line = drawn_style(style, "stroke-width:");
    path.filled = strstr(style, "fill:none") == NULL;
    drawn_fill(style, path.fill);
    if (drawing->count == drawing->room) {
        drawing->room = 2 * drawing->room + 64;
        drawing->path = realloc(drawing->path, drawing->room * sizeof *drawing->path);
        assert_non_null(drawing->path);
    }
    drawing->path[drawing->count++] = path;
}

static inline void drawn_walk(const mtmi_xml_node *node, struct drawing *drawing)
{
    for (; node != NULL; node = mtmi_xml_next(node)) {
        const char *style = mtmi_xml_attribute(node, "style");
        const char *data = mtmi_xml_attribute(node, "d");
        if (strcmp(mtmi_xml_name(node), "defs") == 0)
            continue;
        if (strcmp(mtmi_xml_name(node), "path") == 0 && style != NULL && data != NULL)
            drawn_add(drawing, style, data);
        drawn_walk(mtmi_xml_first(node), drawing);
    }
}

/** Reads a picture, which must be well-formed XML. free(drawing.path). */
static inline struct drawing drawn_read(const mtm_picture *picture)
{
    struct drawing drawing = {.path = NULL};
    mtm_error error = {""};
    mtmi_xml *xml = NULL;
    size_t count = 0;
    const char *bytes = mtm_picture_bytes(picture, &count);

    if (mtmi_xml_parse(bytes, count, "picture", &xml, &error) != MTM_OK)
        fail_msg("%s", error.text);
    drawn_walk(mtmi_xml_root(xml), &drawing);
    mtmi_xml_free(xml);
    return drawing;
}

/** The largest frame that is stroked and not filled. */
static inline const struct drawn *drawn_frame(const struct drawing *drawing)
{
    const struct drawn *found = NULL;
    double most = 0;

    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        double surface = (path->right - path->left) * (path->bottom - path->top);
        if (path->filled || path->points != 5 || path->first_x != path->last_x || !(surface > most))
            continue;
        most = surface;
        found = path;
    }
    assert_non_null(found);
    return found;
}

/** Px of a value between two of a frame's sides. */
static inline double drawn_along(double value, double from, double to, double start, double end)
{
    return start + (value - from) / (to - from) * (end - start);
}

/** Fails unless a path that satisfies is has its middle within half a px of a place. */
#define CHECK_DRAWN(drawing, what, is, x_, y_)                                                     \
    do {                                                                                           \
        double nearest_ = INFINITY;                                                                \
        for (size_t i_ = 0; i_ < (drawing)->count; i_++) {                                         \
            const struct drawn *path = &(drawing)->path[i_];                                       \
            if (is)                                                                                \
                nearest_ = fmin(nearest_, hypot((path->left + path->right) / 2 - (x_),             \
                                                (path->top + path->bottom) / 2 - (y_)));           \
        }                                                                                          \
        if (!(nearest_ <= 0.5))                                                                    \
            fail_msg("%s: the nearest is %.2f px away", what, nearest_);                           \
    } while (0)

#endif
