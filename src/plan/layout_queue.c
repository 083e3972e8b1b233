/* SPDX-License-Identifier: MIT */
/* Queues: items by size, each size in the order given, taken to fill bins. */
#include "plan/layout_queue.h"

#include <stdlib.h>
#include <string.h>

bool mtmi_queues_create(const mtmi_pack *pack, mtmi_queues *queues)
{
    size_t at = 0;

    memset(queues, 0, sizeof *queues);
    queues->list = malloc((pack->count + 1) * sizeof *queues->list);
    if (queues->list == NULL)
        return false;
    for (size_t i = 0; i < pack->count; i++) {
        if (pack->items[i].only == MTMI_ANY_UNIVERSE)
            queues->end[pack->items[i].size]++;
    }
    for (int size = 1; size <= MTMI_UNIVERSE_SLOTS; size++) {
        queues->start[size] = at;
        at += queues->end[size];
        queues->end[size] = queues->start[size];
    }
    for (size_t i = 0; i < pack->count; i++) {
        if (pack->items[i].only == MTMI_ANY_UNIVERSE)
            queues->list[queues->end[pack->items[i].size]++] = i;
    }
    queues->left = at;
    return true;
}

void mtmi_queues_free(mtmi_queues *queues)
{
    free(queues->list);
    queues->list = NULL;
}

size_t mtmi_queues_left(const mtmi_queues *queues, int size)
{
    return queues->end[size] - queues->start[size];
}

void mtmi_queues_take(mtmi_queues *queues, int size, size_t into, size_t *bin)
{
    bin[queues->list[queues->start[size]++]] = into;
    queues->left--;
}

/* The fullest filling of room by bounded numbers of sizes: by[v] is the size whose addition first
 * reached v. Sizes go from large to small, so that a filling keeps small ones for later. */
static int fullest(const mtmi_queues *queues, int room, int *by)
{
    int copies[MTMI_UNIVERSE_SLOTS + 1];
    int best = 0;

    memset(by, 0, (size_t)(room + 1) * sizeof *by);
    for (int size = room; size >= 1 && best < room; size--) {
        size_t there = mtmi_queues_left(queues, size);
        if (there == 0)
            continue;
        memset(copies, 0, (size_t)(room + 1) * sizeof *copies);
        for (int v = size; v <= room; v++) {
            bool unreachable = v != size && by[v - size] == 0;
            if (by[v] != 0 || unreachable || (size_t)copies[v - size] >= there)
                continue;
            by[v] = size;
            copies[v] = copies[v - size] + 1;
            best = v > best ? v : best;
        }
    }
    return best;
}

static void fill_bin(mtmi_queues *queues, int room, size_t into, size_t *bin)
{
    int by[MTMI_UNIVERSE_SLOTS + 1];

    for (int v = fullest(queues, room, by); v > 0;) {
        int size = by[v]; /* the chain of by[] never asks for more of a size than there is */
        mtmi_queues_take(queues, size, into, bin);
        v -= size;
    }
}

/* Items that must go to one universe, the largest first. */
static void place_bound(const mtmi_pack *pack, int *room, size_t *bin)
{
    for (int size = MTMI_UNIVERSE_SLOTS; size >= 1; size--) {
        for (size_t i = 0; i < pack->count; i++) {
            if (pack->items[i].size != size || pack->items[i].only == MTMI_ANY_UNIVERSE)
                continue;
            size_t b = mtmi_pack_first_bin(pack, pack->items[i].only);
            for (; b < pack->bin_count && pack->bins[b].universe == pack->items[i].only; b++) {
                if (room[b] >= size) {
                    bin[i] = b;
                    room[b] -= size;
                    break;
                }
            }
        }
    }
}

bool mtmi_queues_fill_old(const mtmi_pack *pack, mtmi_queues *queues, size_t *bin)
{
    int *room = malloc((pack->bin_count + 1) * sizeof *room);

    if (room == NULL)
        return false;
    for (size_t i = 0; i < pack->count; i++)
        bin[i] = SIZE_MAX;
    for (size_t b = 0; b < pack->bin_count; b++)
        room[b] = pack->bins[b].room;
    if (queues->left < pack->count)
        place_bound(pack, room, bin);
    for (size_t b = 0; b < pack->bin_count && queues->left > 0; b++)
        fill_bin(queues, room[b], b, bin);
    free(room);
    return true;
}

