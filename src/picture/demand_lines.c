/* SPDX-License-Identifier: MIT */
/* Demand lines: which ports, supplies and circuits a picture of a demand has room for. */
#include "picture/demand_lines.h"

#include "base/error.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

const mtm_demand_row *mtmi_demand_line_row(const mtmi_demand_lines *lines,
                                           const mtmi_demand_line *line, size_t of_case)
{
    return mtm_demand_row_at(lines->of->cases[of_case].demand, line->row);
}

void mtmi_demand_line_name(const mtm_rig *rig, const mtm_demand_row *row, char *text, size_t room)
{
    if (row->type == MTM_DEMAND_CIRCUIT)
        (void)snprintf(text, room, "%s", mtm_rig_circuit(rig, row->index)->name);
    else if (row->type == MTM_DEMAND_SUPPLY)
        (void)snprintf(text, room, "%s", mtm_rig_supply(rig, row->index)->name);
    else
        (void)snprintf(text, room, "%d of %s", row->port, mtm_rig_supply(rig, row->index)->name);
}

static mtmi_demand_line line_of(const mtm_demand_view *of, size_t row)
{
    mtmi_demand_line line = {.row = row, .fulness = -1};

    for (size_t c = 0; c < of->count; c++) {
        const mtm_demand_row *at = mtm_demand_row_at(of->cases[c].demand, row);
        int64_t fulness = llround(1e6 * fmin(at->part, 1e9));
        if (fulness > line.fulness) {
            line.fulness = fulness;
            line.fullest = c;
        }
        line.over = line.over || at->over;
    }
    return line;
}

mtm_result mtmi_demand_lines_gather(const mtm_demand_view *of, mtmi_demand_lines *lines,
                                    mtm_error *error)
{
    const mtm_demand *first = of->cases[0].demand;
    size_t rows = mtm_demand_row_count(first), made = 0;

    *lines = (mtmi_demand_lines){.of = of, .line = calloc(rows + 1, sizeof *lines->line)};
    if (lines->line == NULL)
        return mtmi_fail_memory(error);
    for (mtm_demand_type type = MTM_DEMAND_PORT; type <= MTM_DEMAND_CIRCUIT; type++) {
        mtmi_demand_section *section = &lines->section[type];
        *section = (mtmi_demand_section){.type = type, .line = &lines->line[made]};
        for (size_t r = 0; r < rows; r++) {
            const mtm_demand_row *row = mtm_demand_row_at(first, r);
            if (row->type != type)
                continue;
            mtmi_demand_line *line = &section->line[section->count++];
            *line = line_of(of, r);
            section->share = row->share;
            lines->over += line->over;
            lines->most = fmax(lines->most, (double)line->fulness / 1e6);
        }
        section->shown = section->count;
        made += section->count;
    }
    return MTM_OK;
}

void mtmi_demand_lines_free(mtmi_demand_lines *lines)
{
    free(lines->line);
}

static int compare_fulness(const void *a, const void *b)
{
    const mtmi_demand_line *one = a, *other = b;

    if (one->over != other->over)
        return one->over ? -1 : 1;
    if (one->fulness != other->fulness)
        return one->fulness > other->fulness ? -1 : 1;
    return one->row < other->row ? -1 : 1;
}

size_t mtmi_demand_lines_shown(const mtmi_demand_lines *lines)
{
    size_t shown = 0;

    for (int type = 0; type <= MTM_DEMAND_CIRCUIT; type++) {
        const mtmi_demand_section *section = &lines->section[type];
        shown += section->shown + (section->shown < section->count);
    }
    return shown;
}

void mtmi_demand_lines_drop_longest(mtmi_demand_lines *lines)
{
    mtmi_demand_section *longest = &lines->section[0];

    for (int type = 1; type <= MTM_DEMAND_CIRCUIT; type++) {
        if (lines->section[type].count > longest->count)
            longest = &lines->section[type];
    }
    longest->count = longest->shown = 0;
}

void mtmi_demand_lines_fit(mtmi_demand_lines *lines, size_t most)
{
    size_t all[MTM_DEMAND_CIRCUIT + 1], left = most;
    int open = 0;

    for (int type = 0; type <= MTM_DEMAND_CIRCUIT; type++) {
        all[type] = lines->section[type].count;
        open += all[type] > 0;
    }
    /* the shortest section first, each its even share of what is left */
    for (; open > 0; open--) {
        int shortest = -1;
        for (int type = 0; type <= MTM_DEMAND_CIRCUIT; type++) {
            if (all[type] > 0 && (shortest < 0 || all[type] < all[shortest]))
                shortest = type;
        }
        mtmi_demand_section *section = &lines->section[shortest];
        size_t room = left / (size_t)open;
        if (section->count > room) {
            qsort(section->line, section->count, sizeof *section->line, compare_fulness);
            section->shown = room > 0 ? room - 1 : 0; /* the last line tells of the others */
        }
        left -= room < section->count ? room : section->count;
        all[shortest] = 0;
    }
}
