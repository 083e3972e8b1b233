/* SPDX-License-Identifier: MIT */
/* Coder: levels to the codes of a mode and back. */
#include <metamer/codes.h>

#include "base/error.h"
#include "base/number.h"
#include "solve/code_search.h"
#include "solve/coder.h"
#include "unit/emitters.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* How many codes of the dimmer above the lowest that is enough are tried. */
#define DIMMER_TRIES 8
/* How many codes of the strongest emitter below its top are tried with a dimmer that suits them. */
#define TOP_TRIES 4

/* How many curves of a shelf are compared; a rig of measured units has many, and none alike. */
#define COMPARED_MOST 32

/* The steps of a curve, from the shelf or new; NULL if out of memory. */
static const struct mtmi_steps *share_steps(struct mtmi_steps_shelf *shelf, const mtm_curve *curve)
{
    size_t compared = 0;

    for (const struct mtmi_shelved_steps *at = shelf->first; at != NULL; at = at->next) {
        if (mtm_curve_equal(at->curve, curve))
            return &at->steps;
        if (++compared == COMPARED_MOST)
            break;
    }
    struct mtmi_shelved_steps *made = malloc(sizeof *made);
    if (made == NULL)
        return NULL;
    mtmi_steps_fill(&made->steps, curve);
    made->curve = curve;
    made->next = shelf->first;
    shelf->first = made;
    return &made->steps;
}

void mtmi_steps_shelf_free(struct mtmi_steps_shelf *shelf)
{
    while (shelf->first != NULL) {
        struct mtmi_shelved_steps *next = shelf->first->next;
        free(shelf->first);
        shelf->first = next;
    }
}

static mtm_result prepare_ladder(struct mtmi_steps_shelf *shelf, struct mtmi_ladder *ladder,
                                 const mtm_curve *curve, int bits, mtm_error *error)
{
    ladder->top = bits == 16 ? 65535 : 255;
    if (bits == 16) {
        mtm_result result = mtm_curve_clone(curve, &ladder->curve, error);
        if (result != MTM_OK)
            return result;
    } else {
        ladder->steps = share_steps(shelf, curve);
        if (ladder->steps == NULL)
            return mtmi_fail_memory(error);
    }
    ladder->top_level = mtmi_ladder_level(ladder, ladder->top);
    ladder->dark_most = mtmi_ladder_level(ladder, 0) > 0 ? -1 : MTMI_SAME_LEVEL;
    ladder->full_level = ladder->steps != NULL && ladder->top_level == 1 ? 1 : INFINITY;
    ladder->full_code = ladder->steps != NULL ? ladder->steps->lowest[255] : 0;
    return MTM_OK;
}

static mtm_result prepare(mtm_coder *coder, const mtm_fixture *fixture, const mtm_mode *mode,
                          mtm_observer observer, struct mtmi_steps_shelf *shelf, mtm_error *error)
{
    struct mtmi_emitters emitters;
    mtm_result result = mtmi_emitters_from(fixture, observer, &emitters, error);

    for (size_t k = 0; result == MTM_OK && k < coder->count; k++) {
        mtm_xyz xyz = emitters.xyz[k];
        coder->light[k] = (struct mtmi_sums){4 * xyz.x, 9 * xyz.y, xyz.x + 15 * xyz.y + 3 * xyz.z,
                                             emitters.watts[k]};
        result = prepare_ladder(shelf, &coder->emitter[k], mtm_fixture_emitter(fixture, k)->curve,
                                mode->emitter_bits[k], error);
    }
    if (result != MTM_OK)
        return result;
    coder->most_watts = emitters.power_limit_w * (1 + 1e-9);
    coder->has_dimmer = mode->dimmer_bits != 0;
    if (!coder->has_dimmer)
        return MTM_OK;
    return prepare_ladder(shelf, &coder->dimmer, mtm_fixture_dimmer_curve(fixture),
                          mode->dimmer_bits, error);
}

mtm_result mtm_coder_create(const mtm_fixture *fixture, const mtm_mode *mode, mtm_observer observer,
                            mtm_coder **out, mtm_error *error)
{
    return mtmi_coder_create_from(fixture, mode, observer, NULL, out, error);
}

mtm_result mtmi_coder_create_from(const mtm_fixture *fixture, const mtm_mode *mode,
                                  mtm_observer observer, struct mtmi_steps_shelf *shelf,
                                  mtm_coder **out, mtm_error *error)
{
    if (fixture == NULL || mode == NULL || out == NULL || (unsigned)observer >= MTM_OBSERVER_COUNT)
        return mtmi_fail(error, MTM_INVALID, "a coder needs a fixture, a mode and an observer");

    mtm_coder *coder = calloc(1, sizeof *coder);
    if (coder == NULL)
        return mtmi_fail_memory(error);
    coder->count = mtm_fixture_emitter_count(fixture);
    mtm_result result =
        prepare(coder, fixture, mode, observer, shelf != NULL ? shelf : &coder->own, error);
    if (result == MTM_OK) {
        *out = coder;
        coder = NULL;
    }
    mtm_coder_free(coder);
    return result;
}

