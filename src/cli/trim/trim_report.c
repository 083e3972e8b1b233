/* SPDX-License-Identifier: MIT */
/* Trim report: what its writers share, and the sentences under its table. */
#include "cli/trim/trim_report.h"
#include "base/number.h"
#include "cli/match/match_out.h"
#include "cli/out/text.h"

#include <metamer/tolerance.h>
#include <metamer/white.h>

#include <math.h>

const struct writer trim_writers[] = {
    WRITER_TABLE(trim_write_table), WRITER_JSON(trim_write_json), WRITER_CSV(trim_write_csv), {0}};

const mtm_unit *trim_unit_of(const struct trim_report *report, size_t unit)
{
    return mtm_rig_unit(report->rig, unit);
}

bool trim_not_read(const struct trim_report *report, size_t unit)
{
    return (report->meant == NULL || report->meant[unit]) &&
           !mtm_calibration_unit(report->calibration, unit)->calibrated;
}

static const mtm_unit *unit_at(const void *context, size_t row)
{
    const struct trim_report *report = context;

    return trim_unit_of(report, mtm_trim_at(report->trim, row)->unit);
}

static const mtm_codes *codes_at(const void *context, size_t row, size_t way)
{
    (void)way;
    return &mtm_trim_at(((const struct trim_report *)context)->trim, row)->codes;
}

mtm_result trim_report_write(const struct args *args, struct trim_report *report, FILE *out,
                             mtm_error *error)
{
    const struct slot_source slots = {.context = report,
                                      .rows = mtm_trim_count(report->trim),
                                      .unit = unit_at,
                                      .codes = codes_at,
                                      .ways = 1};
    struct slot_kinds kinds = {.count = 0};
    mtm_result result = slot_kinds_create(&slots, args_choice(args, "as"), &kinds, error);

    report->slots = &slots;
    report->kinds = &kinds;
    if (result == MTM_OK)
        result = write_report(args, report, out, error);
    report->slots = NULL;
    report->kinds = NULL;
    slot_kinds_free(&kinds);
    return result;
}

void trim_reason(const struct trim_report *report, const mtm_trim_unit *one, char *text,
                 size_t room)
{
    text[0] = '\0';
    match_add_colour_causes(mtm_colour_misses(one->after.delta_uv, one->gamut_uv, one->codes_uv),
                            match_gamut_cause(trim_unit_of(report, one->unit)->fixture),
                            one->gamut_uv, "steps of its codes", one->codes_uv, text, room);
}

static const char *name_of(const struct trim_report *report, const mtm_trim_unit *one)
{
    return mtm_rig_unit(report->rig, one->unit)->name;
}

void trim_say_together(const struct trim_report *report, FILE *out)
{
    mtm_trim_summary summary = mtm_trim_summarise(report->trim);
    mtm_xy xy = mtm_xy_from_uv(summary.target);
    mtm_white white;

    if (!(summary.together_uv > 0))
        return;
    (void)fprintf(out,
                  "Not every unit reaches the target; all go to the nearest white to it that "
                  "each of them reaches: x %.4f, y %.4f",
                  xy.x, xy.y);
    if (mtm_white_from_xy(xy, &white, NULL) == MTM_OK)
        (void)fprintf(out, " (%.0f K, Duv %+.4f)", white.cct_k, text_clean(white.duv, 4));
    (void)fprintf(out, ", Δu'v' %.4f from the target. Distances below are from there.\n\n",
                  summary.together_uv);
}

void trim_say_output(const struct trim_report *report, FILE *out)
{
    mtm_trim_summary summary = mtm_trim_summarise(report->trim);
    const mtm_trim_unit *limit = mtm_trim_at(report->trim, summary.limits);
    const mtm_fixture *fixture = mtm_rig_unit(report->rig, limit->unit)->fixture;

    (void)fprintf(out, "\nCommon output: %.0f lm (the meter reads %.4g from a %s)", summary.output,
                  summary.output * summary.scale, mtm_fixture_name(fixture));
    if (summary.output_kept)
        (void)fprintf(out, ", as in the round before");
    if (mtmi_exceeds(summary.asked, summary.output) && !summary.output_kept)
        (void)fprintf(out, "; the %.0f lm asked are more than all can give", summary.asked);
    (void)fprintf(out, ".\n%s limits it: with the mix of its kind it gives at most %.0f lm ",
                  name_of(report, limit), limit->most);
    if (limit->shortfall & MTM_SHORT_GAMUT)
        (void)fprintf(out,
                      "as near as it comes to the target, which it does not reach (Δu'v' %.4f)",
                      limit->after.delta_uv);
    else
        (void)fprintf(out, "on the target");
    if (summary.without_limiting > 0)
        (void)fprintf(out, "; without it all could give %.0f lm (%+.1f %%)",
                      summary.without_limiting,
                      text_percent_more(summary.without_limiting, limit->most));
    (void)fprintf(
        out,
        ".\nUnits that had each the mix that gives it most light could give %.0f lm "
        "(%+.1f %%), those that use the whole tolerance as well %.0f lm (%+.1f %%), with "
        "twice that %.0f lm (%+.1f %%).\n",
        summary.output_own, text_percent_more(summary.output_own, limit->most),
        summary.output_within[0], text_percent_more(summary.output_within[0], limit->most),
        summary.output_within[1], text_percent_more(summary.output_within[1], limit->most));
}

