/* SPDX-License-Identifier: MIT */
/* Pick: which moving units stand for all, where only some can be looked at. */
#include "fade/pick.h"

#include "base/number.h"

#include <string.h>

/* Measured units have fixtures of their own, with the name of theirs. */
static bool same_model(const mtm_unit *a, const mtm_unit *b)
{
    return strcmp(mtm_fixture_name(a->fixture), mtm_fixture_name(b->fixture)) == 0 &&
           strcmp(a->mode->name, b->mode->name) == 0;
}

size_t mtmi_pick_gather(const mtm_fader *fader, const bool *meant, mtmi_pick *pick,
                        size_t *by_leader)
{
    size_t count = 0;

    for (size_t i = 0; i < fader->unit_count; i++)
        by_leader[i] = SIZE_MAX;
    for (size_t i = 0; i < fader->unit_count; i++) {
        const mtmi_runner *runner = &fader->runners[i];
        size_t leader = runner->leader != NULL ? (size_t)(runner->leader - fader->runners) : i;

        if (!fader->moved[i] || (meant != NULL && !meant[i]))
            continue;
        if (by_leader[leader] == SIZE_MAX) {
            by_leader[leader] = count;
            pick[count++] = (mtmi_pick){.unit = i};
        }
        pick[by_leader[leader]].alike++;
    }
    return count;
}

/* The one from first on that is worth most, the first of equals. */
static size_t largest(const mtmi_pick *pick, size_t first, size_t count)
{
    size_t most = first;

    for (size_t i = first + 1; i < count; i++) {
        if (mtmi_exceeds(pick[i].worth, pick[most].worth))
            most = i;
    }
    return most;
}

/* Moves one to a place before it; those between move on by one. */
static void bring(mtmi_pick *pick, size_t from, size_t to)
{
    mtmi_pick moved = pick[from];

    memmove(&pick[to + 1], &pick[to], (from - to) * sizeof *pick);
    pick[to] = moved;
}

/* The one worth most of a model that none before first is of; count where there is none. */
static size_t next_of_new_model(const mtm_rig *rig, const mtmi_pick *pick, size_t first,
                                size_t count)
{
    size_t found = count;

    for (size_t i = first; i < count; i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, pick[i].unit);
        bool known = false;

        if (found != count && !mtmi_exceeds(pick[i].worth, pick[found].worth))
            continue;
        for (size_t k = 0; k < first && !known; k++)
            known = same_model(unit, mtm_rig_unit(rig, pick[k].unit));
        if (!known)
            found = i;
    }
    return found;
}

size_t mtmi_pick_choose(const mtm_rig *rig, mtmi_pick *pick, size_t count, size_t most)
{
    size_t chosen = 0;

    for (size_t next = 0; chosen < most; chosen++) {
        next = next_of_new_model(rig, pick, chosen, count);
        if (next == count)
            break;
        bring(pick, next, chosen);
    }
    for (; chosen < most && chosen < count; chosen++)
        bring(pick, largest(pick, chosen, count), chosen);
    return chosen;
}
