/* SPDX-License-Identifier: MIT */
/* Look-up table of one channel: the level that each of its codes gives, and the codes about a
 * level.
 *
 * Here, and nowhere else, codes become light and light becomes codes. A channel of 8 bits has its
 * 256 levels written out, shared by all channels of one curve; one of 16 bits asks its curve. A
 * table is the inverse of itself: the code of a code's own level is that code, or the lowest that
 * gives as much. What moves at every frame uses a coarser form that is made from it (code_table.h).
 */
#ifndef METAMER_UNIT_TABLE_H
#define METAMER_UNIT_TABLE_H

#include <metamer/curve.h>
#include <metamer/fixture.h>

#include <stdbool.h>
#include <stdint.h>

#define MTMI_LEVEL_HINTS 1024
/* A level this near to a code's own is that code's: sums of levels leave no less. */
#define MTMI_SAME_LEVEL 1e-12

/** The levels of the 256 codes of one curve, and where to start to look for one. */
struct mtmi_levels {
    double level[256 + 2];              /* two more, which nothing reaches */
    uint8_t lowest[256];                /* the lowest code that gives the same level */
    uint8_t hint[MTMI_LEVEL_HINTS + 1]; /* the highest code with level <= i / HINTS; 0 if none */
};

/** Levels of distinct curves, for tables that share them. Zeroed is empty; outlives the tables. */
struct mtmi_level_cache {
    struct mtmi_cached_levels {
        const mtm_curve *curve; /* borrowed: looked at only while tables are made */
        struct mtmi_cached_levels *next;
        struct mtmi_levels levels;
    } * first;
};

struct mtmi_table {
    mtm_curve *curve;                 /* 16 bits; owned; NULL for 8 bits */
    const struct mtmi_levels *levels; /* 8 bits; the cache's; NULL for 16 bits */
    unsigned top;                     /* 255 or 65535 */
    bool straight;                    /* the level is the code over top */
    double top_level;
    /* levels that need no look: up to dark_most they are code 0, from full_level on full_code */
    double dark_most;  /* negative: none */
    double full_level; /* infinite: none */
    uint16_t full_code;
};

/** The two codes between which a level lies, the same if it is a code's own or lies beyond an end.
 */
struct mtmi_bracket {
    uint16_t code[2];
    double level[2];
};

/** Makes the table of a channel of 8 or 16 bits, its levels taken from the cache and put there. */
MTM_CHECKED mtm_result mtmi_table_create(struct mtmi_level_cache *cache, const mtm_curve *curve,
                                         int bits, struct mtmi_table *table, mtm_error *error);
void mtmi_table_free(struct mtmi_table *table);
void mtmi_level_cache_free(struct mtmi_level_cache *cache);

/** The level of a code, 0..top. */
double mtmi_table_level(const struct mtmi_table *table, unsigned code);
/** The bracket of a level among the levels of 8 bits; quick. same: how near to a code's own is that
 * code's.
 */
static inline struct mtmi_bracket mtmi_levels_bracket(const struct mtmi_levels *levels,
                                                      double level, double same)
{
    unsigned code = levels->hint[(unsigned)((level < 1 ? level : 1) * MTMI_LEVEL_HINTS)];

    code += levels->level[code + 1] <= level; /* most often enough */
    while (levels->level[code + 1] <= level)
        code++;
    double low = levels->level[code], high = levels->level[code + 1];
    bool at_low = level - low <= same;
    bool at_high = code < MTM_CODE_MAX_8 && high - level <= same && !at_low;
    code += at_high;
    low = at_high ? high : low;
    bool one = at_low || at_high || level < low || code == MTM_CODE_MAX_8;
    return (struct mtmi_bracket){
        {levels->lowest[code], (uint16_t)(one ? levels->lowest[code] : code + 1)},
        {low, one ? low : high}};
}

struct mtmi_bracket mtmi_table_bracket(const struct mtmi_table *table, double level, double same);

/** The code, not whole, that gives a level. Between two whole codes of 8 bits it is measured in
 * light, so that alternating between them in that proportion gives the level. */
double mtmi_table_code_at(const struct mtmi_table *table, double level);
/** The level of a code, whole or not, measured likewise. */
double mtmi_table_level_at(const struct mtmi_table *table, double place);
/** True if two tables give the same. Two of 8 bits that were made with different caches differ. */
bool mtmi_table_equal(const struct mtmi_table *a, const struct mtmi_table *b);

/** Largest code of so many bits: 255 or 65535. */
double mtmi_code_max(int bits);

#endif
