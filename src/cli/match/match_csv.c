/* SPDX-License-Identifier: MIT */
/* A match as CSV, one row a unit. */
#include "cli/match/match_out.h"

#include "cli/out/slots.h"
#include "cli/out/text.h"

#include <math.h>

static void put_colour(const struct match_report *report, const mtm_match *match, FILE *out)
{
    bool lit = match->xyz.y > 0;
    mtm_uv uv = mtm_uv_from_xyz(match->xyz);
    mtm_white white = match_white(match, report->target->observer);

    text_put_csv_number(lit ? match->xy.x : NAN, 6, out);
    text_put_csv_number(lit ? match->xy.y : NAN, 6, out);
    text_put_csv_number(lit ? uv.u : NAN, 6, out);
    text_put_csv_number(lit ? uv.v : NAN, 6, out);
    text_put_csv_number(white.cct_k, 2, out);
    text_put_csv_number(white.duv, 6, out);
    text_put_csv_number(lit ? match->delta_uv : NAN, 6, out);
}

static void put_judgement(const struct match_report *report, const mtm_judgement *judgement,
                          FILE *out)
{
    const char *basis = match_rests_on(judgement);

    text_put_csv_number(judgement->has_quality ? judgement->rf : (double)NAN, 2, out);
    (void)fprintf(out, ",%s", judgement->has_quality && basis != NULL ? basis : "");
    if (report->quality)
        text_put_csv_number(judgement->has_quality ? judgement->ra : (double)NAN, 2, out);
}

void match_put_csv_heads(const struct match_report *report, FILE *out)
{
    (void)fprintf(
        out,
        "unit,universe,address,flux_lm,watts,x,y,u_prime,v_prime,cct_k,duv,delta_uv,reachable,"
        "reason,goal,goal_reason,slots,rf,rf_rests_on%s%s",
        report->quality ? ",ra" : "", match_light_at(report) == MTM_LIGHT_LUX ? ",lux" : "");
    put_csv_channel_heads(report->kinds, true, out);
}

void match_put_csv_row(const struct match_report *report, const mtm_match *match, FILE *out)
{
    const mtm_unit *unit = match_unit_of(report, match);
    char why[MATCH_REASON_ROOM];

    text_put_csv(unit->name, out);
    text_put_csv_number(unit->address > 0 ? unit->universe : (double)NAN, 0, out);
    text_put_csv_number(unit->address > 0 ? unit->address : (double)NAN, 0, out);
    text_put_csv_number(match->flux_lm, 3, out);
    text_put_csv_number(match->watts, 3, out);
    put_colour(report, match, out);
    match_reason(report, match, why, sizeof why);
    (void)fprintf(out, ",%s,",
                  mtm_match_reached(match, match_was_held(report, match)) ? "yes" : "no");
    text_put_csv(why, out);
    (void)fprintf(out, ",%s,", match_goal_name(match->goal));
    text_put_csv(mtm_fallback_text(match->fallback), out);
    put_csv_slots(unit, &match->codes, report->kinds->dimmer_apart, out);
    put_judgement(report, &report->judgement[match - report->match], out);
    if (match_light_at(report) == MTM_LIGHT_LUX)
        text_put_csv_number(match->flux_lm * mtm_unit_lux_per_lm(unit), 3, out);
    put_csv_channels(report->kinds, unit, &match->codes, match->level, out);
}

void match_write_csv(const void *data, FILE *out)
{
    const struct match_report *report = data;

    if (report->palette != NULL) {
        palette_write_csv(report, out);
        return;
    }
    match_put_csv_heads(report, out);
    (void)fputc('\n', out);
    for (size_t i = 0; i < report->count; i++) {
        match_put_csv_row(report, &report->match[i], out);
        (void)fputc('\n', out);
    }
}
