/* SPDX-License-Identifier: MIT */
/* The output that all units of a survey give at one colour, over the whites. */
#include "picture/light/survey.h"

#include "base/number.h"
#include "picture/label.h"
#include "picture/mark.h"

#include <math.h>
#include <stdio.h>

/* One step of a white tolerance in u', v' (ANSI C78.377). */
#define STEP_UV 0.0011
/* Above the most output, for words. */
#define HEADROOM 1.3
#define KEY_APART 16.0
#define NAME_ROOM 512
/* Brackets below the whites of one limiting unit: px of their ends; rows of them, one above the
 * other where units take turns, in heights of a line. */
#define BRACKET 4.0
#define LIMIT_ROWS 3
#define LIMIT_PITCH 1.6

static double most_of(const mtm_survey *survey)
{
    double most = 0;

    for (size_t i = 0; i < mtm_survey_white_count(survey); i++) {
        const mtm_survey_white *white = mtm_survey_white_at(survey, i);
        if (white->exists)
            most = fmax(most, white->flux_lm);
    }
    return most > 0 ? most : 1;
}

static mtmi_point place_of(const mtmi_plot *plot, const mtm_survey_white *white)
{
    return (mtmi_point){mtmi_survey_x(plot, white->cct_k),
                        mtmi_scale_at(&plot->y, white->exists ? white->flux_lm : 0)};
}

static bool is_far(const mtm_survey_white *white)
{
    return mtmi_exceeds(white->delta_uv, STEP_UV);
}

static void draw_mark(mtmi_canvas *c, const mtm_survey_white *white, mtmi_point at)
{
    if (!white->exists)
        mtmi_mark_cross(c, at);
    else
        mtmi_mark_dot(c, at, is_far(white) ? MTMI_SHAPE_TRIANGLE : MTMI_SHAPE_DISC,
                      mtmi_canvas_series(c, is_far(white) ? 1 : 0));
}

/* What the shapes stand for, above the frame. */
static void draw_key(mtmi_canvas *c, const mtmi_plot *plot, mtmi_box bounds)
{
    static const struct {
        mtm_survey_white like;
        const char *words;
    } keys[] = {{{.exists = true}, "within one step (Δu'v' 0.0011) of the white"},
                {{.exists = true, .delta_uv = 1}, "farther, by the Δu'v' beside it"},
                {{.exists = false}, "no common colour"}};
    double x = plot->box.x, line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    double middle = plot->box.y - 0.75 * line;

    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        const mtmi_type type = {.size = MTMI_TYPE_SMALL};
        double width = mtmi_words_extent(c, &type, keys[i].words).width;
        if (x + 14 + width > bounds.x + bounds.width)
            return;
        draw_mark(c, &keys[i].like, (mtmi_point){x + 5, middle});
        mtmi_words_middle(c, x + 14, middle, &type, keys[i].words);
        x += 14 + width + KEY_APART;
    }
}

/* Whites from first to last have one limiting unit: a bracket below them, with its name. */
static void name_limit(mtmi_canvas *c, const mtm_survey_view *view, const mtmi_plot *plot,
                       mtmi_placer *placer, size_t first, size_t last, int row)
{
    const mtm_survey_white *white = mtm_survey_white_at(view->survey, first);
    const mtmi_type type = {.width = plot->box.width / 2, .halo = true};
    const mtmi_pen pen = {mtmi_canvas_ink(c, MTMI_INK_TEXT), 1, MTMI_DASH_NONE};
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    double y = plot->box.y + plot->box.height - BRACKET - LIMIT_PITCH * line * row;
    double left = place_of(plot, white).x - MTMI_DOT_REACH;
    double right = place_of(plot, mtm_survey_white_at(view->survey, last)).x + MTMI_DOT_REACH;
    char words[NAME_ROOM];

    (void)snprintf(words, sizeof words, "limited by %s",
                   mtm_rig_unit(view->rig, white->ends_output)->name);
    mtmi_rule(c, left, y, right, y, pen);
    mtmi_rule(c, left, y, left, y - BRACKET, pen);
    mtmi_rule(c, right, y, right, y - BRACKET, pen);
    mtmi_placer_block(placer, (mtmi_box){left, y - BRACKET, right - left, BRACKET});
    mtmi_extent extent = mtmi_words_extent(c, &type, words);
    double middle = fmax((left + right) / 2, plot->box.x + extent.width / 2 + 2);
    middle = fmin(middle, plot->box.x + plot->box.width - extent.width / 2 - 2);
    mtmi_type centred = type;
    centred.align = MTMI_ALIGN_MIDDLE;
    if (!mtmi_label_draw_at(c, placer, (mtmi_point){middle, y - BRACKET - extent.height / 2}, true,
                            &centred, words))
        (void)mtmi_label_draw(c, placer, (mtmi_point){(left + right) / 2, y}, BRACKET, &type,
                              words);
}

