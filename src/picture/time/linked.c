/* SPDX-License-Identifier: MIT */
/* The picture of linked cues: the way of a fade, the straight fades, and what is between. */
#include <metamer/linked_picture.h>

#include "base/error.h"
#include "base/number.h"
#include "picture/make.h"
#include "picture/time/linked_lines.h"

#include <math.h>
#include <stdio.h>

enum { OUTPUT, CCT, DUV, ERROR, PANELS };

static void make_panels(const mtm_linked_view *view, const struct mtmi_linked_lines *lines,
                        char limit_name[64], mtmi_panel panel[PANELS])
{
    const char *no_white = lines->has_whites
                               ? "no colour that is seen here is near enough to white to have one"
                               : "not defined for the 10° observer";

    (void)snprintf(limit_name, 64, "tolerance %g", view->tolerance);
    panel[OUTPUT] = (mtmi_panel){.heading = "Output, lm", .line = lines->output};
    panel[CCT] = (mtmi_panel){
        .heading = "Correlated colour temperature, K", .line = lines->cct, .empty = no_white};
    panel[DUV] = (mtmi_panel){.heading = "Duv", .line = lines->duv, .empty = no_white};
    panel[ERROR] = (mtmi_panel){.heading = "Error between them, CIEDE2000",
                                .line = lines->error,
                                .lines = lines->units,
                                .limit_name = limit_name,
                                .limit = view->tolerance};
    for (int i = OUTPUT; i <= DUV; i++)
        panel[i].lines = 2 * lines->units;
    mtmi_panel_from_zero(&panel[OUTPUT], lines->moments, 1e-3);
    mtmi_panel_about(&panel[CCT], lines->moments, MTMI_PANEL_CCT_K, 4000);
    mtmi_panel_about(&panel[DUV], lines->moments, MTMI_PANEL_DUV, 0);
    mtmi_panel_from_zero(&panel[ERROR], lines->moments, 1.2 * view->tolerance);
}

static mtm_result draw(mtmi_canvas *c, mtmi_box box, const void *subject,
                       const mtm_picture_options *options, mtm_error *error)
{
    const mtm_linked_view *view = subject;
    struct mtmi_linked_lines lines;
    mtmi_panel panel[PANELS];
    char limit_name[64];
    mtm_result result = mtmi_linked_lines_create(view, &lines, error);
    mtmi_parts parts = mtmi_over_time(box, lines.units > 0);

    if (result == MTM_OK && lines.units > 0) {
        const mtmi_panel_times times = {lines.time_s, lines.moments, lines.end_s, lines.ends};
        make_panels(view, &lines, limit_name, panel);
        result = mtmi_panels_draw(c, parts.large, &times, panel, PANELS, error);
    }
    if (result == MTM_OK)
        result = mtmi_ways_draw(c, parts.small, options->diagram, mtm_show_observer(view->show),
                                lines.way, lines.units, error);
    mtmi_linked_lines_free(&lines);
    return result;
}

/* Where the largest error is. */
struct worst {
    size_t index;
    const mtm_linked_moment *moment;
};

static struct worst find_worst(const mtm_linked_course *course)
{
    struct worst worst = {0, NULL};

    for (size_t i = 0; i < mtm_linked_course_units(course); i++) {
        const mtm_linked_moment *moment = mtm_linked_course_of(course, i);
        for (size_t k = 0; k < mtm_linked_course_moments(course); k++) {
            if (worst.moment == NULL || mtmi_exceeds(moment[k].error, worst.moment->error))
                worst = (struct worst){i, &moment[k]};
        }
    }
    return worst;
}

static void say(const mtm_linked_view *view, mtmi_text *text)
{
    const mtm_rig *rig = mtm_show_rig(view->show);
    size_t cues = mtm_linked_course_cues(view->course);
    struct worst worst = find_worst(view->course);
    double delay_s = mtm_show_cue(view->show, view->cue)->delay_s;

    if (worst.moment == NULL) {
        mtmi_text_add(text, "Nothing moves.");
        return;
    }
    const mtm_unit *unit = mtm_rig_unit(rig, mtm_linked_course_unit(view->course, worst.index));
    mtmi_text_add(text,
                  "With %zu cue%s a console's straight fades keep to the way of this one: ", cues,
                  cues == 1 ? "" : "s");
    mtmi_text_add(text, "off by %.2f (CIEDE2000) at most, ", worst.moment->error);
    mtmi_text_add_cut(text, unit->name, MTMI_PANEL_NAME);
    mtmi_text_add(text, " at %.2f s; the tolerance is %g. Thin: the way.",
                  delay_s + worst.moment->time_s, view->tolerance);
}

static mtm_result check(const mtm_linked_view *view, mtm_error *error)
{
    if (view == NULL || view->show == NULL || view->course == NULL)
        return mtmi_fail(error, MTM_INVALID, "a show and the course of its linked cues are needed");
    if (mtm_show_cue(view->show, view->cue) == NULL)
        return mtmi_fail(error, MTM_INVALID, "there is no cue of index %zu", view->cue);
    if (!(view->tolerance > 0 && isfinite(view->tolerance)))
        return mtmi_fail(error, MTM_INVALID, "a tolerance is above 0, not %g", view->tolerance);
    if (mtm_linked_course_units(view->course) > MTM_LINKED_PICTURE_UNITS)
        return mtmi_fail(error, MTM_INVALID,
                         "a picture of linked cues is of %d units at most, not %zu",
                         MTM_LINKED_PICTURE_UNITS, mtm_linked_course_units(view->course));
    for (size_t i = 0; i < mtm_linked_course_units(view->course); i++) {
        if (mtm_linked_course_unit(view->course, i) >= mtm_rig_unit_count(mtm_show_rig(view->show)))
            return mtmi_fail(error, MTM_INVALID, "the course is of another show");
    }
    return MTM_OK;
}

mtm_result mtm_picture_of_linked(const mtm_linked_view *view, const mtm_picture_options *options,
                                 mtm_picture **out, mtm_error *error)
{
    static const mtmi_picture_kind kind = {draw, 0.8, 1.6};
    mtmi_text title = {0}, subtitle = {0}, sources = {0};
    mtm_result result = mtmi_picture_check(options, error);

    if (out == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the picture was given");
    if (result == MTM_OK)
        result = check(view, error);
    if (result != MTM_OK)
        return result;
    const mtm_cue *cue = mtm_show_cue(view->show, view->cue);
    mtmi_text_add(&title, "%s: cue %g%s%s, linked", mtm_show_name(view->show), cue->number,
                  cue->text[0] != '\0' ? ", " : "", cue->text);
    say(view, &subtitle);
    mtmi_text_add(&sources,
                  "Predicted, as an eye used to the unit's full light sees it, for a console that "
                  "fades straight in slots, a 16-bit pair as one. ");
    mtmi_plane_add_sources(&sources, options != NULL ? options->diagram : MTM_DIAGRAM_UV,
                           mtm_show_observer(view->show));
    return mtmi_picture_make_said(&kind, view, (mtmi_text *[]){&title, &subtitle, &sources},
                                  options, out, error);
}
