/* SPDX-License-Identifier: MIT */
/* A request: the goals it can name, outputs as people write them, and what is wrong with it. */
#include "solve/answer.h"
#include "solve/matcher.h"
#include "solve/output.h"

#include "base/error.h"
#include "base/number.h"

#include <metamer/white.h>

#include <math.h>
#include <string.h>

#define LM_MAX 1e9
#define LX_MAX 1e9

static const mtm_goal_info goals[] = {
    {MTM_GOAL_LIGHT, "light", "the mix that gives the most light"},
    {MTM_GOAL_WATTS, "watts", "the fewest watts at the stated output"},
    {MTM_GOAL_RENDERING, "rendering", "the best rendering; needs spectra"},
    {MTM_GOAL_SPECTRUM, "spectrum",
     "the nearest to the target's spectrum, or to the usual reference of "
     "its temperature; needs spectra"},
};

size_t mtm_goal_count(void)
{
    return sizeof goals / sizeof goals[0];
}

const mtm_goal_info *mtm_goal_at(size_t index)
{
    return index < mtm_goal_count() ? &goals[index] : NULL;
}

mtm_result mtmi_output_check(mtm_output output, mtm_error *error)
{
    if ((unsigned)output.type > MTM_OUTPUT_LUX)
        return mtmi_fail(error, MTM_INVALID, "the output kind is none of those known");
    if (output.type != MTM_OUTPUT_MAX && !(output.value >= 0 && isfinite(output.value)))
        return mtmi_fail(error, MTM_INVALID,
                         "the output asked is %.10g; allowed are finite values of at least 0",
                         output.value);
    if (output.type == MTM_OUTPUT_SHARE && output.value > 1)
        return mtmi_fail(error, MTM_INVALID,
                         "the output asked is %.10g of the most; allowed are 0 to 1", output.value);
    return MTM_OK;
}

mtm_result mtmi_request_check(const mtm_solver *solver, const mtm_request *request,
                              mtm_error *error)
{
    mtm_xy xy = request->xy;

    if (!(xy.x >= 0 && xy.y > 0 && xy.x + xy.y <= 1))
        return mtmi_fail(
            error, MTM_INVALID,
            "target x = %.10g, y = %.10g is no chromaticity; allowed are x of at least 0, y "
            "above 0, and x + y up to 1",
            xy.x, xy.y);
    if (solver->hull.count == 0)
        return mtmi_fail(error, MTM_RANGE, "all emitters are dark, so no colour can be made");
    mtm_result result = mtmi_output_check(request->output, error);
    if (result != MTM_OK)
        return result;
    if (request->output.type == MTM_OUTPUT_LUX)
        return mtmi_fail(error, MTM_INVALID,
                         "a solver knows no place, so no lux; its output is stated in lumens");
    if (request->goal == MTM_GOAL_RENDERING || request->goal == MTM_GOAL_SPECTRUM)
        return mtmi_fail(error, MTM_INVALID,
                         "the goals rendering and spectrum need spectra, which a solver of "
                         "chromaticities does not know");
    if ((unsigned)request->goal > MTM_GOAL_WATTS || (unsigned)request->beyond > MTM_BEYOND_CCT)
        return mtmi_fail(error, MTM_INVALID, "goal or beyond is none of those known");
    return MTM_OK;
}

mtm_result mtmi_request_check_beyond(const mtm_request *request, mtm_error *error)
{
    mtm_xy white = request->white;

    if (request->beyond == MTM_BEYOND_HUE && !(white.x == 0 && white.y == 0) &&
        !mtm_xy_valid(white))
        return mtmi_fail(error, MTM_INVALID, "white x = %g, y = %g is no chromaticity", white.x,
                         white.y);
    if (request->beyond == MTM_BEYOND_CCT && request->cct_k != 0 &&
        !(request->cct_k >= MTM_CCT_MIN_K && request->cct_k <= MTM_CCT_MAX_K))
        return mtmi_fail(error, MTM_INVALID, "found %.10g K, allowed are %.10g to %.10g K",
                         request->cct_k, MTM_CCT_MIN_K, MTM_CCT_MAX_K);
    return MTM_OK;
}

bool mtmi_output_read(const char *text, mtm_output *output)
{
    double value = 0;
    size_t used = mtmi_number_read(text, &value);
    const char *unit = text + used;

    if (strcmp(text, "max") == 0)
        *output = (mtm_output){MTM_OUTPUT_MAX, 0};
    else if (used > 0 && strcmp(unit, "%") == 0 && value >= 0 && value <= 100)
        *output = (mtm_output){MTM_OUTPUT_SHARE, value / 100};
    else if (used > 0 && strcmp(unit, "lm") == 0 && value >= 0 && value <= LM_MAX)
        *output = (mtm_output){MTM_OUTPUT_LM, value};
    else if (used > 0 && strcmp(unit, "lx") == 0 && value >= 0 && value <= LX_MAX)
        *output = (mtm_output){MTM_OUTPUT_LUX, value};
    else
        return false;
    return true;
}

mtm_result mtmi_match_request_check(const mtm_matcher *matcher, const mtm_match_request *request,
                                    mtm_error *error)
{
    if (request->target.observer != mtmi_matcher_observer(matcher))
        return mtmi_fail(error, MTM_INVALID, "the target and the matcher have unlike observers");
    if (!mtm_xy_valid(request->target.xy))
        return mtmi_fail(error, MTM_INVALID, "the target, x %g, y %g, is no chromaticity",
                         request->target.xy.x, request->target.xy.y);
    if ((unsigned)request->goal > MTM_GOAL_SPECTRUM || (unsigned)request->index > MTM_INDEX_SSI ||
        (unsigned)request->beyond > MTM_BEYOND_CCT ||
        (unsigned)request->dimming > MTM_DIMMING_EMITTERS)
        return mtmi_fail(error, MTM_INVALID,
                         "goal, index, beyond or dimming is none of those known");
    if (!(request->leave_dark_uv >= 0 && isfinite(request->leave_dark_uv)))
        return mtmi_fail(error, MTM_INVALID, "the distance from which units stay dark is %g",
                         request->leave_dark_uv);
    return mtmi_output_check(request->output, error);
}
