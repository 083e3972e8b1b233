/* SPDX-License-Identifier: MIT */
/* Colour facts: one colour in all its forms. */
#include <metamer/colour_facts.h>

#include "base/error.h"

#include <math.h>
#include <stdio.h>

/* The white beside which relative forms are given: D65, CIE 15:2004, table T.3. */
static const mtm_xy d65[MTM_OBSERVER_COUNT] = {{0.31272, 0.32903}, {0.31382, 0.33100}};

static void find_white(mtm_xy xy, mtm_observer observer, mtm_colour_facts *facts)
{
    mtm_error error = {""};

    facts->white = (mtm_white){NAN, NAN};
    facts->white_missing[0] = '\0';
    if (observer == MTM_OBSERVER_10)
        (void)snprintf(facts->white_missing, sizeof facts->white_missing,
                       "colour temperature is defined for the 2° observer");
    else if (mtm_white_from_xy(xy, &facts->white, &error) != MTM_OK)
        (void)snprintf(facts->white_missing, sizeof facts->white_missing, "%.250s", error.text);
}

static mtm_oklab find_oklab(mtm_xyz xyz, mtm_observer observer)
{
    if (observer != MTM_OBSERVER_2)
        return (mtm_oklab){NAN, NAN, NAN};
    return mtm_oklab_from_xyz((mtm_xyz){xyz.x / 100, xyz.y / 100, xyz.z / 100});
}

mtm_result mtm_colour_facts_from_xy(mtm_xy xy, mtm_observer observer, double y, mtm_xy beside,
                                    mtm_colour_facts *facts, mtm_error *error)
{
    mtm_viewing viewing = {.luminance_cd_m2 = 20, .background_y = 20};
    mtm_viewer viewer;
    mtm_colour_facts made;

    if (facts == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the facts was given");
    if (!isfinite(y) || !(y > 0))
        return mtmi_fail(error, MTM_INVALID, "a Y of %g: allowed is above 0", y);
    mtm_result result = mtm_dominant_from_xy(xy, beside, observer, &made.dominant, error);
    if (result == MTM_RANGE)
        made.dominant = (mtm_dominant){NAN, NAN}; /* the white itself */
    else if (result != MTM_OK)
        return result;

    made.xyz = mtm_xyz_from_xy(xy, y);
    made.white_xyz = mtm_xyz_from_xy(d65[observer], 100);
    made.uv = mtm_uv_from_xy(xy);
    find_white(xy, observer, &made);
    made.lab = mtm_lab_from_xyz(made.xyz, made.white_xyz);
    made.luv = mtm_luv_from_xyz(made.xyz, made.white_xyz);
    made.oklab = find_oklab(made.xyz, observer);
    viewing.white = made.white_xyz;
    result = mtm_viewer_create(MTM_CAM16, &viewing, &viewer, error);
    if (result != MTM_OK)
        return result;
    made.ucs = mtm_ucs_from_xyz(&viewer, made.xyz);
    *facts = made;
    return MTM_OK;
}
