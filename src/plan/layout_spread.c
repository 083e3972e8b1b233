/* SPDX-License-Identifier: MIT */
/* Ports: loads, and the quick ways of spreading units over them. */
#include "plan/layout_ports.h"

#include <math.h>

bool mtmi_watts_fit(double load, double watts, double rating)
{
    return load + watts <= rating * (1 + MTMI_WATTS_SLACK);
}

static bool port_takes_more(const mtmi_loads *loads, size_t supply, size_t port)
{
    int most = loads->supplies[supply].port_units;

    return most == 0 || loads->port_units[port] < most;
}

bool mtmi_loads_fit(const mtmi_loads *loads, mtmi_plug plug, double watts)
{
    size_t supply = (size_t)plug.supply;
    size_t port = loads->base[supply] + (size_t)plug.port - 1;

    return port_takes_more(loads, supply, port) &&
           mtmi_watts_fit(loads->port_w[port], watts, loads->supplies[supply].port_w) &&
           mtmi_watts_fit(loads->supply_w[supply], watts, loads->supplies[supply].total_w);
}

void mtmi_loads_add(mtmi_loads *loads, mtmi_plug plug, double watts, int sign)
{
    size_t supply = (size_t)plug.supply;
    size_t port = loads->base[supply] + (size_t)plug.port - 1;

    loads->port_w[port] += sign * watts;
    loads->port_units[port] += sign;
    loads->supply_w[supply] += sign * watts;
    loads->units[supply] += sign;
    if (loads->port_units[port] == 0)
        loads->port_w[port] = 0; /* no rounding is left behind */
    if (loads->units[supply] == 0)
        loads->supply_w[supply] = 0;
}

double mtmi_loads_peak(const mtmi_loads *loads)
{
    double peak = 0;

    for (size_t s = 0; s < loads->supply_count; s++) {
        peak = fmax(peak, loads->supply_w[s] / loads->supplies[s].total_w);
        for (size_t p = loads->base[s]; p < loads->base[s + 1]; p++)
            peak = fmax(peak, loads->port_w[p] / loads->supplies[s].port_w);
    }
    return peak;
}

size_t mtmi_loads_supplies(const mtmi_loads *loads)
{
    size_t count = 0;

    for (size_t s = 0; s < loads->supply_count; s++)
        count += loads->units[s] > 0;
    return count;
}

void mtmi_loads_find_light(mtmi_loads *loads, size_t supply)
{
    const mtm_supply *rated = &loads->supplies[supply];
    mtmi_light light = {.spare = -1,
                        .port_w = INFINITY,
                        .port_part = 1 / rated->port_w,
                        .supply_part = 1 / rated->total_w};

    for (int port = 1; port <= rated->ports; port++) {
        size_t at = loads->base[supply] + (size_t)port - 1;
        if (port_takes_more(loads, supply, at) && loads->port_w[at] < light.port_w) {
            light.port_w = loads->port_w[at];
            light.port = port;
        }
    }
    if (light.port > 0)
        light.spare = fmin(rated->port_w * (1 + MTMI_WATTS_SLACK) - light.port_w,
                           rated->total_w * (1 + MTMI_WATTS_SLACK) - loads->supply_w[supply]);
    loads->light[supply] = light;
}

static mtmi_plug choose_tight(const mtmi_loads *loads, const size_t *order, size_t order_count,
                              double watts)
{
    for (size_t i = 0; i < order_count; i++) {
        size_t supply = order[i];
        if (watts > loads->light[supply].spare)
            continue; /* not on its lightest port: on none */
        for (int port = 1; port <= loads->supplies[supply].ports; port++) {
            mtmi_plug plug = {(int)supply, port};
            if (mtmi_loads_fit(loads, plug, watts))
                return plug;
        }
    }
    return (mtmi_plug){-1, 0};
}

/* Where a supply's lightest port carries no larger part than elsewhere, the supply decides. */
static mtmi_plug choose_even(const mtmi_loads *loads, const size_t *order, size_t order_count,
                             double watts)
{
    mtmi_plug best = {-1, 0};
    double best_part = INFINITY;
    double best_supply = INFINITY;

    for (size_t i = 0; i < order_count; i++) {
        const mtmi_light *light = &loads->light[order[i]];
        double supply_part = (loads->supply_w[order[i]] + watts) * light->supply_part;
        if (watts > light->spare || supply_part > best_part)
            continue;
        double part = fmax(supply_part, (light->port_w + watts) * light->port_part);
        mtmi_plug plug = {(int)order[i], light->port};
        bool better = part < best_part || (part == best_part && supply_part < best_supply);
        if (better && mtmi_loads_fit(loads, plug, watts)) {
            best_part = part;
            best_supply = supply_part;
            best = plug;
        }
    }
    return best;
}

static mtmi_plug choose(const mtmi_spread *spread, mtmi_spread_rule rule, const mtmi_feed *feed,
                        const size_t *order, size_t order_count)
{
    size_t own = (size_t)(feed->supply >= 0 ? feed->supply : 0);

    if (feed->supply >= 0) {
        order = &own;
        order_count = 1;
    }
    if (rule == MTMI_SPREAD_EVEN)
        return choose_even(&spread->loads, order, order_count, feed->watts);
    return choose_tight(&spread->loads, order, order_count, feed->watts);
}

static void hang(mtmi_loads *loads, mtmi_plug plug, double watts, int sign)
{
    mtmi_loads_add(loads, plug, watts, sign);
    mtmi_loads_find_light(loads, (size_t)plug.supply);
}

void mtmi_spread_quick(mtmi_spread *spread, mtmi_spread_rule rule, const size_t *order,
                       size_t order_count, mtmi_spread_answer *answer)
{
    mtmi_plug *plug = answer->plug;
    bool fits = true;

    for (size_t i = 0; i < spread->open_count; i++)
        plug[i] = (mtmi_plug){-1, 0};
    for (int turn = 0; turn < 2; turn++) { /* units bound to a supply choose first */
        for (size_t i = 0; i < spread->open_count && fits; i++) {
            const mtmi_feed *feed = &spread->feeds[spread->open[i]];
            if ((feed->supply >= 0) != (turn == 0))
                continue;
            plug[i] = choose(spread, rule, feed, order, order_count);
            fits = plug[i].supply >= 0;
            if (fits)
                hang(&spread->loads, plug[i], feed->watts, 1);
        }
    }
    answer->found = fits;
    answer->supplies = mtmi_loads_supplies(&spread->loads);
    answer->peak = mtmi_loads_peak(&spread->loads);
    for (size_t i = 0; i < spread->open_count; i++) { /* back to the fixed units' loads */
        if (plug[i].supply >= 0)
            hang(&spread->loads, plug[i], spread->feeds[spread->open[i]].watts, -1);
    }
}
