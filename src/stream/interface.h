/* SPDX-License-Identifier: MIT */
/* Network interfaces of this machine, by name or by address. */
#ifndef METAMER_STREAM_INTERFACE_H
#define METAMER_STREAM_INTERFACE_H

#include <metamer/base.h>

/** An interface. */
typedef struct mtmi_interface {
    unsigned index; /* as the system counts them; 0: the system chooses one */
    bool has_ipv4;
    uint8_t address[4]; /* where has_ipv4: the one asked for, or the first */
} mtmi_interface;

/**
 * The interface that text names ("lo", "127.0.0.1", "fd00::2").
 * @return MTM_OK; MTM_INVALID for a name that no interface has, MTM_IO for an address that none
 * has: it may come later. Both sentences list the interfaces there are.
 */
MTM_CHECKED mtm_result mtmi_interface_find(const char *text, mtmi_interface *interface,
                                           mtm_error *error);

#endif
