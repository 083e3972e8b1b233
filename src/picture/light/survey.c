/* SPDX-License-Identifier: MIT */
/* The picture of a survey: whites by kind, where all meet, and what they give together. */
#include "picture/light/survey.h"

#include "base/error.h"
#include "picture/make.h"
#include "picture/mark.h"

#include <math.h>
#include <stdio.h>

/* What is shown at least; wider where a white lies beyond. */
#define WARM_K 1500.0
#define COOL_K 15000.0
/* Of a line's pitch: the bar; and the least and most pitch, in heights of a line of words. */
#define BAR_SHARE 0.55
#define PITCH_MIN 1.15
#define PITCH_MAX 2.0
/* Most part of the height that bars take, and heights of a line that the lower plot needs. */
#define BARS_SHARE 0.58
#define OUTPUT_LINES 9.0
#define NAMES_SHARE 0.28
/* Least part of the width for bars, before their figures go. */
#define BARS_LEAST 0.4
#define APART 8.0
#define NAME_ROOM 512

static const double ticks_k[] = {1000, 1500, 2000, 2500,  3000, 4000,
                                 5000, 6500, 9000, 15000, 25000};
#define TICK_COUNT (sizeof ticks_k / sizeof ticks_k[0])

double mtmi_survey_x(const mtmi_plot *plot, double cct_k)
{
    return mtmi_scale_at(&plot->x, -1e6 / cct_k);
}

/* What is drawn, and where. */
struct sheet {
    mtmi_canvas *c;
    const mtm_survey_view *view;
    mtmi_plot plot; /* of the bars */
    size_t shown;   /* kinds with a line of their own */
    double names_x, names_width, line, pitch;
    bool no_figures; /* behind the bars: there is no room */
};

static bool kind_dims(const struct sheet *s, const mtm_survey_kind *kind)
{
    return mtm_fixture_dims(mtm_rig_unit(s->view->rig, kind->first)->fixture);
}

static void name_kind(const mtm_survey_kind *kind, char text[NAME_ROOM])
{
    (void)snprintf(text, NAME_ROOM, "%zu × %s, %s", kind->unit_count, kind->fixture, kind->mode);
}

/* Even steps of mired, from warm to cool. */
static mtmi_axis temperatures(const mtm_survey *survey)
{
    double warm = WARM_K, cool = COOL_K;

    for (size_t i = 0; i < mtm_survey_white_count(survey); i++) {
        warm = fmin(warm, mtm_survey_white_at(survey, i)->cct_k);
        cool = fmax(cool, mtm_survey_white_at(survey, i)->cct_k);
    }
    return (mtmi_axis){
        .from = -1e6 / warm, .to = -1e6 / cool, .step = 1e4, .no_figures = true, .no_grid = true};
}

static mtmi_box within(const mtmi_plot *plot, double warm_k, double cool_k, double top,
                       double height)
{
    double left = fmax(mtmi_survey_x(plot, warm_k), plot->box.x);
    double right = fmin(mtmi_survey_x(plot, cool_k), plot->box.x + plot->box.width);

    return (mtmi_box){left, top, fmax(1, right - left), height};
}

/* The whites that all reach, shaded over a plot, between two thin lines. */
static void shade(const struct sheet *s, const mtmi_plot *plot)
{
    const mtmi_pen pen = {mtmi_canvas_ink(s->c, MTMI_INK_TEXT), 1, MTMI_DASH_DOTS};

    for (size_t i = 0; i < mtm_survey_range_count(s->view->survey); i++) {
        const mtm_survey_range *range = mtm_survey_range_at(s->view->survey, i);
        mtmi_box box =
            within(plot, range->warmest_k, range->coolest_k, plot->box.y, plot->box.height);
        mtmi_rectangle(s->c, box);
        mtmi_fill(s->c, mtmi_ink_covering(mtmi_canvas_ink(s->c, MTMI_INK_QUIET), 0.16));
        mtmi_rule(s->c, box.x, box.y, box.x, box.y + box.height, pen);
        mtmi_rule(s->c, box.x + box.width, box.y, box.x + box.width, box.y + box.height, pen);
    }
}

