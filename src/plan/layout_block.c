/* SPDX-License-Identifier: MIT */
/* Blocks of slots, and what is wrong with those that cannot stand where they must. */
#include "plan/layout_block.h"

#include "base/error.h"

#include <stdlib.h>

mtm_result mtmi_block_check(const mtmi_block *block, mtm_error *error)
{
    if (block->slots < 1 || block->slots > MTM_ADDRESS_MAX)
        return mtmi_fail(error, MTM_RANGE,
                         "unit \"%s\" takes %d slots; a universe has %d and a unit is not split",
                         block->name, block->slots, MTM_ADDRESS_MAX);
    if (block->universe < 0 || block->universe > MTM_UNIVERSE_MAX)
        return mtmi_fail(error, MTM_RANGE, "unit \"%s\" is in universe %d; allowed are 1 to %d",
                         block->name, block->universe, MTM_UNIVERSE_MAX);
    if (block->address < 0 || block->address > MTM_ADDRESS_MAX)
        return mtmi_fail(error, MTM_RANGE, "unit \"%s\" has address %d; allowed are 1 to %d",
                         block->name, block->address, MTM_ADDRESS_MAX);
    if (block->address > 0 && block->universe == 0)
        return mtmi_fail(error, MTM_RANGE, "unit \"%s\" has address %d but no universe",
                         block->name, block->address);
    if (block->address > 0 && block->address + block->slots - 1 > MTM_ADDRESS_MAX)
        return mtmi_fail(error, MTM_RANGE,
                         "unit \"%s\" takes %d slots from address %d of universe %d, over the end "
                         "of the universe; the last address it may have is %d",
                         block->name, block->slots, block->address, block->universe,
                         MTM_ADDRESS_MAX - block->slots + 1);
    return MTM_OK;
}

mtm_result mtmi_blocks_apart(const mtmi_block *a, const mtmi_block *b, mtm_error *error)
{
    if (a->universe != b->universe || b->address >= a->address + a->slots)
        return MTM_OK;
    return mtmi_fail(error, MTM_RANGE,
                     "units \"%.100s\" (slots %d to %d) and \"%.100s\" (slots %d to %d) overlap in "
                     "universe %d; a unit that shares another's slots says which it \"follows\"",
                     a->name, a->address, a->address + a->slots - 1, b->name, b->address,
                     b->address + b->slots - 1, a->universe);
}

static mtm_result fail_block(const mtmi_block *block, const mtmi_pack_holder *holder,
                             double largest, double wanted, mtm_error *error)
{
    double room = holder->rated - holder->content.fixed_size;

    if (largest < block->slots)
        return mtmi_fail(
            error, MTM_RANGE,
            "unit \"%s\" takes %d slots and must be in universe %d, which has %.0f free "
            "slots, at most %.0f in one piece",
            block->name, block->slots, block->universe, room, largest);
    if (wanted > room)
        return mtmi_fail(error, MTM_RANGE,
                         "the units that must be in universe %d, from \"%s\" on, take %.0f slots, "
                         "and %.0f are free there",
                         block->universe, block->name, wanted, room);
    return MTM_OK;
}

mtm_result mtmi_blocks_no_place(const mtmi_block *blocks, const size_t *open, const mtmi_pack *pack,
                                mtm_error *error)
{
    double *wanted = calloc(pack->holder_count + 1, sizeof *wanted); /* slots, by universe */
    mtm_result result = MTM_OK;

    if (wanted == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < pack->count; i++) {
        if (pack->pieces[i].only != MTMI_HOLDER_ANY)
            wanted[pack->pieces[i].only] += pack->pieces[i].size;
    }
    for (size_t i = 0; i < pack->count && result == MTM_OK; i++) {
        uint32_t only = pack->pieces[i].only;
        double largest = 0;
        if (only == MTMI_HOLDER_ANY)
            continue;
        const mtmi_pack_holder *holder = &pack->holders[only];
        for (size_t b = holder->first_bin; b < holder[1].first_bin; b++)
            largest = pack->bins[b].rated > largest ? pack->bins[b].rated : largest;
        result = fail_block(&blocks[open[i]], holder, largest, wanted[only], error);
    }
    free(wanted);
    if (result != MTM_OK)
        return result;
    return mtmi_fail(
        error, MTM_RANGE,
        "no place was found for all units that must be in a stated universe; leave the "
        "universe of some of them open");
}

size_t mtmi_universes_for(size_t slots)
{
    return (slots + MTM_ADDRESS_MAX - 1) / MTM_ADDRESS_MAX;
}

size_t *mtmi_blocks_group_slots(mtmi_pool *pool, const mtmi_block *blocks, size_t count,
                                uint32_t *group_count)
{
    *group_count = 0;
    for (size_t i = 0; i < count; i++) {
        if (blocks[i].group != MTMI_GROUP_NONE && blocks[i].group >= *group_count)
            *group_count = blocks[i].group + 1;
    }
    size_t *slots = mtmi_pool_take(pool, *group_count, sizeof *slots);
    for (size_t i = 0; slots != NULL && i < count; i++) {
        if (blocks[i].group != MTMI_GROUP_NONE)
            slots[blocks[i].group] += (size_t)blocks[i].slots;
    }
    return slots;
}

void mtmi_blocks_count_groups(const mtmi_block *blocks, size_t count, const size_t *group_slots,
                              uint64_t *keys, mtm_address_report *report)
{
    size_t used = 0;

    for (size_t i = 0; i < count; i++) {
        keys[used] = (uint64_t)blocks[i].group << 32 | (uint32_t)blocks[i].universe;
        used += blocks[i].group != MTMI_GROUP_NONE;
    }
    used = mtmi_sort_keys(keys, used);
    for (size_t i = 0; i < used; report->groups++) {
        uint64_t group = keys[i] >> 32;
        size_t stands = 0;
        for (; i < used && keys[i] >> 32 == group; i++)
            stands++;
        report->groups_split += stands > mtmi_universes_for(group_slots[group]);
    }
}
