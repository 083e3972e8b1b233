/* SPDX-License-Identifier: MIT */
/* Trim output: a trim, or what became of units, as CSV. */
#include "cli/match/match_out.h"
#include "cli/out/slots.h"
#include "cli/out/text.h"
#include "cli/trim/trim_report.h"

#include <metamer/tolerance.h>

#include <math.h>

static void csv_state(const mtm_trim_state *state, FILE *out)
{
    mtm_xy xy = mtm_xy_from_xyz(state->xyz);

    text_put_csv_number(xy.x, 6, out);
    text_put_csv_number(xy.y, 6, out);
    text_put_csv_number(state->xyz.y, 3, out);
    text_put_csv_number(state->delta_uv, 6, out);
    text_put_csv_number(state->delta_uv / MTM_STEP_UV, 3, out);
    text_put_csv_number(state->duv, 6, out);
    text_put_csv_number(state->expanded_uv > 0 ? state->expanded_uv : NAN, 6, out);
    (void)fprintf(out, ",%s", mtm_verdict_text(state->verdict));
}

static void write_trim(const struct trim_report *report, FILE *out)
{
    const bool named = report->alike != MTM_ALIKE_ALL;

    (void)fprintf(out, "unit%s", named ? ",alike_with" : "");
    (void)fprintf(out, ",before_read,before_x,before_y,before_flux_lm,before_delta_uv,before_steps,"
                       "before_duv,before_expanded_uncertainty,before_verdict,"
                       "after_x,after_y,after_flux_lm,after_delta_uv,after_steps,after_duv,"
                       "after_expanded_uncertainty,after_verdict,most_flux_lm,reason,"
                       "slots,factors");
    put_csv_channel_heads(report->kinds, true, out);
    (void)fputc('\n', out);
    for (size_t i = 0; i < trim_rows(report); i++) {
        const mtm_trim_unit *one = trim_row(report, i);
        const mtm_unit *unit = trim_unit_of(report, one->unit);
        const char *set = trim_set_of(report, i, NULL)->name;
        text_put_csv(unit->name, out);
        if (named) {
            (void)fputc(',', out);
            text_put_csv(set != NULL ? set : "", out);
        }
        (void)fprintf(out, ",%s", one->before.measured ? "yes" : "no");
        csv_state(&one->before, out);
        csv_state(&one->after, out);
        text_put_csv_number(one->most, 3, out);
        char why[MATCH_REASON_ROOM];
        trim_reason(report, one, why, sizeof why);
        (void)fputc(',', out);
        text_put_csv(why, out);
        put_csv_slots(unit, &one->codes, false, out);
        for (size_t k = 0; k < mtm_fixture_emitter_count(unit->fixture); k++)
            (void)fprintf(out, "%c%.6f", k == 0 ? ',' : ' ', one->factor[k]);
        put_csv_channels(report->kinds, unit, &one->codes, one->level, out);
        (void)fputc('\n', out);
    }
}

static void write_moved(const struct trim_report *report, FILE *out)
{
    (void)fprintf(
        out, "unit,delta_uv,steps,output,most_then_flux_lm,most_now_flux_lm,emitters_output\n");
    for (size_t i = 0; i < report->moved_count; i++) {
        const mtm_moved *one = &report->moved[i];
        size_t count = mtm_fixture_emitter_count(trim_unit_of(report, one->unit)->fixture);
        text_put_csv(trim_unit_of(report, one->unit)->name, out);
        text_put_csv_number(one->delta_uv, 6, out);
        text_put_csv_number(one->delta_uv / MTM_STEP_UV, 3, out);
        text_put_csv_number(one->output, 5, out);
        text_put_csv_number(one->old_most, 3, out);
        text_put_csv_number(one->new_most, 3, out);
        for (size_t k = 0; k < count; k++)
            (void)fprintf(out, "%c%.5f", k == 0 ? ',' : ' ', one->emitter_output[k]);
        (void)fputc('\n', out);
    }
}

void trim_write_csv(const void *data, FILE *out)
{
    const struct trim_report *report = data;

    if (report->moved != NULL)
        write_moved(report, out);
    else
        write_trim(report, out);
}
