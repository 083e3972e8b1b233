/* SPDX-License-Identifier: MIT */
/* Blocks of slots, and what is wrong with those that cannot stand where they must. */
#include "plan/layout_block.h"

#include "base/error.h"

#include <metamer/rig.h>

#include <stdlib.h>

mtm_result mtmi_block_check(const mtmi_block *block, mtm_error *error)
{
    if (block->slots < 1 || block->slots > MTM_ADDRESS_MAX)
        return mtmi_fail(error, MTM_RANGE,
                         "unit \"%s\" takes %d slots; a universe has 512 and a unit is not split",
                         block->name, block->slots);
    if (block->universe < 0 || block->universe > MTM_UNIVERSE_MAX)
        return mtmi_fail(error, MTM_RANGE, "unit \"%s\" is in universe %d; allowed are 1 to 63999",
                         block->name, block->universe);
    if (block->address < 0 || block->address > MTM_ADDRESS_MAX)
        return mtmi_fail(error, MTM_RANGE, "unit \"%s\" has address %d; allowed are 1 to 512",
                         block->name, block->address);
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
    double room = holder->rated - holder->load.fixed_size;

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
