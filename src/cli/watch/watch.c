/* SPDX-License-Identifier: MIT */
/* Watch: what is received, decoded through the rig. */
#include "cli/watch/watch.h"

#include "base/error.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NS_OF_SECOND UINT64_C(1000000000)

static size_t find_universe(const struct watch *watch, int number)
{
    for (size_t i = 0; i < mtm_receiver_universe_count(watch->receiver); i++) {
        if (mtm_receiver_universe(watch->receiver, i)->universe == number)
            return i;
    }
    return SIZE_MAX;
}

mtm_result watch_prepare(struct watch *watch, mtm_error *error)
{
    size_t universes = mtm_receiver_universe_count(watch->receiver);
    size_t units = watch->rig != NULL ? mtm_rig_unit_count(watch->rig) : 0;
    mtm_result result = MTM_OK;

    watch->rate = calloc(universes + 1, sizeof *watch->rate);
    watch->unit = calloc(units + 1, sizeof *watch->unit);
    if (watch->rate == NULL || watch->unit == NULL)
        return mtmi_fail_memory(error);
    watch->start_ns = mtm_stream_now_ns();
    for (size_t u = 0; u < universes; u++)
        watch->rate[u] = (struct watch_rate){.since_ns = watch->start_ns, .per_s = NAN};
    if (watch->rig != NULL)
        result = mtm_matcher_create(watch->rig, MTM_OBSERVER_2, &watch->matcher, error);
    for (size_t i = 0; result == MTM_OK && i < units; i++) {
        struct watch_unit *unit = &watch->unit[watch->unit_count++];
        unit->unit = mtm_rig_unit(watch->rig, i);
        unit->universe =
            unit->unit->address > 0 ? find_universe(watch, unit->unit->universe) : SIZE_MAX;
    }
    return result;
}

const mtm_received_source *watch_winner(const mtm_received *universe)
{
    return universe->winner < 0 ? NULL : &universe->source[universe->winner];
}

struct watch_sum watch_sum(const mtm_received *universe)
{
    struct watch_sum sum = {0};

    for (size_t i = 0; i < universe->source_count; i++) {
        sum.packets += universe->source[i].packets;
        sum.lost += universe->source[i].lost;
        sum.out_of_order += universe->source[i].out_of_order;
        sum.duplicates += universe->source[i].duplicates;
    }
    return sum;
}

static void update_rate(struct watch_rate *rate, uint64_t packets, uint64_t now_ns)
{
    uint64_t passed_ns = now_ns - rate->since_ns;

    if (passed_ns < NS_OF_SECOND)
        return;
    /* a source that gave way to another takes its count along */
    uint64_t more = packets > rate->packets ? packets - rate->packets : 0;
    rate->per_s = (double)more * (double)NS_OF_SECOND / (double)passed_ns;
    rate->packets = packets;
    rate->since_ns = now_ns;
}

static void update_unit(const struct watch *watch, struct watch_unit *unit)
{
    unit->heard = false;
    if (unit->universe == SIZE_MAX)
        return;
    const mtm_received_source *source =
        watch_winner(mtm_receiver_universe(watch->receiver, unit->universe));
    if (source == NULL || !mtm_matcher_decode(watch->matcher, (size_t)(unit - watch->unit),
                                              source->slot, source->slot_count, &unit->light))
        return;
    unit->most = 0;
    for (size_t e = 0; e < mtm_fixture_emitter_count(unit->unit->fixture); e++)
        unit->most = fmax(unit->most, unit->light.level[e]);
    unit->heard = true;
}

void watch_update(struct watch *watch, uint64_t now_ns)
{
    watch->seconds = (double)(now_ns - watch->start_ns) / (double)NS_OF_SECOND;
    for (size_t u = 0; u < mtm_receiver_universe_count(watch->receiver); u++)
        update_rate(&watch->rate[u], watch_sum(mtm_receiver_universe(watch->receiver, u)).packets,
                    now_ns);
    for (size_t i = 0; i < watch->unit_count; i++)
        update_unit(watch, &watch->unit[i]);
}

void watch_close(struct watch *watch)
{
    mtm_matcher_free(watch->matcher);
    free(watch->unit);
    free(watch->rate);
    mtm_receiver_free(watch->receiver);
    mtm_rig_free(watch->rig);
    *watch = (struct watch){0};
}
