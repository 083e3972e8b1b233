/* SPDX-License-Identifier: MIT */
/* E1.31 sender: which universes are due, their sequence, keep-alive and farewell.
 *
 * A universe is due when its slots changed, for three packets in all, and then every 0.9 s; the
 * rules are clauses 6.2.6 and 6.6.2 of ANSI E1.31. Packets are built once and then patched in
 * place: sequence, options and slots are all that changes from one to the next.
 *
 * All packets of a frame go to the system in one batch: beside its calls, all that is done here for
 * a universe is to compare and perhaps copy 512 octets.
 *
 * What must stay: a sequence number counts only packets that left, since a receiver drops what
 * falls back; and a network that fails ends no show (the socket is opened again, once a second).
 * tests/stream/stream_sender_test.c shows both over a transport of its own, without a network. */
#include "stream/e131_sender.h"

#include "base/error.h"
#include "stream/interface.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define NS_OF_MS UINT64_C(1000000)
#define KEEP_ALIVE_NS (900 * NS_OF_MS) /* clause 6.6.2: every 800 to 1000 ms */
/* Clause 6.2.6: three packets say that a stream ends. */
#define FAREWELLS 3
#define OPTION_TERMINATED 0x40
#define DISCOVERY_NS (MTM_E131_DISCOVERY_INTERVAL_MS * NS_OF_MS)
#define REOPEN_NS (1000 * NS_OF_MS)
/* For receivers to store what they are to show at once: ours, no source. */
#define STORE_NS_OF_TEN 300000
#define STORE_NS_MOST 5000000

uint64_t mtm_stream_now_ns(void)
{
    struct timespec now = {0};

    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (uint64_t)now.tv_sec * UINT64_C(1000000000) + (uint64_t)now.tv_nsec;
}

size_t mtm_sender_universe_count(const mtm_sender *sender)
{
    return sender != NULL ? sender->count : 0;
}

uint8_t *mtm_sender_slots(mtm_sender *sender, size_t index)
{
    return sender != NULL && index < sender->count ? sender->universe[index]->slot : NULL;
}

/* Takes new slots over; says whether a packet is due. */
static bool is_due(mtmi_outgoing *each, uint64_t now_ns)
{
    if (memcmp(each->octets + MTMI_SLOTS_AT, each->slot, each->slot_count) != 0) {
        memcpy(each->octets + MTMI_SLOTS_AT, each->slot, each->slot_count);
        each->copies = MTMI_COPIES;
    }
    return each->copies > 0 || now_ns - each->last_ns >= KEEP_ALIVE_NS;
}

/* Queues the packets of what is due that go to the place of this number. */
static size_t queue_due(mtm_sender *sender, size_t due_count, size_t place)
{
    size_t count = 0;

    for (size_t i = 0; i < due_count; i++) {
        const mtmi_outgoing *each = sender->universe[sender->due[i]];
        if (place < each->to_count)
            sender->datagram[count++] =
                (mtmi_datagram){each->octets, each->length, each->to[place]};
    }
    return count;
}

/* A socket that failed is made anew, since its interface may have come back as another. */
static void reopen(mtm_sender *sender, uint64_t now_ns)
{
    if (!sender->counts.away || now_ns - sender->opened_ns < REOPEN_NS)
        return;
    sender->opened_ns = now_ns;
    (void)sender->transport.open(sender->transport.context); /* the send that follows will tell */
}

/* Whether the network as a whole takes nothing now, so that the packets that follow wait. */
static bool is_stuck(const mtm_sender *sender, int reason)
{
    return sender->own_count == 0 || reason == EAGAIN || reason == EWOULDBLOCK ||
           reason == ENOBUFS || reason == ENOTCONN;
}

/* Sends what is queued. One receiver of several that cannot be reached holds up no other. taken has
 * room for count, or is NULL. */
static int flush_queue(mtm_sender *sender, size_t count, bool *taken)
{
    int last = 0;

    for (size_t at = 0; at < count;) {
        size_t sent = 0;
        int reason = sender->transport.send(sender->transport.context, sender->datagram + at,
                                            count - at, &sent);
        for (size_t i = at; i < at + sent; i++) {
            sender->counts.octets += sender->datagram[i].length;
            if (taken != NULL)
                taken[i] = true;
        }
        sender->counts.packets += sent;
        at += sent;
        if (reason == 0)
            break;
        last = reason;
        size_t refused = is_stuck(sender, reason) ? count - at : 1;
        sender->counts.refused += refused;
        at += refused;
    }
    return last;
}

