/* SPDX-License-Identifier: MIT */
/* Trim report: what its writers share, and the sentences under its table. */
#include "cli/trim/trim_report.h"
#include "cli/match/match_out.h"

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

    return trim_unit_of(report, trim_row(report, row)->unit);
}

static const mtm_codes *codes_at(const void *context, size_t row, size_t way)
{
    (void)way;
    return &trim_row(context, row)->codes;
}

struct slot_source trim_slot_source(const struct trim_report *report)
{
    return (struct slot_source){.context = report,
                                .rows = trim_rows(report),
                                .unit = unit_at,
                                .codes = codes_at,
                                .ways = 1};
}

mtm_result trim_report_write(const struct args *args, struct trim_report *report, FILE *out,
                             mtm_error *error)
{
    const struct slot_source slots = trim_slot_source(report);
    struct slot_kinds kinds = {.count = 0};
    mtm_result result = swatches_from_args(args, out, &report->swatches, error);

    if (result == MTM_OK)
        result = slot_kinds_create(&slots, args_choice(args, "as"), &kinds, error);
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

/* "Most in doubt are response curves (A, B), droop (C)." */
static void say_doubts(const struct trim_report *report, FILE *out)
{
    size_t causes = 0;

    for (mtm_doubt doubt = 0; doubt < MTM_DOUBT_COUNT; doubt++) {
        size_t count = 0;
        for (size_t i = 0; i < trim_rows(report); i++) {
            const mtm_trim_unit *one = trim_row(report, i);
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

    for (size_t i = 0; i < trim_rows(report); i++) {
        const mtm_trim_unit *one = trim_row(report, i);
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

void trim_say_kept(const struct trim_report *report, FILE *out)
{
    size_t kept = 0;
    bool named = false;

    for (size_t i = 0; i < trim_rows(report); i++)
        kept += trim_row(report, i)->left_alone ? 1 : 0;
    if (kept > 0)
        (void)fprintf(out, "%zu left as %s: proven inside, or not read in this round.\n", kept,
                      kept == 1 ? "it was" : "they were");
    for (size_t i = 0; i < trim_rows(report); i++) {
        const mtm_trim_unit *one = trim_row(report, i);
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
