/* SPDX-License-Identifier: MIT */
/* Fuzz: the sources of a universe and their lists, fed packets drawn from the bytes. At any time
 * the winner is the source that may win with the highest priority and then the lowest CID, tie
 * tells whether another has that priority, each CID stands once, and every list rises. Nothing
 * waits for synchronization but where it is asked for and was heard. */
#include "input.h"

#include "stream/e131_lists.h"
#include "stream/e131_sources.h"

/* Octets of the input for one packet. */
#define DRAW 6

static bool eligible(const mtm_received_source *source, bool with_preview, uint64_t now_ns)
{
    return source->live && source->has_levels && (with_preview || !source->preview) &&
           now_ns - source->last_ns <= UINT64_C(2500000000);
}

static void check_sources(const mtm_received *universe, bool with_preview, uint64_t now_ns)
{
    int winner = -1;
    bool tie = false;

    if (universe->source_count > MTM_STREAM_SOURCES_MAX)
        abort();
    for (int i = 0; i < (int)universe->source_count; i++) {
        const mtm_received_source *each = &universe->source[i];
        for (int k = 0; k < i; k++) {
            if (memcmp(each->cid.octet, universe->source[k].cid.octet, 16) == 0)
                abort();
        }
        if (each->waits && (!each->synchronized || each->sync_universe == 0))
            abort();
        if (!eligible(each, with_preview, now_ns))
            continue;
        const mtm_received_source *best = winner < 0 ? NULL : &universe->source[winner];
        if (best == NULL || each->priority > best->priority ||
            (each->priority == best->priority && memcmp(each->cid.octet, best->cid.octet, 16) < 0))
            winner = i;
    }
    for (int i = 0; winner >= 0 && i < (int)universe->source_count; i++)
        tie = tie || (i != winner && eligible(&universe->source[i], with_preview, now_ns) &&
                      universe->source[i].priority == universe->source[winner].priority);
    if (universe->winner != winner || universe->tie != tie)
        abort();
}

static void check_lists(const mtmi_lists *lists)
{
    for (size_t i = 0; i < lists->count; i++) {
        mtm_discovered found = mtmi_lists_at(lists, i);
        for (size_t u = 1; u < found.universe_count; u++) {
            if (found.universe[u] <= found.universe[u - 1])
                abort();
        }
    }
}

static mtm_e131_packet data_of(const uint8_t *draw)
{
    return (mtm_e131_packet){.type = MTM_E131_DATA,
                             .cid = {{(uint8_t)(draw[0] & 15)}},
                             .priority = (uint8_t)(draw[1] % 4 * 50),
                             .sequence = draw[2],
                             .preview = (draw[3] & 1) != 0,
                             .terminated = (draw[3] & 6) == 6,
                             .start_code = (draw[3] & 24) == 24 ? 0x17 : 0,
                             .force_sync = (draw[3] & 128) != 0,
                             .sync_universe = (uint16_t)(draw[3] >> 5 & 3),
                             .universe = 1,
                             .slot_count = draw[4]};
}

static mtm_e131_packet sync_of(const uint8_t *draw)
{
    return (mtm_e131_packet){.type = MTM_E131_SYNC,
                             .cid = {{(uint8_t)(draw[0] & 15)}},
                             .sequence = draw[2],
                             .sync_universe = (uint16_t)(1 + draw[1] % 3)};
}

static mtm_e131_packet list_of(const uint8_t *draw)
{
    mtm_e131_packet packet = {.type = MTM_E131_DISCOVERY,
                              .cid = {{draw[0]}},
                              .last_page = (uint8_t)(draw[1] % 4),
                              .listed_count = draw[2]};

    packet.page = (uint8_t)(draw[3] % (packet.last_page + 1));
    for (uint16_t i = 0; i < packet.listed_count; i++)
        packet.listed[i] = (uint16_t)(1 + draw[4] * 4 + i);
    return packet;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    mtm_received universe = {.universe = 1, .winner = -1};
    mtmi_lists lists = {.count = 0};
    uint64_t now_ns = 0;
    bool with_preview = size % 2 == 1;
    uint8_t *copy = exact_copy(data, size);

    for (size_t at = 0; at + DRAW <= size; at += DRAW) {
        const uint8_t *draw = copy + at;
        now_ns += draw[5] * UINT64_C(20000000);
        if (draw[0] >= 0xc0) {
            mtm_e131_packet packet = list_of(draw);
            mtmi_lists_take(&lists, &packet, now_ns);
        } else if (draw[0] >= 0xa0) {
            mtm_e131_packet packet = sync_of(draw);
            mtmi_sources_sync(&universe, &packet, now_ns);
        } else {
            mtm_e131_packet packet = data_of(draw);
            mtmi_sources_take(&universe, &packet, with_preview, now_ns);
        }
        mtmi_sources_settle(&universe, with_preview, now_ns);
        mtmi_lists_settle(&lists, now_ns);
        check_sources(&universe, with_preview, now_ns);
        check_lists(&lists);
    }
    mtmi_lists_free(&lists);
    free(copy);
    return 0;
}
