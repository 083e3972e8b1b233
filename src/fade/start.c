/* SPDX-License-Identifier: MIT */
/* Fader: starting cues.
 *
 * Starting a cue matches each unit that it moves (units of one kind with the same look share the
 * last match). All of them are made ready before the first one starts, so that a cue that cannot be
 * run changes nothing.
 *
 * What must stay: a cue that comes amid another starts from what is sent then. */
#include "fade/fader.h"

#include "base/error.h"

#include <metamer/rig.h>

#include <stdio.h>
#include <string.h>

/* Names the cue and the unit in front of a sentence. */
static mtm_result fail_at(const mtm_fader *fader, size_t cue, size_t unit, mtm_result result,
                          mtm_error *error)
{
    char where[160];

    (void)snprintf(where, sizeof where, "cue %g, unit \"%.60s\"",
                   mtm_show_cue(fader->show, cue)->number, mtm_rig_unit(fader->rig, unit)->name);
    mtmi_error_prefix(error, where);
    return result;
}

/* What the unit sends for a look. */
static mtm_result match_unit(mtm_fader *fader, size_t unit, const mtm_look *look,
                             const mtm_match **match, mtm_error *error)
{
    mtmi_cached_match *cached = &fader->cached[fader->runners[unit].kind - fader->kinds];
    const mtmi_dimmer_role role = mtmi_dimmer_role_of(fader->runners[unit].kind, look->dimming);
    mtm_match_request request = {.goal = look->goal,
                                 .output = look->output,
                                 .leave_dark_uv = look->leave_dark_uv,
                                 .dimming = role == MTMI_DIMMER_RESTS ? MTM_DIMMING_EMITTERS
                                                                      : look->dimming};

    *match = &cached->match;
    if (cached->valid && cached->target == look->target && cached->goal == look->goal &&
        cached->output.type == look->output.type && cached->output.value == look->output.value &&
        cached->leave_dark_uv == look->leave_dark_uv && cached->dimming == look->dimming)
        return MTM_OK;
    cached->valid = false;
    request.target = *look->target;
    mtm_result result = mtm_matcher_unit(fader->matcher, unit, &request, &cached->match, error);
    if (result != MTM_OK)
        return result;
    cached->valid = true;
    cached->target = look->target;
    cached->output = look->output;
    cached->goal = look->goal;
    cached->leave_dark_uv = look->leave_dark_uv;
    cached->dimming = look->dimming;
    return MTM_OK;
}

/* Whether a unit gives light for a look: its output and how near it comes to the target decide. */
static mtm_result is_lit(mtm_fader *fader, size_t unit, const mtm_look *look, bool *lit,
                         mtm_error *error)
{
    const mtm_match *match = NULL;

    *lit = look->target != NULL && (look->output.type == MTM_OUTPUT_MAX || look->output.value > 0);
    if (!*lit || !(look->leave_dark_uv > 0))
        return MTM_OK;
    mtm_result result = match_unit(fader, unit, look, &match, error);
    *lit = result == MTM_OK && match->left_dark_uv == 0;
    return result;
}

/* Applies a cue to the looks, and remembers with which each unit was lit last. */
static mtm_result apply(mtm_fader *fader, size_t cue, mtm_error *error)
{
    mtm_show_apply(fader->show, cue, fader->looks, fader->moved);
    for (size_t i = 0; i < fader->unit_count; i++) {
        bool lit = false;

        if (!fader->meant[i]) {
            fader->looks[i] = (mtm_look){.target = NULL};
            fader->moved[i] = false;
        }
        if (!fader->moved[i])
            continue;
        if (fader->dimming != NULL)
            fader->looks[i].dimming = fader->dimming->dimming;
        mtm_result result = is_lit(fader, i, &fader->looks[i], &lit, error);
        if (result != MTM_OK)
            return fail_at(fader, cue, i, result, error);
        if (lit)
            fader->lit[i] = fader->looks[i];
    }
    return MTM_OK;
}

/* Makes the looks those after cues 0..count-1. */
static mtm_result apply_to(mtm_fader *fader, size_t count, mtm_error *error)
{
    mtm_result result = MTM_OK;

    if (fader->applied > count) { /* from the first on; else from where the looks are */
        memset(fader->looks, 0, fader->unit_count * sizeof *fader->looks);
        memset(fader->lit, 0, fader->unit_count * sizeof *fader->lit);
        fader->applied = 0;
    }
    while (result == MTM_OK && fader->applied < count) {
        result = apply(fader, fader->applied, error);
        fader->applied = result == MTM_OK ? fader->applied + 1 : SIZE_MAX;
    }
    return result;
}

