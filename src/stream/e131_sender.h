/* SPDX-License-Identifier: MIT */
/* E1.31 sender inside; over a transport other than the network, for tests. */
#ifndef METAMER_STREAM_E131_SENDER_H
#define METAMER_STREAM_E131_SENDER_H

#include <metamer/stream.h>

#include "stream/e131_socket.h"

/* E1.31 clause 6.6.2: three packets with the same values, then one every 800 to 1000 ms. */
#define MTMI_COPIES 3

/* Places in a data packet that change from one to the next. */
enum { MTMI_SEQUENCE_AT = 111, MTMI_OPTIONS_AT = 112, MTMI_SLOTS_AT = 126 };

/** One universe of a sender. */
typedef struct mtmi_outgoing {
    uint16_t universe;
    size_t slot_count;
    size_t length;
    mtmi_place to[2]; /* the same packet goes to each */
    size_t to_count;
    int copies; /* still to send, the first among them */
    bool sent;  /* at least once since the last farewell */
    uint64_t last_ns;
    uint8_t octets[MTMI_SLOTS_AT + MTM_ADDRESS_MAX]; /* the packet as sent last */
    uint8_t slot[MTM_ADDRESS_MAX];                   /* what the caller writes */
} mtmi_outgoing;

/** Where some universes go. */
typedef struct mtmi_destination {
    uint16_t first, last;
    bool multicast;
    mtmi_place to; /* unless multicast */
} mtmi_destination;

struct mtm_sender {
    mtm_cid cid;
    char name[MTM_E131_NAME_ROOM];
    uint8_t priority;
    bool preview;
    mtm_ip ip;
    mtmi_destination rest; /* for universes without one of their own; none where first is 0 */
    mtmi_destination *own;
    size_t own_count;
    bool v4, v6; /* data goes out so */

    mtmi_transport transport;
    uint64_t opened_ns;
    mtm_sender_counts counts;

    uint16_t sync_universe; /* 0: none */
    uint8_t sync_sequence;

    mtmi_outgoing **universe;
    size_t count;
    size_t capacity;
    mtmi_datagram *datagram; /* capacity of them */
    size_t *due;             /* universes to be sent, by index; capacity */
    bool *taken;             /* which of them left */
    uint16_t *list;          /* room for the list of universes and the one of synchronization:
                                sending allocates nothing */

    bool listed;
    uint64_t listed_ns;
};

/** Like mtm_sender_create; takes the transport over, whatever comes of it. */
MTM_CHECKED mtm_result mtmi_sender_create_over(const mtm_sender_options *options,
                                               mtmi_transport transport, mtm_sender **out,
                                               mtm_error *error);

/** The sentence of a network that refused. */
mtm_result mtmi_network_fail(mtm_error *error, int reason);

/** Where a universe of this number goes from a destination; returns how many places. */
size_t mtmi_places(const mtm_sender *sender, const mtmi_destination *destination, uint16_t universe,
                   mtmi_place to[2]);

#endif
