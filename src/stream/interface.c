/* SPDX-License-Identifier: MIT */
/* Network interfaces of this machine, by name or by IPv4 address. */
#define _DEFAULT_SOURCE /* getifaddrs */

#include "stream/interface.h"

#include "base/error.h"
#include "stream/e131_socket.h"

#include <arpa/inet.h>
#include <errno.h>
#include <ifaddrs.h>
#include <netinet/in.h>
#include <stdio.h>
#include <string.h>

/* The IPv4 address of an entry; false where it has another kind or none. */
static bool ipv4_of(const struct ifaddrs *entry, uint8_t address[4])
{
    struct sockaddr_in at;

    if (entry->ifa_addr == NULL || entry->ifa_addr->sa_family != AF_INET)
        return false;
    memcpy(&at, entry->ifa_addr, sizeof at);
    memcpy(address, &at.sin_addr.s_addr, 4);
    return true;
}

/* "lo 127.0.0.1, eth0 192.0.2.7" */
static void list_all(const struct ifaddrs *entries, char *text, size_t room)
{
    size_t used = 0;
    uint8_t a[4];

    (void)snprintf(text, room, "none");
    for (const struct ifaddrs *e = entries; e != NULL && used < room; e = e->ifa_next) {
        if (!ipv4_of(e, a))
            continue;
        int count = snprintf(text + used, room - used, "%s%s %u.%u.%u.%u", used > 0 ? ", " : "",
                             e->ifa_name, a[0], a[1], a[2], a[3]);
        used += count > 0 ? (size_t)count : 0;
    }
}

static mtm_result find_in(const struct ifaddrs *entries, const char *text, uint8_t address[4],
                          mtm_error *error)
{
    uint8_t wanted[4];
    uint8_t at[4];
    char list[200];
    bool is_address = mtmi_ipv4_parse(text, wanted);

    for (const struct ifaddrs *e = entries; e != NULL; e = e->ifa_next) {
        if (ipv4_of(e, at) &&
            (is_address ? memcmp(at, wanted, 4) == 0 : strcmp(e->ifa_name, text) == 0)) {
            memcpy(address, at, 4);
            return MTM_OK;
        }
    }
    list_all(entries, list, sizeof list);
    return mtmi_fail(error, is_address ? MTM_IO : MTM_INVALID,
                     "no interface of this machine has the %s \"%.60s\"; there are: %s",
                     is_address ? "address" : "name", text, list);
}

mtm_result mtmi_interface_find(const char *text, uint8_t address[4], mtm_error *error)
{
    struct ifaddrs *entries = NULL;

    if (getifaddrs(&entries) != 0)
        return mtmi_fail(error, MTM_IO, "the interfaces cannot be listed: %s", strerror(errno));
    mtm_result result = find_in(entries, text, address, error);
    freeifaddrs(entries);
    return result;
}
