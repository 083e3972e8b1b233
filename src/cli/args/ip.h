/* SPDX-License-Identifier: MIT */
/* Ip: the choice of IPv4, IPv6 or both. */
#ifndef METAMER_CLI_ARGS_IP_H
#define METAMER_CLI_ARGS_IP_H

#include <metamer/stream.h>

/** A value of --ip. */
struct ip_choice {
    const char *name;
    mtm_ip ip;
};

/** 4, 6, both; ends with a NULL name. */
extern const struct ip_choice ip_choices[];

#endif
