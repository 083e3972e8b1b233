/* SPDX-License-Identifier: MIT */
/* Linked cues: the fewest, by reaching all moments in the order of the cues it takes. */
#include "cue_text/linked.h"

#include "base/error.h"
#include "base/number.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct mtm_linked {
    size_t count, units;
    double *time_s;
    mtm_codes *codes; /* by cue and unit of the rig */
    double error;
};

#define UNREACHED SIZE_MAX

/* For each moment the one before it in a shortest chain; UNREACHED where there is none. Each round
 * joins what the round before reached to what is still to be reached, so the first chain to reach a
 * moment has the fewest cues. False where progress ended it. */
static bool reach(mtmi_links *links, mtm_fade_progress progress, void *context, size_t *before,
                  size_t *round_of)
{
    size_t reached = 1;
    bool grew = true;

    for (size_t i = 0; i < links->moments; i++) {
        before[i] = UNREACHED;
        round_of[i] = UNREACHED;
    }
    round_of[0] = 0;
    for (size_t round = 0; grew && round_of[links->moments - 1] == UNREACHED; round++) {
        grew = false;
        for (size_t to = links->moments - 1; to > 0; to--) {
            for (size_t from = 0; from < to && round_of[to] == UNREACHED; from++) {
                if (round_of[from] != round || !mtmi_links_join(links, from, to))
                    continue;
                before[to] = from;
                round_of[to] = round + 1;
                grew = true;
                reached++;
            }
            if (progress != NULL && !progress(context, (double)reached / (double)links->moments))
                return false;
        }
    }
    return true;
}

/* Tells the moment that no chain passes: where the last that was reached ends. */
static mtm_result fail_unreached(const mtm_fader *fader, const mtmi_links *links,
                                 const size_t *round_of, mtm_error *error)
{
    size_t last = 0;
    double worst = 0;
    size_t worst_transition = 0;
    size_t worst_unit = 0;

    for (size_t i = 0; i < links->moments; i++)
        last = round_of[i] != UNREACHED ? i : last;
    for (size_t unit = 0; unit < links->units; unit++) {
        for (size_t k = 2 * last + 1; k <= 2 * last + 2; k++) {
            double off = mtmi_links_error(links, unit, last, last + 1, k);
            if (mtmi_exceeds(off, worst)) {
                worst = off;
                worst_transition = unit;
            }
        }
    }
    for (size_t i = 0; i < fader->unit_count; i++) {
        if (&fader->runners[i].transition == links->transition[worst_transition])
            worst_unit = i;
    }
    return mtmi_fail(
        error, MTM_RANGE,
        "no chain of cues keeps within %g: at %.2f s the unit \"%.60s\" is off by %.2f "
        "even with a cue every %g s, since codes are whole and curves bend; a larger "
        "tolerance, a slower fade or more bits would do",
        links->tolerance, mtmi_links_time(links, last + 1),
        mtm_rig_unit(fader->rig, worst_unit)->name, worst, links->step_s);
}

/* What every unit sends at a moment of the chain; moving units are those of links, in order. */
static void take_codes(const mtm_fader *fader, const mtmi_links *links, size_t moment,
                       mtm_codes *codes)
{
    size_t at = 0;

    for (size_t i = 0; i < fader->unit_count; i++) {
        const mtmi_runner *runner = &fader->runners[i];

        codes[i] = runner->transition.to.codes;
        if (!fader->moved[i])
            continue;
        const uint32_t *code = links->code + (at++ * links->moments + moment) * MTMI_CHANNELS_MAX;
        for (size_t k = 0; k < runner->kind->channel_count; k++)
            mtmi_codes_set_channel(runner->kind, &codes[i], k, code[k]);
    }
}

static double chain_error(const mtmi_links *links, size_t from, size_t to)
{
    double worst = 0;

    for (size_t unit = 0; unit < links->units; unit++)
        for (size_t k = 2 * from + 1; k <= 2 * to; k++)
            worst = fmax(worst, mtmi_links_error(links, unit, from, to, k));
    return worst;
}

