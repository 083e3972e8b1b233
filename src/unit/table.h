/* SPDX-License-Identifier: MIT */
/* Look-up table of one channel: the level that each of its codes gives, and the codes about a
 * level.
 *
 * Here, and nowhere else, codes become light and light becomes codes. A channel of 8 bits has its
 * 256 levels written out, shared by all channels of one curve; one of 16 or 24 bits asks its curve.
 * Codes that are left alone give what the code below them gives, so that none is ever chosen; where
 * they reach the top, the code below them is full. A table is the inverse of itself: the code of a
 * code's own level is that code, or the lowest that gives as much. What moves at every frame uses a
 * coarser form that is made from it (code_table.h).
 */
#ifndef METAMER_UNIT_TABLE_H
#define METAMER_UNIT_TABLE_H

#include "fixture/slot.h"

#include <metamer/curve.h>
#include <metamer/fixture.h>

#include <stdbool.h>
#include <stdint.h>

#define MTMI_LEVEL_HINTS 1024
/* A level this near to a code's own is that code's: sums of levels leave no less. */
#define MTMI_SAME_LEVEL 1e-12

/** Ranges of one channel's codes that are left alone, rising; none reaches the top. */
struct mtmi_gaps {
    size_t count;
    struct {
        uint32_t first, last;
    } range[MTM_CHANNEL_RANGES_MAX];
};

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
        struct mtmi_gaps gaps;
        unsigned top, full;
        struct mtmi_cached_levels *next;
        struct mtmi_levels levels;
    } * first;
};

struct mtmi_table {
    mtm_curve *curve;                 /* 16 and 24 bits; owned; NULL for 8 bits */
    const struct mtmi_levels *levels; /* 8 bits; the cache's; NULL for more */
    unsigned most;                    /* highest code of its bits: 255, 65535 or 16777215 */
    unsigned top;  /* the code at which it is full: most, if none is left alone */
    unsigned full; /* the code at which its curve ends: top, or above it where limits lower that */
    struct mtmi_gaps gaps; /* codes left alone, below top */
    bool straight;         /* the level is the code over top */
    double top_level;
    /* levels that need no look: up to dark_most they are code 0, from full_level on full_code */
    double dark_most;  /* negative: none */
    double full_level; /* infinite: none */
    uint32_t
        full_code; /* of 8 bits; 0 for more, which have no full_level and are always looked at */
};

/** The two codes between which a level lies, the same if it is a code's own or lies beyond an end.
 */
struct mtmi_bracket {
    uint32_t code[2];
    double level[2];
};

/** Makes the table of a channel of 8, 16 or 24 bits, its levels taken from the cache and put there.
 *  left_alone: its codes that are, sorted or not; NULL: none. */
MTM_CHECKED mtm_result mtmi_table_create(struct mtmi_level_cache *cache, const mtm_curve *curve,
                                         int bits, const struct mtmi_gaps *left_alone,
                                         struct mtmi_table *table, mtm_error *error);
/** Makes the table of a fixture's channel in one of its modes: an emitter's index or
 *  MTMI_DIMMER_CHANNEL. */
MTM_CHECKED mtm_result mtmi_table_create_for(struct mtmi_level_cache *cache,
                                             const mtm_fixture *fixture, const mtm_mode *mode,
                                             size_t channel, struct mtmi_table *table,
                                             mtm_error *error);
/** The table of a channel of a mode that mixes by itself: its level is its code over the highest.
 *  Owns nothing; of its functions only those ask it that go by places and by what is allowed. */
struct mtmi_table mtmi_table_plain(const mtm_mode *mode, size_t channel);
/** The same of what may be sent: within the limits of the fixture, which leave an emitter no
 *  code above its most level. */
MTM_CHECKED mtm_result mtmi_table_create_within(struct mtmi_level_cache *cache,
                                                const mtm_fixture *fixture, const mtm_mode *mode,
                                                size_t channel, struct mtmi_table *table,
                                                mtm_error *error);
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
    return (struct mtmi_bracket){{levels->lowest[code], one ? levels->lowest[code] : code + 1},
                                 {low, one ? low : high}};
}

struct mtmi_bracket mtmi_table_bracket(const struct mtmi_table *table, double level, double same);

/** The lowest code that gives a level above 0, or more; 0 where none does. */
unsigned mtmi_table_least(const struct mtmi_table *table, double level);

/** The code, not whole, that gives a level. Between two whole codes of 8 bits it is measured in
 * light, so that alternating between them in that proportion gives the level. */
double mtmi_table_code_at(const struct mtmi_table *table, double level);
/** The level of a code, whole or not, measured likewise. */
double mtmi_table_level_at(const struct mtmi_table *table, double place);
/** The code to send for one that may be left alone: itself, or one beside its range. */
unsigned mtmi_table_allowed(const struct mtmi_table *table, unsigned code);
/** True if a code is not left alone. */
bool mtmi_table_allows(const struct mtmi_table *table, unsigned code);
/** True if two tables give the same. Two of 8 bits that were made with different caches differ. */
bool mtmi_table_equal(const struct mtmi_table *a, const struct mtmi_table *b);

/** Largest code of so many bits: 255, 65535 or 16777215. */
double mtmi_code_max(int bits);

#endif
