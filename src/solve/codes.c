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

unsigned mtmi_coder_least_code(const struct mtm_coder *coder, size_t emitter, double gain)
{
    return mtmi_table_least(&coder->channels.emitter[emitter], coder->lowest_level / gain);
}

/* Least and most are levels of codes with the dimmer at full, so that there the codes of levels
 * between them are between theirs. */
static void prepare_lowest(mtm_coder *coder, const mtm_fixture *fixture)
{
    const struct mtmi_channels *channels = &coder->channels;
    const double full = channels->has_dimmer ? channels->dimmer.top_level : 1;
    struct mtmi_lowest *lowest = &coder->lowest;

    coder->lowest_level = mtm_fixture_limits(fixture)->lowest_level;
    if (!(coder->lowest_level > 0) || channels->mixer != NULL)
        return;
    lowest->count = channels->count;
    lowest->most_watts = coder->most_watts;
    for (size_t k = 0; k < channels->count; k++) {
        unsigned code = mtmi_coder_least_code(coder, k, full);
        lowest->light[k] = coder->light[k];
        lowest->least[k] = code > 0 ? full * mtmi_table_level(&channels->emitter[k], code) : 1;
        lowest->most[k] = code > 0 ? full * channels->emitter[k].top_level : 0;
    }
}

bool mtmi_coder_hold(const struct mtm_coder *coder, enum mtmi_lowest_goal goal, double *level,
                     double *cost)
{
    if (coder->lowest.count == 0 || !mtmi_lowest_breaks(&coder->lowest, level))
        return false;
    double found = mtmi_lowest_hold(&coder->lowest, goal, level);
    if (cost != NULL)
        *cost = found;
    return true;
}

static mtm_result prepare(mtm_coder *coder, const mtm_fixture *fixture, const mtm_mode *mode,
                          mtm_observer observer, struct mtmi_level_cache *cache, mtm_error *error)
{
    struct mtmi_emitters emitters;
    mtm_result result = mtmi_emitters_from(fixture, observer, &emitters, error);

    if (result != MTM_OK)
        return result;
    for (size_t k = 0; k < emitters.count; k++)
        coder->light[k] = mtmi_sums_of(emitters.xyz[k], emitters.watts[k]);
    coder->limited = mtm_fixture_limits(fixture)->headroom > 0;
    memcpy(coder->most, emitters.most, sizeof coder->most);
    coder->most_watts = mtmi_with_noise(emitters.power_limit_w);
    result = mtmi_channels_create_within(&coder->channels, fixture, mode, cache, error);
    if (result == MTM_OK)
        result = mtmi_channels_create(&coder->sent, fixture, mode, cache, error);
    if (result == MTM_OK)
        prepare_lowest(coder, fixture);
    return result;
}

mtm_result mtm_coder_create(const mtm_fixture *fixture, const mtm_mode *mode, mtm_observer observer,
                            mtm_coder **out, mtm_error *error)
{
    return mtmi_coder_create_from(fixture, mode, observer, NULL, out, error);
}

