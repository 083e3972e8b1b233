/* SPDX-License-Identifier: MIT */
/* Trims of the sets of units that are to agree with each other. */
#include "cli/trim/trim_run.h"

#include "base/error.h"

#include <stdlib.h>

/* What all sets share while they are trimmed, and room for one. */
struct job {
    const mtm_calibration *calibration;
    const mtm_rig *rig;
    const mtm_readings *last;
    const mtm_meter *meter;
    mtm_trim_request request; /* of one set */
    mtm_alike alike;
    size_t *set; /* by unit */
    size_t count;
    bool *meant; /* by unit, of one set */
};

/* Marks the units of a set; first is one of them. False where none of them is calibrated. */
static bool mark(struct job *job, size_t set, size_t *first)
{
    bool calibrated = false;

    for (size_t i = 0; i < mtm_rig_unit_count(job->rig); i++) {
        job->meant[i] = job->set[i] == set;
        if (!job->meant[i])
            continue;
        *first = i;
        calibrated = calibrated || mtm_calibration_unit(job->calibration, i)->calibrated;
    }
    return calibrated;
}

static mtm_result run_all(struct job *job, struct trim_sets *sets, mtm_error *error)
{
    mtm_result result = MTM_OK;

    for (size_t i = 0; i < job->count && result == MTM_OK; i++) {
        struct trim_set *set = &sets->set[sets->count];
        size_t first = 0;

        if (!mark(job, i, &first) && (sets->count > 0 || i + 1 < job->count))
            continue; /* nothing at all: the last one says so */
        set->name = mtm_alike_name(job->rig, job->alike, first);
        result = mtm_trim_run(job->calibration, job->rig, job->last, job->meter, &job->request,
                              &set->trim, error);
        sets->count += result == MTM_OK;
    }
    return result;
}

mtm_result trim_sets_run(const mtm_calibration *calibration, const mtm_rig *rig,
                         const mtm_readings *last, const mtm_meter *meter,
                         const mtm_trim_request *request, mtm_alike alike, struct trim_sets *sets,
                         mtm_error *error)
{
    const size_t units = mtm_rig_unit_count(rig);
    struct job job = {.calibration = calibration,
                      .rig = rig,
                      .last = last,
                      .meter = meter,
                      .request = *request,
                      .alike = alike,
                      .set = calloc(units + 1, sizeof *job.set),
                      .meant = calloc(units + 1, sizeof *job.meant)};

    sets->set = calloc(units + 1, sizeof *sets->set);
    if (job.set == NULL || job.meant == NULL || sets->set == NULL) {
        free(job.set);
        free(job.meant);
        return mtmi_fail_memory(error);
    }
    mtm_result result = mtm_alike_split(rig, request->meant, alike, job.set, &job.count, error);
    if (alike != MTM_ALIKE_ALL)
        job.request.meant = job.meant;
    if (result == MTM_OK)
        result = run_all(&job, sets, error);
    free(job.set);
    free(job.meant);
    return result;
}

void trim_sets_free(struct trim_sets *sets)
{
    for (size_t i = 0; i < sets->count; i++)
        mtm_trim_free(sets->set[i].trim);
    free(sets->set);
    *sets = (struct trim_sets){.count = 0};
}
