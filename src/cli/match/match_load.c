/* SPDX-License-Identifier: MIT */
/* Match load: what a match asks of ports and supplies, and how it is kept within their ratings. */
#include "cli/match/match_load.h"

#include "base/error.h"

#include <math.h>
#include <stdlib.h>

/* Codes round up or down by a little, so a lowered output aims a little lower still. */
#define HEADROOM 0.999
#define ROUNDS_MOST 8
/* Nearer than this to its rating a load is within it. */
#define SLACK 1e-9

/* Watts of every unit of the rig; freed by the caller. NULL: out of memory. */
static double *watts_of(const mtm_rig *rig, const mtm_match *match, size_t count)
{
    double *watts = calloc(mtm_rig_unit_count(rig) + 1, sizeof *watts);

    for (size_t i = 0; watts != NULL && i < count; i++)
        watts[match[i].unit] = match[i].watts;
    return watts;
}

mtm_result match_load(const mtm_rig *rig, const mtm_match *match, size_t count, mtm_load **out,
                      mtm_error *error)
{
    double *watts = watts_of(rig, match, count);

    if (watts == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = mtm_load_create(rig, watts, &(mtm_load_options){0}, out, error);
    free(watts);
    return result;
}

/* Matches again with each unit's output times its factor. */
static mtm_result lower_each(const struct match_work *work, const double *factor, mtm_match *match,
                             mtm_error *error)
{
    for (size_t i = 0; i < work->count; i++) {
        double share = factor[match[i].unit];
        if (share >= 1 - SLACK)
            continue;
        mtm_match_request request = *work->request;
        unsigned shortfall = match[i].shortfall;
        request.output = (mtm_output){MTM_OUTPUT_LM, match[i].ideal.xyz.y * share * HEADROOM};
        mtm_result result =
            mtm_matcher_unit(work->matcher, match[i].unit, &request, &match[i], error);
        if (result != MTM_OK)
            return result;
        match[i].shortfall |= shortfall;
    }
    return MTM_OK;
}

/* One output for all stays one: that of the unit that must come down farthest. */
static mtm_result lower_all(const struct match_work *work, const double *factor, mtm_match *match,
                            mtm_common *common, mtm_error *error)
{
    mtm_match_request request = *work->request;
    double least = 1;

    for (size_t i = 0; i < work->count; i++)
        least = fmin(least, factor[work->unit[i]]);
    request.output = (mtm_output){MTM_OUTPUT_LM, common->output * least * HEADROOM};
    return mtm_matcher_together(work->matcher, work->unit, work->count, &request, match, common,
                                error);
}

static bool all_within(const struct match_work *work, const double *factor, bool *held)
{
    bool within = true;

    for (size_t i = 0; i < work->count; i++) {
        if (factor[work->unit[i]] >= 1 - SLACK)
            continue;
        within = false;
        held[i] = true;
    }
    return within;
}

mtm_result match_hold_load(const struct match_work *work, mtm_match *match, mtm_common *common,
                           bool *held, mtm_error *error)
{
    double *factor = calloc(mtm_rig_unit_count(work->rig) + 1, sizeof *factor);
    mtm_result result = factor == NULL ? mtmi_fail_memory(error) : MTM_OK;

    for (int round = 0; result == MTM_OK && factor != NULL && round < ROUNDS_MOST; round++) {
        double *watts = watts_of(work->rig, match, work->count);
        result = watts == NULL
                     ? mtmi_fail_memory(error)
                     : mtm_load_factors(work->rig, watts, &(mtm_load_options){0}, factor, error);
        free(watts);
        if (result != MTM_OK || all_within(work, factor, held))
            break;
        result = work->together && common->exists ? lower_all(work, factor, match, common, error)
                                                  : lower_each(work, factor, match, error);
    }
    free(factor);
    return result;
}

void match_put_overloads(const mtm_rig *rig, const mtm_load *load, FILE *out)
{
    for (size_t i = 0; i < mtm_load_row_count(load); i++) {
        const mtm_load_row *row = mtm_load_row_at(load, i);
        if (!row->over || row->kind == MTM_LOAD_CIRCUIT)
            continue;
        const char *name = mtm_rig_supply(rig, row->index)->name;
        if (row->kind == MTM_LOAD_PORT)
            (void)fprintf(out, "Overload: port %d of supply %s would carry %.0f W of %.0f W; ",
                          row->port, name, row->watts, row->rated);
        else
            (void)fprintf(out, "Overload: supply %s would carry %.0f W of %.0f W; ", name,
                          row->watts, row->rated);
        (void)fprintf(out, "--within-load keeps to the ratings.\n");
    }
}
