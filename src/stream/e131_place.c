/* SPDX-License-Identifier: MIT */
/* E1.31: where packets go and come from: addresses of IPv4 and IPv6, and groups. */
#include "stream/e131_place.h"

#include <metamer/e131.h>

#include <arpa/inet.h>
#include <net/if.h>
#include <netinet/in.h>
#include <string.h>

bool mtmi_place_parse(const char *text, mtmi_place *place)
{
    char address[INET6_ADDRSTRLEN];
    size_t length = strcspn(text, "%");
    mtmi_place read = {.v6 = strchr(text, ':') != NULL};

    if (!read.v6) {
        if (inet_pton(AF_INET, text, read.address) != 1)
            return false;
        *place = read;
        return true;
    }
    if (length >= sizeof address)
        return false;
    memcpy(address, text, length);
    address[length] = '\0';
    if (text[length] == '%')
        read.scope = if_nametoindex(text + length + 1);
    if (inet_pton(AF_INET6, address, read.address) != 1 || (text[length] == '%' && read.scope == 0))
        return false;
    *place = read;
    return true;
}

bool mtmi_place_is_one(const mtmi_place *place)
{
    static const uint8_t none[16] = {0};

    if (place->v6)
        return place->address[0] != 0xff && memcmp(place->address, none, sizeof none) != 0;
    return place->address[0] != 0 && place->address[0] < 224;
}

bool mtmi_place_same(const mtmi_place *a, const mtmi_place *b)
{
    return a->v6 == b->v6 && a->port == b->port && a->scope == b->scope &&
           memcmp(a->address, b->address, sizeof a->address) == 0;
}

mtmi_place mtmi_place_group(uint16_t universe, bool v6)
{
    mtmi_place place = {.v6 = v6, .port = MTM_E131_PORT};

    if (v6)
        mtm_e131_group6(universe, place.address);
    else
        mtm_e131_group(universe, place.address);
    return place;
}

mtmi_place mtmi_place_group_as_text(uint16_t universe)
{
    mtmi_place place = {.v6 = true, .address = {0xff, 0x18, [9] = 0x83}, .port = MTM_E131_PORT};

    place.address[13] = (uint8_t)(universe >> 8);
    place.address[15] = (uint8_t)(universe & 255);
    return place;
}

socklen_t mtmi_place_socket(const mtmi_place *place, struct sockaddr_storage *out)
{
    memset(out, 0, sizeof *out);
    if (place->v6) {
        struct sockaddr_in6 at = {.sin6_family = AF_INET6,
                                  .sin6_port = htons(place->port),
                                  .sin6_scope_id = place->scope};
        memcpy(&at.sin6_addr, place->address, 16);
        memcpy(out, &at, sizeof at);
        return sizeof at;
    }
    struct sockaddr_in at = {.sin_family = AF_INET, .sin_port = htons(place->port)};
    memcpy(&at.sin_addr.s_addr, place->address, 4);
    memcpy(out, &at, sizeof at);
    return sizeof at;
}
