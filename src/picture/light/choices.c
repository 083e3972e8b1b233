/* SPDX-License-Identifier: MIT */
/* The picture of the ways to make a colour: output against rendering. */
#include <metamer/choices_picture.h>

#include "base/error.h"
#include "base/number.h"
#include "picture/axes.h"
#include "picture/label.h"
#include "picture/light/choices.h"
#include "picture/make.h"
#include "picture/mark.h"

#include <math.h>
#include <stdio.h>

#define APART 16.0
/* Room of the plot beyond its points, of their span; and of a single value. */
#define BEYOND 0.12
#define BEYOND_ONE 0.05

/* What stands upward. */
enum upward { RF, LM_PER_W, NOTHING };

static enum upward upward_of(const mtm_choices_view *view)
{
    bool rf = true, lm_per_w = true;

    for (size_t i = 0; i < view->count; i++) {
        rf = rf && isfinite(view->way[i].rf);
        lm_per_w = lm_per_w && isfinite(mtmi_way_lm_per_w(&view->way[i]));
    }
    return rf ? RF : lm_per_w ? LM_PER_W : NOTHING;
}

static double height_of(const mtm_way_view *way, enum upward upward)
{
    return upward == RF ? way->rf : upward == LM_PER_W ? mtmi_way_lm_per_w(way) : 0;
}

/* An axis about values from least to most. */
static mtmi_axis axis_about(double least, double most, const char *name)
{
    double beyond = most > least ? BEYOND * (most - least) : fmax(1, BEYOND_ONE * fabs(most));

    return (mtmi_axis){.from = least - beyond, .to = most + beyond, .name = name};
}

static mtmi_axis axis_upward(const mtm_choices_view *view, enum upward upward)
{
    static const char *const names[] = {"Rf", "Lumens a watt", ""};
    double least = INFINITY, most = -INFINITY;

    for (size_t i = 0; i < view->count; i++) {
        least = fmin(least, height_of(&view->way[i], upward));
        most = fmax(most, height_of(&view->way[i], upward));
    }
    mtmi_axis axis = axis_about(least, most, names[upward]);
    axis.no_figures = upward == NOTHING;
    if (upward == RF)
        axis.to = fmin(axis.to, 100);
    return axis;
}

static mtmi_axis axis_output(const mtm_choices_view *view)
{
    double least = INFINITY, most = 0;

    for (size_t i = 0; i < view->count; i++) {
        least = fmin(least, view->way[i].match.flux_lm);
        most = fmax(most, view->way[i].match.flux_lm);
    }
    return axis_about(least, most, "Output, lm");
}

/* "8 most lumens a watt, 82.9 lm/W". */
static void write_way(mtmi_canvas *c, mtmi_placer *placer, const mtm_choices_view *view,
                      size_t index, mtmi_point at)
{
    const mtm_way_view *way = &view->way[index];
    const mtmi_type type = {.bold = way->name != NULL, .halo = true};
    char figure[MTMI_FIGURE_ROOM], words[160];
    int used = snprintf(words, sizeof words, "%zu%s%.80s", index + 1, way->name != NULL ? " " : "",
                        way->name != NULL ? way->name : "");

    if (mtmi_way_is_frugal(view, index))
        (void)snprintf(words + used, sizeof words - (size_t)used, ", %s",
                       mtmi_figure(figure, mtmi_way_lm_per_w(way), 1, "lm/W"));
    (void)mtmi_label_draw(c, placer, at, MTMI_DOT_REACH, &type, words);
}

