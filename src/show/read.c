/* SPDX-License-Identifier: MIT */
/* Reading shows: the "show/1" file as a whole. */
#include "show/show.h"

#include "base/error.h"
#include "base/file.h"
#include "base/folder.h"

#include <metamer/calibration.h>
#include <metamer/frames.h>

#include <stdlib.h>

#define KIND "show/1"

static mtm_result read_rig(const mtmi_node *root, const char *base_dir, const mtm_rig *rig,
                           mtm_show *show, mtm_error *error)
{
    const char *name = NULL;
    char *path = NULL;
    mtmi_node node;
    mtm_error inner = {""};

    if (rig != NULL) {
        show->rig = rig;
        return MTM_OK;
    }
    mtm_result result = mtmi_json_string(root, "rig", &name, error);
    if (result != MTM_OK || !mtmi_json_child(root, "rig", &node))
        return result;
    result = mtmi_find_file(base_dir, name, &path, &inner);
    if (result != MTM_OK)
        return mtmi_json_fail_as(&node, result, &inner, error);
    result = mtm_rig_load(path, &show->own_rig, error);
    free(path);
    show->rig = show->own_rig;
    return result;
}

/* Gives the units what was measured of them. */
static mtm_result read_calibration(const mtmi_node *root, const char *base_dir, mtm_show *show,
                                   mtm_error *error)
{
    const char *name = NULL;
    char *path = NULL;
    mtm_calibration *calibration = NULL;
    mtmi_node node;
    mtm_error inner = {""};

    if (show->own_rig == NULL || !mtmi_json_child(root, "calibration", &node))
        return MTM_OK;
    mtm_result result = mtmi_json_as_string(&node, &name, error);
    if (result != MTM_OK)
        return result;
    result = mtmi_find_file(base_dir, name, &path, &inner);
    if (result != MTM_OK)
        return mtmi_json_fail_as(&node, result, &inner, error);
    result = mtm_calibration_load(path, show->own_rig, &calibration, error);
    if (result == MTM_OK)
        result = mtm_calibration_apply(show->own_rig, calibration, error);
    mtm_calibration_free(calibration);
    free(path);
    return result;
}

static mtm_result read_observer(const mtmi_node *root, mtm_show *show, mtm_error *error)
{
    mtmi_node node;
    int degrees = 2;

    if (!mtmi_json_child(root, "observer_deg", &node))
        return MTM_OK;
    mtm_result result = mtmi_json_as_integer(&node, -1000, 1000, &degrees, error);
    if (result != MTM_OK)
        return result;
    if (degrees != 2 && degrees != 10)
        return mtmi_json_fail(&node, error, "found %d, allowed are 2 and 10", degrees);
    show->observer = degrees == 10 ? MTM_OBSERVER_10 : MTM_OBSERVER_2;
    return MTM_OK;
}

static mtm_result fill(const mtmi_node *root, const char *base_dir, const mtm_rig *rig,
                       mtm_show *show, mtm_error *error)
{
    static const char *const keys[] = {"metamer",       "name",         "note",       "rig",
                                       "calibration",   "observer_deg", "refresh_hz", "colours",
                                       "groups",        "path",         "curve",      "goal",
                                       "leave_dark_uv", "dimming",      "cues",       NULL};
    mtm_result result = mtmi_json_keys(root, keys, error);

    if (result == MTM_OK)
        result = mtmi_json_string(root, "name", &show->name, error);
    if (result == MTM_OK)
        result = read_observer(root, show, error);
    if (result == MTM_OK)
        result = mtmi_json_optional_number(root, "refresh_hz", 1, MTM_FRAME_RATE_MAX,
                                           &show->refresh_hz, error);
    if (result == MTM_OK)
        result = read_rig(root, base_dir, rig, show, error);
    if (result == MTM_OK)
        result = read_calibration(root, base_dir, show, error);
    if (result == MTM_OK)
        result = mtmi_read_colours(root, base_dir, show, error);
    if (result == MTM_OK)
        result = mtmi_read_groups(root, show, error);
    if (result == MTM_OK)
        result = mtmi_read_cues(root, base_dir, show, error);
    return result;
}

mtm_result mtm_show_parse(const char *text, size_t length, const char *name_for_errors,
                          const char *base_dir, const mtm_rig *rig, mtm_show **out,
                          mtm_error *error)
{
    if (text == NULL || name_for_errors == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a show's text and name are needed");
    mtm_show *show = calloc(1, sizeof *show);
    if (show == NULL)
        return mtmi_fail_memory(error);
    show->refresh_hz = MTMI_SHOW_REFRESH_HZ;
    mtm_result result = mtmi_json_open(text, length, name_for_errors, KIND, &show->tree, error);
    if (result == MTM_OK) {
        mtmi_node root = mtmi_json_root(show->tree, name_for_errors);
        result = fill(&root, base_dir, rig, show, error);
    }
    if (result != MTM_OK) {
        mtm_show_free(show);
        return result;
    }
    *out = show;
    return MTM_OK;
}

mtm_result mtm_show_load(const char *path, mtm_show **out, mtm_error *error)
{
    char *text = NULL;
    char *folder = NULL;
    size_t length = 0;

    if (path == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a show's path is needed");
    mtm_result result = mtmi_file_read(path, MTMI_FILE_LIMIT, &text, &length, error);
    if (result == MTM_OK) {
        folder = mtmi_path_directory(path);
        result = folder == NULL ? mtmi_fail_memory(error)
                                : mtm_show_parse(text, length, path, folder, NULL, out, error);
    }
    free(folder);
    free(text);
    return result;
}
