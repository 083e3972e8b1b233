/* SPDX-License-Identifier: MIT */
/* The first and the last of a report: what job it is of, cautions, sources, and room to sign. */
#include "cli/out/caution.h"
#include "cli/report/report_out.h"

#include <metamer/demand.h>

#include <string.h>

static void add_fact(mtm_report *report, const char *what, const char *text)
{
    if (text != NULL)
        mtm_report_add_row(report, (const char *const[]){what, text});
}

static void add_facts(mtm_report *report)
{
    static const mtm_report_column columns[] = {{NULL, false}, {NULL, false}};

    mtm_report_add_table(report, columns, 2, 1);
}

/* What was asked, in the words of the table's heading. */
static void add_asked(mtm_report *report, const struct match_report *match)
{
    const char *index = match_index_name(match);
    char text[400];

    if (strstr(match->target->description, "x 0.") != NULL)
        (void)snprintf(text, sizeof text, "%s", match->target->description);
    else
        (void)snprintf(text, sizeof text, "%s (x %.4f, y %.4f)", match->target->description,
                       match->target->xy.x, match->target->xy.y);
    add_fact(report, "Target", text);
    (void)snprintf(text, sizeof text, "%zu, %s", match->count,
                   match->together ? "one colour and one output for all" : "each its best");
    add_fact(report, "Units matched", text);
    (void)snprintf(text, sizeof text, "%s%s%s", match_goal_name(match->goal),
                   index != NULL ? " by " : "", index != NULL ? index : "");
    add_fact(report, "Goal", text);
    add_fact(report, "Observer",
             match->target->observer == MTM_OBSERVER_10 ? "CIE 1964, 10°" : "CIE 1931, 2°");
    if (match->has_tolerance) {
        (void)snprintf(text, sizeof text, "Δu'v' %.4f", match->tolerance);
        add_fact(report, "Tolerance", text);
    }
}

void report_add_cover(mtm_report *report, const struct args *args, const mtm_rig *rig,
                      const struct match_report *match)
{
    char units[64];

    (void)snprintf(units, sizeof units, "%zu", mtm_rig_unit_count(rig));
    add_facts(report);
    add_fact(report, "Job", report_stated(args, "job", mtm_rig_job(rig)));
    add_fact(report, "Site", report_stated(args, "site", mtm_rig_site(rig)));
    add_fact(report, "Date", report_stated(args, "date", mtm_rig_date(rig)));
    add_fact(report, "By", report_stated(args, "by", mtm_rig_by(rig)));
    add_fact(report, "Rig", mtm_rig_name(rig));
    add_fact(report, "Revision", mtm_rig_revision(rig));
    add_fact(report, "Units of the rig", units);
    mtm_report_add_heading(report, 2, "What was asked");
    add_facts(report);
    add_asked(report, match);
    mtm_report_add_heading(report, 2, "Contents");
    mtm_report_add_contents(report);
    mtm_report_end_page(report);
}

/* Whether an emitter of a rig has light that the eye hardly sees, in words. */
static void say_light(const void *of, FILE *out)
{
    const mtm_rig *rig = of;
    const mtm_fixture *last = NULL;

    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        const mtm_fixture *fixture = mtm_rig_unit(rig, i)->fixture;
        if (fixture == last)
            continue;
        last = fixture;
        for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
            const mtm_emitter *emitter = mtm_fixture_emitter(fixture, k);
            if (emitter->spectrum != NULL)
                put_light_caution(emitter->name, emitter->spectrum, out);
        }
    }
}

void report_add_cautions(mtm_report *report, const struct args *args, const mtm_rig *rig)
{
    (void)args;
    mtm_report_add_heading(report, 1, "Cautions");
    mtm_report_add_caution(report, MTM_DEMAND_CAUTION ".");
    mtm_report_add_caution(report,
                           "Caution: what hangs above people is hung, secured and inspected by "
                           "those who are trained and licensed to, by local codes; nothing here "
                           "was reckoned of weights and loads of rigging.");
    mtm_report_add_caution(report,
                           "Caution: bright light can dazzle and startle, and light that goes out "
                           "can leave people in the dark: clear stage and ladders first. Flashing "
                           "light, at about 3 to 60 flashes a second most of all, can bring on "
                           "seizures in photosensitive people: warn the audience, and follow local "
                           "codes.");
    report_add_said(report, say_light, rig);
}

void report_add_signatures(mtm_report *report, const struct args *args, const mtm_rig *rig)
{
    mtm_report_add_heading(report, 1, "Signed");
    mtm_report_add_signature(report, "handed over by", report_stated(args, "by", mtm_rig_by(rig)));
    mtm_report_add_signature(report, "received by", NULL);
}
