/* SPDX-License-Identifier: MIT */
/* Dimmer: what the dimmer of a unit does while the unit goes from one light to another.
 *
 * It rests, leads (as much of it as the ends have for their light, and enough for every emitter) or
 * is guided: out of the dark and into it an 8-bit dimmer stays where its codes are fine, and the
 * emitters do the rest. Each corner of that sets a bit of the bounds, for the planner. */
#include "fade/dimmer.h"

#include "fade/shape.h"

#include <math.h>
#include <string.h>

#define BOUND_DIMMER(i) ((uint64_t)1 << (32 + (i))) /* the dimmer goes by it */
#define BOUND_SHARE(i) ((uint64_t)1 << (49 + (i)))  /* how dimmer and emitters share the light */

/* The step in L* of a dimmer's code which need not be finer. */
#define SEEN_STEP 1.0

/* The end that has light; of two the later. */
const mtmi_end *mtmi_transition_lit_end(const mtmi_transition *transition)
{
    return transition->to.xyz.y > 0 ? &transition->to : &transition->from;
}

/* A dark end has no colour: it takes that of the other, and the transition is a mere change of
 * light. */
bool mtmi_transition_has_colours(const mtmi_transition *transition)
{
    return transition->from.xyz.y > 0 && transition->to.xyz.y > 0;
}

/* Whether an end is lit by less than all of its dimmer. */
static bool is_dimmed(const mtmi_kind *kind, const mtmi_end *end)
{
    return end->xyz.y > 0 && end->dimmer < kind->dimmer_full;
}

/* Whether the emitters can stay at the lit end's codes: only the light changes. */
static bool can_hold(const mtmi_transition *transition)
{
    if (transition->dimming != MTM_DIMMING_DIMMER || transition->path_type == MTM_PATH_SLOTS ||
        transition->path_type == MTM_PATH_LAMP)
        return false;
    for (size_t i = 0;
         i < transition->kind->emitters.count && mtmi_transition_has_colours(transition); i++)
        if (transition->from.codes.emitter[i] != transition->to.codes.emitter[i])
            return false;
    return true;
}

/* What the dimmer does. One that is to rest and stands below at an end has to move after all. */
void mtmi_dimmer_begin(mtmi_transition *transition)
{
    const mtmi_kind *kind = transition->kind;
    const size_t count = kind->emitters.count;
    double level[MTM_EMITTERS_MAX] = {0};

    transition->dimmer = mtmi_dimmer_role_of(kind, transition->dimming);
    transition->held_y = 0;
    if (transition->dimmer == MTMI_DIMMER_RESTS &&
        (is_dimmed(kind, &transition->from) || is_dimmed(kind, &transition->to)))
        transition->dimmer =
            kind->most[count] == MTM_CODE_MAX_8 ? MTMI_DIMMER_GUIDED : MTMI_DIMMER_LEADS;
    if (transition->dimmer != MTMI_DIMMER_LEADS || !can_hold(transition))
        return;
    for (size_t i = 0; i < count; i++)
        level[i] = mtmi_level_of(kind, i, mtmi_transition_lit_end(transition)->codes.emitter[i]);
    transition->held_y = mtmi_mix_xyz(&kind->emitters, level).y;
}

/* The level of an 8-bit dimmer where one code of it is as much as SEEN_STEP in L*, at this part of
 * the full light. Higher it moves as finely as anybody sees, even where a unit follows its dimmer
 * and its emitters one after the other; lower, the emitters have more codes for the colour. */
static double fine_dimmer(const mtmi_kind *kind, double part)
{
    double slope = mtmi_lightness_slope(part) * part; /* of L*, by the logarithm of light */
    double code = kind->dimmer_exponent * slope / (SEEN_STEP * MTM_CODE_MAX_8);

    return code < 1 ? pow(code, kind->dimmer_exponent) : 1;
}

/* In a transition out of the dark or into it, an 8-bit dimmer is where it is fine, so far as the
 * lit end lets it, and the emitters do the rest: behind the lowest codes they go down, not the
 * dimmer, which would step there, until one code more or less of it is not seen. */
static void guide_dimmer(const mtmi_transition *transition, mtmi_transition_point *point)
{
    const mtmi_kind *kind = transition->kind;
    const mtmi_end *lit = mtmi_transition_lit_end(transition);
    double part = mtmi_mix_xyz(&kind->emitters, point->level).y / kind->emitters.full_y;
    double highest = 0;
    double highest_lit = 0;

    for (size_t i = 0; i < kind->emitters.count; i++) {
        highest = fmax(highest, point->level[i]);
        highest_lit = fmax(highest_lit, lit->level[i]);
    }
    if (!(highest > 0))
        return;
    double most = fmin(1, highest_lit / lit->dimmer); /* of the emitters, at the lit end */
    double least = fmin(most, mtmi_first_step(kind, part / highest));
    double fine = fmin(fmax(fine_dimmer(kind, part), kind->dimmer_least), lit->dimmer);
    point->dimmer = highest / most;
    point->bounds |= BOUND_SHARE(0);
    if (fine > point->dimmer) {
        point->dimmer = fine;
        point->bounds ^= BOUND_SHARE(0) | BOUND_SHARE(1);
    }
    if (highest / least < point->dimmer) {
        point->dimmer = highest / least;
        point->bounds &= ~(BOUND_SHARE(0) | BOUND_SHARE(1));
        point->bounds |= BOUND_SHARE(2);
    }
}

/* The dimmer's level for light: as much of it as the ends have for theirs, and enough. */
void mtmi_dimmer_follow(const mtmi_transition *transition, double part,
                        mtmi_transition_point *point)
{
    if (transition->dimmer == MTMI_DIMMER_GUIDED && !mtmi_transition_has_colours(transition)) {
        guide_dimmer(transition, point);
        return;
    }
    double light = mtmi_mix_xyz(&transition->kind->emitters, point->level).y;
    if (transition->held_y > 0) {
        point->dimmer = fmin(light / transition->held_y, transition->kind->dimmer_full);
        return;
    }
    double a = transition->from.xyz.y > 0 ? transition->from.dimmer / transition->from.xyz.y : -1;
    double b = transition->to.xyz.y > 0 ? transition->to.dimmer / transition->to.xyz.y : a;
    uint64_t bound = 0;

    if (a < 0)
        a = b;
    point->dimmer = a < 0 ? 0 : light * (a + part * (b - a));
    for (size_t i = 0; i < transition->kind->emitters.count; i++) {
        if (point->level[i] > point->dimmer) {
            point->dimmer = point->level[i];
            bound = BOUND_DIMMER(i);
        }
    }
    if (point->dimmer > transition->kind->dimmer_full)
        point->dimmer = transition->kind->dimmer_full;
    point->bounds |= bound;
}
