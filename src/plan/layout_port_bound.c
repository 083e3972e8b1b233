/* SPDX-License-Identifier: MIT */
/* Port bounds: what no way of feeding units from supplies can do better. */
#include "plan/layout_port_bound.h"

#include "base/number.h"
#include "plan/layout_pack.h"

#include <math.h>
#include <stdlib.h>

enum { BOUND_STEPS = 100 };

static double total_of(const mtm_supply *supply)
{
    return supply->total_w;
}

static double port_of(const mtm_supply *supply)
{
    return supply->port_w;
}

static double ports_of(const mtm_supply *supply)
{
    return supply->ports;
}

static double all_ports_of(const mtm_supply *supply)
{
    return supply->ports * supply->port_w;
}

static double units_of(const mtm_supply *supply)
{
    return supply->ports * (double)(supply->port_units > 0 ? supply->port_units : MTM_UNITS_MAX);
}

double mtmi_supply_watts(const mtm_supply *supply)
{
    return fmin(total_of(supply), all_ports_of(supply));
}

static int falling(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;

    return x > y ? -1 : x < y;
}

/* What m supplies have at most in one respect: those in use whatever happens, and the best others
 * in this respect by itself. */
static double best_sum(const mtmi_port_demand *d, size_t m, double (*what)(const mtm_supply *),
                       double *others)
{
    size_t other_count = d->supply_count - d->bound_count;
    double sum = 0;

    for (size_t k = 0; k < d->bound_count; k++)
        sum += what(&d->supplies[d->order[k]]);
    for (size_t k = 0; k < other_count; k++)
        others[k] = what(&d->supplies[d->order[d->bound_count + k]]);
    qsort(others, other_count, sizeof *others, falling);
    for (size_t k = 0; k + d->bound_count < m && k < other_count; k++)
        sum += others[k];
    return sum;
}

static double most(const mtmi_port_demand *d, double (*what)(const mtm_supply *))
{
    double best = 0;

    for (size_t s = 0; s < d->supply_count; s++)
        best = fmax(best, what(&d->supplies[s]));
    return best;
}

/* Bins that the units need where each holds so many watts. */
static size_t bins_needed(const mtmi_port_demand *d, double watts)
{
    return mtmi_bins_at_least(d->runs, d->run_count, watts, BOUND_STEPS);
}

bool mtmi_supplies_at_least(const mtmi_port_demand *d, size_t *least)
{
    double *others = calloc(d->supply_count + 1, sizeof *others);
    double ports = (double)bins_needed(d, most(d, port_of));
    size_t low = bins_needed(d, most(d, mtmi_supply_watts));
    size_t high = d->supply_count + 1;

    if (others == NULL)
        return false;
    low = low > d->bound_count ? low : d->bound_count;
    while (low < high) {
        size_t m = low + (high - low) / 2;
        double watts = best_sum(d, m, mtmi_supply_watts, others);
        if (mtmi_pack_within(d->watts, watts * (1 + MTMI_NOISE)) &&
            best_sum(d, m, ports_of, others) >= ports &&
            best_sum(d, m, units_of, others) >= (double)d->unit_count)
            high = m;
        else
            low = m + 1;
    }
    *least = low < d->supply_count + 1 ? low : d->supply_count + 1;
    free(others);
    return true;
}

/* The two lightest of the units that are one more than the ports share a port. */
static double pair_watts(const mtmi_port_demand *d, double ports)
{
    double before = 0; /* units heavier than run i */

    for (size_t i = 0; i < d->run_count; i++) {
        double end = before + (double)d->runs[i].count;
        if (ports >= 1 && ports < end) { /* unit number ports, from 0 */
            double lighter = d->runs[i].size;
            return lighter + (ports - 1 >= before || i == 0 ? lighter : d->runs[i - 1].size);
        }
        before = end;
    }
    return 0;
}

bool mtmi_peak_at_least(const mtmi_port_demand *d, size_t supplies, double *least)
{
    double *others = calloc(d->supply_count + 1, sizeof *others);
    double heaviest = d->run_count > 0 ? d->runs[0].size : 0;
    double port_w = most(d, port_of);

    if (others == NULL)
        return false;
    double parts[] = {
        d->watts / best_sum(d, supplies, total_of, others),
        d->watts / best_sum(d, supplies, all_ports_of, others),
        heaviest / port_w,
        heaviest / most(d, total_of),
        pair_watts(d, best_sum(d, supplies, ports_of, others)) / port_w,
    };
    *least = d->fixed_peak;
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        *least = fmax(*least, parts[i]);
    free(others);
    return true;
}