void mtm_coder_free(mtm_coder *coder)
{
    if (coder == NULL)
        return;
    for (size_t k = 0; k < coder->count; k++)
        mtm_curve_free(coder->emitter[k].curve);
    mtm_curve_free(coder->dimmer.curve);
    mtmi_steps_shelf_free(&coder->own);
    free(coder);
}

/* What is known while dimmer codes are tried. */
struct trial {
    const mtm_coder *coder;
    const double *level;
    mtm_codes *best;
    double best_cost;
};

static void try_dimmer(struct trial *trial, unsigned code)
{
    mtm_codes codes = {.dimmer = (uint16_t)code};

    if (code == 0 || code > trial->coder->dimmer.top)
        return;
    double gain = mtmi_ladder_level(&trial->coder->dimmer, code);
    if (!(gain > 0))
        return;
    double cost = mtmi_round(trial->coder, trial->level, gain, codes.emitter);
    if (mtmi_same_cost(cost) < trial->best_cost) { /* of equals the one tried first */
        trial->best_cost = cost;
        *trial->best = codes;
    }
}

/* The emitter that needs the dimmer opened widest, and how wide. */
static size_t strongest(const mtm_coder *coder, const double *level, double *needed)
{
    size_t which = 0;

    *needed = 0;
    for (size_t k = 0; k < coder->count; k++) {
        double open = level[k] / coder->emitter[k].top_level;
        if (mtmi_exceeds(open, *needed))
            which = k;
        *needed = fmax(*needed, open);
    }
    return which;
}

/* The lowest dimmer that is enough keeps the emitters' codes high, where their steps are finest;
 * some codes above it, and those at which the strongest emitter meets one of its own top codes, may
 * happen to fit better. */
static void round_with_dimmer(const mtm_coder *coder, const double *level, mtm_codes *codes)
{
    double wanted[MTM_EMITTERS_MAX] = {0}, needed = 0;
    struct trial trial = {coder, wanted, codes, INFINITY};

    for (size_t k = 0; k < coder->count; k++)
        wanted[k] = level[k] > 0 ? fmin(level[k], 1) : 0; /* so written, NaN is 0 too */
    size_t which = strongest(coder, wanted, &needed);
    const struct mtmi_ladder *emitter = &coder->emitter[which];
    if (!(needed > 0))
        return;
    struct mtmi_bracket enough = mtmi_ladder_bracket(&coder->dimmer, needed, MTMI_SAME_LEVEL);

    for (unsigned i = 0; i < DIMMER_TRIES; i++)
        try_dimmer(&trial, enough.code[1] + i);
    try_dimmer(&trial, enough.code[0]);
    for (unsigned i = 1; i <= TOP_TRIES; i++) {
        double at = mtmi_ladder_level(emitter, emitter->top - i);
        if (!(at > 0))
            break;
        struct mtmi_bracket suits =
            mtmi_ladder_bracket(&coder->dimmer, wanted[which] / at, MTMI_SAME_LEVEL);
        try_dimmer(&trial, suits.code[0]);
        try_dimmer(&trial, suits.code[1]);
    }
}

void mtm_coder_round(const mtm_coder *coder, const double *level, mtm_codes *codes)
{
    if (coder == NULL || level == NULL || codes == NULL)
        return;
    memset(codes, 0, sizeof *codes);
    if (coder->has_dimmer)
        round_with_dimmer(coder, level, codes);
    else
        (void)mtmi_round(coder, level, 1, codes->emitter);
}

bool mtmi_coder_round_at(const mtm_coder *coder, const double *level, unsigned dimmer,
                         mtm_codes *codes)
{
    double needed = 0;
    mtm_codes found = {0};
    struct trial trial = {coder, level, &found, INFINITY};

    (void)strongest(coder, level, &needed);
    if (!coder->has_dimmer || !(needed > 0) || mtmi_ladder_level(&coder->dimmer, dimmer) < needed)
        return false;
    try_dimmer(&trial, dimmer);
    if (!isfinite(trial.best_cost))
        return false;
    *codes = found;
    return true;
}

void mtm_coder_levels(const mtm_coder *coder, const mtm_codes *codes, double *level)
{
    if (coder == NULL || codes == NULL || level == NULL)
        return;
    double gain = coder->has_dimmer ? mtmi_ladder_level(&coder->dimmer, codes->dimmer) : 1;

    for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
        level[k] =
            k < coder->count ? gain * mtmi_ladder_level(&coder->emitter[k], codes->emitter[k]) : 0;
}
