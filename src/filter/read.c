/* SPDX-License-Identifier: MIT */
/* Reading filters: "filter/1" text and measured curves. */
#include "filter/read.h"

#include "base/error.h"
#include "base/file.h"
#include "base/folder.h"
#include "base/json.h"
#include "filter/light.h"
#include "spectrum/json.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define KIND "filter/1"
#define FIRST_MIN_NM 400.0
#define LAST_MIN_NM 700.0

/* Between samples of 0..1 a polynomial may stick out. */
static void cut(mtm_spectrum *transmittance)
{
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        double value = transmittance->value[i];
        transmittance->value[i] = value < 0 ? 0 : value > 1 ? 1 : value;
    }
}

mtm_result mtmi_filter_from_set(const mtm_spectrum_set *set, size_t index, mtm_filter *filter,
                                mtm_error *error)
{
    double least = 0;
    double most = 0;
    mtm_quantity quantity = mtm_spectrum_set_quantity(set, index);

    if (quantity == MTM_QUANTITY_LIGHT || quantity == MTM_QUANTITY_REFLECTANCE)
        return mtmi_fail(error, MTM_PARSE, "holds %s; a transmittance is wanted",
                         quantity == MTM_QUANTITY_LIGHT ? "a light" : "a reflectance");
    mtm_spectrum_set_extremes(set, index, &least, &most);
    if (!(least >= 0 && most <= 1))
        return mtmi_fail(
            error, MTM_PARSE,
            "found a transmittance of %.10g; allowed is 0 to 1 (percent must be divided "
            "by 100)",
            least < 0 ? least : most);
    filter->transmittance = *mtm_spectrum_set_at(set, index);
    cut(&filter->transmittance);
    filter->computed = false;
    (void)snprintf(filter->name, sizeof filter->name, "%.*s", MTM_FILTER_NAME_MAX,
                   mtm_spectrum_set_name(set, index));
    return MTM_OK;
}

/* An inline curve must reach as far as readers of files demand. */
static mtm_result check_reach(const mtmi_node *list, mtm_error *error)
{
    const cJSON *first = list->item->child;
    const cJSON *last = first;

    while (last != NULL && last->next != NULL)
        last = last->next;
    if (first == NULL || first->child == NULL || last->child == NULL)
        return MTM_OK; /* the reader of pairs says more */
    if (first->child->valuedouble > FIRST_MIN_NM || last->child->valuedouble < LAST_MIN_NM)
        return mtmi_json_fail(
            list, error,
            "reaches from %.10g to %.10g nm; a filter's curve must reach from %.10g to %.10g nm",
            first->child->valuedouble, last->child->valuedouble, FIRST_MIN_NM, LAST_MIN_NM);
    return MTM_OK;
}

static mtm_result load_curve(const char *path, mtm_filter *filter, mtm_error *error)
{
    mtm_spectrum_set *set = NULL;
    mtm_filter read = {.name = ""};
    mtm_result result = mtm_spectrum_set_load(path, MTM_ENDS_HOLD, &set, error);

    if (result != MTM_OK)
        return result;
    size_t count = mtm_spectrum_set_count(set);
    if (count != 1) {
        mtm_spectrum_set_free(set);
        return mtmi_fail(error, MTM_PARSE, "%s: holds %zu curves where one filter is wanted", path,
                         count);
    }
    result = mtmi_filter_from_set(set, 0, &read, error);
    mtm_spectrum_set_free(set);
    if (result != MTM_OK) {
        mtmi_error_prefix(error, path);
        return result;
    }
    *filter = read;
    return MTM_OK;
}

static mtm_result read_named_curve(const mtmi_node *node, const char *base_dir,
                                   mtm_spectrum *transmittance, mtm_error *error)
{
    const char *name = NULL;
    char *path = NULL;
    mtm_filter read;
    mtm_error inner = {""};
    mtm_result result = mtmi_json_as_string(node, &name, error);

    if (result != MTM_OK)
        return result;
    result = mtmi_find_file(base_dir, name, &path, &inner);
    if (result == MTM_OK)
        result = load_curve(path, &read, &inner);
    free(path);
    if (result != MTM_OK)
        return mtmi_json_fail_as(node, result, &inner, error);
    *transmittance = read.transmittance;
    return MTM_OK;
}

static mtm_result read_curve(const mtmi_node *node, const char *base_dir,
                             mtm_spectrum *transmittance, mtm_error *error)
{
    if (cJSON_IsString(node->item))
        return read_named_curve(node, base_dir, transmittance, error);
    if (!cJSON_IsArray(node->item))
        return mtmi_json_fail(node, error,
                              "found %s, allowed is the name of a file or a list of "
                              "[wavelength_nm, transmittance] pairs",
                              mtmi_json_type(node->item));
    mtm_result result = check_reach(node, error);
    if (result == MTM_OK)
        result = mtmi_json_as_pairs(node, MTM_ENDS_HOLD, 1, transmittance, error);
    if (result == MTM_OK)
        cut(transmittance);
    return result;
}

