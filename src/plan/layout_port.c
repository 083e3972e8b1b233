/* SPDX-License-Identifier: MIT */
/* Ports: which unit hangs on which port of which supply. */
#include "plan/layout_ports.h"

#include "base/error.h"
#include "plan/layout_bound.h"
#include "plan/layout_columns.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Everything made on the way from feeds to plugs. */
typedef struct work {
    mtmi_spread spread;
    mtmi_feed *feeds;
    size_t count;
    size_t *open;
    size_t *order; /* supplies: those in use whatever happens, then the strongest */
    mtmi_plug *plug[2];
    mtmi_size_run *runs; /* watts of all units, largest first */
    size_t run_count;
    double watts;
    mtmi_spread_answer best;
} work;

static void work_free(work *w)
{
    mtmi_loads *loads = &w->spread.loads;

    free(w->runs);
    free(w->plug[1]);
    free(w->plug[0]);
    free(w->order);
    free(w->open);
    free(w->spread.bound);
    free(loads->light);
    free(loads->units);
    free(loads->supply_w);
    free(loads->port_units);
    free(loads->port_w);
    free(loads->base);
}

static bool loads_create(mtmi_loads *loads)
{
    size_t supplies = loads->supply_count;

    loads->base = calloc(supplies + 1, sizeof *loads->base);
    if (loads->base == NULL)
        return false;
    for (size_t s = 0; s < supplies; s++)
        loads->base[s + 1] = loads->base[s] + (size_t)loads->supplies[s].ports;
    loads->port_w = calloc(loads->base[supplies] + 1, sizeof *loads->port_w);
    loads->port_units = calloc(loads->base[supplies] + 1, sizeof *loads->port_units);
    loads->supply_w = calloc(supplies + 1, sizeof *loads->supply_w);
    loads->units = calloc(supplies + 1, sizeof *loads->units);
    loads->light = calloc(supplies + 1, sizeof *loads->light);
    return loads->port_w != NULL && loads->port_units != NULL && loads->supply_w != NULL &&
           loads->units != NULL && loads->light != NULL;
}

static bool work_create(work *w)
{
    size_t supplies = w->spread.loads.supply_count;

    w->open = calloc(w->count + 1, sizeof *w->open);
    w->order = calloc(supplies + 1, sizeof *w->order);
    w->plug[0] = calloc(w->count + 1, sizeof *w->plug[0]);
    w->plug[1] = calloc(w->count + 1, sizeof *w->plug[1]);
    w->runs = calloc(w->count + 1, sizeof *w->runs);
    w->spread.bound = calloc(supplies + 1, sizeof *w->spread.bound);
    w->spread.feeds = w->feeds;
    w->spread.open = w->open;
    return w->open != NULL && w->order != NULL && w->plug[0] != NULL && w->plug[1] != NULL &&
           w->runs != NULL && w->spread.bound != NULL && loads_create(&w->spread.loads);
}

/* The strongest of all supplies' ports; the index of its supply. */
static size_t strongest_port(const mtmi_loads *loads)
{
    size_t best = 0;

    for (size_t s = 1; s < loads->supply_count; s++) {
        if (fmin(loads->supplies[s].port_w, loads->supplies[s].total_w) >
            fmin(loads->supplies[best].port_w, loads->supplies[best].total_w))
            best = s;
    }
    return best;
}

static mtm_result check_feed(const mtmi_feed *feed, const mtmi_loads *loads, size_t strongest,
                             mtm_error *error)
{
    size_t s = feed->supply >= 0 ? (size_t)feed->supply : strongest;

    if (!(feed->watts > 0) || !isfinite(feed->watts))
        return mtmi_fail(error, MTM_RANGE,
                         "unit \"%.60s\" takes %g W; a unit on a supply takes more than 0 W: state "
                         "the watts of its emitters",
                         feed->name, feed->watts);
    if (feed->supply < -1 || feed->supply >= (int)loads->supply_count)
        return mtmi_fail(error, MTM_RANGE, "unit \"%.60s\": there is no supply number %d",
                         feed->name, feed->supply);
    const mtm_supply *supply = &loads->supplies[s];
    if (feed->port < 0 || feed->port > supply->ports)
        return mtmi_fail(
            error, MTM_RANGE,
            "unit \"%.60s\" is on port %d of supply \"%.60s\", which has ports 1 to %d", feed->name,
            feed->port, supply->name, supply->ports);
    double rated = fmin(supply->port_w, supply->total_w);
    if (!mtmi_watts_fit(0, feed->watts, rated))
        return mtmi_fail(
            error, MTM_RANGE, "unit \"%.60s\" takes %.6g W, but %s \"%.60s\" %s %.6g W on a port",
            feed->name, feed->watts, feed->supply >= 0 ? "supply" : "even the strongest supply",
            supply->name, "may carry only", rated);
    return MTM_OK;
}

