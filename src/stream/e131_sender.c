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
/* E1.31 clause 6.6.2: three packets with the same values, then one every 800 to 1000 ms. */
#define COPIES 3
#define KEEP_ALIVE_NS (900 * NS_OF_MS)
/* Clause 6.2.6: three packets say that a stream ends. */
#define FAREWELLS 3
#define DISCOVERY_NS (MTM_E131_DISCOVERY_INTERVAL_MS * NS_OF_MS)
#define REOPEN_NS (1000 * NS_OF_MS)

/* Places in a data packet that change from one to the next. */
enum { SEQUENCE_AT = 111, OPTIONS_AT = 112, SLOTS_AT = 126, OPTION_TERMINATED = 0x40 };

typedef struct outgoing {
    uint16_t universe;
    size_t slot_count;
    size_t length;
    int copies; /* still to send, the first among them */
    bool sent;  /* at least once since the last farewell */
    uint64_t last_ns;
    uint8_t octets[SLOTS_AT + MTM_ADDRESS_MAX]; /* the packet as sent last */
    uint8_t slot[MTM_ADDRESS_MAX];              /* what the caller writes */
} outgoing;

struct mtm_sender {
    mtm_cid cid;
    char name[MTM_E131_NAME_ROOM];
    uint8_t priority;
    bool preview;
    bool multicast;
    uint8_t to[4];
    uint16_t port;

    mtmi_transport transport;
    uint64_t opened_ns;
    mtm_sender_counts counts;

    outgoing **universe;
    size_t count;
    size_t capacity;
    mtmi_datagram *datagram; /* capacity of them */
    size_t *due;             /* which universe each datagram is */
    uint16_t *list;          /* room for the list of universes: sending allocates nothing */

    bool listed;
    uint64_t listed_ns;
};

uint64_t mtm_stream_now_ns(void)
{
    struct timespec now = {0};

    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (uint64_t)now.tv_sec * UINT64_C(1000000000) + (uint64_t)now.tv_nsec;
}

static mtm_result check_destination(const mtm_sender_options *options, mtm_sender *sender,
                                    mtm_error *error)
{
    sender->multicast = options->to == NULL;
    sender->port = options->port != 0 ? options->port : MTM_E131_PORT;
    if (sender->multicast && sender->port != MTM_E131_PORT)
        return mtmi_fail(error, MTM_INVALID, "port %u; multicast uses %d and no other",
                         (unsigned)sender->port, MTM_E131_PORT);
    if (sender->multicast)
        return MTM_OK;
    if (!mtmi_ipv4_parse(options->to, sender->to))
        return mtmi_fail(error, MTM_INVALID, "\"%.60s\" is not an IPv4 address such as 10.0.0.20",
                         options->to);
    if (sender->to[0] == 0 || sender->to[0] >= 224)
        return mtmi_fail(error, MTM_INVALID, "%.60s is not the address of one receiver",
                         options->to);
    return MTM_OK;
}

static mtm_result apply_options(const mtm_sender_options *options, mtm_sender *sender,
                                mtm_error *error)
{
    if (options->priority > MTM_E131_PRIORITY_MAX)
        return mtmi_fail(error, MTM_INVALID, "priority %u; allowed are 0 to 200",
                         (unsigned)options->priority);
    if (!mtm_e131_set_name(sender->name,
                           options->source_name != NULL ? options->source_name : "metamer"))
        return mtmi_fail(error, MTM_INVALID, "the source name is empty or not UTF-8");
    sender->priority = options->priority;
    sender->preview = options->preview;
    mtm_result result = check_destination(options, sender, error);
    if (result != MTM_OK)
        return result;
    if (!options->cid_given)
        return mtm_cid_random(&sender->cid, error);
    sender->cid = options->cid;
    return MTM_OK;
}

static mtm_result network_fail(mtm_error *error, int reason)
{
    return mtmi_fail(error, MTM_IO, "the network does not take packets: %s", strerror(reason));
}

mtm_result mtmi_sender_create_over(const mtm_sender_options *options, mtmi_transport transport,
                                   mtm_sender **out, mtm_error *error)
{
    mtm_sender *sender = calloc(1, sizeof *sender);
    mtm_result result = MTM_OK;

    if (sender == NULL) {
        transport.close(transport.context);
        return mtmi_fail_memory(error);
    }
    sender->transport = transport;
    result = apply_options(options, sender, error);
    if (result != MTM_OK)
        goto done;
    int reason = transport.open(transport.context);
    sender->opened_ns = mtm_stream_now_ns();
    sender->counts.away = reason != 0;
    if (reason != 0 && !options->patient) {
        result = network_fail(error, reason);
        goto done;
    }
    *out = sender;
    sender = NULL;
done:
    mtm_sender_free(sender);
    return result;
}

