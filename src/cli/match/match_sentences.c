/* SPDX-License-Identifier: MIT */
/* The sentences below a match: how well the rig agrees, and what limits it. */
#include "cli/match/match_out.h"

#include "base/number.h"
#include "cli/out/text.h"

#include <metamer/tolerance.h>

#include <math.h>
#include <string.h>

/* Pairs that a sentence is said of; JSON has more. */
#define PAIRS_NAMED 5

static bool any_held(const struct match_report *report)
{
    for (size_t i = 0; i < report->count; i++) {
        if (match_was_held(report, &report->match[i]))
            return true;
    }
    return false;
}

/* The match of a unit that is one of those matched. */
static const mtm_match *match_of(const struct match_report *report, size_t unit)
{
    size_t i = 0;

    while (i + 1 < report->count && report->match[i].unit != unit)
        i++;
    return &report->match[i];
}

/* What keeps the common output from being more, or from what was asked: the end of a sentence. */
static void put_common_limit(const struct match_report *report, FILE *out)
{
    const mtm_common *common = &report->common;
    const char *name = mtm_rig_unit(report->rig, common->limits_output)->name;
    char bound[96];
    bool in_lm = report->asked.type == MTM_OUTPUT_LM || report->asked.type == MTM_OUTPUT_LUX;

    match_name_bound(report, match_of(report, common->limits_output), bound, sizeof bound);
    if (in_lm && !mtmi_exceeds(report->asked.value, common->output))
        (void)fprintf(out, ".\n");
    else if (any_held(report))
        (void)fprintf(out, "; a port or supply rating limits the output.\n");
    else if (in_lm)
        (void)fprintf(out, " of %.*f %s asked for; %s limits the output%s.\n",
                      text_decimals(report->asked.value, 0), report->asked.value,
                      match_output_unit(report), name, bound);
    else
        (void)fprintf(out, "; %s limits the output%s.\n", name, bound);
}

static bool keeps_dark(const mtm_fixture *fixture)
{
    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
        if (!(mtm_fixture_most_level(fixture, k) > 0))
            return true;
    }
    return false;
}

/* Units that share the output but no white. */
static void put_left_out(const struct match_report *report, FILE *out)
{
    const mtm_unit *first = NULL;
    size_t count = 0;

    for (size_t i = 0; i < report->count; i++) {
        const mtm_unit *unit = match_unit_of(report, &report->match[i]);
        if (!mtm_fixture_dims(unit->fixture))
            continue;
        first = count == 0 ? unit : first;
        count++;
    }
    if (count == 1)
        (void)fprintf(out,
                      "%s has that output and its own colour there: the one goes with the other.\n",
                      first->name);
    else if (count > 1)
        (void)fprintf(out,
                      "%zu units have that output and their own colours there: the one goes with "
                      "the other.\n",
                      count);
}

void match_put_together(const struct match_report *report, FILE *out)
{
    const mtm_common *common = &report->common;
    const char *first = mtm_rig_unit(report->rig, common->apart[0])->name;
    const char *second = mtm_rig_unit(report->rig, common->apart[1])->name;

    if (common->left_dark == report->count)
        return; /* told with those that are left dark */
    if (!common->exists) {
        if (common->apart[0] == common->apart[1])
            (void)fprintf(out,
                          "No chromaticity is common to all: %s excludes the others taken "
                          "together.",
                          first);
        else
            (void)fprintf(out, "No chromaticity is common to all: %s and %s exclude each other.",
                          first, second);
        (void)fprintf(out, "\nEach unit was matched on its own.\n");
        return;
    }
    (void)fprintf(out, "All aim at x %.4f, y %.4f and %.*f %s", common->xy.x, common->xy.y,
                  text_decimals(common->output, 0), common->output, match_output_unit(report));
    put_common_limit(report, out);
    put_left_out(report, out);
    const mtm_unit *holds = mtm_rig_unit(report->rig, common->limits_colour);
    if (common->delta_uv > MTM_ON_TARGET_UV)
        (void)fprintf(out, "%s holds the colour Δu'v' %.4f away from the target%s.\n", holds->name,
                      common->delta_uv,
                      common->by_purity            ? " by its most purity"
                      : keeps_dark(holds->fixture) ? ": an emitter stays dark by its limits"
                                                   : "");
}

