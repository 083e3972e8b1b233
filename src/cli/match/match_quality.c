/* SPDX-License-Identifier: MIT */
/* Match quality: the second look at a matched rig, and the pairs that only seem to agree. */
#include "cli/match/match_quality.h"

#include "base/error.h"
#include "base/number.h"

#include <metamer/white.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SAME_UV 0.001

mtm_result match_judge(const struct match_report *report, mtm_judgement *judgement,
                       mtm_error *error)
{
    for (size_t i = 0; i < report->count; i++) {
        const mtm_match *match = &report->match[i];
        mtm_result result = mtm_judge(mtm_rig_unit(report->rig, match->unit)->fixture, match->level,
                                      &judgement[i], error);
        if (result != MTM_OK)
            return result;
    }
    return MTM_OK;
}

#define JUMP_K 5000.0 /* CIE 13.3-1995, 5.2: Planckian below, daylight from here */
#define JUMP_NEAR_K                                                                                \
    50 /* what a meter cannot tell apart, about: 1 % (common practice, no source)                  \
        */

void put_ra_reference(double least_cct_k, double most_cct_k, FILE *out)
{
    bool below = least_cct_k < JUMP_K;
    bool from = most_cct_k >= JUMP_K;

    if (least_cct_k <= JUMP_K + JUMP_NEAR_K && most_cct_k >= JUMP_K - JUMP_NEAR_K)
        (void)fprintf(out,
                      "Ra jumps at 5000 K, where its reference changes from a Planckian "
                      "radiator to daylight (CIE 13.3);\nwhites within 50 K of it may stand on "
                      "either side.\n");
    else if (below)
        (void)fprintf(out, "Ra is beside a Planckian radiator (CIE 13.3, below 5000 K).\n");
    else if (from)
        (void)fprintf(out, "Ra is beside daylight (CIE 13.3, from 5000 K).\n");
}

static void put_reference(const struct match_report *report, FILE *out)
{
    double least_k = (double)INFINITY;
    double most_k = 0;

    for (size_t i = 0; i < report->count; i++) {
        const mtm_judgement *judgement = &report->judgement[i];
        mtm_white white;
        if (!judgement->has_quality ||
            mtm_white_from_xy(mtm_xy_from_xyz(judgement->xyz[0]), &white, NULL) != MTM_OK)
            continue;
        least_k = fmin(least_k, white.cct_k);
        most_k = fmax(most_k, white.cct_k);
    }
    if (most_k > 0)
        put_ra_reference(least_k, most_k, out);
}

static bool lit_by_ideal_line(const struct match_report *report, size_t index)
{
    const mtm_fixture *fixture = match_unit_of(report, &report->match[index])->fixture;

    for (size_t i = 0; i < mtm_fixture_emitter_count(fixture); i++) {
        if (report->match[index].level[i] > 0 && mtm_fixture_emitter(fixture, i)->ideal_line)
            return true;
    }
    return false;
}

static const char *kind_name(const struct match_report *report, size_t index)
{
    return mtm_fixture_name(match_unit_of(report, &report->match[index])->fixture);
}

/* True for the first match of a kind that has such lines. */
static bool is_new_kind(const struct match_report *report, size_t index)
{
    for (size_t i = 0; i < index; i++) {
        if (strcmp(kind_name(report, i), kind_name(report, index)) == 0 &&
            lit_by_ideal_line(report, i))
            return false;
    }
    return lit_by_ideal_line(report, index);
}

static void put_ideal_lines(const struct match_report *report, FILE *out)
{
    size_t count = 0;

    for (size_t i = 0; i < report->count; i++) {
        if (!is_new_kind(report, i))
            continue;
        (void)fprintf(out, "%s%s", count > 0 ? ", " : "Ideal lines, drawn from peak and width: ",
                      kind_name(report, i));
        count++;
    }
    if (count > 0)
        (void)fprintf(out, ".\nWhat needs their spectra (%s) is as good as these lines.\n",
                      report->judgement != NULL ? "rendering, SSI, the other observer"
                                                : "the 10° observer");
}

void match_put_basis(const struct match_report *report, FILE *out)
{
    if (report->judgement != NULL)
        put_reference(report, out);
    if (report->judgement != NULL || report->target->observer == MTM_OBSERVER_10)
        put_ideal_lines(report, out);
}

/* Units of one kind of fixture that differ by the steps of their codes at most: one speaks for all.
 */
static bool same_kind(const struct match_report *report, size_t a, size_t b)
{
    return match_unit_of(report, &report->match[a])->fixture ==
               match_unit_of(report, &report->match[b])->fixture &&
           mtm_uv_distance(mtm_uv_from_xyz(report->match[a].xyz),
                           mtm_uv_from_xyz(report->match[b].xyz)) < SAME_UV;
}

/* Matches worth comparing: lit, with a spectrum, and unlike all before them. */
static size_t list_kinds(const struct match_report *report, size_t *kind)
{
    size_t count = 0;

    for (size_t i = 0; i < report->count; i++) {
        const mtm_judgement *judgement = &report->judgement[i];
        if (!judgement->has_spectrum || judgement->xyz[0].y <= 0)
            continue;
        size_t k = 0;
        while (k < count && !same_kind(report, kind[k], i))
            k++;
        if (k == count)
            kind[count++] = i;
    }
    return count;
}

/* How much a pair surprises: the larger of its excesses, each over its own limit. */
static double surprise(const struct match_report *report, const mtm_metamerism *m)
{
    mtm_observer other =
        report->target->observer == MTM_OBSERVER_10 ? MTM_OBSERVER_2 : MTM_OBSERVER_10;
    double by_eye = m->delta_uv[other] / report->apart_uv;
    double by_camera = (100 - m->ssi) / (100 - report->least_ssi);

    if (m->delta_uv[report->target->observer] > report->agree_uv)
        return 0; /* nobody takes them for alike */
    return by_eye > by_camera ? by_eye : by_camera;
}

/* Keeps pair among the most surprising, in falling order. */
static void keep(const struct match_report *report, struct metameric_pair *list, size_t most,
                 size_t *count, const struct metameric_pair *pair)
{
    size_t at = *count;
    double value = surprise(report, &pair->metamerism);

    while (at > 0 && mtmi_exceeds(value, surprise(report, &list[at - 1].metamerism)))
        at--;
    if (at == most)
        return;
    size_t moved = (*count < most ? *count : most - 1) - at;
    memmove(&list[at + 1], &list[at], moved * sizeof *list);
    list[at] = *pair;
    *count += *count < most;
}

mtm_result match_find_pairs(const struct match_report *report, struct metameric_pair *pair,
                            size_t most, size_t *count, mtm_error *error)
{
    size_t *kind = calloc(report->count + 1, sizeof *kind);
    mtm_result result = MTM_OK;

    if (kind == NULL)
        return mtmi_fail_memory(error);
    size_t kinds = list_kinds(report, kind);
    *count = 0;
    for (size_t i = 0; i < kinds; i++) {
        for (size_t j = i + 1; result == MTM_OK && j < kinds; j++) {
            struct metameric_pair found = {.first = kind[i], .second = kind[j]};
            result = mtm_judge_pair(&report->judgement[kind[i]], &report->judgement[kind[j]],
                                    &found.metamerism, error);
            if (result == MTM_OK && surprise(report, &found.metamerism) > 1)
                keep(report, pair, most, count, &found);
        }
    }
    free(kind);
    return result;
}
