/* SPDX-License-Identifier: MIT */
/* Code table: codes by level with 16 bits behind the point, for channels that are moved at every
 * frame.
 *
 * A look-up table (table.h) answers exactly, by search; this is made from one and answers by its
 * place alone, so that four channels can be looked up at once. The first half is for levels up to
 * 1/2, from dark upwards; the second for those above, from full downwards. In each, steps are even
 * in the bits of a double that holds the level, or what it lacks to full: as fine at both ends as
 * between, since curves may be steep at either. Straight between; for curves that begin and end
 * with up to the third power that is off by less than 1/49000 of the light and of what it lacks;
 * for 8 bits, where light goes straight from code to code, by less than 1/250. Levels nearer to an
 * end than 2^-40 are that end. */
#ifndef METAMER_UNIT_CODE_TABLE_H
#define METAMER_UNIT_CODE_TABLE_H

#include "unit/table.h"

#include <string.h>

/** What is added before rounding to the nearest code: half of one, in 16 bits behind the point. */
#define MTMI_HALF_CODE ((uint32_t)0x8000)

/** Steps of a table in each doubling of level, and doublings from its end to half level. */
#define MTMI_STEP_BITS 6
#define MTMI_OCTAVES 39

#define MTMI_HALF_TABLE ((MTMI_OCTAVES << MTMI_STEP_BITS) + 1)
/** A code table is so many steps. */
#define MTMI_CODE_STEPS (2 * MTMI_HALF_TABLE)

/** A place in a table: a code with 16 bits behind the point, and how far it is to the next. */
struct mtmi_code_step {
    uint32_t code, rise;
};

/** The code of a level, 16 bits behind the point. */
static inline uint32_t mtmi_code_table_at(const struct mtmi_code_step *table, double level)
{
    const int shift = 52 - MTMI_STEP_BITS;
    const uint64_t first = (uint64_t)(1022 - MTMI_OCTAVES) << MTMI_STEP_BITS;
    uint64_t bits;

    level = level < 1 ? level : 1;
    bool upper = level > 0.5;
    double from_end = upper ? 1 - level : level;
    from_end =
        from_end > 0x1p-40 ? from_end : 0x1p-40; /* the first step; its bits are those of it */
    memcpy(&bits, &from_end, sizeof bits);
    const struct mtmi_code_step *step =
        &table[(bits >> shift) - first + (upper ? MTMI_HALF_TABLE : 0)];
    uint64_t part = bits >> (shift - 24) & 0xffffff;
    uint32_t rise = (uint32_t)(step->rise * part >> 24);
    return upper ? step->code - rise : step->code + rise;
}

/** Code tables, each made once for the channels that share a curve. Zeroed is empty. */
struct mtmi_code_tables {
    struct mtmi_code_table {
        const struct mtmi_table *from; /* borrowed: one of the tables that it was made from */
        struct mtmi_code_step *step;
    } * made;
    size_t count, room;
};

/** Finds or makes the code table of a look-up table, which stays where it is as long as tables are
 *  asked for. What is found is borrowed. */
MTM_CHECKED mtm_result mtmi_code_tables_get(struct mtmi_code_tables *tables,
                                            const struct mtmi_table *from,
                                            const struct mtmi_code_step **step, mtm_error *error);
void mtmi_code_tables_free(struct mtmi_code_tables *tables);

#endif
