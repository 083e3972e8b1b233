/* SPDX-License-Identifier: MIT */
/* E1.31: the sources of one universe, their sequence, and which of them wins. */
#include "stream/e131_sources.h"

#include <string.h>

#define LOSS_NS (UINT64_C(1000000) * MTM_E131_LOSS_TIMEOUT_MS)

static int compare_cids(const mtm_cid *a, const mtm_cid *b)
{
    return memcmp(a->octet, b->octet, sizeof a->octet);
}

/* True if a source with this priority and CID goes before the other, whoever came first. */
static bool goes_before(uint8_t priority, const mtm_cid *cid, const mtm_received_source *other)
{
    return priority > other->priority ||
           (priority == other->priority && compare_cids(cid, &other->cid) < 0);
}

static mtm_received_source *find(mtm_received *universe, const mtm_cid *cid)
{
    for (size_t i = 0; i < universe->source_count; i++) {
        if (compare_cids(&universe->source[i].cid, cid) == 0)
            return &universe->source[i];
    }
    return NULL;
}

/* The place of the source that is missed least: one that is gone, or else the lowest in order. */
static mtm_received_source *least(mtm_received *universe)
{
    mtm_received_source *chosen = &universe->source[0];

    for (size_t i = 0; i < universe->source_count; i++) {
        mtm_received_source *each = &universe->source[i];
        if (!each->live)
            return each;
        if (goes_before(chosen->priority, &chosen->cid, each))
            chosen = each;
    }
    return chosen;
}

/* A place for a source that is not known yet; NULL if eight go before it. */
static mtm_received_source *admit(mtm_received *universe, const mtm_e131_packet *packet)
{
    mtm_received_source *place = NULL;

    if (universe->source_count < MTM_STREAM_SOURCES_MAX) {
        place = &universe->source[universe->source_count++];
    } else {
        place = least(universe);
        if (place->live && !goes_before(packet->priority, &packet->cid, place)) {
            universe->passed++;
            return NULL;
        }
    }
    *place = (mtm_received_source){.cid = packet->cid};
    return place;
}

/* Clause 6.7.2; false if the packet is not to be taken. */
static bool take_sequence(mtm_received_source *source, uint8_t sequence)
{
    uint8_t ahead = (uint8_t)(sequence - source->sequence);

    if (!mtm_e131_in_order(source->sequence, sequence)) {
        if (ahead == 0) {
            source->duplicates++;
            return false;
        }
        source->out_of_order++;
        source->lost -= source->lost > 0 ? 1 : 0; /* late, so not lost */
        return false;
    }
    if (ahead < 128)
        source->lost += ahead - 1u;
    else
        source->restarts++;
    return true;
}

static void stop_source(mtm_received_source *source)
{
    source->live = false;
    source->has_levels = false;
    source->synchronized = false;
    source->waits = false;
}

/* Clause 6.2.6: the slots of the packet that ends a stream mean nothing. */
static void end_source(mtm_received_source *source, bool was_live)
{
    source->terminated = source->terminated || was_live;
    stop_source(source);
}

static void act(mtm_received_source *source, const uint8_t *slot, uint16_t slot_count)
{
    source->has_levels = true;
    source->slot_count = slot_count;
    memset(source->slot, 0, sizeof source->slot);
    memcpy(source->slot, slot, slot_count);
    source->waits = false;
}

/* Clause 11.1.2: where synchronization is lost, Force_Synchronization says whether data goes on. */
static void judge_sync(mtm_received_source *source, uint64_t now_ns)
{
    bool lost = now_ns > source->sync_ns && now_ns - source->sync_ns > LOSS_NS;

    if (!source->synchronized || !lost || !source->force_sync)
        return;
    source->synchronized = false;
    if (source->waits)
        act(source, source->waiting, source->waiting_count);
}

static void take_levels(mtm_received_source *source, const mtm_e131_packet *packet, uint64_t now_ns)
{
    if (packet->start_code != 0) {
        source->other_codes++; /* E1.11: a receiver of levels ignores every other code */
        return;
    }
    if (packet->sync_universe != source->sync_universe)
        source->synchronized = false;
    source->sync_universe = packet->sync_universe;
    source->force_sync = packet->force_sync;
    judge_sync(source, now_ns);
    if (!source->synchronized) {
        act(source, packet->slot, packet->slot_count);
        return;
    }
    source->waits = true;
    source->waiting_count = packet->slot_count;
    memcpy(source->waiting, packet->slot, packet->slot_count);
}

void mtmi_sources_sync(mtm_received *universe, const mtm_e131_packet *packet, uint64_t now_ns)
{
    for (size_t i = 0; i < universe->source_count; i++) {
        mtm_received_source *source = &universe->source[i];
        bool own = compare_cids(&source->cid, &packet->cid) == 0;

        if (!source->live || source->sync_universe != packet->sync_universe)
            continue;
        if (own && source->synchronized &&
            !mtm_e131_in_order(source->sync_sequence, packet->sequence))
            continue;
        source->sync_sequence = own ? packet->sequence : source->sync_sequence;
        source->sync_ns = now_ns;
        source->synchronized = true;
        if (source->waits)
            act(source, source->waiting, source->waiting_count);
    }
}

void mtmi_sources_take(mtm_received *universe, const mtm_e131_packet *packet, bool with_preview,
                       uint64_t now_ns)
{
    mtm_received_source *source = find(universe, &packet->cid);

    if (source == NULL && packet->terminated)
        return; /* nobody we knew */
    if (source == NULL)
        source = admit(universe, packet);
    if (source == NULL)
        return;
    bool was_live = source->live;
    if (was_live && !take_sequence(source, packet->sequence))
        return;
    source->sequence = packet->sequence;
    source->packets++;
    source->priority = packet->priority;
    source->preview = packet->preview;
    memcpy(source->name, packet->source_name, sizeof source->name);
    if (packet->terminated) {
        end_source(source, was_live);
    } else {
        source->live = true;
        source->terminated = false;
        source->last_ns = now_ns;
        take_levels(source, packet, now_ns);
    }
    mtmi_sources_settle(universe, with_preview, now_ns);
}

static bool may_win(const mtm_received_source *source, bool with_preview)
{
    return source->live && source->has_levels && (with_preview || !source->preview);
}

static void let_go_if_silent(mtm_received_source *source, uint64_t now_ns)
{
    if (!source->live || now_ns <= source->last_ns || now_ns - source->last_ns <= LOSS_NS)
        return;
    stop_source(source);
}

void mtmi_sources_settle(mtm_received *universe, bool with_preview, uint64_t now_ns)
{
    universe->winner = -1;
    universe->tie = false;
    for (size_t i = 0; i < universe->source_count; i++) {
        mtm_received_source *each = &universe->source[i];
        let_go_if_silent(each, now_ns);
        judge_sync(each, now_ns);
        if (!may_win(each, with_preview))
            continue;
        const mtm_received_source *best =
            universe->winner < 0 ? NULL : &universe->source[universe->winner];
        bool equal = best != NULL && each->priority == best->priority;
        bool better = best == NULL || goes_before(each->priority, &each->cid, best);
        universe->tie = equal || (universe->tie && !better);
        universe->winner = better ? (int)i : universe->winner;
    }
}
