/* SPDX-License-Identifier: MIT */
/* E1.31 sender: over a transport other than the network, for tests. */
#ifndef METAMER_STREAM_E131_SENDER_H
#define METAMER_STREAM_E131_SENDER_H

#include <metamer/stream.h>

#include "stream/e131_socket.h"

/** Like mtm_sender_create; takes the transport over, whatever comes of it. */
MTM_CHECKED mtm_result mtmi_sender_create_over(const mtm_sender_options *options,
                                               mtmi_transport transport, mtm_sender **out,
                                               mtm_error *error);

#endif
