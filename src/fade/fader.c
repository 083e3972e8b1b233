/* SPDX-License-Identifier: MIT */
/* Fader: moving units along.
 *
 * Light along a fade is a smooth curve of levels, and solving it anew for each unit and frame would
 * be too slow for large rigs (the fade benchmark prints that rate as "exact"). So a unit's
 * transition (transition.c) is asked exactly at a few points, a cubic of time is laid through them
 * for each channel (plan.c), and lanes.c adds three differences a frame. A unit whose transition
 * bends too much for a piece gets a shorter one.
 *
 * What must stay: a fade ends on the very codes that the cue's match gives, whatever the pieces
 * were off by. */
#include "fade/fader.h"

#include "base/error.h"

#include <metamer/frames.h>
#include <metamer/rig.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Marks the units that are played. Those that share slots are played together. */
static void mark_meant(mtm_fader *fader, const bool *meant)
{
    for (size_t i = 0; i < fader->unit_count; i++) {
        int leader = mtm_rig_unit(fader->rig, i)->follows;

        if (meant != NULL && !meant[i])
            continue;
        fader->meant[i] = true;
        if (leader >= 0)
            fader->meant[leader] = true;
    }
    for (size_t i = 0; i < fader->unit_count; i++) {
        int leader = mtm_rig_unit(fader->rig, i)->follows;

        if (leader >= 0)
            fader->meant[i] = fader->meant[leader];
    }
}

static mtm_result begin(mtm_fader *fader, const mtm_fader_options *options, mtm_error *error)
{
    mtmi_pool *pool = &fader->pool;

    fader->advance = mtmi_advance_best();
    fader->dither = options->dither;
    fader->dimming = options->has_dimming ? mtm_dimming_at(options->dimming) : NULL;
    fader->layout.rate_hz =
        options->refresh_hz > 0 ? options->refresh_hz : mtm_show_refresh_hz(fader->show);
    fader->runners = mtmi_pool_take(pool, fader->unit_count, sizeof *fader->runners);
    fader->looks = mtmi_pool_take(pool, fader->unit_count, sizeof *fader->looks);
    fader->lit = mtmi_pool_take(pool, fader->unit_count, sizeof *fader->lit);
    fader->moved = mtmi_pool_take(pool, fader->unit_count, sizeof *fader->moved);
    fader->looks_kept = mtmi_pool_take(pool, fader->unit_count, sizeof *fader->looks_kept);
    fader->lit_kept = mtmi_pool_take(pool, fader->unit_count, sizeof *fader->lit_kept);
    fader->moved_kept = mtmi_pool_take(pool, fader->unit_count, sizeof *fader->moved_kept);
    fader->meant = mtmi_pool_take(pool, fader->unit_count, sizeof *fader->meant);
    if (pool->failed)
        return mtmi_fail_memory(error);
    mark_meant(fader, options->meant);
    mtm_result result = mtmi_fader_lay_out(fader, options->any_rate, error);
    if (result == MTM_OK)
        result =
            mtm_matcher_create(fader->rig, mtm_show_observer(fader->show), &fader->matcher, error);
    return result;
}

