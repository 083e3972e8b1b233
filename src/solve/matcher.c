/* SPDX-License-Identifier: MIT */
/* Matcher: solvers and coders for a rig, shared by the units of one kind; one unit's answer.
 *
 * Kinds are those of unit/kind.h. Preparing a solver (all cells of a zonotope) and a coder
 * (the steps of each curve) costs far more than an answer, so each is made once a kind, and the
 * solver once a fixture; what only some goals need (the spectra's products, a mix that is kept
 * between answers) is made when a goal first asks.
 *
 * Rigs of calibrated units have as many kinds as units. Coders share what is made of curves that
 * are the same.
 *
 * A matcher serves one thread: what is made late is written into it. The rig must outlive it, and
 * stay as it was. */
#include "solve/matcher.h"

#include "base/error.h"
#include "base/number.h"
#include "solve/coder.h"
#include "unit/kind.h"

#include <metamer/spectral.h>

#include <stdlib.h>
#include <string.h>

/* What is made once for the units of a kind. */
struct kind {
    const mtm_fixture *fixture;
    mtm_solver *solver; /* owned by the first kind of the fixture */
    bool owns_solver;
    mtm_coder *coder;
    mtm_spectral *spectral;      /* made when a goal needs it */
    struct mtmi_cached_mix *mix; /* the same */
};

struct mtm_matcher {
    const mtm_rig *rig;
    mtm_observer observer;
    struct mtmi_kinds kinds;
    struct kind *kind; /* by kind; made of them are ready */
    size_t made;
    struct mtmi_level_cache levels; /* that the kinds' coders share */
};

/* Makes what the next kind needs; unit is one of it. */
static mtm_result make_kind(mtm_matcher *matcher, const mtm_unit *unit, mtm_error *error)
{
    struct kind *kind = &matcher->kind[matcher->made];

    *kind = (struct kind){.fixture = unit->fixture};
    for (size_t i = 0; i < matcher->made; i++) {
        if (matcher->kind[i].fixture == unit->fixture)
            kind->solver = matcher->kind[i].solver;
    }
    matcher->made++; /* from here on the free function sees it */
    mtm_result result = MTM_OK;
    if (kind->solver == NULL) {
        result = mtm_solver_create_for(unit->fixture, matcher->observer, &kind->solver, error);
        kind->owns_solver = result == MTM_OK;
    }
    if (result == MTM_OK)
        result = mtmi_coder_create_from(unit->fixture, unit->mode, matcher->observer,
                                        &matcher->levels, &kind->coder, error);
    if (result != MTM_OK)
        mtmi_error_prefix(error, unit->name);
    return result;
}

/* Kinds of the units listed, or of all if there is no list; and of those whose slots they share. */
static mtm_result find_kinds(mtm_matcher *matcher, const size_t *unit, size_t count,
                             mtm_error *error)
{
    size_t *list = calloc(2 * count + 1, sizeof *list);
    size_t listed = 0;

    if (list == NULL)
        return mtmi_fail_memory(error);
    for (size_t n = 0; n < count; n++) {
        size_t i = unit != NULL ? unit[n] : n;
        int follows = mtm_rig_unit(matcher->rig, i)->follows;
        list[listed++] = i;
        if (follows >= 0)
            list[listed++] = (size_t)follows;
    }
    mtm_result result = mtmi_kinds_create(matcher->rig, list, listed, &matcher->kinds, error);
    free(list);
    return result;
}

static mtm_result make_kinds(mtm_matcher *matcher, mtm_error *error)
{
    mtm_result result = MTM_OK;

    matcher->kind = calloc(matcher->kinds.count + 1, sizeof *matcher->kind);
    if (matcher->kind == NULL)
        return mtmi_fail_memory(error);
    for (size_t k = 0; result == MTM_OK && k < matcher->kinds.count; k++)
        result = make_kind(matcher, mtm_rig_unit(matcher->rig, matcher->kinds.first[k]), error);
    return result;
}

static mtm_result create(const mtm_rig *rig, const size_t *unit, size_t count,
                         mtm_observer observer, mtm_matcher **out, mtm_error *error)
{
    mtm_matcher *matcher = calloc(1, sizeof *matcher);

    if (matcher == NULL)
        return mtmi_fail_memory(error);
    matcher->rig = rig;
    matcher->observer = observer;
    mtm_result result = find_kinds(matcher, unit, count, error);
    if (result == MTM_OK)
        result = make_kinds(matcher, error);
    if (result == MTM_OK) {
        *out = matcher;
        matcher = NULL;
    }
    mtm_matcher_free(matcher);
    return result;
}