/* "all 13" above each band; the figures too where there is room for them. */
static void name_ranges(const struct sheet *s)
{
    const mtm_survey_sums sums = mtm_survey_sums_of(s->view->survey);
    const mtmi_box *box = &s->plot.box;
    const mtmi_type type = {.bold = true};
    size_t count = mtm_survey_range_count(s->view->survey);
    double free_from = box->x;
    char words[96];

    for (size_t i = 0; i < count; i++) {
        const mtm_survey_range *range = mtm_survey_range_at(s->view->survey, i);
        mtmi_box band = within(&s->plot, range->warmest_k, range->coolest_k, 0, 1);
        double right = box->x + box->width;
        if (i + 1 < count) {
            const mtm_survey_range *next = mtm_survey_range_at(s->view->survey, i + 1);
            right = within(&s->plot, next->warmest_k, next->coolest_k, 0, 1).x;
        }
        for (int figures = 1; figures >= 0; figures--) {
            int at = snprintf(words, sizeof words, "all %zu", sums.units - sums.dims);
            if (figures)
                (void)snprintf(words + at, sizeof words - (size_t)at, ": %.0f to %.0f\u2009K",
                               range->warmest_k, range->coolest_k);
            double width = mtmi_words_extent(s->c, &type, words).width;
            double x = fmin(band.x + band.width / 2 - width / 2, right - width);
            x = fmax(x, free_from);
            if (x + width > right || x > band.x + band.width)
                continue;
            (void)mtmi_words(s->c, x, box->y - s->line - 3, &type, words);
            free_from = x + width + APART;
            break;
        }
    }
}

static void draw_bar(const struct sheet *s, const mtm_survey_kind *kind, double middle)
{
    const double height = BAR_SHARE * s->pitch;
    const mtmi_ink ink = mtmi_canvas_series(s->c, 0);
    mtmi_box box = within(&s->plot, kind->warmest_k, kind->coolest_k, middle - height / 2, height);

    mtmi_rectangle(s->c, box);
    if (!kind_dims(s, kind)) {
        mtmi_fill(s->c, ink);
        return;
    }
    mtmi_hatch(s->c, (mtmi_pen){ink, 1, MTMI_DASH_NONE}, 5);
    mtmi_rectangle(s->c, box);
    mtmi_stroke(s->c, (mtmi_pen){ink, 1, MTMI_DASH_NONE});
}

static const char *figures_of(const mtm_survey_kind *kind, char text[64])
{
    if (kind->warmest_k > 0)
        (void)snprintf(text, 64, "%.0f to %.0f\u2009K", kind->warmest_k, kind->coolest_k);
    else
        (void)snprintf(text, 64, "none");
    return text;
}

static void draw_kinds(const struct sheet *s)
{
    const size_t count = mtm_survey_kind_count(s->view->survey);
    const double right = s->plot.box.x + s->plot.box.width;
    mtmi_type type = {.width = s->names_width - APART};
    char words[NAME_ROOM], figures[64];

    for (size_t i = 0; i < s->shown; i++) {
        const mtm_survey_kind *kind = mtm_survey_kind_at(s->view->survey, i);
        double middle = s->plot.box.y + ((double)i + 0.5) * s->pitch;
        name_kind(kind, words);
        mtmi_words_middle(s->c, s->names_x, middle, &type, words);
        if (!s->no_figures)
            mtmi_words_middle(s->c, right + APART, middle, &(mtmi_type){.ink = MTMI_INK_TEXT},
                              figures_of(kind, figures));
        if (kind->warmest_k > 0)
            draw_bar(s, kind, middle);
    }
    if (s->shown == count)
        return;
    type.ink = MTMI_INK_QUIET;
    (void)snprintf(words, sizeof words, "%zu more kinds", count - s->shown);
    mtmi_words_middle(s->c, s->names_x, s->plot.box.y + ((double)s->shown + 0.5) * s->pitch, &type,
                      words);
}

/* Kelvin at round values below a plot, and lines up through it. */
static void draw_kelvin(const struct sheet *s, const mtmi_plot *plot, bool figures)
{
    const mtmi_pen pen = {mtmi_ink_covering(mtmi_canvas_ink(s->c, MTMI_INK_RULE), 0.8), 0.75,
                          MTMI_DASH_NONE};
    double bottom = plot->box.y + plot->box.height, taken = -INFINITY;
    mtmi_type type = {.ink = MTMI_INK_QUIET, .align = MTMI_ALIGN_MIDDLE};

    for (size_t i = 0; i < TICK_COUNT; i++) {
        double x = mtmi_survey_x(plot, ticks_k[i]);
        char text[MTMI_FIGURE_ROOM];
        if (x < plot->box.x - 0.01 || x > plot->box.x + plot->box.width + 0.01)
            continue;
        mtmi_rule(s->c, x, plot->box.y, x, bottom, pen);
        (void)mtmi_figure(text, ticks_k[i], 0, NULL);
        double half = mtmi_words_extent(s->c, &type, text).width / 2;
        if (!figures || x - half < taken)
            continue;
        (void)mtmi_words(s->c, x, bottom + 4, &type, text);
        taken = x + half + APART;
    }
    type.ink = MTMI_INK_TEXT;
    if (!figures)
        return;
    const char *name = "Colour temperature, K (even steps of mired)";
    if (mtmi_words_extent(s->c, &type, name).width > plot->box.width)
        name = "White, K";
    (void)mtmi_words(s->c, plot->box.x + plot->box.width / 2, bottom + s->line + 6, &type, name);
}

