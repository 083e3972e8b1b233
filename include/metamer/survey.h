/* SPDX-License-Identifier: MIT */
/* Survey: a rig at a glance: what hangs there, which whites all of it reaches, how much light it
 * gives together, how that renders, and which units agree for one eye only. */
#ifndef METAMER_SURVEY_H
#define METAMER_SURVEY_H

#include <metamer/agreement.h>
#include <metamer/base.h>
#include <metamer/rig.h>

MTM_BEGIN

#define MTM_SURVEY_WHITES_MAX 64    /**< most temperatures of a survey */
#define MTM_SURVEY_WITHIN_UV 0.0033 /**< three steps of 0.0011 in u', v' (ANSI C78.377) */

/** What a survey looks for. A plain value; zeroed means the defaults. */
typedef struct mtm_survey_options {
    double within_uv;    /**< as near as a white must be, 0..0.1; 0: MTM_SURVEY_WITHIN_UV */
    const double *cct_k; /**< temperatures of the whites, MTM_CCT_MIN_K..MTM_CCT_MAX_K */
    size_t cct_count;    /**< 0..MTM_SURVEY_WHITES_MAX; 0: the usual, see mtm_survey_white_at */
} mtm_survey_options;

/** Units of one fixture in one mode, under the same limits. A plain value; names are borrowed from
 * the rig. */
typedef struct mtm_survey_kind {
    const char *fixture; /**< the fixture's name */
    const char *mode;    /**< the mode's */
    size_t unit_count;   /**< of them */
    size_t first;        /**< index of the first in the rig */
    size_t measured;     /**< of them, those with emitters of their own */
    size_t slot_count;   /**< of each */
    double full_w;       /**< of each, every emitter full within the power limit */
    double warmest_k;    /**< lowest temperature of a white that all of them reach; 0: none */
    double coolest_k;    /**< highest such temperature; between the two some may be missing */
} mtm_survey_kind;

/** Whites on the Planckian locus that every unit reaches, without a gap. A plain value. */
typedef struct mtm_survey_range {
    double warmest_k; /**< lowest temperature, to one mired */
    double coolest_k; /**< highest, to one mired */
    /** the first unit that does not reach the next warmer white; the number of units of the rig
     *  where 1000 K is the end */
    size_t ends_warm;
    size_t ends_cool; /**< the same of the next cooler white, and 25000 K */
} mtm_survey_range;

/** All units brought to one white together. A plain value; units are indices into the rig. */
typedef struct mtm_survey_white {
    double cct_k;       /**< of the Planckian radiator that is the white */
    bool exists;        /**< false: no colour is inside every unit's gamut; only apart holds */
    size_t apart[2];    /**< two units whose gamuts do not meet */
    double delta_uv;    /**< of the nearest colour that all reach from the white, in u', v' */
    size_t ends_colour; /**< the unit that keeps it from being nearer */
    double flux_lm;     /**< the common output of each unit */
    size_t ends_output; /**< the unit that gives no more */
    double watts;       /**< of all units together there */
    size_t judged;      /**< units whose rendering is known; rf and rf_unit hold where above 0 */
    double rf;          /**< the worst fidelity index (CIE 224, TM-30) of them */
    size_t rf_unit;     /**< whose it is */
    bool ideal_lines;   /**< that figure rests on lines drawn from peak and width */
    size_t pair_count;  /**< pairs that agree for the 2 degree observer only, see mtm_match_pairs */
    mtm_metameric_pair pair; /**< the worst of them, first and second as indices into the rig */
} mtm_survey_white;

/** Sums of a survey. A plain value. */
typedef struct mtm_survey_sums {
    size_t units;       /**< looked at */
    size_t measured;    /**< of them, those with emitters of their own */
    size_t dims;        /**< of them, those whose colour goes with their output: they share no
                         *   white, and count in no range and no common output */
    size_t followers;   /**< of them, those that share the slots of another */
    size_t unaddressed; /**< of them, those without an address or universe */
    size_t unsupplied;  /**< of them, those without a supply */
    size_t universes;   /**< that they stand in */
    size_t slots;       /**< that they take, each once */
    size_t supplies;    /**< that feed them */
    double full_w;      /**< watts, every emitter full within the power limits */
} mtm_survey_sums;

/** A survey. Keeps no pointer to the rig but to its names. Many threads may read it. */
typedef struct mtm_survey mtm_survey;

/**
 * Looks at units of a rig.
 *
 * @param unit    count indices, each once; NULL with 0: all
 * @param options NULL for the defaults
 * @return MTM_OK; MTM_INVALID; MTM_RANGE for a temperature beyond its bounds, or a unit whose
 *         emitters are dark; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_survey_create(const mtm_rig *rig, const size_t *unit,
                                                 size_t count, const mtm_survey_options *options,
                                                 mtm_survey **out, mtm_error *error);
/** Frees a survey; NULL is allowed. */
MTM_API void mtm_survey_free(mtm_survey *survey);

/** The sums; zeroed for NULL. */
MTM_API mtm_survey_sums mtm_survey_sums_of(const mtm_survey *survey);
/** Number of kinds: those of one fixture side by side, else in the order of their first units. */
MTM_API size_t mtm_survey_kind_count(const mtm_survey *survey);
/** Borrowed; NULL past the last. */
MTM_API const mtm_survey_kind *mtm_survey_kind_at(const mtm_survey *survey, size_t index);
/** Number of ranges of whites that all reach, from warm to cool; 0 where there is none. */
MTM_API size_t mtm_survey_range_count(const mtm_survey *survey);
/** Borrowed; NULL past the last. */
MTM_API const mtm_survey_range *mtm_survey_range_at(const mtm_survey *survey, size_t index);
/** Number of whites; the usual ones are 2200, 2700, 3000, 3200, 4000, 5000, 5600 and 6500 K. */
MTM_API size_t mtm_survey_white_count(const mtm_survey *survey);
/** Borrowed; NULL past the last. */
MTM_API const mtm_survey_white *mtm_survey_white_at(const mtm_survey *survey, size_t index);

MTM_END
#endif