/* "\"a\", \"b\", \"c\" and 4 more" of the fixed units on a port, or on a supply for port 0. */
static void list_units(const work *w, int supply, int port, char *text, size_t room)
{
    size_t named = 0;
    size_t more = 0;
    size_t used = 0;

    text[0] = '\0';
    for (size_t i = 0; i < w->count; i++) {
        const mtmi_feed *feed = &w->feeds[i];
        bool there = feed->supply == supply && feed->port > 0 && (port == 0 || feed->port == port);
        if (there && named < 4) {
            int wrote = snprintf(text + used, room - used, "%s\"%.40s\"", named > 0 ? ", " : "",
                                 feed->name);
            used += wrote > 0 ? (size_t)wrote : 0;
            named++;
        } else {
            more += there;
        }
    }
    if (more > 0)
        (void)snprintf(text + used, room - used, " and %zu more", more);
}

static mtm_result check_fixed_loads(const work *w, mtm_error *error)
{
    const mtmi_loads *loads = &w->spread.loads;
    char units[300];

    for (size_t s = 0; s < loads->supply_count; s++) {
        const mtm_supply *supply = &loads->supplies[s];
        for (int port = 1; port <= supply->ports; port++) {
            size_t at = loads->base[s] + (size_t)port - 1;
            if (!mtmi_watts_fit(loads->port_w[at], 0, supply->port_w)) {
                list_units(w, (int)s, port, units, sizeof units);
                return mtmi_fail(error, MTM_RANGE,
                                 "port %d of supply \"%.40s\" is rated %.6g W and would carry "
                                 "%.6g W: %s",
                                 port, supply->name, supply->port_w, loads->port_w[at], units);
            }
            if (supply->port_units > 0 && loads->port_units[at] > supply->port_units) {
                list_units(w, (int)s, port, units, sizeof units);
                return mtmi_fail(error, MTM_RANGE,
                                 "port %d of supply \"%.40s\" takes at most %d units and would "
                                 "have %d: %s",
                                 port, supply->name, supply->port_units, loads->port_units[at],
                                 units);
            }
        }
        if (!mtmi_watts_fit(loads->supply_w[s], 0, supply->total_w)) {
            list_units(w, (int)s, 0, units, sizeof units);
            return mtmi_fail(error, MTM_RANGE,
                             "supply \"%.40s\" is rated %.6g W and would carry %.6g W: %s",
                             supply->name, supply->total_w, loads->supply_w[s], units);
        }
    }
    return MTM_OK;
}

static mtm_result hang_fixed(work *w, mtm_error *error)
{
    mtmi_loads *loads = &w->spread.loads;
    size_t strongest = strongest_port(loads);

    for (size_t i = 0; i < w->count; i++) {
        const mtmi_feed *feed = &w->feeds[i];
        mtm_result result = check_feed(feed, loads, strongest, error);
        if (result != MTM_OK)
            return result;
        if (feed->supply >= 0 && !w->spread.bound[feed->supply]) {
            w->spread.bound[feed->supply] = true;
            w->spread.bound_count++;
        }
        w->watts += feed->watts;
        if (feed->port > 0)
            mtmi_loads_add(loads, (mtmi_plug){feed->supply, feed->port}, feed->watts, 1);
        else
            w->open[w->spread.open_count++] = i;
    }
    for (size_t s = 0; s < loads->supply_count; s++)
        mtmi_loads_find_light(loads, s);
    return check_fixed_loads(w, error);
}

/* A number and where it stood, for sorting: the largest first, equals in the order given. */
typedef struct ranked {
    double value;
    int bound; /* goes before everything where smaller */
    size_t index;
} ranked;

static int by_rank(const void *a, const void *b)
{
    const ranked *p = a;
    const ranked *q = b;

    if (p->bound != q->bound)
        return p->bound < q->bound ? -1 : 1;
    if (p->value != q->value)
        return p->value > q->value ? -1 : 1;
    return p->index < q->index ? -1 : p->index > q->index;
}

