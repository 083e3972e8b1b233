/* SPDX-License-Identifier: MIT */
/* Together: one chromaticity and one output that all chosen units can reach. */
#include "base/error.h"
#include "base/number.h"
#include "base/pool.h"
#include "numeric/convex.h"
#include "solve/answer.h"
#include "solve/matcher.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Units whose colour goes with their output have no gamut to share a white in. */
static bool dims(const mtm_matcher *matcher, size_t unit)
{
    return mtm_fixture_dims(
        mtm_rig_unit(mtmi_matcher_rig(matcher), mtmi_matcher_leader(matcher, unit))->fixture);
}

struct gamut {
    mtmi_point corner[MTM_EMITTERS_MAX]; /* in u', v' */
    size_t count;
    size_t unit; /* one that has it */
};

/* The distinct gamuts of the chosen units. */
struct gamuts {
    struct gamut *list;
    size_t count;
    size_t corners; /* of all of them */
};

static void gamut_of_unit(const mtm_matcher *matcher, size_t unit, struct gamut *gamut)
{
    mtm_xy corner[MTM_EMITTERS_MAX];

    gamut->unit = unit;
    gamut->count = mtm_solver_gamut(mtm_matcher_solver(matcher, unit), corner);
    for (size_t i = 0; i < gamut->count; i++) {
        mtm_uv uv = mtm_uv_from_xy(corner[i]);
        gamut->corner[i] = (mtmi_point){uv.u, uv.v};
    }
}

static mtm_result find_gamuts(const mtm_matcher *matcher, const size_t *unit, size_t count,
                              struct gamuts *gamuts, mtm_error *error)
{
    gamuts->list = calloc(count, sizeof *gamuts->list);
    if (gamuts->list == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < count; i++) {
        const mtm_solver *solver = mtm_matcher_solver(matcher, unit[i]);
        size_t k = 0;
        if (dims(matcher, unit[i]))
            continue;
        while (k < gamuts->count && mtm_matcher_solver(matcher, gamuts->list[k].unit) != solver)
            k++;
        if (k < gamuts->count)
            continue;
        gamut_of_unit(matcher, unit[i], &gamuts->list[k]);
        gamuts->corners += MTMI_POLYGON_GROWTH(gamuts->list[k].count);
        gamuts->count++;
    }
    if (gamuts->count == 0)
        return mtmi_fail(error, MTM_RANGE,
                         "the colour of every unit chosen goes with its output, so that there is "
                         "no common white to look for; match each by itself, at an output");
    return MTM_OK;
}

static void polygon_from(mtmi_polygon *polygon, const struct gamut *gamut)
{
    memcpy(polygon->corner, gamut->corner, gamut->count * sizeof *gamut->corner);
    polygon->count = gamut->count;
}

static bool exclude_each_other(mtmi_polygon *polygon, const struct gamut *a, const struct gamut *b,
                               mtmi_point *scratch)
{
    polygon_from(polygon, a);
    mtmi_polygon_clip(polygon, b->corner, b->count, scratch);
    return polygon->count == 0;
}

/* Two that have nothing in common; where only three or more together have nothing, the same twice.
 */
static void find_apart(const struct gamuts *gamuts, mtmi_polygon *polygon, mtmi_point *scratch,
                       size_t emptied_by, size_t apart[2])
{
    apart[0] = apart[1] = gamuts->list[emptied_by].unit;
    for (size_t i = 0; i < gamuts->count; i++) {
        for (size_t j = i + 1; j < gamuts->count; j++) {
            if (!exclude_each_other(polygon, &gamuts->list[i], &gamuts->list[j], scratch))
                continue;
            apart[0] = gamuts->list[i].unit;
            apart[1] = gamuts->list[j].unit;
            return;
        }
    }
}

static mtm_result find_common(const struct gamuts *gamuts, mtm_xy asked, mtm_common *common,
                              mtm_error *error)
{
    size_t room = gamuts->corners + MTM_EMITTERS_MAX;
    mtmi_point *corner = calloc(room, sizeof *corner);
    mtmi_point *scratch = calloc(room, sizeof *scratch);
    mtm_result result = MTM_OK;

    if (corner == NULL || scratch == NULL) {
        result = mtmi_fail_memory(error);
        goto done;
    }
    mtmi_polygon polygon = {.corner = corner, .room = room};
    polygon_from(&polygon, &gamuts->list[0]);
    size_t i = 1;
    for (; i < gamuts->count && polygon.count > 0; i++)
        mtmi_polygon_clip(&polygon, gamuts->list[i].corner, gamuts->list[i].count, scratch);
    common->exists = polygon.count > 0;
    if (common->exists) {
        mtm_uv wanted = mtm_uv_from_xy(asked);
        mtmi_point on = mtmi_polygon_nearest(&polygon, (mtmi_point){wanted.u, wanted.v});
        mtm_uv nearest = {on.x, on.y};
        common->delta_uv = mtm_uv_distance(nearest, wanted);
        common->xy = common->delta_uv > 0 ? mtm_xy_from_uv(nearest) : asked;
    } else {
        find_apart(gamuts, &polygon, scratch, i - 1, common->apart);
    }
done:
    free(corner);
    free(scratch);
    return result;
}

