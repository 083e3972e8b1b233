/* SPDX-License-Identifier: MIT */
/* The inside of a solver: the gamut as a polygon and the reachable zonotope as cells. */
#ifndef METAMER_SOLVE_SOLVER_H
#define METAMER_SOLVE_SOLVER_H

#include "solve/planes.h"

#include <metamer/solve.h>

/* Up to two imaginary generators make a flat zonotope solid; see zonotope.c. */
#define MTMI_GENERATORS_MAX (MTM_EMITTERS_MAX + 2)
/* Stands third in the basis of a facet: a generator of no light and no watts. */
#define MTMI_NONE MTMI_GENERATORS_MAX

/** One corner of the gamut. */
struct mtmi_corner {
    mtm_xy xy;
    mtm_uv uv;
};

/* Set in a cell's full where its emitters are so nearly alike that the form is less exact. */
#define MTMI_STIFF ((uint32_t)1 << 31)

/** The gamut: a convex polygon, a segment (two corners) or a point. */
struct mtmi_hull {
    size_t count;
    struct mtmi_corner corner[MTM_EMITTERS_MAX + 1]; /* one spare while it is built */
    /* edge[i] from corner i to the next: a x + b y + c >= 0 inside; polygons only */
    double edge[MTM_EMITTERS_MAX][3];
};

/**
 * A piece of the zonotope in which the optimal levels are linear in the point: a parallelogram on a
 * facet or a parallelepiped of the tiling. The emitters of its basis vary, all others rest at 0 or
 * 1. Lengths are in units of the longest generator.
 */
struct mtmi_cell {
    /* A search's last step waits for its cell: it begins a cache line.
     * Three levels and the watts of all, linear in the point p: form[0] x + form[1] y + form[2] z -
     * form[3]. A facet, which varies two, gives the second twice. */
    _Alignas(MTMI_LINE) double form[4][4];
    double base[3]; /* XYZ of the emitters at 1 */
    double base_w;  /* and their watts */
    uint32_t full;  /* bit k: emitter k rests at 1; MTMI_STIFF */
    uint8_t basis[3];
    uint8_t slot[3]; /* the emitter of each level of the form; unlike basis, without MTMI_NONE */
};

struct mtm_solver {
    size_t count;                         /* emitters */
    size_t all_count;                     /* and imaginary generators */
    double a[MTMI_GENERATORS_MAX + 1][3]; /* in units of the longest */
    double watts[MTMI_GENERATORS_MAX + 1];
    double unit;                       /* length of the longest generator, as given */
    bool limited;                      /* some of the following are below 1 */
    double most[MTM_EMITTERS_MAX];     /* levels at which the emitters of a are at 1 */
    double whole[MTM_EMITTERS_MAX][3]; /* the emitters at full level, in the unit of a */
    double power_limit_w;
    double total_w;        /* of all emitters at full level */
    struct mtmi_hull hull; /* count 0: all dark */

    struct mtmi_cell *cells; /* facet_count on facets, then those of the tiling */
    size_t facet_count;
    struct mtmi_planes
        rays; /* facets, and the tiling too where the limit can bind: the ray's exit */
    struct mtmi_planes tiles; /* the tiling: fewest watts at a point */
    double *row_block;
    const struct mtmi_quick *quick; /* NULL where the zonotope is flat: generators are imaginary */
};

/** True if a chromaticity within the gamut can be mixed in more than one way. */
bool mtmi_solver_is_free(const mtm_solver *solver, mtm_xy xy);

/** Prepares the gamut of solver->a. */
void mtmi_hull_prepare(struct mtmi_hull *hull, const mtm_xyz *xyz, size_t count);
/** True if xy lies inside or within rounding of the boundary. */
bool mtmi_hull_holds(const struct mtmi_hull *hull, mtm_xy xy);
/** The nearest point in u', v' of the boundary; hull not empty. */
mtm_xy mtmi_hull_nearest(const struct mtmi_hull *hull, mtm_xy xy);
/** The nearest point in u', v' of the segment a, b. */
mtm_xy mtmi_segment_nearest(mtm_xy a, mtm_xy b, mtm_xy xy);
/** The part of the line from + t (to - from) inside the hull; false if there is none. */
bool mtmi_hull_clip(const struct mtmi_hull *hull, mtm_xy from, mtm_xy to, double t[2]);

/** Where to aim for a target that the hull does not hold, as request->beyond says. */
mtm_xy mtmi_aim(const struct mtmi_hull *hull, const mtm_request *request);

/** Prepares cells and rows from a, watts and the limit; false if out of memory. */
bool mtmi_zonotope_prepare(mtm_solver *solver);
void mtmi_zonotope_release(mtm_solver *solver);

#endif
