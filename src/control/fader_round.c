/* SPDX-License-Identifier: MIT */
/* Fader: the codes of a unit's 8-bit channels, chosen together by the colour that they make. Each
 * rounded alone, the emitters of a unit step one after the other, and its colour with them. No
 * channel goes back against its own direction, so nothing blinks. Units with a dimmer are left
 * alone: their emitters hardly move. */
#include "base/number.h"
#include "control/fader.h"

#include <math.h>

/* Most channels that are tried both ways; those beyond go to the nearest code. */
#define FREE_MOST 8
/* One step of colour and of light, as in rounding a match: u', v' and a part of the output. */
#define STEP_UV 0.0011
#define STEP_OUTPUT 0.02

/* What a unit may send: the code below and above of each channel. */
struct choice {
    const mtmi_kind *kind;
    double level[2][MTMI_CHANNELS_MAX]; /* of the lower and the upper code */
    uint16_t code[2][MTMI_CHANNELS_MAX];
    size_t free_count;
    size_t free[FREE_MOST]; /* channels for which they differ */
    mtm_uv wanted;
    double output;
};

/* The codes about a channel's place, without those that lie behind it. */
static void bound(const mtmi_runner *runner, const mtmi_lanes *lanes, size_t channel,
                  struct choice *choice)
{
    size_t lane = runner->lane[channel];
    uint32_t at = mtmi_ladder_code(lanes->ladder[lane], lanes->p[lane]);
    uint16_t low = (uint16_t)(at >> 16);
    uint16_t high = (at & 0xffff) != 0 ? (uint16_t)(low + 1) : low;
    uint16_t before = lanes->code[lane];

    if (lanes->d1[lane] >= 0 && before > low)
        low = before < high ? before : high;
    if (lanes->d1[lane] <= 0 && before < high)
        high = before > low ? before : low;
    if (low != high && choice->free_count < FREE_MOST)
        choice->free[choice->free_count++] = channel;
    else if (low != high)
        low = high = (uint16_t)((at + MTMI_HALF_CODE) >> 16);
    choice->code[0][channel] = low;
    choice->code[1][channel] = high;
    for (int k = 0; k < 2; k++)
        choice->level[k][channel] = runner->kind->light[channel][choice->code[k][channel]];
}

static void begin(const mtmi_runner *runner, const mtmi_lanes *lanes, struct choice *choice)
{
    double level[MTMI_CHANNELS_MAX] = {0};

    choice->kind = runner->kind;
    choice->free_count = 0;
    for (size_t i = 0; i < runner->kind->channel_count; i++) {
        level[i] = lanes->p[runner->lane[i]];
        if (runner->kind->light[i] != NULL) {
            bound(runner, lanes, i, choice);
        } else { /* 16 bits: as good as exact */
            choice->level[0][i] = level[i];
            choice->level[1][i] = level[i];
        }
    }
    mtm_xyz xyz = mtmi_mix_xyz(&runner->kind->emitters, level);
    choice->wanted = mtm_uv_from_xyz(xyz);
    choice->output = xyz.y;
}

/* How far a choice is from what is wanted, in squared steps. */
static double cost_of(const struct choice *choice, unsigned upper)
{
    double level[MTMI_CHANNELS_MAX] = {0};

    for (size_t i = 0; i < choice->kind->channel_count; i++)
        level[i] = choice->level[0][i];
    for (size_t i = 0; i < choice->free_count; i++)
        level[choice->free[i]] = choice->level[upper >> i & 1][choice->free[i]];
    mtm_xyz xyz = mtmi_mix_xyz(&choice->kind->emitters, level);
    double output = (xyz.y - choice->output) / (choice->output * STEP_OUTPUT);
    if (!(xyz.y > 0)) /* darkness has no colour to be wrong */
        return output * output;
    mtm_uv uv = mtm_uv_from_xyz(xyz);
    double u = (uv.u - choice->wanted.u) / STEP_UV;
    double v = (uv.v - choice->wanted.v) / STEP_UV;
    return u * u + v * v + output * output;
}

void mtmi_runner_round(const mtmi_runner *runner, mtmi_lanes *lanes)
{
    struct choice choice = {.kind = runner->kind};
    unsigned best = 0;
    double least = INFINITY;

    if (lanes->dither || runner->way.path_kind == MTM_PATH_SLOTS)
        return;
    begin(runner, lanes, &choice);
    for (unsigned upper = 0; upper < 1u << choice.free_count && choice.output > 0; upper++) {
        double cost = cost_of(&choice, upper);

        if (mtmi_exceeds(least, cost)) {
            least = cost;
            best = upper;
        }
    }
    for (size_t i = 0; i < choice.free_count; i++)
        if ((best >> i & 1) != 0)
            choice.code[0][choice.free[i]] = choice.code[1][choice.free[i]];
    for (size_t i = 0; i < runner->kind->channel_count; i++) {
        size_t lane = runner->lane[i];

        if (runner->kind->light[i] == NULL)
            continue;
        lanes->code[lane] = choice.code[0][i];
        lanes->slots[lanes->coarse[lane]] = (uint8_t)choice.code[0][i];
    }
}
