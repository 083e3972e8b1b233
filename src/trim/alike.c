/* SPDX-License-Identifier: MIT */
/* Which units of a rig are to agree with each other. */
#include <metamer/selection.h>
#include <metamer/trim.h>

#include "base/error.h"
#include "fixture/limits.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define NO_GROUP SIZE_MAX

static const mtm_alike_info choices[] = {
    {MTM_ALIKE_ALL, "all", "all units"},
    {MTM_ALIKE_KIND, "kind", "the units of each fixture"},
    {MTM_ALIKE_GROUP, "group", "the units of each group"},
};

#define CHOICES (sizeof choices / sizeof choices[0])

const mtm_alike_info *mtm_alike_at(size_t index)
{
    return index < CHOICES ? &choices[index] : NULL;
}

/* Of each unit the group of the fewest units that holds it. */
static void find_groups(const mtm_rig *rig, size_t *group)
{
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++)
        group[i] = NO_GROUP;
    for (size_t g = 0; g < mtm_rig_group_count(rig); g++) {
        size_t count = 0;
        const size_t *unit = mtm_rig_group(rig, g, &count);

        for (size_t i = 0; i < count; i++) {
            size_t known = 0;

            if (group[unit[i]] != NO_GROUP)
                (void)mtm_rig_group(rig, group[unit[i]], &known);
            if (group[unit[i]] == NO_GROUP || count < known)
                group[unit[i]] = g;
        }
    }
}

/* What makes two units agree, while they are split. */
struct split {
    const mtm_rig *rig;
    mtm_alike alike;
    size_t *group; /* by unit */
    size_t *first; /* unit of each set */
    size_t count;
};

static bool agree(const struct split *split, size_t a, size_t b)
{
    if (split->alike == MTM_ALIKE_KIND)
        return mtmi_fixture_same_light(mtm_rig_unit(split->rig, a)->fixture,
                                       mtm_rig_unit(split->rig, b)->fixture);
    return split->alike == MTM_ALIKE_ALL || split->group[a] == split->group[b];
}

static size_t set_of(struct split *split, size_t unit)
{
    for (size_t i = split->count; i-- > 0;) /* the last first: neighbours are mostly alike */
        if (agree(split, split->first[i], unit))
            return i;
    split->first[split->count] = unit;
    return split->count++;
}

mtm_result mtm_alike_split(const mtm_rig *rig, const bool *meant, mtm_alike alike, size_t *set,
                           size_t *count, mtm_error *error)
{
    struct split split = {.rig = rig, .alike = alike};

    if (rig == NULL || (size_t)alike >= CHOICES || set == NULL || count == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "units are split by a rig, a way in which they are alike, and places for "
                         "their sets");
    if (alike == MTM_ALIKE_GROUP && mtm_rig_group_count(rig) == 0)
        return mtmi_fail(error, MTM_NOT_FOUND,
                         "units of a group are to be alike, but the rig \"%.60s\" has no groups",
                         mtm_rig_name(rig));
    size_t units = mtm_rig_unit_count(rig);
    split.group = calloc(units + 1, sizeof *split.group);
    split.first = calloc(units + 1, sizeof *split.first);
    if (split.group == NULL || split.first == NULL) {
        free(split.group);
        free(split.first);
        return mtmi_fail_memory(error);
    }
    find_groups(rig, split.group);
    for (size_t i = 0; i < units; i++)
        set[i] = meant == NULL || meant[i] ? set_of(&split, i) : SIZE_MAX;
    *count = split.count;
    free(split.group);
    free(split.first);
    return MTM_OK;
}

/* The group of the fewest units that holds one; NULL where none does. */
static const char *group_name(const mtm_rig *rig, size_t unit)
{
    const char *name = NULL;
    size_t least = SIZE_MAX;

    for (size_t g = 0; g < mtm_rig_group_count(rig); g++) {
        size_t count = 0;
        const size_t *member = mtm_rig_group(rig, g, &count);

        for (size_t i = 0; i < count && count < least; i++) {
            if (member[i] != unit)
                continue;
            name = mtm_rig_group_name(rig, g);
            least = count;
        }
    }
    return name;
}

const char *mtm_alike_name(const mtm_rig *rig, mtm_alike alike, size_t unit)
{
    if (rig == NULL || unit >= mtm_rig_unit_count(rig))
        return NULL;
    return alike == MTM_ALIKE_KIND    ? mtm_fixture_name(mtm_rig_unit(rig, unit)->fixture)
           : alike == MTM_ALIKE_GROUP ? group_name(rig, unit)
                                      : NULL;
}