/* Sends what is due, each universe to its first place and then to its second. The sequence counts
 * what left: those that the first did not take get their number back. */
static int send_due(mtm_sender *sender, size_t count)
{
    int reason = 0;

    for (size_t i = 0; i < count; i++)
        sender->universe[sender->due[i]]->octets[MTMI_SEQUENCE_AT]++;
    memset(sender->taken, 0, count * sizeof *sender->taken);
    reason = flush_queue(sender, queue_due(sender, count, 0), sender->taken);
    int again = flush_queue(sender, queue_due(sender, count, 1), NULL);
    for (size_t i = 0; i < count; i++) {
        if (!sender->taken[i] && sender->universe[sender->due[i]]->to_count > 0)
            sender->universe[sender->due[i]]->octets[MTMI_SEQUENCE_AT]--;
    }
    if (count > 0)
        sender->counts.away = reason != 0 || again != 0;
    return reason != 0 ? reason : again;
}

/* One packet to each of some places; how many were taken. */
static size_t send_to_all(mtm_sender *sender, const uint8_t *octets, size_t length,
                          const mtmi_place *to, size_t count)
{
    size_t all = 0;

    for (size_t i = 0; i < count; i++) {
        const mtmi_datagram datagram = {octets, length, to[i]};
        size_t sent = 0;
        if (sender->transport.send(sender->transport.context, &datagram, 1, &sent) == 0)
            all += sent;
    }
    return all;
}

/* Lets receivers act on the data of this send; clause 11, and clause 9.3.2 for its group. */
static void send_sync(mtm_sender *sender, size_t universes)
{
    mtm_e131_packet packet = {.type = MTM_E131_SYNC,
                              .cid = sender->cid,
                              .sequence = sender->sync_sequence,
                              .sync_universe = sender->sync_universe};
    uint8_t octets[MTM_E131_PACKET_MAX];
    mtmi_place to[2];
    size_t places = 0;
    size_t length = 0;
    long store_ns = (long)((universes + 9) / 10) * STORE_NS_OF_TEN;

    if (mtm_e131_encode(&packet, octets, &length, NULL) != MTM_OK)
        return;
    for (int v6 = 0; v6 < 2; v6++) {
        if (v6 == 1 ? sender->v6 : sender->v4)
            to[places++] = mtmi_place_group(sender->sync_universe, v6 == 1);
    }
    (void)nanosleep(&(struct timespec){0, store_ns < STORE_NS_MOST ? store_ns : STORE_NS_MOST},
                    NULL);
    size_t sent = send_to_all(sender, octets, length, to, places);
    sender->counts.sync += sent;
    sender->counts.refused += places - sent;
    sender->sync_sequence = (uint8_t)(sender->sync_sequence + (sent > 0 ? 1 : 0));
}

static int compare_universes(const void *left, const void *right)
{
    unsigned a = *(const uint16_t *)left;
    unsigned b = *(const uint16_t *)right;

    return (a > b) - (a < b);
}

static void send_page(mtm_sender *sender, const mtmi_destination *destination, size_t listed,
                      size_t page, size_t last)
{
    mtm_e131_packet packet = {.type = MTM_E131_DISCOVERY, .cid = sender->cid};
    uint8_t octets[MTM_E131_PACKET_MAX];
    mtmi_place to[2];
    size_t length = 0;
    size_t first = page * MTM_E131_DISCOVERY_MAX;
    size_t left = listed - first;

    memcpy(packet.source_name, sender->name, sizeof packet.source_name);
    packet.page = (uint8_t)page;
    packet.last_page = (uint8_t)last;
    packet.listed_count =
        (uint16_t)(left < MTM_E131_DISCOVERY_MAX ? left : (size_t)MTM_E131_DISCOVERY_MAX);
    memcpy(packet.listed, sender->list + first, packet.listed_count * sizeof *sender->list);
    if (mtm_e131_encode(&packet, octets, &length, NULL) != MTM_OK)
        return;
    size_t places = mtmi_places(sender, destination, MTM_E131_DISCOVERY_UNIVERSE, to);
    sender->counts.discovery += send_to_all(sender, octets, length, to, places);
}