/* Brings a colour in to what all may have; true if one of them held it, who is then the one that
 * brought it in last. */
static bool bring_in(const mtm_matcher *matcher, const struct gamuts *gamuts, mtm_xy *xy,
                     mtm_common *common)
{
    bool held = false;

    for (size_t i = 0; i < gamuts->count; i++) {
        const mtm_unit *unit = mtm_rig_unit(mtmi_matcher_rig(matcher), gamuts->list[i].unit);
        if (!mtmi_bring_in(mtm_fixture_limits(unit->fixture), mtmi_matcher_observer(matcher), xy))
            continue;
        common->limits_colour = gamuts->list[i].unit;
        common->by_purity = held = true;
    }
    return held;
}

/* Brought in and moved into all gamuts in turns: between convex sets this goes to a colour that
 * lies in all. */
#define PURITY_ROUNDS 60

static mtm_result find_pure(const mtm_matcher *matcher, const struct gamuts *gamuts, mtm_xy asked,
                            mtm_common *common, mtm_error *error)
{
    mtm_xy aim = asked;

    for (int round = 0; round == 0 || bring_in(matcher, gamuts, &aim, common); round++) {
        if (round == 0)
            (void)bring_in(matcher, gamuts, &aim, common);
        mtm_result result = find_common(gamuts, aim, common, error);
        if (result != MTM_OK)
            return result;
        if (common->exists && round == PURITY_ROUNDS) {
            common->exists = false;
            common->apart[0] = common->apart[1] = common->limits_colour;
        }
        if (!common->exists)
            return MTM_OK;
        aim = common->xy;
    }
    common->delta_uv = mtm_uv_distance(mtm_uv_from_xy(common->xy), mtm_uv_from_xy(asked));
    return MTM_OK;
}

static void find_colour_limit(const mtm_matcher *matcher, const struct gamuts *gamuts, mtm_xy asked,
                              mtm_common *common)
{
    double farthest = -1;

    for (size_t i = 0; i < gamuts->count; i++) {
        double distance = 0;
        (void)mtm_solver_nearest(mtm_matcher_solver(matcher, gamuts->list[i].unit), asked,
                                 &distance);
        if (mtmi_exceeds(distance, farthest)) {
            farthest = distance;
            common->limits_colour = gamuts->list[i].unit;
        }
    }
}

/* The most of a unit's mix; a unit that follows gives no more than its own emitters can. */
static mtm_result find_most(mtm_matcher *matcher, size_t unit, const mtm_request *request,
                            const mtm_match *match, double *most, mtm_error *error)
{
    mtm_request own = *request;
    mtm_answer answer;

    *most = match->ideal.most;
    if (mtmi_matcher_leader(matcher, unit) == unit)
        return MTM_OK;
    own.goal = MTM_GOAL_LIGHT;
    mtm_result result = mtm_solver_solve(mtm_matcher_solver(matcher, unit), &own, &answer, error);
    if (result == MTM_OK)
        *most = fmin(*most, answer.most);
    return result;
}

/* What arrives of a lumen of a unit; a unit that follows goes by the one whose slots it shares. */
static double arriving(const mtm_matcher *matcher, size_t unit, mtm_light_at light_at)
{
    const mtm_unit *leader =
        mtm_rig_unit(mtmi_matcher_rig(matcher), mtmi_matcher_leader(matcher, unit));

    return light_at == MTM_LIGHT_LUX ? mtm_unit_lux_per_lm(leader)
                                     : (light_at == MTM_LIGHT_GAINED ? mtm_unit_gain(leader) : 1);
}

