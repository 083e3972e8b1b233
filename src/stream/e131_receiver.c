/* SPDX-License-Identifier: MIT */
/* E1.31 receiver: sockets, and each packet to the universe or list it is for. */
#include <metamer/stream.h>

#include "base/error.h"
#include "base/grow.h"
#include "stream/e131_lists.h"
#include "stream/e131_socket.h"
#include "stream/e131_sources.h"
#include "stream/interface.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/epoll.h>
#include <unistd.h>

/* The system limits the groups of one socket (20 is usual), so there may be several. */
#define SOCKETS_MAX 512
/* Batches that one call reads, so that a flood cannot keep it for ever. */
#define BATCHES_MAX 64

/* Groups of synchronization that are joined beside those of universes: as many addresses as data
 * may name, so that a flood of them costs no more. */
#define SYNC_GROUPS_MAX 64

struct mtm_receiver {
    bool join;
    bool preview;
    bool uses[2];             /* IPv4, IPv6 */
    mtmi_interface interface; /* index 0: the system chooses */
    mtmi_place at;            /* unless join */
    uint16_t sync_group[SYNC_GROUPS_MAX];
    size_t sync_group_count;
    uint16_t port;

    int watch; /* epoll: readable when one of the sockets is, also of those that come later */
    int socket[SOCKETS_MAX];
    size_t socket_count;
    int newest[2]; /* of IPv4 and of IPv6 */

    mtm_received **universe; /* in the order of adding */
    size_t count;
    size_t capacity;
    uint16_t index_of[MTM_UNIVERSE_MAX + 1]; /* 1 + index; 0: not asked for */

    mtmi_lists lists;
    mtm_receiver_counts counts;
    mtmi_inbox inbox;
};

static mtm_result open_socket(mtm_receiver *receiver, bool v6, mtm_error *error)
{
    mtmi_place place = receiver->at;

    if (receiver->socket_count == SOCKETS_MAX)
        return mtmi_fail(error, MTM_LIMIT,
                         "more than %d sockets for multicast groups; listen to fewer universes",
                         SOCKETS_MAX);
    place.v6 = v6;
    place.port = receiver->port;
    int descriptor = mtmi_listen(&place);
    if (descriptor < 0)
        return mtmi_fail(error, MTM_IO, "cannot listen at port %u%s: %s", (unsigned)receiver->port,
                         v6 ? " of IPv6" : "", strerror(errno));
    receiver->port = place.port;
    receiver->newest[v6] = descriptor;
    receiver->socket[receiver->socket_count++] = descriptor; /* closed with the receiver */
    struct epoll_event readable = {.events = EPOLLIN, .data.fd = descriptor};
    if (epoll_ctl(receiver->watch, EPOLL_CTL_ADD, descriptor, &readable) != 0)
        return mtmi_fail(error, MTM_IO, "cannot wait for packets: %s", strerror(errno));
    return MTM_OK;
}

/* Joins on the newest socket, or on one more where that is full. */
static mtm_result join_group(mtm_receiver *receiver, const mtmi_place *group, uint16_t universe,
                             mtm_error *error)
{
    int reason = mtmi_join(receiver->newest[group->v6], group, &receiver->interface);

    if (reason == ENOBUFS) {
        mtm_result result = open_socket(receiver, group->v6, error);
        if (result != MTM_OK)
            return result;
        reason = mtmi_join(receiver->newest[group->v6], group, &receiver->interface);
    }
    if (reason == EADDRINUSE) /* for synchronization, already */
        return MTM_OK;
    if (reason == ENODEV)
        return mtmi_fail(error, MTM_IO,
                         "no interface takes multicast by itself; name one (lo, eth0, 10.0.0.1)");
    if (reason != 0)
        return mtmi_fail(error, MTM_IO, "cannot join the multicast group of universe %u: %s",
                         (unsigned)universe, strerror(reason));
    return MTM_OK;
}

static mtm_result join(mtm_receiver *receiver, uint16_t universe, mtm_error *error)
{
    const mtmi_place groups[] = {mtmi_place_group(universe, false),
                                 mtmi_place_group(universe, true),
                                 mtmi_place_group_as_text(universe)};
    mtm_result result = MTM_OK;

    for (size_t i = 0; result == MTM_OK && i < sizeof groups / sizeof *groups; i++) {
        if (receiver->uses[groups[i].v6])
            result = join_group(receiver, &groups[i], universe, error);
    }
    return result;
}

