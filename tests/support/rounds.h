/* SPDX-License-Identifier: MIT */
/* Rounds of a trim as a user goes through them: fit what was read, trim, and once more. */
#ifndef METAMER_TESTS_ROUNDS_H
#define METAMER_TESTS_ROUNDS_H

#include "support/check.h"

#include <metamer/trim.h>
#include <metamer/white.h>

/** A rig, what its meter states of itself, and how far the work is. */
struct rounds {
    mtm_rig *rig;
    mtm_meter stated;
    mtm_calibration *calibration;
    mtm_trim *trim;
};

/** Loads a rig of tests/data/trim. */
static inline void rounds_begin(struct rounds *rounds, const char *file)
{
    char path[400];
    const char *folder = getenv("METAMER_TEST_DATA");
    mtm_error error = {""};

    assert_non_null(folder);
    (void)snprintf(path, sizeof path, "%s/trim/%s", folder, file);
    if (mtm_rig_load(path, &rounds->rig, &error) != MTM_OK)
        fail_msg("%s", error.text);
}

static inline void rounds_end(struct rounds *rounds)
{
    mtm_trim_free(rounds->trim);
    mtm_calibration_free(rounds->calibration);
    mtm_rig_free(rounds->rig);
}

/** Readings of the meter, as yet none. */
static inline mtm_readings *rounds_readings(const struct rounds *rounds)
{
    mtm_readings *readings = NULL;

    assert_int_equal(mtm_readings_create(rounds->rig, &readings, NULL), MTM_OK);
    mtm_readings_set_meter(readings, &rounds->stated);
    return readings;
}

/** One round; where request says again, from the calibration so far. */
static inline void rounds_next(struct rounds *rounds, mtm_readings *readings,
                               const mtm_trim_request *request)
{
    mtm_calibration *next = NULL;
    mtm_error error = {""};

    if (mtm_calibration_fit(readings, rounds->rig, request->again ? rounds->calibration : NULL,
                            &next, &error) != MTM_OK)
        fail_msg("%s", error.text);
    mtm_calibration_free(rounds->calibration);
    rounds->calibration = next;
    mtm_trim_free(rounds->trim);
    rounds->trim = NULL;
    if (mtm_trim_run(next, rounds->rig, request->again ? readings : NULL, &rounds->stated, request,
                     &rounds->trim, &error) != MTM_OK)
        fail_msg("%s", error.text);
    mtm_trim_store(rounds->trim, rounds->calibration);
}

static inline mtm_xy rounds_white(double cct_k, double duv)
{
    mtm_xy xy = {0, 0};

    assert_int_equal(mtm_white_to_xy((mtm_white){cct_k, duv}, &xy, NULL), MTM_OK);
    return xy;
}

#endif
