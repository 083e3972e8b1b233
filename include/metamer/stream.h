/* SPDX-License-Identifier: MIT */
/* Stream: universes sent and received over E1.31. */
#ifndef METAMER_STREAM_H
#define METAMER_STREAM_H

#include <metamer/base.h>
#include <metamer/e131.h>

MTM_BEGIN

/** Most universes of one sender or receiver. */
#define MTM_STREAM_UNIVERSES_MAX 4096
/** Most sources that a receiver keeps for one universe; see mtm_received. */
#define MTM_STREAM_SOURCES_MAX 8
/** Most sources whose universe lists a receiver keeps. */
#define MTM_STREAM_LISTS_MAX 64

/** Monotonic time in nanoseconds, the clock of every now_ns here. */
MTM_API uint64_t mtm_stream_now_ns(void);

/** Which groups multicast goes to. */
typedef enum mtm_ip {
    MTM_IP_4 = 0, /**< 239.255.high.low */
    MTM_IP_6,     /**< ff18::8300:HHLL */
    MTM_IP_BOTH   /**< both: the same packet twice; receivers that hear both drop the second */
} mtm_ip;

/** Where some universes go, in place of where the others go. */
typedef struct mtm_sender_own {
    uint16_t first; /**< lowest universe of them, 1..63999 */
    uint16_t last;  /**< highest, first..63999 */
    const char *to; /**< as mtm_sender_options.to */
} mtm_sender_own;

/** Where a sender sends. */
typedef struct mtm_sender_options {
    const char *to;            /**< IPv4 or IPv6 address of one receiver ("10.0.0.20", "fd00::20",
                                  "fe80::20%eth0"); NULL: multicast, a group a universe */
    const mtm_sender_own *own; /**< own_count of them; no universe is in two */
    size_t own_count;          /**< 0: all go to the same */
    bool own_only;             /**< to is not used: each universe is in own */
    mtm_ip ip;                 /**< of multicast */
    /** Data waits in receivers for a packet to the group of this universe (clause 11), which
     *  follows the data of each send; 1..63999, it need not carry data. 0: data acts at once. Those
     *  packets are always multicast, over IPv4 and IPv6 as the data is. */
    uint16_t sync_universe;
    const char *interface; /**< name or address of the interface to use; NULL: the system chooses */
    uint16_t port;         /**< 0: 5568, and multicast allows no other */
    uint8_t ttl;           /**< of multicast, 1..255 networks far; 0: 1 */
    const char *source_name; /**< UTF-8, cut to 63 octets; NULL: "metamer" */
    bool cid_given;          /**< false: a random CID */
    mtm_cid cid;             /**< where cid_given */
    uint8_t priority;        /**< 0..200; the usual is MTM_E131_PRIORITY_DEFAULT */
    bool preview;            /**< marks the data as for visualisers only */
    bool patient; /**< a network that is away at creation is no error: it is tried again */
} mtm_sender_options;

/** The usual options. */
#define MTM_SENDER_DEFAULTS                                                                        \
    {                                                                                              \
        .priority = MTM_E131_PRIORITY_DEFAULT                                                      \
    }

/** What a sender has done. A plain value. */
typedef struct mtm_sender_counts {
    uint64_t packets;   /**< data packets that the system took */
    uint64_t octets;    /**< of those, without UDP and IP */
    uint64_t refused;   /**< packets that the system did not take */
    uint64_t discovery; /**< discovery packets */
    uint64_t sync;      /**< synchronization packets */
    bool away;          /**< the last attempt failed */
} mtm_sender_counts;

/** A source of E1.31 data. One thread at a time. */
typedef struct mtm_sender mtm_sender;

/**
 * Makes a sender; nothing is sent yet. Copies its options.
 * @return MTM_OK; MTM_INVALID for an option out of its range; MTM_IO where the network refuses
 *         (unless patient)
 */
MTM_API MTM_CHECKED mtm_result mtm_sender_create(const mtm_sender_options *options,
                                                 mtm_sender **out, mtm_error *error);
/** Closes and frees without a farewell (see mtm_sender_finish); NULL is allowed. */
MTM_API void mtm_sender_free(mtm_sender *sender);

/** Adds a universe (1..63999) of 1..512 slots, all 0; its index is the count of those before. Each
 * may be added once. MTM_OK; MTM_INVALID; MTM_LIMIT beyond MTM_STREAM_UNIVERSES_MAX; MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_sender_add(mtm_sender *sender, uint16_t universe,
                                              size_t slot_count, mtm_error *error);
/** Number of universes added. */
MTM_API size_t mtm_sender_universe_count(const mtm_sender *sender);
/** The slots that the next send takes: write them at will. Borrowed; stays valid until the sender
 * is freed. */
