/* SPDX-License-Identifier: MIT */
/* Fader: starting cues and moving units along.
 *
 * Light along a fade is a smooth curve of levels, and solving it anew for each unit and frame would
 * be too slow for large rigs (the fade benchmark prints that rate as "exact"). So a unit's
 * transition (transition.c) is asked exactly at a few places, a cubic of time is laid through them
 * for each channel (plan.c), and lanes.c adds three differences a frame. A unit whose transition
 * bends too much for a piece gets a shorter one.
 *
 * Starting a cue matches each unit that it moves (units of one kind with the same look share the
 * last match); on the way the planning of pieces costs the most. The fade benchmark tells them
 * apart.
 *
 * What must stay: a cue that comes amid another starts from what is sent then, and a fade ends on
 * the very codes that the cue's match gives, whatever the pieces were off by. */
#include "fade/fader.h"

#include "base/error.h"

#include <metamer/frames.h>
#include <metamer/rig.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static mtm_result begin(mtm_fader *fader, const mtm_fader_options *options, mtm_error *error)
{
    mtmi_pool *pool = &fader->pool;

    fader->advance = mtmi_advance_best();
    fader->dither = options->dither;
    fader->layout.rate_hz =
        options->refresh_hz > 0 ? options->refresh_hz : mtm_show_refresh_hz(fader->show);
    fader->runners = mtmi_pool_take(pool, fader->unit_count, sizeof *fader->runners);
    fader->looks = mtmi_pool_take(pool, fader->unit_count, sizeof *fader->looks);
    fader->lit = mtmi_pool_take(pool, fader->unit_count, sizeof *fader->lit);
    fader->moved = mtmi_pool_take(pool, fader->unit_count, sizeof *fader->moved);
    if (pool->failed)
        return mtmi_fail_memory(error);
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
        return mtmi_fail(error, MTM_INVALID, "%g frames a second; allowed are %g to %g",
                         options->refresh_hz, MTM_FRAME_RATE_MIN, MTM_FRAME_RATE_MAX);
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

/* Applies a cue to the looks, and remembers with which each unit was lit last. */
static void apply(mtm_fader *fader, size_t cue)
{
    mtm_show_apply(fader->show, cue, fader->looks, fader->moved);
    for (size_t i = 0; i < fader->unit_count; i++) {
        const mtm_look *look = &fader->looks[i];

        if (look->target != NULL && (look->output.type == MTM_OUTPUT_MAX || look->output.value > 0))
            fader->lit[i] = *look;
    }
}

/* Makes the looks those after cues 0..count-1. */
static void apply_to(mtm_fader *fader, size_t count)
{
    if (fader->applied > count) { /* from the first on; else from where the looks are */
        memset(fader->looks, 0, fader->unit_count * sizeof *fader->looks);
        memset(fader->lit, 0, fader->unit_count * sizeof *fader->lit);
        fader->applied = 0;
    }
    for (; fader->applied < count; fader->applied++)
        apply(fader, fader->applied);
}

/* Names the cue and the unit in front of a sentence. */
static mtm_result fail_at(const mtm_fader *fader, size_t cue, size_t unit, mtm_result result,
                          mtm_error *error)
{
    char place[160];

    (void)snprintf(place, sizeof place, "cue %g, unit \"%.60s\"",
                   mtm_show_cue(fader->show, cue)->number, mtm_rig_unit(fader->rig, unit)->name);
    mtmi_error_prefix(error, place);
    return result;
}

/* What the unit sends for a look. */
static mtm_result match_unit(mtm_fader *fader, size_t unit, const mtm_look *look,
                             const mtm_match **match, mtm_error *error)
{
    mtmi_cached_match *kept = &fader->kept[fader->runners[unit].kind - fader->kinds];
    mtm_match_request request = {.goal = look->goal, .output = look->output};

    *match = &kept->match;
    if (kept->valid && kept->target == look->target && kept->goal == look->goal &&
        kept->output.type == look->output.type && kept->output.value == look->output.value)
        return MTM_OK;
    kept->valid = false;
    request.target = *look->target;
    mtm_result result = mtm_matcher_unit(fader->matcher, unit, &request, &kept->match, error);
    if (result != MTM_OK)
        return result;
    kept->valid = true;
    kept->target = look->target;
    kept->output = look->output;
    kept->goal = look->goal;
    return MTM_OK;
}

/* Where a look leads. A unit that never got a colour stays dark whatever its output; one that went
 * out has its emitters where they were when it was lit. */
static mtm_result find_end(mtm_fader *fader, size_t unit, mtmi_end *end, mtm_error *error)
{
    const mtmi_kind *kind = fader->runners[unit].kind;
    const mtm_match *match = NULL;

    fader->runners[unit].fallback = MTM_FALLBACK_NONE;
    if (fader->looks[unit].target == NULL) {
        *end = mtmi_end_dark(kind);
        return MTM_OK;
    }
    mtm_result result = match_unit(fader, unit, &fader->looks[unit], &match, error);
    if (result != MTM_OK)
        return result;
    *end = mtmi_end_from_match(kind, match);
    fader->runners[unit].fallback = match->fallback;
    if (end->xyz.y > 0 || !mtmi_kind_keeps_colour(kind) || fader->lit[unit].target == NULL)
        return MTM_OK;
    result = match_unit(fader, unit, &fader->lit[unit], &match, error);
    if (result == MTM_OK) {
        mtmi_end lit = mtmi_end_from_match(kind, match);
        mtmi_end_take_colour(kind, end, &lit);
    }
    return result;
}

void mtmi_runner_at(const mtmi_runner *runner, mtmi_transition_point *place)
{
    const mtmi_transition *transition = &runner->transition;

    if (!runner->moving) {
        *place =
            (mtmi_transition_point){.dimmer = transition->to.dimmer, .wanted = transition->to.xyz};
        memcpy(place->level, transition->to.level, sizeof place->level);
        return;
    }
    uint64_t frame = runner->frame > transition->delay ? runner->frame - transition->delay : 0;
    mtmi_transition_at(transition, (double)frame, place);
}

/* Where a unit is now, as the beginning of another way. */
static mtmi_end present_end(const mtm_fader *fader, const mtmi_runner *runner)
{
    const mtmi_transition *transition = &runner->transition;
    mtmi_transition_point place;
    mtmi_end end = transition->to;

    if (!runner->moving)
        return end;
    if (runner->frame <= transition->delay)
        return transition->from;
    mtmi_runner_at(runner, &place);
    memcpy(end.level, place.level, sizeof end.level);
    end.dimmer = place.dimmer;
    end.xyz = mtmi_mix_xyz(&runner->kind->emitters, end.level);
    mtmi_transition_codes(transition, (double)(runner->frame - transition->delay), end.code);
    for (size_t i = 0; i < runner->kind->channel_count; i++)
        mtmi_codes_set_channel(runner->kind, &end.codes, i, fader->lanes.code[runner->lane[i]]);
    return end;
}

/* A unit that comes up out of the dark is given its colour first: units take some time to change
 * what their emitters send, and would show the way there. */
static void set_colour_first(mtm_fader *fader, mtmi_transition *transition)
{
    if (!mtmi_kind_keeps_colour(transition->kind) || transition->path_type == MTM_PATH_SLOTS ||
        transition->from.xyz.y > 0 || !(transition->to.xyz.y > 0))
        return;
    mtmi_end_take_colour(transition->kind, &transition->from, &transition->to);
    fader->colour_first = true;
}

static mtm_result start_unit(mtm_fader *fader, const mtm_cue *cue, size_t unit, mtm_error *error)
{
    mtmi_runner *runner = &fader->runners[unit];
    mtmi_transition transition = {
        .kind = runner->kind,
        .solver = mtm_matcher_solver(fader->matcher, unit),
        .from = present_end(fader, runner),
        .delay = mtmi_frames_in(fader, cue->delay_s),
        .up = mtmi_frames_in(fader, cue->up_s),
        .down = mtmi_frames_in(fader, cue->down_s),
        .path_type = fader->looks[unit].path,
        .shape = fader->looks[unit].shape,
    };
    mtm_result result = find_end(fader, unit, &transition.to, error);

    if (result != MTM_OK)
        return result;
    result = mtmi_transition_begin(&transition, error);
    if (result == MTM_RANGE && runner->moving) { /* amid a fade: what it is now was not foreseen */
        transition.path_type = MTM_PATH_LIGHT;
        result = mtmi_transition_begin(&transition, error);
    }
    if (result != MTM_OK)
        return result;
    set_colour_first(fader, &transition);
    if (mtmi_kind_keeps_colour(transition.kind) && !(transition.to.xyz.y > 0))
        mtmi_end_take_colour(transition.kind, &transition.to,
                             &transition.from); /* and keeps it while it goes out */
    runner->transition = transition;
    runner->moving = true;
    runner->frame = 0;
    runner->planned = transition.delay;
    runner->stride = 0;
    runner->chosen = 0;
    for (size_t i = 0; i < runner->kind->channel_count; i++) {
        /* until it moves it sends what it sends now, in the dark the colour that comes */
        mtmi_lane_rest(&fader->lanes, runner->lane[i], runner->kind->straight[i],
                       mtmi_codes_channel(runner->kind, &transition.from.codes, i));
    }
    uint64_t total = transition.delay + transition.frames;
    if (total > fader->frames_left)
        fader->frames_left = total;
    return MTM_OK;
}

/* Starts the units that the cue names. */
static mtm_result start_moved(mtm_fader *fader, size_t cue, mtm_error *error)
{
    fader->colour_first = false;
    for (size_t i = 0; i < fader->unit_count; i++) {
        if (!fader->moved[i])
            continue;
        mtm_result result = start_unit(fader, mtm_show_cue(fader->show, cue), i, error);
        if (result != MTM_OK)
            return fail_at(fader, cue, i, result, error);
    }
    return MTM_OK;
}

mtm_result mtm_fader_go(mtm_fader *fader, size_t cue, mtm_error *error)
{
    if (fader == NULL || cue >= mtm_show_cue_count(fader->show))
        return mtmi_fail(error, MTM_INVALID, "there is no such cue");
    apply(fader, cue);
    fader->applied = fader->applied == cue ? cue + 1 : SIZE_MAX;
    return start_moved(fader, cue, error);
}

/* Whether a unit stands, or heads, elsewhere than where its look leads. */
static mtm_result stands_elsewhere(mtm_fader *fader, size_t unit, bool *elsewhere, mtm_error *error)
{
    const mtmi_runner *runner = &fader->runners[unit];
    mtmi_end end;
    mtm_result result = find_end(fader, unit, &end, error);

    if (result != MTM_OK)
        return result;
    bool lit = end.xyz.y > 0 || runner->transition.to.xyz.y > 0;
    *elsewhere = false;
    for (size_t i = 0; i < runner->kind->channel_count && lit; i++)
        *elsewhere =
            *elsewhere || mtmi_codes_channel(runner->kind, &end.codes, i) !=
                              mtmi_codes_channel(runner->kind, &runner->transition.to.codes, i);
    return MTM_OK;
}

mtm_result mtm_fader_go_to(mtm_fader *fader, size_t cue, mtm_error *error)
{
    if (fader == NULL || cue >= mtm_show_cue_count(fader->show))
        return mtmi_fail(error, MTM_INVALID, "there is no such cue");
    apply_to(fader, cue);
    apply(fader, cue);
    fader->applied = cue + 1;
    for (size_t i = 0; i < fader->unit_count; i++) {
        bool elsewhere = false;
        mtm_result result = stands_elsewhere(fader, i, &elsewhere, error);
        if (result != MTM_OK)
            return fail_at(fader, cue, i, result, error);
        fader->moved[i] = fader->moved[i] || elsewhere;
    }
    return start_moved(fader, cue, error);
}

/* Puts a unit where its way ends. */
static void settle(mtm_fader *fader, mtmi_runner *runner)
{
    runner->moving = false;
    for (size_t i = 0; i < runner->kind->channel_count; i++) {
        mtmi_lane_rest(&fader->lanes, runner->lane[i], runner->kind->straight[i],
                       mtmi_codes_channel(runner->kind, &runner->transition.to.codes, i));
        runner->transition.to.code[i] =
            mtmi_codes_channel(runner->kind, &runner->transition.to.codes, i);
    }
}

void mtmi_fader_finish(mtm_fader *fader)
{
    for (size_t i = 0; i < fader->unit_count; i++) {
        if (fader->runners[i].moving)
            settle(fader, &fader->runners[i]);
    }
    mtmi_fader_shut(fader);
    fader->frames_left = 0;
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
            mtmi_runner_plan(runner, &fader->lanes);
        runner->frame++;
    }
    fader->advance(&fader->lanes, 0, fader->lanes.wide);
    mtmi_advance_narrow(&fader->lanes, fader->frame);
    mtmi_advance_careful(&fader->lanes);
    for (size_t i = 0; i < fader->unit_count; i++) {
        mtmi_runner *runner = &fader->runners[i];

        if (runner->moving && runner->kind->together && runner->frame > runner->transition.delay)
            mtmi_runner_round(runner, &fader->lanes);

        if (runner->moving && runner->frame == runner->transition.delay + runner->transition.frames)
            settle(fader, runner);
    }
    mtmi_fader_shut(fader);
    return MTM_OK;
}

