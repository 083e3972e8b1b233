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

static void add_number(mtm_report *report, const char *what, size_t number)
{
    char text[32];

    (void)snprintf(text, sizeof text, "%zu", number);
    if (number > 0)
        add_fact(report, what, text);
}

/* "60 %", "1200 lm"; nothing for the most, which is the rule. */
static void add_output(mtm_report *report, const struct args *args)
{
    add_fact(report, "Output", args_text(args, "output", "the most"));
}

static void add_target(mtm_report *report, const char *name, const mtm_target *target)
{
    char text[400];

    if (strstr(target->description, "x 0.") != NULL)
        (void)snprintf(text, sizeof text, "%s", target->description);
    else
        (void)snprintf(text, sizeof text, "%s (x %.4f, y %.4f)", target->description, target->xy.x,
                       target->xy.y);
    add_fact(report, name != NULL ? name : "Target", text);
}

static void add_asked(mtm_report *report, const struct args *args, const struct report_subject *of)
{
    const mtm_match_request *request = of->request;
    const size_t matched = of->colour[0].found.report.count;
    const char *index = matched > 0 ? match_index_name(&of->colour[0].found.report) : NULL;
    char text[120];

    for (size_t i = 0; i < of->count; i++)
        add_target(report, of->colour[i].name, &of->colour[i].target);
    add_output(report, args);
    (void)snprintf(text, sizeof text, "%zu, %s", matched,
                   of->together ? "to one colour and one output" : "each its best");
    if (matched > 0)
        add_fact(report, "Units matched", text);
    (void)snprintf(text, sizeof text, "%zu that were read, to one output", of->trimmed);
    if (of->trimmed > 0)
        add_fact(report, "Units trimmed", text);
    (void)snprintf(text, sizeof text, "%s%s%s", match_goal_name(request->goal),
                   index != NULL ? " by " : "", index != NULL ? index : "");
    add_fact(report, "Goal", text);
    add_fact(report, "Observer",
             of->colour[0].target.observer == MTM_OBSERVER_10 ? "CIE 1964, 10°" : "CIE 1931, 2°");
    if (args_has(args, "tolerance")) {
        (void)snprintf(text, sizeof text, "Δu'v' %.4f", args_number(args, "tolerance", 0));
        add_fact(report, "Tolerance", text);
    }
}

void report_add_cover(mtm_report *report, const struct args *args,
                      const struct report_subject *subject)
{
    const mtm_rig *rig = subject->rig;

    add_facts(report);
    add_fact(report, "Job", report_stated(args, "job", mtm_rig_job(rig)));
    add_fact(report, "Site", report_stated(args, "site", mtm_rig_site(rig)));
    add_fact(report, "Date", report_stated(args, "date", mtm_rig_date(rig)));
    add_fact(report, "By", report_stated(args, "by", mtm_rig_by(rig)));
    add_fact(report, "Rig", mtm_rig_name(rig));
    add_fact(report, "Revision", mtm_rig_revision(rig));
    add_number(report, "Units of the rig", mtm_rig_unit_count(rig));
    mtm_report_add_heading(report, 2, "What was asked");
    add_facts(report);
    add_asked(report, args, subject);
    mtm_report_add_contents(report);
    mtm_report_end_page(report);
}

/* Fixtures that were looked at: those of a rig are shared by many units. */
#define FIXTURES_SEEN 256

/* A paragraph for each emitter of a fixture that calls for a caution. */
static void say_light(const void *of, FILE *out)
{
    const mtm_fixture *fixture = of;

    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(fixture, k);
        char name[600];
        (void)snprintf(name, sizeof name, "%s of %s", emitter->name, mtm_fixture_name(fixture));
        if (emitter->spectrum != NULL)
            put_light_caution(name, emitter->spectrum, out);
    }
}

/* Each fixture once; one that was calibrated goes by its name, as the others of its kind do. */
static void add_light_cautions(mtm_report *report, const mtm_rig *rig)
{
    const char *seen[FIXTURES_SEEN];
    size_t count = 0;

    for (size_t i = 0; i < mtm_rig_unit_count(rig) && count < FIXTURES_SEEN; i++) {
        const mtm_fixture *fixture = mtm_rig_unit(rig, i)->fixture;
        bool found = false;
        for (size_t k = 0; k < count && !found; k++)
            found = strcmp(seen[k], mtm_fixture_name(fixture)) == 0;
        if (found)
            continue;
        seen[count++] = mtm_fixture_name(fixture);
        report_add_said_as(report, mtm_report_add_caution, say_light, fixture);
    }
}

void report_add_cautions(mtm_report *report, const mtm_rig *rig)
{
    char power[sizeof MTM_DEMAND_CAUTION + 4];

    mtm_report_add_heading(report, 1, "Cautions");
    (void)snprintf(power, sizeof power, "C%s.", MTM_DEMAND_CAUTION + 1);
    mtm_report_add_caution(report, power);
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
    add_light_cautions(report, rig);
}

void report_add_signatures(mtm_report *report, const struct args *args, const mtm_rig *rig)
{
    mtm_report_add_heading(report, 1, "Signed");
    mtm_report_add_signature(report, "handed over by", report_stated(args, "by", mtm_rig_by(rig)));
    mtm_report_add_signature(report, "received by", NULL);
}
