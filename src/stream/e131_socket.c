/* SPDX-License-Identifier: MIT */
/* E1.31: datagrams to and from the network, many at a call. */
#define _GNU_SOURCE /* sendmmsg, recvmmsg, struct ip_mreqn */

#include "stream/e131_socket.h"

#include "base/error.h"

#include <arpa/inet.h>
#include <errno.h>
#include <netinet/in.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <unistd.h>

/* Asked for, not demanded: the system caps it. Room for some frames of a thousand universes. */
#define BUFFER_OCTETS (4 * 1024 * 1024)
#define SEND_BATCH 64
/* A network card that is stuck must not hold up the frames that follow. */
#define SEND_TIMEOUT_US 5000

typedef struct outlet {
    int descriptor[2]; /* of IPv4 and of IPv6; -1 while closed, or not used */
    mtmi_route route;
} outlet;

static bool set_int(int descriptor, int level, int name, int value)
{
    return setsockopt(descriptor, level, name, &value, sizeof value) == 0;
}

static bool bind_at(int descriptor, const mtmi_place *place)
{
    struct sockaddr_storage at;
    socklen_t length = mtmi_place_socket(place, &at);

    return bind(descriptor, (const struct sockaddr *)&at, length) == 0;
}

static bool route_v4(const mtmi_route *route, int descriptor)
{
    struct in_addr interface;
    mtmi_place from = {.v6 = false};

    if (!set_int(descriptor, IPPROTO_IP, IP_MULTICAST_TTL, route->ttl))
        return false;
    if (route->interface.index == 0)
        return true;
    if (!route->interface.has_ipv4) {
        errno = EADDRNOTAVAIL;
        return false;
    }
    memcpy(&interface.s_addr, route->interface.address, 4);
    memcpy(from.address, route->interface.address, 4);
    return setsockopt(descriptor, IPPROTO_IP, IP_MULTICAST_IF, &interface, sizeof interface) == 0 &&
           (!route->bind_to || bind_at(descriptor, &from));
}

static bool route_v6(const mtmi_route *route, int descriptor)
{
    int index = (int)route->interface.index;

    return set_int(descriptor, IPPROTO_IPV6, IPV6_V6ONLY, 1) &&
           set_int(descriptor, IPPROTO_IPV6, IPV6_MULTICAST_HOPS, route->ttl) &&
           (index == 0 || set_int(descriptor, IPPROTO_IPV6, IPV6_MULTICAST_IF, index)) &&
           (index == 0 || !route->bind_to ||
            set_int(descriptor, IPPROTO_IPV6, IPV6_UNICAST_IF, (int)htonl((uint32_t)index)));
}

/* Opens one socket; 0, or errno. */
static int open_one(const mtmi_route *route, bool v6, int *descriptor)
{
    struct timeval timeout = {.tv_usec = SEND_TIMEOUT_US};

    *descriptor = socket(v6 ? AF_INET6 : AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0);
    if (*descriptor < 0)
        return errno;
    (void)set_int(*descriptor, SOL_SOCKET, SO_SNDBUF, BUFFER_OCTETS);
    if (setsockopt(*descriptor, SOL_SOCKET, SO_SNDTIMEO, &timeout, sizeof timeout) == 0 &&
        (v6 ? route_v6(route, *descriptor) : route_v4(route, *descriptor)))
        return 0;
    int reason = errno;
    (void)close(*descriptor);
    *descriptor = -1;
    return reason;
}

static int outlet_open(void *context)
{
    outlet *out = context;
    int reason = 0;

    for (int v6 = 0; v6 < 2; v6++) {
        if (out->descriptor[v6] >= 0)
            (void)close(out->descriptor[v6]);
        out->descriptor[v6] = -1;
        if (reason == 0 && (v6 == 1 ? out->route.v6 : out->route.v4))
            reason = open_one(&out->route, v6 == 1, &out->descriptor[v6]);
    }
    return reason;
}

/* One system call's worth; -1 with errno, or how many were taken. */
static int send_some(int descriptor, const mtmi_datagram *datagram, size_t count)
{
    struct mmsghdr message[SEND_BATCH];
    struct iovec part[SEND_BATCH];
    struct sockaddr_storage to[SEND_BATCH];

    for (size_t i = 0; i < count; i++) {
        /* sendmmsg only reads the octets; the interface has no const */
        part[i] = (struct iovec){(void *)(uintptr_t)datagram[i].octets, datagram[i].length};
        message[i].msg_hdr =
            (struct msghdr){.msg_name = &to[i],
                            .msg_namelen = mtmi_place_socket(&datagram[i].to, &to[i]),
                            .msg_iov = &part[i],
                            .msg_iovlen = 1};
        message[i].msg_len = 0;
    }
    return sendmmsg(descriptor, message, (unsigned)count, MSG_NOSIGNAL);
}

