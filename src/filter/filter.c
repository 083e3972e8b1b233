/* SPDX-License-Identifier: MIT */
/* Filters: stacking them, and what they make of a light. */
#include <metamer/filter.h>

#include "base/error.h"
#include "colour/check.h"
#include "filter/read.h"

#include <stdio.h>

mtm_filter mtm_filter_stack(const mtm_filter *a, const mtm_filter *b)
{
    if (a == NULL || b == NULL)
        return (mtm_filter){.name = ""};
    mtm_filter both = {.computed = a->computed || b->computed};

    if (snprintf(both.name, sizeof both.name, "%s + %s", a->name, b->name) < 0)
        both.name[0] = '\0';
    both.transmittance = mtm_filter_apply(a, &b->transmittance);
    return both;
}

mtm_spectrum mtm_filter_apply(const mtm_filter *filter, const mtm_spectrum *light)
{
    if (filter == NULL || light == NULL)
        return (mtm_spectrum){{0}};
    mtm_spectrum behind;

    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        behind.value[i] = filter->transmittance.value[i] * light->value[i];
    return behind;
}

static mtm_xyz scaled(mtm_xyz xyz, double factor)
{
    return (mtm_xyz){xyz.x * factor, xyz.y * factor, xyz.z * factor};
}

/* Colour temperature is a matter of the 2 degree observer. CIE 015:2018, 9.4. */
static void find_shift(mtm_filtered *filtered, mtm_observer observer)
{
    filtered->has_shift =
        observer == MTM_OBSERVER_2 &&
        mtm_white_from_xy(mtm_xy_from_xyz(filtered->light_xyz), &filtered->before, NULL) ==
            MTM_OK &&
        mtm_white_from_xy(mtm_xy_from_xyz(filtered->xyz), &filtered->after, NULL) == MTM_OK;
    if (!filtered->has_shift)
        return;
    filtered->mired_shift =
        mtm_mired_from_cct(filtered->after.cct_k) - mtm_mired_from_cct(filtered->before.cct_k);
    filtered->duv_shift = filtered->after.duv - filtered->before.duv;
}

mtm_result mtmi_filter_check(const mtm_filter *filter, const mtm_spectrum *light,
                             mtm_observer observer, mtm_error *error)
{
    mtm_result result = mtmi_check_observer(observer, error);

    if (result == MTM_OK)
        result = mtmi_check_spectrum(light, error);
    if (result != MTM_OK)
        return result;
    for (int i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        double part = filter->transmittance.value[i];
        if (!(part >= 0 && part <= 1))
            return mtmi_fail(error, MTM_INVALID,
                             "the filter's transmittance is %g at %d nm; allowed is 0 to 1", part,
                             MTM_SPECTRUM_FIRST_NM + i);
    }
    return MTM_OK;
}

mtm_result mtm_filter_over(const mtm_filter *filter, const mtm_spectrum *light,
                           mtm_observer observer, mtm_filtered *filtered, mtm_error *error)
{
    if (filter == NULL || light == NULL || filtered == NULL)
        return mtmi_fail(error, MTM_INVALID, "a filter, a light and a place are needed");
    mtm_result result = mtmi_filter_check(filter, light, observer, error);
    if (result != MTM_OK)
        return result;
    mtm_spectrum behind = mtm_filter_apply(filter, light);
    mtm_xyz bare = mtm_xyz_from_spectrum(light, observer);
    if (!(bare.x > 0 && bare.y > 0 && bare.z > 0))
        return mtmi_fail(error, MTM_RANGE, "the light before the filter is dark or of one colour");

    mtm_filtered made = {.light_xyz = scaled(bare, 100 / bare.y)};
    made.xyz = scaled(mtm_xyz_from_spectrum(&behind, observer), 100 / bare.y);
    made.transmittance_y = made.xyz.y / 100;
    made.lab = mtm_lab_from_xyz(made.xyz, made.light_xyz);
    find_shift(&made, observer);
    *filtered = made;
    return MTM_OK;
}
