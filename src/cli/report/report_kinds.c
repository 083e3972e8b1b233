/* SPDX-License-Identifier: MIT */
/* The kinds of light of a rig in a report: what each can make. */
#include "cli/report/report_out.h"

#include <metamer/fixture_picture.h>

#include <string.h>

/* Kinds that are drawn, a page each. */
#define KINDS_DRAWN 12

static mtm_result draw_fixture(const void *subject, const mtm_picture_options *options,
                               mtm_picture **out, mtm_error *error)
{
    return mtm_picture_of_fixture(subject, MTM_OBSERVER_2, options, out, error);
}

void report_add_kinds(mtm_report *report, const mtm_rig *rig)
{
    const mtm_fixture *drawn[KINDS_DRAWN];
    size_t count = 0;

    for (size_t i = 0; i < mtm_rig_unit_count(rig) && count < KINDS_DRAWN; i++) {
        const mtm_fixture *fixture = mtm_rig_unit(rig, i)->fixture;
        bool found = false;
        for (size_t k = 0; k < count && !found; k++)
            found = strcmp(mtm_fixture_name(drawn[k]), mtm_fixture_name(fixture)) == 0;
        if (found)
            continue;
        drawn[count++] = fixture;
        mtm_report_add_heading(report, 1, mtm_fixture_name(fixture));
        mtm_report_add_picture(report, "what such units can make", 1, draw_fixture, fixture);
    }
}
