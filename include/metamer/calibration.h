/* SPDX-License-Identifier: MIT */
/* Calibration: what each unit of a rig really gives, fitted from readings. */
#ifndef METAMER_CALIBRATION_H
#define METAMER_CALIBRATION_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/fixture.h>
#include <metamer/readings.h>
#include <metamer/rig.h>
#include <metamer/unit_model.h>

MTM_BEGIN

/** One reading against the model. */
typedef struct mtm_residual {
    size_t reading;      /**< index in the readings */
    mtm_xyz measured;    /**< dark taken off, in lumens */
    mtm_xyz predicted;   /**< by the fitted model */
    double delta_uv;     /**< between the two */
    double output_error; /**< measured Y over predicted Y, less one */
    double score;        /**< how many of its standard uncertainties the reading is off */
    bool disagrees;      /**< left out: the unit's other readings contradict it, so far that a slip
                          *   is a thousand times as likely */
} mtm_residual;

/** What each unit of a rig really gives, as far as it was read. Many threads may read it
 *  while none changes it. */
typedef struct mtm_calibration mtm_calibration;

/**
 * Fits each unit that readings speak of.
 *
 * Curves come from single emitters at three or more codes (isotonic fit, then monotone cubic),
 * drift from the same, sharing from emitters together against their sum, and the emitters' XYZ
 * from all readings at once: least squares weighted by the meter's uncertainty, with the prior (or
 * where it is NULL the fixture files) as a reading of large uncertainty, so that mixtures alone
 * are enough. One factor between the meter's Y and lumens holds for all units of a kind: their
 * median is what the fixture file says.
 *
 * @param readings of the same rig; the calibration keeps the rig, not the readings
 * @param prior    an earlier calibration of the same rig, or NULL
 * @return MTM_OK; MTM_INVALID for readings or a prior of another rig; MTM_UNSUPPORTED where no
 * usable reading is left; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_calibration_fit(const mtm_readings *readings, const mtm_rig *rig,
                                                   const mtm_calibration *prior,
                                                   mtm_calibration **out, mtm_error *error);
/** The fixture files as they are: every unit, none calibrated. MTM_OK or MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_calibration_create(const mtm_rig *rig, mtm_calibration **out,
                                                      mtm_error *error);
/** Frees a calibration; NULL is allowed. */
MTM_API void mtm_calibration_free(mtm_calibration *calibration);

/** Reads a "calibration/1" file; refuses one made for other units or another fixture, with
 *  MTM_PARSE. Else results as of all that reads a file (see mtm_result). */
MTM_API MTM_CHECKED mtm_result mtm_calibration_load(const char *path, const mtm_rig *rig,
                                                    mtm_calibration **out, mtm_error *error);
/** The same from text in memory; length bytes; no NUL is needed behind them. Results as of all that
 *  reads text (see mtm_result). */
MTM_API MTM_CHECKED mtm_result mtm_calibration_parse(const char *text, size_t length,
                                                     const char *name_for_errors,
                                                     const mtm_rig *rig, mtm_calibration **out,
                                                     mtm_error *error);
/** Writes "calibration/1" text: length bytes and a NUL. The caller frees *text with free(). MTM_OK,
 *  MTM_INVALID or MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_calibration_to_json(const mtm_calibration *calibration,
                                                       char **text, size_t *length,
                                                       mtm_error *error);
/** Writes a "calibration/1" file, whole or not at all. MTM_OK, MTM_IO or MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_calibration_write(const mtm_calibration *calibration,
                                                     const char *path, mtm_error *error);

/** Gives each calibrated unit of the rig its own fixture. Where the unit was trimmed, its emitters
 *  are those that hold at the trimmed levels (drift and sharing taken in). MTM_OK; MTM_INVALID for
 * a calibration of another rig; MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_calibration_apply(mtm_rig *rig,
                                                     const mtm_calibration *calibration,
                                                     mtm_error *error);

/** The model of a unit; borrowed; unit < units of the rig. */
MTM_API const mtm_unit_model *mtm_calibration_unit(const mtm_calibration *calibration, size_t unit);
/** The meter's Y for one lumen of a unit's kind; 0 where no reading of the kind was fitted. */
MTM_API double mtm_calibration_scale(const mtm_calibration *calibration, size_t unit);
/** Number of residuals. */
MTM_API size_t mtm_calibration_residual_count(const mtm_calibration *calibration);
/** Borrowed; index < count. */
MTM_API const mtm_residual *mtm_calibration_residual(const mtm_calibration *calibration,
                                                     size_t index);
