/* SPDX-License-Identifier: MIT */
/* Mixer: what a unit that mixes by itself gives at its codes, and the codes for a light.
 *
 * Light is held as levels of what its view calls emitters (mtm_fixture_of_mode): corners of what it
 * can make, or its primaries, so that it adds like that of any other unit. Codes are chosen by the
 * same cost as those of emitters: steps of colour and of output. */
#ifndef METAMER_UNIT_MIXER_H
#define METAMER_UNIT_MIXER_H

#include "unit/table.h"

#include <metamer/codes.h>
#include <metamer/fixture.h>

/** Most channels but for the dimmer. */
#define MTMI_MIXER_CHANNELS 3

struct mtmi_mixer {
    mtm_mixing mixing; /* its curve is not looked at */
    size_t channels;
    struct mtmi_table channel[MTMI_MIXER_CHANNELS]; /* plain */
    mtm_curve *transfer;                            /* HSI: light of each primary; owned */
    size_t corners;
    mtm_xyz corner[MTM_EMITTERS_MAX]; /* of the view's emitters */
    mtm_xy corner_xy[MTM_EMITTERS_MAX];
};

/** Makes the mixer of a view's mode that mixes by itself. */
MTM_CHECKED mtm_result mtmi_mixer_create(const mtm_fixture *view, const mtm_mode *mode,
                                         struct mtmi_mixer **out, mtm_error *error);
void mtmi_mixer_free(struct mtmi_mixer *mixer);

/** The levels that codes give, dimmed by gain: MTM_EMITTERS_MAX places. */
void mtmi_mixer_levels(const struct mtmi_mixer *mixer, const uint32_t *code, double gain,
                       double *level);

/** Chooses the codes for levels; dimmer: its table, NULL where there is none. For no light all
 *  are 0, or the lowest that is not left alone. */
void mtmi_mixer_round(const struct mtmi_mixer *mixer, const struct mtmi_table *dimmer,
                      const double *level, mtm_codes *codes);

/** The chromaticity of two channels, or of one: not of HSI. */
mtm_uv mtmi_mixer_uv(const struct mtmi_mixer *mixer, const uint32_t *code);
/** The nearest chromaticity, in u', v', of those that it can make by tables of whites, whose sides
 *  are curved; of what lies between straight sides the same one. */
mtm_xy mtmi_mixer_nearest(const struct mtmi_mixer *mixer, mtm_xy xy);
/** The white of this temperature that it can make and that is nearest to xy; false where there is
 *  none, or no table of whites. */
bool mtmi_mixer_at_temperature(const struct mtmi_mixer *mixer, mtm_xy xy, double cct_k,
                               mtm_xy *found);
/** Of a unit whose colour goes with its output: the colour at a share of its light, and the share
 *  up to most whose colour is nearest; of equals the largest. Its levels need no codes but the
 * gain. */
mtm_uv mtmi_mixer_dims_uv(const struct mtmi_mixer *mixer, double share);
double mtmi_mixer_dims_nearest(const struct mtmi_mixer *mixer, mtm_xy xy, double most);

/** The light of levels. */
mtm_xyz mtmi_mixer_xyz(const struct mtmi_mixer *mixer, const double *level);

/** Values of the primaries, 0..1, for hue, saturation and intensity, each 0..1; and back. */
void mtmi_hsi_to_rgb(const double hsi[3], double rgb[3]);
void mtmi_hsi_from_rgb(const double rgb[3], double hsi[3]);
/** mtmi_mixer_round of HSI. */
void mtmi_mixer_round_hsi(const struct mtmi_mixer *mixer, const struct mtmi_table *dimmer,
                          const double *level, mtm_codes *codes);

#endif
