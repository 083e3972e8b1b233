/* SPDX-License-Identifier: MIT */
/* Transition: a unit's way from one light to another, exact at any time.
 *
 * Along a path of colours the light wanted at a time is the path's chromaticity with the shape's
 * output. Of the levels that give it, those nearest to what lies straight between the mixes of both
 * ends are taken (mix.c): so the mix changes steadily, from the one to the other. What the emitters
 * cannot give is replaced by the nearest that they can. A path of slots goes straight in codes
 * instead.
 *
 * Each place also tells which bounds it stands at (a level at 0 or 1, who leads the dimmer): where
 * the bits change the curve has a corner, and the planner ends its piece there. The cost is the
 * nearest mix: a few steps of Newton's method, and the dual method where they do not settle.
 *
 * Whatever is added must stay continuous in time, or set a bound's bit where it has a corner: else
 * the cubics of plan.c swing beside it. The report (report.c) tells how far off what is sent then
 * is. */
#include "fade/fade.h"

#include "base/error.h"
#include "fade/shape.h"

#include <math.h>
#include <string.h>

/* Outputs nearer than this part of the full one count as equal. */
#define EQUAL_PART 1e-9

/* Levels so near to 0 or 1 are held there. */
#define AT_BOUND 1e-11

/* Bits of mtmi_place.bounds: of each emitter, then of the whole. */
#define BOUND_NONE(i) ((uint64_t)1 << (i))          /* at level 0 */
#define BOUND_FULL(i) ((uint64_t)1 << (16 + (i)))   /* at level 1 */
#define BOUND_DIMMER(i) ((uint64_t)1 << (32 + (i))) /* the dimmer goes by it */
#define BOUND_HELD ((uint64_t)1 << 48)
#define BOUND_SHARE(i) ((uint64_t)1 << (49 + (i))) /* how dimmer and emitters share the light */

/* The step in L* of a dimmer's code which need not be finer. */
#define SEEN_STEP 1.0

/* A dark end has no colour: it takes that of the other, and the way is a mere change of light. */
static bool has_colours(const mtmi_way *way)
{
    return way->from.xyz.y > 0 && way->to.xyz.y > 0;
}

static mtm_result begin_path(mtmi_way *way, mtm_error *error)
{
    if (way->path_kind == MTM_PATH_SLOTS || way->path_kind == MTM_PATH_LIGHT)
        return MTM_OK;
    if (!has_colours(way)) {
        way->path_kind = MTM_PATH_LIGHT;
        return MTM_OK;
    }
    return mtm_path_create(way->path_kind, mtm_xy_from_xyz(way->from.xyz),
                           mtm_xy_from_xyz(way->to.xyz), &way->path, error);
}

/* On a path straight in slots each channel goes for the time of its own direction. */
static uint64_t slots_frames(const mtmi_way *way)
{
    uint64_t frames = 1;

    for (size_t i = 0; i < way->kind->channel_count; i++) {
        uint64_t own = way->to.code[i] >= way->from.code[i] ? way->up : way->down;

        if (way->to.code[i] != way->from.code[i] && own > frames)
            frames = own;
    }
    return frames;
}

mtm_result mtmi_way_begin(mtmi_way *way, mtm_error *error)
{
    mtm_result result = begin_path(way, error);

    if (result != MTM_OK)
        return result;
    way->up = way->up > 0 ? way->up : 1;
    way->down = way->down > 0 ? way->down : 1;
    bool rises = way->to.xyz.y >= way->from.xyz.y * (1 - EQUAL_PART);
    way->frames = rises ? way->up : way->down;
    way->bend = (double)way->frames * mtmi_shape_bend(way->shape,
                                                      way->from.xyz.y / way->kind->emitters.full_y,
                                                      way->to.xyz.y / way->kind->emitters.full_y);
    if (way->path_kind == MTM_PATH_SLOTS)
        way->frames = slots_frames(way);
    return MTM_OK;
}

static void slots_codes(const mtmi_way *way, double frame, double *code)
{
    for (size_t i = 0; i < way->kind->channel_count; i++) {
        double a = way->from.code[i];
        double b = way->to.code[i];
        double part = frame / (double)(b >= a ? way->up : way->down);

        code[i] = part < 1 ? a + part * (b - a) : b;
    }
}

