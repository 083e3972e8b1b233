/* SPDX-License-Identifier: MIT */
/* Making rigs: units added one after the other, by the rules that reading has too. What is added
 * stands in the tree as well, so that a made rig is written like one that was read. */
#include "rig/rig.h"

#include "base/error.h"
#include "fixture/limits.h"
#include "rig/stage.h"

#include <stdlib.h>
#include <string.h>

mtm_result mtm_rig_create(const char *name, mtm_rig **out, mtm_error *error)
{
    if (name == NULL || name[0] == '\0' || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a rig needs a name, and a place for it");
    mtm_rig *rig = calloc(1, sizeof *rig);
    if (rig == NULL)
        return mtmi_fail_memory(error);
    rig->tree = cJSON_CreateObject();
    const cJSON *owned = NULL;
    if (cJSON_AddStringToObject(rig->tree, "metamer", MTMI_RIG_KIND) == NULL ||
        (owned = cJSON_AddStringToObject(rig->tree, "name", name)) == NULL ||
        cJSON_AddArrayToObject(rig->tree, "circuits") == NULL ||
        cJSON_AddArrayToObject(rig->tree, "supplies") == NULL ||
        cJSON_AddArrayToObject(rig->tree, "units") == NULL) {
        mtm_rig_free(rig);
        return mtmi_fail_memory(error);
    }
    rig->name = owned->valuestring;
    *out = rig;
    return MTM_OK;
}

static bool has_fixture(const mtm_rig *rig, const mtm_fixture *fixture)
{
    for (size_t i = 0; i < rig->fixture_count; i++) {
        if (rig->fixtures[i] == fixture)
            return true;
    }
    return false;
}

mtm_result mtm_rig_add_fixture(mtm_rig *rig, mtm_fixture *own, mtm_error *error)
{
    if (rig == NULL || own == NULL)
        return mtmi_fail(error, MTM_INVALID, "a rig and a fixture are needed");
    if (has_fixture(rig, own))
        return mtmi_fail(error, MTM_INVALID, "the rig has this \"%.60s\" already",
                         mtm_fixture_name(own));
    if (rig->fixture_count >= MTMI_FIXTURES_MAX)
        return mtmi_fail(error, MTM_LIMIT, "a rig has at most %d fixtures", MTMI_FIXTURES_MAX);
    mtm_fixture **grown =
        realloc((void *)rig->fixtures, (rig->fixture_count + 1) * sizeof(mtm_fixture *));
    if (grown == NULL)
        return mtmi_fail_memory(error);
    rig->fixtures = grown;
    rig->fixtures[rig->fixture_count++] = own;
    return MTM_OK;
}

static bool has_mode(const mtm_fixture *fixture, const mtm_mode *mode)
{
    for (size_t i = 0; i < mtm_fixture_mode_count(fixture); i++) {
        if (mtm_fixture_mode(fixture, i) == mode)
            return true;
    }
    return false;
}

static mtm_result check_parts(const mtm_rig *rig, const mtm_unit *unit, mtm_error *error)
{
    if (unit->name == NULL || unit->name[0] == '\0')
        return mtmi_fail(error, MTM_INVALID, "a unit needs a name");
    if (unit->fixture_file == NULL || unit->fixture_file[0] == '\0')
        return mtmi_fail(error, MTM_INVALID,
                         "unit \"%.60s\" needs the name of a fixture file, under which its fixture "
                         "is found where the rig is read",
                         unit->name);
    if (!has_fixture(rig, unit->fixture))
        return mtmi_fail(error, MTM_INVALID,
                         "unit \"%.60s\" needs a fixture that was added to the rig", unit->name);
    if (!has_mode(unit->fixture, unit->mode))
        return mtmi_fail(error, MTM_INVALID, "unit \"%.60s\" needs one of the modes of \"%.60s\"",
                         unit->name, mtm_fixture_name(unit->fixture));
    if (mtmi_names_find(rig->unit_names, rig->unit_count, unit->name) != NULL)
        return mtmi_fail(error, MTM_INVALID, "the rig has a unit \"%.60s\" already", unit->name);
    if (mtmi_groups_find(&rig->groups, unit->name) != NULL)
        return mtmi_fail(error, MTM_INVALID, "the rig has a group \"%.60s\" already", unit->name);
    if (rig->unit_count >= MTM_UNITS_MAX)
        return mtmi_fail(error, MTM_LIMIT, "a rig has at most %d units; split it into several rigs",
                         MTM_UNITS_MAX);
    return MTM_OK;
}

static mtm_result check_unit(const mtm_rig *rig, const mtm_unit *unit, mtm_error *error)
{
    const mtm_place place = {unit->universe, unit->address, unit->supply, unit->port};
    mtm_result result = check_parts(rig, unit, error);

    if (result == MTM_OK)
        result = mtmi_rig_check_stage(unit, error);
    if (result == MTM_OK)
        result = mtmi_rig_check_place(rig, unit, place, error);
    if (result != MTM_OK)
        return result;
    if (mtmi_check_address(unit->mode, unit->address, error) != MTM_OK) {
        mtmi_error_prefix(error, unit->name);
        return MTM_INVALID;
    }
    if (unit->channel < 0 || unit->channel > MTM_UNIT_CHANNEL_MAX)
        return mtmi_fail(error, MTM_INVALID,
                         "unit \"%.60s\" begins at channel %d; allowed is to %d", unit->name,
                         unit->channel, MTM_UNIT_CHANNEL_MAX);
    if (unit->follows < -1 || unit->follows >= (int)rig->unit_count)
        return mtmi_fail(error, MTM_INVALID,
                         "unit \"%.60s\" cannot follow unit number %d: there is none yet",
                         unit->name, unit->follows);
    return MTM_OK;
}

/* Room for one more in all that goes by unit; false: memory. */
static bool reserve_unit(mtm_rig *rig)
{
    size_t room = 2 * rig->unit_room + 8;

    if (rig->unit_count < rig->unit_room)
        return true;
    mtm_unit *units = realloc(rig->units, room * sizeof *units);
    if (units == NULL)
        return false;
    rig->units = units;
    mtmi_named *names = realloc(rig->unit_names, room * sizeof *names);
    if (names == NULL)
        return false;
    rig->unit_names = names;
    mtmi_follower *followers = realloc(rig->followers, room * sizeof *followers);
    if (followers == NULL)
        return false;
    rig->followers = followers;
    if (rig->own != NULL) {
        mtm_fixture **own = realloc((void *)rig->own, room * sizeof(mtm_fixture *));
        if (own == NULL)
            return false;
        rig->own = own;
        for (size_t i = rig->unit_room; i < room; i++)
            own[i] = NULL;
    }
    rig->unit_room = room;
    return true;
}

/* The unit as an object of the file, but for its place, which is written as it is then. */
static cJSON *unit_object(const mtm_rig *rig, const mtm_unit *unit)
{
    cJSON *object = cJSON_CreateObject();

    if (cJSON_AddStringToObject(object, "name", unit->name) != NULL &&
        cJSON_AddStringToObject(object, "fixture", unit->fixture_file) != NULL &&
        cJSON_AddStringToObject(object, "mode", unit->mode->name) != NULL &&
        (unit->channel == 0 || cJSON_AddNumberToObject(object, "channel", unit->channel) != NULL) &&
        (unit->follows < 0 ||
         cJSON_AddStringToObject(object, "follows", rig->units[unit->follows].name) != NULL) &&
        (unit->position == NULL ||
         cJSON_AddStringToObject(object, "position", unit->position) != NULL) &&
        (unit->remark == NULL || cJSON_AddStringToObject(object, "remark", unit->remark) != NULL) &&
        mtmi_rig_write_stage(object, unit) && mtmi_write_limits_of_unit(object, unit->fixture))
        return object;
    cJSON_Delete(object);
    return NULL;
}

mtm_result mtm_rig_add_unit(mtm_rig *rig, const mtm_unit *unit, mtm_error *error)
{
    if (rig == NULL || unit == NULL)
        return mtmi_fail(error, MTM_INVALID, "a rig and a unit are needed");
    mtm_result result = check_unit(rig, unit, error);
    if (result != MTM_OK)
        return result;
    mtm_unit added = *unit;
    if (unit->follows >= 0)
        result = mtmi_rig_follow(rig, &added, (size_t)unit->follows, error);
    if (result == MTM_OK && unit->follows >= 0)
        result = mtmi_rig_check_chain(rig, &added, error);
    if (result != MTM_OK)
        return MTM_INVALID;
    if (!reserve_unit(rig))
        return mtmi_fail_memory(error);
    cJSON *object = unit_object(rig, unit);
    if (object == NULL)
        return mtmi_fail_memory(error);
    (void)cJSON_AddItemToArray(cJSON_GetObjectItemCaseSensitive(rig->tree, "units"), object);
    const cJSON *position = cJSON_GetObjectItemCaseSensitive(object, "position");
    const cJSON *remark = cJSON_GetObjectItemCaseSensitive(object, "remark");
    added.position = position != NULL ? position->valuestring : NULL;
    added.remark = remark != NULL ? remark->valuestring : NULL;
    added.name = cJSON_GetObjectItemCaseSensitive(object, "name")->valuestring;
    added.fixture_file = cJSON_GetObjectItemCaseSensitive(object, "fixture")->valuestring;
    mtmi_unit_take_view(&added);
    size_t at = rig->unit_count++;
    rig->units[at] = added;
    mtmi_names_insert(rig->unit_names, at, (mtmi_named){added.name, at});
    mtmi_rig_enlist(rig, at);
    return MTM_OK;
}