/* The universes that carry data, and the one of synchronization; rising, each once. */
static size_t fill_list(mtm_sender *sender)
{
    size_t count = sender->count;
    size_t kept = 0;

    for (size_t i = 0; i < count; i++)
        sender->list[i] = sender->universe[i]->universe;
    if (sender->sync_universe != 0)
        sender->list[count++] = sender->sync_universe;
    qsort(sender->list, count, sizeof *sender->list, compare_universes);
    for (size_t i = 0; i < count; i++) {
        if (kept == 0 || sender->list[kept - 1] != sender->list[i])
            sender->list[kept++] = sender->list[i];
    }
    return kept;
}

/* Whether a destination before this one is the same place. */
static bool told_already(const mtm_sender *sender, size_t own)
{
    for (size_t i = 0; i < own; i++) {
        if (sender->own[i].multicast == sender->own[own].multicast &&
            (sender->own[own].multicast ||
             mtmi_place_same(&sender->own[i].to, &sender->own[own].to)))
            return true;
    }
    return false;
}

/* Clause 4.3: every source tells every 10 s what it sends, to each place that it sends to. A list
 * that is lost is sent anew. */
static void send_list(mtm_sender *sender, uint64_t now_ns)
{
    if (sender->count == 0 || (sender->listed && now_ns - sender->listed_ns < DISCOVERY_NS))
        return;
    size_t listed = fill_list(sender);
    size_t last = (listed - 1) / MTM_E131_DISCOVERY_MAX;
    for (size_t page = 0; page <= last; page++) {
        if (sender->rest.first != 0)
            send_page(sender, &sender->rest, listed, page, last);
        for (size_t i = 0; i < sender->own_count; i++) {
            if (!told_already(sender, i))
                send_page(sender, &sender->own[i], listed, page, last);
        }
    }
    sender->listed = true;
    sender->listed_ns = now_ns;
}

mtm_result mtm_sender_send(mtm_sender *sender, uint64_t now_ns, mtm_error *error)
{
    if (sender == NULL)
        return mtmi_fail(error, MTM_INVALID, "a sender is needed");
    size_t count = 0;
    size_t sent = 0;

    reopen(sender, now_ns);
    for (size_t i = 0; i < sender->count; i++) {
        if (is_due(sender->universe[i], now_ns))
            sender->due[count++] = i;
    }
    int reason = send_due(sender, count);
    for (size_t i = 0; i < count; i++) {
        mtmi_outgoing *each = sender->universe[sender->due[i]];
        if (!sender->taken[i])
            continue;
        each->copies -= each->copies > 0 ? 1 : 0;
        each->sent = true;
        each->last_ns = now_ns;
        sent++;
    }
    if (sent > 0 && sender->sync_universe != 0)
        send_sync(sender, sent);
    if (reason != 0)
        return mtmi_network_fail(error, reason);
    if (!sender->counts.away)
        send_list(sender, now_ns);
    return MTM_OK;
}

static int send_farewell(mtm_sender *sender)
{
    size_t count = 0;

    for (size_t i = 0; i < sender->count; i++) {
        if (!sender->universe[i]->sent)
            continue; /* never began, so there is nothing to end */
        sender->universe[i]->octets[MTMI_OPTIONS_AT] |= OPTION_TERMINATED;
        sender->due[count++] = i;
    }
    return send_due(sender, count);
}

mtm_result mtm_sender_finish(mtm_sender *sender, unsigned pause_ms, mtm_error *error)
{
    if (sender == NULL)
        return mtmi_fail(error, MTM_INVALID, "a sender is needed");
    struct timespec pause = {pause_ms / 1000, (long)(pause_ms % 1000) * (long)NS_OF_MS};
    int reason = 0;

    for (int round = 0; round < FAREWELLS; round++) {
        if (round > 0)
            (void)nanosleep(&pause, NULL);
        int now = send_farewell(sender);
        reason = now != 0 ? now : reason;
    }
    for (size_t i = 0; i < sender->count; i++) {
        sender->universe[i]->octets[MTMI_OPTIONS_AT] &= (uint8_t)~OPTION_TERMINATED;
        sender->universe[i]->sent = false;
        sender->universe[i]->copies = MTMI_COPIES;
    }
    return reason != 0 ? mtmi_network_fail(error, reason) : MTM_OK;
}

mtm_sender_counts mtm_sender_count(const mtm_sender *sender)
{
    return sender != NULL ? sender->counts : (mtm_sender_counts){0};
}

mtm_cid mtm_sender_cid(const mtm_sender *sender)
{
    return sender != NULL ? sender->cid : (mtm_cid){{0}};
}
