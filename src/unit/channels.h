/* SPDX-License-Identifier: MIT */
/* Channels: the emitters and the dimmer of a fixture in one of its modes, each with its look-up
 * table; what codes give in levels. */
#ifndef METAMER_UNIT_CHANNELS_H
#define METAMER_UNIT_CHANNELS_H

#include "unit/mixer.h"
#include "unit/table.h"

#include <metamer/codes.h>
#include <metamer/fixture.h>

struct mtmi_channels {
    size_t count; /* of emitters */
    struct mtmi_table emitter[MTM_EMITTERS_MAX];
    bool has_dimmer;
    struct mtmi_table dimmer;
    struct mtmi_mixer *mixer;    /* where the unit mixes by itself; then emitters have no tables */
    struct mtmi_level_cache own; /* where none was given */
};

/** Makes channels, which keep no pointer to the fixture; mode is one of its. Levels come from the
 *  cache, which outlives them; NULL: from one of their own, so that they must not move. Zeroed
 * before; freed also after a failure. */
MTM_CHECKED mtm_result mtmi_channels_create(struct mtmi_channels *channels,
                                            const mtm_fixture *fixture, const mtm_mode *mode,
                                            struct mtmi_level_cache *cache, mtm_error *error);
/** The same of what may be sent: within the limits of the fixture. */
MTM_CHECKED mtm_result mtmi_channels_create_within(struct mtmi_channels *channels,
                                                   const mtm_fixture *fixture, const mtm_mode *mode,
                                                   struct mtmi_level_cache *cache,
                                                   mtm_error *error);
void mtmi_channels_free(struct mtmi_channels *channels);

/** The levels that codes give, curves and dimmer applied: MTM_EMITTERS_MAX places, 0 beyond the
 * last emitter. */
void mtmi_channels_levels(const struct mtmi_channels *channels, const mtm_codes *codes,
                          double *level);

#endif
