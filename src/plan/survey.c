/* SPDX-License-Identifier: MIT */
/* Survey: a rig at a glance. Units of one fixture and one set of emitters are looked at once. */
#include <metamer/survey.h>

#include "base/error.h"
#include "base/number.h"
#include "base/pool.h"
#include "fixture/dims.h"
#include "fixture/limits.h"
#include "rig/rig.h"
#include "solve/matcher.h"

#include <metamer/demand.h>
#include <metamer/match.h>
#include <metamer/white.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double usual_cct_k[] = {2200, 2700, 3000, 3200, 4000, 5000, 5600, 6500};

#define WHITE_COUNT (sizeof usual_cct_k / sizeof usual_cct_k[0])
#define RANGES_MAX 16
#define WARMEST_MIRED 1000 /* MTM_CCT_MIN_K */
#define COOLEST_MIRED 40   /* MTM_CCT_MAX_K */
/* Pairs are to be named for the eye alone, whatever a camera makes of them. */
#define ANY_SSI (-1e9)

struct mtm_survey {
    mtm_survey_sums sums;
    mtm_survey_kind *kinds;
    size_t kind_count;
    mtm_survey_range ranges[RANGES_MAX];
    size_t range_count;
    mtm_survey_white whites[MTM_SURVEY_WHITES_MAX];
    size_t white_count;
};

/* Emitters whose reach is looked at, and the first unit that has them. */
struct reach {
    const mtm_solver *solver;
    size_t unit, kind;
};

/* What a survey is made from. */
struct work {
    const mtm_rig *rig;
    const size_t *unit;
    size_t count;
    double within_uv;
    mtm_matcher *matcher;
    mtmi_pool pool;
    struct reach *reaches;
    size_t reach_count;
    size_t *white; /* units that can share a white: not those whose colour goes with the output */
    size_t white_count;
    bool *reached;  /* by kind, at one white */
    bool *counted;  /* by unit of the rig: its slots */
    int *universes; /* of the units */
    bool *supplied; /* by supply */
    mtm_match *match;
    mtm_judgement *judgement;
};

static bool is_measured(const mtm_rig *rig, size_t unit)
{
    return rig->own != NULL && rig->own[unit] != NULL;
}

static mtm_survey_kind *kind_of(mtm_survey *survey, const mtm_rig *rig, const mtm_unit *unit)
{
    for (size_t i = 0; i < survey->kind_count; i++) {
        mtm_survey_kind *kind = &survey->kinds[i];
        if (strcmp(kind->fixture, mtm_fixture_name(unit->fixture)) == 0 &&
            strcmp(kind->mode, unit->mode->name) == 0 &&
            mtmi_limits_equal(mtm_fixture_limits(rig->units[kind->first].fixture),
                              mtm_fixture_limits(unit->fixture)))
            return kind;
    }
    return NULL;
}

static mtm_survey_kind *count_kind(mtm_survey *survey, const struct work *work, size_t index)
{
    const mtm_unit *unit = &work->rig->units[index];
    mtm_survey_kind *kind = kind_of(survey, work->rig, unit);

    if (kind == NULL) {
        kind = &survey->kinds[survey->kind_count++];
        *kind = (mtm_survey_kind){.fixture = mtm_fixture_name(unit->fixture),
                                  .mode = unit->mode->name,
                                  .first = index,
                                  .slot_count = unit->mode->slot_count,
                                  .full_w = mtm_demand_full_w(unit)};
        const mtm_mixing *dims = mtmi_fixture_dims(unit->fixture);
        if (dims != NULL) {
            const double ends_k[] = {mtmi_dims_white(dims, 0).cct_k,
                                     mtmi_dims_white(dims, 1).cct_k};
            kind->warmest_k = fmin(ends_k[0], ends_k[1]);
            kind->coolest_k = fmax(ends_k[0], ends_k[1]);
        }
    }
    kind->unit_count++;
    kind->measured += is_measured(work->rig, index);
    return kind;
}

/* Notes a unit's emitters, unless they are those of an earlier unit. */
static void note_reach(struct work *work, size_t index, size_t kind)
{
    const mtm_solver *solver = mtm_matcher_solver(work->matcher, index);

    if (mtm_fixture_dims(work->rig->units[index].fixture))
        return;
    work->white[work->white_count++] = index;
    for (size_t i = 0; i < work->reach_count && !is_measured(work->rig, index); i++) {
        if (work->reaches[i].solver == solver && work->reaches[i].kind == kind)
            return;
    }
    work->reaches[work->reach_count++] = (struct reach){solver, index, kind};
}

