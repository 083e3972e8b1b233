/* SPDX-License-Identifier: MIT */
/* Network interfaces of this machine, by name or by address. */
#define _DEFAULT_SOURCE /* getifaddrs */

#include "stream/interface.h"

#include "base/error.h"
#include "stream/e131_place.h"

#include <arpa/inet.h>
#include <errno.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>
#include <stdio.h>
#include <string.h>

/* The address of an entry; false where it has another kind or none. */
static bool place_of(const struct ifaddrs *entry, mtmi_place *place)
{
    *place = (mtmi_place){.v6 = false};
    if (entry->ifa_addr == NULL)
        return false;
    if (entry->ifa_addr->sa_family == AF_INET) {
        struct sockaddr_in at;
        memcpy(&at, entry->ifa_addr, sizeof at);
        memcpy(place->address, &at.sin_addr.s_addr, 4);
        return true;
    }
    if (entry->ifa_addr->sa_family == AF_INET6) {
        struct sockaddr_in6 at;
        memcpy(&at, entry->ifa_addr, sizeof at);
        place->v6 = true;
        memcpy(place->address, &at.sin6_addr, 16);
        return true;
    }
    return false;
}

/* "lo 127.0.0.1, lo ::1, eth0 192.0.2.7" */
static void list_all(const struct ifaddrs *entries, char *text, size_t room)
{
    char address[INET6_ADDRSTRLEN];
    size_t used = 0;
    mtmi_place at;

    (void)snprintf(text, room, "none");
    for (const struct ifaddrs *e = entries; e != NULL && used < room; e = e->ifa_next) {
        if (!place_of(e, &at) ||
            inet_ntop(at.v6 ? AF_INET6 : AF_INET, at.address, address, sizeof address) == NULL)
            continue;
        int count = snprintf(text + used, room - used, "%s%s %s", used > 0 ? ", " : "", e->ifa_name,
                             address);
        used += count > 0 ? (size_t)count : 0;
    }
}

/* Takes what an entry of the interface tells; an address that was asked for stays. */
static void take(const struct ifaddrs *entry, const mtmi_place *at, mtmi_interface *found)
{
    found->index = if_nametoindex(entry->ifa_name);
    if (at->v6 || found->has_ipv4)
        return;
    memcpy(found->address, at->address, 4);
    found->has_ipv4 = true;
}

/* The entry that text names; NULL if there is none. */
static const struct ifaddrs *named(const struct ifaddrs *entries, const char *text,
                                   const mtmi_place *wanted)
{
    mtmi_place at;

    for (const struct ifaddrs *e = entries; e != NULL; e = e->ifa_next) {
        if (place_of(e, &at) &&
            (wanted != NULL ? at.v6 == wanted->v6 && memcmp(at.address, wanted->address, 16) == 0
                            : strcmp(e->ifa_name, text) == 0))
            return e;
    }
    return NULL;
}

static mtm_result find_in(const struct ifaddrs *entries, const char *text,
                          mtmi_interface *interface, mtm_error *error)
{
    char list[300];
    mtmi_place wanted;
    mtmi_place at;
    mtmi_interface found = {0};
    bool is_address = mtmi_place_parse(text, &wanted);
    const struct ifaddrs *first = named(entries, text, is_address ? &wanted : NULL);

    if (first == NULL) {
        list_all(entries, list, sizeof list);
        return mtmi_fail(error, is_address ? MTM_IO : MTM_INVALID,
                         "no interface of this machine has the %s \"%.60s\"; there are: %s",
                         is_address ? "address" : "name", text, list);
    }
    if (place_of(first, &at))
        take(first, &at, &found);
    for (const struct ifaddrs *e = entries; e != NULL; e = e->ifa_next) {
        if (strcmp(e->ifa_name, first->ifa_name) == 0 && place_of(e, &at))
            take(e, &at, &found);
    }
    *interface = found;
    return MTM_OK;
}

mtm_result mtmi_interface_find(const char *text, mtmi_interface *interface, mtm_error *error)
{
    struct ifaddrs *entries = NULL;

    if (getifaddrs(&entries) != 0)
        return mtmi_fail(error, MTM_IO, "the interfaces cannot be listed: %s", strerror(errno));
    mtm_result result = find_in(entries, text, interface, error);
    freeifaddrs(entries);
    return result;
}
