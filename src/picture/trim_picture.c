/* SPDX-License-Identifier: MIT */
/* The pictures of a trim and of how units moved since: the plane, and a list with outputs. */
#include <metamer/trim_picture.h>

#include "base/error.h"
#include "base/number.h"
#include "picture/make.h"
#include "picture/trim_rows.h"

#include <metamer/tolerance.h>

#include <math.h>
#include <stdlib.h>

/* Between parts. */
#define APART 16.0
/* A second, larger plane where what is afterwards takes less than this of the first. */
#define ENLARGE 0.6

/* Boxes of one or two planes, and of the list. */
struct layout {
    mtmi_box plane[2], list;
};

/* Planes above the list where that is short or the box upright, else beside it. */
static struct layout lay_out(mtmi_box box, int planes, double list)
{
    struct layout layout;

    if (box.height > box.width || (planes > 1 && list < 0.42 * box.height)) {
        double width = (box.width - (planes - 1) * APART) / planes;
        double height = fmin(0.8 * width, fmax(0.5 * box.height, box.height - list - APART));
        width = fmin(width, 1.15 * height);
        for (int i = 0; i < 2; i++)
            layout.plane[i] = (mtmi_box){box.x + i * (width + APART), box.y, width, height};
        layout.list = (mtmi_box){box.x, box.y + height + APART, box.width,
                                 fmax(1, box.height - height - APART)};
        return layout;
    }
    double height = (box.height - (planes - 1) * APART) / planes;
    double width = fmin(1.06 * height, 0.48 * box.width);
    for (int i = 0; i < 2; i++)
        layout.plane[i] = (mtmi_box){box.x, box.y + i * (height + APART), width, height};
    layout.list = (mtmi_box){box.x + width + APART, box.y, box.width - width - APART, box.height};
    return layout;
}

static mtm_result draw(mtmi_canvas *c, mtmi_box box, const void *subject,
                       const mtm_picture_options *options, mtm_error *error)
{
    mtmi_trim_rows rows = *(const mtmi_trim_rows *)subject;
    double all = mtmi_trim_half_all(&rows), after = mtmi_trim_half_after(&rows);
    bool two = after < ENLARGE * all;
    double list = (1.7 * (double)rows.count + 5) * mtmi_line_height(c, MTMI_TYPE_SMALL);
    struct layout layout = lay_out(box, two ? 2 : 1, list);
    mtm_result result =
        mtmi_trim_plane_draw(c, layout.plane[0], &rows, all, true,
                             rows.compared ? "Then and now" : "Before and after", error);

    (void)options;
    if (result == MTM_OK && two)
        result = mtmi_trim_plane_draw(c, layout.plane[1], &rows, after, false,
                                      rows.compared ? "Now, enlarged" : "After, enlarged", error);
    if (result == MTM_OK) /* last: the list may bring them into another order */
        mtmi_trim_list_draw(c, layout.list, &rows);
    return result;
}

static mtm_uv uv_of(mtm_xyz xyz)
{
    return mtm_uv_from_xy(mtm_xy_from_xyz(xyz));
}

static mtmi_trim_row row_of(const mtm_rig *rig, const mtm_trim_unit *one, size_t number)
{
    mtmi_trim_row row = {.name = mtm_rig_unit(rig, one->unit)->name,
                         .number = number,
                         .was_lit = one->before.xyz.y > 0,
                         .is_lit = one->after.xyz.y > 0,
                         .verdict = one->after.verdict,
                         .delta_uv = one->after.delta_uv,
                         .expanded_uv = one->after.expanded_uv,
                         .most = one->most,
                         .given = one->after.xyz.y};

    if (row.was_lit)
        row.before = uv_of(one->before.xyz);
    if (row.is_lit)
        row.after = uv_of(one->after.xyz);
    return row;
}

static size_t units_of(const mtm_trim_view *view)
{
    size_t units = 0;

    for (size_t i = 0; i < view->count; i++)
        units += mtm_trim_count(view->trim[i]);
    return units;
}

/* Words about the target. */
static void add_target(mtmi_text *text, const char *words, mtm_uv uv)
{
    if (words != NULL)
        mtmi_text_add(text, "%s", words);
    else
        mtmi_text_add(text, "u' %.4f, v' %.4f", uv.u, uv.v);
}

static void add_sources(mtmi_text *text, const mtm_meter *meter)
{
    mtmi_plane_add_sources(text, MTM_DIAGRAM_UV, MTM_OBSERVER_2);
    mtmi_text_add(text, " Steps of %.4f in u', v' (CIE TN 001:2014).", MTM_STEP_UV);
    if (meter == NULL || !(meter->xy > 0))
        mtmi_text_add(text, " The meter's uncertainty is not stated.");
    else
        mtmi_text_add(text,
                      " Meter%s%s: x, y ±%.4f (k = 2), drawn about the target as one reading of it "
                      "scatters.",
                      meter->name[0] != '\0' ? " " : "", meter->name, meter->xy);
}

