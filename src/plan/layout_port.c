/* SPDX-License-Identifier: MIT */
/* Ports: which unit hangs on which port of which supply.
 *
 * Supplies are tried in one order: those in use whatever happens, then the strongest. First fit
 * with the most watts first says how many are enough; then as few as the bound allows are tried,
 * and units are spread evenly over the first so many. Where bounds do not prove the answer and
 * units are few, everything is tried. What is equally good is put into the order of the file at the
 * end. Spreading dominates: units times supplies, so it is repeated only while that is quick
 * (TURN_STEPS). Sums of watts are compared with layout_pack's slack, nowhere exactly: a rating met
 * but for the last bit is met. The bounds are layout_port_bound.c's, and it must know of every
 * limit that is tested here. */
#include "plan/layout_port.h"

#include "base/error.h"
#include "base/number.h"
#include "plan/layout_pack.h"
#include "plan/layout_port_bound.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Everything made on the way from feeds to ports. */
typedef struct work {
    mtmi_feed *feeds;
    size_t count;
    const mtm_supply *supplies;
    size_t supply_count;
    mtmi_pool pool; /* of the pack and all lists */
    mtmi_pack pack; /* holder k is supply order[k] */
    size_t *order;
    uint32_t *holder; /* by supply */
    bool *bound;      /* by supply: a unit must hang there */
    mtmi_size_run *runs;
    mtmi_port_demand demand;
    size_t *bin[2];
    mtmi_pack_answer best;
} work;

static bool work_create(work *w)
{
    size_t ports = 0;

    for (size_t s = 0; s < w->supply_count; s++)
        ports += (size_t)w->supplies[s].ports;
    w->order = mtmi_pool_take(&w->pool, w->supply_count, sizeof *w->order);
    w->holder = mtmi_pool_take(&w->pool, w->supply_count, sizeof *w->holder);
    w->bound = mtmi_pool_take(&w->pool, w->supply_count, sizeof *w->bound);
    w->runs = mtmi_pool_take(&w->pool, w->count, sizeof *w->runs);
    w->bin[0] = mtmi_pool_take(&w->pool, w->count, sizeof *w->bin[0]);
    w->bin[1] = mtmi_pool_take(&w->pool, w->count, sizeof *w->bin[1]);
    mtmi_pack_create(&w->pack, &w->pool, w->count, w->supply_count, ports);
    return !w->pool.failed;
}

/* The supply with the strongest port. */
static size_t strongest_port(const work *w)
{
    size_t best = 0;

    for (size_t s = 1; s < w->supply_count; s++) {
        if (fmin(w->supplies[s].port_w, w->supplies[s].total_w) >
            fmin(w->supplies[best].port_w, w->supplies[best].total_w))
            best = s;
    }
    return best;
}

