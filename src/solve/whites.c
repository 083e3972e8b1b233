/* SPDX-License-Identifier: MIT */
/* Whites of a fixture: what it makes of the whites that people ask for, and how far they reach. */
#include <metamer/whites.h>

#include "base/error.h"
#include "unit/emitters.h"

#include <metamer/illuminant.h>

#include <math.h>

/* The emitters stand for the 2 degree observer, the solver for the one asked for. */
struct maker {
    const mtm_solver *solver;
    struct mtmi_emitters emitters;
    mtm_observer observer;
};

static mtm_result make(const struct maker *maker, double cct_k, mtm_fixture_white *white,
                       mtm_error *error)
{
    mtm_fixture_white made = {.made = {(double)NAN, (double)NAN}};
    mtm_request request = {.beyond = MTM_BEYOND_NEAREST};
    mtm_result result = mtm_planck_xy(cct_k, maker->observer, &request.xy, error);

    if (result == MTM_OK)
        result = mtm_solver_solve(maker->solver, &request, &made.answer, error);
    if (result != MTM_OK)
        return result;
    mtm_xyz xyz = mtmi_emitters_xyz(&maker->emitters, made.answer.level);
    made.asked_xy = request.xy;
    made.flux_lm = xyz.y;
    if (xyz.y <= 0 || mtm_white_from_xy(mtm_xy_from_xyz(xyz), &made.made, NULL) != MTM_OK)
        made.made = (mtm_white){(double)NAN, (double)NAN};
    *white = made;
    return MTM_OK;
}

/* Walks the locus in steps of one mired, from warm to cool: the range is of what is made where that
 * is near enough, and between its ends the farthest is noted. */
static mtm_white_range find_range(const struct maker *maker)
{
    mtm_white_range range = {0, 0, 0};
    double farthest_uv = 0;

    for (int mired = 1000; mired >= 40; mired--) {
        mtm_fixture_white white;

        if (make(maker, mtm_cct_from_mired(mired), &white, NULL) != MTM_OK)
            continue;
        double off_uv = white.answer.delta_uv;
        double cct_k = white.made.cct_k;
        if (range.warmest_k > 0 || off_uv <= MTM_WHITE_NEAR_UV)
            farthest_uv = fmax(farthest_uv, off_uv);
        if (off_uv > MTM_WHITE_NEAR_UV || !isfinite(cct_k))
            continue;
        range.warmest_k = range.warmest_k == 0 ? cct_k : fmin(range.warmest_k, cct_k);
        range.coolest_k = fmax(range.coolest_k, cct_k);
        range.farthest_uv = farthest_uv;
    }
    return range;
}

mtm_result mtm_fixture_whites(const mtm_fixture *fixture, mtm_observer observer,
                              const double *cct_k, size_t count, mtm_fixture_white *white,
                              mtm_white_range *range, mtm_error *error)
{
    struct maker maker = {.observer = observer};
    mtm_solver *solver = NULL;

    if (fixture == NULL || (count > 0 && (cct_k == NULL || white == NULL)))
        return mtmi_fail(error, MTM_INVALID,
                         "a fixture, temperatures and room for their whites are needed");
    mtm_result result = mtm_solver_create_for(fixture, observer, &solver, error);
    if (result == MTM_OK)
        result = mtmi_emitters_from(fixture, MTM_OBSERVER_2, &maker.emitters, error);
    maker.solver = solver;
    for (size_t i = 0; result == MTM_OK && i < count; i++) /* all of them first */
        result = mtm_planck_xy(cct_k[i], observer, &(mtm_xy){0, 0}, error);
    for (size_t i = 0; result == MTM_OK && i < count; i++)
        result = make(&maker, cct_k[i], &white[i], error);
    if (result == MTM_OK && range != NULL)
        *range = find_range(&maker);
    mtm_solver_free(solver);
    return result;
}