MTM_API uint8_t *mtm_sender_slots(mtm_sender *sender, size_t index);

/**
 * Sends what is due at now_ns: universes whose slots have changed, two more copies of those, and
 * after that a keep-alive packet every 900 ms (clause 6.6.2); every 10 s the list of universes
 * (clause 4.3; to the receiver itself where there is only one). The caller keeps to the refresh
 * limit of E1.11 by calling no more often. With a sync_universe the packet that makes the data act
 * follows it, after 0.3 ms for each ten universes (5 ms at most) in which receivers store it.
 * @return MTM_OK; MTM_IO with the reason where the network refused: the sender stays usable, opens
 *         its socket again after a second, and what was not sent stays due
 */
MTM_API MTM_CHECKED mtm_result mtm_sender_send(mtm_sender *sender, uint64_t now_ns,
                                               mtm_error *error);

/** Sends the three packets that end each universe's stream (clause 6.2.6), pause_ms apart, and
 *  leaves the universes without data until the next send. MTM_OK; MTM_IO where the network refused
 *  one of them. */
MTM_API MTM_CHECKED mtm_result mtm_sender_finish(mtm_sender *sender, unsigned pause_ms,
                                                 mtm_error *error);

/** What was sent so far. */
MTM_API mtm_sender_counts mtm_sender_count(const mtm_sender *sender);
/** The sender's CID. */
MTM_API mtm_cid mtm_sender_cid(const mtm_sender *sender);

/** Where a receiver listens. A zeroed one listens for multicast on port 5568. */
typedef struct mtm_receiver_options {
    const char *interface; /**< name or address of the interface to join on; NULL: the system
                              chooses */
    const char *address;   /**< IPv4 or IPv6 address to take unicast at, instead of joining groups;
                              NULL: any, and groups are joined */
    mtm_ip ip;             /**< of the groups; over IPv6 both that are seen in the field: that of
                              mtm_e131_group6, and ff18::83:00:hi:lo read as an address */
    uint16_t port;         /**< 0: 5568 */
    bool preview;          /**< take data that is marked as for visualisers only */
} mtm_receiver_options;

/** One source of one universe, as received. */
typedef struct mtm_received_source {
    mtm_cid cid;                      /**< whose packets these are */
    char name[MTM_E131_NAME_ROOM];    /**< as it calls itself, UTF-8 */
    uint8_t priority;                 /**< of its last packet, 0..200 */
    bool live;                        /**< heard within 2.5 s, and not ended */
    bool terminated;                  /**< said that it stops */
    bool preview;                     /**< its last packet was for visualisers only */
    uint64_t last_ns;                 /**< when it was last heard, by mtm_stream_now_ns */
    uint64_t packets;                 /**< taken */
    uint64_t lost;                    /**< gaps in the sequence, less those that came late */
    uint64_t out_of_order;            /**< came 1..19 behind, and were not taken */
    uint64_t duplicates;              /**< repeated the last number, and were not taken */
    uint64_t restarts;                /**< sequence numbers that began anew */
    uint64_t other_codes;             /**< packets with another START code: no levels */
    bool has_levels;                  /**< a packet of levels was taken */
    uint16_t slot_count;              /**< of the last, 0..512 */
    uint8_t slot[MTM_ADDRESS_MAX];    /**< the last levels that act */
    uint16_t sync_universe;           /**< whose synchronization its data asks for; 0: none */
    bool synchronized;                /**< that was heard: its data waits for the next */
    bool force_sync;                  /**< when that is lost, data acts without it */
    uint64_t sync_ns;                 /**< when it was last heard */
    uint8_t sync_sequence;            /**< the last taken */
    bool waits;                       /**< newer levels than slot are there, and wait */
    uint16_t waiting_count;           /**< of those */
    uint8_t waiting[MTM_ADDRESS_MAX]; /**< those */
    uint8_t sequence;                 /**< the last taken */
} mtm_received_source;

/**
 * One universe, as received. The live source of the highest priority wins as a whole. Among equals
 * the one with the lowest CID wins and tie is set: slots are not merged, since the highest of each
 * would be nobody's colour. Of more than eight sources the eight of highest priority (then lowest
 * CID) are kept, whatever the order in which they came.
 *
 * Data that asks for synchronization (clause 11) acts at once until a first synchronization packet
 * for its universe has come, from whichever source; from then on it waits for the next. Where none
 * comes for 2.5 s, the last look stays until one does, or data acts at once again if its source
 * says so (Force_Synchronization). Data that no longer asks acts at once.
 */
