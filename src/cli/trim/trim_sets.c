/* SPDX-License-Identifier: MIT */
/* Trim report: the units that are to agree with each other, and what is said of each such set. */
#include "base/number.h"
#include "cli/out/text.h"
#include "cli/trim/trim_report.h"

#include <metamer/tolerance.h>
#include <metamer/white.h>

#include <math.h>

/* "Units of the kind " and a name. */
#define SET_ROOM 200

size_t trim_rows(const struct trim_report *report)
{
    size_t rows = 0;

    for (size_t i = 0; i < report->sets.count; i++)
        rows += mtm_trim_count(report->sets.set[i].trim);
    return rows;
}

const struct trim_set *trim_set_of(const struct trim_report *report, size_t row, size_t *place)
{
    const struct trim_set *set = report->sets.set;

    while (row >= mtm_trim_count(set->trim)) {
        row -= mtm_trim_count(set->trim);
        set++;
    }
    if (place != NULL)
        *place = row;
    return set;
}

const mtm_trim_unit *trim_row(const struct trim_report *report, size_t row)
{
    size_t place = 0;
    const struct trim_set *set = trim_set_of(report, row, &place);

    return mtm_trim_at(set->trim, place);
}

void trim_set_text(const struct trim_report *report, const struct trim_set *set, char *text,
                   size_t room)
{
    text[0] = '\0';
    if (report->alike == MTM_ALIKE_GROUP && set->name == NULL)
        (void)snprintf(text, room, "Units of no group");
    else if (report->alike != MTM_ALIKE_ALL)
        (void)snprintf(text, room, "%s %s", report->alike == MTM_ALIKE_KIND ? "Kind" : "Group",
                       set->name);
}

double trim_provable_uv(const struct trim_report *report)
{
    double most = 0;

    for (size_t i = 0; i < report->sets.count; i++)
        most = fmax(most, mtm_trim_summarise(report->sets.set[i].trim).provable_uv);
    return most;
}

static const char *name_of(const struct trim_report *report, const mtm_trim_unit *one)
{
    return mtm_rig_unit(report->rig, one->unit)->name;
}

static void say_together(const struct trim_report *report, const struct trim_set *set, FILE *out)
{
    mtm_trim_summary summary = mtm_trim_summarise(set->trim);
    mtm_xy xy = mtm_xy_from_uv(summary.target);
    char whom[SET_ROOM];
    mtm_white white;

    if (!(summary.together_uv > 0))
        return;
    trim_set_text(report, set, whom, sizeof whom);
    (void)fprintf(out,
                  "%s%sNot every unit reaches the target; all go to the nearest white to it that "
                  "each of them reaches: x %.4f, y %.4f",
                  whom, whom[0] != '\0' ? ": " : "", xy.x, xy.y);
    if (mtm_white_from_xy(xy, &white, NULL) == MTM_OK)
        (void)fprintf(out, " (%.0f K, Duv %+.4f)", white.cct_k, text_clean(white.duv, 4));
    (void)fprintf(out, ", Δu'v' %.4f from the target. Distances below are from there.\n\n",
                  summary.together_uv);
}

static void say_output(const struct trim_report *report, const struct trim_set *set, FILE *out)
{
    mtm_trim_summary summary = mtm_trim_summarise(set->trim);
    const mtm_trim_unit *limit = mtm_trim_at(set->trim, summary.limits);
    const mtm_fixture *fixture = mtm_rig_unit(report->rig, limit->unit)->fixture;
    char whom[SET_ROOM];

    trim_set_text(report, set, whom, sizeof whom);
    (void)fprintf(out, "\n%s%sCommon output: %.0f lm (the meter reads %.4g from a %s)", whom,
                  whom[0] != '\0' ? ": " : "", summary.output, summary.output * summary.scale,
                  mtm_fixture_name(fixture));
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

static void say_agreement(const struct trim_report *report, const struct trim_set *set, FILE *out)
{
    mtm_trim_summary summary = mtm_trim_summarise(set->trim);
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
                      name_of(report, mtm_trim_at(set->trim, summary.apart[0])),
                      name_of(report, mtm_trim_at(set->trim, summary.apart[1])));
    else
        (void)fprintf(out, "; for the 10° observer it is not known: emitters without spectra.\n");
}

void trim_say_together(const struct trim_report *report, FILE *out)
{
    for (size_t i = 0; i < report->sets.count; i++)
        say_together(report, &report->sets.set[i], out);
}

void trim_say_output(const struct trim_report *report, FILE *out)
{
    for (size_t i = 0; i < report->sets.count; i++) {
        say_output(report, &report->sets.set[i], out);
        say_agreement(report, &report->sets.set[i], out);
    }
}

void trim_say_meant(const struct trim_report *report, FILE *out)
{
    static const char *const what[] = {
        [MTM_ALIKE_ALL] = "all these units, in white and output; in their mix, those of each kind",
        [MTM_ALIKE_KIND] = "the units of each kind, in white, output and mix; of two kinds the "
                           "output may differ, and where all go to a common white, that too",
        [MTM_ALIKE_GROUP] = "the units of each group, in white and output; in their mix, those of "
                            "each kind. Of two groups the output may differ, and where all go to a "
                            "common white, that too; a unit of several groups counts to the "
                            "smallest",
    };

    (void)fprintf(out, "Meant to be alike: %s.\n", what[report->alike]);
}