/* Where a look leads. A unit that never got a colour stays dark whatever its output; one that went
 * out, or stays dark since its colour is out of its reach, has its emitters where they were when it
 * was lit. */
static mtm_result find_end(mtm_fader *fader, size_t unit, mtmi_end *end, mtmi_lapse *lapse,
                           mtm_error *error)
{
    const mtmi_kind *kind = fader->runners[unit].kind;
    const mtmi_dimmer_role role = mtmi_dimmer_role_of(kind, fader->looks[unit].dimming);
    const mtm_match *match = NULL;

    *lapse = (mtmi_lapse){.fallback = MTM_FALLBACK_NONE};
    if (fader->looks[unit].target == NULL) {
        *end = mtmi_end_dark(kind);
        return MTM_OK;
    }
    mtm_result result = match_unit(fader, unit, &fader->looks[unit], &match, error);
    if (result != MTM_OK)
        return result;
    *end = mtmi_end_from_match(kind, match);
    *lapse = (mtmi_lapse){match->fallback, match->left_dark_uv};
    if (end->xyz.y > 0 || !mtmi_dimmer_keeps_colour(role) || fader->lit[unit].target == NULL)
        return MTM_OK;
    result = match_unit(fader, unit, &fader->lit[unit], &match, error);
    if (result == MTM_OK) {
        mtmi_end lit = mtmi_end_from_match(kind, match);
        mtmi_end_take_colour(kind, role, end, &lit);
    }
    return result;
}

/* Where a unit is now, as the beginning of another transition. */
static mtmi_end present_end(const mtm_fader *fader, const mtmi_runner *runner)
{
    const mtmi_transition *transition = &runner->transition;
    mtmi_transition_point point;
    mtmi_end end = transition->to;

    if (!runner->moving)
        return end;
    if (runner->frame <= transition->delay)
        return transition->from;
    mtmi_runner_at(runner, &point);
    memcpy(end.level, point.level, sizeof end.level);
    end.dimmer = point.dimmer;
    end.xyz = mtmi_mix_xyz(&runner->kind->emitters, end.level);
    mtmi_transition_codes(transition, (double)(runner->frame - transition->delay), end.code);
    mtmi_runner_codes(fader, runner, &end.codes);
    return end;
}

/* A unit that comes up out of the dark is given its colour first: units take some time to change
 * what their emitters send, and would show the way there. */
static bool set_colour_first(mtmi_transition *transition)
{
    if (!mtmi_dimmer_keeps_colour(transition->dimmer) || transition->path_type == MTM_PATH_SLOTS ||
        transition->from.xyz.y > 0 || !(transition->to.xyz.y > 0))
        return false;
    mtmi_end_take_colour(transition->kind, transition->dimmer, &transition->from, &transition->to);
    return true;
}

/* Finds a unit's transition, without starting it. */
static mtm_result prepare_unit(mtm_fader *fader, const mtm_cue *cue, size_t unit, mtm_error *error)
{
    mtmi_runner *runner = &fader->runners[unit];
    mtmi_transition transition = {
        .kind = runner->kind,
        .solver = mtm_matcher_solver(fader->matcher, unit),
        .from = present_end(fader, runner),
        .delay = mtmi_frames_in(fader, cue->delay_s),
        .up = mtmi_frames_in(fader, cue->up_s),
        .down = mtmi_frames_in(fader, cue->down_s),
        .path_type = mtmi_runner_path(runner, fader->looks[unit].path),
        .shape = fader->looks[unit].shape,
        .dimming = fader->looks[unit].dimming,
    };
    mtm_result result = find_end(fader, unit, &transition.to, &runner->next_lapse, error);

    if (result != MTM_OK)
        return result;
    result = mtmi_transition_begin(&transition, error);
    if (result == MTM_RANGE && (runner->moving || runner->foreign)) { /* that was not foreseen */
        transition.path_type = MTM_PATH_LIGHT;
        result = mtmi_transition_begin(&transition, error);
    }
    if (result == MTM_OK)
        runner->next = transition;
    return result;
}

