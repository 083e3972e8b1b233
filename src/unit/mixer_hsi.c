/* SPDX-License-Identifier: MIT */
/* Hue, saturation and intensity: the hexagon of red, yellow, green, cyan, blue and magenta, mixed
 * with white by what saturation leaves (the hexcone of A. R. Smith, Color Gamut Transform Pairs,
 * SIGGRAPH 1978: intensity is the greatest of the three). */
#include "base/number.h"
#include "unit/code_cost.h"
#include "unit/mixer.h"

#include <math.h>

/* Codes of the dimmer, from the lowest that is enough on. */
#define DIMMER_TRIES 4
/* Codes of saturation on either side of its place, and the widest step of hue and intensity. */
#define ABOUT 4
#define WIDEST 16

enum { HUE, SATURATION, INTENSITY };

void mtmi_hsi_to_rgb(const double hsi[3], double rgb[3])
{
    const double turn = 6 * (hsi[0] - floor(hsi[0]));

    for (int k = 0; k < 3; k++) {
        double apart = fabs(turn - 2 * k);
        apart = apart > 3 ? 6 - apart : apart; /* from the primary, in sixths of a turn */
        double pure = fmin(fmax(2 - apart, 0), 1);
        rgb[k] = hsi[2] * (1 - hsi[1] * (1 - pure));
    }
}

void mtmi_hsi_from_rgb(const double rgb[3], double hsi[3])
{
    const double most = fmax(rgb[0], fmax(rgb[1], rgb[2]));
    const double least = fmin(rgb[0], fmin(rgb[1], rgb[2]));
    const double spread = most - least;
    double turn = 0;

    if (spread > 0 && rgb[0] >= most)
        turn = (rgb[1] - rgb[2]) / spread;
    else if (spread > 0 && rgb[1] >= most)
        turn = 2 + (rgb[2] - rgb[0]) / spread;
    else if (spread > 0)
        turn = 4 + (rgb[0] - rgb[1]) / spread;
    hsi[0] = (turn < 0 ? turn + 6 : turn) / 6;
    hsi[1] = most > 0 ? spread / most : 0;
    hsi[2] = most;
}

/* What is looked for, and the best so far. */
struct hunt {
    const struct mtmi_mixer *mixer;
    struct mtmi_cost_basis basis;
    double gain;
    mtm_codes *best;
    double cost;
};

static double cost_of(const struct hunt *hunt, const uint32_t code[3])
{
    double level[MTM_EMITTERS_MAX];

    mtmi_mixer_levels(hunt->mixer, code, hunt->gain, level);
    return mtmi_code_cost(&hunt->basis, mtmi_sums_of(mtmi_mixer_xyz(hunt->mixer, level), 0));
}

/* The code so many beyond another that is not left alone; hue goes round, since its highest code is
 * its lowest again. */
static uint32_t beyond(const struct hunt *hunt, size_t channel, uint32_t code, int64_t by)
{
    const struct mtmi_table *table = &hunt->mixer->channel[channel];
    int64_t at = (int64_t)code + by;

    if (channel == HUE && at < 0)
        at += table->most;
    if (channel == HUE && at > table->most)
        at -= table->most;
    at = at < 0 ? 0 : at > table->most ? table->most : at;
    return mtmi_table_allowed(table, (uint32_t)at);
}

/* Moves one channel by steps that become smaller as long as the light comes nearer. */
static void move(const struct hunt *hunt, size_t channel, uint32_t code[3], double *cost)
{
    for (int64_t step = WIDEST; step > 0;) {
        bool moved = false;
        for (int sign = -1; sign <= 1; sign += 2) {
            const uint32_t before = code[channel];
            code[channel] = beyond(hunt, channel, before, sign * step);
            double now = cost_of(hunt, code);
            if (mtmi_with_noise(now) < *cost) {
                *cost = now;
                moved = true;
            } else {
                code[channel] = before;
            }
        }
        if (!moved)
            step /= 2;
    }
}

/* Looks behind the dimmer: at each saturation about the place of the light, the hue and intensity
 * that suit it. */
static void try_about(struct hunt *hunt, uint32_t dimmer, const double *level)
{
    const struct mtmi_table *channel = hunt->mixer->channel;
    double rgb[3], hsi[3];
    uint32_t start[3];

    for (size_t i = 0; i < 3; i++)
        rgb[i] = mtm_curve_code(hunt->mixer->transfer, fmin(1, fmax(0, level[i]) / hunt->gain));
    mtmi_hsi_from_rgb(rgb, hsi);
    for (size_t i = 0; i < 3; i++)
        start[i] = mtmi_table_allowed(&channel[i], (uint32_t)(hsi[i] * channel[i].most + 0.5));
    for (int64_t by = -ABOUT; by <= ABOUT; by++) {
        uint32_t code[3] = {start[HUE], beyond(hunt, SATURATION, start[SATURATION], by),
                            start[INTENSITY]};
        double cost = cost_of(hunt, code), before = INFINITY;
        while (mtmi_with_noise(cost) < before) {
            before = cost;
            move(hunt, HUE, code, &cost);
            move(hunt, INTENSITY, code, &cost);
        }
        if (!(mtmi_with_noise(cost) < hunt->cost)) /* of equals the first */
            continue;
        hunt->cost = cost;
        hunt->best->dimmer = dimmer;
        for (size_t i = 0; i < 3; i++)
            hunt->best->emitter[i] = code[i];
    }
}

void mtmi_mixer_round_hsi(const struct mtmi_mixer *mixer, const struct mtmi_table *dimmer,
                          const double *level, mtm_codes *codes)
{
    const struct mtmi_sums wanted = mtmi_sums_of(mtmi_mixer_xyz(mixer, level), 0);
    struct hunt hunt = {mixer, mtmi_cost_basis_of(wanted, INFINITY), 1, codes, INFINITY};

    if (dimmer == NULL) {
        try_about(&hunt, 0, level);
        return;
    }
    double needed = fmin(1, fmax(level[0], fmax(level[1], level[2])));
    struct mtmi_bracket enough = mtmi_table_bracket(dimmer, needed, MTMI_SAME_LEVEL);
    for (unsigned i = 0; i < DIMMER_TRIES; i++) {
        uint32_t code = enough.code[1] + i;
        if (code == 0 || !mtmi_table_allows(dimmer, code))
            continue;
        hunt.gain = mtmi_table_level(dimmer, code);
        if (hunt.gain > 0)
            try_about(&hunt, code, level);
    }
}
