/* SPDX-License-Identifier: MIT */
/* Facts of a match that every way of writing it tells: what is reached, and why no more. */
#include "cli/match/match_out.h"

#include "base/number.h"
#include "cli/out/text.h"

#include <math.h>
#include <string.h>

const mtm_unit *match_unit_of(const struct match_report *report, const mtm_match *match)
{
    return mtm_rig_unit(report->rig, match->unit);
}

mtm_white match_white(const mtm_match *match, mtm_observer observer)
{
    mtm_white white;

    if (observer == MTM_OBSERVER_2 && match->xyz.y > 0 &&
        mtm_white_from_xy(match->xy, &white, NULL) == MTM_OK)
        return white;
    return (mtm_white){(double)NAN, (double)NAN};
}

bool match_misses(const struct match_report *report, const mtm_match *match)
{
    return match->delta_uv > report->tolerance ||
           (mtm_match_misses(match, false) & MTM_MISS_DARK) != 0;
}

bool match_was_held(const struct match_report *report, const mtm_match *match)
{
    return report->held != NULL && report->held[match - report->match];
}

static bool same_levels(const mtm_match *a, const mtm_match *b)
{
    size_t i = 0;

    while (i < MTM_EMITTERS_MAX && a->level[i] == b->level[i])
        i++;
    return i == MTM_EMITTERS_MAX;
}

bool match_goes_on(const struct match_report *report, const mtm_match *match)
{
    const mtm_match *next = match + 1;
    char why[2][MATCH_REASON_ROOM];

    if (next == report->match + report->count)
        return false;
    const mtm_unit *a = match_unit_of(report, match);
    const mtm_unit *b = match_unit_of(report, next);
    if (a->fixture != b->fixture || a->mode != b->mode || !names_follow(a->name, b->name) ||
        !same_levels(match, next) || match->delta_uv != next->delta_uv ||
        match->fallback != next->fallback)
        return false;
    match_reason(report, match, why[0], sizeof why[0]);
    match_reason(report, next, why[1], sizeof why[1]);
    return strcmp(why[0], why[1]) == 0;
}

const mtm_match *match_run_end(const struct match_report *report, const mtm_match *match)
{
    while (match_goes_on(report, match))
        match++;
    return match;
}

void match_name_run(const struct match_report *report, const mtm_match *first, char *text,
                    size_t room)
{
    put_run_name(match_unit_of(report, first)->name,
                 match_unit_of(report, match_run_end(report, first))->name, text, room);
}

/* Adds ", " and a cause; share: its part in u', v', or 0 where it is not told. */
static void add_cause(char *text, size_t room, const char *cause, double share)
{
    size_t used = strlen(text);

    if (used >= room)
        return;
    const char *comma = used > 0 ? ", " : "";
    if (share > 0)
        (void)snprintf(text + used, room - used, "%s%s %.4f", comma, cause, share);
    else
        (void)snprintf(text + used, room - used, "%s%s", comma, cause);
}

const char *match_gamut_cause(const mtm_fixture *fixture)
{
    if (mtm_fixture_dims(fixture))
        return "its colour goes with its output";
    if (mtm_fixture_emitter_count(fixture) == 1)
        return "one emitter has one colour";
    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
        if (!(mtm_fixture_most_level(fixture, k) > 0))
            return "outside what its limits leave of its gamut";
    }
    return "outside its gamut";
}

void match_add_colour_causes(unsigned misses, const char *gamut, double gamut_uv, const char *codes,
                             double codes_uv, char *text, size_t room)
{
    bool both = (misses & MTM_MISS_GAMUT) != 0 && (misses & MTM_MISS_CODES) != 0;

    if ((misses & MTM_MISS_GAMUT) != 0)
        add_cause(text, room, gamut, both ? gamut_uv : 0);
    if ((misses & MTM_MISS_CODES) != 0)
        add_cause(text, room, codes, both ? codes_uv : 0);
}

