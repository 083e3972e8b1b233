/* SPDX-License-Identifier: MIT */
/* Fader: the codes of a moving unit's 8-bit channels at a frame, chosen together. */
#include "fade/choose.h"
#include "fade/fader.h"

#include <math.h>

/* The place of a lane a frame ago. */
static double before_of(const mtmi_lanes *lanes, size_t lane)
{
    return lanes->p[lane] - lanes->d1[lane] + lanes->d2[lane] - lanes->d3[lane];
}

/* What the unit's lanes are to give, and which way they go. */
static mtmi_wish read_lanes(const mtmi_runner *runner, const mtmi_lanes *lanes,
                            const uint16_t *before)
{
    const size_t count = runner->kind->emitters.count;
    const size_t dimmer = runner->kind->has_dimmer ? runner->lane[count] : 0;
    mtmi_wish wish = {.dimmer = 1, .before = before};

    if (runner->kind->has_dimmer) {
        wish.dimmer = lanes->p[dimmer];
        wish.way[count] = lanes->d1[dimmer];
    }
    double last_dimmer = runner->kind->has_dimmer ? before_of(lanes, dimmer) : 1;
    for (size_t i = 0; i < count; i++) {
        size_t lane = runner->lane[i];

        wish.level[i] = lanes->p[lane] > 0 ? lanes->p[lane] * wish.dimmer : 0;
        wish.last[i] = fmax(0, before_of(lanes, lane)) * last_dimmer;
        wish.way[i] = lanes->d1[lane] * wish.dimmer + lanes->p[lane] * wish.way[count];
    }
    return wish;
}

static void send(mtmi_lanes *lanes, size_t lane, uint16_t code)
{
    lanes->code[lane] = code;
    if (lane < lanes->wide) {
        lanes->slots[lanes->coarse[lane]] = (uint8_t)(code >> 8);
        lanes->slots[lanes->fine[lane]] = (uint8_t)code;
    } else {
        lanes->slots[lanes->coarse[lane]] = (uint8_t)code;
    }
}

void mtmi_runner_round(const mtmi_runner *runner, mtmi_lanes *lanes)
{
    const mtmi_kind *kind = runner->kind;
    uint16_t before[MTMI_CHANNELS_MAX] = {0};
    uint16_t code[MTMI_CHANNELS_MAX] = {0};

    if (lanes->dither || runner->way.path_kind == MTM_PATH_SLOTS)
        return;
    for (size_t i = 0; i < kind->channel_count; i++)
        before[i] = lanes->code[runner->lane[i]];
    const mtmi_wish wish = read_lanes(runner, lanes, before);
    mtmi_choose_codes(kind, &wish, code);
    for (size_t i = 0; i < kind->channel_count; i++)
        if (kind->light[i] != NULL || kind->dimmer_guided)
            send(lanes, runner->lane[i], code[i]);
}
