/* SPDX-License-Identifier: MIT */
/* Mixer: light to codes. Colour goes by one or two channels and output by the dimmer alone, so that
 * each is made best by itself: the codes of the colour by searching along one channel while the
 * other stands, from each code about the place that the colour has in both. */
#include "base/number.h"
#include "unit/code_cost.h"
#include "unit/mixer.h"

#include <metamer/white.h>

#include <math.h>
#include <string.h>

/* How far from its place a code may lie: this part of the channel, and no fewer codes than that. */
#define REACH_PART 16
#define REACH_MIN 8
/* Codes about the place of one channel for each of which the other is searched. */
#define ABOUT 2
/* Rounds of searching one channel and then the other. */
#define ROUNDS 6

/* A search for the codes of a colour. */
struct hunt {
    const struct mtmi_mixer *mixer;
    mtm_uv wanted;
    uint32_t code[MTMI_MIXER_CHANNELS]; /* the best so far */
    double cost;                        /* squared steps */
};

static double cost_of(const struct hunt *hunt, const uint32_t *code)
{
    mtm_uv uv = mtmi_mixer_uv(hunt->mixer, code);
    double du = (uv.u - hunt->wanted.u) / MTM_STEP_UV, dv = (uv.v - hunt->wanted.v) / MTM_STEP_UV;

    return du * du + dv * dv;
}

/* Takes codes that cost less; of equals those with the lower code of the first channel in which
 * they differ. */
static void take(struct hunt *hunt, const uint32_t *code)
{
    double cost = cost_of(hunt, code);
    bool lower = code[0] != hunt->code[0] ? code[0] < hunt->code[0] : code[1] < hunt->code[1];

    if (!(cost <= mtmi_with_noise(hunt->cost)) || (mtmi_with_noise(cost) >= hunt->cost && !lower))
        return;
    memcpy(hunt->code, code, sizeof hunt->code);
    hunt->cost = fmin(cost, hunt->cost);
}

/* The best code of a channel about its code now, while the others stand: the cost falls towards
 * it from either side. */
static void search(struct hunt *hunt, size_t channel, const uint32_t *from)
{
    const struct mtmi_table *table = &hunt->mixer->channel[channel];
    const unsigned reach =
        table->most / REACH_PART > REACH_MIN ? table->most / REACH_PART : REACH_MIN;
    uint32_t code[MTMI_MIXER_CHANNELS];
    unsigned low = from[channel] > reach ? from[channel] - reach : 0;
    unsigned high = table->most - from[channel] > reach ? from[channel] + reach : table->most;

    memcpy(code, from, sizeof code);
    while (high - low > 4) {
        unsigned third = (high - low) / 3;
        code[channel] = low + third;
        double lower = cost_of(hunt, code);
        code[channel] = high - third;
        if (lower <= cost_of(hunt, code))
            high = code[channel];
        else
            low = low + third;
    }
    for (unsigned at = low; at <= high; at++) {
        code[channel] = mtmi_table_allowed(table, at);
        take(hunt, code);
    }
}

/* The code at which a table says a value, not whole. */
static double code_for(const mtm_mixing_point *point, size_t count, double value)
{
    const bool rises = point[count - 1].value > point[0].value;
    size_t i = 0;

    while (i + 2 < count && (rises ? point[i + 1].value < value : point[i + 1].value > value))
        i++;
    double part = (value - point[i].value) / (point[i + 1].value - point[i].value);
    part = fmin(fmax(part, 0), 1);
    return point[i].code + part * (double)(point[i + 1].code - point[i].code);
}