/* "steps of its codes", or of which unit's slots it shares. */
static void codes_cause(const struct match_report *report, const mtm_match *match, char *text,
                        size_t room)
{
    int follows = match_unit_of(report, match)->follows;

    if (follows >= 0)
        (void)snprintf(text, room, "slots of %.60s",
                       mtm_rig_unit(report->rig, (size_t)follows)->name);
    else
        (void)snprintf(text, room, "steps of its codes");
}

/* True for a unit that took part in a common match. */
static bool is_common(const struct match_report *report, const mtm_match *match)
{
    return report->together && report->common.exists &&
           !mtm_fixture_dims(match_unit_of(report, match)->fixture);
}

void match_name_bound(const struct match_report *report, const mtm_match *match, char *text,
                      size_t room)
{
    const unsigned shortfall = match->shortfall | match->ideal.shortfall;
    const double of_most = match->ideal.xyz.y > 0 ? match->ideal.most / match->ideal.xyz.y
                                                  : 1; /* levels at the most */

    const mtm_fixture *fixture = match_unit_of(report, match)->fixture;
    const mtm_limits *limits = mtm_fixture_limits(fixture);

    text[0] = '\0';
    if ((shortfall & MTM_SHORT_POWER) != 0 && limits->headroom > 0)
        (void)snprintf(text, room, " (power limit, less a headroom of %g %%)",
                       100 * limits->headroom);
    else if ((shortfall & MTM_SHORT_POWER) != 0)
        (void)snprintf(text, room, " (power limit)");
    for (size_t k = 0; text[0] == '\0' && k < mtm_fixture_emitter_count(fixture); k++) {
        double most = mtm_fixture_most_level(fixture, k);
        if (most > 0 && most < 1 && !mtmi_exceeds(most, of_most * match->ideal.level[k]))
            (void)snprintf(text, room, " (limit of %.40s: %g %%)",
                           mtm_fixture_emitter(fixture, k)->name, 100 * most);
    }
}

/* "at most 40 lm (power limit)" */
static void add_output_cause(const struct match_report *report, const mtm_match *match, char *text,
                             size_t room)
{
    bool common = is_common(report, match);
    double most =
        common ? report->common.output : match->ideal.most * match_arriving(report, match);
    char cause[160], bound[96] = "";

    if (!common || match->unit == report->common.limits_output)
        match_name_bound(report, match, bound, sizeof bound);
    (void)snprintf(cause, sizeof cause, "at most %.*f %s%s", text_decimals(most, 0), most,
                   match_output_unit(report), bound);
    add_cause(text, room, cause, 0);
}

/* The limits that a unit's codes keep to: those of the one whose slots it shares. */
static const mtm_limits *limits_of(const struct match_report *report, const mtm_match *match)
{
    const int follows = match_unit_of(report, match)->follows;
    const mtm_unit *unit =
        follows >= 0 ? mtm_rig_unit(report->rig, (size_t)follows) : match_unit_of(report, match);

    return mtm_fixture_limits(unit->fixture);
}

/* "held to a purity of 50 %"; where it is another unit's, the common colour is told. */
static void add_purity_cause(const struct match_report *report, const mtm_match *match, char *text,
                             size_t room)
{
    const double most = limits_of(report, match)->most_purity;
    char cause[96];

    if (report->together && report->common.exists && match->unit != report->common.limits_colour)
        (void)snprintf(cause, sizeof cause, "at the common colour");
    else
        (void)snprintf(cause, sizeof cause, "%s a purity of %g %%%s",
                       match->xyz.y > 0 ? "held to" : "nothing within", 100 * most,
                       match->xyz.y > 0 ? "" : ": dark");
    add_cause(text, room, cause, 0);
}

/* "held by the lowest level of 5 %" */
static void add_lowest_cause(const struct match_report *report, const mtm_match *match, char *text,
                             size_t room)
{
    const bool dark = !(match->xyz.y > 0);
    char cause[96];

    (void)snprintf(cause, sizeof cause, "%s lowest level of %g %%%s",
                   dark ? "below the" : "held by the", 100 * limits_of(report, match)->lowest_level,
                   dark ? ": dark" : "");
    add_cause(text, room, cause, 0);
}

const char *match_goal_name(mtm_goal goal)
{
    return mtm_goal_at(goal)->name;
}

