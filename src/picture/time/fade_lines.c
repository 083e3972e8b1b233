/* SPDX-License-Identifier: MIT */
/* Fade lines: the values of a course, as lines over time and as ways through the diagram. */
#include "picture/time/fade_lines.h"

#include "base/error.h"
#include "fixture/slot.h"

/* Room for a value a moment; NULL without memory, which the pool remembers. */
static double *take_values(struct mtmi_fade_lines *lines)
{
    return mtmi_pool_take(&lines->pool, lines->moments, sizeof(double));
}

static void make_name(const mtm_fade_view *view, size_t i, const char *number, mtmi_text *name)
{
    const mtm_unit *unit =
        mtm_rig_unit(mtm_show_rig(view->show), mtm_fade_course_unit(view->course, i));

    mtmi_panel_name(number, unit->name, mtm_fade_course_alike(view->course, i) - 1, name);
}

static void fill_unit(struct mtmi_fade_lines *lines, const mtm_fade_moment *moment,
                      double *values[4], mtm_xy *sent, mtm_xy *wanted)
{
    for (size_t k = 0; k < lines->moments; k++) {
        bool seen = moment[k].lightness >= MTMI_PANEL_SEEN;

        sent[k] = mtmi_panel_colour(moment[k].sent, seen);
        wanted[k] = mtmi_panel_colour(moment[k].wanted, seen);
        mtm_white white = mtmi_panel_white(sent[k], lines->has_whites);
        values[0][k] = moment[k].sent.y;
        values[1][k] = white.cct_k;
        values[2][k] = white.duv;
        values[3][k] = moment[k].step;
    }
}

static void take_unit(struct mtmi_fade_lines *lines, const mtm_fade_view *view, size_t i)
{
    double *values[4];
    mtm_xy *sent = mtmi_pool_take(&lines->pool, lines->moments, sizeof *sent);
    mtm_xy *wanted = mtmi_pool_take(&lines->pool, lines->moments, sizeof *wanted);
    const char *number = lines->units > 1 ? mtmi_panel_number(i) : NULL;

    for (int n = 0; n < 4; n++)
        values[n] = take_values(lines);
    make_name(view, i, number, &lines->name[i]);
    if (lines->pool.failed || lines->name[i].failed)
        return;
    const char *name = lines->name[i].data;
    fill_unit(lines, mtm_fade_course_of(view->course, i), values, sent, wanted);
    lines->output[i] = (mtmi_panel_line){name, (unsigned)i, values[0], false};
    lines->cct[i] = (mtmi_panel_line){number, (unsigned)i, values[1], false};
    lines->duv[i] = (mtmi_panel_line){number, (unsigned)i, values[2], false};
    lines->step[i] = (mtmi_panel_line){number, (unsigned)i, values[3], false};
    lines->way[i] =
        (mtmi_way){number != NULL ? number : name, (unsigned)i, sent, wanted, lines->moments};
}

static void take_levels(struct mtmi_fade_lines *lines, const mtm_unit *unit,
                        const mtm_fade_moment *moment)
{
    lines->levels = mtm_fixture_emitter_count(unit->fixture);
    for (size_t e = 0; e < lines->levels; e++) {
        double *value = take_values(lines);
        for (size_t k = 0; k < lines->moments && value != NULL; k++)
            value[k] = moment[k].level[e];
        lines->level[e] = (mtmi_panel_line){mtm_fixture_emitter(unit->fixture, e)->name,
                                            (unsigned)e, value, false};
    }
}

/* The full code of all channels, or 0 where they have not the same. */
static uint32_t common_full(const mtm_unit *unit, size_t channels)
{
    int bits = mtmi_channel_bits(unit->mode, 0);

    for (size_t e = 1; e < channels; e++)
        bits = mtmi_channel_bits(unit->mode, e) == bits ? bits : 0;
    if (unit->mode->dimmer_bits > 0 && unit->mode->dimmer_bits != bits)
        bits = 0;
    return bits > 0 ? mtmi_bits_most(bits) : 0;
}

static void take_codes(struct mtmi_fade_lines *lines, const mtm_unit *unit,
                       const mtm_fade_moment *moment, uint32_t full)
{
    size_t channels = mtmi_channel_count(unit->fixture, unit->mode);

    lines->codes = channels + (unit->mode->dimmer_bits > 0);
    for (size_t e = 0; e < lines->codes; e++) {
        size_t channel = e < channels ? e : MTMI_DIMMER_CHANNEL;
        double part = full > 0 ? 1 : 100.0 / mtmi_bits_most(mtmi_channel_bits(unit->mode, channel));
        double *value = take_values(lines);
        for (size_t k = 0; k < lines->moments && value != NULL; k++)
            value[k] = part * (e < channels ? moment[k].codes.emitter[e] : moment[k].codes.dimmer);
        lines->code[e] = (mtmi_panel_line){mtmi_channel_name(unit->fixture, unit->mode, channel),
                                           (unsigned)e, value, false};
    }
}

static void take_headings(struct mtmi_fade_lines *lines, const mtm_unit *unit, uint32_t full)
{
    mtmi_text_add(&lines->levels_heading, "Levels of ");
    mtmi_text_add_cut(&lines->levels_heading, unit->name, MTMI_PANEL_NAME);
    mtmi_text_add(&lines->levels_heading, ", share of full, unrounded");
    mtmi_text_add(&lines->codes_heading, "Codes of ");
    mtmi_text_add_cut(&lines->codes_heading, unit->name, MTMI_PANEL_NAME);
    if (full > 0)
        mtmi_text_add(&lines->codes_heading, ", 0 to %u", full);
    else
        mtmi_text_add(&lines->codes_heading, ", %% of full");
}

static bool failed(const struct mtmi_fade_lines *lines)
{
    bool names = lines->levels_heading.failed || lines->codes_heading.failed;

    for (size_t i = 0; i < lines->units; i++)
        names = names || lines->name[i].failed;
    return names || lines->pool.failed;
}

mtm_result mtmi_fade_lines_create(const mtm_fade_view *view, struct mtmi_fade_lines *lines,
                                  mtm_error *error)
{
    *lines = (struct mtmi_fade_lines){
        .units = mtm_fade_course_units(view->course),
        .moments = mtm_fade_course_moments(view->course),
        .has_whites = mtm_show_observer(view->show) == MTM_OBSERVER_2,
    };
    if (lines->units == 0)
        return MTM_OK;
    const mtm_unit *first =
        mtm_rig_unit(mtm_show_rig(view->show), mtm_fade_course_unit(view->course, 0));
    const mtm_fade_moment *moment = mtm_fade_course_of(view->course, 0);
    uint32_t full = common_full(first, mtmi_channel_count(first->fixture, first->mode));
    lines->time_s = take_values(lines);
    for (size_t k = 0; k < lines->moments && lines->time_s != NULL; k++)
        lines->time_s[k] = moment[k].time_s;
    for (size_t i = 0; i < lines->units; i++)
        take_unit(lines, view, i);
    take_levels(lines, first, moment);
    take_codes(lines, first, moment, full);
    take_headings(lines, first, full);
    return failed(lines) ? mtmi_fail_memory(error) : MTM_OK;
}

void mtmi_fade_lines_free(struct mtmi_fade_lines *lines)
{
    for (size_t i = 0; i < MTM_FADE_PICTURE_UNITS; i++)
        mtmi_text_free(&lines->name[i]);
    mtmi_text_free(&lines->levels_heading);
    mtmi_text_free(&lines->codes_heading);
    mtmi_pool_free(&lines->pool);
}