static void slots_place(const mtmi_way *way, double frame, mtmi_place *place)
{
    const mtmi_kind *kind = way->kind;
    double code[MTMI_CHANNELS_MAX];

    slots_codes(way, frame, code);
    place->dimmer = kind->has_dimmer
                        ? mtmi_level_of(kind, kind->emitters.count, code[kind->emitters.count])
                        : 1;
    for (size_t i = 0; i < kind->emitters.count; i++)
        place->level[i] = place->dimmer * mtmi_level_of(kind, i, code[i]);
    place->wanted = mtmi_mix_xyz(&kind->emitters, place->level);
}

/* The light at part of the time, in the unit of Y. */
static double light_at(const mtmi_way *way, double part)
{
    double full = way->kind->emitters.full_y;

    return full * mtm_shape_at(way->shape, way->kind->own, way->from.xyz.y / full,
                               way->to.xyz.y / full, part);
}

static double eased(const mtmi_way *way, double part)
{
    return way->shape == MTM_SHAPE_S ? part * part * (3 - 2 * part) : part;
}

/* The share of the second mix in the first two, so that their light together is light. */
static double share_at(const mtmi_way *way, double part, double light)
{
    double rise = way->to.xyz.y - way->from.xyz.y;

    if (fabs(rise) <= EQUAL_PART * way->kind->emitters.full_y)
        return eased(way, part);
    return (light - way->from.xyz.y) / rise;
}

/* What the emitters cannot do is done as nearly as they can: the nearest chromaticity, and as much
 * light as it has. Both move continuously with what is wanted. */
static void mix_within(const mtmi_way *way, const double *base, mtm_xy xy, double light,
                       mtmi_place *place)
{
    double distance = 0;
    mtm_answer answer;
    mtm_request request = {.xy = mtm_solver_nearest(way->solver, xy, &distance),
                           .goal = MTM_GOAL_LIGHT};

    place->held = true;
    if (mtm_solver_solve(way->solver, &request, &answer, NULL) == MTM_OK && answer.most < light)
        light = answer.most * (1 - 1e-9);
    (void)mtmi_mix_nearest(&way->kind->emitters, base, mtm_xyz_from_xy(request.xy, light),
                           place->level);
}

static void colour_place(const mtmi_way *way, double part, mtmi_place *place)
{
    const size_t count = way->kind->emitters.count;
    double light = light_at(way, part);
    double share = share_at(way, part, light);
    double base[MTM_EMITTERS_MAX];

    for (size_t i = 0; i < count; i++)
        base[i] = way->from.level[i] + share * (way->to.level[i] - way->from.level[i]);
    if (way->path_kind == MTM_PATH_LIGHT) {
        memcpy(place->level, base, count * sizeof *base);
        place->wanted = mtmi_mix_xyz(&way->kind->emitters, base);
        return;
    }
    mtm_xy xy = mtm_path_at(&way->path, eased(way, part));
    place->wanted = mtm_xyz_from_xy(xy, light);
    if (!mtmi_mix_nearest(&way->kind->emitters, base, place->wanted, place->level))
        mix_within(way, base, xy, light, place);
    for (size_t i = 0; i < count; i++) {
        place->bounds |= place->level[i] <= AT_BOUND ? BOUND_NONE(i) : 0;
        place->bounds |= place->level[i] >= 1 - AT_BOUND ? BOUND_FULL(i) : 0;
    }
    place->bounds |= place->held ? BOUND_HELD : 0;
}

/* The level of an 8-bit dimmer where one code of it is as much as SEEN_STEP in L*, at this part of
 * the full light. Higher it moves as finely as anybody sees, even where a unit follows its dimmer
 * and its emitters one after the other; lower, the emitters have more codes for the colour. */
static double fine_dimmer(const mtmi_kind *kind, double part)
{
    double slope = mtmi_lightness_slope(part) * part; /* of L*, by the logarithm of light */
    double code = kind->dimmer_exponent * slope / (SEEN_STEP * 255);

    return code < 1 ? pow(code, kind->dimmer_exponent) : 1;
}

/* On a way out of the dark or into it, an 8-bit dimmer is where it is fine, so far as the lit end
 * lets it, and the emitters do the rest: behind the lowest codes they go down, not the dimmer,
 * which would step there, until one code more or less of it is not seen. */
