/* SPDX-License-Identifier: MIT */
/* Palette: a file of named colours. */
#include "target/palette.h"

#include "base/error.h"
#include "base/file.h"
#include "base/folder.h"
#include "colour/check.h"
#include "target/json.h"

#include <stdlib.h>
#include <string.h>

#define FORMAT "colours/1"

struct mtm_palette {
    cJSON *tree; /* as read; names are borrowed from it */
    const char *name;
    struct colour {
        const char *name;
        mtm_target target;
    } * colour;
    size_t count;
};

mtm_result mtmi_colours_from_json(const mtmi_node *list, struct mtmi_target_place *place,
                                  mtmi_colour_take take, void *context, mtm_error *error)
{
    mtmi_node node;

    if (!cJSON_IsObject(list->item))
        return mtmi_json_fail(list, error, "found %s, wanted is an object of colours by name",
                              mtmi_json_type(list->item));
    for (bool more = mtmi_json_first(list, &node); more; more = mtmi_json_next(&node)) {
        mtm_target target;

        if (node.key[0] == '\0')
            return mtmi_json_fail(&node, error, "a colour's name is empty");
        mtm_result result = mtmi_target_from_json(&node, place, &target, error);
        if (result == MTM_OK)
            result = take(context, &node, &target, error);
        if (result != MTM_OK)
            return result;
    }
    return MTM_OK;
}

static mtm_result take_colour(void *context, const mtmi_node *node, const mtm_target *target,
                              mtm_error *error)
{
    mtm_palette *palette = context;

    (void)error;
    palette->colour[palette->count++] = (struct colour){node->key, *target};
    return MTM_OK;
}

static mtm_result fill(const mtmi_node *root, struct mtmi_target_place *place, mtm_palette *palette,
                       mtm_error *error)
{
    static const char *const keys[] = {"metamer", "name", "note", "colours", NULL};
    mtmi_node list;
    mtm_result result = mtmi_json_keys(root, keys, error);

    if (result == MTM_OK)
        result = mtmi_json_string(root, "name", &palette->name, error);
    if (result != MTM_OK)
        return result;
    if (!mtmi_json_child(root, "colours", &list))
        return mtmi_json_fail(root, error, "key \"colours\" is missing");
    int count = cJSON_GetArraySize(list.item);
    if (cJSON_IsObject(list.item) && (count < 1 || count > MTM_PALETTE_COLOURS_MAX))
        return mtmi_json_fail(&list, error, "has %d colours, allowed are 1 to %d", count,
                              MTM_PALETTE_COLOURS_MAX);
    palette->colour = calloc((size_t)count + 1, sizeof *palette->colour);
    if (palette->colour == NULL)
        return mtmi_fail_memory(error);
    return mtmi_colours_from_json(&list, place, take_colour, palette, error);
}

static mtm_result parse(const char *text, size_t length, const char *name_for_errors,
                        struct mtmi_target_place *place, mtm_palette **out, mtm_error *error)
{
    mtm_palette *palette = calloc(1, sizeof *palette);

    if (palette == NULL)
        return mtmi_fail_memory(error);
    mtm_result result =
        mtmi_json_open(text, length, name_for_errors, FORMAT, &palette->tree, error);
    if (result == MTM_OK) {
        mtmi_node root = mtmi_json_root(palette->tree, name_for_errors);
        result = fill(&root, place, palette, error);
    }
    if (result != MTM_OK) {
        mtm_palette_free(palette);
        return result;
    }
    *out = palette;
    return MTM_OK;
}

mtm_result mtmi_palette_load(const char *path, struct mtmi_target_place *place, mtm_palette **out,
                             mtm_error *error)
{
    char *text = NULL;
    size_t length = 0;
    mtm_result result = mtmi_file_read(path, MTMI_FILE_LIMIT, &text, &length, error);

    if (result == MTM_OK) {
        char *folder = mtmi_path_directory(path);
        const char *outer = place->base_dir;
        place->base_dir = folder;
        result =
            folder == NULL ? mtmi_fail_memory(error) : parse(text, length, path, place, out, error);
        place->base_dir = outer;
        free(folder);
    }
    free(text);
    return result;
}

mtm_result mtm_palette_parse(const char *text, size_t length, const char *name_for_errors,
                             const char *base_dir, const mtm_rig *rig, mtm_observer observer,
                             mtm_palette **out, mtm_error *error)
{
    struct mtmi_target_place place = {.observer = observer, .rig = rig, .base_dir = base_dir};

    if (text == NULL || name_for_errors == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a palette's text and name are needed");
    mtm_result result = mtmi_check_observer(observer, error);
    if (result == MTM_OK)
        result = parse(text, length, name_for_errors, &place, out, error);
    mtm_filters_free(place.filters);
    return result;
}

mtm_result mtm_palette_load(const char *path, const mtm_rig *rig, mtm_observer observer,
                            mtm_palette **out, mtm_error *error)
{
    struct mtmi_target_place place = {.observer = observer, .rig = rig};

    if (path == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a palette's path is needed");
    mtm_result result = mtmi_check_observer(observer, error);
    if (result == MTM_OK)
        result = mtmi_palette_load(path, &place, out, error);
    mtm_filters_free(place.filters);
    return result;
}

void mtm_palette_free(mtm_palette *palette)
{
    if (palette == NULL)
        return;
    free(palette->colour);
    cJSON_Delete(palette->tree);
    free(palette);
}

const char *mtm_palette_name(const mtm_palette *palette)
{
    return palette != NULL ? palette->name : NULL;
}

size_t mtm_palette_count(const mtm_palette *palette)
{
    return palette != NULL ? palette->count : 0;
}

const char *mtm_palette_colour_name(const mtm_palette *palette, size_t index)
{
    return palette != NULL && index < palette->count ? palette->colour[index].name : NULL;
}

const mtm_target *mtm_palette_colour(const mtm_palette *palette, size_t index)
{
    return palette != NULL && index < palette->count ? &palette->colour[index].target : NULL;
}