static double strength(const mtm_supply *supply)
{
    return fmin(supply->total_w, supply->ports * supply->port_w);
}

static bool sort_supplies(work *w)
{
    size_t count = w->spread.loads.supply_count;
    ranked *ranks = calloc(count + 1, sizeof *ranks);

    if (ranks == NULL)
        return false;
    for (size_t s = 0; s < count; s++)
        ranks[s] = (ranked){strength(&w->spread.loads.supplies[s]), !w->spread.bound[s], s};
    qsort(ranks, count, sizeof *ranks, by_rank);
    for (size_t s = 0; s < count; s++)
        w->order[s] = ranks[s].index;
    free(ranks);
    return true;
}

/* Sorts open units (those bound to one supply beside each other) and counts all by watts. */
static bool sort_units(work *w)
{
    ranked *ranks = calloc(w->count + 1, sizeof *ranks);

    if (ranks == NULL)
        return false;
    for (size_t i = 0; i < w->count; i++)
        ranks[i] = (ranked){.value = w->feeds[i].watts, .index = i};
    qsort(ranks, w->count, sizeof *ranks, by_rank);
    for (size_t i = 0; i < w->count; i++) {
        if (w->run_count == 0 || w->runs[w->run_count - 1].size != ranks[i].value)
            w->runs[w->run_count++] = (mtmi_size_run){ranks[i].value, 0};
        w->runs[w->run_count - 1].count++;
    }
    for (size_t i = 0; i < w->spread.open_count; i++) {
        const mtmi_feed *feed = &w->feeds[w->open[i]];
        ranks[i] = (ranked){feed->watts, 0, w->open[i]};
    }
    qsort(ranks, w->spread.open_count, sizeof *ranks, by_rank);
    for (size_t i = 0; i < w->spread.open_count; i++)
        w->open[i] = ranks[i].index;
    free(ranks);
    return true;
}

enum { BOUND_STEPS = 100 };

/* What the first m supplies in order hold at most, where those behind the bound ones are the best
 * in each respect by themselves. */
typedef struct ability {
    double watts, total_w, port_watts;
    double ports, units;
} ability;

static int falling(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;

    return x > y ? -1 : x < y;
}

/* Sum of the m largest of what() over supplies, the bound ones first of all. */
static double best_sum(const work *w, size_t m, double (*what)(const mtm_supply *), double *room)
{
    const mtmi_loads *loads = &w->spread.loads;
    double sum = 0;
    size_t others = 0;

    for (size_t s = 0; s < loads->supply_count; s++) {
        if (w->spread.bound[s])
            sum += what(&loads->supplies[s]);
        else
            room[others++] = what(&loads->supplies[s]);
    }
    qsort(room, others, sizeof *room, falling);
    for (size_t i = 0; i + w->spread.bound_count < m && i < others; i++)
        sum += room[i];
    return sum;
}

static double total_of(const mtm_supply *supply)
{
    return supply->total_w;
}

static double ports_of(const mtm_supply *supply)
{
    return supply->ports;
}

static double units_of(const mtm_supply *supply)
{
    return supply->ports * (double)(supply->port_units > 0 ? supply->port_units : MTM_UNITS_MAX);
}

static double port_watts_of(const mtm_supply *supply)
{
    return supply->ports * supply->port_w;
}

static ability ability_of(const work *w, size_t m, double *room)
{
    return (ability){.watts = best_sum(w, m, strength, room),
                     .total_w = best_sum(w, m, total_of, room),
                     .port_watts = best_sum(w, m, port_watts_of, room),
                     .ports = best_sum(w, m, ports_of, room),
                     .units = best_sum(w, m, units_of, room)};
}

/* Ports that the units need where none is stronger than the strongest. */
static size_t ports_needed(const work *w)
{
    double strongest = 0;

    for (size_t s = 0; s < w->spread.loads.supply_count; s++)
        strongest = fmax(strongest, w->spread.loads.supplies[s].port_w);
    return mtmi_bins_at_least(w->runs, w->run_count, strongest, BOUND_STEPS);
}

static size_t totals_needed(const work *w)
{
    double strongest = 0;

    for (size_t s = 0; s < w->spread.loads.supply_count; s++)
        strongest = fmax(strongest, strength(&w->spread.loads.supplies[s]));
    return mtmi_bins_at_least(w->runs, w->run_count, strongest, BOUND_STEPS);
}

