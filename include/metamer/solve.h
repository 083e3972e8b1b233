/* SPDX-License-Identifier: MIT */
/* Solve: the levels of a set of emitters that make a wanted chromaticity. */
#ifndef METAMER_SOLVE_H
#define METAMER_SOLVE_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/fixture.h>
#include <metamer/rgb.h>

MTM_BEGIN

/** On what the freedom of more than three emitters is spent. The mix of a colour is the same at
 *  every output, scaled; only that of MTM_GOAL_WATTS depends on the output. */
typedef enum mtm_goal {
    MTM_GOAL_LIGHT = 0, /**< the mix of the most output at the chromaticity */
    MTM_GOAL_WATTS,     /**< the fewest watts at the stated output */
    MTM_GOAL_RENDERING, /**< the best rendering, see spectral.h; not by mtm_solver_solve */
    MTM_GOAL_SPECTRUM   /**< the nearest to a spectrum, see spectral.h; not by mtm_solver_solve */
} mtm_goal;

/** A goal's name and meaning, for parsers and help. */
typedef struct mtm_goal_info {
    mtm_goal goal;           /**< which */
    const char *name;        /**< as the user writes it */
    const char *description; /**< one line */
} mtm_goal_info;

/** Number of goals. */
MTM_API size_t mtm_goal_count(void);
/** One of them; static storage. NULL past the last. In the order of mtm_goal. */
MTM_API const mtm_goal_info *mtm_goal_at(size_t index);

/** What to do with a target that the emitters cannot reach (by more than 1e-9 in u', v'). */
typedef enum mtm_beyond {
    MTM_BEYOND_NEAREST = 0, /**< the nearest reachable point in u', v' */
    MTM_BEYOND_HUE,         /**< straight toward the white (see request) until it is reachable;
                                 nearest where that line meets nothing */
    MTM_BEYOND_CCT          /**< the reachable point of the wanted CCT that is nearest to the target
                                 (two emitters: the only one); nearest where there is none */
} mtm_beyond;

/** How an output is stated. */
typedef enum mtm_output_type {
    MTM_OUTPUT_MAX = 0, /**< the most that the goal's mix gives at that chromaticity */
    MTM_OUTPUT_LM,      /**< value in lumens */
    MTM_OUTPUT_SHARE,   /**< value as a share (0..1) of that most */
    MTM_OUTPUT_LUX /**< value in lux where the light of a unit arrives: of matchers and shows, for
                        units that state it (mtm_unit_lux_per_lm); not of solvers */
} mtm_output_type;

/** A stated output. A plain value; zeroed means the most. */
typedef struct mtm_output {
    mtm_output_type type; /**< how it is stated */
    double value;         /**< lumens or a share of the most, by type; unused for MTM_OUTPUT_MAX */
} mtm_output;

/** What is asked of a solver. A plain value; zero everything but xy for the defaults. */
typedef struct mtm_request {
    mtm_xy xy;         /**< target, for the solver's observer */
    mtm_goal goal;     /**< which of the mixes that make it */
    mtm_output output; /**< how much light */
    mtm_beyond beyond; /**< what to do with a target out of reach */
    mtm_xy white;      /**< where MTM_BEYOND_HUE heads; { 0, 0 } means the equal-energy white */
    double cct_k;      /**< wanted temperature for MTM_BEYOND_CCT, 1000..25000; 0: that of xy */
} mtm_request;

/** Why an answer is not what was asked; bits. */
typedef enum mtm_shortfall {
    MTM_SHORT_GAMUT = 1,  /**< the chromaticity lies outside what the emitters span */
    MTM_SHORT_OUTPUT = 2, /**< less output than stated can be given at that chromaticity */
    MTM_SHORT_POWER = 4,  /**< the power limit, not the emitters, bounds the output */
    MTM_SHORT_LOWEST = 8, /**< of a match: an emitter would be lit below the fixture's lowest level,
                           *   so colour or output are others; never of a solver */
    MTM_SHORT_PURITY = 16 /**< of a match: the colour was brought in to the fixture's most purity */
} mtm_shortfall;

