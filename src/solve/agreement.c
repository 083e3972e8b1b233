/* SPDX-License-Identifier: MIT */
/* Agreement: how near matched units are to each other, and which pairs only seem to agree. */
#include <metamer/agreement.h>

#include <metamer/tolerance.h>

#include "base/error.h"
#include "base/number.h"
#include "colour/check.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define SAME_UV 0.001

/* Equal colours are looked at once. */
mtm_result mtm_match_spread(const mtm_match *match, size_t count, double *spread_uv,
                            mtm_error *error)
{
    if ((match == NULL && count > 0) || spread_uv == NULL)
        return mtmi_fail(error, MTM_INVALID, "matches and a place for their spread are needed");
    mtm_uv *seen = calloc(count + 1, sizeof *seen);
    if (seen == NULL)
        return mtmi_fail_memory(error);
    size_t colours = 0;
    double most = 0;
    for (size_t i = 0; i < count; i++) {
        if (!(match[i].xyz.y > 0))
            continue;
        mtm_uv uv = mtm_uv_from_xyz(match[i].xyz);
        size_t k = 0;
        while (k < colours && (seen[k].u != uv.u || seen[k].v != uv.v)) {
            most = fmax(most, mtm_uv_distance(seen[k], uv));
            k++;
        }
        if (k == colours)
            seen[colours++] = uv;
    }
    free(seen);
    *spread_uv = most;
    return MTM_OK;
}

const mtm_match *mtm_match_farthest(const mtm_match *match, size_t count)
{
    const mtm_match *farthest = match;

    for (size_t i = 0; match != NULL && i < count; i++) {
        if (mtmi_exceeds(match[i].delta_uv, farthest->delta_uv))
            farthest = &match[i];
    }
    return count > 0 ? farthest : NULL;
}

/* A match, while those of one fixture at the same levels are brought together. */
struct lit {
    const mtm_fixture *fixture;
    const double *level;
    size_t index;
};

static int by_light(const void *a, const void *b)
{
    const struct lit *x = a;
    const struct lit *y = b;

    if (x->fixture != y->fixture)
        return (uintptr_t)x->fixture < (uintptr_t)y->fixture ? -1 : 1;
    for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
        if (x->level[k] < y->level[k] || x->level[k] > y->level[k])
            return x->level[k] < y->level[k] ? -1 : 1;
    return (x->index > y->index) - (x->index < y->index);
}

/* No number is equal to none, so that each of them is refused. */
static bool same_light(const struct lit *a, const struct lit *b)
{
    for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
        if (a->level[k] != b->level[k])
            return false;
    return a->fixture == b->fixture;
}

/* For each match the first of the same fixture at the same levels. */
static void find_first(struct lit *lit, size_t count, size_t *first)
{
    qsort(lit, count, sizeof *lit, by_light);
    for (size_t i = 0; i < count; i++) {
        bool same = i > 0 && same_light(&lit[i - 1], &lit[i]);
        first[lit[i].index] = same ? first[lit[i - 1].index] : lit[i].index;
    }
}

static mtm_result judge_all(const mtm_rig *rig, const mtm_match *match, size_t count,
                            struct lit *lit, size_t *first, mtm_judgement *judgement,
                            mtm_error *error)
{
    mtm_result result = MTM_OK;

    for (size_t i = 0; i < count; i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, match[i].unit);
        if (unit == NULL)
            return mtmi_fail(error, MTM_INVALID, "match %zu is of no unit of the rig", i);
        lit[i] = (struct lit){unit->fixture, match[i].level, i};
    }
    find_first(lit, count, first);
    for (size_t i = 0; result == MTM_OK && i < count; i++) {
        if (first[i] < i)
            judgement[i] = judgement[first[i]];
        else
            result = mtm_judge(mtm_rig_unit(rig, match[i].unit)->fixture, match[i].level,
                               &judgement[i], error);
    }
    return result;
}

mtm_result mtm_judge_matches(const mtm_rig *rig, const mtm_match *match, size_t count,
                             mtm_judgement *judgement, mtm_error *error)
{
    if (rig == NULL || (count > 0 && (match == NULL || judgement == NULL)))
        return mtmi_fail(error, MTM_INVALID, "a rig, its matches and judgements are needed");
    struct lit *lit = calloc(count + 1, sizeof *lit);
    size_t *first = calloc(count + 1, sizeof *first);
    mtm_result result = lit == NULL || first == NULL
                            ? mtmi_fail_memory(error)
                            : judge_all(rig, match, count, lit, first, judgement, error);
    free(lit);
    free(first);
    return result;
}

mtm_pair_limits mtm_pair_limits_usual(void)
{
    return (mtm_pair_limits){
        .agree_uv = 3 * MTM_STEP_UV, .apart_uv = 3 * MTM_STEP_UV, .least_ssi = 60};
}

