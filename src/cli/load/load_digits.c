/* SPDX-License-Identifier: MIT */
/* Load digits: no more of them than what was assumed allows. */
#include "cli/load/load_out.h"

#include <math.h>

bool load_knows_amperes(const mtm_demand_row *row)
{
    return row->amperes > 0 || row->watts == 0;
}

/* Whether what is drawn from the mains rests on an efficiency that nobody stated, or VA and
 * amperes on such a power factor as well. */
static bool is_assumed(const struct load_view *view, const mtm_supply *supply, bool rests_on_va)
{
    return (supply->efficiency == 0 && view->options.efficiency == 0) ||
           (rests_on_va && supply->power_factor == 0 && view->options.power_factor == 0);
}

bool load_row_assumed(const struct load_view *view, const mtm_demand_row *row, bool rests_on_va)
{
    if (row->type == MTM_DEMAND_SUPPLY)
        return is_assumed(view, mtm_rig_supply(view->rig, row->index), rests_on_va);
    for (size_t s = 0; row->type == MTM_DEMAND_CIRCUIT && s < mtm_rig_supply_count(view->rig);
         s++) {
        const mtm_supply *supply = mtm_rig_supply(view->rig, s);
        if (supply->circuit == (int)row->index && is_assumed(view, supply, rests_on_va))
            return true;
    }
    return false;
}

double load_digits(double value)
{
    double step = value > 0 ? pow(10, floor(log10(value)) - 1) : 1;

    return round(value / step) * step;
}

int load_decimals(double value)
{
    return value > 0 ? (int)fmax(0, 1 - floor(log10(value))) : 0;
}

double load_shown(const struct load_view *view, const mtm_demand_row *row, double value,
                  bool rests_on_va)
{
    return load_row_assumed(view, row, rests_on_va) ? load_digits(value) : value;
}

bool load_whole_assumed(const struct load_view *view, bool rests_on_va)
{
    const mtm_supply unstated = {.efficiency = 0};
    bool assumed = view->unplugged > 0 && is_assumed(view, &unstated, rests_on_va);

    for (size_t s = 0; s < mtm_rig_supply_count(view->rig); s++)
        assumed = assumed || is_assumed(view, mtm_rig_supply(view->rig, s), rests_on_va);
    return assumed;
}

double load_whole_digits(const struct load_view *view, double value, bool rests_on_va)
{
    return load_whole_assumed(view, rests_on_va) ? load_digits(value) : value;
}