static mtm_result make_chain(const mtm_fader *fader, const mtmi_links *links, const size_t *before,
                             size_t count, mtm_linked **out, mtm_error *error)
{
    mtm_linked *made = calloc(1, sizeof *made);

    if (made == NULL)
        return mtmi_fail_memory(error);
    made->count = count;
    made->units = fader->unit_count;
    made->time_s = calloc(count + 1, sizeof *made->time_s);
    made->codes = calloc(count * made->units + 1, sizeof *made->codes);
    if (made->time_s == NULL || made->codes == NULL) {
        mtm_linked_free(made);
        return mtmi_fail_memory(error);
    }
    size_t to = links->moments - 1;
    for (size_t i = count; i-- > 0; to = before[to]) {
        made->time_s[i] = mtmi_links_time(links, to) - mtmi_links_time(links, before[to]);
        made->error = fmax(made->error, chain_error(links, before[to], to));
        take_codes(fader, links, to, made->codes + i * made->units);
    }
    *out = made;
    return MTM_OK;
}

static mtm_result find_chain(const mtm_fader *fader, mtmi_links *links, mtm_fade_progress progress,
                             void *context, mtm_linked **out, mtm_error *error)
{
    size_t *before = calloc(links->moments, sizeof *before);
    size_t *round_of = calloc(links->moments, sizeof *round_of);
    mtm_result result;

    if (before == NULL || round_of == NULL) {
        result = mtmi_fail_memory(error);
    } else if (!reach(links, progress, context, before, round_of)) {
        result = mtmi_fail(error, MTM_LIMIT, "stopped");
    } else {
        size_t count = round_of[links->moments - 1];
        result = count == UNREACHED ? fail_unreached(fader, links, round_of, error)
                                    : make_chain(fader, links, before, count, out, error);
    }
    free(before);
    free(round_of);
    return result;
}

mtm_result mtm_linked_create(mtm_fader *fader, size_t cue, double tolerance,
                             mtm_fade_progress progress, void *context, mtm_linked **out,
                             mtm_error *error)
{
    mtmi_links links = {0};
    mtm_linked *made = NULL;
    mtm_error ignored = {""};

    if (fader == NULL || out == NULL || !(tolerance > 0 && isfinite(tolerance)))
        return mtmi_fail(error, MTM_INVALID, "a fader and a tolerance above 0 are needed");
    mtm_result result = mtm_fader_set_before(fader, cue, error);
    if (result != MTM_OK)
        return result;
    result = mtm_fader_go(fader, cue, error);
    for (size_t i = 0; result == MTM_OK && i < fader->unit_count; i++) {
        if (fader->moved[i] && fader->runners[i].kind->mixed != NULL)
            result = mtmi_fail(error, MTM_RANGE,
                               "no chain of cues is made for the unit \"%.60s\", since it mixes by "
                               "itself and its slots are no light",
                               mtm_rig_unit(fader->rig, i)->name);
    }
    if (result == MTM_OK)
        result = mtmi_links_create(fader, tolerance, &links, error);
    if (result == MTM_OK)
        result = find_chain(fader, &links, progress, context, &made, error);
    mtmi_links_free(&links);
    mtm_result back = mtm_fader_set_before(fader, cue, &ignored); /* it worked a moment ago */
    if (result == MTM_OK && back == MTM_OK)
        *out = made;
    else
        mtm_linked_free(made);
    return result;
}

void mtm_linked_free(mtm_linked *linked)
{
    if (linked == NULL)
        return;
    free(linked->time_s);
    free(linked->codes);
    free(linked);
}

size_t mtm_linked_count(const mtm_linked *linked)
{
    return linked != NULL ? linked->count : 0;
}

double mtm_linked_time_s(const mtm_linked *linked, size_t index)
{
    return linked != NULL && index < linked->count ? linked->time_s[index] : NAN;
}

mtm_codes mtm_linked_codes(const mtm_linked *linked, size_t index, size_t unit)
{
    if (linked == NULL || index >= linked->count || unit >= linked->units)
        return (mtm_codes){0};
    return linked->codes[index * linked->units + unit];
}

double mtm_linked_error(const mtm_linked *linked)
{
    return linked != NULL ? linked->error : NAN;
}
