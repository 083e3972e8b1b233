/* SPDX-License-Identifier: MIT */
/* Linked cues: sampling the transitions of a fade, and measuring a straight fade against them. */
#include "cue_text/linked.h"

#include "base/error.h"
#include "base/number.h"
#include "fade/choose.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Cue text counts tenths of a second. */
#define STEP_S 0.1

double mtmi_links_time(const mtmi_links *links, size_t moment)
{
    return moment + 1 < links->moments ? (double)moment * links->step_s : links->length_s;
}

double mtmi_links_sample_time(const mtmi_links *links, size_t sample)
{
    double a = mtmi_links_time(links, sample / 2);

    return sample % 2 == 0 ? a : 0.5 * (a + mtmi_links_time(links, sample / 2 + 1));
}

double mtmi_links_frame(const mtmi_links *links, size_t unit, size_t sample)
{
    return fmin(mtmi_links_sample_time(links, sample) * links->rate_hz,
                (double)links->transition[unit]->frames);
}

/* The codes at a frame: on a path of colours chosen together, as the fader does. */
static void round_place(const mtmi_transition *transition, double frame, uint32_t *code)
{
    const mtmi_kind *kind = transition->kind;
    double exact[MTMI_CHANNELS_MAX];
    mtmi_transition_point point;
    mtmi_wish wish = {.before = NULL};

    if (mtmi_transition_together(transition)) {
        mtmi_transition_at(transition, frame, &point);
        memcpy(wish.level, point.level, sizeof wish.level);
        wish.dimmer = point.dimmer;
        wish.guided = transition->dimmer == MTMI_DIMMER_GUIDED;
        mtmi_choose_codes(kind, &wish, code);
        return;
    }
    mtmi_transition_codes(transition, frame, exact);
    for (size_t i = 0; i < kind->channel_count; i++)
        code[i] = mtmi_code_near(kind, i, exact[i]);
}

static void sample_unit(mtmi_links *links, size_t unit)
{
    const mtmi_transition *transition = links->transition[unit];
    const mtmi_kind *kind = transition->kind;

    for (size_t k = 0; k < links->samples; k++) {
        mtmi_transition_point point;

        mtmi_transition_at(transition, mtmi_links_frame(links, unit, k), &point);
        links->lab[unit * links->samples + k] =
            mtmi_kind_lab(kind, mtmi_mix_xyz(&kind->emitters, point.level));
    }
    for (size_t k = 0; k < links->moments; k++) {
        uint32_t *code = links->code + (unit * links->moments + k) * MTMI_CHANNELS_MAX;
        double frame = mtmi_links_time(links, k) * links->rate_hz;

        round_place(transition, fmin(frame, (double)transition->frames), code);
        for (size_t i = 0; i < kind->channel_count; i++) {
            if (k == 0)
                code[i] = mtmi_codes_channel(kind, &transition->from.codes, i);
            if (frame >= (double)transition->frames)
                code[i] = mtmi_codes_channel(kind, &transition->to.codes, i);
        }
    }
}

static mtm_result find_length(const mtm_fader *fader, mtmi_links *links, mtm_error *error)
{
    uint64_t frames = 0;

    for (size_t i = 0; i < fader->unit_count; i++) {
        if (!fader->moved[i])
            continue;
        links->units++;
        if (fader->runners[i].transition.frames > frames)
            frames = fader->runners[i].transition.frames;
    }
    links->length_s = (double)frames / links->rate_hz;
    links->step_s =
        STEP_S * fmax(1, ceil(links->length_s / STEP_S / (MTM_LINKED_TIMES_MAX - 1) - MTMI_NOISE));
    links->moments = (size_t)ceil(links->length_s / links->step_s - MTMI_NOISE) + 1;
    links->samples = 2 * links->moments - 1;
    if (links->units * links->moments > MTM_LINKED_WORK_MAX)
        return mtmi_fail(error, MTM_LIMIT,
                         "%zu units at %zu times are more than linked cues are computed for; split "
                         "the cue",
                         links->units, links->moments);
    return MTM_OK;
}

mtm_result mtmi_links_create(const mtm_fader *fader, double tolerance, mtmi_links *links,
                             mtm_error *error)
{
    size_t at = 0;

    *links = (mtmi_links){.tolerance = tolerance, .rate_hz = fader->layout.rate_hz};
    mtm_result result = find_length(fader, links, error);
    if (result != MTM_OK)
        return result;
    links->transition = mtmi_pool_take(&links->pool, links->units, sizeof(mtmi_transition *));
    links->code = mtmi_pool_take(&links->pool, links->units * links->moments,
                                 MTMI_CHANNELS_MAX * sizeof *links->code);
    links->lab = mtmi_pool_take(&links->pool, links->units * links->samples, sizeof *links->lab);
    if (links->pool.failed)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < fader->unit_count; i++) {
        if (fader->moved[i])
            links->transition[at++] = &fader->runners[i].transition;
    }
    for (size_t i = 0; i < links->units && links->transition[i] != NULL; i++)
        sample_unit(links, i);
    return MTM_OK;
}

void mtmi_links_free(mtmi_links *links)
{
    mtmi_pool_free(&links->pool);
    *links = (mtmi_links){0};
}

mtm_xyz mtmi_links_straight(const mtmi_links *links, size_t unit, size_t a, size_t b, size_t sample)
{
    const mtmi_kind *kind = links->transition[unit]->kind;
    const uint32_t *from = links->code + (unit * links->moments + a) * MTMI_CHANNELS_MAX;
    const uint32_t *to = links->code + (unit * links->moments + b) * MTMI_CHANNELS_MAX;
    double begin_s = mtmi_links_time(links, a);
    double part =
        (mtmi_links_sample_time(links, sample) - begin_s) / (mtmi_links_time(links, b) - begin_s);
    double level[MTMI_CHANNELS_MAX] = {0};

    for (size_t i = 0; i < kind->channel_count; i++)
        level[i] = mtmi_level_of(kind, i, from[i] + part * ((double)to[i] - from[i]));
    for (size_t i = 0; i < kind->emitters.count && kind->has_dimmer; i++)
        level[i] *= level[kind->emitters.count];
    return mtmi_mix_xyz(&kind->emitters, level);
}

double mtmi_links_error(const mtmi_links *links, size_t unit, size_t a, size_t b, size_t sample)
{
    const mtmi_kind *kind = links->transition[unit]->kind;

    return mtm_lab_ciede2000(mtmi_kind_lab(kind, mtmi_links_straight(links, unit, a, b, sample)),
                             links->lab[unit * links->samples + sample]);
}

/* One unit between two moments. The middle first: there most fades that fail do. */
static bool unit_joins(const mtmi_links *links, size_t unit, size_t a, size_t b)
{
    if (mtmi_links_error(links, unit, a, b, a + b) > links->tolerance ||
        mtmi_links_error(links, unit, a, b, 2 * b) > links->tolerance)
        return false;
    for (size_t k = 2 * a + 1; k < 2 * b; k++) {
        if (mtmi_links_error(links, unit, a, b, k) > links->tolerance)
            return false;
    }
    return true;
}

bool mtmi_links_join(mtmi_links *links, size_t a, size_t b)
{
    if (links->moments == 2) /* a jump cannot be divided, and its transition is not seen */
        return true;
    for (size_t i = 0; i < links->units; i++) {
        size_t unit = (links->suspect + i) % links->units;

        if (!unit_joins(links, unit, a, b)) {
            links->suspect = unit;
            return false;
        }
    }
    return true;
}
