/* SPDX-License-Identifier: MIT */
/* Power in a report: what ports, supplies and circuits carry. */
#include "cli/report/report_out.h"

#include <math.h>

static void add_row(mtm_report *report, const mtm_rig *rig, const mtm_demand_row *of,
                    struct report_row *row)
{
    const bool circuit = of->type == MTM_DEMAND_CIRCUIT;

    if (circuit)
        report_put_text(row, "circuit %s", mtm_rig_circuit(rig, of->index)->name);
    else if (of->type == MTM_DEMAND_SUPPLY)
        report_put_text(row, "%s in all", mtm_rig_supply(rig, of->index)->name);
    else
        report_put_text(row, "%s, port %d", mtm_rig_supply(rig, of->index)->name, of->port);
    report_put_text(row, "%zu", of->units);
    report_put_number(row, of->watts, 1);
    report_put_text(row, "%.5g %s", of->rated, circuit ? "A" : "W");
    if (of->part > 0)
        report_put_text(row, "%.0f %%", 100 * of->part);
    else
        report_put(row, "-");
    report_put(row, of->over ? "▲ over" : "● within");
    report_end_row(report, row);
}

static mtm_result draw_demand(const void *subject, const mtm_picture_options *options,
                              mtm_picture **out, mtm_error *error)
{
    return mtm_picture_of_demand(subject, options, out, error);
}

void report_add_demand(mtm_report *report, const mtm_demand_view *view)
{
    static const mtm_report_column columns[] = {{"Port, supply", false}, {"Units", true},
                                                {"Power W", true},       {"Rated", true},
                                                {"Of rated", true},      {"Verdict", false}};
    const mtm_demand *demand = view->cases[0].demand;
    struct report_row row = {.count = 0};
    char text[200];

    if (mtm_demand_row_count(demand) == 0)
        return;
    mtm_report_add_heading(report, 1, "Power");
    (void)snprintf(text, sizeof text,
                   "What this report's codes ask of ports, supplies and circuits: %.1f W in all. "
                   "Units that are neither matched nor trimmed count as dark.",
                   mtm_demand_whole(demand).watts);
    mtm_report_add_text(report, text);
    mtm_report_add_table(report, columns, 6, 1);
    for (size_t i = 0; i < mtm_demand_row_count(demand); i++)
        add_row(report, view->rig, mtm_demand_row_at(demand, i), &row);
    mtm_report_add_heading(report, 1, "Power against ratings");
    mtm_report_add_picture(report, "ports, supplies and circuits against their ratings", 0.5,
                           draw_demand, view);
}
