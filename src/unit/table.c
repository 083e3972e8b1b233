/* SPDX-License-Identifier: MIT */
/* Look-up table of one channel: made, shared and searched. */
#include "unit/table.h"

#include "base/error.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* How many curves of a cache are compared; a rig of measured units has many, and none alike. */
#define COMPARED_MAX 32

/* The highest code that is not left alone, up to code. */
static unsigned allowed_below(const struct mtmi_gaps *gaps, unsigned code)
{
    for (size_t i = 0; i < gaps->count; i++) {
        if (code >= gaps->range[i].first && code <= gaps->range[i].last)
            return gaps->range[i].first - 1;
    }
    return code;
}

/* The lowest code that is not left alone, from code on. */
static unsigned allowed_above(const struct mtmi_gaps *gaps, unsigned code)
{
    for (size_t i = 0; i < gaps->count; i++) {
        if (code >= gaps->range[i].first && code <= gaps->range[i].last)
            return gaps->range[i].last + 1;
    }
    return code;
}

/* What is left alone up to the highest code lowers the top; ranges never touch. */
static void take_gaps(struct mtmi_table *table, const struct mtmi_gaps *left_alone)
{
    for (size_t i = 0; left_alone != NULL && i < left_alone->count; i++) {
        if (left_alone->range[i].last == table->most)
            table->top = left_alone->range[i].first - 1;
        else
            table->gaps.range[table->gaps.count++] = left_alone->range[i];
    }
}

static bool same_gaps(const struct mtmi_gaps *a, const struct mtmi_gaps *b)
{
    size_t i = 0;

    while (i < a->count && i < b->count && a->range[i].first == b->range[i].first &&
           a->range[i].last == b->range[i].last)
        i++;
    return a->count == b->count && i == a->count;
}

static void fill(struct mtmi_levels *levels, const mtm_curve *curve, const struct mtmi_table *table)
{
    unsigned from = 0; /* hints below this are set */

    for (unsigned i = 0; i < 256; i++) {
        unsigned code = allowed_below(&table->gaps, i < table->top ? i : table->top);
        levels->level[i] = mtm_curve_level(curve, code / (double)table->full);
        bool same = i > 0 && levels->level[i] == levels->level[i - 1];
        levels->lowest[i] = same ? levels->lowest[i - 1] : (uint8_t)i;
    }
    levels->level[256] = levels->level[257] = INFINITY;
    memset(levels->hint, 255, sizeof levels->hint);
    for (unsigned i = 0; i < MTM_CODE_MAX_8; i++) {
        double next = levels->level[i + 1] * MTMI_LEVEL_HINTS;
        unsigned end = (unsigned)next + ((unsigned)next < next);
        if (end > MTMI_LEVEL_HINTS)
            end = MTMI_LEVEL_HINTS + 1;
        if (end > from)
            memset(levels->hint + from, (int)i, end - from);
        from = end > from ? end : from;
    }
}

/* The levels of a curve, from the cache or new; NULL if out of memory. */
static const struct mtmi_levels *
share_levels(struct mtmi_level_cache *cache, const mtm_curve *curve, const struct mtmi_table *table)
{
    size_t compared = 0;

    for (const struct mtmi_cached_levels *at = cache->first; at != NULL; at = at->next) {
        if (mtm_curve_equal(at->curve, curve) && at->top == table->top && at->full == table->full &&
            same_gaps(&at->gaps, &table->gaps))
            return &at->levels;
        if (++compared == COMPARED_MAX)
            break;
    }
    struct mtmi_cached_levels *made = malloc(sizeof *made);
    if (made == NULL)
        return NULL;
    fill(&made->levels, curve, table);
    made->curve = curve;
    made->gaps = table->gaps;
    made->top = table->top;
    made->full = table->full;
    made->next = cache->first;
    cache->first = made;
    return &made->levels;
}

void mtmi_level_cache_free(struct mtmi_level_cache *cache)
{
    while (cache->first != NULL) {
        struct mtmi_cached_levels *next = cache->first->next;
        free(cache->first);
        cache->first = next;
    }
}

double mtmi_table_level(const struct mtmi_table *table, unsigned code)
{
    if (table->levels != NULL)
        return table->levels->level[code & 255];
    if (table->gaps.count > 0)
        code = allowed_below(&table->gaps, code);
    return mtm_curve_level(table->curve, code / (double)table->full);
}