/* What is listened at, and over which of the two. */
static mtm_result read_place(mtm_receiver *receiver, const mtm_receiver_options *options,
                             mtm_error *error)
{
    if ((unsigned)options->ip > MTM_IP_BOTH)
        return mtmi_fail(error, MTM_INVALID, "there is no such choice of IPv4 and IPv6: %d",
                         (int)options->ip);
    receiver->join = options->address == NULL;
    receiver->uses[0] = options->ip != MTM_IP_6;
    receiver->uses[1] = options->ip != MTM_IP_4;
    if (receiver->join)
        return MTM_OK;
    if (!mtmi_place_parse(options->address, &receiver->at))
        return mtmi_fail(error, MTM_INVALID,
                         "\"%.60s\" is not an IPv4 or IPv6 address of this machine, such as "
                         "10.0.0.1 or fd00::1",
                         options->address);
    receiver->uses[0] = !receiver->at.v6;
    receiver->uses[1] = receiver->at.v6;
    return MTM_OK;
}

static mtm_result set_up(mtm_receiver *receiver, const mtm_receiver_options *options,
                         mtm_error *error)
{
    mtm_result result = MTM_OK;

    receiver->watch = epoll_create1(EPOLL_CLOEXEC);
    receiver->preview = options->preview;
    receiver->port = options->port != 0 ? options->port : MTM_E131_PORT;
    if (receiver->watch < 0)
        return mtmi_fail(error, MTM_IO, "cannot wait for packets: %s", strerror(errno));
    if (options->interface != NULL)
        result = mtmi_interface_find(options->interface, &receiver->interface, error);
    if (result == MTM_OK)
        result = read_place(receiver, options, error);
    for (int v6 = 0; result == MTM_OK && v6 < 2; v6++) {
        if (receiver->uses[v6])
            result = open_socket(receiver, v6 == 1, error);
    }
    if (result == MTM_OK && receiver->join)
        result = join(receiver, MTM_E131_DISCOVERY_UNIVERSE, error);
    return result;
}

