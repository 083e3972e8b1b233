/* SPDX-License-Identifier: MIT */
/* Spectra named or written out in JSON: "file.csv" or [[nm, value], ...]. */
#include "spectrum/json.h"

#include "base/error.h"
#include "base/folder.h"
#include "base/json_print.h"

#include <stdlib.h>

#define PAIRS_MAX 100000

static mtm_result load(const mtmi_node *node, const mtmi_spectra *from, mtm_ends ends,
                       mtm_spectrum *spectrum, mtm_error *error)
{
    const char *name = NULL;
    char *path = NULL;
    mtm_error inner = {""};
    mtm_result result = mtmi_json_as_string(node, &name, error);

    if (result != MTM_OK)
        return result;
    result = mtmi_find_file(from->base_dir, name, &path, &inner);
    if (result == MTM_OK)
        result = from->cache != NULL ? mtmi_spectrum_cache_load(from->cache, path, spectrum, &inner)
                                     : mtm_spectrum_load(path, ends, spectrum, &inner);
    free(path);
    if (result != MTM_OK)
        (void)mtmi_json_fail(node, error, "%s", inner.text);
    return result;
}

/* One [nm, value] pair of a list. */
static mtm_result read_pair(const mtmi_node *pair, double most, double *wavelength_nm,
                            double *value, mtm_error *error)
{
    mtmi_node number;

    if (!cJSON_IsArray(pair->item) || cJSON_GetArraySize(pair->item) != 2)
        return mtmi_json_fail(pair, error, "found %s, allowed is a pair [wavelength_nm, value]",
                              cJSON_IsArray(pair->item) ? "a list of another length"
                                                        : mtmi_json_type(pair->item));
    (void)mtmi_json_first(pair, &number);
    mtm_result result = mtmi_json_as_number(&number, 100, 10000, wavelength_nm, error);
    if (result != MTM_OK)
        return result;
    (void)mtmi_json_next(&number);
    return mtmi_json_as_number(&number, 0, most, value, error);
}

static mtm_result read_pairs(const mtmi_node *list, double most, double *wavelength_nm,
                             double *value, mtm_error *error)
{
    mtmi_node pair;
    size_t i = 0;

    for (bool more = mtmi_json_first(list, &pair); more; more = mtmi_json_next(&pair)) {
        mtm_result result = read_pair(&pair, most, &wavelength_nm[i], &value[i], error);
        if (result != MTM_OK)
            return result;
        if (i > 0 && wavelength_nm[i] <= wavelength_nm[i - 1])
            return mtmi_json_fail(&pair, error, "found %g nm after %g nm; wavelengths must rise",
                                  wavelength_nm[i], wavelength_nm[i - 1]);
        i++;
    }
    return MTM_OK;
}

mtm_result mtmi_json_as_pairs(const mtmi_node *list, mtm_ends ends, double most,
                              mtm_spectrum *spectrum, mtm_error *error)
{
    size_t count = 0;
    mtm_error inner = {""};

    for (const cJSON *item = list->item->child; item != NULL; item = item->next)
        count++;
    if (count < 2 || count > PAIRS_MAX)
        return mtmi_json_fail(list, error, "found a list of %zu, allowed are 2 to %d pairs", count,
                              PAIRS_MAX);
    double *numbers = calloc(2 * count, sizeof *numbers);
    if (numbers == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = read_pairs(list, most, numbers, numbers + count, error);
    if (result == MTM_OK) {
        result = mtm_spectrum_from_samples(numbers, numbers + count, count, ends, spectrum, &inner);
        if (result != MTM_OK)
            (void)mtmi_json_fail(list, error, "%s", inner.text);
    }
    free(numbers);
    return result;
}

bool mtmi_json_put_spectrum(cJSON *object, const mtm_spectrum *spectrum)
{
    double wavelength_nm[MTM_SPECTRUM_COUNT];

    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        wavelength_nm[i] = MTM_SPECTRUM_FIRST_NM + (double)i;
    return mtmi_json_put_pairs(object, "spectrum", wavelength_nm, spectrum->value,
                               MTM_SPECTRUM_COUNT);
}

static mtm_result read(const mtmi_node *node, const mtmi_spectra *from, mtm_ends ends, double most,
                       mtm_spectrum *spectrum, mtm_error *error)
{
    if (cJSON_IsString(node->item))
        return load(node, from, ends, spectrum, error);
    if (cJSON_IsArray(node->item))
        return mtmi_json_as_pairs(node, ends, most, spectrum, error);
    return mtmi_json_fail(node, error,
                          "found %s, allowed is the name of a spectrum file or a list of "
                          "[wavelength_nm, value] pairs",
                          mtmi_json_type(node->item));
}

mtm_result mtmi_json_as_spectrum(const mtmi_node *node, const char *base_dir, mtm_ends ends,
                                 double most, mtm_spectrum *spectrum, mtm_error *error)
{
    const mtmi_spectra from = {.base_dir = base_dir};

    return read(node, &from, ends, most, spectrum, error);
}

mtm_result mtmi_json_as_light(const mtmi_node *node, const mtmi_spectra *from, double most,
                              mtm_spectrum *spectrum, mtm_error *error)
{
    return read(node, from, MTM_ENDS_ZERO, most, spectrum, error);
}
