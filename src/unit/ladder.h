/* SPDX-License-Identifier: MIT */
/* Ladder: the levels that the codes of one slot (or pair of slots) can give. */
#ifndef METAMER_UNIT_LADDER_H
#define METAMER_UNIT_LADDER_H

#include <metamer/curve.h>

#include <stdbool.h>
#include <stdint.h>

#define MTMI_STEP_HINTS 1024
/* A level this near to a code's own is that code's: sums of levels leave no less. */
#define MTMI_SAME_LEVEL 1e-12

/** The levels of the 256 codes of one curve, and where to start to look for one. */
struct mtmi_steps {
    double level[256 + 2];             /* two more, which nothing reaches */
    uint8_t lowest[256];               /* the lowest code that gives the same level */
    uint8_t hint[MTMI_STEP_HINTS + 1]; /* the highest code with level <= i / HINTS; 0 if none */
};

struct mtmi_ladder {
    mtm_curve *curve;               /* owned; used where there are no steps */
    const struct mtmi_steps *steps; /* 8 bits; borrowed; NULL for 16 bits */
    unsigned top;                   /* 255 or 65535 */
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

void mtmi_steps_fill(struct mtmi_steps *steps, const mtm_curve *curve);
double mtmi_ladder_level(const struct mtmi_ladder *ladder, unsigned code);
/** The bracket of a level among 8-bit steps; quick. same: how near to a code's own is that code's.
 */
static inline struct mtmi_bracket mtmi_steps_bracket(const struct mtmi_steps *steps, double level,
                                                     double same)
{
    unsigned code = steps->hint[(unsigned)((level < 1 ? level : 1) * MTMI_STEP_HINTS)];

    code += steps->level[code + 1] <= level; /* most often enough */
    while (steps->level[code + 1] <= level)
        code++;
    double low = steps->level[code], high = steps->level[code + 1];
    bool at_low = level - low <= same;
    bool at_high = code < 255 && high - level <= same && !at_low;
    code += at_high;
    low = at_high ? high : low;
    bool one = at_low || at_high || level < low || code == 255;
    return (struct mtmi_bracket){
        {steps->lowest[code], (uint16_t)(one ? steps->lowest[code] : code + 1)},
        {low, one ? low : high}};
}

struct mtmi_bracket mtmi_ladder_bracket(const struct mtmi_ladder *ladder, double level,
                                        double same);

/** Largest code of so many bits: 255 or 65535. */
double mtmi_code_most(int bits);

#endif