struct counts {
    size_t dark; /* against what was asked */
    size_t lit;
    size_t judged; /* lit, and all emitters have spectra: the others cannot be looked at twice */
};

static struct counts count_units(const struct match_report *report)
{
    struct counts counts = {0};

    for (size_t i = 0; i < report->count; i++) {
        bool lit = report->match[i].xyz.y > 0;
        counts.dark += mtm_match_misses(&report->match[i], false) == MTM_MISS_DARK;
        counts.lit += lit;
        counts.judged += lit && report->judgement[i].has_spectrum;
    }
    return counts;
}

/* Who agrees here and not there: to eyes that see a larger field, and to cameras. */
void match_put_pairs(const struct match_report *report, FILE *out)
{
    mtm_observer here = report->target->observer;
    mtm_observer there = here == MTM_OBSERVER_10 ? MTM_OBSERVER_2 : MTM_OBSERVER_10;
    struct counts counts = count_units(report);

    if (counts.judged < counts.lit)
        (void)fprintf(out,
                      "%zu of %zu lit units cannot be judged: emitters known by x, y only have no "
                      "spectrum.\n",
                      counts.lit - counts.judged, counts.lit);
    if (counts.judged < 2)
        return;
    if (report->pair_count == 0) {
        (void)fprintf(out,
                      "No two that agree within Δu'v' %.4f part by more than %.4f for the %s "
                      "observer or have an SSI below %.0f.\n",
                      report->limits.agree_uv, report->limits.apart_uv, match_observer_name(there),
                      report->limits.least_ssi);
        return;
    }
    (void)fprintf(
        out,
        "These agree within Δu'v' %.4f, but part by more than %.4f for the %s observer or "
        "have an SSI below %.0f:\n",
        report->limits.agree_uv, report->limits.apart_uv, match_observer_name(there),
        report->limits.least_ssi);
    for (size_t i = 0; i < report->pair_count && i < PAIRS_NAMED; i++) {
        const mtm_metameric_pair *pair = &report->pair[i];
        (void)fprintf(out, "  %s and %s: Δu'v' %.4f here, %.4f there, SSI %.0f\n",
                      match_unit_of(report, &report->match[pair->first])->name,
                      match_unit_of(report, &report->match[pair->second])->name,
                      pair->metamerism.delta_uv[here], pair->metamerism.delta_uv[there],
                      pair->metamerism.ssi);
    }
}

/* How near the lit units are to each other and to the target. */
static void sentence_agreement(const struct match_report *report, FILE *out)
{
    const mtm_match *farthest = mtm_match_farthest(report->match, report->count);
    double worst = farthest->delta_uv;
    double apart = report->spread_uv;
    const char *name = match_unit_of(report, farthest)->name;
    char why[MATCH_REASON_ROOM];

    if (count_units(report).lit > 1)
        (void)fprintf(out,
                      "The units agree with each other within Δu'v' %.4f (%.1f steps of %.4f).\n",
                      apart, apart / MTM_STEP_UV, MTM_STEP_UV);
    match_reason(report, farthest, why, sizeof why);
    if (worst > MTM_ON_TARGET_UV && report->count == 1)
        (void)fprintf(out, "%s is Δu'v' %.4f from the target%s%s.\n", name, worst,
                      why[0] != '\0' ? ": " : "", why);
    else if (worst > MTM_ON_TARGET_UV)
        (void)fprintf(out, "%s is farthest from the target, by Δu'v' %.4f%s%s.\n", name, worst,
                      why[0] != '\0' ? ": " : "", why);
    else if (report->count == 1)
        (void)fprintf(out, "%s is on the target.\n", name);
    else
        (void)fprintf(out, "All that are lit are on the target.\n");
}

