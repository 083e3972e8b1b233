/* SPDX-License-Identifier: MIT */
/* Lights from what a person writes: a temperature, daylight, an illuminant, a file. */
#include "filter/light.h"

#include "base/error.h"
#include "base/folder.h"
#include "base/number.h"

#include <metamer/colour.h>
#include <metamer/illuminant.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DAYLIGHT "daylight:"

/* "3200" or "3200K"; false for anything else. */
static bool read_kelvin(const char *text, double *kelvin)
{
    size_t used = mtmi_number_read(text, kelvin);

    return used > 0 && (text[used] == '\0' ||
                        ((text[used] == 'K' || text[used] == 'k') && text[used + 1] == '\0'));
}

bool mtmi_lamp_read(const char *text, mtm_lamp *lamp)
{
    mtm_lamp read = {0, 0};
    size_t used = mtmi_number_read(text, &read.cct_k);

    text += used;
    text += used > 0 && (*text == 'K' || *text == 'k');
    if (used == 0 || *text != '@')
        return false;
    used = mtmi_number_read(++text, &read.light_share);
    if (used == 0 || strcmp(text + used, "%") != 0)
        return false;
    read.light_share /= 100;
    *lamp = read;
    return true;
}

static mtm_result from_temperature(double cct_k, mtm_light *light, mtm_error *error)
{
    if (!(cct_k >= MTM_CCT_MIN_K && cct_k <= MTM_CCT_MAX_K))
        return mtmi_fail(error, MTM_RANGE, "a light of %.10g K; allowed is %.10g to %.10g K", cct_k,
                         MTM_CCT_MIN_K, MTM_CCT_MAX_K);
    (void)snprintf(light->name, sizeof light->name, "%g K", cct_k);
    return mtm_spectrum_planck(cct_k, &light->spectrum, error);
}

static mtm_result from_lamp(mtm_lamp lamp, mtm_light *light, mtm_error *error)
{
    double cct_k = mtm_lamp_dimmed_cct_k(lamp);

    if (!(lamp.cct_k <= MTM_CCT_MAX_K && cct_k >= MTM_CCT_MIN_K))
        return mtmi_fail(
            error, MTM_RANGE,
            "a lamp of %.10g K at %.10g %% of its light; allowed are lamps of up to %.10g K, at "
            "above 0 to 100 %%, that have no less than %g K then",
            lamp.cct_k, 100 * lamp.light_share, MTM_CCT_MAX_K, MTM_CCT_MIN_K);
    (void)snprintf(light->name, sizeof light->name, "%g K lamp at %g %%", lamp.cct_k,
                   100 * lamp.light_share);
    return mtm_spectrum_planck(cct_k, &light->spectrum, error);
}

static mtm_result from_daylight(const char *text, mtm_light *light, mtm_error *error)
{
    double cct_k = 0;

    if (!read_kelvin(text, &cct_k))
        return mtmi_fail(error, MTM_PARSE,
                         "found \"" DAYLIGHT "%.40s\"; a temperature is wanted: " DAYLIGHT "5600",
                         text);
    (void)snprintf(light->name, sizeof light->name, "daylight %g K", cct_k);
    return mtm_spectrum_daylight(cct_k, &light->spectrum, error);
}

static mtm_result from_file(const char *text, const char *base_dir, mtm_light *light,
                            mtm_error *error)
{
    char *path = NULL;
    mtm_result result = mtmi_find_file(base_dir, text, &path, NULL);

    if (result == MTM_NOT_FOUND)
        return mtmi_fail(error, MTM_NOT_FOUND,
                         "found \"%.60s\"; allowed are a temperature (3200), a dimmed lamp "
                         "(3200@30%%), daylight (" DAYLIGHT
                         "5600), a CIE illuminant (A, D50, D55, D65, D75, E) and a spectrum file",
                         text);
    if (result != MTM_OK)
        return mtmi_fail_memory(error);
    const char *slash = strrchr(text, '/');
    (void)snprintf(light->name, sizeof light->name, "%.90s", slash != NULL ? slash + 1 : text);
    result = mtm_spectrum_load(path, MTM_ENDS_ZERO, &light->spectrum, error);
    free(path);
    return result;
}

/* Fills light, perhaps in part on failure. */
static mtm_result read_light(const char *text, const char *base_dir, mtm_light *light,
                             mtm_error *error)
{
    double cct_k = 0;
    mtm_lamp lamp;

    if (read_kelvin(text, &cct_k))
        return from_temperature(cct_k, light, error);
    if (mtmi_lamp_read(text, &lamp))
        return from_lamp(lamp, light, error);
    if (strncmp(text, DAYLIGHT, strlen(DAYLIGHT)) == 0)
        return from_daylight(text + strlen(DAYLIGHT), light, error);
    if (mtm_spectrum_illuminant(text, &light->spectrum, NULL) == MTM_OK) {
        (void)snprintf(light->name, sizeof light->name, "%s", text);
        return MTM_OK;
    }
    return from_file(text, base_dir, light, error);
}

mtm_result mtmi_light_from_text(const char *text, const char *base_dir, mtm_light *light,
                                mtm_error *error)
{
    mtm_light read = {.name = ""};

    if (text == NULL || text[0] == '\0' || light == NULL)
        return mtmi_fail(error, MTM_INVALID, "no light and no place for it was given");
    mtm_result result = read_light(text, base_dir, &read, error);
    if (result == MTM_OK)
        *light = read;
    return result;
}

mtm_result mtm_light_from_text(const char *text, mtm_light *light, mtm_error *error)
{
    return mtmi_light_from_text(text, NULL, light, error);
}
