/* SPDX-License-Identifier: MIT */
/* Match: a rig's units brought to one target, with the codes to send. */
#ifndef METAMER_MATCH_H
#define METAMER_MATCH_H

#include <metamer/base.h>
#include <metamer/codes.h>
#include <metamer/colour.h>
#include <metamer/rig.h>
#include <metamer/solve.h>
#include <metamer/spectral.h>
#include <metamer/target.h>

MTM_BEGIN

/** Why a unit goes by MTM_GOAL_LIGHT where another goal was asked for. */
typedef enum mtm_fallback {
    MTM_FALLBACK_NONE = 0, /**< it goes by the goal asked for */
    MTM_FALLBACK_ONE_MIX,  /**< its emitters make this colour in one way only */
    MTM_FALLBACK_SPECTRUM, /**< the goal needs spectra, and an emitter is known by x, y only */
    MTM_FALLBACK_WHITE,    /**< the goal needs a reference, and the colour has no temperature */
    MTM_FALLBACK_OBSERVER, /**< the goal is worked out for the 2 degree observer only */
    MTM_FALLBACK_MIXES     /**< the unit mixes by itself: there is one way to its codes */
} mtm_fallback;

/** "one mix only" and the like; "" for MTM_FALLBACK_NONE, NULL for no such one. */
MTM_API const char *mtm_fallback_text(mtm_fallback fallback);

/** How a unit answers a target: what its codes give. A plain value. */
typedef struct mtm_match {
    size_t unit;                    /**< index in the rig */
    mtm_answer ideal;               /**< the real-valued optimum, before rounding */
    mtm_codes codes;                /**< to be sent */
    double level[MTM_EMITTERS_MAX]; /**< linear light that the codes give, by emitter */
    mtm_xyz xyz;                    /**< of the codes, for the observer of the match */
    mtm_xy xy;                      /**< of the codes; { 0, 0 } if they give no light */
    double flux_lm;        /**< lumens of the codes (2 degree observer, whatever the match's) */
    double watts;          /**< of the codes */
    double delta_uv;       /**< from the target asked for, in u', v'; 0 if the unit is dark */
    double gamut_uv;       /**< the gamut's share in that: of the ideal from the target */
    double codes_uv;       /**< the codes' share: of their light from the ideal; of a unit that
                            *   follows another, with what their emitters differ by */
    unsigned shortfall;    /**< mtm_shortfall bits: why it comes no closer */
    double left_dark_uv;   /**< 0, or how near it could have come where it was left dark */
    mtm_goal goal;         /**< that it goes by */
    mtm_fallback fallback; /**< why that is not the one asked for */
    mtm_standing standing; /**< of slots that were decoded: what may keep it from giving this */
} mtm_match;

/** What a rig is asked for. A plain value; zero all but target for the defaults. */
typedef struct mtm_match_request {
    mtm_target target;    /**< the colour */
    mtm_goal goal;        /**< which of the mixes that make it */
    mtm_index index;      /**< what MTM_GOAL_RENDERING is measured by; similarity is to the target's
                           *   spectrum where it has one */
    mtm_output output;    /**< how much light, of each unit */
    mtm_beyond beyond;    /**< what to do with a target out of reach */
    double leave_dark_uv; /**< mtm_matcher_unit: a unit whose gamut ends farther than this from the
                           *   target, in u', v', stays dark; 0: none does */
    mtm_dimming dimming;  /**< which codes carry the output of units that have a dimmer */
} mtm_match_request;

/** Where light is compared and its amount stated. */
typedef enum mtm_light_at {
    MTM_LIGHT_AT_LENS = 0, /**< as it leaves the unit: lumens */
    MTM_LIGHT_GAINED,      /**< lumens times the gains of the units, some of which state one */
    MTM_LIGHT_LUX          /**< lux where it arrives: every unit states its candela and distance */
} mtm_light_at;