/* Applies cues 0..count-1 at once. */
static mtm_result set_after(mtm_fader *fader, size_t count, mtm_error *error)
{
    apply_to(fader, count);
    for (size_t i = 0; i < fader->unit_count; i++) {
        mtmi_runner *runner = &fader->runners[i];
        mtmi_end end;
        mtm_result result = find_end(fader, i, &end, error);

        if (result != MTM_OK)
            return fail_at(fader, count - 1, i, result, error);
        runner->transition = (mtmi_transition){.kind = runner->kind, .from = end, .to = end};
        settle(fader, runner);
    }
    mtmi_fader_shut(fader);
    fader->frames_left = 0;
    return MTM_OK;
}

mtm_result mtm_fader_set(mtm_fader *fader, size_t cue, mtm_error *error)
{
    if (fader == NULL || (cue != MTM_FADER_DARK && cue >= mtm_show_cue_count(fader->show)))
        return mtmi_fail(error, MTM_INVALID, "there is no such cue");
    return set_after(fader, cue == MTM_FADER_DARK ? 0 : cue + 1, error);
}

mtm_result mtm_fader_set_before(mtm_fader *fader, size_t cue, mtm_error *error)
{
    if (fader == NULL || cue >= mtm_show_cue_count(fader->show))
        return mtmi_fail(error, MTM_INVALID, "there is no such cue");
    return set_after(fader, cue, error);
}

void mtm_fader_unit(mtm_fader *fader, size_t unit, mtm_fader_state *state)
{
    if (fader == NULL || state == NULL || unit >= fader->unit_count)
        return;
    const mtmi_runner *runner = &fader->runners[unit];
    mtmi_transition_point place;

    mtmi_runner_at(runner, &place);
    *state = (mtm_fader_state){
        .wanted = place.wanted,
        .moving = runner->moving && runner->frame > runner->transition.delay,
        .held_by_gamut = place.held,
    };
    memcpy(state->level, place.level, sizeof state->level);
    for (size_t i = 0; i < runner->kind->channel_count; i++)
        mtmi_codes_set_channel(runner->kind, &state->codes, i, fader->lanes.code[runner->lane[i]]);
}
