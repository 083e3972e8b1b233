/* SPDX-License-Identifier: MIT */
/* The picture of a fade: what units go through over time, and their ways through the diagram. */
#include <metamer/fade_picture.h>

#include "base/error.h"
#include "base/number.h"
#include "picture/make.h"
#include "picture/time/fade_lines.h"
#include "picture/time/fade_way.h"
#include "picture/time/panels.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { OUTPUT, CCT, DUV, STEP, LEVELS, CODES, PANELS };

size_t mtm_picture_moments(const mtm_picture_options *options)
{
    double width = options != NULL && options->width > 0 ? options->width : 1000;

    return (size_t)fmin(MTM_FADE_COURSE_MOMENTS_MAX, fmax(240, ceil(width / 2)));
}

static void make_panels(const mtm_fade_view *view, const struct mtmi_fade_lines *lines,
                        char limit_name[64], mtmi_panel panel[PANELS])
{
    const char *no_white = lines->has_whites
                               ? "no colour that is seen here is near enough to white to have one"
                               : "not defined for the 10° observer";
    size_t count = lines->moments;

    (void)snprintf(limit_name, 64, "visible above %g", view->visible);
    panel[OUTPUT] = (mtmi_panel){.heading = "Output, lm"};
    panel[CCT] = (mtmi_panel){.heading = "Correlated colour temperature, K", .empty = no_white};
    panel[DUV] = (mtmi_panel){.heading = "Duv", .empty = no_white};
    panel[STEP] = (mtmi_panel){.heading = "Step from frame to frame, CIEDE2000",
                               .join = MTMI_JOIN_REACH,
                               .limit_name = limit_name,
                               .limit = view->visible};
    panel[LEVELS] = (mtmi_panel){.heading = lines->levels_heading.data};
    panel[CODES] = (mtmi_panel){.heading = lines->codes_heading.data, .join = MTMI_JOIN_HOLD};
    for (int i = OUTPUT; i <= STEP; i++)
        panel[i].lines = lines->units;
    panel[OUTPUT].line = lines->output;
    panel[CCT].line = lines->cct;
    panel[DUV].line = lines->duv;
    panel[STEP].line = lines->step;
    panel[LEVELS].line = lines->level;
    panel[LEVELS].lines = lines->levels;
    panel[CODES].line = lines->code;
    panel[CODES].lines = lines->codes;
    mtmi_panel_from_zero(&panel[OUTPUT], count, 1e-3);
    mtmi_panel_about(&panel[CCT], count, MTMI_PANEL_CCT_K, 4000);
    mtmi_panel_about(&panel[DUV], count, MTMI_PANEL_DUV, 0);
    mtmi_panel_from_zero(&panel[STEP], count, 1.4 * view->visible);
    mtmi_panel_from_zero(&panel[LEVELS], count, 0.01);
    mtmi_panel_from_zero(&panel[CODES], count, 1);
}

static mtm_result draw(mtmi_canvas *c, mtmi_box box, const void *subject,
                       const mtm_picture_options *options, mtm_error *error)
{
    const mtm_fade_view *view = subject;
    struct mtmi_fade_lines lines;
    mtmi_panel panel[PANELS];
    char limit_name[64];
    mtm_result result = mtmi_fade_lines_create(view, &lines, error);
    mtmi_parts parts = mtmi_over_time(box, lines.units > 0);

    if (result == MTM_OK && lines.units > 0) {
        const mtmi_panel_times times = {.time_s = lines.time_s, .count = lines.moments};
        make_panels(view, &lines, limit_name, panel);
        result = mtmi_panels_draw(c, parts.large, &times, panel, PANELS, error);
    }
    if (result == MTM_OK)
        result = mtmi_ways_draw(c, parts.small, options->diagram, mtm_show_observer(view->show),
                                lines.way, lines.units, error);
    mtmi_fade_lines_free(&lines);
    return result;
}

/* Why a step is so large. */
static const char *cause_of(const mtm_fade_finding *finding)
{
    static const char *const causes[] = {
        [MTM_FADE_STILL] = "",
        [MTM_FADE_PACE] = ", since the fade goes so fast there",
        [MTM_FADE_CODES] = ", since its codes are so far apart",
        [MTM_FADE_GAMUT] = ", at the edge of what its emitters can do",
    };
    return (unsigned)finding->cause <= MTM_FADE_GAMUT ? causes[finding->cause] : "";
}

