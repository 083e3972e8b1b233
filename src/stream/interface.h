/* SPDX-License-Identifier: MIT */
/* Network interfaces of this machine, by name or by IPv4 address. */
#ifndef METAMER_STREAM_INTERFACE_H
#define METAMER_STREAM_INTERFACE_H

#include <metamer/base.h>

/**
 * The IPv4 address of the interface that text names ("lo", "127.0.0.1").
 * @return MTM_OK; MTM_INVALID for a name that no interface has, MTM_IO for an address that none
 * has: it may come later. Both sentences list the interfaces there are.
 */
MTM_CHECKED mtm_result mtmi_interface_find(const char *text, uint8_t address[4], mtm_error *error);

#endif
