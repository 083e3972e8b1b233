/* SPDX-License-Identifier: MIT */
/* Transition: a unit's change from one light to another, exact at any time.
 *
 * Along a path of colours the light wanted at a time is the path's chromaticity with the shape's
 * output. Of the levels that give it, those nearest to what lies straight between the mixes of both
 * ends are taken (mix.c): so the mix changes steadily, from the one to the other. What the emitters
 * cannot give is replaced by the nearest that they can. A path of slots goes straight in codes
 * instead.
 *
 * Each point also tells which bounds it stands at (a level at 0 or 1, who leads the dimmer): where
 * the bits change the curve has a corner, and the planner ends its piece there. The cost is the
 * nearest mix: a few steps of Newton's method, and the dual method where they do not settle.
 *
 * Whatever is added must stay continuous in time, or set a bound's bit where it has a corner: else
 * the cubics of plan.c swing beside it. The report (report.c) tells how far off what is sent then
 * is. */
#include "fade/fade.h"

#include "base/error.h"
#include "fade/dimmer.h"
#include "fade/shape.h"

#include <metamer/lamp.h>

#include <math.h>
#include <string.h>

/* Outputs nearer than this part of the full one count as equal. */
#define EQUAL_PART 1e-9

/* Levels so near to 0 or 1 are held there. */
#define AT_BOUND 1e-11

/* Bits of mtmi_transition_point.bounds: of each emitter, then of the whole; those of the dimmer, 32
 * to 47 and from 49, stand in dimmer.c. */
#define BOUND_NONE(i) ((uint64_t)1 << (i))        /* at level 0 */
#define BOUND_FULL(i) ((uint64_t)1 << (16 + (i))) /* at level 1 */
#define BOUND_HELD ((uint64_t)1 << 48)

/* How far down a lamp goes that dims into the dark: below, its colour rests. */
#define LAMP_LEAST_SHARE 1e-4

/* The colour and light at which a lamp that goes out from a lit end rests; a colour that is no
 * white is left for the path to refuse. */
static mtm_xy lamp_at_rest(mtm_xy lit, double *share)
{
    mtm_white white;
    mtm_xy xy = lit;

    *share = LAMP_LEAST_SHARE;
    if (mtm_white_from_xy(lit, &white, NULL) != MTM_OK)
        return lit;
    double least_share = mtm_lamp_share_at(white.cct_k, MTM_CCT_MIN_K * (1 + EQUAL_PART));
    *share = fmax(*share, fmin(1 - EQUAL_PART, least_share));
    white.cct_k = mtm_lamp_dimmed_cct_k((mtm_lamp){white.cct_k, *share});
    return mtm_white_to_xy(white, &xy, NULL) == MTM_OK ? xy : lit;
}

/* Between two lights, or from one down to where a lamp's colour rests. */
static mtm_result begin_lamp(mtmi_transition *transition, mtm_error *error)
{
    mtm_xyz a = transition->from.xyz;
    mtm_xyz b = transition->to.xyz;
    mtm_xy from = mtm_xy_from_xyz(a);
    mtm_xy to = mtm_xy_from_xyz(b);
    double share = 0;

    if (!(a.y > 0) && !(b.y > 0)) {
        transition->path_type = MTM_PATH_LIGHT;
        return MTM_OK;
    }
    if (!(a.y > 0)) {
        from = lamp_at_rest(to, &share);
        a.y = share * b.y;
    } else if (!(b.y > 0)) {
        to = lamp_at_rest(from, &share);
        b.y = share * a.y;
    }
    transition->lamp_light[0] = a.y;
    transition->lamp_light[1] = b.y;
    return mtm_path_create(MTM_PATH_LAMP, from, to, &transition->path, error);
}

static mtm_result begin_path(mtmi_transition *transition, mtm_error *error)
{
    if (transition->path_type == MTM_PATH_SLOTS || transition->path_type == MTM_PATH_LIGHT)
        return MTM_OK;
    if (transition->path_type == MTM_PATH_LAMP)
        return begin_lamp(transition, error);
    if (!mtmi_transition_has_colours(transition)) {
        transition->path_type = MTM_PATH_LIGHT;
        return MTM_OK;
    }
    return mtm_path_create(transition->path_type, mtm_xy_from_xyz(transition->from.xyz),
                           mtm_xy_from_xyz(transition->to.xyz), &transition->path, error);
}

/* On a path straight in slots each channel goes for the time of its own direction. */
static uint64_t slots_frames(const mtmi_transition *transition)
{
    uint64_t frames = 1;

    for (size_t i = 0; i < transition->kind->channel_count; i++) {
        uint64_t own =
            transition->to.code[i] >= transition->from.code[i] ? transition->up : transition->down;

        if (transition->to.code[i] != transition->from.code[i] && own > frames)
            frames = own;
    }
    return frames;
}

