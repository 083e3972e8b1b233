/* SPDX-License-Identifier: MIT */
/* Watch: what is received, decoded through the rig, and the writers of it. */
#ifndef METAMER_CLI_WATCH_WATCH_H
#define METAMER_CLI_WATCH_WATCH_H

#include "cli/out/screen.h"

#include <metamer/match.h>
#include <metamer/rig.h>
#include <metamer/stream.h>

/** Packets a second of one universe. */
struct watch_rate {
    uint64_t since_ns;
    uint64_t packets;
    double per_s; /**< NAN until a second has passed */
};

/** One unit of the rig. */
struct watch_unit {
    const mtm_unit *unit;
    size_t universe; /**< index in the receiver; SIZE_MAX: not watched */
    bool heard;      /**< the rest is of what is received now */
    mtm_match light; /**< what its codes give */
    double most;     /**< the highest level */
};

/** All of it. */
struct watch {
    mtm_receiver *receiver;
    mtm_rig *rig;         /**< NULL: none was given */
    mtm_matcher *matcher; /**< what decodes its units */
    struct watch_unit *unit;
    size_t unit_count;
    struct watch_rate *rate; /**< by universe of the receiver */
    uint64_t start_ns;
    double seconds; /**< since then */
};

/** Makes units of the rig ready. The receiver has its universes already. */
MTM_CHECKED mtm_result watch_prepare(struct watch *watch, mtm_error *error);
/** Decodes what has been received. */
void watch_update(struct watch *watch, uint64_t now_ns);
void watch_close(struct watch *watch);

/** The source that counts; NULL where a universe is silent. */
const mtm_received_source *watch_winner(const mtm_received *universe);
/** Sums over a universe's sources. */
struct watch_sum {
    uint64_t packets, lost, out_of_order, duplicates;
};
struct watch_sum watch_sum(const mtm_received *universe);

/** Writes one picture of the watch. */
struct watch_writer {
    const char *name;
    mtm_result (*write)(const struct watch *watch, struct screen *screen, bool first,
                        mtm_error *error);
};
mtm_result watch_write_table(const struct watch *watch, struct screen *screen, bool first,
                             mtm_error *error);

/** table, json (a line each time), csv; ends with a NULL name. */
extern const struct watch_writer watch_writers[];

#endif
