/* SPDX-License-Identifier: MIT */
/* Ladder: the levels that the codes of one slot (or pair of slots) can give. */
#ifndef METAMER_SOLVE_LADDER_H
#define METAMER_SOLVE_LADDER_H

#include <metamer/curve.h>

/** The levels of the 256 codes of one curve, and where to start to look for one. */
struct mtmi_steps {
    double level[256];
    uint8_t lowest[256]; /* the lowest code that gives the same level */
    uint8_t hint[257];   /* the highest code with level <= i / 256; 0 if none */
};

struct mtmi_ladder {
    mtm_curve *curve;               /* owned; used where there are no steps */
    const struct mtmi_steps *steps; /* 8 bits; borrowed; NULL for 16 bits */
    unsigned top;                   /* 255 or 65535 */
    double top_level;
};

/** The two codes between which a level lies, the same if a code gives it to rounding or it lies
 *  beyond an end. */
struct mtmi_bracket {
    uint16_t code[2];
    double level[2];
};

void mtmi_steps_fill(struct mtmi_steps *steps, const mtm_curve *curve);
double mtmi_ladder_level(const struct mtmi_ladder *ladder, unsigned code);
struct mtmi_bracket mtmi_ladder_bracket(const struct mtmi_ladder *ladder, double level);

#endif
