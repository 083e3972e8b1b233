/* SPDX-License-Identifier: MIT */
/* Trim: all calibrated units of a rig on one white at one output, and how sure that is. */
#ifndef METAMER_TRIM_H
#define METAMER_TRIM_H

#include <metamer/base.h>
#include <metamer/calibration.h>
#include <metamer/codes.h>
#include <metamer/colour.h>
#include <metamer/meter.h>
#include <metamer/readings.h>
#include <metamer/rig.h>
#include <metamer/solve.h>
#include <metamer/spectral.h>

MTM_BEGIN

/** What is asked. A plain value; zero all but target and steps for the defaults. */
typedef struct mtm_trim_request {
    mtm_xy target;     /**< the white aimed at, 2 degree observer */
    double steps;      /**< tolerance: steps of 0.0011 in u', v' (ANSI C78.377 circles), > 0 */
    mtm_output output; /**< zeroed: the most that every unit can give */
    mtm_goal goal;     /**< what the mix of each kind is made by */
    mtm_index index;   /**< what MTM_GOAL_RENDERING is measured by */
    const mtm_spectrum *reference; /**< of MTM_GOAL_SPECTRUM and MTM_INDEX_SSI; NULL: the usual */
    bool again; /**< a later round: the codes that the calibration was trimmed to stay, or change as
                 *   little as what was read since asks for */
    const bool *meant; /**< by unit of the rig: those that are trimmed, if calibrated; NULL: all */
    bool together; /**< where some cannot reach the target, all go to the white nearest to it, in
                    *   u', v', that each of them reaches (by its emitters at full), so that they
                    *   agree; a later round keeps that white while it moves by no more than the
                    *   tolerance */
} mtm_trim_request;

/** Which units are to agree with each other: in output, and in the white that together finds. Their
 *  mix is that of their kind, whichever it is. */
typedef enum mtm_alike {
    MTM_ALIKE_ALL = 0, /**< all of them */
    MTM_ALIKE_KIND,    /**< those of one fixture, in whatever mode */
    MTM_ALIKE_GROUP    /**< those of one group of the rig: of the groups that hold a unit the one of
                        *   the fewest units, of equals the first; units of no group with each other */
} mtm_alike;

/** A choice's name and meaning, for parsers and help. */
typedef struct mtm_alike_info {
    mtm_alike alike;         /**< which */
    const char *name;        /**< as the user writes it */
    const char *description; /**< one line */
} mtm_alike_info;

/** One of the choices; static storage. NULL past the last. In the order of mtm_alike. */
MTM_API const mtm_alike_info *mtm_alike_at(size_t index);

/**
 * Splits the units of a rig into the sets that are to agree, each of which is then trimmed by
 * itself (the meant of its request). Sets are numbered in the order of their first units.
 *
 * @param meant by unit of the rig: those that count; NULL: all
 * @param set   room for the rig's units: the number of each unit's set, SIZE_MAX where it does not
 *              count; written on MTM_OK alone
 * @param count set on MTM_OK
 * @return MTM_OK; MTM_INVALID; MTM_NOT_FOUND (MTM_ALIKE_GROUP, of a rig without groups); MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_alike_split(const mtm_rig *rig, const bool *meant,
                                               mtm_alike alike, size_t *set, size_t *count,
                                               mtm_error *error);
/** The name of the set that holds a unit: of its fixture or its group. Borrowed; NULL where the set
 *  has none: all units, those of no group, or no such unit. */
MTM_API const char *mtm_alike_name(const mtm_rig *rig, mtm_alike alike, size_t unit);

/** One state of a unit: what it gives and how far that is from the target. A plain value. */
typedef struct mtm_trim_state {
    mtm_xyz xyz;         /**< lumens; black where the state is not known */
    double delta_uv;     /**< from the target in u', v' */
    double expanded_uv;  /**< expanded uncertainty of delta_uv; 0 where not stated */
    double duv;          /**< of the unit's colour; NAN beyond 0.05 */
    double cct_k;        /**< of the unit's colour; NAN beyond 0.05 in duv */
    mtm_verdict verdict; /**< on the tolerance */
    bool measured;       /**< read by the meter, not predicted */
    mtm_doubt chief;     /**< what makes delta_uv most unsure */
} mtm_trim_state;

/** One unit's trim. Borrowed. */
typedef struct mtm_trim_unit {
    size_t unit;                     /**< index in the rig */
    mtm_codes codes;                 /**< to be sent */
    double level[MTM_EMITTERS_MAX];  /**< that the codes give */
    double factor[MTM_EMITTERS_MAX]; /**< of each emitter's code (dimmer at full) to the largest
                                      *   among the units of the kind, 0..1: for consoles that scale
                                      *   emitters by unit instead of holding codes */
    mtm_trim_state before;           /**< untrimmed codes, or the last codes as read */
    mtm_trim_state after;            /**< trimmed codes, predicted */
    mtm_goal goal;                   /**< what the mix of its kind is made by */
    bool left_alone;                 /**< a later round that left its codes as they were */
    double most;                     /**< the most it can give on the target (or as near to it as
                                      *   it comes) with the mix of its kind, lumens */
    double most_own;                 /**< the same with the mix that gives most light */
    double most_within[2];           /**< the same inside the tolerance, and inside twice that */
    int rounds;                      /**< of the fixed-point iteration */
    bool settled;                    /**< levels moved less than 1e-7 in the last round */
    unsigned shortfall;              /**< mtm_shortfall bits */
    double gamut_uv; /**< shares of the predicted distance, in u', v': of the gamut */
    double codes_uv; /**< and of the codes */
} mtm_trim_unit;