/* Where the colour has its place in each channel. */
static void find_start(const struct mtmi_mixer *mixer, mtm_xy xy, uint32_t *code)
{
    const mtm_mixing *m = &mixer->mixing;
    double at[MTMI_MIXER_CHANNELS] = {mixer->channel[0].most / 2.0, 0, 0};
    mtm_white white;

    if (m->type == MTM_MIXING_XY) {
        at[0] = (xy.x - m->x[0]) / (m->x[1] - m->x[0]) * mixer->channel[0].most;
        at[1] = (xy.y - m->y[0]) / (m->y[1] - m->y[0]) * mixer->channel[1].most;
    } else if (mtm_white_from_xy(xy, &white, NULL) == MTM_OK) {
        at[0] = code_for(m->temperature, m->temperature_count, white.cct_k);
        at[1] = m->tint_count > 0 ? code_for(m->tint, m->tint_count, white.duv) : 0;
    }
    for (size_t i = 0; i < mixer->channels; i++) {
        double bounded = fmin(fmax(at[i], 0), mixer->channel[i].most);
        code[i] = mtmi_table_allowed(&mixer->channel[i], (uint32_t)(bounded + 0.5));
    }
}

/* Searches the other channel for each code about that of one. */
static void search_about(struct hunt *hunt, size_t channel)
{
    const struct mtmi_table *table = &hunt->mixer->channel[channel];
    uint32_t centre[MTMI_MIXER_CHANNELS], code[MTMI_MIXER_CHANNELS];

    memcpy(centre, hunt->code, sizeof centre);
    for (int i = -ABOUT; i <= ABOUT; i++) {
        int64_t at = (int64_t)centre[channel] + i;
        if (at < 0 || at > table->most || !mtmi_table_allows(table, (unsigned)at))
            continue;
        memcpy(code, centre, sizeof code);
        code[channel] = (uint32_t)at;
        search(hunt, 1 - channel, code);
    }
}

static void find_colour(const struct mtmi_mixer *mixer, mtm_xy xy, uint32_t *code)
{
    struct hunt hunt = {.mixer = mixer, .wanted = mtm_uv_from_xy(xy)};

    find_start(mixer, xy, hunt.code);
    hunt.cost = cost_of(&hunt, hunt.code);
    for (int round = 0; round < ROUNDS; round++) {
        double before = hunt.cost;
        for (size_t i = 0; i < mixer->channels; i++) {
            uint32_t from[MTMI_MIXER_CHANNELS];
            memcpy(from, hunt.code, sizeof from);
            search(&hunt, i, from);
        }
        if (mtmi_with_noise(hunt.cost) >= before)
            break;
    }
    for (size_t i = 0; i < mixer->channels && mixer->channels > 1; i++)
        search_about(&hunt, i);
    memcpy(code, hunt.code, mixer->channels * sizeof *code);
}

/* The dimmer's code whose level is nearest, in parts of it. */
static uint32_t find_dimmer(const struct mtmi_table *dimmer, double wanted)
{
    struct mtmi_bracket about = mtmi_table_bracket(dimmer, wanted, MTMI_SAME_LEVEL);
    double low = wanted - about.level[0], high = about.level[1] - wanted;

    return mtmi_with_noise(high / wanted) < low / wanted ? about.code[1] : about.code[0];
}

void mtmi_mixer_round(const struct mtmi_mixer *mixer, const struct mtmi_table *dimmer,
                      const double *level, mtm_codes *codes)
{
    const mtm_xyz wanted = mtmi_mixer_xyz(mixer, level);

    memset(codes, 0, sizeof *codes);
    for (size_t i = 0; i < mixer->channels; i++)
        codes->emitter[i] = mtmi_table_allowed(&mixer->channel[i], 0);
    if (!(wanted.y > 0))
        return;
    if (mixer->mixing.type == MTM_MIXING_HSI) {
        mtmi_mixer_round_hsi(mixer, dimmer, level, codes);
        return;
    }
    if (mixer->mixing.type != MTM_MIXING_DIMS)
        find_colour(mixer, mtm_xy_from_xyz(wanted), codes->emitter);
    codes->dimmer = find_dimmer(dimmer, wanted.y / mixer->mixing.flux_lm);
}
