/* SPDX-License-Identifier: MIT */
/* Illuminants: A, the D series and E from the CIE's formulas. */
#include <metamer/colour.h>
#include <metamer/illuminant.h>

#include "base/error.h"
#include "base/name.h"
#include "colour/radiator.h"

#include <strings.h>

/* A was fixed as "2848 K" when c2 was 1.435e-2 m K; its spectrum has stayed. ISO/CIE 11664-2. */
#define A_TEMPERATURE_K 2848.0
#define A_C2_NM_K 1.435e7

static const mtm_illuminant illuminants[] = {
    {"A", "CIE A: tungsten, 2856 K"},     {"D50", "CIE D50: daylight, 5003 K"},
    {"D55", "CIE D55: daylight, 5503 K"}, {"D65", "CIE D65: daylight, 6504 K"},
    {"D75", "CIE D75: daylight, 7504 K"}, {"E", "equal energy at all wavelengths"},
};

size_t mtm_illuminant_count(void)
{
    return sizeof illuminants / sizeof illuminants[0];
}

const mtm_illuminant *mtm_illuminant_at(size_t index)
{
    return index < mtm_illuminant_count() ? &illuminants[index] : NULL;
}

/* The CIE rounds the weights of the tabulated ones to three decimals. */
static const struct {
    const char *name;
    double m1, m2;
} daylights[] = {
    {"D50", -1.039, 0.363},
    {"D55", -0.785, -0.198},
    {"D65", -0.295, -0.689},
    {"D75", 0.145, -0.760},
};

static const char *name_at(const void *list, size_t index)
{
    (void)list;
    return index < mtm_illuminant_count() ? illuminants[index].name : NULL;
}

static void scale(mtm_spectrum *spectrum, double factor)
{
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        spectrum->value[i] *= factor;
}

mtm_result mtm_spectrum_illuminant(const char *name, mtm_spectrum *spectrum, mtm_error *error)
{
    if (name == NULL || spectrum == NULL)
        return mtmi_fail(error, MTM_INVALID, "no name or no place for the illuminant was given");
    for (size_t i = 0; i < sizeof daylights / sizeof daylights[0]; i++) {
        if (strcasecmp(name, daylights[i].name) == 0) {
            mtmi_daylight_sum(daylights[i].m1, daylights[i].m2, spectrum);
            return MTM_OK;
        }
    }
    if (strcasecmp(name, "A") == 0) {
        mtmi_planck_shape(A_C2_NM_K, A_TEMPERATURE_K, spectrum);
        scale(spectrum, 100);
        return MTM_OK;
    }
    if (strcasecmp(name, "E") == 0) {
        for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
            spectrum->value[i] = 100;
        return MTM_OK;
    }
    const char *nearest = mtmi_name_nearest(name, NULL, name_at);
    return mtmi_fail(error, MTM_NOT_FOUND,
                     "there is no illuminant \"%.40s\"%s%s; there are A, D50, D55, D65, D75 and E",
                     name, nearest == NULL ? "" : ", the nearest is ",
                     nearest == NULL ? "" : nearest);
}
