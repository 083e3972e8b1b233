/* SPDX-License-Identifier: MIT */
/* Ports by trying everything: depth first, with bounds, within a budget of steps. */
#include "plan/layout_ports.h"

#include <math.h>
#include <string.h>

enum {
    UNITS_MOST = 64,      /* more are not tried */
    WORK_MOST = 200000000 /* comparisons: some tenths of a second */
};

typedef struct search {
    mtmi_spread *spread;
    mtmi_spread_answer *answer;
    double peak_least;
    mtmi_plug at[UNITS_MOST];
    size_t supplies; /* in use so far */
    double peak;     /* so far */
    size_t work;
    bool stopped;
} search;

static bool better(size_t supplies, double peak, const mtmi_spread_answer *best)
{
    if (!best->found || supplies != best->supplies)
        return !best->found || supplies < best->supplies;
    return peak < best->peak * (1 - MTMI_WATTS_SLACK);
}

static void keep(search *s)
{
    memcpy(s->answer->plug, s->at, s->spread->open_count * sizeof *s->at);
    s->answer->supplies = s->supplies;
    s->answer->peak = s->peak;
    s->answer->found = true;
}

/* Another supply before this one, of equal ratings and just as empty, has been tried. */
static bool twin_supply(const search *s, int from, int supply)
{
    const mtmi_loads *loads = &s->spread->loads;
    const mtm_supply *own = &loads->supplies[supply];

    if (loads->units[supply] > 0 || s->spread->bound[supply])
        return false;
    for (int k = from; k < supply; k++) {
        const mtm_supply *other = &loads->supplies[k];
        if (loads->units[k] == 0 && !s->spread->bound[k] && other->ports == own->ports &&
            other->port_w == own->port_w && other->total_w == own->total_w &&
            other->port_units == own->port_units)
            return true;
    }
    return false;
}

/* Another port of this supply before this one, with the same load, has been tried. */
static bool twin_port(const mtmi_loads *loads, int from, mtmi_plug plug)
{
    size_t base = loads->base[plug.supply];
    size_t own = base + (size_t)plug.port - 1;

    for (size_t k = base + (size_t)from - 1; k < own; k++) {
        if (loads->port_w[k] == loads->port_w[own] &&
            loads->port_units[k] == loads->port_units[own])
            return true;
    }
    return false;
}

static void place_from(search *s, size_t i);

static void try_plug(search *s, size_t i, mtmi_plug plug)
{
    mtmi_loads *loads = &s->spread->loads;
    double watts = s->spread->feeds[s->spread->open[i]].watts;
    size_t supply = (size_t)plug.supply;
    size_t port = loads->base[supply] + (size_t)plug.port - 1;
    size_t supplies = s->supplies;
    double peak = s->peak;
    double port_w = loads->port_w[port];
    double supply_w = loads->supply_w[supply];

    s->supplies += loads->units[supply] == 0 && !s->spread->bound[supply];
    mtmi_loads_add(loads, plug, watts, 1);
    s->peak = fmax(s->peak, fmax(loads->port_w[port] / loads->supplies[supply].port_w,
                                 loads->supply_w[supply] / loads->supplies[supply].total_w));
    s->at[i] = plug;
    place_from(s, i + 1);
    mtmi_loads_add(loads, plug, watts, -1);
    loads->port_w[port] = port_w; /* to the last bit, so that twins stay twins */
    loads->supply_w[supply] = supply_w;
    s->supplies = supplies;
    s->peak = peak;
}

static void try_supply(search *s, size_t i, int supply, int first_port)
{
    const mtmi_loads *loads = &s->spread->loads;
    double watts = s->spread->feeds[s->spread->open[i]].watts;

    for (int port = first_port; port <= loads->supplies[supply].ports && !s->stopped; port++) {
        mtmi_plug plug = {supply, port};
        s->work += (size_t)(port - first_port + 10);
        if (mtmi_loads_fit(loads, plug, watts) && !twin_port(loads, first_port, plug))
            try_plug(s, i, plug);
    }
}

/* Equal units take ports that do not fall, so that no two orders of them are both tried. */
static mtmi_plug first_plug(const search *s, size_t i)
{
    const mtmi_feed *feed = &s->spread->feeds[s->spread->open[i]];
    mtmi_plug first = {feed->supply >= 0 ? feed->supply : 0, 1};

    if (i > 0) {
        const mtmi_feed *before = &s->spread->feeds[s->spread->open[i - 1]];
        if (before->watts == feed->watts && before->supply == feed->supply)
            first = s->at[i - 1];
    }
    return first;
}

static void place_from(search *s, size_t i)
{
    size_t supplies = s->supplies > s->spread->least ? s->supplies : s->spread->least;

    if (s->work > WORK_MOST)
        s->stopped = true;
    if (s->stopped || !better(supplies, fmax(s->peak, s->peak_least), s->answer))
        return;
    if (i == s->spread->open_count) {
        keep(s);
        return;
    }
    const mtmi_feed *feed = &s->spread->feeds[s->spread->open[i]];
    mtmi_plug first = first_plug(s, i);
    int end = feed->supply >= 0 ? feed->supply + 1 : (int)s->spread->loads.supply_count;
    for (int supply = first.supply; supply < end && !s->stopped; supply++) {
        s->work += (size_t)(supply - first.supply + 10);
        if (!twin_supply(s, first.supply, supply))
            try_supply(s, i, supply, supply == first.supply ? first.port : 1);
    }
}

bool mtmi_spread_search(mtmi_spread *spread, double peak_least, mtmi_spread_answer *answer)
{
    search s = {.spread = spread,
                .answer = answer,
                .peak_least = peak_least,
                .supplies = spread->bound_count,
                .peak = mtmi_loads_peak(&spread->loads)};

    if (spread->open_count > UNITS_MOST)
        return false;
    place_from(&s, 0);
    return !s.stopped;
}
