/* SPDX-License-Identifier: MIT */
/* Ports: which unit hangs on which port of which supply. */
#ifndef METAMER_PLAN_LAYOUT_PORT_H
#define METAMER_PLAN_LAYOUT_PORT_H

#include <metamer/layout.h>

/** A unit to be fed. */
typedef struct mtmi_feed {
    const char *name; /**< for errors */
    double watts;     /**< at most; finite, > 0 */
    int supply;       /**< -1: open */
    int port;         /**< 0: open; where set, supply is set too */
} mtmi_feed;

/**
 * Gives every open unit a port, no port or supply over its rating: on as few supplies as can be
 * found, and there so that the largest part of a rating in use is small.
 * MTM_RANGE with a sentence that names units where that cannot be; feeds change on MTM_OK only.
 */
MTM_CHECKED mtm_result mtmi_port_feeds(mtmi_feed *feeds, size_t count, const mtm_supply *supplies,
                                       size_t supply_count, mtm_port_report *report,
                                       mtm_error *error);

#endif
