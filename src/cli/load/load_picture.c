/* SPDX-License-Identifier: MIT */
/* Loads as a picture. */
#include "cli/load/load_out.h"

#include "base/error.h"

#include <metamer/demand_picture.h>

#include <stdlib.h>

/* Each row as the fullest of the cues has it; NULL where there is no cue. */
static mtm_result fullest_of_cues(const struct load_view *view, mtm_demand **out, mtm_error *error)
{
    double *watts = NULL;
    size_t first = view->worst + 1;

    *out = NULL;
    if (first >= view->count)
        return MTM_OK;
    watts = calloc(mtm_rig_unit_count(view->rig), sizeof *watts);
    if (watts == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = mtm_demand_create(view->rig, watts, &view->options, out, error);
    free(watts);
    for (size_t c = first; result == MTM_OK && c < view->count; c++)
        mtm_demand_take_fuller(*out, view->cases[c].demand);
    return result;
}

mtm_result load_put_picture(const struct args *args, const struct picture_request *request,
                            const struct load_view *view, struct outlet *to, mtm_error *error)
{
    mtm_demand_case cases[MTM_DEMAND_CASES_MAX];
    mtm_demand *cues = NULL;
    mtm_picture *picture = NULL;
    size_t count = 0;
    mtm_result result = fullest_of_cues(view, &cues, error);

    for (size_t c = 0; c < view->worst && count + 1 < MTM_DEMAND_CASES_MAX; c++)
        cases[count++] = (mtm_demand_case){view->cases[c].name, view->cases[c].demand};
    if (cues != NULL)
        cases[count++] = (mtm_demand_case){"the cues, each at its fullest", cues};
    const mtm_demand_view shown = {view->rig, cases, count};
    if (result == MTM_OK)
        result = mtm_picture_of_demand(&shown, &request->options, &picture, error);
    mtm_demand_free(cues);
    return result == MTM_OK ? picture_put(args, picture, to, error) : result;
}
