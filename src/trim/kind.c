/* SPDX-License-Identifier: MIT */
/* The trimmed units of a kind beside each other: how far apart, and by what factors. */
#include "trim/kind.h"

#include "base/error.h"
#include "base/number.h"
#include "calibrate/calibration.h"
#include "fixture/limits.h"

#include <math.h>
#include <stdlib.h>

/* Each unit's light; false where one is not known. */
static bool find_light(const mtm_trim_unit *units, size_t count, const mtm_calibration *calibration,
                       mtm_observer observer, mtm_uv *uv)
{
    for (size_t i = 0; i < count; i++) {
        mtm_xyz xyz = units[i].after.xyz;
        if (observer == MTM_OBSERVER_10 &&
            !mtmi_calibration_xyz_10(calibration, units[i].unit, units[i].level, &xyz))
            return false;
        if (!(xyz.y > 0))
            return false;
        uv[i] = mtm_uv_from_xyz(xyz);
    }
    return true;
}

/* The largest distance within a kind. */
static double find_apart(const mtm_trim_unit *units, size_t count, const mtm_rig *rig,
                         const mtm_uv *uv, size_t pair[2])
{
    double most = 0;

    for (size_t i = 0; i < count; i++) {
        const mtm_fixture *fixture = mtm_rig_unit(rig, units[i].unit)->fixture;
        for (size_t k = 0; k < i; k++) {
            if (!mtmi_fixture_same_light(mtm_rig_unit(rig, units[k].unit)->fixture, fixture) ||
                !mtmi_exceeds(mtm_uv_distance(uv[i], uv[k]), most))
                continue;
            most = mtm_uv_distance(uv[i], uv[k]);
            pair[0] = k;
            pair[1] = i;
        }
    }
    return most;
}

mtm_result mtmi_trim_agreement(const mtm_trim_unit *units, size_t count,
                               const mtm_calibration *calibration, const mtm_rig *rig,
                               mtm_trim_summary *summary, mtm_error *error)
{
    mtm_uv *uv = malloc((count + 1) * sizeof *uv);

    if (uv == NULL)
        return mtmi_fail_memory(error);
    for (int observer = 0; observer < MTM_OBSERVER_COUNT; observer++) {
        bool known = find_light(units, count, calibration, (mtm_observer)observer, uv);
        summary->apart_uv[observer] =
            known ? find_apart(units, count, rig, uv, summary->apart) : NAN;
    }
    free(uv);
    return MTM_OK;
}

mtm_result mtmi_trim_factors(mtm_trim_unit *units, size_t count, const mtm_rig *rig,
                             mtm_error *error)
{
    double largest[MTM_EMITTERS_MAX];
    bool *done = calloc(count + 1, sizeof *done);

    if (done == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < count; i++) {
        const mtm_fixture *fixture = mtm_rig_unit(rig, units[i].unit)->fixture;
        if (done[i])
            continue;
        for (size_t e = 0; e < MTM_EMITTERS_MAX; e++)
            largest[e] = 0;
        for (size_t k = i; k < count; k++) {
            if (!mtmi_fixture_same_light(mtm_rig_unit(rig, units[k].unit)->fixture, fixture))
                continue;
            for (size_t e = 0; e < MTM_EMITTERS_MAX; e++)
                largest[e] = fmax(largest[e], units[k].factor[e]);
        }
        for (size_t k = i; k < count; k++) {
            if (!mtmi_fixture_same_light(mtm_rig_unit(rig, units[k].unit)->fixture, fixture))
                continue;
            done[k] = true;
            for (size_t e = 0; e < MTM_EMITTERS_MAX; e++)
                units[k].factor[e] = largest[e] > 0 ? units[k].factor[e] / largest[e] : 0;
        }
    }
    free(done);
    return MTM_OK;
}