mtm_result mtm_sender_create(const mtm_sender_options *options, mtm_sender **out, mtm_error *error)
{
    if (options == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "options and a place for the sender are needed");
    uint8_t interface[4];
    mtmi_transport transport;

    mtm_result result = MTM_OK;

    if (options->interface != NULL)
        result = mtmi_interface_find(options->interface, interface, error);
    if (result == MTM_OK)
        result = mtmi_transport_socket(options->interface != NULL ? interface : NULL,
                                       options->to != NULL, options->ttl != 0 ? options->ttl : 1,
                                       &transport, error);
    if (result != MTM_OK)
        return result;
    return mtmi_sender_create_over(options, transport, out, error);
}

void mtm_sender_free(mtm_sender *sender)
{
    if (sender == NULL)
        return;
    sender->transport.close(sender->transport.context);
    for (size_t i = 0; i < sender->count; i++)
        free(sender->universe[i]);
    free(sender->universe);
    free(sender->datagram);
    free(sender->due);
    free(sender->list);
    free(sender);
}

/* Each list grows alone; capacity rises only when all have. */
static bool reserve(mtm_sender *sender)
{
    if (sender->count < sender->capacity)
        return true;
    size_t capacity = sender->capacity == 0 ? 16 : sender->capacity * 2;
    /* NOLINTNEXTLINE(bugprone-sizeof-expression): an array of pointers is meant */
    outgoing **universe = realloc(sender->universe, capacity * sizeof *universe);
    if (universe != NULL)
        sender->universe = universe;
    mtmi_datagram *datagram = realloc(sender->datagram, capacity * sizeof *datagram);
    if (datagram != NULL)
        sender->datagram = datagram;
    size_t *due = realloc(sender->due, capacity * sizeof *due);
    if (due != NULL)
        sender->due = due;
    uint16_t *list = realloc(sender->list, capacity * sizeof *list);
    if (list != NULL)
        sender->list = list;
    if (universe == NULL || datagram == NULL || due == NULL || list == NULL)
        return false;
    sender->capacity = capacity;
    return true;
}

static mtm_result encode_first(const mtm_sender *sender, outgoing *made, mtm_error *error)
{
    mtm_e131_packet packet = {.type = MTM_E131_DATA,
                              .cid = sender->cid,
                              .priority = sender->priority,
                              .preview = sender->preview,
                              .universe = made->universe,
                              .slot_count = (uint16_t)made->slot_count};

    memcpy(packet.source_name, sender->name, sizeof packet.source_name);
    return mtm_e131_encode(&packet, made->octets, &made->length, error);
}