static int by_number(const void *a, const void *b)
{
    int x = *(const int *)a;
    int y = *(const int *)b;

    return (x > y) - (x < y);
}

static void sum_unit(mtm_survey_sums *sums, struct work *work, size_t index)
{
    const mtm_unit *unit = &work->rig->units[index];
    size_t leader = unit->follows >= 0 ? (size_t)unit->follows : index;

    sums->measured += is_measured(work->rig, index);
    sums->dims += mtm_fixture_dims(unit->fixture);
    sums->followers += unit->follows >= 0;
    sums->unaddressed += unit->address == 0 || unit->universe == 0;
    sums->unsupplied += unit->supply < 0;
    sums->slots += work->counted[leader] ? 0 : unit->mode->slot_count;
    work->counted[leader] = true;
    sums->full_w += mtm_demand_full_w(unit);
    if (unit->supply >= 0 && !work->supplied[unit->supply]) {
        work->supplied[unit->supply] = true;
        sums->supplies++;
    }
    if (unit->universe != 0)
        work->universes[sums->universes++] = unit->universe;
}

static void sum_up(mtm_survey *survey, struct work *work)
{
    mtm_survey_sums *sums = &survey->sums;
    size_t distinct = 0;

    sums->units = work->count;
    for (size_t i = 0; i < work->count; i++) {
        const mtm_survey_kind *kind = count_kind(survey, work, work->unit[i]);
        note_reach(work, work->unit[i], (size_t)(kind - survey->kinds));
        sum_unit(sums, work, work->unit[i]);
    }
    qsort(work->universes, sums->universes, sizeof *work->universes, by_number);
    for (size_t i = 0; i < sums->universes; i++)
        distinct += i == 0 || work->universes[i] != work->universes[i - 1];
    sums->universes = distinct;
}

/* Which kinds reach a white; the first unit that does not, or the rig's count. */
static size_t look_at_white(const struct work *work, size_t kinds, mtm_xy xy)
{
    size_t stops = work->rig->unit_count;

    for (size_t k = 0; k < kinds; k++)
        work->reached[k] = true;
    for (size_t i = 0; i < work->reach_count; i++) {
        const mtm_fixture *fixture = work->rig->units[work->reaches[i].unit].fixture;
        double off_uv = 0;
        mtm_xy pure = xy;
        if (mtmi_bring_in(mtm_fixture_limits(fixture), MTM_OBSERVER_2, &pure))
            off_uv = mtm_uv_distance(mtm_uv_from_xy(pure), mtm_uv_from_xy(xy));
        else
            (void)mtm_solver_nearest(work->reaches[i].solver, xy, &off_uv);
        if (!mtmi_exceeds(off_uv, work->within_uv))
            continue;
        work->reached[work->reaches[i].kind] = false;
        stops = stops == work->rig->unit_count ? work->reaches[i].unit : stops;
    }
    return stops;
}

/* Walks the locus from warm to cool in steps of one mired. */
static void find_ranges(mtm_survey *survey, const struct work *work)
{
    const size_t none = work->rig->unit_count;
    size_t stops_before = none;
    bool inside = false;

    for (int mired = WARMEST_MIRED; mired >= COOLEST_MIRED; mired--) {
        double cct_k = mtm_cct_from_mired(mired);
        mtm_xy xy;
        if (mtm_planck_xy(cct_k, MTM_OBSERVER_2, &xy, NULL) != MTM_OK)
            continue;
        size_t stops = look_at_white(work, survey->kind_count, xy);
        for (size_t k = 0; k < survey->kind_count; k++) {
            mtm_survey_kind *kind = &survey->kinds[k];
            if (!work->reached[k] || mtm_fixture_dims(work->rig->units[kind->first].fixture))
                continue;
            kind->warmest_k = kind->warmest_k > 0 ? kind->warmest_k : cct_k;
            kind->coolest_k = cct_k;
        }
        if (stops == none && !inside && survey->range_count < RANGES_MAX)
            survey->ranges[survey->range_count++] =
                (mtm_survey_range){cct_k, cct_k, stops_before, none};
        inside = stops == none;
        if (inside)
            survey->ranges[survey->range_count - 1].coolest_k = cct_k;
        else if (stops_before == none && survey->range_count > 0)
            survey->ranges[survey->range_count - 1].ends_cool = stops;
        stops_before = stops;
    }
}