/* The least number of supplies that is not ruled out; more than there are if all are. */
static bool find_least(work *w)
{
    size_t count = w->spread.loads.supply_count;
    double *room = calloc(count + 1, sizeof *room);
    double ports = (double)ports_needed(w);
    size_t low = totals_needed(w);
    size_t high = count + 1;

    if (room == NULL)
        return false;
    if (low < w->spread.bound_count)
        low = w->spread.bound_count;
    while (low < high) {
        size_t m = low + (high - low) / 2;
        ability able = ability_of(w, m, room);
        if (mtmi_watts_fit(w->watts, 0, able.watts * (1 + MTMI_WATTS_SLACK)) &&
            able.ports >= ports && able.units >= (double)w->count)
            high = m;
        else
            low = m + 1;
    }
    w->spread.least = low;
    free(room);
    return true;
}

enum { HARD_KINDS_MOST = 64 };

/* A better bound where watts are few and round: by the linear relaxation over what the strongest
 * supply can carry. */
static bool raise_least(work *w)
{
    mtmi_column_kind kinds[HARD_KINDS_MOST];
    double strongest = 0;
    double step = 1;
    size_t least = 0;

    for (size_t s = 0; s < w->spread.loads.supply_count; s++)
        strongest = fmax(strongest, strength(&w->spread.loads.supplies[s]));
    if (w->run_count > HARD_KINDS_MOST ||
        !mtmi_common_step(w->runs, w->run_count, MTMI_COLUMN_CAPACITY_MOST, &step) ||
        strongest / step >= MTMI_COLUMN_CAPACITY_MOST)
        return true;
    for (size_t i = 0; i < w->run_count; i++)
        kinds[i] = (mtmi_column_kind){(int)round(w->runs[i].size / step), w->runs[i].count};
    int capacity = (int)floor(strongest / step * (1 + MTMI_WATTS_SLACK));
    if (!mtmi_columns_bound(kinds, w->run_count, capacity, &least))
        return false;
    if (least > w->spread.least)
        w->spread.least = least;
    return true;
}

/* The two lightest of the units that are one more than the ports share a port. */
static double pair_watts(const work *w, size_t ports)
{
    size_t before = 0; /* units heavier than run i */

    for (size_t i = 0; i < w->run_count; i++) {
        size_t end = before + w->runs[i].count;
        if (ports >= 1 && ports < end) { /* unit number ports, from 0 */
            double lighter = w->runs[i].size;
            double other = ports - 1 >= before || i == 0 ? lighter : w->runs[i - 1].size;
            return lighter + other;
        }
        before = end;
    }
    return 0;
}

/* No way on m supplies has a smaller peak. */
static bool find_peak_least(const work *w, size_t m, double *least)
{
    const mtmi_loads *loads = &w->spread.loads;
    double *room = calloc(loads->supply_count + 1, sizeof *room);
    double port_w = 0;
    double total_w = 0;

    if (room == NULL)
        return false;
    for (size_t s = 0; s < loads->supply_count; s++) {
        port_w = fmax(port_w, loads->supplies[s].port_w);
        total_w = fmax(total_w, loads->supplies[s].total_w);
    }
    ability able = ability_of(w, m, room);
    double peak = mtmi_loads_peak(loads);
    peak = fmax(peak, fmax(w->watts / able.total_w, w->watts / able.port_watts));
    if (w->run_count > 0)
        peak = fmax(peak, fmax(w->runs[0].size / port_w, w->runs[0].size / total_w));
    *least = fmax(peak, pair_watts(w, (size_t)able.ports) / port_w);
    free(room);
    return true;
}

static void keep_better(work *w, mtmi_spread_answer *tried)
{
    if (!tried->found)
        return;
    if (w->best.found && (tried->supplies > w->best.supplies ||
                          (tried->supplies == w->best.supplies && tried->peak >= w->best.peak)))
        return;
    mtmi_plug *spare = w->best.plug;
    w->best = *tried;
    tried->plug = spare;
}

/* How often all may be spread again: work grows with units times supplies. */
static int turns_allowed(const work *w, size_t supplies)
{
    double steps = (double)w->count * (double)supplies + 1;

    return (int)fmax(1, fmin(8, 4e8 / steps));
}

/* Fills supplies one after the other to see how many are needed, tries to do with fewer, and
 * spreads evenly over as many. */