const char *match_index_name(const struct match_report *report)
{
    return report->goal == MTM_GOAL_RENDERING ? mtm_index_at(report->index)->name : NULL;
}

const char *match_intensity_name(const struct match_report *report)
{
    return report->kinds->dimmer_apart ? "apart" : "with";
}

const char *match_dimming_name(const struct match_report *report, const mtm_match *match)
{
    return !report->kinds->dimmer_apart &&
                   mtm_coder_chooses_dimming(mtm_matcher_coder(report->matcher, match->unit))
               ? mtm_dimming_at(report->dimming)->name
               : NULL;
}

void match_reason(const struct match_report *report, const mtm_match *match, char *text,
                  size_t room)
{
    bool common = is_common(report, match);
    unsigned misses = mtm_match_misses(match, match_was_held(report, match));
    char codes[96];

    text[0] = '\0';
    if (match->left_dark_uv > 0)
        add_cause(text, room, "left dark: no nearer than", match->left_dark_uv);
    codes_cause(report, match, codes, sizeof codes);
    if ((misses & MTM_MISS_LOWEST) != 0)
        add_lowest_cause(report, match, text, room);
    if ((misses & MTM_MISS_PURITY) != 0)
        add_purity_cause(report, match, text, room);
    match_add_colour_causes(
        (misses & (MTM_MISS_LOWEST | MTM_MISS_PURITY)) != 0 ? misses & ~(unsigned)MTM_MISS_GAMUT
                                                            : misses,
        common ? "at the common colour" : match_gamut_cause(match_unit_of(report, match)->fixture),
        match->gamut_uv, codes, match->codes_uv, text, room);
    if ((misses & MTM_MISS_DARK) != 0 && (misses & (MTM_MISS_LOWEST | MTM_MISS_PURITY)) == 0)
        add_cause(text, room, "too little output for its codes: dark", 0);
    if ((misses & MTM_MISS_OUTPUT) != 0)
        add_output_cause(report, match, text, room);
    if ((misses & MTM_MISS_RATING) != 0)
        add_cause(text, room, "lowered for a port or supply rating", 0);
}

const char *match_observer_name(mtm_observer observer)
{
    return observer == MTM_OBSERVER_10 ? "10°" : "2°";
}

mtm_light_at match_light_at(const struct match_report *report)
{
    if (report->together && report->common.exists)
        return report->common.light_at;
    for (size_t i = 0; i < report->count; i++) {
        if (!(mtm_unit_lux_per_lm(match_unit_of(report, &report->match[i])) > 0))
            return MTM_LIGHT_AT_LENS;
    }
    return report->target->observer == MTM_OBSERVER_2 ? MTM_LIGHT_LUX : MTM_LIGHT_AT_LENS;
}

double match_arriving(const struct match_report *report, const mtm_match *match)
{
    const mtm_unit *unit = match_unit_of(report, match);

    switch (match_light_at(report)) {
    case MTM_LIGHT_LUX:
        return mtm_unit_lux_per_lm(unit);
    case MTM_LIGHT_GAINED:
        return mtm_unit_gain(unit);
    default:
        return 1;
    }
}

const char *match_output_unit(const struct match_report *report)
{
    static const char *const units[] = {
        [MTM_LIGHT_AT_LENS] = "lm", [MTM_LIGHT_GAINED] = "lm×gain", [MTM_LIGHT_LUX] = "lx"};

    return report->target->observer == MTM_OBSERVER_10 ? "in Y of the 10° observer"
                                                       : units[match_light_at(report)];
}

const char *match_output_key(const struct match_report *report)
{
    static const char *const keys[] = {[MTM_LIGHT_AT_LENS] = "flux_lm",
                                       [MTM_LIGHT_GAINED] = "flux_lm_times_gain",
                                       [MTM_LIGHT_LUX] = "lux"};

    return report->target->observer == MTM_OBSERVER_10 ? "y_10" : keys[match_light_at(report)];
}

const struct writer match_writers[] = {WRITER_TABLE(match_write_table),
                                       WRITER_JSON(match_write_json),
                                       WRITER_CSV(match_write_csv),
                                       {0}};
