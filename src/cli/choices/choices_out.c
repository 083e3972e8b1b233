/* SPDX-License-Identifier: MIT */
/* Choices output: the ways to make one colour, as a table, JSON or CSV. */
#include "cli/choices/choices_out.h"

#include "cli/match/match_out.h"
#include "cli/out/json.h"
#include "cli/out/slots.h"
#include "cli/out/text.h"

#include <math.h>
#include <string.h>

static double lm_per_w(const mtm_match *match)
{
    return match->watts > 0 ? match->flux_lm / match->watts : (double)NAN;
}

static void put_listed(const struct listed_choice *listed, size_t number, double most, FILE *out)
{
    const mtm_match *match = &listed->match;
    mtm_white white = match_white(match, MTM_OBSERVER_2);

    (void)fprintf(out, "%-3zu", number);
    text_put_cell(match->flux_lm, 7, 0, out);
    text_put_cell(most > 0 ? 100 * match->flux_lm / most : (double)NAN, 7, 0, out);
    text_put_cell(match->watts, 8, 1, out);
    text_put_cell(lm_per_w(match), 7, 1, out);
    text_put_cell(listed->rf, 6, 1, out);
    text_put_cell(listed->ra, 6, 1, out);
    text_put_cell(white.cct_k, 7, 0, out);
    text_put_cell(white.duv, 9, 4, out);
    text_put_cell(match->delta_uv, 8, 4, out);
    if (listed->name != NULL)
        (void)fprintf(out, "  %s", listed->name);
    if ((match->shortfall & MTM_SHORT_LOWEST) != 0)
        (void)fprintf(out, "%s",
                      listed->name != NULL ? ", at the lowest level" : "  at the lowest level");
}

/* Why the ways are not chosen by rendering too. */
static void put_fallback(mtm_fallback fallback, FILE *out)
{
    if (fallback != MTM_FALLBACK_NONE)
        (void)fprintf(out, "; %s%s", fallback == MTM_FALLBACK_ONE_MIX ? "" : "no rendering: ",
                      mtm_fallback_text(fallback));
}

/* What Ra is measured against, and what spectra all of it rests on. */
static void put_basis(const struct choices_report *report, FILE *out)
{
    double least_k = (double)INFINITY;
    double most_k = 0;
    bool ideal_lines = false;

    for (size_t i = 0; i < report->count; i++) {
        double cct_k = match_white(&report->listed[i].match, MTM_OBSERVER_2).cct_k;
        if (isfinite(cct_k) && isfinite(report->listed[i].ra)) {
            least_k = fmin(least_k, cct_k);
            most_k = fmax(most_k, cct_k);
        }
        ideal_lines = ideal_lines || report->listed[i].ideal_lines;
    }
    if (most_k > 0)
        put_ra_reference(least_k, most_k, out);
    if (ideal_lines)
        (void)fprintf(out, "Some spectra are ideal lines, drawn from peak and width; Rf and Ra are "
                           "as good as these.\n");
}

/* Which codes carry the output, where that is not the usual. */
static void put_dimming(const struct choices_report *report, FILE *out)
{
    if (report->asked->dimming == MTM_DIMMING_FINEST)
        return;
    if (report->dimming == NULL)
        (void)fprintf(out, "%s has no dimmer beside its emitters: --dimming chooses nothing.\n",
                      report->unit->name);
    else
        (void)fprintf(out, "%s",
                      report->dimming->dimming == MTM_DIMMING_DIMMER
                          ? "The dimmer carries the output: the emitters hold the colour at its "
                            "most light.\n"
                          : "The emitters carry the output: the dimmer stays at full.\n");
}

static void write_table(const void *data, FILE *out)
{
    const struct choices_report *report = data;

    (void)fprintf(out, "%s, %s, mode %s: target %s\n\n", report->unit->name,
                  mtm_fixture_name(report->unit->fixture), report->unit->mode->name,
                  report->target->description);
    swatch_put_none(&report->swatches, out);
    (void)fprintf(out, "No  Output  Share   Power   lm/W    Rf    Ra    CCT      Duv");
    text_put("   Δu'v'", 8, out);
    (void)fputc('\n', out);
    swatch_put_none(&report->swatches, out);
    (void)fprintf(out, "        lm      %%       W                       K\n");
    for (size_t i = 0; i < report->count; i++) {
        swatch_put(&report->swatches, report->listed[i].match.xy, out);
        put_listed(&report->listed[i], i + 1, report->listed[0].match.flux_lm, out);
        if (i == 0)
            put_fallback(report->fallback, out);
        (void)fputc('\n', out);
    }
    put_slot_blocks(report->slots, report->kinds, text_line_columns(out), out);
    if (report->count > 1)
        (void)fprintf(out, "\nNone of these has at once as much light%s as another.\n",
                      report->fallback == MTM_FALLBACK_NONE ? ", as few watts and as good an Rf"
                                                            : " and as few watts");
    else
        (void)fprintf(out, "\nThere is no choice: one mixture is the best in all.\n");
    put_dimming(report, out);
    put_basis(report, out);
}