/* Datagrams from the first on that go by the same socket, as many as one call takes. */
static size_t alike(const mtmi_datagram *datagram, size_t count)
{
    size_t same = 0;

    while (same < count && same < SEND_BATCH && datagram[same].to.v6 == datagram[0].to.v6)
        same++;
    return same;
}

static int outlet_send(void *context, const mtmi_datagram *datagram, size_t count, size_t *sent)
{
    const outlet *out = context;

    *sent = 0;
    while (*sent < count) {
        const mtmi_datagram *next = datagram + *sent;
        int descriptor = out->descriptor[next->to.v6 ? 1 : 0];
        if (descriptor < 0)
            return ENOTCONN;
        int taken = send_some(descriptor, next, alike(next, count - *sent));
        if (taken < 0 && errno != EINTR)
            return errno;
        *sent += taken > 0 ? (size_t)taken : 0;
    }
    return 0;
}

static void outlet_close(void *context)
{
    outlet *out = context;

    for (int i = 0; i < 2; i++) {
        if (out->descriptor[i] >= 0)
            (void)close(out->descriptor[i]);
    }
    free(out);
}

mtm_result mtmi_transport_socket(const mtmi_route *route, mtmi_transport *out, mtm_error *error)
{
    outlet *made = calloc(1, sizeof *made);

    if (made == NULL)
        return mtmi_fail_memory(error);
    *made = (outlet){{-1, -1}, *route};
    *out = (mtmi_transport){made, outlet_open, outlet_send, outlet_close};
    return MTM_OK;
}

/* Several programs of one machine may listen to the same universes. */
static bool listen_at(int descriptor, mtmi_place *place)
{
    struct sockaddr_storage real = {0};
    socklen_t length = sizeof real;
    in_port_t port = 0; /* at the same octets for both */

    if (!set_int(descriptor, SOL_SOCKET, SO_REUSEADDR, 1) ||
        !(place->v6 ? set_int(descriptor, IPPROTO_IPV6, IPV6_V6ONLY, 1)
                    : set_int(descriptor, IPPROTO_IP, IP_MULTICAST_ALL, 0)))
        return false;
    if (place->v6) /* older systems cannot; the universe in a packet decides in any case */
        (void)set_int(descriptor, IPPROTO_IPV6, IPV6_MULTICAST_ALL, 0);
    /* only root may exceed the system's cap */
    if (!set_int(descriptor, SOL_SOCKET, SO_RCVBUFFORCE, BUFFER_OCTETS))
        (void)set_int(descriptor, SOL_SOCKET, SO_RCVBUF, BUFFER_OCTETS);
    if (!bind_at(descriptor, place) ||
        getsockname(descriptor, (struct sockaddr *)&real, &length) != 0)
        return false;
    memcpy(&port,
           (const char *)&real + (place->v6 ? offsetof(struct sockaddr_in6, sin6_port)
                                            : offsetof(struct sockaddr_in, sin_port)),
           sizeof port);
    place->port = ntohs(port);
    return true;
}

int mtmi_listen(mtmi_place *place)
{
    int descriptor = socket(place->v6 ? AF_INET6 : AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0);

    if (descriptor < 0)
        return -1;
    if (listen_at(descriptor, place))
        return descriptor;
    int reason = errno;
    (void)close(descriptor);
    errno = reason;
    return -1;
}

int mtmi_join(int descriptor, const mtmi_place *group, const mtmi_interface *interface)
{
    struct ip_mreqn request = {.imr_ifindex = (int)interface->index};
    struct ipv6_mreq request6 = {.ipv6mr_interface = interface->index};
    int failed = 0;

    memcpy(&request.imr_multiaddr.s_addr, group->address, 4);
    memcpy(&request6.ipv6mr_multiaddr, group->address, 16);
    if (interface->has_ipv4)
        memcpy(&request.imr_address.s_addr, interface->address, 4);
    failed = group->v6
                 ? setsockopt(descriptor, IPPROTO_IPV6, IPV6_JOIN_GROUP, &request6, sizeof request6)
                 : setsockopt(descriptor, IPPROTO_IP, IP_ADD_MEMBERSHIP, &request, sizeof request);
    if (failed == 0)
        return 0;
    return errno == ENOMEM ? ENOBUFS : errno; /* IPv6 says so, where a socket holds no more */
}

int mtmi_receive(int descriptor, mtmi_inbox *inbox)
{
    struct mmsghdr message[MTMI_RECEIVE_MAX];
    struct iovec part[MTMI_RECEIVE_MAX];

    for (size_t i = 0; i < MTMI_RECEIVE_MAX; i++) {
        part[i] = (struct iovec){inbox->octets[i], MTMI_RECEIVE_ROOM};
        message[i].msg_hdr = (struct msghdr){.msg_iov = &part[i], .msg_iovlen = 1};
        message[i].msg_len = 0;
    }
    int count = recvmmsg(descriptor, message, MTMI_RECEIVE_MAX, MSG_DONTWAIT, NULL);
    for (int i = 0; i < count; i++)
        inbox->length[i] = message[i].msg_len;
    return count;
}