mtm_result mtm_matcher_create(const mtm_rig *rig, mtm_observer observer, mtm_matcher **out,
                              mtm_error *error)
{
    if (rig == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a rig and a place for the matcher are needed");
    return create(rig, NULL, mtm_rig_unit_count(rig), observer, out, error);
}

mtm_result mtm_matcher_create_for(const mtm_rig *rig, const size_t *unit, size_t count,
                                  mtm_observer observer, mtm_matcher **out, mtm_error *error)
{
    if (rig == NULL || unit == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a rig, its units and a place for the matcher are needed");
    for (size_t i = 0; i < count; i++) {
        if (unit[i] >= mtm_rig_unit_count(rig))
            return mtmi_fail(error, MTM_INVALID, "the rig has no unit %zu", unit[i]);
    }
    return create(rig, unit, count, observer, out, error);
}

void mtm_matcher_free(mtm_matcher *matcher)
{
    if (matcher == NULL)
        return;
    for (size_t i = 0; i < matcher->made; i++) {
        if (matcher->kind[i].owns_solver)
            mtm_solver_free(matcher->kind[i].solver);
        mtm_coder_free(matcher->kind[i].coder);
        mtm_spectral_free(matcher->kind[i].spectral);
        free(matcher->kind[i].mix);
    }
    mtmi_level_cache_free(&matcher->levels);
    free(matcher->kind);
    mtmi_kinds_free(&matcher->kinds);
    free(matcher);
}

/* NULL for a unit that the matcher was made without, or that the rig has not. */
static struct kind *kind_of(const mtm_matcher *matcher, size_t unit)
{
    if (unit >= mtm_rig_unit_count(matcher->rig) || matcher->kinds.of_unit[unit] == MTMI_NO_KIND)
        return NULL;
    return &matcher->kind[matcher->kinds.of_unit[unit]];
}

mtm_solver *mtm_matcher_solver(const mtm_matcher *matcher, size_t unit)
{
    if (matcher == NULL)
        return NULL;
    const struct kind *kind = kind_of(matcher, unit);

    return kind != NULL ? kind->solver : NULL;
}

const mtm_coder *mtm_matcher_coder(const mtm_matcher *matcher, size_t unit)
{
    if (matcher == NULL)
        return NULL;
    const struct kind *kind = kind_of(matcher, unit);

    return kind != NULL ? kind->coder : NULL;
}

mtm_result mtmi_matcher_spectral(mtm_matcher *matcher, size_t unit, const mtm_spectral **spectral,
                                 mtm_error *error)
{
    struct kind *kind = kind_of(matcher, unit);
    mtm_result result = MTM_OK;

    if (kind->spectral == NULL)
        result = mtm_spectral_create(kind->fixture, &kind->spectral, error);
    if (result == MTM_OK)
        *spectral = kind->spectral;
    return result;
}

mtm_result mtmi_matcher_mix(const mtm_matcher *matcher, size_t unit, struct mtmi_cached_mix **mix,
                            mtm_error *error)
{
    struct kind *kind = kind_of(matcher, unit);

    if (kind->mix == NULL)
        kind->mix = calloc(1, sizeof *kind->mix);
    if (kind->mix == NULL)
        return mtmi_fail_memory(error);
    *mix = kind->mix;
    return MTM_OK;
}

size_t mtmi_matcher_leader(const mtm_matcher *matcher, size_t unit)
{
    int follows = mtm_rig_unit(matcher->rig, unit)->follows;

    return follows >= 0 ? (size_t)follows : unit;
}

const mtm_rig *mtmi_matcher_rig(const mtm_matcher *matcher)
{
    return matcher->rig;
}

mtm_observer mtmi_matcher_observer(const mtm_matcher *matcher)
{
    return matcher->observer;
}

void mtm_matcher_predict(const mtm_matcher *matcher, size_t unit, const mtm_codes *codes,
                         mtm_match *match)
{
    if (codes == NULL || match == NULL || mtm_matcher_solver(matcher, unit) == NULL)
        return;
    const mtm_fixture *fixture = mtm_rig_unit(matcher->rig, unit)->fixture;

    match->unit = unit;
    match->codes = *codes;
    memset(match->level, 0, sizeof match->level);
    mtm_coder_levels(mtm_matcher_coder(matcher, unit), codes, match->level);
    match->xyz = mtm_solver_xyz(mtm_matcher_solver(matcher, unit), match->level);
    match->xy = mtm_xy_from_xyz(match->xyz);
    match->standing = (mtm_standing){MTM_STANDING_GOOD, 0, 0};
    match->flux_lm = 0;
    for (size_t i = 0; i < mtm_fixture_emitter_count(fixture); i++)
        match->flux_lm += match->level[i] * mtm_fixture_emitter(fixture, i)->flux_lm;
    match->watts = mtm_fixture_watts_at(fixture, match->level);
}

bool mtm_matcher_decode(const mtm_matcher *matcher, size_t unit, const uint8_t *slot, size_t count,
                        mtm_match *match)
{
    const mtm_codes dark = {0};
    mtm_codes codes = {0};

    if (slot == NULL || match == NULL || mtm_matcher_solver(matcher, unit) == NULL)
        return false;
    const mtm_unit *which = mtm_rig_unit(matcher->rig, unit);
    if (which->address < 1 || (size_t)which->address - 1 + which->mode->slot_count > count)
        return false;
    mtm_codes_from_slots(which->mode, slot + which->address - 1, &codes);
    const mtm_standing standing = mtm_slots_standing(which->mode, slot + which->address - 1);
    mtm_matcher_predict(matcher, unit, standing.type == MTM_STANDING_SHUT ? &dark : &codes, match);
    match->codes = codes;
    match->standing = standing;
    return true;
}
