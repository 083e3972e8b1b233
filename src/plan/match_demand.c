/* SPDX-License-Identifier: MIT */
/* Match demand: what a match asks of ports and supplies, and how it keeps within their ratings. */
#include <metamer/match_demand.h>

#include "base/error.h"
#include "base/number.h"
#include "base/pool.h"
#include "plan/demand.h"
#include "solve/matcher.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ROUNDS_MAX 8

/* What is to be kept within the ratings. */
struct work {
    mtm_matcher *matcher;
    const mtm_rig *rig;
    const mtm_match_request *request;
    const mtm_demand_options *options;
    mtm_match *match;
    size_t count;
    mtm_common *common; /* NULL: each on its own */
    size_t *unit;       /* by match */
    double *watts;      /* by unit of the rig, as factor is */
    double *factor;
    bool *held;
};

static mtm_result check_units(const mtm_rig *rig, const mtm_match *match, size_t count,
                              mtm_error *error)
{
    for (size_t i = 0; i < count; i++) {
        if (match[i].unit >= mtm_rig_unit_count(rig))
            return mtmi_fail(error, MTM_INVALID, "match %zu is of unit %zu, the rig has %zu", i,
                             match[i].unit, mtm_rig_unit_count(rig));
    }
    return MTM_OK;
}

/* What a unit that mixes by itself takes is not known: its most is counted, where it hangs on a
 * supply. */
static double counted_w(const mtm_rig *rig, const mtm_match *match)
{
    const mtm_unit *unit = mtm_rig_unit(rig, match->unit);
    double most_w = mtm_demand_full_w(unit);

    if (!isnan(match->watts) || !mtm_fixture_mixes(unit->fixture))
        return match->watts;
    return isnan(most_w) && unit->supply < 0 ? 0 : most_w;
}

mtm_result mtm_match_demand(const mtm_rig *rig, const mtm_match *match, size_t count,
                            const mtm_demand_options *options, mtm_demand **out, mtm_error *error)
{
    if (rig == NULL || (match == NULL && count > 0) || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a rig, its matches and a place are needed");
    mtm_result result = check_units(rig, match, count, error);
    if (result != MTM_OK)
        return result;
    double *watts = calloc(mtm_rig_unit_count(rig) + 1, sizeof *watts);
    if (watts == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < count; i++)
        watts[match[i].unit] = counted_w(rig, &match[i]);
    result = mtm_demand_create(rig, watts, options, out, error);
    free(watts);
    return result;
}

/* Matches again with each unit's output times its factor. */
static mtm_result lower_each(const struct work *work, mtm_error *error)
{
    for (size_t i = 0; i < work->count; i++) {
        mtm_match *match = &work->match[i];
        const mtm_unit *unit = mtm_rig_unit(work->rig, match->unit);
        double share = mtmi_demand_light_factor(unit, work->factor[match->unit]);
        if (!mtmi_exceeds(1, share))
            continue;
        mtm_match_request request = *work->request;
        unsigned shortfall = match->shortfall;
        request.output =
            (mtm_output){MTM_OUTPUT_LM, match->ideal.xyz.y * share * MTMI_DEMAND_HEADROOM};
        mtm_result result = mtm_matcher_unit(work->matcher, match->unit, &request, match, error);
        if (result != MTM_OK)
            return result;
        match->shortfall |= shortfall;
    }
    return MTM_OK;
}

/* One output for all stays one: that of the unit that must come down farthest. */
static mtm_result lower_all(const struct work *work, mtm_error *error)
{
    mtm_match_request request = *work->request;
    double least = 1;

    for (size_t i = 0; i < work->count; i++)
        least = fmin(least, mtmi_demand_light_factor(mtm_rig_unit(work->rig, work->unit[i]),
                                                     work->factor[work->unit[i]]));
    request.output =
        (mtm_output){work->common->light_at == MTM_LIGHT_LUX ? MTM_OUTPUT_LUX : MTM_OUTPUT_LM,
                     work->common->output * least * MTMI_DEMAND_HEADROOM};
    return mtm_matcher_together(work->matcher, work->unit, work->count, &request, work->match,
                                work->common, error);
}

static bool all_within(const struct work *work)
{
    bool within = true;

    for (size_t i = 0; i < work->count; i++) {
        if (!mtmi_exceeds(1, work->factor[work->unit[i]]))
            continue;
        within = false;
        work->held[i] = true;
    }
    return within;
}

static mtm_result lower(struct work *work, mtm_error *error)
{
    mtm_result result = MTM_OK;

    for (int round = 0; result == MTM_OK && round < ROUNDS_MAX; round++) {
        for (size_t i = 0; i < work->count; i++)
            work->watts[work->unit[i]] = counted_w(work->rig, &work->match[i]);
        result = mtm_demand_factors(work->rig, work->watts, work->options, work->factor, error);
        if (result != MTM_OK || all_within(work))
            break;
        result = work->common != NULL && work->common->exists ? lower_all(work, error)
                                                              : lower_each(work, error);
    }
    return result;
}

mtm_result mtm_match_hold_demand(mtm_matcher *matcher, const mtm_match_request *request,
                                 mtm_match *match, size_t count, mtm_common *common,
                                 const mtm_demand_options *options, bool *held, mtm_error *error)
{
    if (matcher == NULL || request == NULL || match == NULL || held == NULL || count == 0)
        return mtmi_fail(error, MTM_INVALID,
                         "a matcher, a request, its matches and a place for each are needed");
    const mtm_rig *rig = mtmi_matcher_rig(matcher);
    size_t units = mtm_rig_unit_count(rig);
    mtm_common agreed = common != NULL ? *common : (mtm_common){.exists = false};
    mtm_result result = check_units(rig, match, count, error);
    if (result != MTM_OK)
        return result;
    mtmi_pool pool = {0};
    struct work work = {.matcher = matcher,
                        .rig = rig,
                        .request = request,
                        .options = options,
                        .match = mtmi_pool_take(&pool, count, sizeof *match),
                        .count = count,
                        .common = common != NULL ? &agreed : NULL,
                        .unit = mtmi_pool_take(&pool, count, sizeof(size_t)),
                        .watts = mtmi_pool_take(&pool, units, sizeof(double)),
                        .factor = mtmi_pool_take(&pool, units, sizeof(double)),
                        .held = mtmi_pool_take(&pool, count, sizeof *held)};

    if (pool.failed) {
        result = mtmi_fail_memory(error);
        goto done;
    }
    memcpy(work.match, match, count * sizeof *match);
    for (size_t i = 0; i < count; i++)
        work.unit[i] = match[i].unit;
    result = lower(&work, error);
    if (result != MTM_OK)
        goto done;
    memcpy(match, work.match, count * sizeof *match);
    memcpy(held, work.held, count * sizeof *held);
    if (common != NULL)
        *common = agreed;
done:
    mtmi_pool_free(&pool);
    return result;
}