static size_t count_verdicts(const mtmi_trim_rows *rows, mtm_verdict verdict)
{
    size_t count = 0;

    for (size_t i = 0; i < rows->count; i++)
        count += rows->row[i].verdict == verdict;
    return count;
}

static void say_trim(const mtm_trim_view *view, const mtmi_trim_rows *rows, mtmi_text *text)
{
    size_t within = 0;

    for (size_t i = 0; i < rows->count; i++)
        within += !mtmi_exceeds(rows->row[i].delta_uv, rows->tolerance_uv);
    if (count_verdicts(rows, MTM_VERDICT_UNSTATED) < rows->count)
        mtmi_text_add(
            text,
            "After trimming, %zu inside the tolerance, %zu outside, %zu to be measured, "
            "%zu cannot be told with this meter.",
            count_verdicts(rows, MTM_VERDICT_INSIDE), count_verdicts(rows, MTM_VERDICT_OUTSIDE),
            count_verdicts(rows, MTM_VERDICT_TO_MEASURE), count_verdicts(rows, MTM_VERDICT_OPEN));
    else
        mtmi_text_add(text,
                      "%zu of %zu are predicted within the tolerance; the meter's uncertainty is "
                      "not stated, so nothing can be proved with it.",
                      within, rows->count);
    if (view->count > 1)
        return;
    mtm_trim_summary summary = mtm_trim_summarise(view->trim[0]);
    const mtm_trim_unit *limiting = mtm_trim_at(view->trim[0], summary.limits);
    mtmi_text_add(text, " Common output %.0f lm; %.80s limits it.", summary.output,
                  mtm_rig_unit(view->rig, limiting->unit)->name);
}

/* Draws what was gathered; upright, in a height for the list. */
static mtm_result make(const mtmi_trim_rows *rows, const mtmi_text *title,
                       const mtmi_text *subtitle, const mtm_picture_options *options,
                       mtm_picture **out, mtm_error *error)
{
    const mtmi_picture_kind kind = {draw, 0.75, fmin(1.7, 0.98 + 0.035 * (double)rows->count)};
    mtmi_text sources = {0};
    mtm_result result = MTM_OK;

    add_sources(&sources, rows->meter);
    if (title->failed || subtitle->failed || sources.failed) {
        result = mtmi_fail_memory(error);
    } else {
        const mtmi_captions captions = {title->data, subtitle->data, sources.data};
        result = mtmi_picture_make(&kind, rows, &captions, options, out, error);
    }
    mtmi_text_free(&sources);
    return result;
}

static mtm_result check_trim(const mtm_trim_view *view, mtm_error *error)
{
    if (view == NULL || view->rig == NULL || view->trim == NULL || view->count == 0)
        return mtmi_fail(error, MTM_INVALID, "a picture of a trim needs its rig and a trim");
    for (size_t i = 0; i < view->count; i++) {
        if (view->trim[i] == NULL || mtm_trim_count(view->trim[i]) == 0)
            return mtmi_fail(error, MTM_INVALID, "trim %zu is none, or has no unit", i);
        for (size_t k = 0; k < mtm_trim_count(view->trim[i]); k++) {
            size_t unit = mtm_trim_at(view->trim[i], k)->unit;
            if (unit >= mtm_rig_unit_count(view->rig))
                return mtmi_fail(error, MTM_INVALID, "the rig has no unit %zu", unit);
        }
    }
    return MTM_OK;
}

static void gather_trim(const mtm_trim_view *view, mtmi_trim_rows *rows, mtm_uv *others)
{
    mtm_trim_summary first = mtm_trim_summarise(view->trim[0]);

    rows->target = first.target;
    rows->tolerance_uv = first.tolerance_uv;
    rows->common = view->count == 1 ? first.output : 0;
    rows->others = others;
    rows->other_count = view->count - 1;
    rows->meter = view->meter;
    for (size_t i = 0; i < view->count; i++) {
        if (i > 0)
            others[i - 1] = mtm_trim_summarise(view->trim[i]).target;
        for (size_t k = 0; k < mtm_trim_count(view->trim[i]); k++) {
            rows->row[rows->count] =
                row_of(view->rig, mtm_trim_at(view->trim[i], k), rows->count + 1);
            rows->count++;
        }
    }
}

static mtm_result check_options(const mtm_picture_options *options, mtm_picture **out,
                                mtm_error *error)
{
    mtm_result result = mtmi_picture_check(options, error);

    if (result == MTM_OK && out == NULL)
        result = mtmi_fail(error, MTM_INVALID, "no place for the picture was given");
    return result;
}