/* The highest code whose level does not exceed what limits allow. */
static unsigned top_within(const struct mtmi_table *table, const mtm_curve *curve, double most)
{
    unsigned low = 0, high = table->full; /* the curve never falls */

    while (low < high) {
        unsigned middle = high - (high - low) / 2;
        bool within =
            mtm_curve_level(curve, middle / (double)table->full) <= most + MTMI_SAME_LEVEL;
        low = within ? middle : low;
        high = within ? high : middle - 1;
    }
    return allowed_below(&table->gaps, low);
}

static mtm_result create(struct mtmi_level_cache *cache, const mtm_curve *curve, int bits,
                         const struct mtmi_gaps *left_alone, double most, struct mtmi_table *table,
                         mtm_error *error)
{
    table->top = table->most = mtmi_bits_most(bits);
    take_gaps(table, left_alone);
    table->full = table->top;
    if (most < 1)
        table->top = top_within(table, curve, most);
    table->straight = table->gaps.count == 0 && strcmp(mtm_curve_type_name(curve), "linear") == 0;
    if (bits > 8) {
        mtm_result result = mtm_curve_clone(curve, &table->curve, error);
        if (result != MTM_OK)
            return result;
    } else {
        table->levels = share_levels(cache, curve, table);
        if (table->levels == NULL)
            return mtmi_fail_memory(error);
    }
    table->top_level = mtmi_table_level(table, table->top);
    table->dark_most = mtmi_table_level(table, 0) > 0 ? -1 : MTMI_SAME_LEVEL;
    table->full_level = table->levels != NULL && table->top_level == 1 ? 1 : INFINITY;
    table->full_code = table->levels != NULL ? table->levels->lowest[MTM_CODE_MAX_8] : 0;
    return MTM_OK;
}

static struct mtmi_gaps gaps_of(const mtm_mode *mode, size_t channel)
{
    struct mtmi_gaps gaps = {0};

    for (size_t i = 0; i < mode->range_count; i++) {
        const mtm_code_range *range = &mode->ranges[i];
        if (mtmi_range_channel(range) != channel || gaps.count == MTM_CHANNEL_RANGES_MAX)
            continue;
        gaps.range[gaps.count].first = range->first;
        gaps.range[gaps.count++].last = range->last;
    }
    return gaps;
}

struct mtmi_table mtmi_table_plain(const mtm_mode *mode, size_t channel)
{
    const unsigned most = mtmi_bits_most(mtmi_channel_bits(mode, channel));

    return (struct mtmi_table){
        .most = most, .top = most, .full = most, .gaps = gaps_of(mode, channel), .straight = true};
}

mtm_result mtmi_table_create(struct mtmi_level_cache *cache, const mtm_curve *curve, int bits,
                             const struct mtmi_gaps *left_alone, struct mtmi_table *table,
                             mtm_error *error)
{
    return create(cache, curve, bits, left_alone, 1, table, error);
}

static mtm_result create_for(struct mtmi_level_cache *cache, const mtm_fixture *fixture,
                             const mtm_mode *mode, size_t channel, double most,
                             struct mtmi_table *table, mtm_error *error)
{
    const mtm_curve *curve = channel == MTMI_DIMMER_CHANNEL
                                 ? mtm_fixture_dimmer_curve(fixture)
                                 : mtm_fixture_emitter(fixture, channel)->curve;
    const struct mtmi_gaps gaps = gaps_of(mode, channel);

    return create(cache, curve, mtmi_channel_bits(mode, channel), &gaps, most, table, error);
}

mtm_result mtmi_table_create_for(struct mtmi_level_cache *cache, const mtm_fixture *fixture,
                                 const mtm_mode *mode, size_t channel, struct mtmi_table *table,
                                 mtm_error *error)
{
    return create_for(cache, fixture, mode, channel, 1, table, error);
}

mtm_result mtmi_table_create_within(struct mtmi_level_cache *cache, const mtm_fixture *fixture,
                                    const mtm_mode *mode, size_t channel, struct mtmi_table *table,
                                    mtm_error *error)
{
    if (channel == MTMI_DIMMER_CHANNEL)
        return mtmi_table_create_for(cache, fixture, mode, channel, table, error);
    return create_for(cache, fixture, mode, channel, mtm_fixture_most_level(fixture, channel),
                      table, error);
}

void mtmi_table_free(struct mtmi_table *table)
{
    mtm_curve_free(table->curve);
    *table = (struct mtmi_table){0};
}

/* The lowest of the codes that give the level of code. */
static unsigned lowest(const struct mtmi_table *table, unsigned code, double level)
{
    double first = mtm_curve_code(table->curve, level) * table->full;
    unsigned low = allowed_above(&table->gaps, (unsigned)ceil(first * (1 - MTMI_SAME_LEVEL)));
    return low < code && mtmi_table_level(table, low) == level ? low : code;
}