static mtm_result check_feed(const work *w, const mtmi_feed *feed, size_t strongest,
                             mtm_error *error)
{
    if (!(feed->watts > 0) || !isfinite(feed->watts))
        return mtmi_fail(error, MTM_RANGE,
                         "unit \"%.60s\" takes %g W; a unit on a supply takes more than 0 W: state "
                         "the watts of its emitters",
                         feed->name, feed->watts);
    if (feed->supply < -1 || feed->supply >= (int)w->supply_count)
        return mtmi_fail(error, MTM_RANGE, "unit \"%.60s\": there is no supply number %d",
                         feed->name, feed->supply);
    const mtm_supply *supply = &w->supplies[feed->supply >= 0 ? (size_t)feed->supply : strongest];
    if (feed->port < 0 || feed->port > supply->ports)
        return mtmi_fail(
            error, MTM_RANGE,
            "unit \"%.60s\" is on port %d of supply \"%.60s\", which has ports 1 to %d", feed->name,
            feed->port, supply->name, supply->ports);
    double rated = fmin(supply->port_w, supply->total_w);
    if (!mtmi_pack_within(feed->watts, rated))
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

/* port 0: the supply in all */
static mtm_result check_fixed_load(const work *w, size_t s, int port, mtm_error *error)
{
    const mtm_supply *supply = &w->supplies[s];
    const mtmi_pack_holder *holder = &w->pack.holders[w->holder[s]];
    const mtmi_pack_bin *bin = &w->pack.bins[holder->first_bin + (size_t)(port > 0 ? port - 1 : 0)];
    const mtmi_pack_content *content = port > 0 ? &bin->content : &holder->content;
    double rated = port > 0 ? bin->rated : holder->rated;
    bool few = port == 0 || bin->most == 0 || content->pieces <= bin->most;
    char units[300];

    if (mtmi_pack_within(content->size, rated) && few)
        return MTM_OK;
    list_units(w, (int)s, port, units, sizeof units);
    if (port == 0)
        return mtmi_fail(error, MTM_RANGE,
                         "supply \"%.40s\" is rated %.6g W and would carry %.6g W: %s",
                         supply->name, rated, content->size, units);
    if (few)
        return mtmi_fail(error, MTM_RANGE,
                         "port %d of supply \"%.40s\" is rated %.6g W and would carry %.6g W: %s",
                         port, supply->name, rated, content->size, units);
    return mtmi_fail(error, MTM_RANGE,
                     "port %d of supply \"%.40s\" takes at most %d units and would have %d: %s",
                     port, supply->name, bin->most, content->pieces, units);
}

static mtm_result check_fixed_loads(const work *w, mtm_error *error)
{
    mtm_result result = MTM_OK;

    for (size_t s = 0; s < w->supply_count; s++) {
        for (int port = 1; port <= w->supplies[s].ports && result == MTM_OK; port++)
            result = check_fixed_load(w, s, port, error);
        if (result == MTM_OK)
            result = check_fixed_load(w, s, 0, error);
    }
    return result;
}

/* A number and where it stood, for sorting: the largest first, equals in the order given. */
typedef struct ranked {
    double value;
    size_t index;
} ranked;

static int by_rank(const void *a, const void *b)
{
    const ranked *p = a;
    const ranked *q = b;

    if (p->value != q->value)
        return p->value > q->value ? -1 : 1;
    return p->index < q->index ? -1 : p->index > q->index;
}

/* Holders and their bins, in the order in which supplies are tried. */
static void list_supplies(work *w, ranked *ranks)
{
    mtmi_pack *pack = &w->pack;

    for (size_t s = 0; s < w->supply_count; s++)
        ranks[s] = (ranked){w->bound[s] ? INFINITY : mtmi_supply_watts(&w->supplies[s]), s};
    qsort(ranks, w->supply_count, sizeof *ranks, by_rank);
    for (size_t k = 0; k < w->supply_count; k++) {
        size_t s = ranks[k].index;
        const mtm_supply *supply = &w->supplies[s];
        w->order[k] = s;
        w->holder[s] = (uint32_t)k;
        pack->holders[k] = (mtmi_pack_holder){.rank = (uint32_t)s,
                                              .bound = w->bound[s],
                                              .first_bin = pack->bin_count,
                                              .rated = supply->total_w};
        for (int port = 0; port < supply->ports; port++)
            pack->bins[pack->bin_count++] = (mtmi_pack_bin){
                .holder = (uint32_t)k, .most = supply->port_units, .rated = supply->port_w};
        w->demand.bound_count += w->bound[s];
    }
    pack->holder_count = w->supply_count;
    pack->holders[pack->holder_count].first_bin = pack->bin_count;
}

/* Fixed units are hung, open ones are pieces, the most watts first; all are counted by watts. */
static void list_units_by_watts(work *w, ranked *ranks)
{
    mtmi_pack *pack = &w->pack;

    for (size_t i = 0; i < w->count; i++)
        ranks[i] = (ranked){w->feeds[i].watts, i};
    qsort(ranks, w->count, sizeof *ranks, by_rank);
    for (size_t k = 0; k < w->count; k++) {
        const mtmi_feed *feed = &w->feeds[ranks[k].index];
        size_t *runs = &w->demand.run_count;
        uint32_t only = feed->supply >= 0 ? w->holder[feed->supply] : MTMI_HOLDER_ANY;
        w->demand.watts += feed->watts;
        if (*runs == 0 || w->runs[*runs - 1].size != feed->watts)
            w->runs[(*runs)++] = (mtmi_size_run){feed->watts, 0};
        w->runs[*runs - 1].count++;
        if (feed->port > 0)
            mtmi_pack_add(pack, pack->holders[only].first_bin + (size_t)feed->port - 1, feed->watts,
                          1);
        else
            pack->pieces[pack->count++] = (mtmi_pack_piece){.size = feed->watts,
                                                            .group = MTMI_GROUP_NONE,
                                                            .only = only,
                                                            .first = (uint32_t)ranks[k].index};
    }
    mtmi_pack_fix(pack);
}

static mtm_result make_pack(work *w, mtm_error *error)
{
    size_t most = w->count > w->supply_count ? w->count : w->supply_count;
    size_t strongest = strongest_port(w);
    ranked *ranks = NULL;

    for (size_t i = 0; i < w->count; i++) {
        mtm_result result = check_feed(w, &w->feeds[i], strongest, error);
        if (result != MTM_OK)
            return result;
        if (w->feeds[i].supply >= 0)
            w->bound[w->feeds[i].supply] = true;
    }
    ranks = calloc(most + 1, sizeof *ranks);
    if (ranks == NULL)
        return mtmi_fail_memory(error);
    list_supplies(w, ranks);
    list_units_by_watts(w, ranks);
    free(ranks);
    w->pack.even = true;
    w->demand.supplies = w->supplies;
    w->demand.order = w->order;
    w->demand.supply_count = w->supply_count;
    w->demand.runs = w->runs;
    w->demand.unit_count = w->count;
    w->demand.fixed_peak = mtmi_pack_flaw(&w->pack);
    return check_fixed_loads(w, error);
}

static const double TURN_STEPS = 4e8; /* about a second */
enum { TURNS_MAX = 8 };

/* How often all may be spread again: work grows with units times supplies. */
static int turns_allowed(const work *w, size_t supplies)
{
    return (int)fmax(1, fmin(TURNS_MAX, TURN_STEPS / ((double)w->count * (double)supplies + 1)));
}

/* Looks how many supplies are enough, spreads evenly over as many, and tries to do with fewer. */
static bool spread_quickly(work *w)
{
    mtmi_pack *pack = &w->pack;
    size_t m = w->supply_count;
    bool done = mtmi_pack_first_fit(pack, NULL, m, w->bin[1]) &&
                mtmi_pack_improve(pack, w->bin[1], &w->best);

    if (w->best.found)
        m = w->best.cost.holders;
    int turns = turns_allowed(w, m);
    for (; done && turns > 0 && m >= pack->least.holders && m > 0; turns--, m--) {
        done = mtmi_pack_first_fit(pack, NULL, m, w->bin[1]) &&
               mtmi_pack_improve(pack, w->bin[1], &w->best) &&
               mtmi_pack_spread(pack, m, w->bin[1]) && mtmi_pack_improve(pack, w->bin[1], &w->best);
        if (!w->best.found || w->best.cost.holders > m)
            break;
    }
    return done;
}

static mtm_result fail_to_fit(const work *w, bool proven, mtm_error *error)
{
    double rated = 0;
    size_t ports = 0;

    for (size_t s = 0; s < w->supply_count; s++) {
        rated += mtmi_supply_watts(&w->supplies[s]);
        ports += (size_t)w->supplies[s].ports;
    }
    return mtmi_fail(error, MTM_RANGE,
                     "%s on the supplies: %zu units from \"%.60s\" to \"%.60s\" take %.6g W, and "
                     "%zu suppl%s with %zu ports may carry %.6g W; add a supply",
                     proven ? "the units do not fit" : "no way was found to fit all units",
                     w->count, w->feeds[0].name, w->feeds[w->count - 1].name, w->demand.watts,
                     w->supply_count, w->supply_count == 1 ? "y" : "ies", ports, rated);
}

/* As few supplies as can be found, then the smallest peak; *complete: there is nothing better. */
static mtm_result find_best(work *w, bool *complete, mtm_error *error)
{
    mtmi_pack *pack = &w->pack;

    if (!mtmi_supplies_at_least(&w->demand, &pack->least.holders))
        return mtmi_fail_memory(error);
    if (pack->least.holders > w->supply_count)
        return fail_to_fit(w, true, error);
    if (!spread_quickly(w))
        return mtmi_fail_memory(error);
    size_t m = w->best.found ? w->best.cost.holders : w->supply_count;
    if (!mtmi_peak_at_least(&w->demand, m, &pack->least.flaw))
        return mtmi_fail_memory(error);
    *complete = mtmi_pack_perfect(pack, &w->best);
    if (!*complete) {
        for (size_t i = 0; i < pack->count; i++)
            w->bin[1][i] = i;
        if (!mtmi_pack_search(pack, w->bin[1], &w->best, complete))
            return mtmi_fail_memory(error);
    }
    if (!w->best.found)
        return fail_to_fit(w, *complete, error);
    if (!mtmi_peak_at_least(&w->demand, w->best.cost.holders, &pack->least.flaw) ||
        !mtmi_pack_tidy(pack, w->best.bin))
        return mtmi_fail_memory(error);
    return MTM_OK;
}

static mtm_result solve(work *w, mtm_port_report *report, mtm_error *error)
{
    const mtmi_pack_cost *cost = &w->best.cost;
    const mtmi_pack_cost *least = &w->pack.least;
    bool complete = false;

    w->best.bin = w->bin[0];
    mtm_result result = find_best(w, &complete, error);
    if (result != MTM_OK)
        return result;
    bool fewest = complete || cost->holders == least->holders;
    bool smallest = complete || cost->flaw <= least->flaw * (1 + MTMI_NOISE);
    for (size_t i = 0; i < w->pack.count; i++) {
        mtmi_feed *feed = &w->feeds[w->pack.pieces[i].first];
        size_t bin = w->best.bin[i];
        uint32_t holder = w->pack.bins[bin].holder;
        feed->supply = (int)w->order[holder];
        feed->port = (int)(bin - w->pack.holders[holder].first_bin) + 1;
    }
    *report = (mtm_port_report){
        .supplies = cost->holders,
        .supplies_least = fewest ? cost->holders : least->holders,
        .supplies_proven = fewest,
        .peak = cost->flaw,
        .peak_least = smallest ? cost->flaw : least->flaw,
        .peak_proven = smallest,
    };
    return MTM_OK;
}

mtm_result mtmi_port_feeds(mtmi_feed *feeds, size_t count, const mtm_supply *supplies,
                           size_t supply_count, mtm_port_report *report, mtm_error *error)
{
    work w = {.feeds = feeds, .count = count, .supplies = supplies, .supply_count = supply_count};

    if (count == 0 || supply_count == 0)
        return mtmi_fail(error, MTM_INVALID, "units and supplies are needed");
    mtm_result result = work_create(&w) ? make_pack(&w, error) : mtmi_fail_memory(error);
    if (result == MTM_OK)
        result = solve(&w, report, error);
    mtmi_pool_free(&w.pool);
    return result;
}