static void note_rendering(const struct work *work, mtm_survey_white *white)
{
    for (size_t i = 0; i < work->white_count; i++) {
        const mtm_judgement *judgement = &work->judgement[i];
        if (!judgement->has_quality)
            continue;
        if (white->judged++ > 0 && !mtmi_exceeds(white->rf, judgement->rf))
            continue;
        white->rf = judgement->rf;
        white->rf_unit = work->white[i];
        white->ideal_lines = judgement->ideal_lines;
    }
}

static mtm_result note_pairs(const struct work *work, mtm_survey_white *white, mtm_error *error)
{
    enum { PAIRS_MAX = 256 };
    mtm_metameric_pair pair[PAIRS_MAX];
    mtm_pair_limits limits = mtm_pair_limits_usual();

    limits.least_ssi = ANY_SSI;
    mtm_result result =
        mtm_match_pairs(work->rig, work->match, work->judgement, work->white_count, MTM_OBSERVER_2,
                        &limits, pair, PAIRS_MAX, &white->pair_count, error);
    if (result == MTM_OK && white->pair_count > 0) {
        white->pair = pair[0];
        white->pair.first = work->white[pair[0].first];
        white->pair.second = work->white[pair[0].second];
    }
    return result;
}

static mtm_result look_together(const struct work *work, double cct_k, mtm_survey_white *white,
                                mtm_error *error)
{
    mtm_match_request request = {.goal = MTM_GOAL_LIGHT};
    mtm_common common;
    mtm_result result =
        mtm_target_from_white((mtm_white){cct_k, 0}, MTM_OBSERVER_2, &request.target, error);

    if (result == MTM_OK)
        result = mtm_matcher_together(work->matcher, work->white, work->white_count, &request,
                                      work->match, &common, error);
    if (result != MTM_OK)
        return result;
    *white = (mtm_survey_white){.cct_k = cct_k,
                                .exists = common.exists,
                                .apart = {common.apart[0], common.apart[1]},
                                .delta_uv = common.delta_uv,
                                .ends_colour = common.limits_colour,
                                .flux_lm = common.output,
                                .ends_output = common.limits_output};
    if (!common.exists)
        return MTM_OK;
    for (size_t i = 0; i < work->white_count; i++)
        white->watts += work->match[i].watts;
    result = mtm_judge_matches(work->rig, work->match, work->white_count, work->judgement, error);
    if (result == MTM_OK) {
        note_rendering(work, white);
        result = note_pairs(work, white, error);
    }
    return result;
}

/* Puts kinds of one fixture side by side, else as they were. */
static void sort_kinds(mtm_survey *survey)
{
    for (size_t i = 1; i < survey->kind_count; i++) {
        size_t at = i;
        for (size_t k = 0; k + 1 < i && at == i; k++) {
            if (strcmp(survey->kinds[k].fixture, survey->kinds[i].fixture) == 0 &&
                strcmp(survey->kinds[k + 1].fixture, survey->kinds[i].fixture) != 0)
                at = k + 1;
        }
        mtm_survey_kind moved = survey->kinds[i];
        memmove(&survey->kinds[at + 1], &survey->kinds[at], (i - at) * sizeof moved);
        survey->kinds[at] = moved;
    }
}

static mtm_result fill(mtm_survey *survey, struct work *work, const mtm_survey_options *options,
                       mtm_error *error)
{
    const double *cct_k = options->cct_count > 0 ? options->cct_k : usual_cct_k;
    size_t units = work->rig->unit_count;
    mtm_result result = mtm_matcher_create_for(work->rig, work->unit, work->count, MTM_OBSERVER_2,
                                               &work->matcher, error);

    if (result != MTM_OK)
        return result;
    survey->white_count = options->cct_count > 0 ? options->cct_count : WHITE_COUNT;
    survey->kinds = calloc(work->count, sizeof *survey->kinds);
    work->reaches = mtmi_pool_take(&work->pool, work->count, sizeof *work->reaches);
    work->white = mtmi_pool_take(&work->pool, work->count, sizeof *work->white);
    work->reached = mtmi_pool_take(&work->pool, work->count, sizeof *work->reached);
    work->counted = mtmi_pool_take(&work->pool, units, sizeof *work->counted);
    work->universes = mtmi_pool_take(&work->pool, work->count, sizeof *work->universes);
    work->supplied = mtmi_pool_take(&work->pool, work->rig->supply_count, sizeof *work->supplied);
    work->match = mtmi_pool_take(&work->pool, work->count, sizeof *work->match);
    work->judgement = mtmi_pool_take(&work->pool, work->count, sizeof *work->judgement);
    if (survey->kinds == NULL || work->pool.failed)
        return mtmi_fail_memory(error);
    sum_up(survey, work);
    if (work->white_count > 0)
        find_ranges(survey, work);
    else
        survey->white_count = 0;
    sort_kinds(survey);
    for (size_t i = 0; i < survey->white_count && result == MTM_OK; i++)
        result = look_together(work, cct_k[i], &survey->whites[i], error);
    return result;
}