mtm_result mtm_fader_create(const mtm_show *show, const mtm_fader_options *options, mtm_fader **out,
                            mtm_error *error)
{
    const mtm_fader_options none = {0};

    if (show == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a show and a place for the fader are needed");
    if (options != NULL && options->refresh_hz != 0 &&
        !(options->refresh_hz >= MTM_FRAME_RATE_MIN && options->refresh_hz <= MTM_FRAME_RATE_MAX))
        return mtmi_fail(error, MTM_INVALID, "%.10g frames a second; allowed are %.10g to %.10g",
                         options->refresh_hz, MTM_FRAME_RATE_MIN, MTM_FRAME_RATE_MAX);
    if (options != NULL && options->has_dimming && mtm_dimming_at(options->dimming) == NULL)
        return mtmi_fail(error, MTM_INVALID, "dimming %d; allowed are those of mtm_dimming_at",
                         (int)options->dimming);
    mtm_fader *fader = calloc(1, sizeof *fader);
    if (fader == NULL)
        return mtmi_fail_memory(error);
    fader->show = show;
    fader->rig = mtm_show_rig(show);
    fader->unit_count = mtm_rig_unit_count(fader->rig);
    mtm_result result = begin(fader, options != NULL ? options : &none, error);
    if (result != MTM_OK) {
        mtm_fader_free(fader);
        return result;
    }
    *out = fader;
    return MTM_OK;
}

void mtm_fader_free(mtm_fader *fader)
{
    if (fader == NULL)
        return;
    mtm_matcher_free(fader->matcher);
    mtmi_lanes_free(&fader->lanes);
    for (size_t i = 0; i < fader->kind_count; i++)
        mtmi_kind_free(&fader->kinds[i]);
    mtmi_level_cache_free(&fader->levels);
    mtmi_code_tables_free(&fader->tables);
    mtmi_pool_free(&fader->pool);
    free(fader);
}

mtm_frame_layout mtm_fader_layout(const mtm_fader *fader)
{
    return fader != NULL ? fader->layout : (mtm_frame_layout){0};
}

const uint8_t *mtm_fader_slots(const mtm_fader *fader, size_t universe)
{
    if (fader == NULL || universe >= fader->layout.universe_count)
        return NULL;
    return fader->lanes.slots + fader->universe_start[universe];
}

uint64_t mtm_fader_frames_left(const mtm_fader *fader)
{
    return fader != NULL ? fader->frames_left : 0;
}

uint64_t mtmi_frames_in(const mtm_fader *fader, double seconds)
{
    double frames = round(seconds * fader->layout.rate_hz);

    return frames > 0 ? (uint64_t)frames : 0;
}

void mtmi_runner_at(const mtmi_runner *runner, mtmi_transition_point *point)
{
    const mtmi_transition *transition = &runner->transition;

    if (!runner->moving) {
        *point =
            (mtmi_transition_point){.dimmer = transition->to.dimmer, .wanted = transition->to.xyz};
        memcpy(point->level, transition->to.level, sizeof point->level);
        return;
    }
    uint64_t frame = runner->frame > transition->delay ? runner->frame - transition->delay : 0;
    mtmi_transition_at(transition, (double)frame, point);
}

void mtmi_fader_settle(mtm_fader *fader, mtmi_runner *runner)
{
    runner->moving = false;
    mtmi_runner_send_mixed(fader, runner, &runner->transition.to.codes);
    for (size_t i = 0; i < runner->kind->channel_count; i++) {
        uint32_t code = mtmi_codes_channel(runner->kind, &runner->transition.to.codes, i);
        mtmi_lane_rest(&fader->lanes, runner->lane[i], runner->kind->straight[i], code);
        runner->transition.to.code[i] = code;
    }
}

void mtmi_fader_finish(mtm_fader *fader)
{
    for (size_t i = 0; i < fader->unit_count; i++) {
        if (fader->runners[i].moving)
            mtmi_fader_settle(fader, &fader->runners[i]);
    }
    mtmi_fader_shut(fader);
    fader->frames_left = 0;
}

static void plan(mtmi_runner *runner, mtmi_lanes *lanes)
{
    if (runner->leader != NULL)
        mtmi_runner_copy_plan(runner, lanes);
    else
        mtmi_runner_plan(runner, lanes);
}

/* What the lanes do not send by themselves. */
static void choose_codes(mtm_fader *fader, mtmi_runner *runner)
{
    if (runner->leader != NULL)
        mtmi_runner_copy_codes(fader, runner);
    else if (runner->kind->mixed != NULL)
        mtmi_runner_mix(fader, runner);
    else
        mtmi_runner_round(runner, &fader->lanes);
    mtmi_runner_hold(fader, runner);
}

mtm_result mtm_fader_step(mtm_fader *fader, mtm_error *error)
{
    if (fader == NULL)
        return mtmi_fail(error, MTM_INVALID, "a fader is needed");
    fader->frame++;
    if (fader->frames_left == 0)
        return MTM_OK;
    fader->frames_left--;
    for (size_t i = 0; i < fader->unit_count; i++) {
        mtmi_runner *runner = &fader->runners[i];

        if (runner->moving && runner->frame == runner->planned)
            plan(runner, &fader->lanes);
        runner->frame++;
    }
    fader->advance(&fader->lanes, 0, fader->lanes.wide);
    mtmi_advance_narrow(&fader->lanes, fader->frame);
    mtmi_advance_careful(&fader->lanes);
    for (size_t i = 0; i < fader->unit_count; i++) {
        mtmi_runner *runner = &fader->runners[i];

        if (runner->moving && runner->frame > runner->transition.delay)
            choose_codes(fader, runner);
        if (runner->moving && runner->frame == runner->transition.delay + runner->transition.frames)
            mtmi_fader_settle(fader, runner);
    }
    mtmi_fader_shut(fader);
    return MTM_OK;
}

void mtm_fader_unit(mtm_fader *fader, size_t unit, mtm_fader_state *state)
{
    if (fader == NULL || state == NULL || unit >= fader->unit_count)
        return;
    const mtmi_runner *runner = &fader->runners[unit];
    mtmi_transition_point point;

    mtmi_runner_at(runner, &point);
    *state = (mtm_fader_state){
        .wanted = point.wanted,
        .moving = runner->moving && runner->frame > runner->transition.delay,
        .held_by_gamut = point.held,
    };
    memcpy(state->level, point.level, sizeof state->level);
    mtmi_runner_codes(fader, runner, &state->codes);
}
