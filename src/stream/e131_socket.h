/* SPDX-License-Identifier: MIT */
/* E1.31: datagrams to and from the network, many at a call. */
#ifndef METAMER_STREAM_E131_SOCKET_H
#define METAMER_STREAM_E131_SOCKET_H

#include "stream/e131_place.h"
#include "stream/interface.h"

#include <metamer/base.h>

/** One datagram to send. octets are borrowed. */
typedef struct mtmi_datagram {
    const uint8_t *octets;
    size_t length;
    mtmi_place to;
} mtmi_datagram;

/** How a sender reaches the network; tests put their own in its place. */
typedef struct mtmi_transport {
    void *context;
    /** Opens or opens again; 0, or errno. */
    int (*open)(void *context);
    /** Sends in order; *sent is how many were taken; 0, or the errno that stopped it. */
    int (*send)(void *context, const mtmi_datagram *datagram, size_t count, size_t *sent);
    /** Closes and frees context. */
    void (*close)(void *context);
} mtmi_transport;

/** How packets leave this machine. */
typedef struct mtmi_route {
    bool v4, v6;              /* which of the two are used */
    mtmi_interface interface; /* index 0: the system chooses */
    bool bind_to;             /* unicast goes by that interface too */
    uint8_t ttl;              /* of multicast */
} mtmi_route;

/** The network itself. */
MTM_CHECKED mtm_result mtmi_transport_socket(const mtmi_route *route, mtmi_transport *out,
                                             mtm_error *error);

/** Opens a socket that listens at a place; port 0 is set to the one it gets. Returns the
 *  descriptor, or -1 with errno. */
int mtmi_listen(mtmi_place *place);
/** Joins a group; interface index 0: any. 0, or errno: ENOBUFS when a socket holds no more. */
int mtmi_join(int descriptor, const mtmi_place *group, const mtmi_interface *interface);

/** Most datagrams of one mtmi_receive. */
#define MTMI_RECEIVE_MAX 64
/** Room for each: one octet more than the largest packet, so that larger ones show. */
#define MTMI_RECEIVE_ROOM 1152

typedef struct mtmi_inbox {
    uint8_t octets[MTMI_RECEIVE_MAX][MTMI_RECEIVE_ROOM];
    size_t length[MTMI_RECEIVE_MAX];
} mtmi_inbox;

/** Reads what waits, without waiting; returns how many, or -1 with errno. */
int mtmi_receive(int descriptor, mtmi_inbox *inbox);

#endif