static mtm_result draw_plot(mtmi_canvas *c, mtmi_box box, const mtm_choices_view *view,
                            mtm_error *error)
{
    enum upward upward = upward_of(view);
    const mtmi_axis x = axis_output(view), y = axis_upward(view, upward);
    const mtmi_plot plot = mtmi_plot_layout(c, box, &x, &y, false);
    mtmi_placer *placer = mtmi_placer_create(plot.box);
    mtmi_point at[MTM_CHOICES_MAX];

    if (placer == NULL)
        return mtmi_fail_memory(error);
    mtmi_plot_axes(c, &plot, &x, &y);
    for (size_t i = 0; i < view->count; i++) {
        at[i] = mtmi_plot_at(&plot, view->way[i].match.flux_lm, height_of(&view->way[i], upward));
        mtmi_placer_block(placer, (mtmi_box){at[i].x - MTMI_DOT_REACH, at[i].y - MTMI_DOT_REACH,
                                             2 * MTMI_DOT_REACH, 2 * MTMI_DOT_REACH});
    }
    for (size_t i = view->count; i-- > 0;)
        mtmi_way_mark(c, view, i, at[i]);
    for (size_t i = 0; i < view->count; i++) {
        if (view->way[i].name != NULL)
            write_way(c, placer, view, i, at[i]);
    }
    for (size_t i = 0; i < view->count; i++) {
        if (view->way[i].name == NULL)
            write_way(c, placer, view, i, at[i]);
    }
    mtmi_placer_free(placer);
    return MTM_OK;
}

static mtm_result draw(mtmi_canvas *c, mtmi_box box, const void *subject,
                       const mtm_picture_options *options, mtm_error *error)
{
    const mtm_choices_view *view = subject;
    mtmi_parts parts = mtmi_parts_of(box);
    mtmi_box below = parts.small;

    (void)options;
    double list = mtmi_ways_list(c, parts.small, view) + APART;
    below.y += list;
    below.height = fmax(1, below.height - list);
    mtmi_ways_bars(c, below, view);
    return draw_plot(c, parts.large, view, error);
}

static mtm_result check(const mtm_choices_view *view, mtm_error *error)
{
    if (view == NULL || view->unit == NULL || view->unit->fixture == NULL || view->target == NULL ||
        view->way == NULL || view->count == 0 || view->count > MTM_CHOICES_MAX)
        return mtmi_fail(error, MTM_INVALID,
                         "a picture of choices needs their unit, their target and 1 to %d ways",
                         MTM_CHOICES_MAX);
    for (size_t i = 0; i < view->count; i++) {
        if (!(view->way[i].match.flux_lm >= 0 && isfinite(view->way[i].match.flux_lm)))
            return mtmi_fail(error, MTM_INVALID, "way %zu gives %g lm; 0 and more is allowed",
                             i + 1, view->way[i].match.flux_lm);
    }
    return MTM_OK;
}

static void say(const mtm_choices_view *view, mtmi_text *text)
{
    if (view->count == 1)
        mtmi_text_add(text, "There is no choice: one mixture is the best in all.");
    else
        mtmi_text_add(text, "None of these has at once as much light%s as another.",
                      upward_of(view) == RF ? ", as few watts and as good an Rf"
                                            : " and as few watts");
}

static void say_sources(const mtm_choices_view *view, mtmi_text *text)
{
    mtmi_text_add(text, "Square: more lumens a watt than way 1. The axes do not begin at 0. What "
                        "the unit gives is predicted for its codes.");
    if (upward_of(view) == RF)
        mtmi_text_add(text, " Rf: CIE 224:2017, ANSI/IES TM-30-20; Ra: CIE 13.3-1995.");
    if (view->ideal_lines)
        mtmi_text_add(text, " Some spectra are ideal lines, drawn from peak and width; Rf and Ra "
                            "are as good as these.");
}

mtm_result mtm_picture_of_choices(const mtm_choices_view *view, const mtm_picture_options *options,
                                  mtm_picture **out, mtm_error *error)
{
    static const mtmi_picture_kind kind = {draw, 0.62, 1.7};
    mtmi_text title = {0}, subtitle = {0}, sources = {0};
    mtm_result result = mtmi_picture_check(options, error);

    if (result == MTM_OK)
        result = check(view, error);
    if (result == MTM_OK && out == NULL)
        result = mtmi_fail(error, MTM_INVALID, "no place for the picture was given");
    if (result != MTM_OK)
        return result;
    mtmi_text_add(&title, "%s: ways to make %s", view->unit->name, view->target->description);
    say(view, &subtitle);
    say_sources(view, &sources);
    return mtmi_picture_make_said(&kind, view, (mtmi_text *[]){&title, &subtitle, &sources},
                                  options, out, error);
}