/* The highest code that does not exceed the level; 0 if all do. */
static unsigned code_below(const struct mtmi_table *table, double level)
{
    unsigned code = (unsigned)(mtm_curve_code(table->curve, level) * table->full);
    unsigned low = allowed_below(&table->gaps, code);
    if (low > 0 && mtmi_table_level(table, low) > level)
        return allowed_below(&table->gaps, low - 1);
    unsigned next = allowed_above(&table->gaps, low + 1);
    if (low < table->top && mtmi_table_level(table, next) <= level)
        return next;
    return low;
}

struct mtmi_bracket mtmi_table_bracket(const struct mtmi_table *table, double level, double same)
{
    if (table->levels != NULL)
        return mtmi_levels_bracket(table->levels, level > 0 ? level : 0, same);
    double bounded = level < table->top_level ? (level > 0 ? level : 0) : table->top_level;
    unsigned low = code_below(table, bounded);
    double low_level = mtmi_table_level(table, low);
    unsigned high = low;
    double high_level = low_level;

    if (low < table->top && bounded - low_level > same) {
        high = allowed_above(&table->gaps, low + 1);
        high_level = mtmi_table_level(table, high);
        if (high_level - bounded <= same) {
            low = high;
            low_level = high_level;
        }
    }
    bool one = low == high;
    low = lowest(table, low, low_level);
    return (struct mtmi_bracket){{low, one ? low : high}, {low_level, high_level}};
}

unsigned mtmi_table_least(const struct mtmi_table *table, double level)
{
    const double least = level * (1 - MTMI_SAME_LEVEL);

    if (!(table->top_level >= least))
        return 0;
    unsigned code = mtmi_table_bracket(table, least, 0).code[1];
    while (code < table->top && !(mtmi_table_level(table, code) >= least))
        code = mtmi_table_allowed(table, code + 1); /* what the curve's inverse has rounded off */
    return code;
}

double mtmi_table_code_at(const struct mtmi_table *table, double level)
{
    level = level > 0 ? (level < 1 ? level : 1) : 0;
    if (table->straight)
        return fmin(level * table->full, table->top);
    if (table->levels == NULL) /* a step of 16 bits or more is as good as straight */
        return fmin(mtm_curve_code(table->curve, level) * table->full, table->top);
    struct mtmi_bracket b = mtmi_levels_bracket(table->levels, level, 0);
    if (b.code[0] == b.code[1])
        return b.code[0];
    return b.code[1] - 1 + (level - b.level[0]) / (b.level[1] - b.level[0]);
}

double mtmi_table_level_at(const struct mtmi_table *table, double place)
{
    if (table->straight)
        return place / table->full;
    if (table->levels == NULL && table->gaps.count > 0) {
        unsigned code = (unsigned)place;
        if (!mtmi_table_allows(table, code))
            return mtmi_table_level(table, code);
    }
    if (table->levels == NULL)
        return mtm_curve_level(table->curve, place / table->full);
    place = place > 0 ? (place < MTM_CODE_MAX_8 ? place : MTM_CODE_MAX_8) : 0;
    unsigned below = (unsigned)place;
    double low = table->levels->level[below];
    if (place <= below)
        return low;
    return low + (place - below) * (table->levels->level[below + 1] - low);
}

bool mtmi_table_allows(const struct mtmi_table *table, unsigned code)
{
    return code <= table->top && allowed_below(&table->gaps, code) == code;
}

/* 8-bit codes that are left alone stand for the light of the code below them; of others the place
 * is that of the light, so that the code that is nearer gives more nearly that. */
unsigned mtmi_table_allowed(const struct mtmi_table *table, unsigned code)
{
    if (code > table->top)
        return table->top;
    unsigned below = allowed_below(&table->gaps, code), above = allowed_above(&table->gaps, code);

    if (above > table->top || below > table->top) /* a range at an end: 0 - 1 is beyond it */
        return above > table->top ? below : above;
    return table->levels != NULL || code - below <= above - code ? below : above;
}

bool mtmi_table_equal(const struct mtmi_table *a, const struct mtmi_table *b)
{
    if (a->top != b->top || a->full != b->full || a->most != b->most ||
        a->straight != b->straight || !same_gaps(&a->gaps, &b->gaps))
        return false;
    if (a->straight)
        return true;
    return a->levels != NULL ? a->levels == b->levels : mtm_curve_equal(a->curve, b->curve);
}

double mtmi_code_max(int bits)
{
    return mtmi_bits_most(bits);
}