/** How a common match came out. A plain value. */
typedef struct mtm_common {
    bool exists;     /**< false: no chromaticity is inside every unit's gamut; each then did its
                      *   own best and apart names two that exclude each other */
    mtm_xy xy;       /**< the common chromaticity */
    double delta_uv; /**< its distance from the target in u', v' */
    mtm_light_at light_at; /**< where the output is common */
    double output;         /**< the common output there: lumens, lumens times gain, or lux (Y of the
                            *   observer) */
    size_t limits_output;  /**< the unit that gives the least at that chromaticity */
    size_t limits_colour;  /**< the unit whose gamut lies farthest from the target; where the target
                            *   is purer than some may be, the one that may be least pure */
    bool by_purity;        /**< that is so */
    size_t apart[2];       /**< where none exists: indices of two units whose gamuts do not meet */
    size_t left_dark; /**< units that stay dark since they come no nearer than leave_dark_uv to the
                       *   target, each on its own; they hold nobody back. All: none exists */
} mtm_common;

/** A rig made ready for matching: solvers and coders, shared by the units of one kind. One thread
 *  at a time. Keeps a pointer to the rig, which must outlive it and stay unchanged. */
typedef struct mtm_matcher mtm_matcher;

/** Prepares; MTM_UNSUPPORTED for the 10 degree observer where an emitter has no spectrum. */
MTM_API MTM_CHECKED mtm_result mtm_matcher_create(const mtm_rig *rig, mtm_observer observer,
                                                  mtm_matcher **out, mtm_error *error);
/** The same for some of the rig's units only: count indices in unit. The others may lack what the
 *  observer needs; to ask for one of them is MTM_INVALID, and its solver and coder are NULL. */
MTM_API MTM_CHECKED mtm_result mtm_matcher_create_for(const mtm_rig *rig, const size_t *unit,
                                                      size_t count, mtm_observer observer,
                                                      mtm_matcher **out, mtm_error *error);
/** Frees a matcher; NULL is allowed. */
MTM_API void mtm_matcher_free(mtm_matcher *matcher);

/** One unit's best answer: the goal's mix, which does not depend on the output (but for
 * MTM_GOAL_WATTS); MTM_GOAL_LIGHT where the unit cannot do what the goal asks. MTM_INVALID for a
 * unit that the matcher was made without or that the rig has not. A unit that follows another
 * shares its slots: its codes are those of that unit's best answer, and what they give is predicted
 * for its own emitters. */
MTM_API MTM_CHECKED mtm_result mtm_matcher_unit(mtm_matcher *matcher, size_t unit,
                                                const mtm_match_request *request, mtm_match *match,
                                                mtm_error *error);

/**
 * Which goal a unit goes by for a request, and why not the one asked for: without solving it.
 * goal and fallback are set on MTM_OK.
 * @return MTM_OK; MTM_INVALID as mtm_matcher_unit; MTM_RANGE where its emitters are dark;
 * MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_matcher_goal(mtm_matcher *matcher, size_t unit,
                                                const mtm_match_request *request, mtm_goal *goal,
                                                mtm_fallback *fallback, mtm_error *error);

/**
 * Ways in which one unit makes the request's colour, see mtm_spectral_choices; where it cannot be
 * judged by spectra (fallback tells why), between the most light and the most lumens a watt, and
 * rf is NaN. The request's goal and output are ignored. No emitter is lit below the lowest level of
 * the fixture's limits; where that moves a choice by what one may see, its answer's shortfall has
 * MTM_SHORT_LOWEST.
 *
 * @param choice places for MTM_CHOICES_MAX, most light first; set on MTM_OK
 * @return MTM_OK; MTM_INVALID as mtm_matcher_unit; MTM_RANGE where its emitters are dark;
 * MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_matcher_choices(mtm_matcher *matcher, size_t unit,
                                                   const mtm_match_request *request,
                                                   mtm_choice choice[MTM_CHOICES_MAX],
                                                   size_t *count, mtm_fallback *fallback,
                                                   mtm_error *error);

/**
 * One chromaticity inside every chosen unit's gamut (the nearest to the target in u', v') and one
 * output that all can reach.
 *
 * @param unit   count indices of units
 * @param match  count answers, in the order of unit; set on MTM_OK
 * @param common how it came out; set on MTM_OK
 * @return MTM_OK; MTM_INVALID as mtm_matcher_unit, and for no unit at all; MTM_RANGE where the
 *         emitters of one are dark; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_matcher_together(mtm_matcher *matcher, const size_t *unit,
                                                    size_t count, const mtm_match_request *request,
                                                    mtm_match *match, mtm_common *common,
                                                    mtm_error *error);

/** What a unit gives at stated codes: fills all of match but ideal, the distances,
 *  shortfall, goal and fallback. */
