/* SPDX-License-Identifier: MIT */
/* A match as CSV, one row a unit. */
#include "cli/match/match_out.h"

#include "cli/out/text.h"

#include <metamer/white.h>

mtm_result match_write_csv(const struct match_report *report, FILE *out, mtm_error *error)
{
    (void)error;
    (void)fprintf(
        out,
        "unit,universe,address,flux_lm,watts,x,y,u_prime,v_prime,cct_k,duv,delta_uv,reachable,"
        "reason,goal,goal_reason,slots%s\n",
        report->judgement != NULL ? ",ra,rf" : "");
    for (size_t i = 0; i < report->count; i++) {
        const mtm_match *match = &report->match[i];
        const mtm_unit *unit = match_unit_of(report, match);
        mtm_uv uv = mtm_uv_from_xyz(match->xyz);
        mtm_white white;
        uint8_t slot[MTM_ADDRESS_MAX];
        char why[MATCH_REASON_ROOM];
        text_put_csv(unit->name, out);
        if (unit->address > 0)
            (void)fprintf(out, ",%d,%d", unit->universe, unit->address);
        else
            (void)fprintf(out, ",,");
        (void)fprintf(out, ",%.3f,%.3f", match->flux_lm, match->watts);
        if (match->xyz.y > 0)
            (void)fprintf(out, ",%.6f,%.6f,%.6f,%.6f", match->xy.x, match->xy.y, uv.u, uv.v);
        else
            (void)fprintf(out, ",,,,");
        if (match->xyz.y > 0 && report->target->observer == MTM_OBSERVER_2 &&
            mtm_white_from_xy(match->xy, &white, NULL) == MTM_OK)
            (void)fprintf(out, ",%.2f,%.6f", white.cct_k, text_clean(white.duv, 6));
        else
            (void)fprintf(out, ",,");
        match_reason(report, match, why, sizeof why);
        if (match->xyz.y > 0)
            (void)fprintf(out, ",%.6f", match->delta_uv);
        else
            (void)fprintf(out, ",");
        (void)fprintf(out, ",%s,", match_reached(report, match) ? "yes" : "no");
        text_put_csv(why, out);
        (void)fprintf(out, ",%s,", match_goal_name(match->goal));
        text_put_csv(mtm_fallback_text(match->fallback), out);
        mtm_codes_to_slots(unit->mode, &match->codes, slot);
        for (size_t k = 0; k < unit->mode->slot_count; k++)
            (void)fprintf(out, "%c%d", k == 0 ? ',' : ' ', slot[k]);
        if (report->judgement != NULL && report->judgement[i].has_quality)
            (void)fprintf(out, ",%.2f,%.2f", report->judgement[i].ra, report->judgement[i].rf);
        else if (report->judgement != NULL)
            (void)fprintf(out, ",,");
        (void)fputc('\n', out);
    }
    return MTM_OK;
}