static void spread_quickly(work *w)
{
    size_t count = w->spread.loads.supply_count;
    mtmi_spread_answer tried = {.plug = w->plug[1]};

    w->best = (mtmi_spread_answer){.plug = w->plug[0]};
    mtmi_spread_quick(&w->spread, MTMI_SPREAD_TIGHT, w->order, count, &tried);
    keep_better(w, &tried);
    if (!w->best.found || w->best.supplies > w->spread.least) {
        mtmi_spread_fill(&w->spread, w->order, count, &tried);
        keep_better(w, &tried);
    }
    size_t m = w->best.found ? w->best.supplies : count;
    int turns = turns_allowed(w, m);
    for (int turn = 0; turn < turns && m >= w->spread.least && m > 0; turn++, m--) {
        bool found = false;
        for (int rule = MTMI_SPREAD_TIGHT; rule <= MTMI_SPREAD_EVEN; rule++) {
            mtmi_spread_quick(&w->spread, (mtmi_spread_rule)rule, w->order, m, &tried);
            found = found || tried.found;
            keep_better(w, &tried);
        }
        if (!found)
            break;
    }
}

static mtm_result fail_to_fit(const work *w, bool proven, mtm_error *error)
{
    const mtmi_loads *loads = &w->spread.loads;
    double rated = 0;
    size_t ports = 0;

    for (size_t s = 0; s < loads->supply_count; s++) {
        rated += strength(&loads->supplies[s]);
        ports += (size_t)loads->supplies[s].ports;
    }
    return mtmi_fail(error, MTM_RANGE,
                     "%s on the supplies: %zu units from \"%.60s\" to \"%.60s\" take %.6g W, and "
                     "%zu suppl%s with %zu ports may carry %.6g W; add a supply",
                     proven ? "the units do not fit" : "no way was found to fit all units",
                     w->count, w->feeds[0].name, w->feeds[w->count - 1].name, w->watts,
                     loads->supply_count, loads->supply_count == 1 ? "y" : "ies", ports, rated);
}

static mtm_result solve(work *w, mtm_port_report *report, mtm_error *error)
{
    double peak_least = 0;
    bool complete = false;

    if (!sort_supplies(w) || !sort_units(w) || !find_least(w))
        return mtmi_fail_memory(error);
    if (w->spread.least > w->spread.loads.supply_count)
        return fail_to_fit(w, true, error);
    spread_quickly(w);
    if ((!w->best.found || w->best.supplies > w->spread.least) && !raise_least(w))
        return mtmi_fail_memory(error);
    size_t m = w->best.found ? w->best.supplies : w->spread.loads.supply_count;
    if (!find_peak_least(w, m, &peak_least))
        return mtmi_fail_memory(error);
    if (!w->best.found || w->best.supplies > w->spread.least ||
        w->best.peak > peak_least * (1 + MTMI_WATTS_SLACK))
        complete = mtmi_spread_search(&w->spread, peak_least, &w->best);
    if (!w->best.found)
        return fail_to_fit(w, complete, error);
    if (!find_peak_least(w, w->best.supplies, &peak_least) ||
        !mtmi_spread_tidy(&w->spread, w->best.plug))
        return mtmi_fail_memory(error);
    bool fewest = complete || w->best.supplies == w->spread.least;
    bool smallest = complete || w->best.peak <= peak_least * (1 + MTMI_WATTS_SLACK);
    for (size_t i = 0; i < w->spread.open_count; i++) {
        w->feeds[w->open[i]].supply = w->best.plug[i].supply;
        w->feeds[w->open[i]].port = w->best.plug[i].port;
    }
    *report = (mtm_port_report){
        .supplies = w->best.supplies,
        .supplies_least = fewest ? w->best.supplies : w->spread.least,
        .supplies_proven = fewest,
        .peak = w->best.peak,
        .peak_least = smallest ? w->best.peak : peak_least,
        .peak_proven = smallest,
    };
    return MTM_OK;
}

mtm_result mtmi_port_feeds(mtmi_feed *feeds, size_t count, const mtm_supply *supplies,
                           size_t supply_count, mtm_port_report *report, mtm_error *error)
{
    work w = {.feeds = feeds, .count = count};
    mtm_result result;

    if (count == 0 || supply_count == 0)
        return mtmi_fail(error, MTM_INVALID, "units and supplies are needed");
    w.spread.loads.supplies = supplies;
    w.spread.loads.supply_count = supply_count;
    result = work_create(&w) ? MTM_OK : mtmi_fail_memory(error);
    if (result == MTM_OK)
        result = hang_fixed(&w, error);
    if (result == MTM_OK)
        result = solve(&w, report, error);
    work_free(&w);
    return result;
}