mtm_result mtmi_coder_create_from(const mtm_fixture *fixture, const mtm_mode *mode,
                                  mtm_observer observer, struct mtmi_level_cache *cache,
                                  mtm_coder **out, mtm_error *error)
{
    if (fixture == NULL || mode == NULL || out == NULL || (unsigned)observer >= MTM_OBSERVER_COUNT)
        return mtmi_fail(error, MTM_INVALID, "a coder needs a fixture, a mode and an observer");

    mtm_coder *coder = calloc(1, sizeof *coder);
    if (coder == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = prepare(coder, fixture, mode, observer, cache, error);
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
    mtmi_channels_free(&coder->channels);
    mtmi_channels_free(&coder->sent);
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
    mtm_codes codes = {.dimmer = code};

    if (code == 0 || !mtmi_table_allows(&trial->coder->channels.dimmer, code))
        return;
    double gain = mtmi_table_level(&trial->coder->channels.dimmer, code);
    if (!(gain > 0))
        return;
    double cost = mtmi_round(trial->coder, trial->level, gain, codes.emitter);
    if (mtmi_with_noise(cost) < trial->best_cost) { /* of equals the one tried first */
        trial->best_cost = cost;
        *trial->best = codes;
    }
}

/* The emitter that needs the dimmer opened widest, and how wide. */
static size_t strongest(const mtm_coder *coder, const double *level, double *needed)
{
    size_t which = 0;

    *needed = 0;
    for (size_t k = 0; k < coder->channels.count; k++) {
        double top = coder->channels.emitter[k].top_level;
        double open = top > 0 ? level[k] / top : 0;
        if (mtmi_exceeds(open, *needed))
            which = k;
        *needed = fmax(*needed, open);
    }
    return which;
}

/* What no unit can give, and what is no number, is no part of what is wanted, nor is what its
 * lowest level forbids. */
static void clamp_levels(const mtm_coder *coder, const double *level, double *wanted)
{
    for (size_t k = 0; k < coder->channels.count; k++)
        wanted[k] = level[k] > 0 ? fmin(level[k], 1) : 0; /* so written, NaN is 0 too */
    (void)mtmi_coder_hold(coder, MTMI_LOWEST_NEAREST, wanted, NULL);
}

/* The lowest code at which the dimmer is open as wide as it goes. */
static unsigned open_code(const struct mtmi_table *dimmer)
{
    return mtmi_table_bracket(dimmer, dimmer->top_level, MTMI_SAME_LEVEL).code[0];
}

static void round_by_emitters(const mtm_coder *coder, const double *level, mtm_codes *codes)
{
    const struct mtmi_table *dimmer = &coder->channels.dimmer;
    const bool dimmed = coder->channels.has_dimmer;
    const double full = dimmed ? dimmer->top_level : 1;
    double wanted[MTM_EMITTERS_MAX] = {0}, needed = 0;

    clamp_levels(coder, level, wanted);
    (void)strongest(coder, wanted, &needed);
    if (!(needed > 0) || !(full > 0))
        return;
    codes->dimmer = dimmed ? open_code(dimmer) : 0;
    (void)mtmi_round(coder, wanted, full, codes->emitter);
}

/* The lowest dimmer that is enough keeps the emitters' codes high, where their steps are finest;
 * some codes above it, and those at which the strongest emitter meets one of its own top codes, may
 * happen to fit better. */
static void round_with_dimmer(const mtm_coder *coder, const double *level, mtm_codes *codes)
{
    double wanted[MTM_EMITTERS_MAX] = {0}, needed = 0;
    struct trial trial = {coder, wanted, codes, INFINITY};

    clamp_levels(coder, level, wanted);
    size_t which = strongest(coder, wanted, &needed);
    const struct mtmi_table *emitter = &coder->channels.emitter[which];
    if (!(needed > 0))
        return;
    struct mtmi_bracket enough =
        mtmi_table_bracket(&coder->channels.dimmer, needed, MTMI_SAME_LEVEL);

    for (unsigned i = 0; i < DIMMER_TRIES; i++)
        try_dimmer(&trial, enough.code[1] + i);
    try_dimmer(&trial, enough.code[0]);
    for (unsigned i = 1; i <= TOP_TRIES && i <= emitter->top; i++) {
        double at = mtmi_table_level(emitter, emitter->top - i);
        if (!(at > 0))
            break;
        struct mtmi_bracket suits =
            mtmi_table_bracket(&coder->channels.dimmer, wanted[which] / at, MTMI_SAME_LEVEL);
        try_dimmer(&trial, suits.code[0]);
        try_dimmer(&trial, suits.code[1]);
    }
    if (isinf(trial.best_cost)) /* the levels themselves exceed the power limit */
        round_by_emitters(coder, level, codes);
}

/* The light of levels, all emitters together. */
static struct mtmi_sums light_of(const mtm_coder *coder, const double *level)
{
    struct mtmi_sums sum = {0, 0, 0, 0};

    for (size_t k = 0; k < coder->channels.count; k++)
        sum = mtmi_sums_plus(sum, level[k], coder->light[k]);
    return sum;
}

/* The dimmer code whose level is nearest. */
static unsigned nearest_dimmer(const struct mtmi_table *dimmer, double level)
{
    struct mtmi_bracket about = mtmi_table_bracket(dimmer, level, MTMI_SAME_LEVEL);
    bool upper = mtmi_exceeds(level - about.level[0], about.level[1] - level);

    return mtmi_table_allowed(dimmer, about.code[upper ? 1 : 0]);
}

/* Opens a dimmer to where no lit emitter is below the lowest level; at full none is. */
static void open_for_lowest(const mtm_coder *coder, mtm_codes *codes)
{
    const struct mtmi_table *dimmer = &coder->channels.dimmer;
    double weakest = INFINITY;

    for (size_t k = 0; k < coder->lowest.count; k++) {
        double own = mtmi_table_level(&coder->channels.emitter[k], codes->emitter[k]);
        weakest = own > 0 ? fmin(weakest, own) : weakest;
    }
    while (codes->dimmer > 0 && codes->dimmer < dimmer->top && isfinite(weakest) &&
           !(weakest * mtmi_table_level(dimmer, codes->dimmer) >=
             coder->lowest_level * (1 - MTMI_SAME_LEVEL)))
        codes->dimmer = mtmi_table_allowed(dimmer, codes->dimmer + 1);
}

/* The emitters hold the colour at the most light, as they would with the dimmer at full. */
static void round_by_dimmer(const mtm_coder *coder, const double *level, mtm_codes *codes)
{
    const struct mtmi_table *dimmer = &coder->channels.dimmer;
    const double full = dimmer->top_level;
    double wanted[MTM_EMITTERS_MAX] = {0}, most[MTM_EMITTERS_MAX] = {0};
    double held[MTM_EMITTERS_MAX] = {0}, needed = 0;

    clamp_levels(coder, level, wanted);
    (void)strongest(coder, wanted, &needed);
    if (!(needed > 0) || !(full > 0))
        return;
    const struct mtmi_sums asked = light_of(coder, wanted);
    needed = fmax(needed, asked.watts / coder->most_watts);
    for (size_t k = 0; k < coder->channels.count; k++)
        most[k] = full * wanted[k] / needed;
    codes->dimmer = open_code(dimmer);
    (void)mtmi_round(coder, most, full, codes->emitter);
    mtmi_channels_levels(&coder->channels, codes, held);
    const double v_held = light_of(coder, held).v;
    codes->dimmer = v_held > 0 ? nearest_dimmer(dimmer, full * asked.v / v_held) : 0;
    open_for_lowest(coder, codes);
}

static const mtm_dimming_info dimmings[] = {
    {MTM_DIMMING_FINEST, "finest",
     "dimmer and emitters together: the nearest light, and the smallest steps of a fade"},
    {MTM_DIMMING_DIMMER, "dimmer",
     "the dimmer, while the emitters hold the colour at its most light"},
    {MTM_DIMMING_EMITTERS, "emitters", "the emitters, while the dimmer stays at full"},
};

size_t mtm_dimming_count(void)
{
    return sizeof dimmings / sizeof dimmings[0];
}

const mtm_dimming_info *mtm_dimming_at(size_t index)
{
    return index < mtm_dimming_count() ? &dimmings[index] : NULL;
}

static bool is_within(const mtm_coder *coder, const mtm_codes *codes)
{
    double level[MTM_EMITTERS_MAX], watts = 0;

    mtmi_channels_levels(&coder->channels, codes, level);
    for (size_t k = 0; k < coder->channels.count; k++) {
        watts += level[k] * coder->light[k].watts;
        if (level[k] > coder->most[k] + MTMI_SAME_LEVEL)
            return false;
    }
    return watts <= coder->most_watts;
}

/* Under limits the nearest codes may be a little too bright: then those of a little less light. */
#define MIXER_TRIES 50
#define MIXER_STEP 0.002

static void round_mixer(const mtm_coder *coder, const double *level, mtm_codes *codes)
{
    const struct mtmi_table *dimmer = coder->channels.has_dimmer ? &coder->channels.dimmer : NULL;
    double less[MTM_EMITTERS_MAX];

    mtmi_mixer_round(coder->channels.mixer, dimmer, level, codes);
    for (int i = 1; coder->limited && i <= MIXER_TRIES && !is_within(coder, codes); i++) {
        for (size_t k = 0; k < coder->channels.count; k++)
            less[k] = level[k] * (1 - MIXER_STEP * i);
        mtmi_mixer_round(coder->channels.mixer, dimmer, less, codes);
    }
}

bool mtm_coder_chooses_dimming(const mtm_coder *coder)
{
    return coder != NULL && coder->channels.has_dimmer && coder->channels.mixer == NULL;
}

void mtm_coder_round(const mtm_coder *coder, const double *level, mtm_codes *codes)
{
    mtm_coder_round_by(coder, MTM_DIMMING_FINEST, level, codes);
}

void mtm_coder_round_by(const mtm_coder *coder, mtm_dimming dimming, const double *level,
                        mtm_codes *codes)
{
    if (coder == NULL || level == NULL || codes == NULL)
        return;
    memset(codes, 0, sizeof *codes);
    if (dimming == MTM_DIMMING_DIMMER && mtm_coder_chooses_dimming(coder))
        round_by_dimmer(coder, level, codes);
    else if ((dimming == MTM_DIMMING_EMITTERS && mtm_coder_chooses_dimming(coder)) ||
             (coder->lowest.count > 0 && !coder->channels.has_dimmer))
        round_by_emitters(coder, level, codes);
    else if (coder->channels.mixer != NULL)
        round_mixer(coder, level, codes);
    else if (coder->channels.has_dimmer)
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

    if (coder->channels.mixer != NULL)
        return false;
    (void)strongest(coder, level, &needed);
    if (!coder->channels.has_dimmer || !(needed > 0) ||
        mtmi_table_level(&coder->channels.dimmer, dimmer) < needed)
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
    mtmi_channels_levels(&coder->sent, codes, level);
}