MTM_API void mtm_matcher_predict(const mtm_matcher *matcher, size_t unit, const mtm_codes *codes,
                                 mtm_match *match);

/**
 * What a unit gives at the slots of its universe, as mtm_matcher_predict has it; no light where a
 * shutter is dark. standing tells where a slot keeps it from giving that.
 *
 * @param slot count of the universe's slots, from the first on
 * @return false, match untouched, for a unit without an address, one whose slots run past count, or
 *         one that the matcher was made without
 */
MTM_API bool mtm_matcher_decode(const mtm_matcher *matcher, size_t unit, const uint8_t *slot,
                                size_t count, mtm_match *match);

/** How far a match is from the chromaticity asked for, and the shares of that: sets delta_uv,
 *  gamut_uv and codes_uv from xyz and ideal. */
MTM_API void mtm_match_compare(mtm_match *match, mtm_xy asked);

/** Closer than this in u', v' a unit counts as on the target: a tenth of a step. */
#define MTM_ON_TARGET_UV 0.00011

/** Why a match came no closer to what was asked: bits of it. */
typedef enum mtm_miss {
    MTM_MISS_GAMUT = 1,  /**< the colour is outside its gamut, by gamut_uv; of a common match it is
                          *   the common colour that is so far off */
    MTM_MISS_CODES = 2,  /**< the steps of its codes, or of the unit that it follows, by codes_uv */
    MTM_MISS_OUTPUT = 4, /**< it gives less than was asked: ideal.most at most */
    MTM_MISS_RATING = 8, /**< its output was lowered for the rating of a port or supply */
    MTM_MISS_DARK = 16,  /**< light was asked for, but its codes give none */
    MTM_MISS_LOWEST = 32, /**< below the lowest level of its emitters it would light unevenly */
    MTM_MISS_PURITY = 64  /**< the colour was brought in to its most purity */
} mtm_miss;

/** What keeps a colour delta_uv off its target: MTM_MISS_GAMUT, MTM_MISS_CODES, each where its own
 *  share is above MTM_ON_TARGET_UV; 0 for a colour on the target. */
MTM_API unsigned mtm_colour_misses(double delta_uv, double gamut_uv, double codes_uv);

/** Why a match came no closer: mtm_miss bits, 0 where it is as asked, which may be dark. held: its
 *  output was lowered for a rating (mtm_match_hold_demand). */
MTM_API unsigned mtm_match_misses(const mtm_match *match, bool held);

/** True if the colour and the output asked for lie within what the unit gives; what its codes round
 *  off does not count. A power limit that bounds the most is no miss. held as above. */
MTM_API bool mtm_match_reached(const mtm_match *match, bool held);

/** A unit's solver; borrowed. NULL if the matcher was made without it. */
MTM_API mtm_solver *mtm_matcher_solver(const mtm_matcher *matcher, size_t unit);
/** A unit's coder; borrowed. NULL if the matcher was made without it. */
MTM_API const mtm_coder *mtm_matcher_coder(const mtm_matcher *matcher, size_t unit);

MTM_END
#endif
