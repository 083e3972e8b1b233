/* SPDX-License-Identifier: MIT */
/* E1.31: the sources of one universe, their sequence, and which of them wins. */
#ifndef METAMER_STREAM_E131_SOURCES_H
#define METAMER_STREAM_E131_SOURCES_H

#include <metamer/stream.h>

/** Takes a data packet of this universe. with_preview: take data for visualisers too. */
void mtmi_sources_take(mtm_received *universe, const mtm_e131_packet *packet, bool with_preview,
                       uint64_t now_ns);
/** Takes a synchronization packet: what waits for its universe acts. */
void mtmi_sources_sync(mtm_received *universe, const mtm_e131_packet *packet, uint64_t now_ns);
/** Lets sources go that were silent for too long, and chooses the winner anew. */
void mtmi_sources_settle(mtm_received *universe, bool with_preview, uint64_t now_ns);

#endif