static void start_unit(mtm_fader *fader, mtmi_runner *runner)
{
    mtmi_transition *transition = &runner->next;
    const mtmi_dimmer_role role = mtmi_dimmer_role_of(transition->kind, transition->dimming);

    fader->colour_first = set_colour_first(transition) || fader->colour_first;
    if (mtmi_dimmer_keeps_colour(role) && !(transition->to.xyz.y > 0))
        mtmi_end_take_colour(transition->kind, role, &transition->to,
                             &transition->from); /* and keeps it while it goes out */
    runner->transition = *transition;
    runner->lapse = runner->next_lapse;
    runner->moving = true;
    runner->foreign = false;
    runner->frame = 0;
    runner->planned = transition->delay;
    runner->stride = 0;
    runner->chosen = 0;
    for (size_t i = 0; i < runner->kind->channel_count; i++) {
        /* until it moves it sends what it sends now, in the dark the colour that comes */
        mtmi_lane_rest(&fader->lanes, runner->lane[i], runner->kind->straight[i],
                       mtmi_codes_channel(runner->kind, &transition->from.codes, i));
    }
    mtmi_runner_colour_first(fader, runner);
}

/* Until the last of the units is still; a cue that is cut short no longer counts. */
static uint64_t frames_left(const mtm_fader *fader)
{
    uint64_t most = 0;

    for (size_t i = 0; i < fader->unit_count; i++) {
        const mtmi_runner *runner = &fader->runners[i];
        uint64_t total = runner->transition.delay + runner->transition.frames;

        if (runner->moving && total - runner->frame > most)
            most = total - runner->frame;
    }
    return most;
}

/* Starts the units that the cue moves: all, or none where one of them cannot. */
static mtm_result start_moved(mtm_fader *fader, size_t cue, mtm_error *error)
{
    for (size_t i = 0; i < fader->unit_count; i++) {
        if (!fader->moved[i])
            continue;
        mtm_result result = prepare_unit(fader, mtm_show_cue(fader->show, cue), i, error);
        if (result != MTM_OK)
            return fail_at(fader, cue, i, result, error);
    }
    mtmi_fader_part(fader);
    fader->colour_first = false;
    for (size_t i = 0; i < fader->unit_count; i++) {
        if (fader->moved[i])
            start_unit(fader, &fader->runners[i]);
    }
    mtmi_fader_find_leaders(fader);
    fader->frames_left = frames_left(fader);
    return MTM_OK;
}

/* What looks are, to be put back where a cue cannot be run. */
static size_t keep_looks(mtm_fader *fader)
{
    memcpy(fader->looks_kept, fader->looks, fader->unit_count * sizeof *fader->looks);
    memcpy(fader->lit_kept, fader->lit, fader->unit_count * sizeof *fader->lit);
    memcpy(fader->moved_kept, fader->moved, fader->unit_count * sizeof *fader->moved);
    return fader->applied;
}

static void put_looks_back(mtm_fader *fader, size_t applied)
{
    memcpy(fader->looks, fader->looks_kept, fader->unit_count * sizeof *fader->looks);
    memcpy(fader->lit, fader->lit_kept, fader->unit_count * sizeof *fader->lit);
    memcpy(fader->moved, fader->moved_kept, fader->unit_count * sizeof *fader->moved);
    fader->applied = applied;
}

mtm_result mtm_fader_go(mtm_fader *fader, size_t cue, mtm_error *error)
{
    if (fader == NULL || cue >= mtm_show_cue_count(fader->show))
        return mtmi_fail(error, MTM_INVALID, "there is no such cue");
    size_t applied = keep_looks(fader);
    mtm_result result = apply(fader, cue, error);
    fader->applied = applied == cue ? cue + 1 : SIZE_MAX;
    if (result == MTM_OK)
        result = start_moved(fader, cue, error);
    if (result != MTM_OK)
        put_looks_back(fader, applied);
    return result;
}

/* Whether a unit stands, or heads, elsewhere than where its look leads. */
static mtm_result stands_elsewhere(mtm_fader *fader, size_t unit, bool *elsewhere, mtm_error *error)
{
    const mtmi_runner *runner = &fader->runners[unit];
    mtmi_lapse lapse;
    mtmi_end end;
    mtm_result result = find_end(fader, unit, &end, &lapse, error);

    if (result != MTM_OK)
        return result;
    bool lit = end.xyz.y > 0 || runner->transition.to.xyz.y > 0;
    *elsewhere = false;
    for (size_t i = 0; i < runner->kind->code_count && lit && fader->meant[unit]; i++)
        *elsewhere =
            *elsewhere || mtmi_codes_channel(runner->kind, &end.codes, i) !=
                              mtmi_codes_channel(runner->kind, &runner->transition.to.codes, i);
    return MTM_OK;
}