/** The levels and what they give. A plain value. */
typedef struct mtm_answer {
    double level[MTM_EMITTERS_MAX]; /**< linear light 0..1 by emitter; 0 beyond the count */
    mtm_xyz xyz;                    /**< of these levels; Y in lumens for the 2 degree observer */
    mtm_xy xy;                      /**< of these levels; of the target if the output is 0 */
    double delta_uv;                /**< distance from the asked chromaticity in u', v' */
    double watts;                   /**< sum of level times watts */
    double most;                    /**< the largest Y of this goal's mix within the limit */
    unsigned shortfall;             /**< mtm_shortfall bits; 0: reached as asked */
} mtm_answer;

/** A set of emitters made ready to be solved many times. Immutable: may be shared by threads. */
typedef struct mtm_solver mtm_solver;

/**
 * Prepares a solver.
 *
 * @param xyz           count tristimulus values at full level; finite; Y >= 0, X + Y + Z > 0 and
 *                      X + 15 Y + 3 Z > 0 (X, Z a little below 0 are let pass), or all 0: dark.
 *                      Y is "the output" throughout: lumens for the 2 degree observer
 * @param watts         count electrical powers at full level; finite, >= 0
 * @param count         1..MTM_EMITTERS_MAX
 * @param power_limit_w on the sum of level times watts; > 0, INFINITY for none
 * Collinear, duplicate and dark emitters are allowed; emitters whose directions in XYZ agree to
 * 1e-9 count as one chromaticity. Copies its input. Error on failure: MTM_INVALID, MTM_MEMORY.
 */
MTM_API MTM_CHECKED mtm_result mtm_solver_create(const mtm_xyz *xyz, const double *watts,
                                                 size_t count, double power_limit_w,
                                                 mtm_solver **out, mtm_error *error);
/** Prepares a solver for a fixture; MTM_UNSUPPORTED for the 10 degree observer where an emitter has
 *  no spectrum. Keeps no pointer to the fixture. */
MTM_API MTM_CHECKED mtm_result mtm_solver_create_for(const mtm_fixture *fixture,
                                                     mtm_observer observer, mtm_solver **out,
                                                     mtm_error *error);
/** Frees a solver; NULL is allowed. */
MTM_API void mtm_solver_free(mtm_solver *solver);

/**
 * Solves one request. Exact linear optima (1e-9 relative; less exact where emitters' directions
 * agree to 1e-6, but not to 1e-9); the levels are a vertex of the feasible set. Of several optima
 * of light, one with the fewest watts. A target that cannot be reached is an answer (see
 * shortfall), not an error. Allocates nothing.
 * @return MTM_OK, MTM_INVALID (request out of range), MTM_RANGE (all emitters dark)
 */
MTM_API MTM_CHECKED mtm_result mtm_solver_solve(const mtm_solver *solver,
                                                const mtm_request *request, mtm_answer *answer,
                                                mtm_error *error);

/**
 * Solves for an encoded RGB value with its own brightness, as a pixel of a picture has it: its
 * chromaticity, by MTM_GOAL_LIGHT, at as many lumens of the most that the solver gives on the
 * space's white as Y of the value is of Y of that white. So colours keep their brightness relative
 * to each other: red of "srgb" gives 21 % of the lumens of white. Black gives levels that are all
 * 0, and xy of the white.
 *
 * @param solver of the 2 degree observer, for which RGB spaces are defined
 * @param rgb    0..1 each
 * @param answer set on MTM_OK; mtm_coder_round makes codes of its levels. Its shortfall tells where
 *               the emitters reach colour or brightness only in part
 * @return MTM_OK; MTM_INVALID for a value out of range; MTM_RANGE (all emitters dark)
 */
MTM_API MTM_CHECKED mtm_result mtm_solver_solve_rgb(const mtm_solver *solver,
                                                    const mtm_rgb_space *space, mtm_rgb rgb,
                                                    mtm_answer *answer, mtm_error *error);

/** Colour of given levels: the sum of level times XYZ. */
MTM_API mtm_xyz mtm_solver_xyz(const mtm_solver *solver, const double *level);
/** Nearest reachable chromaticity in u', v' and its distance (0 inside). delta_uv may be NULL. With
 *  all emitters dark, or xy not finite, there is none: { 0, 0 } and INFINITY. */
MTM_API mtm_xy mtm_solver_nearest(const mtm_solver *solver, mtm_xy xy, double *delta_uv);
/** Corners of the gamut in order (counter-clockwise in x, y); returns their number, <= count. */
MTM_API size_t mtm_solver_gamut(const mtm_solver *solver, mtm_xy corner[MTM_EMITTERS_MAX]);

MTM_END
#endif