bool mtmi_transition_by_code(const mtmi_transition *transition, size_t channel)
{
    return transition->path_type == MTM_PATH_SLOTS ||
           (transition->held_y > 0 && channel < transition->kind->emitters.count);
}

bool mtmi_transition_together(const mtmi_transition *transition)
{
    return (transition->kind->together || transition->dimmer == MTMI_DIMMER_GUIDED) &&
           transition->path_type != MTM_PATH_SLOTS && !(transition->held_y > 0);
}

mtm_result mtmi_transition_begin(mtmi_transition *transition, mtm_error *error)
{
    mtm_result result = begin_path(transition, error);

    if (result != MTM_OK)
        return result;
    transition->up = transition->up > 0 ? transition->up : 1;
    transition->down = transition->down > 0 ? transition->down : 1;
    bool rises = transition->to.xyz.y >= transition->from.xyz.y * (1 - EQUAL_PART);
    transition->frames = rises ? transition->up : transition->down;
    transition->bend = (double)transition->frames *
                       mtmi_shape_bend(transition->shape,
                                       transition->from.xyz.y / transition->kind->emitters.full_y,
                                       transition->to.xyz.y / transition->kind->emitters.full_y);
    if (transition->path_type == MTM_PATH_SLOTS)
        transition->frames = slots_frames(transition);
    mtmi_dimmer_begin(transition);
    return MTM_OK;
}

static void slots_codes(const mtmi_transition *transition, double frame, double *code)
{
    for (size_t i = 0; i < transition->kind->channel_count; i++) {
        double a = transition->from.code[i];
        double b = transition->to.code[i];
        double part = frame / (double)(b >= a ? transition->up : transition->down);

        code[i] = part < 1 ? a + part * (b - a) : b;
    }
}

static void slots_point(const mtmi_transition *transition, double frame,
                        mtmi_transition_point *point)
{
    const mtmi_kind *kind = transition->kind;
    double code[MTMI_CHANNELS_MAX];

    slots_codes(transition, frame, code);
    point->dimmer = kind->has_dimmer
                        ? mtmi_level_of(kind, kind->emitters.count, code[kind->emitters.count])
                        : 1;
    for (size_t i = 0; i < kind->emitters.count; i++)
        point->level[i] = point->dimmer * mtmi_level_of(kind, i, code[i]);
    point->wanted = mtmi_mix_xyz(&kind->emitters, point->level);
}

/* The light at part of the time, in the unit of Y. */
static double light_at(const mtmi_transition *transition, double part)
{
    double full = transition->kind->emitters.full_y;

    return full * mtm_shape_at(transition->shape, transition->kind->own,
                               transition->from.xyz.y / full, transition->to.xyz.y / full, part);
}

static double eased(const mtmi_transition *transition, double part)
{
    return transition->shape == MTM_SHAPE_S ? part * part * (3 - 2 * part) : part;
}

/* How far a path has come. That of a lamp goes by the light, not by the time. */
static double path_part(const mtmi_transition *transition, double part, double light)
{
    const double *end = transition->lamp_light;

    if (transition->path_type != MTM_PATH_LAMP || fabs(log(end[1] / end[0])) <= EQUAL_PART)
        return eased(transition, part);
    if (!(light > 0))
        return end[0] < end[1] ? 0 : 1;
    return log(light / end[0]) / log(end[1] / end[0]);
}

/* The share of the second mix in the first two, so that their light together is light. */
static double share_at(const mtmi_transition *transition, double part, double light)
{
    double rise = transition->to.xyz.y - transition->from.xyz.y;

    if (fabs(rise) <= EQUAL_PART * transition->kind->emitters.full_y)
        return eased(transition, part);
    return (light - transition->from.xyz.y) / rise;
}

/* What the emitters cannot do is done as nearly as they can: the nearest chromaticity, and as much
 * light as it has. Both move continuously with what is wanted. */
static void mix_within(const mtmi_transition *transition, const double *base, mtm_xy xy,
                       double light, mtmi_transition_point *point)
{
    double distance = 0;
    mtm_answer answer;
    mtm_request request = {.xy = mtm_solver_nearest(transition->solver, xy, &distance),
                           .goal = MTM_GOAL_LIGHT};

    point->held = true;
    if (mtm_solver_solve(transition->solver, &request, &answer, NULL) == MTM_OK &&
        answer.most < light)
        light = answer.most * (1 - 1e-9);
    (void)mtmi_mix_nearest(&transition->kind->emitters, base, mtm_xyz_from_xy(request.xy, light),
                           point->level);
}

