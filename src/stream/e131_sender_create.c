/* SPDX-License-Identifier: MIT */
/* E1.31 sender: its options, its universes and where they go. */
#include "stream/e131_sender.h"

#include "base/error.h"

#include <stdlib.h>
#include <string.h>

size_t mtmi_places(const mtm_sender *sender, const mtmi_destination *destination, uint16_t universe,
                   mtmi_place to[2])
{
    size_t count = 0;

    if (!destination->multicast) {
        to[0] = destination->to;
        return 1;
    }
    if (sender->ip != MTM_IP_6)
        to[count++] = mtmi_place_group(universe, false);
    if (sender->ip != MTM_IP_4)
        to[count++] = mtmi_place_group(universe, true);
    return count;
}

static mtm_result read_place(const char *to, uint16_t port, mtmi_destination *out, mtm_error *error)
{
    out->multicast = to == NULL;
    if (to == NULL)
        return MTM_OK;
    if (!mtmi_place_parse(to, &out->to))
        return mtmi_fail(error, MTM_INVALID,
                         "\"%.60s\" is not an IPv4 address such as 10.0.0.20, nor an IPv6 address "
                         "such as fd00::20 or fe80::20%%eth0",
                         to);
    if (!mtmi_place_is_one(&out->to))
        return mtmi_fail(error, MTM_INVALID, "%.60s is not the address of one receiver", to);
    out->to.port = port;
    return MTM_OK;
}

/* What goes by IPv4 and what by IPv6. */
static void note_family(mtm_sender *sender, const mtmi_destination *destination)
{
    mtmi_place to[2];
    size_t count = mtmi_places(sender, destination, MTM_UNIVERSE_MIN, to);

    for (size_t i = 0; i < count; i++) {
        sender->v4 = sender->v4 || !to[i].v6;
        sender->v6 = sender->v6 || to[i].v6;
    }
}

static mtm_result read_own(const mtm_sender_options *options, uint16_t port, mtm_sender *sender,
                           mtm_error *error)
{
    sender->own = calloc(options->own_count + 1, sizeof *sender->own);
    if (sender->own == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < options->own_count; i++) {
        const mtm_sender_own *own = &options->own[i];
        mtmi_destination *to = &sender->own[i];

        if (own->first < MTM_UNIVERSE_MIN || own->last > MTM_UNIVERSE_MAX || own->last < own->first)
            return mtmi_fail(error, MTM_INVALID,
                             "universes %u to %u have a destination of their own; allowed are 1 to "
                             "%d, rising",
                             (unsigned)own->first, (unsigned)own->last, MTM_UNIVERSE_MAX);
        for (size_t k = 0; k < i; k++) {
            if (own->first <= sender->own[k].last && own->last >= sender->own[k].first)
                return mtmi_fail(error, MTM_INVALID, "universe %u has two destinations",
                                 (unsigned)(own->first > sender->own[k].first
                                                ? own->first
                                                : sender->own[k].first));
        }
        mtm_result result = read_place(own->to, port, to, error);
        if (result != MTM_OK)
            return result;
        to->first = own->first;
        to->last = own->last;
        sender->own_count++;
        note_family(sender, to);
    }
    return MTM_OK;
}

static mtm_result read_destinations(const mtm_sender_options *options, mtm_sender *sender,
                                    mtm_error *error)
{
    uint16_t port = options->port != 0 ? options->port : MTM_E131_PORT;
    bool multicast = !options->own_only && options->to == NULL;
    mtm_result result = MTM_OK;

    if ((unsigned)options->ip > MTM_IP_BOTH)
        return mtmi_fail(error, MTM_INVALID, "there is no such choice of IPv4 and IPv6: %d",
                         (int)options->ip);
    if (options->own_count > 0 && options->own == NULL)
        return mtmi_fail(error, MTM_INVALID, "destinations are counted, and none are there");
    sender->ip = options->ip;
    if (!options->own_only) {
        result = read_place(options->to, port, &sender->rest, error);
        sender->rest.first = MTM_UNIVERSE_MIN;
        sender->rest.last = MTM_UNIVERSE_MAX;
    }
    if (result != MTM_OK)
        return result;
    for (size_t i = 0; i < options->own_count; i++)
        multicast = multicast || options->own[i].to == NULL;
    if (multicast && port != MTM_E131_PORT)
        return mtmi_fail(error, MTM_INVALID, "port %u; multicast uses %d and no other",
                         (unsigned)port, MTM_E131_PORT);
    if (!options->own_only)
        note_family(sender, &sender->rest);
    return read_own(options, port, sender, error);
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
    if (options->sync_universe > MTM_UNIVERSE_MAX)
        return mtmi_fail(error, MTM_INVALID, "synchronization universe %u; allowed are 1 to %d",
                         (unsigned)options->sync_universe, MTM_UNIVERSE_MAX);
    sender->sync_universe = options->sync_universe;
    mtm_result result = read_destinations(options, sender, error);
    if (result != MTM_OK)
        return result;
    if (!options->cid_given)
        return mtm_cid_random(&sender->cid, error);
    sender->cid = options->cid;
    return MTM_OK;
}