mtm_result mtm_picture_of_trim(const mtm_trim_view *view, const mtm_picture_options *options,
                               mtm_picture **out, mtm_error *error)
{
    mtmi_text title = {0}, subtitle = {0};
    mtm_result result = check_options(options, out, error);

    if (result == MTM_OK)
        result = check_trim(view, error);
    if (result != MTM_OK)
        return result;
    mtmi_trim_rows rows = {.row = calloc(units_of(view), sizeof *rows.row)};
    mtm_uv *others = calloc(view->count, sizeof *others);
    if (rows.row == NULL || others == NULL) {
        result = mtmi_fail_memory(error);
    } else {
        gather_trim(view, &rows, others);
        mtmi_text_add(&title, "%s: %zu unit%s trimmed to ", mtm_rig_name(view->rig), rows.count,
                      rows.count == 1 ? "" : "s");
        add_target(&title, view->target, rows.target);
        mtmi_text_add(&title, ", tolerance %.4g steps", rows.tolerance_uv / MTM_STEP_UV);
        say_trim(view, &rows, &subtitle);
        result = make(&rows, &title, &subtitle, options, out, error);
    }
    mtmi_text_free(&title);
    mtmi_text_free(&subtitle);
    free(rows.row);
    free(others);
    return result;
}

static mtm_result check_moved(const mtm_moved_view *view, mtm_error *error)
{
    if (view == NULL || view->rig == NULL || view->moved == NULL || view->count == 0)
        return mtmi_fail(error, MTM_INVALID,
                         "a picture of a comparison needs its rig and a unit that moved");
    if (!mtm_xy_valid(view->target))
        return mtmi_fail(error, MTM_INVALID, "the target x %g, y %g is no chromaticity",
                         view->target.x, view->target.y);
    if (!(view->tolerance_uv >= 0 && view->tolerance_uv <= 1))
        return mtmi_fail(error, MTM_INVALID, "a tolerance in u', v' is 0 to 1, not %g",
                         view->tolerance_uv);
    for (size_t i = 0; i < view->count; i++) {
        const mtm_moved *one = &view->moved[i];
        if (one->unit >= mtm_rig_unit_count(view->rig))
            return mtmi_fail(error, MTM_INVALID, "the rig has no unit %zu", one->unit);
        if (!isfinite(one->old_uv.u + one->old_uv.v + one->new_uv.u + one->new_uv.v) ||
            !isfinite(one->delta_uv + one->old_most + one->new_most))
            return mtmi_fail(error, MTM_INVALID, "unit %zu has no place in u', v'", one->unit);
    }
    return MTM_OK;
}

/* How far the farthest moved, and what output is left. */
static void say_moved(const mtm_moved_view *view, mtmi_text *text)
{
    const mtm_moved *farthest = &view->moved[0];
    double change = 100 * (view->new_output / view->old_output - 1);
    char figure[MTMI_FIGURE_ROOM];

    for (size_t i = 1; i < view->count; i++) {
        if (mtmi_exceeds(view->moved[i].delta_uv, farthest->delta_uv))
            farthest = &view->moved[i];
    }
    mtmi_text_add(text, "%.80s moved farthest, by Δu'v' %.4f (%.1f steps).",
                  mtm_rig_unit(view->rig, farthest->unit)->name, farthest->delta_uv,
                  farthest->delta_uv / MTM_STEP_UV);
    if (view->old_output > 0 && isfinite(view->new_output))
        mtmi_text_add(text, " If all are to match again, %.0f lm are left of %.0f lm (%s%s).",
                      view->new_output, view->old_output, change > 0 ? "+" : "",
                      mtmi_figure(figure, change, 1, "%"));
}

mtm_result mtm_picture_of_moved(const mtm_moved_view *view, const mtm_picture_options *options,
                                mtm_picture **out, mtm_error *error)
{
    mtmi_text title = {0}, subtitle = {0};
    mtm_result result = check_options(options, out, error);

    if (result == MTM_OK)
        result = check_moved(view, error);
    if (result != MTM_OK)
        return result;
    mtmi_trim_rows rows = {.row = calloc(view->count, sizeof *rows.row),
                           .count = view->count,
                           .compared = true,
                           .target = mtm_uv_from_xy(view->target),
                           .tolerance_uv = view->tolerance_uv,
                           .meter = view->meter};
    if (rows.row == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < view->count; i++) {
        const mtm_moved *one = &view->moved[i];
        rows.row[i] = (mtmi_trim_row){.name = mtm_rig_unit(view->rig, one->unit)->name,
                                      .number = i + 1,
                                      .was_lit = true,
                                      .is_lit = true,
                                      .before = one->old_uv,
                                      .after = one->new_uv,
                                      .delta_uv = one->delta_uv,
                                      .most = one->old_most,
                                      .given = one->new_most};
    }
    mtmi_text_add(&title, "%s: how %zu unit%s trimmed to ", mtm_rig_name(view->rig), view->count,
                  view->count == 1 ? "" : "s");
    add_target(&title, view->words, rows.target);
    mtmi_text_add(&title, " moved");
    say_moved(view, &subtitle);
    result = make(&rows, &title, &subtitle, options, out, error);
    mtmi_text_free(&title);
    mtmi_text_free(&subtitle);
    free(rows.row);
    return result;
}
