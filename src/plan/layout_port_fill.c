/* SPDX-License-Identifier: MIT */
/* Ports: filling one supply after the other as completely as can be, where watts are few and round.
 */
#include "plan/layout_bound.h"
#include "plan/layout_ports.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    KINDS_MOST = 64,  /* different watts */
    ROOM_MOST = 20000 /* steps of a supply's rating */
};

static const double WORK_MOST = 1e9; /* elementary steps: about a second */

/* Open units of one kind of watts: open[next..end-1] are left. */
typedef struct kind {
    double watts;
    int steps; /* watts in steps */
    size_t next, end;
} kind;

typedef struct filling {
    mtmi_spread *spread;
    mtmi_plug *plug;
    kind kinds[KINDS_MOST];
    size_t kind_count;
    double step_w;
    size_t left;
    int *by;     /* by steps: 1 + the kind whose addition first reached them */
    int *copies; /* of that kind so far */
} filling;

/* Open units are sorted by watts, so that a kind is a run of them. */
static bool list_kinds(filling *f)
{
    const mtmi_spread *spread = f->spread;

    for (size_t i = 0; i < spread->open_count; i++) {
        const mtmi_feed *feed = &spread->feeds[spread->open[i]];
        if (feed->supply >= 0)
            return false; /* bound units are left to the other rules */
        if (f->kind_count > 0 && f->kinds[f->kind_count - 1].watts == feed->watts) {
            f->kinds[f->kind_count - 1].end = i + 1;
            continue;
        }
        if (f->kind_count == KINDS_MOST)
            return false;
        f->kinds[f->kind_count++] = (kind){feed->watts, 0, i, i + 1};
    }
    f->left = spread->open_count;
    return f->left > 0;
}

/* Watts as whole numbers of steps. */
static bool find_step(filling *f)
{
    mtmi_size_run runs[KINDS_MOST];

    for (size_t k = 0; k < f->kind_count; k++)
        runs[k] = (mtmi_size_run){f->kinds[k].watts, 1};
    if (!mtmi_common_step(runs, f->kind_count, ROOM_MOST, &f->step_w))
        return false;
    for (size_t k = 0; k < f->kind_count; k++)
        f->kinds[k].steps = (int)round(f->kinds[k].watts / f->step_w);
    return true;
}

static int room_of(const filling *f, size_t supply)
{
    const mtmi_loads *loads = &f->spread->loads;
    double rated = loads->supplies[supply].total_w * (1 + MTMI_WATTS_SLACK);
    double room = floor((rated - loads->supply_w[supply]) / f->step_w);

    return room < 0 ? 0 : room > ROOM_MOST ? ROOM_MOST : (int)room;
}

/* The fullest sum of watts within room; kinds go from large to small, so that a filling keeps small
 * ones for later. */
static int fullest(const filling *f, int room)
{
    int best = 0;

    memset(f->by, 0, (size_t)(room + 1) * sizeof *f->by);
    for (size_t k = 0; k < f->kind_count && best < room; k++) {
        int steps = f->kinds[k].steps;
        int there = (int)(f->kinds[k].end - f->kinds[k].next);
        if (there == 0)
            continue;
        memset(f->copies, 0, (size_t)(room + 1) * sizeof *f->copies);
        for (int v = steps; v <= room; v++) {
            bool unreachable = v != steps && f->by[v - steps] == 0;
            if (f->by[v] != 0 || unreachable || f->copies[v - steps] >= there)
                continue;
            f->by[v] = (int)k + 1;
            f->copies[v] = f->copies[v - steps] + 1;
            best = v > best ? v : best;
        }
    }
    return best;
}

/* Hangs up to most units of a kind on the first ports that fit; returns how many. */
static size_t hang_kind(filling *f, kind *of, size_t supply, size_t most)
{
    mtmi_loads *loads = &f->spread->loads;
    mtmi_plug plug = {(int)supply, 1};
    size_t hung = 0;

    while (hung < most && of->next < of->end && plug.port <= loads->supplies[supply].ports) {
        if (!mtmi_loads_fit(loads, plug, of->watts)) {
            plug.port++;
            continue;
        }
        mtmi_loads_add(loads, plug, of->watts, 1);
        f->plug[of->next++] = plug;
        f->left--;
        hung++;
    }
    return hung;
}

/* What the fullest sum asks for, as far as the ports carry it, then whatever else fits. */
static void fill_supply(filling *f, size_t supply)
{
    size_t wanted[KINDS_MOST] = {0};

    for (int v = fullest(f, room_of(f, supply)); v > 0;) {
        int k = f->by[v] - 1;
        wanted[k]++;
        v -= f->kinds[k].steps;
    }
    for (size_t k = 0; k < f->kind_count; k++)
        (void)hang_kind(f, &f->kinds[k], supply, wanted[k]);
    for (size_t k = 0; k < f->kind_count; k++)
        (void)hang_kind(f, &f->kinds[k], supply, SIZE_MAX);
}

static bool worth_trying(const filling *f)
{
    const mtmi_loads *loads = &f->spread->loads;
    double work = 0;

    for (size_t s = 0; s < loads->supply_count; s++)
        work += (double)f->kind_count * room_of(f, s);
    return work <= WORK_MOST;
}

void mtmi_spread_fill(mtmi_spread *spread, const size_t *order, size_t order_count,
                      mtmi_spread_answer *answer)
{
    filling f = {.spread = spread, .plug = answer->plug};

    answer->found = false;
    if (!list_kinds(&f) || !find_step(&f) || !worth_trying(&f))
        return;
    f.by = malloc((ROOM_MOST + 1) * sizeof *f.by);
    f.copies = malloc((ROOM_MOST + 1) * sizeof *f.copies);
    if (f.by != NULL && f.copies != NULL) {
        for (size_t i = 0; i < order_count && f.left > 0; i++)
            fill_supply(&f, order[i]);
        answer->found = f.left == 0;
        answer->supplies = mtmi_loads_supplies(&spread->loads);
        answer->peak = mtmi_loads_peak(&spread->loads);
        for (size_t k = 0; k < f.kind_count; k++) { /* back to the fixed units' loads */
            size_t first = k > 0 ? f.kinds[k - 1].end : 0;
            for (size_t i = first; i < f.kinds[k].next; i++)
                mtmi_loads_add(&spread->loads, f.plug[i], f.kinds[k].watts, -1);
        }
        for (size_t s = 0; s < spread->loads.supply_count; s++)
            mtmi_loads_find_light(&spread->loads, s);
    }
    free(f.copies);
    free(f.by);
}
