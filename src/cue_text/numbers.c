/* SPDX-License-Identifier: MIT */
/* Which channels of cue text are whose: numbers that the rig states, and those counted on. */
#include "cue_text/numbers.h"

#include "base/error.h"

#include <metamer/cue_text.h>

/* Numbers being given out. */
struct numbering {
    const mtm_rig *rig;
    uint32_t *owner;
};

/* Gives a unit the numbers from first on. */
static mtm_result take_numbers(struct numbering *work, size_t unit, size_t first, mtm_error *error)
{
    const mtm_unit *info = mtm_rig_unit(work->rig, unit);
    size_t end = first + info->mode->slot_count;

    if (end - 1 > MTM_CUE_CHANNEL_MAX)
        return mtmi_fail(error, MTM_RANGE,
                         "unit %s: its channels would be %zu to %zu; cue text counts to %d",
                         info->name, first, end - 1, MTM_CUE_CHANNEL_MAX);
    for (size_t c = first; c < end; c++) {
        if (work->owner[c] != 0)
            return mtmi_fail(
                error, MTM_RANGE, "unit %s: its channels are %zu to %zu, but %zu is one of unit %s",
                info->name, first, end - 1, c, mtm_rig_unit(work->rig, work->owner[c] - 1)->name);
        work->owner[c] = (uint32_t)unit + 1;
    }
    return MTM_OK;
}

/* The lowest number from which so many are free. */
static size_t find_free(const struct numbering *work, size_t from, size_t count)
{
    size_t run = 0;

    for (; run < count && from + run <= MTM_CUE_CHANNEL_MAX; run++) {
        if (work->owner[from + run] == 0)
            continue;
        from += run + 1;
        run = (size_t)-1;
    }
    return from;
}

mtm_result mtmi_cue_number_units(const mtm_rig *rig, uint32_t *owner, mtm_error *error)
{
    struct numbering work = {rig, owner};
    size_t next = 1;
    mtm_result result = MTM_OK;

    /* those that the rig states, then the others, counted on past them */
    for (int counted = 0; counted < 2; counted++) {
        for (size_t i = 0; i < mtm_rig_unit_count(rig) && result == MTM_OK; i++) {
            const mtm_unit *unit = mtm_rig_unit(rig, i);
            if (!mtmi_cue_is_sent(unit) || (unit->channel == 0) != (counted == 1))
                continue;
            if (counted == 1)
                next = find_free(&work, next, unit->mode->slot_count);
            result = take_numbers(&work, i, counted == 1 ? next : (size_t)unit->channel, error);
        }
    }
    return result;
}
