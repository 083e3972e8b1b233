/* SPDX-License-Identifier: MIT */
/* Ladder: the levels that the codes of one slot (or pair of slots) can give. */
#include "unit/ladder.h"

#include <math.h>
#include <string.h>

void mtmi_steps_fill(struct mtmi_steps *steps, const mtm_curve *curve)
{
    unsigned from = 0; /* hints below this are set */

    for (unsigned i = 0; i < 256; i++) {
        steps->level[i] = mtm_curve_level(curve, i / 255.0);
        bool same = i > 0 && steps->level[i] == steps->level[i - 1];
        steps->lowest[i] = same ? steps->lowest[i - 1] : (uint8_t)i;
    }
    steps->level[256] = steps->level[257] = INFINITY;
    memset(steps->hint, 255, sizeof steps->hint);
    for (unsigned i = 0; i < 255; i++) {
        double next = steps->level[i + 1] * MTMI_STEP_HINTS;
        unsigned end = (unsigned)next + ((unsigned)next < next);
        if (end > MTMI_STEP_HINTS)
            end = MTMI_STEP_HINTS + 1;
        if (end > from)
            memset(steps->hint + from, (int)i, end - from);
        from = end > from ? end : from;
    }
}

double mtmi_ladder_level(const struct mtmi_ladder *ladder, unsigned code)
{
    if (ladder->steps != NULL)
        return ladder->steps->level[code & 255];
    return mtm_curve_level(ladder->curve, code / (double)ladder->top);
}

/* The lowest of the codes that give the level of code. */
static unsigned lowest(const struct mtmi_ladder *ladder, unsigned code, double level)
{
    double first = mtm_curve_code(ladder->curve, level) * ladder->top;
    unsigned low = (unsigned)ceil(first * (1 - MTMI_SAME_LEVEL));
    return low < code && mtmi_ladder_level(ladder, low) == level ? low : code;
}

/* The highest code that does not exceed the level; 0 if all do. */
static unsigned code_below(const struct mtmi_ladder *ladder, double level)
{
    unsigned code = (unsigned)(mtm_curve_code(ladder->curve, level) * ladder->top);
    if (code > 0 && mtmi_ladder_level(ladder, code) > level)
        return code - 1;
    if (code < ladder->top && mtmi_ladder_level(ladder, code + 1) <= level)
        return code + 1;
    return code;
}

struct mtmi_bracket mtmi_ladder_bracket(const struct mtmi_ladder *ladder, double level, double same)
{
    if (ladder->steps != NULL)
        return mtmi_steps_bracket(ladder->steps, level > 0 ? level : 0, same);
    double bounded = level < ladder->top_level ? (level > 0 ? level : 0) : ladder->top_level;
    unsigned low = code_below(ladder, bounded);
    double low_level = mtmi_ladder_level(ladder, low);
    unsigned high = low;
    double high_level = low_level;

    if (low < ladder->top && bounded - low_level > same) {
        high = low + 1;
        high_level = mtmi_ladder_level(ladder, high);
        if (high_level - bounded <= same) {
            low = high;
            low_level = high_level;
        }
    }
    bool one = low == high;
    low = lowest(ladder, low, low_level);
    return (struct mtmi_bracket){{(uint16_t)low, (uint16_t)(one ? low : high)},
                                 {low_level, high_level}};
}

double mtmi_code_most(int bits)
{
    return bits > 8 ? 65535.0 : 255.0;
}