/* What pairs are looked for in. */
struct search {
    const mtm_rig *rig;
    const mtm_match *match;
    const mtm_judgement *judgement;
    size_t count;
    mtm_observer observer;
    mtm_pair_limits limits;
};

/* Units of one fixture that differ by the steps of their codes at most: one speaks for all. */
static bool same_kind(const struct search *search, size_t a, size_t b)
{
    const mtm_match *one = &search->match[a];
    const mtm_match *other = &search->match[b];

    return mtm_rig_unit(search->rig, one->unit)->fixture ==
               mtm_rig_unit(search->rig, other->unit)->fixture &&
           mtm_uv_distance(mtm_uv_from_xyz(one->xyz), mtm_uv_from_xyz(other->xyz)) < SAME_UV;
}

/* Matches worth comparing: lit, with a spectrum, and unlike all before them. */
static size_t list_kinds(const struct search *search, size_t *kind)
{
    size_t count = 0;

    for (size_t i = 0; i < search->count; i++) {
        const mtm_judgement *judgement = &search->judgement[i];
        if (!judgement->has_spectrum || !(judgement->xyz[0].y > 0))
            continue;
        size_t k = 0;
        while (k < count && !same_kind(search, kind[k], i))
            k++;
        if (k == count)
            kind[count++] = i;
    }
    return count;
}

/* How much a pair surprises: the larger of its excesses, each over its own limit. */
static double surprise(const struct search *search, const mtm_metamerism *m)
{
    mtm_observer other = search->observer == MTM_OBSERVER_10 ? MTM_OBSERVER_2 : MTM_OBSERVER_10;
    double by_eye = m->delta_uv[other] / search->limits.apart_uv;
    double by_camera = (100 - m->ssi) / (100 - search->limits.least_ssi);

    if (m->delta_uv[search->observer] > search->limits.agree_uv)
        return 0; /* nobody takes them for alike */
    return by_eye > by_camera ? by_eye : by_camera;
}

/* Keeps pair among the most surprising, in falling order. */
static void insert_pair(const struct search *search, mtm_metameric_pair *list, size_t most,
                        size_t *count, const mtm_metameric_pair *pair)
{
    size_t at = *count;
    double value = surprise(search, &pair->metamerism);

    while (at > 0 && mtmi_exceeds(value, surprise(search, &list[at - 1].metamerism)))
        at--;
    if (at == most)
        return;
    size_t moved = (*count < most ? *count : most - 1) - at;
    memmove(&list[at + 1], &list[at], moved * sizeof *list);
    list[at] = *pair;
    *count += *count < most;
}

static mtm_result check(const struct search *search, mtm_error *error)
{
    const mtm_pair_limits *limits = &search->limits;

    for (size_t i = 0; i < search->count; i++) {
        if (search->match[i].unit >= mtm_rig_unit_count(search->rig))
            return mtmi_fail(error, MTM_INVALID, "match %zu is of a unit that the rig has not", i);
    }
    if (!(limits->agree_uv > 0) || !(limits->apart_uv > 0) || !isfinite(limits->agree_uv) ||
        !isfinite(limits->apart_uv))
        return mtmi_fail(error, MTM_INVALID,
                         "pairs that agree within %g and are apart beyond %g in u', v': both must "
                         "be above 0",
                         limits->agree_uv, limits->apart_uv);
    if (!(limits->least_ssi < 100) || !isfinite(limits->least_ssi))
        return mtmi_fail(error, MTM_INVALID, "a least SSI of %g: allowed is less than 100",
                         limits->least_ssi);
    return mtmi_check_observer(search->observer, error);
}

mtm_result mtm_match_pairs(const mtm_rig *rig, const mtm_match *match,
                           const mtm_judgement *judgement, size_t count, mtm_observer observer,
                           const mtm_pair_limits *limits, mtm_metameric_pair *pair, size_t most,
                           size_t *found, mtm_error *error)
{
    const struct search search = {
        rig, match, judgement, count, observer, limits != NULL ? *limits : mtm_pair_limits_usual()};

    if (rig == NULL || match == NULL || judgement == NULL || pair == NULL || found == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a rig, its matches, their judgements and places for pairs are needed");
    mtm_result result = check(&search, error);
    if (result != MTM_OK)
        return result;
    size_t *kind = calloc(count + 1, sizeof *kind);
    if (kind == NULL)
        return mtmi_fail_memory(error);
    size_t kinds = list_kinds(&search, kind);
    size_t listed = 0;
    for (size_t i = 0; i < kinds; i++) {
        for (size_t j = i + 1; result == MTM_OK && j < kinds; j++) {
            mtm_metameric_pair one = {.first = kind[i], .second = kind[j]};
            result =
                mtm_judge_pair(&judgement[kind[i]], &judgement[kind[j]], &one.metamerism, error);
            if (result == MTM_OK && surprise(&search, &one.metamerism) > 1)
                insert_pair(&search, pair, most, &listed, &one);
        }
    }
    free(kind);
    if (result == MTM_OK)
        *found = listed;
    return result;
}
