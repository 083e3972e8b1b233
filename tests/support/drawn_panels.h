/* SPDX-License-Identifier: MIT */
/* Panels of pictures over time, read back: their frames, and the lines along them. */
#ifndef METAMER_TESTS_DRAWN_PANELS_H
#define METAMER_TESTS_DRAWN_PANELS_H

#include "support/drawn.h"

static inline bool drawn_is_frame(const struct drawn *path)
{
    return !path->filled && path->points == 5 && path->first_x == path->last_x &&
           path->right - path->left > 100;
}

/** The frame of a panel, from the top; all panels begin at one place from the left. */
static inline const struct drawn *drawn_panel(const struct drawing *drawing, int panels, int index)
{
    double left = INFINITY;
    const struct drawn *found[8] = {NULL};
    int count = 0;

    for (size_t i = 0; i < drawing->count; i++) {
        if (drawn_is_frame(&drawing->path[i]))
            left = fmin(left, drawing->path[i].left);
    }
    for (size_t i = 0; i < drawing->count; i++) {
        if (drawn_is_frame(&drawing->path[i]) && drawing->path[i].left == left && count < 8)
            found[count++] = &drawing->path[i];
    }
    assert_int_equal(count, panels); /* they are drawn from the top */
    return found[index];
}

/** Px between a place and the nearest line that goes all along a panel, at this x. */
static inline double drawn_nearest(const struct drawing *drawing, const struct drawn *frame,
                                   double x, double y)
{
    double nearest = INFINITY;

    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        if (path->filled || drawn_is_frame(path) || fabs(path->left - frame->left) > 0.5 ||
            fabs(path->right - frame->right) > 0.5 || path->points > DRAWN_POINTS)
            continue;
        for (int k = 1; k < path->points; k++) {
            if (x < path->x[k - 1] || x > path->x[k] || path->x[k] <= path->x[k - 1])
                continue;
            double at = drawn_along(x, path->x[k - 1], path->x[k], path->y[k - 1], path->y[k]);
            nearest = fmin(nearest, fabs(at - y));
        }
    }
    return nearest;
}

static inline void drawn_check_line(const struct drawing *drawing, const char *what,
                                    const struct drawn *frame, double time, double value, double to)
{
    double x = drawn_along(time, 0, 1, frame->left, frame->right);
    double y = drawn_along(value, 0, to, frame->bottom, frame->top);
    double away = drawn_nearest(drawing, frame, x, y);

    if (!(away <= 0.5))
        fail_msg("%s: the nearest line is %.2f px away", what, away);
}

/** A line along a panel ends at this y. */
static inline void drawn_check_end(const struct drawing *drawing, const struct drawn *frame,
                                   double y)
{
    double nearest = INFINITY;

    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        if (!path->filled && !drawn_is_frame(path) && fabs(path->left - frame->left) < 0.5 &&
            fabs(path->last_x - frame->right) < 0.5)
            nearest = fmin(nearest, fabs(path->last_y - y));
    }
    if (!(nearest <= 0.5))
        fail_msg("no line ends at %.2f: the nearest is %.2f px away", y, nearest);
}

#endif
