/* SPDX-License-Identifier: MIT */
/* E1.31: the packets of streaming ACN, in and out of octets, and the refresh limit of E1.11. */
#ifndef METAMER_E131_H
#define METAMER_E131_H

#include <metamer/base.h>
#include <metamer/rig.h>

MTM_BEGIN

/* ANSI E1.31-2018, Appendix A and table 4-1. Packets follow that edition; conformance has not been
 * tested by anybody else and is not claimed. */
#define MTM_E131_PORT 5568                /**< of UDP */
#define MTM_E131_DISCOVERY_UNIVERSE 64214 /**< to whose group lists of universes go */
#define MTM_E131_DISCOVERY_MAX 512        /**< universes in one discovery packet */
#define MTM_E131_PRIORITY_DEFAULT 100     /**< of a source that has no reason for another */
#define MTM_E131_PRIORITY_MAX 200         /**< highest priority */
#define MTM_E131_NAME_ROOM 64             /**< octets of a source name, its NUL among them */
#define MTM_E131_PACKET_MAX 1144 /**< octets of the largest packet: discovery of 512 universes */
#define MTM_E131_LOSS_TIMEOUT_MS 2500        /**< a source silent for so long is lost */
#define MTM_E131_DISCOVERY_INTERVAL_MS 10000 /**< from one list of universes to the next */

/** A sender's identity: an RFC 4122 UUID in network order. One sender, one CID. A plain value. */
typedef struct mtm_cid {
    uint8_t octet[16]; /**< in the order in which they are sent */
} mtm_cid;

/** Room for a CID as text, "6f1d3c52-b2a4-497e-9d0b-5a7c11223344", with its NUL. */
#define MTM_CID_ROOM 37

/** Makes a random CID (UUID version 4); MTM_IO if the system gives no random octets. */
MTM_API MTM_CHECKED mtm_result mtm_cid_random(mtm_cid *cid, mtm_error *error);
/** Reads a CID from its 36 characters, either letter case; MTM_PARSE where it is none. */
MTM_API MTM_CHECKED mtm_result mtm_cid_parse(const char *text, mtm_cid *cid, mtm_error *error);
/** Writes a CID as text, in lower case. */
MTM_API void mtm_cid_print(mtm_cid cid, char text[MTM_CID_ROOM]);

/** What a packet is for. */
typedef enum mtm_e131_type {
    MTM_E131_DATA = 0, /**< slots of one universe (table 4-1) */
    MTM_E131_SYNC,     /**< "act now" for data that waits (table 4-2) */
    MTM_E131_DISCOVERY /**< which universes a source sends (table 4-3) */
} mtm_e131_type;

/** One packet, whatever its type; members of other types are 0. A plain value. */
typedef struct mtm_e131_packet {
    mtm_e131_type type;                   /**< what it is for */
    mtm_cid cid;                          /**< whose it is */
    char source_name[MTM_E131_NAME_ROOM]; /**< data, discovery: UTF-8, NUL-terminated */
    uint8_t sequence;                     /**< data, sync */
    uint16_t sync_universe;               /**< data: 0 acts at once; sync: 1..63999 */

    /* data */
    uint8_t priority;              /**< 0..200 */
    bool preview;                  /**< for visualisers only: must not drive light */
    bool terminated;               /**< the source has stopped; the slots mean nothing */
    bool force_sync;               /**< after the loss of synchronization, act without it */
    uint16_t universe;             /**< 1..63999 */
    uint8_t start_code;            /**< 0: levels */
    uint16_t slot_count;           /**< 0..512 */
    uint8_t slot[MTM_ADDRESS_MAX]; /**< slot_count of them, from address 1 on */

    /* discovery */
    uint8_t page;                            /**< of the list of universes, from 0 */
    uint8_t last_page;                       /**< number of its last page */
    uint16_t listed_count;                   /**< 0..512 */
    uint16_t listed[MTM_E131_DISCOVERY_MAX]; /**< ascending universe numbers */
} mtm_e131_packet;

/**
 * Writes a packet. Strict: every reserved octet 0, every field in its range, the name UTF-8.
 *
 * @param octets  room for at least MTM_E131_PACKET_MAX octets; changed only on MTM_OK
 * @param length  set to the octets used
 * @return MTM_OK, or MTM_INVALID with the field that is out of its range
 * Source: ANSI E1.31-2018, clauses 4 to 8, tables 4-1 to 4-3.
 */
MTM_API MTM_CHECKED mtm_result mtm_e131_encode(const mtm_e131_packet *packet, uint8_t *octets,
                                               size_t *length, mtm_error *error);

/**
 * Reads a packet. Lenient where a receiver may be: reserved bits and octets after the packet are
 * ignored, an unterminated source name is cut. Everything else is checked against its range, so
 * that each packet that is read can be written again.
 *
 * @param octets  length octets as they came from the network; nothing beyond is touched
 * @return MTM_OK; MTM_PARSE with what was found and what is allowed; MTM_UNSUPPORTED for a packet
 *         of the protocol family whose vector is not one of the three types
 */
MTM_API MTM_CHECKED mtm_result mtm_e131_decode(const uint8_t *octets, size_t length,
                                               mtm_e131_packet *packet, mtm_error *error);

/** Copies a source name, cut before the character that does not fit; false if it is not UTF-8 or
 *  is empty (then name is untouched). */
MTM_API bool mtm_e131_set_name(char name[MTM_E131_NAME_ROOM], const char *text);

/** The multicast group of a universe, 239.255.high.low (clause 9.3.1), in network order. */
MTM_API void mtm_e131_group(uint16_t universe, uint8_t address[4]);

/** The IPv6 multicast group of a universe, ff18::8300:HHLL, in network order (table 9-12, octet by
 *  octet; the text beside it, ff18::83:00:hi:lo, some read as another address). */
MTM_API void mtm_e131_group6(uint16_t universe, uint8_t address[16]);

/**
 * Whether a packet with this sequence number is to be taken after one numbered last: not if it
 * repeats it or lies 1..19 behind (clause 6.7.2). More than that behind is a source that began
 * anew.
 */
MTM_API bool mtm_e131_in_order(uint8_t last, uint8_t sequence);

MTM_END
#endif
