/* SPDX-License-Identifier: MIT */
/* Ip: the choice of IPv4, IPv6 or both. */
#include "cli/args/ip.h"

const struct ip_choice ip_choices[] = {
    {"4", MTM_IP_4}, {"6", MTM_IP_6}, {"both", MTM_IP_BOTH}, {.name = 0}};
