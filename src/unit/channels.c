/* SPDX-License-Identifier: MIT */
/* Channels: made from a fixture and a mode; codes to levels. */
#include "unit/channels.h"

typedef mtm_result make_table(struct mtmi_level_cache *cache, const mtm_fixture *fixture,
                              const mtm_mode *mode, size_t channel, struct mtmi_table *table,
                              mtm_error *error);

static mtm_result create(make_table *make, struct mtmi_channels *channels,
                         const mtm_fixture *fixture, const mtm_mode *mode,
                         struct mtmi_level_cache *cache, mtm_error *error)
{
    mtm_result result = MTM_OK;

    if (cache == NULL)
        cache = &channels->own;
    channels->count = mtm_fixture_emitter_count(fixture);
    if (mode->mixing != NULL)
        result = mtmi_mixer_create(fixture, mode, &channels->mixer, error);
    for (size_t k = 0; result == MTM_OK && mode->mixing == NULL && k < channels->count; k++)
        result = make(cache, fixture, mode, k, &channels->emitter[k], error);
    channels->has_dimmer = mode->dimmer_bits != 0;
    if (result == MTM_OK && channels->has_dimmer)
        result = make(cache, fixture, mode, MTMI_DIMMER_CHANNEL, &channels->dimmer, error);
    return result;
}

mtm_result mtmi_channels_create(struct mtmi_channels *channels, const mtm_fixture *fixture,
                                const mtm_mode *mode, struct mtmi_level_cache *cache,
                                mtm_error *error)
{
    return create(mtmi_table_create_for, channels, fixture, mode, cache, error);
}

mtm_result mtmi_channels_create_within(struct mtmi_channels *channels, const mtm_fixture *fixture,
                                       const mtm_mode *mode, struct mtmi_level_cache *cache,
                                       mtm_error *error)
{
    return create(mtmi_table_create_within, channels, fixture, mode, cache, error);
}

void mtmi_channels_free(struct mtmi_channels *channels)
{
    for (size_t k = 0; k < channels->count; k++)
        mtmi_table_free(&channels->emitter[k]);
    mtmi_table_free(&channels->dimmer);
    mtmi_mixer_free(channels->mixer);
    mtmi_level_cache_free(&channels->own);
}

void mtmi_channels_levels(const struct mtmi_channels *channels, const mtm_codes *codes,
                          double *level)
{
    double gain = channels->has_dimmer ? mtmi_table_level(&channels->dimmer, codes->dimmer) : 1;

    if (channels->mixer != NULL) {
        mtmi_mixer_levels(channels->mixer, codes->emitter, gain, level);
        return;
    }
    for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
        level[k] = k < channels->count
                       ? gain * mtmi_table_level(&channels->emitter[k], codes->emitter[k])
                       : 0;
}