static void guide_dimmer(const mtmi_way *way, mtmi_place *place)
{
    const mtmi_kind *kind = way->kind;
    const mtmi_end *lit = way->to.xyz.y > 0 ? &way->to : &way->from;
    double part = mtmi_mix_xyz(&kind->emitters, place->level).y / kind->emitters.full_y;
    double highest = 0;
    double highest_lit = 0;

    for (size_t i = 0; i < kind->emitters.count; i++) {
        highest = fmax(highest, place->level[i]);
        highest_lit = fmax(highest_lit, lit->level[i]);
    }
    if (!(highest > 0))
        return;
    double most = fmin(1, highest_lit / lit->dimmer); /* of the emitters, at the lit end */
    double least = fmin(most, mtmi_first_step(kind, part / highest));
    double fine = fmin(fmax(fine_dimmer(kind, part), kind->dimmer_least), lit->dimmer);
    place->dimmer = highest / most;
    place->bounds |= BOUND_SHARE(0);
    if (fine > place->dimmer) {
        place->dimmer = fine;
        place->bounds ^= BOUND_SHARE(0) | BOUND_SHARE(1);
    }
    if (highest / least < place->dimmer) {
        place->dimmer = highest / least;
        place->bounds &= ~(BOUND_SHARE(0) | BOUND_SHARE(1));
        place->bounds |= BOUND_SHARE(2);
    }
}

/* The dimmer's level for light: as much of it as the ends have for theirs, and enough. */
static void place_dimmer(const mtmi_way *way, double part, mtmi_place *place)
{
    if (way->kind->dimmer_guided && !has_colours(way)) {
        guide_dimmer(way, place);
        return;
    }
    double light = mtmi_mix_xyz(&way->kind->emitters, place->level).y;
    double a = way->from.xyz.y > 0 ? way->from.dimmer / way->from.xyz.y : -1;
    double b = way->to.xyz.y > 0 ? way->to.dimmer / way->to.xyz.y : a;
    uint64_t bound = 0;

    if (a < 0)
        a = b;
    place->dimmer = a < 0 ? 0 : light * (a + part * (b - a));
    for (size_t i = 0; i < way->kind->emitters.count; i++) {
        if (place->level[i] > place->dimmer) {
            place->dimmer = place->level[i];
            bound = BOUND_DIMMER(i);
        }
    }
    if (place->dimmer > 1)
        place->dimmer = 1;
    place->bounds |= bound;
}

/* The ends are as they are given; their bounds are those of the way that begins or ends there. */
static void end_place(const mtmi_end *end, mtmi_place *place)
{
    memcpy(place->level, end->level, sizeof place->level);
    place->dimmer = end->dimmer;
    place->wanted = end->xyz;
}

void mtmi_way_at(const mtmi_way *way, double frame, mtmi_place *place)
{
    double part = frame / (double)way->frames;

    *place = (mtmi_place){.dimmer = 1};
    if (way->path_kind == MTM_PATH_SLOTS) {
        slots_place(way, frame, place);
        return;
    }
    colour_place(way, part < 1 ? fmax(0, part) : 1, place);
    if (way->kind->has_dimmer && !way->kind->dimmer_rests)
        place_dimmer(way, part, place);
    if (part <= 0)
        end_place(&way->from, place);
    else if (part >= 1)
        end_place(&way->to, place);
}

/* Where nothing shines, what the emitters' codes should be is told by the lit end. */
static double share_in_the_dark(const mtmi_way *way, size_t emitter)
{
    return mtmi_dark_share(way->kind, way->to.xyz.y > 0 ? &way->to : &way->from, emitter);
}

uint64_t mtmi_way_channels(const mtmi_way *way, double frame, double *level)
{
    const mtmi_kind *kind = way->kind;
    const size_t count = kind->emitters.count;
    mtmi_place place;

    if (way->path_kind == MTM_PATH_SLOTS) {
        slots_codes(way, frame, level);
        for (size_t i = 0; i < kind->channel_count; i++)
            level[i] /= kind->most[i];
        double within = fmin(frame, (double)way->frames - 0.5); /* no bend where the way ends */
        return within < (double)way->up ? (within < (double)way->down ? 0 : 1)
                                        : (within < (double)way->down ? 2 : 3);
    }
    mtmi_way_at(way, frame, &place);
    memcpy(level, place.level, count * sizeof *level);
    if (kind->has_dimmer) {
        for (size_t i = 0; i < count; i++)
            level[i] = place.dimmer > 0 ? level[i] / place.dimmer : share_in_the_dark(way, i);
        level[count] = place.dimmer;
    }
    return place.bounds;
}

void mtmi_way_codes(const mtmi_way *way, double frame, double *code)
{
    if (way->path_kind == MTM_PATH_SLOTS) {
        slots_codes(way, frame, code);
        return;
    }
    (void)mtmi_way_channels(way, frame, code);
    for (size_t i = 0; i < way->kind->channel_count; i++)
        code[i] = mtmi_code_for(way->kind, i, code[i]);
}