static mtm_result read_shifts(const mtmi_node *root, const char *base_dir, const char *name,
                              mtm_filter *filter, mtm_error *error)
{
    mtm_correction correction = {0, 0, 0};
    const char *reference = NULL;
    mtm_light light;
    mtm_error inner = {""};
    mtm_result result =
        mtmi_json_optional_number(root, "mired_shift", -300, 300, &correction.mired_shift, error);

    if (result == MTM_OK)
        result =
            mtmi_json_optional_number(root, "duv_shift", -0.04, 0.04, &correction.duv_shift, error);
    if (result == MTM_OK)
        result = mtmi_json_optional_number(root, "peak", 0.01, 1, &correction.peak, error);
    if (result == MTM_OK)
        result = mtmi_json_string(root, "reference", &reference, error);
    if (result != MTM_OK)
        return result;
    result = mtmi_light_from_text(reference, base_dir, &light, &inner);
    if (result == MTM_OK)
        result = mtm_filter_correction(name, correction, &light.spectrum, filter, &inner);
    if (result != MTM_OK)
        return mtmi_json_fail_as(root, result, &inner, error);
    return MTM_OK;
}

/* A curve and shifts exclude each other. */
static mtm_result check_kinds(const mtmi_node *root, bool *is_curve, mtm_error *error)
{
    static const char *const of_shifts[] = {"mired_shift", "duv_shift", "reference", "peak"};
    mtmi_node node;
    bool shifts =
        mtmi_json_child(root, "mired_shift", &node) || mtmi_json_child(root, "duv_shift", &node);

    *is_curve = mtmi_json_child(root, "transmittance", &node);
    if (!*is_curve && !shifts)
        return mtmi_json_fail(root, error,
                              "has neither \"transmittance\" nor \"mired_shift\" nor "
                              "\"duv_shift\"; one kind is wanted");
    for (size_t i = 0; *is_curve && i < sizeof of_shifts / sizeof of_shifts[0]; i++) {
        if (mtmi_json_child(root, of_shifts[i], &node))
            return mtmi_json_fail(root, error,
                                  "\"%s\" stands beside \"transmittance\"; a filter is one or the "
                                  "other",
                                  of_shifts[i]);
    }
    return MTM_OK;
}

static mtm_result read_root(const mtmi_node *root, const char *base_dir, mtm_filter *filter,
                            mtm_error *error)
{
    static const char *const keys[] = {"metamer",       "name",        "note",
                                       "transmittance", "mired_shift", "duv_shift",
                                       "peak",          "reference",   NULL};
    const char *name = NULL;
    mtmi_node node;
    bool is_curve = false;
    mtm_result result = mtmi_json_keys(root, keys, error);

    if (result == MTM_OK)
        result = mtmi_json_string(root, "name", &name, error);
    if (result == MTM_OK && strlen(name) > MTM_FILTER_NAME_MAX)
        result = mtmi_json_fail(root, error, "the name has %zu bytes, allowed are 1 to %d",
                                strlen(name), MTM_FILTER_NAME_MAX);
    if (result == MTM_OK && strchr(name, '+') != NULL)
        result = mtmi_json_fail(root, error, "the name holds \"+\", which stacks filters");
    if (result == MTM_OK)
        result = check_kinds(root, &is_curve, error);
    if (result != MTM_OK)
        return result;
    (void)snprintf(filter->name, sizeof filter->name, "%s", name);
    if (is_curve && mtmi_json_child(root, "transmittance", &node))
        return read_curve(&node, base_dir, &filter->transmittance, error);
    return read_shifts(root, base_dir, name, filter, error);
}

mtm_result mtm_filter_parse(const char *text, size_t length, const char *name_for_errors,
                            const char *base_dir, mtm_filter *filter, mtm_error *error)
{
    cJSON *tree = NULL;
    mtm_filter read = {.name = ""};

    if (text == NULL || name_for_errors == NULL || filter == NULL)
        return mtmi_fail(error, MTM_INVALID, "a filter's text and name are needed");
    mtm_result result = mtmi_json_open(text, length, name_for_errors, KIND, &tree, error);
    if (result != MTM_OK)
        return result;
    mtmi_node root = mtmi_json_root(tree, name_for_errors);
    result = read_root(&root, base_dir, &read, error);
    cJSON_Delete(tree);
    if (result == MTM_OK)
        *filter = read;
    return result;
}

static mtm_result load_json(const char *path, mtm_filter *filter, mtm_error *error)
{
    char *text = NULL;
    char *folder = NULL;
    size_t length = 0;
    mtm_result result = mtmi_file_read(path, MTMI_FILE_LIMIT, &text, &length, error);

    if (result == MTM_OK) {
        folder = mtmi_path_directory(path);
        result = folder == NULL ? mtmi_fail_memory(error)
                                : mtm_filter_parse(text, length, path, folder, filter, error);
    }
    free(folder);
    free(text);
    return result;
}

bool mtmi_is_filter_json(const char *path)
{
    size_t length = strlen(path);

    return length > 5 && strcmp(path + length - 5, ".json") == 0;
}

mtm_result mtm_filter_load(const char *path, mtm_filter *filter, mtm_error *error)
{
    if (path == NULL || filter == NULL)
        return mtmi_fail(error, MTM_INVALID, "a path and a place for the filter are needed");
    return mtmi_is_filter_json(path) ? load_json(path, filter, error)
                                     : load_curve(path, filter, error);
}
