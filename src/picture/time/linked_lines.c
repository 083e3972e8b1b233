/* SPDX-License-Identifier: MIT */
/* Linked lines: the values of a course of linked cues, as lines over time and as ways. */
#include "picture/time/linked_lines.h"

#include "base/error.h"

/* What one light is over time. */
struct values {
    double *output, *cct, *duv;
    mtm_xy *xy;
};

static double *take(struct mtmi_linked_lines *lines)
{
    return mtmi_pool_take(&lines->pool, lines->moments, sizeof(double));
}

static struct values take_values(struct mtmi_linked_lines *lines)
{
    return (struct values){take(lines), take(lines), take(lines),
                           mtmi_pool_take(&lines->pool, lines->moments, sizeof(mtm_xy))};
}

static void fill(const struct values *values, size_t k, mtm_xyz light, bool seen, bool has_whites)
{
    mtm_white white = {0};

    values->output[k] = light.y;
    values->xy[k] = mtmi_panel_colour(light, seen);
    white = mtmi_panel_white(values->xy[k], has_whites);
    values->cct[k] = white.cct_k;
    values->duv[k] = white.duv;
}

static void take_unit(struct mtmi_linked_lines *lines, const mtm_linked_view *view, size_t i)
{
    const mtm_linked_moment *moment = mtm_linked_course_of(view->course, i);
    const mtm_unit *unit =
        mtm_rig_unit(mtm_show_rig(view->show), mtm_linked_course_unit(view->course, i));
    const struct values straight = take_values(lines), way = take_values(lines);
    double *error = take(lines);
    const char *number = lines->units > 1 ? mtmi_panel_number(i) : NULL;
    unsigned index = (unsigned)i;
    size_t other = lines->units + i;

    mtmi_panel_name(number, unit->name, mtm_linked_course_alike(view->course, i) - 1,
                    &lines->name[i]);
    if (lines->pool.failed || lines->name[i].failed)
        return;
    for (size_t k = 0; k < lines->moments; k++) {
        bool seen = moment[k].lightness >= MTMI_PANEL_SEEN;
        fill(&straight, k, moment[k].straight, seen, lines->has_whites);
        fill(&way, k, moment[k].way, seen, lines->has_whites);
        error[k] = moment[k].error;
    }
    const char *name = lines->name[i].data;
    lines->output[i] = (mtmi_panel_line){name, index, straight.output, false};
    lines->cct[i] = (mtmi_panel_line){number, index, straight.cct, false};
    lines->duv[i] = (mtmi_panel_line){number, index, straight.duv, false};
    lines->error[i] = (mtmi_panel_line){number, index, error, false};
    lines->output[other] = (mtmi_panel_line){NULL, index, way.output, true};
    lines->cct[other] = (mtmi_panel_line){NULL, index, way.cct, true};
    lines->duv[other] = (mtmi_panel_line){NULL, index, way.duv, true};
    lines->way[i] =
        (mtmi_way){number != NULL ? number : name, index, straight.xy, way.xy, lines->moments};
}

static void take_times(struct mtmi_linked_lines *lines, const mtm_linked_view *view)
{
    const mtm_linked_moment *moment = mtm_linked_course_of(view->course, 0);
    double delay_s = mtm_show_cue(view->show, view->cue)->delay_s;

    lines->time_s = take(lines);
    for (size_t k = 0; k < lines->moments && lines->time_s != NULL; k++)
        lines->time_s[k] = delay_s + moment[k].time_s;
    lines->ends = mtm_linked_course_cues(view->course) - 1;
    lines->end_s = mtmi_pool_take(&lines->pool, lines->ends, sizeof(double));
    for (size_t i = 0; i < lines->ends && lines->end_s != NULL; i++)
        lines->end_s[i] = delay_s + mtm_linked_course_end_s(view->course, i);
}

mtm_result mtmi_linked_lines_create(const mtm_linked_view *view, struct mtmi_linked_lines *lines,
                                    mtm_error *error)
{
    *lines = (struct mtmi_linked_lines){
        .units = mtm_linked_course_units(view->course),
        .moments = mtm_linked_course_moments(view->course),
        .has_whites = mtm_show_observer(view->show) == MTM_OBSERVER_2,
    };
    if (lines->units == 0)
        return MTM_OK;
    bool failed = false;
    take_times(lines, view);
    for (size_t i = 0; i < lines->units; i++) {
        take_unit(lines, view, i);
        failed = failed || lines->name[i].failed;
    }
    return failed || lines->pool.failed ? mtmi_fail_memory(error) : MTM_OK;
}

void mtmi_linked_lines_free(struct mtmi_linked_lines *lines)
{
    for (size_t i = 0; i < MTM_LINKED_PICTURE_UNITS; i++)
        mtmi_text_free(&lines->name[i]);
    mtmi_pool_free(&lines->pool);
}
