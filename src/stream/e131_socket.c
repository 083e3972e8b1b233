/* SPDX-License-Identifier: MIT */
/* E1.31: datagrams to and from the network, many at a call. */
#define _GNU_SOURCE /* sendmmsg, recvmmsg, struct ip_mreq */

#include "stream/e131_socket.h"

#include "base/error.h"

#include <arpa/inet.h>
#include <errno.h>
#include <netinet/in.h>
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
    int descriptor; /* -1 while closed */
    bool has_interface;
    bool bind_to;
    uint8_t interface[4];
    uint8_t ttl;
} outlet;

bool mtmi_ipv4_parse(const char *text, uint8_t address[4])
{
    struct in_addr read;

    if (inet_pton(AF_INET, text, &read) != 1)
        return false;
    memcpy(address, &read.s_addr, 4);
    return true;
}

static struct sockaddr_in place(const uint8_t *address, uint16_t port)
{
    struct sockaddr_in at = {.sin_family = AF_INET, .sin_port = htons(port)};

    if (address != NULL)
        memcpy(&at.sin_addr.s_addr, address, 4);
    return at;
}

static int bind_at(int descriptor, const uint8_t *address, uint16_t port)
{
    struct sockaddr_in at = place(address, port);

    return bind(descriptor, (const struct sockaddr *)&at, sizeof at);
}

/* Sets up a fresh socket as the outlet wants it; false leaves the reason in errno. */
static bool set_up(const outlet *out, int descriptor)
{
    int ttl = out->ttl;
    int buffer = BUFFER_OCTETS;
    struct timeval timeout = {.tv_usec = SEND_TIMEOUT_US};

    (void)setsockopt(descriptor, SOL_SOCKET, SO_SNDBUF, &buffer, sizeof buffer);
    if (setsockopt(descriptor, SOL_SOCKET, SO_SNDTIMEO, &timeout, sizeof timeout) != 0 ||
        setsockopt(descriptor, IPPROTO_IP, IP_MULTICAST_TTL, &ttl, sizeof ttl) != 0)
        return false;
    if (!out->has_interface)
        return true;
    struct in_addr interface;
    memcpy(&interface.s_addr, out->interface, 4);
    if (setsockopt(descriptor, IPPROTO_IP, IP_MULTICAST_IF, &interface, sizeof interface) != 0)
        return false;
    return !out->bind_to || bind_at(descriptor, out->interface, 0) == 0;
}

static int outlet_open(void *context)
{
    outlet *out = context;

    if (out->descriptor >= 0)
        (void)close(out->descriptor);
    out->descriptor = socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0);
    if (out->descriptor < 0)
        return errno;
    if (!set_up(out, out->descriptor)) {
        int reason = errno;
        (void)close(out->descriptor);
        out->descriptor = -1;
        return reason;
    }
    return 0;
}

/* One system call's worth; -1 with errno, or how many were taken. */
static int send_some(int descriptor, const mtmi_datagram *datagram, size_t count)
{
    struct mmsghdr message[SEND_BATCH];
    struct iovec part[SEND_BATCH];
    struct sockaddr_in to[SEND_BATCH];

    for (size_t i = 0; i < count; i++) {
        /* sendmmsg only reads the octets; the interface has no const */
        part[i] = (struct iovec){(void *)(uintptr_t)datagram[i].octets, datagram[i].length};
        to[i] = place(datagram[i].address, datagram[i].port);
        message[i].msg_hdr = (struct msghdr){
            .msg_name = &to[i], .msg_namelen = sizeof to[i], .msg_iov = &part[i], .msg_iovlen = 1};
        message[i].msg_len = 0;
    }
    return sendmmsg(descriptor, message, (unsigned)count, MSG_NOSIGNAL);
}

static int outlet_send(void *context, const mtmi_datagram *datagram, size_t count, size_t *sent)
{
    const outlet *out = context;

    *sent = 0;
    if (out->descriptor < 0)
        return ENOTCONN;
    while (*sent < count) {
        size_t left = count - *sent;
        int taken = send_some(out->descriptor, datagram + *sent,
                              left < SEND_BATCH ? left : (size_t)SEND_BATCH);
        if (taken < 0 && errno != EINTR)
            return errno;
        *sent += taken > 0 ? (size_t)taken : 0;
    }
    return 0;
}

static void outlet_close(void *context)
{
    outlet *out = context;

    if (out->descriptor >= 0)
        (void)close(out->descriptor);
    free(out);
}

mtm_result mtmi_transport_socket(const uint8_t *interface, bool bind_to, uint8_t ttl,
                                 mtmi_transport *out, mtm_error *error)
{
    outlet *made = calloc(1, sizeof *made);

    if (made == NULL)
        return mtmi_fail_memory(error);
    made->descriptor = -1;
    made->has_interface = interface != NULL;
    made->bind_to = bind_to;
    made->ttl = ttl;
    if (interface != NULL)
        memcpy(made->interface, interface, 4);
    *out = (mtmi_transport){made, outlet_open, outlet_send, outlet_close};
    return MTM_OK;
}

/* Several programs of one machine may listen to the same universes. */
static bool listen_at(int descriptor, const uint8_t *address, uint16_t *port)
{
    int yes = 1;
    int no = 0;
    int buffer = BUFFER_OCTETS;
    struct sockaddr_in real = {0};
    socklen_t length = sizeof real;

    if (setsockopt(descriptor, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes) != 0 ||
        setsockopt(descriptor, IPPROTO_IP, IP_MULTICAST_ALL, &no, sizeof no) != 0)
        return false;
    /* only root may exceed the system's cap */
    if (setsockopt(descriptor, SOL_SOCKET, SO_RCVBUFFORCE, &buffer, sizeof buffer) != 0)
        (void)setsockopt(descriptor, SOL_SOCKET, SO_RCVBUF, &buffer, sizeof buffer);
    if (bind_at(descriptor, address, *port) != 0 ||
        getsockname(descriptor, (struct sockaddr *)&real, &length) != 0)
        return false;
    *port = ntohs(real.sin_port);
    return true;
}

int mtmi_listen(const uint8_t *address, uint16_t *port)
{
    int descriptor = socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0);

    if (descriptor < 0)
        return -1;
    if (listen_at(descriptor, address, port))
        return descriptor;
    int reason = errno;
    (void)close(descriptor);
    errno = reason;
    return -1;
}

int mtmi_join(int descriptor, const uint8_t *group, const uint8_t *interface)
{
    struct ip_mreq request = {.imr_interface.s_addr = htonl(INADDR_ANY)};

    memcpy(&request.imr_multiaddr.s_addr, group, 4);
    if (interface != NULL)
        memcpy(&request.imr_interface.s_addr, interface, 4);
    return setsockopt(descriptor, IPPROTO_IP, IP_ADD_MEMBERSHIP, &request, sizeof request) == 0
               ? 0
               : errno;
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