static mtm_result check(const mtm_rig *rig, const size_t *unit, size_t count,
                        const mtm_survey_options *options, mtm_error *error)
{
    if (rig == NULL || rig->unit_count == 0 || (unit == NULL) != (count == 0) ||
        count > rig->unit_count)
        return mtmi_fail(error, MTM_INVALID, "a rig with units, and units of it, are needed");
    for (size_t i = 0; i < count; i++) {
        if (unit[i] >= rig->unit_count)
            return mtmi_fail(error, MTM_INVALID, "unit number %zu: the rig has %zu", unit[i],
                             rig->unit_count);
    }
    if (!(options->within_uv >= 0 && options->within_uv <= 0.1))
        return mtmi_fail(error, MTM_INVALID, "whites within %g in u', v': allowed is 0 to 0.1",
                         options->within_uv);
    if (options->cct_count > MTM_SURVEY_WHITES_MAX ||
        (options->cct_count > 0 && options->cct_k == NULL))
        return mtmi_fail(error, MTM_INVALID, "found %zu whites, allowed are 0 to %d",
                         options->cct_count, MTM_SURVEY_WHITES_MAX);
    return MTM_OK;
}

mtm_result mtm_survey_create(const mtm_rig *rig, const size_t *unit, size_t count,
                             const mtm_survey_options *options, mtm_survey **out, mtm_error *error)
{
    const mtm_survey_options usual = {0};
    struct work work = {.rig = rig, .unit = unit, .count = count};

    options = options != NULL ? options : &usual;
    if (out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a place for the survey is needed");
    mtm_result result = check(rig, unit, count, options, error);
    if (result != MTM_OK)
        return result;
    mtm_survey *survey = calloc(1, sizeof *survey);
    size_t *all = mtmi_pool_take(&work.pool, rig->unit_count, sizeof *all);
    if (survey == NULL || all == NULL) {
        free(survey);
        mtmi_pool_free(&work.pool);
        return mtmi_fail_memory(error);
    }
    for (size_t i = 0; unit == NULL && i < rig->unit_count; i++)
        all[i] = i;
    work.unit = unit != NULL ? unit : all;
    work.count = unit != NULL ? count : rig->unit_count;
    work.within_uv = options->within_uv > 0 ? options->within_uv : MTM_SURVEY_WITHIN_UV;
    result = fill(survey, &work, options, error);
    mtm_matcher_free(work.matcher);
    mtmi_pool_free(&work.pool);
    if (result == MTM_OK)
        *out = survey;
    else
        mtm_survey_free(survey);
    return result;
}

void mtm_survey_free(mtm_survey *survey)
{
    if (survey != NULL)
        free(survey->kinds);
    free(survey);
}

mtm_survey_sums mtm_survey_sums_of(const mtm_survey *survey)
{
    return survey != NULL ? survey->sums : (mtm_survey_sums){0};
}

size_t mtm_survey_kind_count(const mtm_survey *survey)
{
    return survey != NULL ? survey->kind_count : 0;
}

const mtm_survey_kind *mtm_survey_kind_at(const mtm_survey *survey, size_t index)
{
    return index < mtm_survey_kind_count(survey) ? &survey->kinds[index] : NULL;
}

size_t mtm_survey_range_count(const mtm_survey *survey)
{
    return survey != NULL ? survey->range_count : 0;
}

const mtm_survey_range *mtm_survey_range_at(const mtm_survey *survey, size_t index)
{
    return index < mtm_survey_range_count(survey) ? &survey->ranges[index] : NULL;
}

size_t mtm_survey_white_count(const mtm_survey *survey)
{
    return survey != NULL ? survey->white_count : 0;
}

const mtm_survey_white *mtm_survey_white_at(const mtm_survey *survey, size_t index)
{
    return index < mtm_survey_white_count(survey) ? &survey->whites[index] : NULL;
}