/* Where all units' light can be compared; some with lux and some without cannot. */
static mtm_result find_place(const mtm_matcher *matcher, const size_t *unit, size_t count,
                             mtm_output_type asked, mtm_light_at *light_at, mtm_error *error)
{
    size_t with = count;
    size_t without = count;
    bool gained = false;

    for (size_t i = 0; i < count; i++) {
        if (arriving(matcher, unit[i], MTM_LIGHT_LUX) > 0)
            with = with < count ? with : i;
        else
            without = without < count ? without : i;
        gained = gained || arriving(matcher, unit[i], MTM_LIGHT_GAINED) != 1;
    }
    const mtm_rig *rig = mtmi_matcher_rig(matcher);
    if (without < count && (with < count || asked == MTM_OUTPUT_LUX))
        return mtmi_fail(error, MTM_RANGE,
                         "%.60s: the rig states no cd_per_klm and distance_m for it%s%.60s%s, so "
                         "their light cannot be equal in lux",
                         mtm_rig_unit(rig, unit[without])->name, with < count ? ", but for " : "",
                         with < count ? mtm_rig_unit(rig, unit[with])->name : "",
                         with < count ? " it does" : "");
    if (without == count && asked == MTM_OUTPUT_LM)
        return mtmi_fail(
            error, MTM_RANGE,
            "the units' light is made equal in lux, where it arrives; state the output "
            "in lx or per cent, not in lumens");
    *light_at = without == count ? MTM_LIGHT_LUX : gained ? MTM_LIGHT_GAINED : MTM_LIGHT_AT_LENS;
    return MTM_OK;
}

/* Every unit's mix at the common chromaticity, and the least of what they give at most. */
static mtm_result find_common_output(mtm_matcher *matcher, const size_t *unit, size_t count,
                                     const mtm_match_request *request, mtm_match *match,
                                     mtm_common *common, mtm_error *error)
{
    const mtm_request at_most = {.xy = common->xy, .goal = request->goal};

    common->output = INFINITY;
    for (size_t i = 0; i < count; i++) {
        double most = 0;
        if (dims(matcher, unit[i]))
            continue;
        mtm_result result = mtmi_matcher_solve(matcher, unit[i], &at_most,
                                               mtmi_index_request_of(request), &match[i], error);
        if (result == MTM_OK)
            result = find_most(matcher, unit[i], &at_most, &match[i], &most, error);
        if (result != MTM_OK)
            return result;
        most *= arriving(matcher, unit[i], common->light_at);
        if (mtmi_exceeds(common->output, most)) {
            common->output = most;
            common->limits_output = unit[i];
        }
    }
    return MTM_OK;
}

/* The output all are asked for; true if it is what the request stated. */
static bool state_output(const mtm_match_request *request, mtm_common *common)
{
    double most = common->output;

    if (request->output.type == MTM_OUTPUT_SHARE)
        common->output = most * request->output.value;
    if (request->output.type != MTM_OUTPUT_LM && request->output.type != MTM_OUTPUT_LUX)
        return true;
    common->output = fmin(most, request->output.value);
    return !mtmi_exceeds(request->output.value, most);
}

static mtm_result answer_all(mtm_matcher *matcher, const size_t *unit, size_t count,
                             const mtm_match_request *request, mtm_common *common, mtm_match *match,
                             mtm_error *error)
{
    bool as_stated = state_output(request, common);
    mtm_request asked = {
        .xy = common->xy,
        .goal = request->goal,
        .output = {.type = MTM_OUTPUT_LM},
    };

    for (size_t i = 0; i < count; i++) {
        mtm_result result = MTM_OK;
        asked.output.value = common->output / arriving(matcher, unit[i], common->light_at);
        const bool apart = dims(matcher, unit[i]);
        /* the only mixes that depend on the output */
        if (apart || match[i].goal == MTM_GOAL_WATTS)
            result = mtmi_matcher_solve(matcher, unit[i], &asked, mtmi_index_request_of(request),
                                        &match[i], error);
        else
            mtmi_answer_scale(asked.output, &match[i].ideal);
        if (result != MTM_OK)
            return result;
        if (apart) {
            mtmi_matcher_finish(matcher, unit[i], request, &match[i]);
            continue;
        }
        match[i].shortfall = as_stated ? 0 : MTM_SHORT_OUTPUT;
        match[i].shortfall |= common->by_purity ? (unsigned)MTM_SHORT_PURITY : 0U;
        mtmi_matcher_hold(matcher, unit[i], asked.output, &match[i]);
        mtmi_matcher_finish(matcher, unit[i], request, &match[i]);
        if (common->delta_uv > MTMI_CONVEX_SLACK)
            match[i].shortfall |= MTM_SHORT_GAMUT;
    }
    return MTM_OK;
}