/* Starts the units that the cue names, and those that stand elsewhere than its look. */
static mtm_result start_to(mtm_fader *fader, size_t cue, mtm_error *error)
{
    for (size_t i = 0; i < fader->unit_count; i++) {
        bool elsewhere = false;
        mtm_result result = stands_elsewhere(fader, i, &elsewhere, error);
        if (result != MTM_OK)
            return fail_at(fader, cue, i, result, error);
        fader->moved[i] = fader->moved[i] || elsewhere;
    }
    return start_moved(fader, cue, error);
}

mtm_result mtm_fader_go_to(mtm_fader *fader, size_t cue, mtm_error *error)
{
    if (fader == NULL || cue >= mtm_show_cue_count(fader->show))
        return mtmi_fail(error, MTM_INVALID, "there is no such cue");
    size_t applied = keep_looks(fader);
    mtm_result result = apply_to(fader, cue, error);
    if (result == MTM_OK)
        result = apply(fader, cue, error);
    fader->applied = cue + 1;
    if (result == MTM_OK)
        result = start_to(fader, cue, error);
    if (result != MTM_OK)
        put_looks_back(fader, applied);
    return result;
}

/* Applies cues 0..count-1 at once. */
static mtm_result set_after(mtm_fader *fader, size_t count, mtm_error *error)
{
    mtm_result applied = apply_to(fader, count, error);

    if (applied != MTM_OK)
        return applied;
    for (size_t i = 0; i < fader->unit_count; i++) {
        mtmi_runner *runner = &fader->runners[i];
        mtmi_end end;
        mtm_result result = find_end(fader, i, &end, &runner->lapse, error);

        if (result != MTM_OK)
            return fail_at(fader, count - 1, i, result, error);
        runner->transition = (mtmi_transition){.kind = runner->kind, .from = end, .to = end};
        runner->foreign = false;
        mtmi_fader_settle(fader, runner);
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

/* What a unit's slots say. Behind a shutter that is closed there is no light, whatever they are. */
static mtmi_end end_from_slots(const mtmi_kind *kind, const uint8_t *slot)
{
    mtm_codes codes;

    for (size_t i = 0; i < kind->mode->slot_count; i++) {
        const mtm_slot *each = &kind->mode->slots[i];
        if (each->role == MTM_SLOT_OPEN && each->dark != each->fixed && slot[i] == each->dark)
            return mtmi_end_dark(kind);
    }
    mtm_codes_from_slots(kind->mode, slot, &codes);
    return mtmi_end_from_codes(kind, &codes);
}

static void stand_unit(mtm_fader *fader, size_t unit, const uint8_t *const *slots)
{
    const mtm_unit *of = mtm_rig_unit(fader->rig, unit);
    mtmi_runner *runner = &fader->runners[unit];
    mtmi_end end = mtmi_end_dark(runner->kind);

    for (size_t u = 0; of->address > 0 && fader->meant[unit] && u < fader->layout.universe_count;
         u++) {
        if (fader->layout.universe[u].universe == of->universe && slots[u] != NULL)
            end = end_from_slots(runner->kind, slots[u] + of->address - 1);
    }
    runner->transition = (mtmi_transition){.kind = runner->kind, .from = end, .to = end};
    runner->lapse = (mtmi_lapse){.fallback = MTM_FALLBACK_NONE};
    runner->foreign = true;
    mtmi_fader_settle(fader, runner);
}

mtm_result mtm_fader_stand(mtm_fader *fader, const uint8_t *const *slots, mtm_error *error)
{
    if (fader == NULL || slots == NULL)
        return mtmi_fail(error, MTM_INVALID, "a fader and the slots of its universes are needed");
    for (size_t u = 0; u < fader->layout.universe_count; u++) {
        for (size_t i = 0; slots[u] != NULL && i < fader->layout.universe[u].slot_count; i++) {
            size_t at = fader->universe_start[u] + i;
            if (!fader->owned[at])
                fader->lanes.slots[at] = slots[u][i];
        }
    }
    for (size_t i = 0; i < fader->unit_count; i++)
        stand_unit(fader, i, slots);
    mtmi_fader_shut(fader);
    fader->frames_left = 0;
    return MTM_OK;
}
