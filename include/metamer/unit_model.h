/* SPDX-License-Identifier: MIT */
/* Unit model: what one unit gives at its codes: curves, drift with level, sharing among emitters.
 */
#ifndef METAMER_UNIT_MODEL_H
#define METAMER_UNIT_MODEL_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/fixture.h>

MTM_BEGIN

/** How emitters lit together give less than the sum of them alone. */
typedef enum mtm_sharing {
    MTM_SHARING_NONE = 0, /**< light adds */
    MTM_SHARING_DROOP,    /**< all emitters fall by the same share, in proportion to the load */
    MTM_SHARING_LIMIT     /**< above a share of the full load, the fixture holds the load there */
} mtm_sharing;

/** One emitter of one unit. */
typedef struct mtm_unit_emitter {
    mtm_xyz xyz;  /**< alone at full, in lumens: the units of a kind give the fixture file's
                   *   on their median */
    mtm_uv drift; /**< how far u', v' move from full level to the lowest, linear in the level */
    double droop; /**< share of its light lost with all others at full, beyond what sharing takes */
    const mtm_curve *curve; /**< measured, or the fixture's */
    double watts;           /**< of the fixture file */
    bool measured;          /**< a reading of this emitter alone exists */
} mtm_unit_emitter;

/** How sure the model of a unit is: see mtm_unit_model_covariance. Belongs to its calibration,
 * whose threads it shares. */
typedef struct mtm_unit_doubt mtm_unit_doubt;

/** What one unit gives. Borrowed from its calibration; the functions that take a model only read
 * it: many threads may, while none changes the calibration. */
typedef struct mtm_unit_model {
    bool calibrated; /**< false: the fixture file's values, no reading of this unit */
    size_t count;    /**< of emitters */
    mtm_unit_emitter emitter[MTM_EMITTERS_MAX]; /**< in the fixture's order */
    const mtm_curve *dimmer_curve;              /**< of the master dimmer */
    mtm_sharing sharing;                        /**< how emitters share */
    /** MTM_SHARING_DROOP: what is lost with all at full, 0..0.9; MTM_SHARING_LIMIT: share of the
     *  full load that is held, 0.1..1 */
    double share;
    const mtm_unit_doubt *doubt; /**< how sure all this is; NULL where no reading was fitted */
} mtm_unit_model;

/** Levels of codes (0..1 of full code) and dimmer: curves applied. level has count places. */
MTM_API void mtm_unit_model_levels(const mtm_unit_model *model, const double *code, double dimmer,
                                   double *level);
/** Colour of levels, with drift and sharing, in lumens. */
MTM_API mtm_xyz mtm_unit_model_xyz(const mtm_unit_model *model, const double *level);
/** What each emitter adds per unit of its level when all are lit at these levels. */
MTM_API void mtm_unit_model_effective(const mtm_unit_model *model, const double *level,
                                      mtm_xyz *xyz);
MTM_END
#endif