static mtm_result answer_apart(mtm_matcher *matcher, const size_t *unit, size_t count,
                               const mtm_match_request *request, mtm_match *match, mtm_error *error)
{
    for (size_t i = 0; i < count; i++) {
        mtm_result result = mtm_matcher_unit(matcher, unit[i], request, &match[i], error);
        if (result != MTM_OK)
            return result;
    }
    return MTM_OK;
}

/* Units that are to share a colour and an output, each answered for in match. */
static mtm_result match_common(mtm_matcher *matcher, const size_t *unit, size_t count,
                               const mtm_match_request *request, mtm_match *match,
                               mtm_common *common, mtm_error *error)
{
    struct gamuts gamuts = {0};
    mtm_result result =
        find_place(matcher, unit, count, request->output.type, &common->light_at, error);

    if (result == MTM_OK)
        result = find_gamuts(matcher, unit, count, &gamuts, error);
    if (result == MTM_OK)
        result = find_pure(matcher, &gamuts, request->target.xy, common, error);
    if (result == MTM_OK && !common->by_purity)
        find_colour_limit(matcher, &gamuts, request->target.xy, common);
    if (result == MTM_OK && common->exists)
        result = find_common_output(matcher, unit, count, request, match, common, error);
    if (result == MTM_OK)
        result = common->exists ? answer_all(matcher, unit, count, request, common, match, error)
                                : answer_apart(matcher, unit, count, request, match, error);
    free(gamuts.list);
    return result;
}

/* Answers for the units that stay dark, and lists the others by their places in unit. */
static mtm_result leave_dark(mtm_matcher *matcher, const size_t *unit, size_t count,
                             const mtm_match_request *request, mtm_match *match, size_t *lit,
                             size_t *lit_count, mtm_error *error)
{
    for (size_t i = 0; i < count; i++) {
        mtm_result result = request->leave_dark_uv > 0
                                ? mtm_matcher_unit(matcher, unit[i], request, &match[i], error)
                                : MTM_OK;
        if (result != MTM_OK)
            return result;
        if (!(request->leave_dark_uv > 0 && match[i].left_dark_uv > 0))
            lit[(*lit_count)++] = i;
    }
    return MTM_OK;
}

static mtm_result check(const mtm_matcher *matcher, const size_t *unit, size_t count,
                        const mtm_match_request *request, mtm_error *error)
{
    if (count == 0 || unit == NULL)
        return mtmi_fail(error, MTM_INVALID, "no units are chosen; at least one is wanted");
    mtm_result result = mtmi_match_request_check(matcher, request, error);
    for (size_t i = 0; result == MTM_OK && i < count; i++) {
        if (mtm_matcher_solver(matcher, unit[i]) == NULL)
            result =
                mtmi_fail(error, MTM_INVALID, "the matcher was made without unit %zu", unit[i]);
    }
    return result;
}

mtm_result mtm_matcher_together(mtm_matcher *matcher, const size_t *unit, size_t count,
                                const mtm_match_request *request, mtm_match *match,
                                mtm_common *common, mtm_error *error)
{
    mtm_common made = {0};
    mtmi_pool pool = {0};
    size_t lit = 0;

    if (matcher == NULL || request == NULL || match == NULL || common == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a matcher, a request and places for the answer are needed");
    mtm_result result = check(matcher, unit, count, request, error);
    if (result != MTM_OK)
        return result;
    size_t *place = mtmi_pool_take(&pool, count, sizeof *place);
    size_t *lit_unit = mtmi_pool_take(&pool, count, sizeof *lit_unit);
    mtm_match *all = mtmi_pool_take(&pool, count, sizeof *all);
    mtm_match *some = mtmi_pool_take(&pool, count, sizeof *some);
    result = pool.failed ? mtmi_fail_memory(error) : MTM_OK;
    if (result == MTM_OK)
        result = leave_dark(matcher, unit, count, request, all, place, &lit, error);
    for (size_t i = 0; i < lit && result == MTM_OK; i++)
        lit_unit[i] = unit[place[i]];
    made.left_dark = count - lit;
    if (result == MTM_OK && lit > 0)
        result = match_common(matcher, lit_unit, lit, request, some, &made, error);
    for (size_t i = 0; i < lit && result == MTM_OK; i++)
        all[place[i]] = some[i];
    if (result == MTM_OK) {
        memcpy(match, all, count * sizeof *match);
        *common = made;
    }
    mtmi_pool_free(&pool);
    return result;
}