/* One sentence for each port and supply that is over its rating. */
static void put_overloads(const mtm_rig *rig, const mtm_demand *demand, FILE *out)
{
    for (size_t i = 0; i < mtm_demand_row_count(demand); i++) {
        const mtm_demand_row *row = mtm_demand_row_at(demand, i);
        if (!row->over || row->type == MTM_DEMAND_CIRCUIT)
            continue;
        const char *name = mtm_rig_supply(rig, row->index)->name;
        if (row->type == MTM_DEMAND_PORT)
            (void)fprintf(out, "Overload: port %d of supply %s would carry %.0f W of %.0f W; ",
                          row->port, name, row->watts, row->rated);
        else
            (void)fprintf(out, "Overload: supply %s would carry %.0f W of %.0f W; ", name,
                          row->watts, row->rated);
        (void)fprintf(out, "--within-load keeps to the ratings.\n");
    }
}

/* "Goal light for hall-1 to hall-3, porch: one mix only." */
static void put_fallback(const struct match_report *report, mtm_fallback fallback, FILE *out)
{
    char text[RUN_NAME_ROOM];
    bool any = false;

    for (size_t i = 0; i < report->count; i++) {
        const mtm_match *last = match_run_end(report, &report->match[i]);
        if (report->match[i].fallback == fallback) {
            match_name_run(report, &report->match[i], text, sizeof text);
            (void)fprintf(out, "%s%s", any ? ", " : "Goal light for ", text);
            any = true;
        }
        i = (size_t)(last - report->match);
    }
    if (any)
        (void)fprintf(out, ": %s.\n", mtm_fallback_text(fallback));
}

/* Why not all is known of a unit's light. */
enum unknown { KNOWN, MIXES, BY_TABLE, BY_LAW };

static enum unknown unknown_of(const mtm_unit *unit)
{
    if (!mtm_fixture_mixes(unit->fixture))
        return KNOWN;
    if (!mtm_fixture_dims(unit->fixture))
        return MIXES;
    return unit->mode->mixing->lamp_k > 0 ? BY_LAW : BY_TABLE;
}

/* What cannot be known of units that mix by themselves or go by a table, and what is assumed of
 * lamps: said of one unit by its name, or of so many. */
static void put_unknown(const struct match_report *report, enum unknown which, const char *one,
                        const char *many, FILE *out)
{
    const char *name = "";
    size_t count = 0;

    for (size_t i = 0; i < report->count; i++) {
        const mtm_unit *unit = match_unit_of(report, &report->match[i]);
        if (unknown_of(unit) != which)
            continue;
        name = count == 0 ? unit->name : name;
        count++;
    }
    if (count == 1)
        (void)fprintf(out, "%s %s\n", name, one);
    else if (count > 1)
        (void)fprintf(out, "%zu units %s\n", count, many);
}

static void put_mixing(const struct match_report *report, FILE *out)
{
    put_unknown(report, MIXES, "mixes by itself: its watts and its spectrum are not known.",
                "mix by themselves: their watts and spectra are not known.", out);
    put_unknown(report, BY_TABLE,
                "goes by a table of colours: its watts and its spectrum are not known.",
                "go by tables of colours: their watts and spectra are not known.", out);
    put_unknown(report, BY_LAW,
                "is a lamp, taken as a Planckian radiator, on which its Rf rests: light goes with "
                "its voltage to the power of 3.4, temperature to that of 0.42, watts to that of "
                "1.6.",
                "are lamps, taken as Planckian radiators, on which their Rf rests: light goes with "
                "their voltage to the power of 3.4, temperature to that of 0.42, watts to that of "
                "1.6.",
                out);
}

