/* SPDX-License-Identifier: MIT */
/* E1.31: what each source says that it sends (universe discovery). */
#ifndef METAMER_STREAM_E131_LISTS_H
#define METAMER_STREAM_E131_LISTS_H

#include <metamer/stream.h>

typedef struct mtmi_list mtmi_list;

/** The lists of all sources. Zeroed is empty. */
typedef struct mtmi_lists {
    mtmi_list *list[MTM_STREAM_LISTS_MAX];
    size_t count;
} mtmi_lists;

/** Takes a discovery packet. A list counts when its last page has come. */
void mtmi_lists_take(mtmi_lists *lists, const mtm_e131_packet *packet, uint64_t now_ns);
/** Lets lists go that were not renewed for two intervals. */
void mtmi_lists_settle(mtmi_lists *lists, uint64_t now_ns);
mtm_discovered mtmi_lists_at(const mtmi_lists *lists, size_t index);
void mtmi_lists_free(mtmi_lists *lists);

#endif