mtm_result mtm_sender_add(mtm_sender *sender, uint16_t universe, size_t slot_count,
                          mtm_error *error)
{
    if (sender == NULL)
        return mtmi_fail(error, MTM_INVALID, "a sender is needed");
    if (slot_count < 1 || slot_count > MTM_ADDRESS_MAX)
        return mtmi_fail(error, MTM_INVALID, "universe %u with %zu slots; allowed are 1 to %d",
                         (unsigned)universe, slot_count, MTM_ADDRESS_MAX);
    if (universe < MTM_UNIVERSE_MIN || universe > MTM_UNIVERSE_MAX)
        return mtmi_fail(error, MTM_INVALID, "universe %u; allowed are 1 to %d", (unsigned)universe,
                         MTM_UNIVERSE_MAX);
    for (size_t i = 0; i < sender->count; i++) {
        if (sender->universe[i]->universe == universe)
            return mtmi_fail(error, MTM_INVALID, "universe %u is sent already", (unsigned)universe);
    }
    if (sender->count == MTM_STREAM_UNIVERSES_MAX)
        return mtmi_fail(error, MTM_LIMIT,
                         "more than %d universes at once; run a second process for the others",
                         MTM_STREAM_UNIVERSES_MAX);
    outgoing *made = calloc(1, sizeof *made);
    if (made == NULL || !reserve(sender)) {
        free(made);
        return mtmi_fail_memory(error);
    }
    made->universe = universe;
    made->slot_count = slot_count;
    made->copies = COPIES;
    mtm_result result = encode_first(sender, made, error);
    if (result != MTM_OK) {
        free(made);
        return result;
    }
    sender->universe[sender->count++] = made;
    return MTM_OK;
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
static bool is_due(outgoing *each, uint64_t now_ns)
{
    if (memcmp(each->octets + SLOTS_AT, each->slot, each->slot_count) != 0) {
        memcpy(each->octets + SLOTS_AT, each->slot, each->slot_count);
        each->copies = COPIES;
    }
    return each->copies > 0 || now_ns - each->last_ns >= KEEP_ALIVE_NS;
}

static void address_datagram(const mtm_sender *sender, uint16_t universe, mtmi_datagram *datagram)
{
    datagram->port = sender->port;
    if (sender->multicast)
        mtm_e131_group(universe, datagram->address);
    else
        memcpy(datagram->address, sender->to, sizeof sender->to);
}

static void queue(mtm_sender *sender, size_t index, size_t place)
{
    outgoing *each = sender->universe[index];
    mtmi_datagram *datagram = &sender->datagram[place];

    datagram->octets = each->octets;
    datagram->length = each->length;
    address_datagram(sender, each->universe, datagram);
    sender->due[place] = index;
    each->octets[SEQUENCE_AT]++;
}

/* A socket that failed is made anew, since its interface may have come back as another. */
static void reopen(mtm_sender *sender, uint64_t now_ns)
{
    if (!sender->counts.away || now_ns - sender->opened_ns < REOPEN_NS)
        return;
    sender->opened_ns = now_ns;
    (void)sender->transport.open(sender->transport.context); /* the send that follows will tell */
}

/* Sends what is queued. Those that were not taken get their sequence number back. */
static int flush_queue(mtm_sender *sender, size_t count, size_t *sent)
{
    int reason = count == 0 ? 0
                            : sender->transport.send(sender->transport.context, sender->datagram,
                                                     count, sent);

    for (size_t i = *sent; i < count; i++)
        sender->universe[sender->due[i]]->octets[SEQUENCE_AT]--;
    for (size_t i = 0; i < *sent; i++)
        sender->counts.octets += sender->datagram[i].length;
    sender->counts.packets += *sent;
    sender->counts.refused += count - *sent;
    if (count > 0)
        sender->counts.away = reason != 0;
    return reason;
}

static int compare_universes(const void *left, const void *right)
{
    unsigned a = *(const uint16_t *)left;
    unsigned b = *(const uint16_t *)right;

    return (a > b) - (a < b);
}

static void send_page(mtm_sender *sender, size_t page, size_t last)
{
    mtm_e131_packet packet = {.type = MTM_E131_DISCOVERY, .cid = sender->cid};
    uint8_t octets[MTM_E131_PACKET_MAX];
    mtmi_datagram datagram = {.octets = octets};
    size_t first = page * MTM_E131_DISCOVERY_MAX;
    size_t left = sender->count - first;
    size_t sent = 0;

    memcpy(packet.source_name, sender->name, sizeof packet.source_name);
    packet.page = (uint8_t)page;
    packet.last_page = (uint8_t)last;
    packet.listed_count =
        (uint16_t)(left < MTM_E131_DISCOVERY_MAX ? left : (size_t)MTM_E131_DISCOVERY_MAX);
    memcpy(packet.listed, sender->list + first, packet.listed_count * sizeof *sender->list);
    if (mtm_e131_encode(&packet, octets, &datagram.length, NULL) != MTM_OK)
        return;
    address_datagram(sender, MTM_E131_DISCOVERY_UNIVERSE, &datagram);
    if (sender->transport.send(sender->transport.context, &datagram, 1, &sent) == 0)
        sender->counts.discovery++;
}

/* Clause 4.3: every source tells every 10 s what it sends. A list that is lost is sent anew. */
static void send_list(mtm_sender *sender, uint64_t now_ns)
{
    if (sender->count == 0 || (sender->listed && now_ns - sender->listed_ns < DISCOVERY_NS))
        return;
    for (size_t i = 0; i < sender->count; i++)
        sender->list[i] = sender->universe[i]->universe;
    qsort(sender->list, sender->count, sizeof *sender->list, compare_universes);
    size_t last = (sender->count - 1) / MTM_E131_DISCOVERY_MAX;
    for (size_t page = 0; page <= last; page++)
        send_page(sender, page, last);
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
            queue(sender, i, count++);
    }
    int reason = flush_queue(sender, count, &sent);
    for (size_t i = 0; i < sent; i++) {
        outgoing *each = sender->universe[sender->due[i]];
        each->copies -= each->copies > 0 ? 1 : 0;
        each->sent = true;
        each->last_ns = now_ns;
    }
    if (reason != 0)
        return network_fail(error, reason);
    if (!sender->counts.away)
        send_list(sender, now_ns);
    return MTM_OK;
}

static int send_farewell(mtm_sender *sender)
{
    size_t count = 0;
    size_t sent = 0;

    for (size_t i = 0; i < sender->count; i++) {
        if (!sender->universe[i]->sent)
            continue; /* never began, so there is nothing to end */
        sender->universe[i]->octets[OPTIONS_AT] |= OPTION_TERMINATED;
        queue(sender, i, count++);
    }
    return flush_queue(sender, count, &sent);
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
        sender->universe[i]->octets[OPTIONS_AT] &= (uint8_t)~OPTION_TERMINATED;
        sender->universe[i]->sent = false;
        sender->universe[i]->copies = COPIES;
    }
    return reason != 0 ? network_fail(error, reason) : MTM_OK;
}

mtm_sender_counts mtm_sender_count(const mtm_sender *sender)
{
    return sender != NULL ? sender->counts : (mtm_sender_counts){0};
}

mtm_cid mtm_sender_cid(const mtm_sender *sender)
{
    return sender != NULL ? sender->cid : (mtm_cid){{0}};
}