typedef struct mtm_received {
    uint16_t universe;                                  /**< 1..63999 */
    size_t source_count;                                /**< of those kept */
    mtm_received_source source[MTM_STREAM_SOURCES_MAX]; /**< the sources kept */
    int winner;      /**< index of the source whose levels count; -1: none, data is lost */
    bool tie;        /**< another live source has the winner's priority */
    uint64_t passed; /**< packets of sources beyond the eight */
} mtm_received;

/** What one source says that it sends. Borrowed from its receiver. */
typedef struct mtm_discovered {
    mtm_cid cid;                   /**< whose list it is */
    char name[MTM_E131_NAME_ROOM]; /**< as it calls itself, UTF-8 */
    uint64_t last_ns;              /**< when the list last came, by mtm_stream_now_ns */
    size_t universe_count;         /**< of the list */
    const uint16_t *universe;      /**< ascending */
} mtm_discovered;

/** Packets of no universe that was asked for. A plain value. */
typedef struct mtm_receiver_counts {
    uint64_t packets;   /**< all that came */
    uint64_t malformed; /**< could not be read */
    uint64_t unasked;   /**< data of other universes */
    uint64_t sync;      /**< of synchronization */
    uint64_t discovery; /**< lists of universes */
} mtm_receiver_counts;

/** Listens to universes. One thread at a time. */
typedef struct mtm_receiver mtm_receiver;

/** Opens a receiver. Copies its options. MTM_OK; MTM_INVALID for an option that is none; MTM_IO
 * where the network refuses; MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_receiver_create(const mtm_receiver_options *options,
                                                   mtm_receiver **out, mtm_error *error);
/** Frees a receiver; NULL is allowed. */
MTM_API void mtm_receiver_free(mtm_receiver *receiver);
/** The port it listens at: useful where the options asked for none in particular. */
MTM_API uint16_t mtm_receiver_port(const mtm_receiver *receiver);

/** Listens to a universe (1..63999) too (joins its group); its index is the count of those before.
 *  MTM_OK; MTM_INVALID; MTM_LIMIT beyond MTM_STREAM_UNIVERSES_MAX; MTM_IO; MTM_MEMORY.
 */
MTM_API MTM_CHECKED mtm_result mtm_receiver_add(mtm_receiver *receiver, uint16_t universe,
                                                mtm_error *error);

/**
 * A file descriptor that is readable while a packet waits: for programs that wait for more than one
 * thing with poll or select. It stays the same when universes are added, belongs to the receiver
 * and is closed with it; nothing but waiting is to be done with it. Where it is readable, and about
 * once a second where it is not, so that silent sources are let go, call mtm_receiver_wait with a
 * timeout of 0, which takes what is there and does not wait. -1 for NULL.
 */
MTM_API int mtm_receiver_descriptor(const mtm_receiver *receiver);

/**
 * Waits until a packet comes or timeout_ms pass, then takes all that wait (some thousands at most)
 * and lets silent sources go.
 * @param timeout_ms negative: without end; 0: takes what is there, and does not wait
 * @param taken  set to the packets read, 0 after a timeout or a signal; may be NULL
 * @return MTM_OK; MTM_IO where the system cannot wait
 */
MTM_API MTM_CHECKED mtm_result mtm_receiver_wait(mtm_receiver *receiver, int timeout_ms,
                                                 size_t *taken, mtm_error *error);

/** Takes one packet that came some other way. */
MTM_API void mtm_receiver_take(mtm_receiver *receiver, const uint8_t *octets, size_t length,
                               uint64_t now_ns);
/** Lets go of sources not heard for 2.5 s, and of lists not renewed for two intervals. */
MTM_API void mtm_receiver_settle(mtm_receiver *receiver, uint64_t now_ns);

/** Number of universes listened to. */
MTM_API size_t mtm_receiver_universe_count(const mtm_receiver *receiver);
/** Borrowed; index < count. */
MTM_API const mtm_received *mtm_receiver_universe(const mtm_receiver *receiver, size_t index);
/** Number of sources that told of their universes. */
MTM_API size_t mtm_receiver_discovered_count(const mtm_receiver *receiver);
/** Borrowed until the receiver is used again; index < count. */
MTM_API mtm_discovered mtm_receiver_discovered(const mtm_receiver *receiver, size_t index);
/** What was taken so far. */
MTM_API mtm_receiver_counts mtm_receiver_count(const mtm_receiver *receiver);

MTM_END
#endif