mtm_result mtmi_network_fail(mtm_error *error, int reason)
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
        result = mtmi_network_fail(error, reason);
        goto done;
    }
    *out = sender;
    sender = NULL;
done:
    mtm_sender_free(sender);
    return result;
}

/* Which of the two families the options use, before a sender is made of them. */
static void find_families(const mtm_sender_options *options, mtmi_route *route)
{
    for (size_t i = 0; i <= options->own_count; i++) {
        const char *to = i < options->own_count ? options->own[i].to : options->to;

        if (i == options->own_count && options->own_only)
            continue;
        bool v6 = to != NULL ? strchr(to, ':') != NULL : options->ip != MTM_IP_4;
        bool v4 = to != NULL ? !v6 : options->ip != MTM_IP_6;
        route->v4 = route->v4 || v4;
        route->v6 = route->v6 || v6;
        route->bind_to = route->bind_to || to != NULL;
    }
}

mtm_result mtm_sender_create(const mtm_sender_options *options, mtm_sender **out, mtm_error *error)
{
    if (options == NULL || out == NULL || (options->own_count > 0 && options->own == NULL))
        return mtmi_fail(error, MTM_INVALID, "options and a place for the sender are needed");
    mtmi_route route = {.ttl = options->ttl != 0 ? options->ttl : 1};
    mtmi_transport transport;
    mtm_result result = MTM_OK;

    find_families(options, &route);
    if (options->interface != NULL)
        result = mtmi_interface_find(options->interface, &route.interface, error);
    if (result == MTM_OK && route.v4 && route.interface.index != 0 && !route.interface.has_ipv4)
        result = mtmi_fail(error, MTM_INVALID,
                           "the interface \"%.60s\" has no IPv4 address, and IPv4 is to be sent",
                           options->interface);
    if (result == MTM_OK)
        result = mtmi_transport_socket(&route, &transport, error);
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
    free(sender->taken);
    free(sender->own);
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
    mtmi_outgoing **universe = realloc(sender->universe, capacity * sizeof *universe);
    if (universe != NULL)
        sender->universe = universe;
    mtmi_datagram *datagram = realloc(sender->datagram, capacity * sizeof *datagram);
    if (datagram != NULL)
        sender->datagram = datagram;
    size_t *due = realloc(sender->due, capacity * sizeof *due);
    if (due != NULL)
        sender->due = due;
    bool *taken = realloc(sender->taken, capacity * sizeof *taken);
    if (taken != NULL)
        sender->taken = taken;
    uint16_t *list = realloc(sender->list, (capacity + 1) * sizeof *list);
    if (list != NULL)
        sender->list = list;
    if (universe == NULL || datagram == NULL || due == NULL || taken == NULL || list == NULL)
        return false;
    sender->capacity = capacity;
    return true;
}

static mtm_result encode_first(const mtm_sender *sender, mtmi_outgoing *made, mtm_error *error)
{
    mtm_e131_packet packet = {.type = MTM_E131_DATA,
                              .cid = sender->cid,
                              .priority = sender->priority,
                              .preview = sender->preview,
                              .sync_universe = sender->sync_universe,
                              .universe = made->universe,
                              .slot_count = (uint16_t)made->slot_count};

    memcpy(packet.source_name, sender->name, sizeof packet.source_name);
    return mtm_e131_encode(&packet, made->octets, &made->length, error);
}

static const mtmi_destination *destination_of(const mtm_sender *sender, uint16_t universe)
{
    for (size_t i = 0; i < sender->own_count; i++) {
        if (universe >= sender->own[i].first && universe <= sender->own[i].last)
            return &sender->own[i];
    }
    return sender->rest.first != 0 ? &sender->rest : NULL;
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
    const mtmi_destination *to = destination_of(sender, universe);
    if (to == NULL)
        return mtmi_fail(error, MTM_INVALID, "universe %u has no destination", (unsigned)universe);
    mtmi_outgoing *made = calloc(1, sizeof *made);
    if (made == NULL || !reserve(sender)) {
        free(made);
        return mtmi_fail_memory(error);
    }
    made->universe = universe;
    made->slot_count = slot_count;
    made->to_count = mtmi_places(sender, to, universe, made->to);
    made->copies = MTMI_COPIES;
    mtm_result result = encode_first(sender, made, error);
    if (result != MTM_OK) {
        free(made);
        return result;
    }
    sender->universe[sender->count++] = made;
    return MTM_OK;
}
