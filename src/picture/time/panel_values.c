/* SPDX-License-Identifier: MIT */
/* Panel values: what the pictures over time share: ranges, colours, names, and where they stand. */
#include "picture/time/panels.h"

#include <math.h>

/* Of a picture, what panels take. */
#define WIDE 0.6
#define NARROW 0.68
#define APART 16.0

void mtmi_panel_from_zero(mtmi_panel *panel, size_t count, double least_most)
{
    mtmi_span span = mtmi_panel_span(panel->line, panel->lines, count);

    panel->from = 0;
    panel->to = fmax(isnan(span.most) ? 0 : span.most * 1.08, least_most);
}

void mtmi_panel_about(mtmi_panel *panel, size_t count, double least_span, double usual)
{
    mtmi_span span = mtmi_panel_span(panel->line, panel->lines, count);

    if (isnan(span.least))
        span = (mtmi_span){usual, usual};
    double middle = (span.least + span.most) / 2;
    double half = fmax((span.most - span.least) * 0.58, least_span / 2);
    panel->from = middle - half;
    panel->to = middle + half;
}

mtm_xy mtmi_panel_colour(mtm_xyz light, bool seen)
{
    return seen && light.x + light.y + light.z > 0 ? mtm_xy_from_xyz(light) : (mtm_xy){NAN, NAN};
}

mtm_white mtmi_panel_white(mtm_xy xy, bool defined)
{
    mtm_white white;

    if (defined && isfinite(xy.x) && mtm_white_from_xy(xy, &white, NULL) == MTM_OK)
        return white;
    return (mtm_white){NAN, NAN};
}

const char *mtmi_panel_number(size_t index)
{
    static const char *const numbers[] = {"1", "2", "3", "4", "5", "6"};

    return index < sizeof numbers / sizeof numbers[0] ? numbers[index] : NULL;
}

void mtmi_panel_name(const char *number, const char *name, size_t others, mtmi_text *text)
{
    if (number != NULL)
        mtmi_text_add(text, "%s ", number);
    mtmi_text_add_cut(text, name, MTMI_PANEL_NAME);
    if (others > 0)
        mtmi_text_add(text, " and %zu alike", others);
}

mtmi_parts mtmi_over_time(mtmi_box box, bool moves)
{
    mtmi_parts parts = {box, box};

    if (!moves)
        return parts;
    if (box.height > box.width) {
        parts.large.height = (box.height - APART) * NARROW;
        parts.small.y += parts.large.height + APART;
        parts.small.height -= parts.large.height + APART;
    } else {
        parts.large.width = (box.width - APART) * WIDE;
        parts.small.x += parts.large.width + APART;
        parts.small.width -= parts.large.width + APART;
    }
    return parts;
}
