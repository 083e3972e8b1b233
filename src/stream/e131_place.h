/* SPDX-License-Identifier: MIT */
/* E1.31: where packets go and come from: addresses of IPv4 and IPv6, and groups. */
#ifndef METAMER_STREAM_E131_PLACE_H
#define METAMER_STREAM_E131_PLACE_H

#include <metamer/base.h>

#include <sys/socket.h>

/** An address and port. A plain value without padding that matters: compare with mtmi_place_same.
 */
typedef struct mtmi_place {
    bool v6;
    uint8_t address[16]; /* 4 octets, or 16 */
    uint16_t port;
    uint32_t scope; /* IPv6: index of the interface on whose network it is; 0: any */
} mtmi_place;

/** Reads "10.0.0.20", "fd00::20" or "fe80::20%eth0"; port stays 0. False for anything else. */
bool mtmi_place_parse(const char *text, mtmi_place *place);
/** False for groups, for no address at all, and for IPv4 addresses of this network only (0.*). */
bool mtmi_place_is_one(const mtmi_place *place);
bool mtmi_place_same(const mtmi_place *a, const mtmi_place *b);
/** The multicast group of a universe, at port 5568. */
mtmi_place mtmi_place_group(uint16_t universe, bool v6);
/** The IPv6 group of those who read the text of the standard, ff18::83:00:hi:lo, as an address:
 *  seen in the field; never sent to. */
mtmi_place mtmi_place_group_as_text(uint16_t universe);
/** For the system; returns the octets that are used. */
socklen_t mtmi_place_socket(const mtmi_place *place, struct sockaddr_storage *out);

#endif
