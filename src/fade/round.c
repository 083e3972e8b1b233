/* SPDX-License-Identifier: MIT */
/* Fader: the codes of a moving unit's 8-bit channels at a frame, chosen together. */
#include "fade/ahead.h"
#include "fade/choose.h"
#include "fade/fader.h"

#include <math.h>
#include <string.h>

/* The position of a lane a frame ago. */
static double before_of(const mtmi_lanes *lanes, size_t lane)
{
    return lanes->p[lane] - lanes->d1[lane] + lanes->d2[lane] - lanes->d3[lane];
}

/* What the unit's lanes are to give, and which way they go. */
static mtmi_wish read_lanes(const mtmi_runner *runner, const mtmi_lanes *lanes,
                            const uint32_t *before)
{
    const size_t count = runner->kind->emitters.count;
    const size_t dimmer = runner->kind->has_dimmer ? runner->lane[count] : 0;
    mtmi_wish wish = {.dimmer = 1, .before = before};

    if (runner->kind->has_dimmer) {
        wish.dimmer = lanes->p[dimmer];
        wish.direction[count] = lanes->d1[dimmer];
    }
    wish.guided = runner->transition.dimmer == MTMI_DIMMER_GUIDED;
    wish.last_dimmer = runner->kind->has_dimmer ? before_of(lanes, dimmer) : 1;
    for (size_t i = 0; i < count; i++) {
        size_t lane = runner->lane[i];

        wish.level[i] = lanes->p[lane] > 0 ? lanes->p[lane] * wish.dimmer : 0;
        wish.last[i] = fmax(0, before_of(lanes, lane)) * wish.last_dimmer;
        wish.direction[i] = lanes->d1[lane] * wish.dimmer + lanes->p[lane] * wish.direction[count];
    }
    return wish;
}

/* What the unit is to give from this frame on, behind a full dimmer: along its lanes as far as they
 * know the transition. */
static void read_ahead(const mtmi_runner *runner, const mtmi_lanes *lanes, mtmi_stretch_wish *wish)
{
    const uint64_t end = runner->transition.delay + runner->transition.frames;
    const uint64_t left = end - runner->frame + 1;
    const uint64_t known = runner->planned - runner->frame + 1;

    wish->count = left < MTMI_AHEAD ? (size_t)left : MTMI_AHEAD;
    wish->end = left == wish->count ? runner->transition.to.codes.emitter : NULL;
    for (size_t i = 0; i < runner->kind->emitters.count; i++) {
        const size_t lane = runner->lane[i];
        double p = lanes->p[lane];
        double d1 = lanes->d1[lane];
        double d2 = lanes->d2[lane];

        wish->level[0][i] = fmax(0, before_of(lanes, lane));
        for (size_t f = 1; f <= wish->count && f <= known; f++) {
            wish->level[f][i] = fmax(0, p);
            p += d1;
            d1 += d2;
            d2 += lanes->d3[lane];
        }
    }
    for (size_t f = (size_t)known + 1; f <= wish->count; f++) {
        mtmi_transition_point point;

        mtmi_transition_at(&runner->transition,
                           (double)(runner->frame + f - 1 - runner->transition.delay), &point);
        for (size_t i = 0; i < runner->kind->emitters.count; i++)
            wish->level[f][i] = point.level[i] / runner->kind->dimmer_full;
    }
}

/* Sends a unit whose dimmer does not move the codes of this frame, chosen some frames at a time. */
static void round_ahead(mtmi_runner *runner, mtmi_lanes *lanes, const uint32_t *before)
{
    const mtmi_kind *kind = runner->kind;

    if (runner->chosen == 0) {
        mtmi_stretch_wish wish = {.before = before};
        uint32_t code[MTMI_AHEAD][MTM_EMITTERS_MAX];

        read_ahead(runner, lanes, &wish);
        mtmi_choose_ahead(kind, &wish, code);
        runner->chosen = wish.count < MTMI_CHOSEN ? wish.count : MTMI_CHOSEN;
        for (size_t f = 0; f < runner->chosen; f++)
            for (size_t i = 0; i < kind->emitters.count; i++)
                if (kind->light[i] != NULL)
                    runner->ahead[MTMI_CHOSEN - runner->chosen + f][i] = (uint8_t)code[f][i];
    }
    for (size_t i = 0; i < kind->emitters.count; i++)
        if (kind->light[i] != NULL)
            mtmi_lane_send(lanes, runner->lane[i], runner->ahead[MTMI_CHOSEN - runner->chosen][i]);
    runner->chosen--;
}

void mtmi_runner_round(mtmi_runner *runner, mtmi_lanes *lanes)
{
    const mtmi_kind *kind = runner->kind;
    const mtmi_dimmer_role dimmer = runner->transition.dimmer;
    uint32_t before[MTMI_CHANNELS_MAX] = {0};
    uint32_t code[MTMI_CHANNELS_MAX] = {0};

    if (lanes->dither || !mtmi_transition_together(&runner->transition))
        return;
    for (size_t i = 0; i < kind->channel_count; i++)
        before[i] = lanes->code[runner->lane[i]];
    if (dimmer == MTMI_DIMMER_NONE || dimmer == MTMI_DIMMER_RESTS) {
        round_ahead(runner, lanes, before);
        return;
    }
    const mtmi_wish wish = read_lanes(runner, lanes, before);
    mtmi_choose_codes(kind, &wish, code);
    for (size_t i = 0; i < kind->channel_count; i++)
        if (kind->light[i] != NULL || dimmer == MTMI_DIMMER_GUIDED)
            mtmi_lane_send(lanes, runner->lane[i], code[i]);
}