/* Which codes carry the output, and for which units there is nothing to choose. */
static void put_dimming(const struct match_report *report, FILE *out)
{
    size_t without = 0;
    const mtm_match *first = NULL;

    for (size_t i = 0; i < report->count; i++) {
        if (match_dimming_name(report, &report->match[i]) != NULL)
            continue;
        first = without++ == 0 ? &report->match[i] : first;
    }
    if (without < report->count)
        (void)fprintf(out, "%s",
                      report->dimming == MTM_DIMMING_DIMMER
                          ? "The dimmer carries the output: the emitters hold the colour at its "
                            "most light.\n"
                          : "The emitters carry the output: the dimmer stays at full.\n");
    if (without == 1)
        (void)fprintf(out, "%s has no dimmer beside its emitters: --dimming chooses nothing.\n",
                      match_unit_of(report, first)->name);
    else if (without > 1)
        (void)fprintf(out,
                      "%zu units have no dimmer beside their emitters: --dimming chooses nothing "
                      "there.\n",
                      without);
}

static bool has_dimmer(const struct match_report *report)
{
    for (size_t i = 0; i < report->count; i++)
        if (match_unit_of(report, &report->match[i])->mode->dimmer_bits > 0)
            return true;
    return false;
}

void match_put_kept_back(const struct match_report *report, size_t left_dark, FILE *out)
{
    if (left_dark > 0)
        (void)fprintf(out, "%zu left dark: farther from the target than --leave-dark allows.\n",
                      left_dark);
    if (report->dimming != MTM_DIMMING_FINEST && !report->kinds->dimmer_apart)
        put_dimming(report, out);
    if (report->kinds->dimmer_apart)
        (void)fprintf(out, "%s",
                      has_dimmer(report)
                          ? "The dimmer (-) is left to the console: the values are those of the "
                            "colour alone;\nlight and power are those with the dimmer at full.\n"
                          : "No unit has a dimmer to leave to the console: the values are those of "
                            "the colour at full.\n");
}

static size_t count_left_dark(const struct match_report *report)
{
    size_t count = 0;

    for (size_t i = 0; i < report->count; i++)
        count += report->match[i].left_dark_uv > 0;
    return count;
}

static void say_sentences(const void *of, FILE *out)
{
    const struct match_report *report = of;
    double worst = mtm_match_farthest(report->match, report->count)->delta_uv;
    struct counts counts = count_units(report);

    if (report->together)
        match_put_together(report, out);
    if (report->target->observer == MTM_OBSERVER_10 &&
        (report->together || report->asked.type == MTM_OUTPUT_LM ||
         report->asked.type == MTM_OUTPUT_LUX))
        (void)fprintf(out, "The output aimed at counts light as the 10° observer sees it; the "
                           "column holds lumens, as meters count.\n");
    match_put_kept_back(report, count_left_dark(report), out);
    if (counts.lit > 0)
        sentence_agreement(report, out);
    else if (counts.dark == 0 && count_left_dark(report) == 0)
        (void)fprintf(out, "No light was asked for.\n");
    if (counts.dark > 0)
        (void)fprintf(out, "%zu unit%s dark: the output asked for is below the first code.\n",
                      counts.dark, counts.dark == 1 ? " is" : "s are");
    for (int why = MTM_FALLBACK_NONE + 1; why <= (int)MTM_FALLBACK_MIXES; why++)
        put_fallback(report, (mtm_fallback)why, out);
    put_mixing(report, out);
    put_overloads(report->rig, report->demand, out);
    if (report->has_tolerance)
        (void)fprintf(out, "Tolerance Δu'v' %.4f: %s.\n", report->tolerance,
                      worst > report->tolerance || counts.dark > 0 ? "missed" : "met");
}

void match_put_sentences(const struct match_report *report, FILE *out)
{
    text_put_said(say_sentences, report, out);
}