/* Columns of names and figures, as many lines as fit; returns the height of the bars. */
static void lay_out(struct sheet *s, mtmi_box box, double height)
{
    const mtm_survey *survey = s->view->survey;
    size_t count = mtm_survey_kind_count(survey);
    const mtmi_type type = {.size = MTMI_TYPE_SMALL};
    /* without memory a line has no height */
    size_t most = (size_t)fmax(1, floor(height / fmax(1, PITCH_MIN * s->line)));
    double names = mtmi_words_extent(s->c, &type, "00 more kinds").width, figures = 0;
    char words[NAME_ROOM], text[64];

    s->shown = count <= most ? count : most - 1;
    size_t lines = s->shown + (s->shown < count);
    s->pitch = fmin(PITCH_MAX * s->line, height / (double)lines);
    for (size_t i = 0; i < s->shown; i++) {
        const mtm_survey_kind *kind = mtm_survey_kind_at(survey, i);
        name_kind(kind, words);
        names = fmax(names, mtmi_words_extent(s->c, &type, words).width);
        figures = fmax(figures, mtmi_words_extent(s->c, &type, figures_of(kind, text)).width);
    }
    s->names_x = box.x;
    s->names_width = fmin(NAMES_SHARE * box.width, names + APART + 2);
    s->no_figures = box.width - s->names_width - figures < BARS_LEAST * box.width;
    figures = s->no_figures ? 0 : figures + APART;
    const mtmi_axis x = temperatures(survey);
    s->plot.box =
        (mtmi_box){box.x + s->names_width, box.y, fmax(1, box.width - s->names_width - figures),
                   s->pitch * (double)lines};
    s->plot.x = (mtmi_scale){.from = x.from,
                             .to = x.to,
                             .start = s->plot.box.x,
                             .end = s->plot.box.x + s->plot.box.width};
}

static void draw_frame(const struct sheet *s, const mtmi_plot *plot)
{
    mtmi_rectangle(s->c, plot->box);
    mtmi_stroke(s->c, (mtmi_pen){mtmi_canvas_ink(s->c, MTMI_INK_RULE), 1, MTMI_DASH_NONE});
}

static mtm_result draw(mtmi_canvas *c, mtmi_box box, const void *subject,
                       const mtm_picture_options *options, mtm_error *error)
{
    const mtm_survey_view *view = subject;
    struct sheet s = {.c = c, .view = view, .line = mtmi_line_height(c, MTMI_TYPE_SMALL)};
    const double head = 1.4 * s.line, foot = 2.2 * s.line + 6;
    double room = box.height - head - foot;
    bool output = mtm_survey_white_count(view->survey) > 0 && room >= (OUTPUT_LINES + 2) * s.line;

    (void)options;
    (void)error;
    mtmi_box in = {box.x, box.y + head, box.width, fmax(1, room)};
    lay_out(&s, in, fmax(1, output ? fmin(BARS_SHARE * room, room - OUTPUT_LINES * s.line) : room));
    draw_kelvin(&s, &s.plot, !output);
    shade(&s, &s.plot);
    draw_kinds(&s);
    draw_frame(&s, &s.plot);
    name_ranges(&s);
    if (output) {
        mtmi_plot below = s.plot;
        double top = s.plot.box.y + s.plot.box.height + 1.6 * s.line;
        below.box.y = top + 4;
        below.box.height = fmax(1, in.y + in.height - below.box.y);
        draw_kelvin(&s, &below, true);
        shade(&s, &below);
        mtmi_survey_draw_output(c, view, &below, box);
        draw_frame(&s, &below);
    }
    return MTM_OK;
}

static const char *unit_name(const mtm_survey_view *view, size_t unit)
{
    return mtm_rig_unit(view->rig, unit)->name;
}