static void name_limits(mtmi_canvas *c, const mtm_survey_view *view, const mtmi_plot *plot,
                        mtmi_placer *placer)
{
    size_t count = mtm_survey_white_count(view->survey);
    int row = 0;

    for (size_t first = 0, last; first < count; first = last + 1) {
        const mtm_survey_white *white = mtm_survey_white_at(view->survey, first);
        for (last = first; white->exists && last + 1 < count; last++) {
            const mtm_survey_white *next = mtm_survey_white_at(view->survey, last + 1);
            if (!next->exists || next->ends_output != white->ends_output)
                break;
        }
        if (white->exists)
            name_limit(c, view, plot, placer, first, last, row++ % LIMIT_ROWS);
    }
}

/* Above the mark or below it, where that is free. */
static void name_misses(mtmi_canvas *c, const mtm_survey_view *view, const mtmi_plot *plot,
                        mtmi_placer *placer)
{
    const mtmi_type type = {.align = MTMI_ALIGN_MIDDLE, .halo = true}, beside = {.halo = true};
    double rise = MTMI_DOT_REACH + 2 + mtmi_line_height(c, MTMI_TYPE_SMALL) / 2;

    for (size_t i = 0; i < mtm_survey_white_count(view->survey); i++) {
        const mtm_survey_white *white = mtm_survey_white_at(view->survey, i);
        mtmi_point at = place_of(plot, white);
        char text[MTMI_FIGURE_ROOM];
        if (!white->exists || !is_far(white))
            continue;
        (void)mtmi_figure(text, white->delta_uv, 4, NULL);
        if (!mtmi_label_draw_at(c, placer, (mtmi_point){at.x, at.y - rise}, true, &type, text) &&
            !mtmi_label_draw_at(c, placer, (mtmi_point){at.x, at.y + rise}, true, &type, text))
            (void)mtmi_label_draw(c, placer, at, MTMI_DOT_REACH + 1, &beside, text);
    }
}

static void draw_points(mtmi_canvas *c, const mtm_survey_view *view, const mtmi_plot *plot)
{
    mtmi_placer *placer = mtmi_placer_create(plot->box);

    if (placer == NULL) {
        mtmi_canvas_lack_memory(c);
        return;
    }
    for (size_t i = 0; i < mtm_survey_white_count(view->survey); i++) {
        const mtm_survey_white *white = mtm_survey_white_at(view->survey, i);
        mtmi_point at = place_of(plot, white);
        draw_mark(c, white, at);
        mtmi_placer_block(placer, (mtmi_box){at.x - MTMI_DOT_REACH, at.y - MTMI_DOT_REACH,
                                             2 * MTMI_DOT_REACH, 2 * MTMI_DOT_REACH});
    }
    name_misses(c, view, plot, placer);
    name_limits(c, view, plot, placer);
    if (mtmi_placer_failed(placer))
        mtmi_canvas_lack_memory(c);
    mtmi_placer_free(placer);
}

void mtmi_survey_draw_output(mtmi_canvas *canvas, const mtm_survey_view *view,
                             const mtmi_plot *plot, mtmi_box bounds)
{
    const mtmi_axis x = {
        .from = plot->x.from, .to = plot->x.to, .step = 1e4, .no_figures = true, .no_grid = true};
    const mtmi_axis y = {
        .from = 0, .to = HEADROOM * most_of(view->survey), .name = "Output of each, lm"};
    mtmi_plot whole = *plot;

    whole.y = (mtmi_scale){
        .from = y.from, .to = y.to, .start = whole.box.y + whole.box.height, .end = whole.box.y};
    mtmi_plot_axes(canvas, &whole, &x, &y);
    draw_key(canvas, &whole, bounds);
    draw_points(canvas, view, &whole);
}
