/* SPDX-License-Identifier: MIT */
/* Trim report: what its writers share. */
#include "cli/trim/trim_report.h"

#include "cli/match/match_out.h"

const struct writer trim_writers[] = {
    {"table", trim_write_table, NULL},
    {"json", NULL, trim_write_json},
    {"csv", trim_write_csv, NULL},
    {0},
};

const mtm_unit *trim_unit_of(const struct trim_report *report, size_t unit)
{
    return mtm_rig_unit(report->rig, unit);
}

void trim_reason(const mtm_trim_unit *one, char *text, size_t room)
{
    text[0] = '\0';
    if (one->after.delta_uv > MATCH_ON_TARGET_UV)
        match_add_colour_causes("target outside its gamut", one->gamut_uv, "steps of its codes",
                                one->codes_uv, text, room);
}
