/* SPDX-License-Identifier: MIT */
/* Ports in order: of many ways that are equally good, the one that reads like the file. */
#include "plan/layout_ports.h"

#include <stdlib.h>

/* A supply or a port and the first unit of the file that hangs there. */
typedef struct first_unit {
    size_t unit; /* SIZE_MAX: none */
    int number;
} first_unit;

static int by_unit(const void *a, const void *b)
{
    const first_unit *p = a;
    const first_unit *q = b;

    if (p->unit != q->unit)
        return p->unit < q->unit ? -1 : 1;
    return p->number - q->number;
}

static int by_plug(const void *a, const void *b)
{
    const mtmi_plug *p = a;
    const mtmi_plug *q = b;

    return p->supply != q->supply ? p->supply - q->supply : p->port - q->port;
}

/* Units of equal watts that may hang anywhere change places until they stand in order. Open units
 * come sorted by watts, equal ones by their place in the file. */
static bool tidy_units(const mtmi_spread *spread, mtmi_plug *plug)
{
    mtmi_plug *equal = calloc(spread->open_count + 1, sizeof *equal);
    size_t end = 0;

    if (equal == NULL)
        return false;
    for (size_t start = 0; start < spread->open_count; start = end) {
        double watts = spread->feeds[spread->open[start]].watts;
        size_t count = 0;
        for (end = start; end < spread->open_count; end++) {
            const mtmi_feed *feed = &spread->feeds[spread->open[end]];
            if (feed->watts != watts)
                break;
            if (feed->supply < 0)
                equal[count++] = plug[end];
        }
        qsort(equal, count, sizeof *equal, by_plug);
        count = 0;
        for (size_t i = start; i < end; i++) {
            if (spread->feeds[spread->open[i]].supply < 0)
                plug[i] = equal[count++];
        }
    }
    free(equal);
    return true;
}

static bool equal_ratings(const mtm_supply *a, const mtm_supply *b)
{
    return a->ports == b->ports && a->port_w == b->port_w && a->total_w == b->total_w &&
           a->port_units == b->port_units;
}

/* New numbers for one class of equal supplies that nothing binds: by the first unit on them. */
static void number_class(const mtmi_spread *spread, size_t lead, const size_t *first,
                         first_unit *members, int *number)
{
    const mtm_supply *supplies = spread->loads.supplies;
    size_t count = 0;

    for (size_t s = lead; s < spread->loads.supply_count; s++) {
        if (!spread->bound[s] && equal_ratings(&supplies[lead], &supplies[s]))
            members[count++] = (first_unit){first[s], (int)s};
    }
    qsort(members, count, sizeof *members, by_unit);
    size_t next = 0;
    for (size_t s = lead; s < spread->loads.supply_count && next < count; s++) {
        if (!spread->bound[s] && equal_ratings(&supplies[lead], &supplies[s]))
            number[members[next++].number] = (int)s;
    }
}

static bool tidy_supplies(const mtmi_spread *spread, mtmi_plug *plug)
{
    size_t count = spread->loads.supply_count;
    size_t *first = malloc((count + 1) * sizeof *first);
    first_unit *members = calloc(count + 1, sizeof *members);
    int *number = malloc((count + 1) * sizeof *number);
    bool done = first != NULL && members != NULL && number != NULL;

    for (size_t s = 0; done && s < count; s++) {
        first[s] = SIZE_MAX;
        number[s] = -1;
    }
    for (size_t i = 0; done && i < spread->open_count; i++) {
        size_t *unit = &first[plug[i].supply];
        *unit = spread->open[i] < *unit ? spread->open[i] : *unit;
    }
    for (size_t s = 0; done && s < count; s++) {
        if (spread->bound[s])
            number[s] = (int)s;
        else if (number[s] < 0)
            number_class(spread, s, first, members, number);
    }
    for (size_t i = 0; done && i < spread->open_count; i++)
        plug[i].supply = number[plug[i].supply];
    free(number);
    free(members);
    free(first);
    return done;
}

/* New numbers for the ports of one supply that no fixed unit is on. */
static void number_ports(const mtmi_loads *loads, size_t supply, const size_t *first,
                         first_unit *members, int *number)
{
    size_t count = 0;
    size_t next = 0;

    for (size_t p = loads->base[supply]; p < loads->base[supply + 1]; p++) {
        number[p] = (int)(p - loads->base[supply]) + 1;
        if (loads->port_units[p] == 0)
            members[count++] = (first_unit){first[p], number[p]};
    }
    qsort(members, count, sizeof *members, by_unit);
    for (size_t p = loads->base[supply]; p < loads->base[supply + 1]; p++) {
        if (loads->port_units[p] == 0)
            number[loads->base[supply] + (size_t)members[next++].number - 1] =
                (int)(p - loads->base[supply]) + 1;
    }
}

static bool tidy_ports(const mtmi_spread *spread, mtmi_plug *plug)
{
    const mtmi_loads *loads = &spread->loads;
    size_t count = loads->base[loads->supply_count];
    size_t *first = malloc((count + 1) * sizeof *first);
    first_unit *members = calloc(MTM_PORTS_MAX + 1, sizeof *members);
    int *number = calloc(count + 1, sizeof *number);
    bool done = first != NULL && members != NULL && number != NULL;

    for (size_t p = 0; done && p < count; p++)
        first[p] = SIZE_MAX;
    for (size_t i = 0; done && i < spread->open_count; i++) {
        size_t *unit = &first[loads->base[plug[i].supply] + (size_t)plug[i].port - 1];
        *unit = spread->open[i] < *unit ? spread->open[i] : *unit;
    }
    for (size_t s = 0; done && s < loads->supply_count; s++)
        number_ports(loads, s, first, members, number);
    for (size_t i = 0; done && i < spread->open_count; i++)
        plug[i].port = number[loads->base[plug[i].supply] + (size_t)plug[i].port - 1];
    free(number);
    free(members);
    free(first);
    return done;
}

bool mtmi_spread_tidy(const mtmi_spread *spread, mtmi_plug *plug)
{
    return tidy_units(spread, plug) && tidy_supplies(spread, plug) && tidy_ports(spread, plug);
}