/* "; warmer is out of reach for one, cooler for another" */
static void say_ends(const mtm_survey_view *view, const mtm_survey_range *range, mtmi_text *text)
{
    size_t none = mtm_rig_unit_count(view->rig);
    bool same = range->ends_warm == range->ends_cool;

    if (range->ends_warm < none)
        mtmi_text_add(text, "; warmer%s is out of reach for %.80s", same ? " or cooler" : "",
                      unit_name(view, range->ends_warm));
    if (range->ends_cool < none && !same)
        mtmi_text_add(text, "%s for %.80s",
                      range->ends_warm < none ? ", cooler" : "; cooler is out of reach",
                      unit_name(view, range->ends_cool));
}

/* The sentence of the table. */
static void say(const mtm_survey_view *view, mtmi_text *text)
{
    const mtm_survey_sums sums = mtm_survey_sums_of(view->survey);
    double within_uv = view->within_uv > 0 ? view->within_uv : MTM_SURVEY_WITHIN_UV;
    size_t count = mtm_survey_range_count(view->survey);

    if (sums.dims == sums.units)
        mtmi_text_add(text, "The colour of each goes with its output: they share no white.");
    else if (count == 0)
        mtmi_text_add(text, "There is no white that all of them reach within Δu'v' %.4f.",
                      within_uv);
    else
        mtmi_text_add(text, "Whites that all of them reach within Δu'v' %.4f: ", within_uv);
    for (size_t i = 0; i < count; i++) {
        const mtm_survey_range *range = mtm_survey_range_at(view->survey, i);
        const mtm_survey_range *next = mtm_survey_range_at(view->survey, i + 1);
        mtmi_text_add(text, "%.0f\u2009K to %.0f\u2009K", range->warmest_k, range->coolest_k);
        if (next == NULL || next->ends_warm != range->ends_warm ||
            next->ends_cool != range->ends_cool)
            say_ends(view, range, text);
        mtmi_text_add(text, "%s", next == NULL ? "." : " and ");
    }
    if (sums.dims > 0 && sums.dims < sums.units)
        mtmi_text_add(text, " %zu unit%s left out: %s colour goes with the output.", sums.dims,
                      sums.dims == 1 ? " is" : "s are", sums.dims == 1 ? "its" : "their");
}

static bool is_of(const mtm_survey_view *view)
{
    size_t units = mtm_rig_unit_count(view->rig);

    for (size_t i = 0; i < mtm_survey_kind_count(view->survey); i++) {
        if (mtm_survey_kind_at(view->survey, i)->first >= units)
            return false;
    }
    for (size_t i = 0; i < mtm_survey_white_count(view->survey); i++) {
        const mtm_survey_white *white = mtm_survey_white_at(view->survey, i);
        if (white->exists && white->ends_output >= units)
            return false;
    }
    return mtm_survey_kind_count(view->survey) > 0;
}

static mtm_result check(const mtm_survey_view *view, mtm_error *error)
{
    if (view == NULL || view->rig == NULL || view->survey == NULL)
        return mtmi_fail(error, MTM_INVALID, "a picture of a survey needs its rig and the survey");
    if (!(view->within_uv >= 0 && view->within_uv <= 0.1))
        return mtmi_fail(error, MTM_INVALID, "within_uv is %g; 0 to 0.1 is allowed",
                         view->within_uv);
    if (!is_of(view))
        return mtmi_fail(error, MTM_INVALID, "the survey is not of this rig");
    return MTM_OK;
}

mtm_result mtm_picture_of_survey(const mtm_survey_view *view, const mtm_picture_options *options,
                                 mtm_picture **out, mtm_error *error)
{
    mtmi_text title = {0}, subtitle = {0};
    mtm_result result = mtmi_picture_check(options, error);

    if (result == MTM_OK)
        result = check(view, error);
    if (result == MTM_OK && out == NULL)
        result = mtmi_fail(error, MTM_INVALID, "no place for the picture was given");
    if (result != MTM_OK)
        return result;
    double tall = 24 * (double)mtm_survey_kind_count(view->survey) + 420;
    const mtmi_picture_kind kind = {draw, fmin(1.4, tall / 1000), fmin(1.8, 0.85 * tall / 600)};
    mtmi_text_add(&title, "Whites and output of %s", mtm_rig_name(view->rig));
    say(view, &subtitle);
    const mtmi_captions captions = {
        title.data, subtitle.data,
        "2° observer; whites of Planckian radiators. A bar joins the warmest and the coolest white "
        "of a kind; some between may be missing. Hatched: colour goes with the output. Output: of "
        "each unit at one common colour and one output, goal light, as the fixture files state."};
    result = title.failed || subtitle.failed
                 ? mtmi_fail_memory(error)
                 : mtmi_picture_make(&kind, view, &captions, options, out, error);
    mtmi_text_free(&title);
    mtmi_text_free(&subtitle);
    return result;
}
