/* SPDX-License-Identifier: MIT */
/* Reading the colours of a show: those that have names, and those that stand inside a cue. */
#include "show/show.h"

#include "base/error.h"
#include "base/folder.h"
#include "base/grow.h"
#include "base/name.h"
#include "target/json.h"
#include "target/palette.h"

#include <stdlib.h>
#include <string.h>

/* Each holds a spectrum, so this bounds the memory that a show can ask for. */
#define WRITTEN_COLOURS_MAX (4 * MTM_SHOW_COLOURS_MAX)

static mtm_result read_target(const mtmi_node *node, mtm_show *show, const char *base_dir,
                              mtm_target *target, mtm_error *error)
{
    struct mtmi_target_place place = {.observer = show->observer,
                                      .rig = show->rig,
                                      .base_dir = base_dir,
                                      .filters = show->filters};
    mtm_result result = mtmi_target_from_json(node, &place, target, error);

    show->filters = place.filters;
    return result;
}

/* Makes room for one more colour at the end. node is where it stands. */
static mtm_result add_colour(const mtmi_node *node, mtm_show *show, mtmi_colour **added,
                             mtm_error *error)
{
    if (show->colour_count >= WRITTEN_COLOURS_MAX)
        return mtmi_json_fail(node, error, "more than %d colours are written out; give them names",
                              WRITTEN_COLOURS_MAX);
    mtmi_colour **grown = mtmi_grown((void *)show->colours, show->colour_count, &show->colour_room,
                                     sizeof(mtmi_colour *));
    if (grown == NULL)
        return mtmi_fail_memory(error);
    show->colours = grown;
    mtmi_colour *colour = calloc(1, sizeof *colour);
    if (colour == NULL)
        return mtmi_fail_memory(error);
    show->colours[show->colour_count++] = colour;
    *added = colour;
    return MTM_OK;
}

static const char *colour_name_at(const void *list, size_t index)
{
    const mtm_show *show = list;

    return index < show->named_colour_count ? show->colours[index]->name : NULL;
}

/* Where colours that are taken go, and whose names are asked for. */
struct taking {
    mtm_show *show;
    const mtmi_node *node; /* where the show names them */
};

static mtm_result add_named(struct taking *taking, const mtmi_node *node, const char *name,
                            const mtm_target *target, mtm_error *error)
{
    mtm_show *show = taking->show;
    mtmi_colour *colour = NULL;

    if (show->named_colour_count >= MTM_SHOW_COLOURS_MAX)
        return mtmi_json_fail(taking->node, error, "more than %d colours", MTM_SHOW_COLOURS_MAX);
    if (mtmi_name_find(name, show, colour_name_at) != SIZE_MAX)
        return mtmi_json_fail(node, error, "colour \"%.60s\" is named twice", name);
    mtm_result result = add_colour(node, show, &colour, error);
    if (result != MTM_OK || colour == NULL)
        return result;
    *colour = (mtmi_colour){name, *target};
    show->named_colour_count = show->colour_count;
    return MTM_OK;
}

static mtm_result take_colour(void *context, const mtmi_node *node, const mtm_target *target,
                              mtm_error *error)
{
    return add_named(context, node, node->key, target, error);
}

/* The palette that a node names. The show keeps it, since its names are borrowed. */
static mtm_result read_palette(const mtmi_node *node, struct mtmi_target_place *place,
                               mtm_show *show, mtm_error *error)
{
    struct taking taking = {show, node};
    const char *name = NULL;
    char *path = NULL;
    mtm_palette *palette = NULL;
    mtm_error inner = {""};
    mtm_result result = mtmi_json_as_string(node, &name, error);

    if (result != MTM_OK)
        return result;
    result = mtmi_find_file(place->base_dir, name, &path, &inner);
    if (result != MTM_OK)
        return mtmi_json_fail_as(node, result, &inner, error);
    mtm_palette **grown = mtmi_grown((void *)show->palettes, show->palette_count,
                                     &show->palette_room, sizeof(mtm_palette *));
    result =
        grown == NULL ? mtmi_fail_memory(error) : mtmi_palette_load(path, place, &palette, error);
    free(path);
    if (grown != NULL)
        show->palettes = grown;
    if (result != MTM_OK)
        return result;
    show->palettes[show->palette_count++] = palette;
    for (size_t i = 0; result == MTM_OK && i < mtm_palette_count(palette); i++)
        result = add_named(&taking, node, mtm_palette_colour_name(palette, i),
                           mtm_palette_colour(palette, i), error);
    return result;
}

static mtm_result read_part(const mtmi_node *node, struct mtmi_target_place *place, mtm_show *show,
                            mtm_error *error)
{
    struct taking taking = {show, node};

    if (cJSON_IsString(node->item))
        return read_palette(node, place, show, error);
    return mtmi_colours_from_json(node, place, take_colour, &taking, error);
}

mtm_result mtmi_read_colours(const mtmi_node *root, const char *base_dir, mtm_show *show,
                             mtm_error *error)
{
    struct mtmi_target_place place = {.observer = show->observer,
                                      .rig = show->rig,
                                      .base_dir = base_dir,
                                      .filters = show->filters};
    mtmi_node list;
    mtmi_node node;
    mtm_result result = MTM_OK;

    if (!mtmi_json_child(root, "colours", &list))
        return MTM_OK;
    if (cJSON_IsArray(list.item)) {
        for (bool more = mtmi_json_first(&list, &node); more && result == MTM_OK;
             more = mtmi_json_next(&node))
            result = read_part(&node, &place, show, error);
    } else {
        result = read_part(&list, &place, show, error);
    }
    show->filters = place.filters;
    return result;
}

static mtm_result find_colour(const mtmi_node *node, const mtm_show *show,
                              const mtm_target **target, mtm_error *error)
{
    const char *name = NULL;
    mtm_result result = mtmi_json_as_string(node, &name, error);

    if (result != MTM_OK)
        return result;
    size_t found = mtmi_name_find(name, show, colour_name_at);
    if (found != SIZE_MAX) {
        *target = &show->colours[found]->target;
        return MTM_OK;
    }
    const char *nearest = mtmi_name_nearest(name, show, colour_name_at);
    (void)mtmi_json_fail(node, error, "there is no colour \"%.60s\"%s%.60s%s", name,
                         nearest != NULL ? "; the nearest is \"" : " in \"colours\"",
                         nearest != NULL ? nearest : "", nearest != NULL ? "\"" : "");
    return MTM_NOT_FOUND;
}

mtm_result mtmi_read_colour_of(const mtmi_node *node, const char *base_dir, mtm_show *show,
                               const mtm_target **target, mtm_error *error)
{
    mtmi_colour *colour = NULL;

    if (cJSON_IsString(node->item))
        return find_colour(node, show, target, error);
    if (!cJSON_IsObject(node->item))
        return mtmi_json_fail(node, error,
                              "found %s, wanted is the name of a colour, or a colour as in "
                              "{ \"cct_k\": 3200 }",
                              mtmi_json_type(node->item));
    mtm_result result = add_colour(node, show, &colour, error);
    if (result == MTM_OK && colour != NULL)
        result = read_target(node, show, base_dir, &colour->target, error);
    if (result == MTM_OK)
        *target = &colour->target;
    return result;
}