void mtmi_queues_fill_new(const mtmi_pack *pack, mtmi_queues *queues, size_t first, size_t *bin)
{
    for (size_t into = pack->bin_count + first; queues->left > 0; into++) {
        int size = MTMI_UNIVERSE_SLOTS;
        while (mtmi_queues_left(queues, size) == 0)
            size--;
        mtmi_queues_take(queues, size, into, bin);
        fill_bin(queues, MTMI_UNIVERSE_SLOTS - size, into, bin);
    }
}

/* Best sum of squared sizes by stage (a size) and slots; -1 where no filling has that many. */
typedef struct even_table {
    int size[MTMI_UNIVERSE_SLOTS];
    size_t stages;
    int (*value)[MTMI_UNIVERSE_SLOTS + 1];
} even_table;

static void even_stage(const even_table *table, size_t stage, size_t there)
{
    const int *before = table->value[stage];
    int *after = table->value[stage + 1];
    int size = table->size[stage];

    memcpy(after, before, sizeof table->value[0]);
    for (int copies = 1; copies * size <= MTMI_UNIVERSE_SLOTS && (size_t)copies <= there;
         copies++) {
        int worth = copies * size * size;
        for (int v = copies * size; v <= MTMI_UNIVERSE_SLOTS; v++) {
            int from = before[v - copies * size];
            if (from >= 0 && from + worth > after[v])
                after[v] = from + worth;
        }
    }
}

static void even_stages(even_table *table, const mtmi_queues *queues)
{
    table->stages = 0;
    memset(table->value[0], -1, sizeof table->value[0]);
    table->value[0][0] = 0;
    for (int size = MTMI_UNIVERSE_SLOTS; size >= 1; size--) {
        if (mtmi_queues_left(queues, size) == 0)
            continue;
        table->size[table->stages] = size;
        even_stage(table, table->stages, mtmi_queues_left(queues, size));
        table->stages++;
    }
}

/* The filling with the largest items among those that leave at most slack, else the fullest. */
static int even_choice(const even_table *table, int slack)
{
    const int *value = table->value[table->stages];
    int best = MTMI_UNIVERSE_SLOTS;

    while (value[best] < 0)
        best--;
    for (int v = best; v >= MTMI_UNIVERSE_SLOTS - slack && v > 0; v--)
        best = value[v] > value[best] ? v : best;
    return best;
}

static void even_take(const even_table *table, int v, mtmi_queues *queues, size_t into, size_t *bin)
{
    for (size_t stage = table->stages; stage-- > 0;) {
        int size = table->size[stage];
        const int *before = table->value[stage];
        int wanted = table->value[stage + 1][v];
        int copies = 0; /* the smallest number that explains the value */
        while (before[v] < 0 || before[v] + copies * size * size != wanted) {
            mtmi_queues_take(queues, size, into, bin);
            copies++;
            v -= size;
        }
    }
}

static long long slots_left(const mtmi_queues *queues)
{
    long long slots = 0;

    for (int size = 1; size <= MTMI_UNIVERSE_SLOTS; size++)
        slots += (long long)mtmi_queues_left(queues, size) * size;
    return slots;
}

bool mtmi_queues_fill_evenly(const mtmi_pack *pack, mtmi_queues *queues, size_t universes,
                             size_t *bin)
{
    even_table *table = calloc(1, sizeof *table);
    bool done = false;

    if (table == NULL)
        return false;
    table->value = malloc((MTMI_UNIVERSE_SLOTS + 1) * sizeof *table->value);
    if (table->value == NULL)
        goto done;
    for (size_t opened = 0; queues->left > 0; opened++) {
        long long spare =
            (long long)(universes - opened) * MTMI_UNIVERSE_SLOTS - slots_left(queues);
        int slack =
            opened < universes && spare > 0 ? (int)(spare / (long long)(universes - opened)) : 0;
        even_stages(table, queues);
        even_take(table, even_choice(table, slack), queues, pack->bin_count + opened, bin);
    }
    done = true;
done:
    free(table->value);
    free(table);
    return done;
}