static void note_bounds(const mtmi_kind *kind, mtmi_transition_point *point)
{
    for (size_t i = 0; i < kind->emitters.count; i++) {
        point->bounds |= point->level[i] <= AT_BOUND ? BOUND_NONE(i) : 0;
        point->bounds |= point->level[i] >= kind->emitters.most[i] - AT_BOUND ? BOUND_FULL(i) : 0;
    }
    point->bounds |= point->held ? BOUND_HELD : 0;
}

static void colour_point(const mtmi_transition *transition, double part,
                         mtmi_transition_point *point)
{
    const size_t count = transition->kind->emitters.count;
    double light = light_at(transition, part);
    double share = share_at(transition, part, light);
    double base[MTM_EMITTERS_MAX];

    if (mtmi_kind_dims(transition->kind)) {
        mtmi_mixed_dims_point(transition->kind, light, point);
        note_bounds(transition->kind, point);
        return;
    }
    for (size_t i = 0; i < count; i++)
        base[i] = transition->from.level[i] +
                  share * (transition->to.level[i] - transition->from.level[i]);
    if (transition->path_type == MTM_PATH_LIGHT) {
        memcpy(point->level, base, count * sizeof *base);
        point->wanted = mtmi_mix_xyz(&transition->kind->emitters, base);
        return;
    }
    mtm_xy xy = mtm_path_at(&transition->path, path_part(transition, part, light));
    point->wanted = mtm_xyz_from_xy(xy, light);
    if (!mtmi_mix_nearest(&transition->kind->emitters, base, point->wanted, point->level))
        mix_within(transition, base, xy, light, point);
    note_bounds(transition->kind, point);
}

/* The ends are as they are given; their bounds are those of the transition that begins or ends
 * there. */
static void end_point(const mtmi_end *end, mtmi_transition_point *point)
{
    memcpy(point->level, end->level, sizeof point->level);
    point->dimmer = end->dimmer;
    point->wanted = end->xyz;
}

void mtmi_transition_at(const mtmi_transition *transition, double frame,
                        mtmi_transition_point *point)
{
    double part = frame / (double)transition->frames;

    *point = (mtmi_transition_point){.dimmer = transition->kind->dimmer_full};
    if (transition->path_type == MTM_PATH_SLOTS) {
        slots_point(transition, frame, point);
        return;
    }
    colour_point(transition, part < 1 ? fmax(0, part) : 1, point);
    if (mtmi_dimmer_keeps_colour(transition->dimmer))
        mtmi_dimmer_follow(transition, part, point);
    if (part <= 0)
        end_point(&transition->from, point);
    else if (part >= 1)
        end_point(&transition->to, point);
}

/* What an emitter sends behind the dimmer. Where nothing shines, the lit end tells it. */
static double behind_dimmer(const mtmi_transition *transition, const mtmi_transition_point *point,
                            size_t emitter)
{
    const mtmi_kind *kind = transition->kind;

    if (transition->held_y > 0)
        return (double)mtmi_transition_lit_end(transition)->codes.emitter[emitter] /
               kind->most[emitter];
    if (transition->dimmer == MTMI_DIMMER_RESTS)
        return point->level[emitter] / kind->dimmer_full;
    if (point->dimmer > 0)
        return point->level[emitter] / point->dimmer;
    return mtmi_dark_share(kind, transition->dimmer, mtmi_transition_lit_end(transition), emitter);
}

uint64_t mtmi_transition_channels(const mtmi_transition *transition, double frame, double *level)
{
    const mtmi_kind *kind = transition->kind;
    const size_t count = kind->emitters.count;
    mtmi_transition_point point;

    if (transition->path_type == MTM_PATH_SLOTS) {
        slots_codes(transition, frame, level);
        for (size_t i = 0; i < kind->channel_count; i++)
            level[i] /= kind->most[i];
        double within =
            fmin(frame, (double)transition->frames - 0.5); /* no bend where the transition ends */
        return within < (double)transition->up ? (within < (double)transition->down ? 0 : 1)
                                               : (within < (double)transition->down ? 2 : 3);
    }
    mtmi_transition_at(transition, frame, &point);
    memcpy(level, point.level, count * sizeof *level);
    if (kind->has_dimmer) {
        for (size_t i = 0; i < count; i++)
            level[i] = behind_dimmer(transition, &point, i);
        level[count] = transition->dimmer == MTMI_DIMMER_RESTS ? kind->dimmer_full : point.dimmer;
    }
    return point.bounds;
}

void mtmi_transition_codes(const mtmi_transition *transition, double frame, double *code)
{
    if (transition->path_type == MTM_PATH_SLOTS) {
        slots_codes(transition, frame, code);
        return;
    }
    (void)mtmi_transition_channels(transition, frame, code);
    for (size_t i = 0; i < transition->kind->channel_count; i++)
        code[i] = mtmi_transition_by_code(transition, i)
                      ? code[i] * transition->kind->most[i]
                      : mtmi_code_for(transition->kind, i, code[i]);
}