/* "Most in doubt are response curves (A, B), droop (C)." */
static void say_doubts(const struct trim_report *report, FILE *out)
{
    size_t causes = 0;

    for (mtm_doubt doubt = 0; doubt < MTM_DOUBT_COUNT; doubt++) {
        size_t count = 0;
        for (size_t i = 0; i < mtm_trim_count(report->trim); i++) {
            const mtm_trim_unit *one = mtm_trim_at(report->trim, i);
            if (one->after.verdict != MTM_VERDICT_TO_MEASURE || one->after.chief != doubt)
                continue;
            if (count == 0)
                (void)fprintf(out, "%s%s (%s", causes == 0 ? "Most in doubt: " : ", ",
                              mtm_doubt_text(doubt), name_of(report, one));
            else
                (void)fprintf(out, ", %s", name_of(report, one));
            count++;
        }
        if (count == 0)
            continue;
        (void)fputc(')', out);
        causes++;
    }
    if (causes > 0)
        (void)fprintf(out, ".\n");
}

void trim_say_to_measure(const struct trim_report *report, FILE *out)
{
    size_t count = 0;

    for (size_t i = 0; i < mtm_trim_count(report->trim); i++) {
        const mtm_trim_unit *one = mtm_trim_at(report->trim, i);
        if (one->after.verdict != MTM_VERDICT_TO_MEASURE)
            continue;
        (void)fprintf(out, "%s%s",
                      count == 0 ? "To settle it, read each once at its codes above: " : ", ",
                      name_of(report, one));
        count++;
    }
    if (count > 0)
        (void)fprintf(out, " (%zu reading%s; then --again).\n", count, count == 1 ? "" : "s");
    say_doubts(report, out);
}

void trim_say_agreement(const struct trim_report *report, FILE *out)
{
    mtm_trim_summary summary = mtm_trim_summarise(report->trim);
    double apart = summary.apart_uv[MTM_OBSERVER_2];
    double apart_10 = summary.apart_uv[MTM_OBSERVER_10];

    if (summary.apart[0] == summary.apart[1])
        return; /* no two of a kind */
    (void)fprintf(
        out,
        "Units of one kind, as predicted, agree within Δu'v' %.4f (%.1f steps) for the 2° "
        "observer",
        apart, apart / MTM_STEP_UV);
    if (isfinite(apart_10))
        (void)fprintf(out,
                      "; for the 10° observer within %.4f (%.1f steps: %s and %s), by the spectra "
                      "that are known, bent to each unit's readings.\n",
                      apart_10, apart_10 / MTM_STEP_UV,
                      name_of(report, mtm_trim_at(report->trim, summary.apart[0])),
                      name_of(report, mtm_trim_at(report->trim, summary.apart[1])));
    else
        (void)fprintf(out, "; for the 10° observer it is not known: emitters without spectra.\n");
}

void trim_say_kept(const struct trim_report *report, FILE *out)
{
    size_t kept = 0;
    bool named = false;

    for (size_t i = 0; i < mtm_trim_count(report->trim); i++)
        kept += mtm_trim_at(report->trim, i)->left_alone ? 1 : 0;
    if (kept > 0)
        (void)fprintf(out, "%zu left as %s: proven inside, or not read in this round.\n", kept,
                      kept == 1 ? "it was" : "they were");
    for (size_t i = 0; i < mtm_trim_count(report->trim); i++) {
        const mtm_trim_unit *one = mtm_trim_at(report->trim, i);
        if (one->goal == report->goal)
            continue;
        (void)fprintf(out, "%s%s",
                      named ? ", "
                            : "Goal light, for want of spectra or of a colour "
                              "temperature: ",
                      name_of(report, one));
        named = true;
    }
    if (named)
        (void)fprintf(out, ".\n");
}
