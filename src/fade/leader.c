/* SPDX-License-Identifier: MIT */
/* Fader: units that do the very same. A rig hangs the same unit many times, and a cue sets a group
 * at once: what one of them finds out about its transition holds for all.
 *
 * What must stay: a unit is sent what it would be sent alone. */
#include "fade/fader.h"

#include <string.h>

/* So many units of a kind, the last that do otherwise, are compared with the next one: a cue that
 * sets thousands of units each its own way is not held up. */
#define COMPARED 8

static bool same_codes(const mtmi_kind *kind, const mtm_codes *a, const mtm_codes *b)
{
    for (size_t i = 0; i < kind->code_count; i++)
        if (mtmi_codes_channel(kind, a, i) != mtmi_codes_channel(kind, b, i))
            return false;
    return true;
}

/* Here equal means the same bits, or 0 and -0. */
static bool same_end(const mtmi_kind *kind, const mtmi_end *a, const mtmi_end *b)
{
    if (a->dimmer != b->dimmer || a->xyz.x != b->xyz.x || a->xyz.y != b->xyz.y ||
        a->xyz.z != b->xyz.z)
        return false;
    for (size_t i = 0; i < kind->emitters.count; i++)
        if (a->level[i] != b->level[i])
            return false;
    for (size_t i = 0; i < kind->channel_count; i++)
        if (a->code[i] != b->code[i])
            return false;
    return same_codes(kind, &a->codes, &b->codes);
}

static bool does_the_same(const mtmi_runner *a, const mtmi_runner *b)
{
    const mtmi_transition *x = &a->transition;
    const mtmi_transition *y = &b->transition;

    return x->solver == y->solver && x->delay == y->delay && x->frames == y->frames &&
           x->up == y->up && x->down == y->down && x->path_type == y->path_type &&
           x->shape == y->shape && x->dimming == y->dimming && same_end(a->kind, &x->to, &y->to) &&
           same_end(a->kind, &x->from, &y->from) &&
           (a->kind->mixed == NULL || same_codes(a->kind, &a->mixed, &b->mixed));
}

/* Whether channels begin their dither at different frames: then no two units send the same. */
static bool dithers_apart(const mtm_fader *fader, const mtmi_kind *kind)
{
    for (size_t i = 0; i < kind->channel_count && fader->dither; i++)
        if (kind->most[i] <= MTM_CODE_MAX_8)
            return true;
    return false;
}

static void find_leader(mtm_fader *fader, mtmi_runner *runner)
{
    mtmi_runner **youngest = &fader->youngest[runner->kind - fader->kinds];
    mtmi_runner *other = *youngest;

    for (int i = 0; i < COMPARED && other != NULL; i++, other = other->elder) {
        if (does_the_same(other, runner)) {
            runner->leader = other;
            return;
        }
    }
    runner->elder = *youngest;
    *youngest = runner;
}

void mtmi_fader_find_leaders(mtm_fader *fader)
{
    for (size_t k = 0; k < fader->kind_count; k++)
        fader->youngest[k] = NULL;
    for (size_t i = 0; i < fader->unit_count; i++)
        if (fader->moved[i] && !dithers_apart(fader, fader->runners[i].kind))
            find_leader(fader, &fader->runners[i]);
}

void mtmi_fader_part(mtm_fader *fader)
{
    for (size_t i = 0; i < fader->unit_count; i++) {
        mtmi_runner *runner = &fader->runners[i];

        if (runner->leader == NULL)
            continue;
        runner->chosen = runner->leader->chosen;
        memcpy(runner->ahead, runner->leader->ahead, sizeof runner->ahead);
        runner->leader = NULL;
    }
}

void mtmi_runner_copy_plan(mtmi_runner *runner, mtmi_lanes *lanes)
{
    for (size_t i = 0; i < runner->kind->channel_count; i++) {
        size_t to = runner->lane[i];
        size_t from = runner->leader->lane[i];

        lanes->p[to] = lanes->p[from];
        lanes->d1[to] = lanes->d1[from];
        lanes->d2[to] = lanes->d2[from];
        lanes->d3[to] = lanes->d3[from];
        lanes->by_code[to] = lanes->by_code[from];
        lanes->table[to] = lanes->table[from];
        lanes->keep[to] = lanes->keep[from];
    }
    runner->planned = runner->leader->planned;
    runner->stride = runner->leader->stride;
}

void mtmi_runner_copy_codes(mtm_fader *fader, mtmi_runner *runner)
{
    mtmi_lanes *lanes = &fader->lanes;

    mtmi_runner_send_mixed(fader, runner, &runner->leader->mixed);
    for (size_t i = 0; i < runner->kind->channel_count; i++) {
        uint32_t code = lanes->code[runner->leader->lane[i]];

        if (lanes->code[runner->lane[i]] != code)
            mtmi_lane_send(lanes, runner->lane[i], code);
    }
}