/** What the fit has to say: emitters without a reading, readings that look like another unit's or
 *  emitter's, swapped x and y, another quantity, outliers. */
MTM_API size_t mtm_calibration_note_count(const mtm_calibration *calibration);
/** Borrowed; index < count. */
MTM_API const mtm_note *mtm_calibration_note(const mtm_calibration *calibration, size_t index);

/**
 * Questions one reading before it is taken: true if it is far from what its unit is known to give,
 * with a sentence on what it looks like (another unit, another emitter, x and y swapped, another
 * quantity). Y is compared only where mtm_calibration_scale is known.
 */
MTM_API bool mtm_calibration_question(const mtm_calibration *calibration,
                                      const mtm_reading *reading, mtm_note *note);

/** Remembers the levels (0..1) at which a unit was trimmed (count of the unit's emitters), so that
 *  mtm_calibration_apply gives what holds there, and the master dimmer of its codes (0..1 of its
 *  full code; 0: none, or not known). */
MTM_API void mtm_calibration_set_trim(mtm_calibration *calibration, size_t unit,
                                      const double *level, double dimmer);

/** The levels at which a unit was trimmed, and the dimmer (may be NULL); NULL where it was not.
 *  Borrowed. */
MTM_API const double *mtm_calibration_trim(const mtm_calibration *calibration, size_t unit,
                                           double *dimmer);

/** What a unit, with others that were to agree with it, was trimmed to. A plain value. */
typedef struct mtm_trim_aim {
    mtm_xy target;      /**< of the 2 degree observer */
    char goal[16];      /**< by its name, see mtm_goal_at */
    double asked_lm;    /**< the output asked for, lumens; 0: none */
    double asked_share; /**< the same as a share of the most, 0..1; 0: none */
    double output_lm;   /**< the common output found */
} mtm_trim_aim;

/** Remembers what a unit of the rig was trimmed to, so that a later round stays with it; an aim out
 *  of its ranges is not taken. */
MTM_API void mtm_calibration_set_aim(mtm_calibration *calibration, size_t unit,
                                     const mtm_trim_aim *aim);
/** That; NULL where it is not known. Borrowed. */
MTM_API const mtm_trim_aim *mtm_calibration_aim(const mtm_calibration *calibration, size_t unit);

/**
 * Covariance of the true colour of codes (0..1 of full code) and dimmer, first order; false where
 * the model has none.
 *
 * It holds what the meter leaves open (a part common to all its readings and a part of each), what
 * no reading told of response curves, drift and droop, how far a unit may be from its file, and
 * light of elsewhere in the readings. See mtm_assumed for what is assumed. Two things are taken as
 * certain: the curve of a dimmer before all emitters (wrong, it changes output and hardly colour),
 * and a fixture's limit of power where it has one.
 * Source: JCGM 100:2008, 5.2.2; JCGM 102:2011, 6.2.
 */
MTM_API bool mtm_unit_model_covariance(const mtm_unit_model *model, const double *code,
                                       double dimmer, mtm_covariance *covariance);

/** What may make a predicted colour unsure. */
typedef enum mtm_doubt {
    MTM_DOUBT_METER = 0, /**< the meter, in emitters that were read alone */
    MTM_DOUBT_FILE,      /**< the fixture file, in emitters that were not */
    MTM_DOUBT_CURVE,     /**< response curves and dead zones */
    MTM_DOUBT_DRIFT,     /**< drift of colour with level */
    MTM_DOUBT_DROOP,     /**< light that emitters take from each other */
    MTM_DOUBT_COUNT      /**< how many there are */
} mtm_doubt;

/** One of them in two or three words, for a table; "" for no value of the list. Static. */
MTM_API const char *mtm_doubt_text(mtm_doubt doubt);
/** What leaves the colour of codes most in doubt: the largest by itself of variances in u', v', the
 *  first of equals; MTM_DOUBT_METER where the model has no doubt or the codes no light. */
MTM_API mtm_doubt mtm_unit_model_chief_doubt(const mtm_unit_model *model, const double *code,
                                             double dimmer);

MTM_END
#endif