mtm_result mtm_receiver_create(const mtm_receiver_options *options, mtm_receiver **out,
                               mtm_error *error)
{
    if (options == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "options and a place for the receiver are needed");
    mtm_receiver *receiver = calloc(1, sizeof *receiver);

    if (receiver == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = set_up(receiver, options, error);
    if (result == MTM_OK) {
        *out = receiver;
        receiver = NULL;
    }
    mtm_receiver_free(receiver);
    return result;
}

void mtm_receiver_free(mtm_receiver *receiver)
{
    if (receiver == NULL)
        return;
    for (size_t i = 0; i < receiver->socket_count; i++)
        (void)close(receiver->socket[i]);
    if (receiver->watch >= 0)
        (void)close(receiver->watch);
    for (size_t i = 0; i < receiver->count; i++)
        free(receiver->universe[i]);
    free(receiver->universe);
    mtmi_lists_free(&receiver->lists);
    free(receiver);
}

int mtm_receiver_descriptor(const mtm_receiver *receiver)
{
    return receiver == NULL ? -1 : receiver->watch;
}

uint16_t mtm_receiver_port(const mtm_receiver *receiver)
{
    return receiver != NULL ? receiver->port : 0;
}

static bool reserve(mtm_receiver *receiver)
{
    const size_t pointer = sizeof(mtm_received *);
    mtm_received **universe =
        mtmi_grown(receiver->universe, receiver->count, &receiver->capacity, pointer);

    if (universe == NULL)
        return false;
    receiver->universe = universe;
    return true;
}

mtm_result mtm_receiver_add(mtm_receiver *receiver, uint16_t universe, mtm_error *error)
{
    if (receiver == NULL)
        return mtmi_fail(error, MTM_INVALID, "a receiver is needed");
    if (universe < MTM_UNIVERSE_MIN || universe > MTM_UNIVERSE_MAX)
        return mtmi_fail(error, MTM_INVALID, "universe %u; allowed are 1 to %d", (unsigned)universe,
                         MTM_UNIVERSE_MAX);
    if (receiver->index_of[universe] != 0)
        return mtmi_fail(error, MTM_INVALID, "universe %u is listened to already",
                         (unsigned)universe);
    if (receiver->count == MTM_STREAM_UNIVERSES_MAX)
        return mtmi_fail(error, MTM_LIMIT,
                         "more than %d universes at once; run a second process for the others",
                         MTM_STREAM_UNIVERSES_MAX);
    mtm_received *made = calloc(1, sizeof *made);
    if (made == NULL || !reserve(receiver)) {
        free(made);
        return mtmi_fail_memory(error);
    }
    mtm_result result = receiver->join ? join(receiver, universe, error) : MTM_OK;
    if (result != MTM_OK) {
        free(made);
        return result;
    }
    made->universe = universe;
    made->winner = -1;
    receiver->universe[receiver->count++] = made;
    receiver->index_of[universe] = (uint16_t)receiver->count;
    return MTM_OK;
}

/* Hears the synchronization that data asks for. Where it cannot, nothing waits. */
static void follow_sync(mtm_receiver *receiver, uint16_t universe)
{
    if (!receiver->join || universe == 0 || receiver->index_of[universe] != 0 ||
        receiver->sync_group_count == SYNC_GROUPS_MAX)
        return;
    for (size_t i = 0; i < receiver->sync_group_count; i++) {
        if (receiver->sync_group[i] == universe)
            return;
    }
    receiver->sync_group[receiver->sync_group_count++] = universe;
    mtm_result result = join(receiver, universe, NULL);
    (void)result;
}

static void take_sync(mtm_receiver *receiver, const mtm_e131_packet *packet, uint64_t now_ns)
{
    receiver->counts.sync++;
    for (size_t i = 0; i < receiver->count; i++)
        mtmi_sources_sync(receiver->universe[i], packet, now_ns);
}

void mtm_receiver_take(mtm_receiver *receiver, const uint8_t *octets, size_t length,
                       uint64_t now_ns)
{
    if (receiver == NULL)
        return;
    mtm_e131_packet packet;

    receiver->counts.packets++;
    if (mtm_e131_decode(octets, length, &packet, NULL) != MTM_OK) {
        receiver->counts.malformed++;
    } else if (packet.type == MTM_E131_SYNC) {
        take_sync(receiver, &packet, now_ns);
    } else if (packet.type == MTM_E131_DISCOVERY) {
        receiver->counts.discovery++;
        mtmi_lists_take(&receiver->lists, &packet, now_ns);
    } else if (receiver->index_of[packet.universe] == 0) {
        receiver->counts.unasked++;
    } else {
        mtmi_sources_take(receiver->universe[receiver->index_of[packet.universe] - 1], &packet,
                          receiver->preview, now_ns);
        follow_sync(receiver, packet.sync_universe);
    }
}

void mtm_receiver_settle(mtm_receiver *receiver, uint64_t now_ns)
{
    if (receiver == NULL)
        return;
    for (size_t i = 0; i < receiver->count; i++)
        mtmi_sources_settle(receiver->universe[i], receiver->preview, now_ns);
    mtmi_lists_settle(&receiver->lists, now_ns);
}

/* Reads what waits at one socket. A network that went away is silence, not an error: sources time
 * out, and the groups stay joined for when it comes back. */
static size_t drain(mtm_receiver *receiver, int descriptor)
{
    size_t taken = 0;

    for (int batch = 0; batch < BATCHES_MAX; batch++) {
        int count = mtmi_receive(descriptor, &receiver->inbox);
        uint64_t now_ns = mtm_stream_now_ns();
        for (int i = 0; i < count; i++)
            mtm_receiver_take(receiver, receiver->inbox.octets[i], receiver->inbox.length[i],
                              now_ns);
        taken += count > 0 ? (size_t)count : 0;
        if (count < MTMI_RECEIVE_MAX)
            break;
    }
    return taken;
}

mtm_result mtm_receiver_wait(mtm_receiver *receiver, int timeout_ms, size_t *taken,
                             mtm_error *error)
{
    if (receiver == NULL)
        return mtmi_fail(error, MTM_INVALID, "a receiver is needed");
    size_t read = 0;
    struct epoll_event event[SOCKETS_MAX];
    int ready = epoll_wait(receiver->watch, event, SOCKETS_MAX, timeout_ms < 0 ? -1 : timeout_ms);

    if (ready < 0 && errno != EINTR)
        return mtmi_fail(error, MTM_IO, "cannot wait for packets: %s", strerror(errno));
    for (int i = 0; i < ready; i++)
        read += drain(receiver, event[i].data.fd);
    mtm_receiver_settle(receiver, mtm_stream_now_ns());
    if (taken != NULL)
        *taken = read;
    return MTM_OK;
}

size_t mtm_receiver_universe_count(const mtm_receiver *receiver)
{
    return receiver != NULL ? receiver->count : 0;
}

const mtm_received *mtm_receiver_universe(const mtm_receiver *receiver, size_t index)
{
    return receiver != NULL && index < receiver->count ? receiver->universe[index] : NULL;
}

size_t mtm_receiver_discovered_count(const mtm_receiver *receiver)
{
    return receiver != NULL ? receiver->lists.count : 0;
}

mtm_discovered mtm_receiver_discovered(const mtm_receiver *receiver, size_t index)
{
    if (receiver == NULL || index >= receiver->lists.count)
        return (mtm_discovered){.name = ""};
    return mtmi_lists_at(&receiver->lists, index);
}

mtm_receiver_counts mtm_receiver_count(const mtm_receiver *receiver)
{
    return receiver != NULL ? receiver->counts : (mtm_receiver_counts){0};
}