/** The whole. A plain value. */
typedef struct mtm_trim_summary {
    mtm_uv target;           /**< the white aimed at, u', v' of the 2 degree observer */
    double together_uv;      /**< how far together moved it from the one asked for, in u', v' */
    double tolerance_uv;     /**< distance in u', v' that is allowed */
    double output;           /**< common output, lumens: what is asked, or less where not every unit
                              *   can give it */
    double asked;            /**< what was asked, lumens */
    double provable_uv;      /**< the smallest tolerance that one reading of each unit on the target
                              *   can prove; 0 where the meter states nothing */
    double scale;            /**< the meter's Y for one lumen of the limiting unit's kind */
    size_t limits;           /**< place (in the trim) of the unit that limits the output */
    double without_limiting; /**< common output without that unit; 0 if it is the only one */
    double output_own;       /**< common output where each unit has the mix that gives most */
    double output_within[2]; /**< the same where each unit may use the whole tolerance, and twice
                              *   that */
    bool output_kept;        /**< output is that of the round before */
    double apart_uv[MTM_OBSERVER_COUNT]; /**< how far two units of one kind lie apart at most, in
                                          *   u', v', as predicted; NAN for the 10 degree observer
                                          *   where a spectrum is not known, 0 without a pair */
    size_t apart[2]; /**< places (in the trim) of the two that are farthest apart for the 10 degree
                      *   observer, or where that is not known for the 2 degree */
    size_t outside;  /**< units whose predicted distance exceeds the tolerance */
} mtm_trim_summary;

/** What a trim found. Immutable: may be shared by threads. */
typedef struct mtm_trim mtm_trim;

/**
 * Trims every calibrated unit.
 *
 * The units of a kind share one mix, which the goal makes of their mean; each keeps to it as nearly
 * as the target allows (least squares of the relative changes of what each emitter adds). So they
 * look alike to other eyes and cameras too. A mix does not depend on the output.
 *
 * A later round (again) leaves codes alone that were read and are proven inside, or not read; it
 * changes the others as little as the target asks, from what was read; and it keeps the common
 * output unless a unit cannot hold it: by more than 2 % or what the meter can tell.
 *
 * Drift and sharing make a unit's light depend on its levels: so each unit is solved with what its
 * emitters add at the levels of the last round, until no level moves by more than 1e-7 (60 rounds
 * at most).
 *
 * @param last readings of the codes of an earlier trim: the state before is then what they say;
 *             NULL: it is what the fixture file's codes for this white would give
 * @param meter NULL: nothing is known of it
 * @return MTM_OK; MTM_INVALID; MTM_UNSUPPORTED where no unit that is meant is calibrated; MTM_RANGE
 *         where no unit gives light, or, together, no white is common to all. A unit that cannot
 * reach the target is an answer, not an error.
 */
MTM_API MTM_CHECKED mtm_result mtm_trim_run(const mtm_calibration *calibration, const mtm_rig *rig,
                                            const mtm_readings *last, const mtm_meter *meter,
                                            const mtm_trim_request *request, mtm_trim **out,
                                            mtm_error *error);
/** Frees a trim; NULL is allowed. */
MTM_API void mtm_trim_free(mtm_trim *trim);

/** Number of units in the trim. */
MTM_API size_t mtm_trim_count(const mtm_trim *trim);
/** Borrowed; index < count. In the rig's order. */
MTM_API const mtm_trim_unit *mtm_trim_at(const mtm_trim *trim, size_t index);
/** What the trim comes to over all its units. */
MTM_API mtm_trim_summary mtm_trim_summarise(const mtm_trim *trim);

/** Remembers the trimmed levels in a calibration, which then holds at them, and what they were
 *  trimmed to, so that a later round can go on from there. */
MTM_API void mtm_trim_store(const mtm_trim *trim, mtm_calibration *calibration);

/** How one unit moved between two calibrations. A plain value. */
typedef struct mtm_moved {
    size_t unit;                             /**< index in the rig */
    double delta_uv;                         /**< of its trimmed codes, in u', v' */
    double output;                           /**< new over old */
    mtm_uv old_uv;                           /**< u', v' of those codes then */
    mtm_uv new_uv;                           /**< and now */
    double emitter_uv[MTM_EMITTERS_MAX];     /**< each emitter alone at full */
    double emitter_output[MTM_EMITTERS_MAX]; /**< new over old; 0 where it was dark */
    double old_most; /**< the most that it could give on the target, lumens */
    double new_most; /**< the most that it can give now, lumens */
} mtm_moved;

/**
 * How the units that both calibrations know moved, at the codes that trimmed the old ones. moved
 * has room for the rig's units; *count is set. *old_output and *new_output: the common output then
 * and what is left now.
 * @return MTM_OK; what mtm_trim_run gives for either: MTM_INVALID, MTM_UNSUPPORTED, MTM_RANGE,
 *         MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_trim_compare(const mtm_calibration *before,
                                                const mtm_calibration *now, const mtm_rig *rig,
                                                const mtm_trim_request *request, mtm_moved *moved,
                                                size_t *count, double *old_output,
                                                double *new_output, mtm_error *error);

MTM_END
#endif