static cJSON *json_listed(const struct choices_report *report, const struct listed_choice *listed)
{
    cJSON *object = cJSON_CreateObject();
    const mtm_match *match = &listed->match;
    mtm_white white = match_white(match, MTM_OBSERVER_2);
    mtm_uv uv = mtm_uv_from_xyz(match->xyz);

    json_add_text(object, "what", listed->name);
    json_add_bool(object, "at_lowest_level", (match->shortfall & MTM_SHORT_LOWEST) != 0);
    json_add_number(object, "flux_lm", match->flux_lm, 3);
    json_add_number(object, "watts", match->watts, 3);
    json_add_text(object, "rests_on", listed->ideal_lines ? "ideal lines" : "spectra");
    json_add_number(object, "rf", listed->rf, 2);
    json_add_number(object, "ra", listed->ra, 2);
    json_add_xy(object, match->xy, 6);
    json_add_uv(object, uv, 6);
    json_add_number(object, "cct_k", white.cct_k, 2);
    json_add_number(object, "duv", white.duv, 6);
    json_add_number(object, "delta_uv", match->delta_uv, 6);
    json_add_by_emitter(object, "levels", report->unit->fixture, match->level, 6);
    json_add_codes(object, report->unit, &match->codes, false);
    json_add_slots(object, report->unit, &match->codes);
    return object;
}

static cJSON *write_json(const void *data)
{
    const struct choices_report *report = data;
    cJSON *root = cJSON_CreateObject();
    bool placed = report->unit->address > 0;

    json_add_text(root, "unit", report->unit->name);
    json_add_number(root, "universe", placed ? report->unit->universe : (double)NAN, 0);
    json_add_number(root, "address", placed ? report->unit->address : (double)NAN, 0);
    json_add_text(root, "target", report->target->description);
    json_add_text(root, "dimming", report->dimming != NULL ? report->dimming->name : NULL);
    json_add_text(root, "goal_reason",
                  report->fallback != MTM_FALLBACK_NONE ? mtm_fallback_text(report->fallback)
                                                        : NULL);
    cJSON *choices = json_add_array(root, "choices");
    for (size_t i = 0; i < report->count; i++)
        json_append(choices, json_listed(report, &report->listed[i]));
    return root;
}

static void write_csv(const void *data, FILE *out)
{
    const struct choices_report *report = data;

    (void)fprintf(
        out, "what,flux_lm,watts,rf,ra,x,y,u_prime,v_prime,cct_k,duv,delta_uv,goal_reason,slots");
    put_csv_channel_heads(report->kinds, true, out);
    (void)fputc('\n', out);
    for (size_t i = 0; i < report->count; i++) {
        const struct listed_choice *listed = &report->listed[i];
        mtm_uv uv = mtm_uv_from_xyz(listed->match.xyz);
        const double cells[] = {listed->match.flux_lm,
                                listed->match.watts,
                                listed->rf,
                                listed->ra,
                                listed->match.xy.x,
                                listed->match.xy.y,
                                uv.u,
                                uv.v,
                                match_white(&listed->match, MTM_OBSERVER_2).cct_k,
                                match_white(&listed->match, MTM_OBSERVER_2).duv,
                                listed->match.delta_uv};
        text_put_csv(listed->name != NULL ? listed->name : "", out);
        for (size_t k = 0; k < sizeof cells / sizeof *cells; k++)
            text_put_csv_number(cells[k], 6, out);
        (void)fputc(',', out);
        text_put_csv(mtm_fallback_text(report->fallback), out);
        put_csv_slots(report->unit, &listed->match.codes, false, out);
        put_csv_channels(report->kinds, report->unit, &listed->match.codes, listed->match.level,
                         out);
        (void)fputc('\n', out);
    }
}

const struct writer choices_writers[] = {
    WRITER_TABLE(write_table), WRITER_JSON(write_json), WRITER_CSV(write_csv), {0}};
