/* SPDX-License-Identifier: MIT */
/* Rigs from any bytes. A refusal leaves the output alone and is a sentence that begins with the
 * file's name; what is accepted has no overlap, and written and read again it is the same. A group
 * has at least one unit, none twice, and its name chooses just these. */
#include "input.h"

#include <metamer/selection.h>

static void check_unit(const mtm_rig *rig, const mtm_unit *a, const mtm_unit *b)
{
    int supplies = (int)mtm_rig_supply_count(rig);

    hold(strcmp(a->name, b->name) == 0 && strcmp(a->mode->name, b->mode->name) == 0);
    hold(a->universe == b->universe && a->address == b->address);
    hold(a->supply == b->supply && a->port == b->port && a->follows == b->follows);
    hold(a->universe >= 0 && a->universe <= MTM_UNIVERSE_MAX);
    hold(a->address >= 0 && a->address + (int)a->mode->slot_count - 1 <= MTM_ADDRESS_MAX);
    hold(a->supply >= -1 && a->supply < supplies);
    hold(a->port >= 0 &&
         a->port <= (a->supply < 0 ? 0 : mtm_rig_supply(rig, (size_t)a->supply)->ports));
}

static void check_groups(const mtm_rig *rig, const mtm_rig *again)
{
    size_t units = mtm_rig_unit_count(rig);
    size_t *chosen = malloc(units * sizeof *chosen);

    hold(chosen != NULL);
    hold(mtm_rig_group_count(rig) == mtm_rig_group_count(again));
    for (size_t i = 0; i < mtm_rig_group_count(rig); i++) {
        const char *name = mtm_rig_group_name(rig, i);
        size_t count = 0, other = 0;
        const size_t *unit = mtm_rig_group(rig, i, &count);
        hold(count >= 1 && count <= units);
        hold(mtm_rig_select(rig, name, chosen, &other, NULL) == MTM_OK && other == count);
        hold(memcmp(unit, chosen, count * sizeof *unit) == 0);
        unit = mtm_rig_group(again, i, &other);
        hold(other == count && memcmp(unit, chosen, count * sizeof *unit) == 0);
        hold(strcmp(name, mtm_rig_group_name(again, i)) == 0);
    }
    free(chosen);
}

static void check_accepted(const mtm_rig *rig)
{
    char *text = NULL;
    size_t length = 0;
    mtm_rig *again = NULL;

    hold(mtm_rig_check(rig, NULL) == MTM_OK);
    hold(mtm_rig_to_json(rig, &text, &length, NULL) == MTM_OK);
    hold(mtm_rig_parse(text, length, "again", NULL, &again, NULL) == MTM_OK);
    hold(mtm_rig_unit_count(rig) == mtm_rig_unit_count(again));
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        size_t index = 0;
        check_unit(rig, mtm_rig_unit(rig, i), mtm_rig_unit(again, i));
        hold(mtm_rig_find_unit(rig, mtm_rig_unit(rig, i)->name, &index, NULL) == MTM_OK);
        hold(index == i);
    }
    check_groups(rig, again);
    mtm_rig_free(again);
    free(text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = exact_copy(data, size);
    mtm_rig *rig = NULL;
    mtm_error error = {""};

    mtm_result result = mtm_rig_parse(text, size, "input", NULL, &rig, &error);
    if (result == MTM_OK)
        check_accepted(rig);
    else
        hold(rig == NULL && strncmp(error.text, "input: ", 7) == 0);
    mtm_rig_free(rig);
    free(text);
    return 0;
}