/* How many units are drawn, and what of the others. */
static void say_drawn(const mtm_fade_view *view, size_t moving, mtmi_text *text)
{
    size_t stand_for = 0, drawn = mtm_fade_course_units(view->course);

    for (size_t i = 0; i < drawn; i++)
        stand_for += mtm_fade_course_alike(view->course, i);
    if (stand_for < moving)
        mtmi_text_add(text,
                      " Drawn are %zu, which stand for %zu: the largest steps, first of each kind.",
                      drawn, stand_for);
}

static void say(const mtm_fade_view *view, mtmi_text *text)
{
    const mtm_rig *rig = mtm_show_rig(view->show);
    size_t moving = 0, visible = 0, worst = SIZE_MAX;

    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        const mtm_fade_finding *finding = &view->finding[i];
        if (!finding->moves)
            continue;
        moving++;
        visible += finding->step > view->visible;
        if (worst == SIZE_MAX || mtmi_exceeds(finding->step, view->finding[worst].step))
            worst = i;
    }
    if (worst == SIZE_MAX) {
        mtmi_text_add(text, "Nothing moves.");
        return;
    }
    const mtm_fade_finding *finding = &view->finding[worst];
    if (visible == 0)
        mtmi_text_add(text, "None of %zu unit%s steps visibly: the largest step is ", moving,
                      moving == 1 ? "" : "s");
    else
        mtmi_text_add(text, "%zu of %zu unit%s step%s visibly: the largest step is ", visible,
                      moving, moving == 1 ? "" : "s", visible == 1 ? "s" : "");
    mtmi_text_add(text, "%.2f, of ", finding->step);
    mtmi_text_add_cut(text, mtm_rig_unit(rig, worst)->name, MTMI_PANEL_NAME);
    mtmi_text_add(text, " at %.2f s%s; visible is what is above %g.", finding->step_s,
                  visible > 0 ? cause_of(finding) : "", view->visible);
    say_drawn(view, moving, text);
}

static mtm_result check(const mtm_fade_view *view, mtm_error *error)
{
    if (view == NULL || view->show == NULL || view->finding == NULL || view->course == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a show, what was found of its units, and their course are needed");
    if (mtm_show_cue(view->show, view->cue) == NULL)
        return mtmi_fail(error, MTM_INVALID, "there is no cue of index %zu", view->cue);
    if (!(view->visible > 0 && isfinite(view->visible)))
        return mtmi_fail(error, MTM_INVALID, "a step that counts is above 0, not %g",
                         view->visible);
    if (mtm_fade_course_units(view->course) > MTM_FADE_PICTURE_UNITS)
        return mtmi_fail(error, MTM_INVALID, "a picture of a fade is of %d units at most, not %zu",
                         MTM_FADE_PICTURE_UNITS, mtm_fade_course_units(view->course));
    for (size_t i = 0; i < mtm_fade_course_units(view->course); i++) {
        if (mtm_fade_course_unit(view->course, i) >= mtm_rig_unit_count(mtm_show_rig(view->show)))
            return mtmi_fail(error, MTM_INVALID, "the course is of another show");
    }
    return MTM_OK;
}

mtm_result mtm_picture_of_fade(const mtm_fade_view *view, const mtm_picture_options *options,
                               mtm_picture **out, mtm_error *error)
{
    static const mtmi_picture_kind kind = {draw, 0.86, 1.7};
    mtmi_text title = {0}, subtitle = {0}, sources = {0};
    mtm_result result = mtmi_picture_check(options, error);

    if (out == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the picture was given");
    if (result == MTM_OK)
        result = check(view, error);
    if (result != MTM_OK)
        return result;
    const mtm_cue *cue = mtm_show_cue(view->show, view->cue);
    mtmi_text_add(&title, "%s: cue %g%s%s, up %g s, down %g s", mtm_show_name(view->show),
                  cue->number, cue->text[0] != '\0' ? ", " : "", cue->text, cue->up_s, cue->down_s);
    say(view, &subtitle);
    mtmi_text_add(&sources,
                  "Predicted for the codes of each frame, as an eye used to the unit's full light "
                  "sees it; thin ways are what is asked for. ");
    mtmi_plane_add_sources(&sources, options != NULL ? options->diagram : MTM_DIAGRAM_UV,
                           mtm_show_observer(view->show));
    return mtmi_picture_make_said(&kind, view, (mtmi_text *[]){&title, &subtitle, &sources},
                                  options, out, error);
}
