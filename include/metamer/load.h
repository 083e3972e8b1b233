/* SPDX-License-Identifier: MIT */
/* Load: watts and amperes of ports, supplies and circuits, and how to keep within their ratings. */
#ifndef METAMER_LOAD_H
#define METAMER_LOAD_H

#include <metamer/base.h>
#include <metamer/rig.h>

MTM_BEGIN

/** To be shown wherever loads are. */
#define MTM_LOAD_CAUTION                                                                           \
    "caution: these are sums of what the files state; the ratings on the equipment, the local "    \
    "electrical code and the people licensed to apply it decide what may be plugged in"

/** Part of a circuit's rating for loads that stay on: common practice, no source. */
#define MTM_LOAD_CIRCUIT_SHARE 0.8
/** Power factor taken where none is stated: common practice, no source. */
#define MTM_LOAD_POWER_FACTOR 0.9
/** Efficiency of a supply taken where none is stated: common practice, no source. */
#define MTM_LOAD_EFFICIENCY 0.85

/** How loads are judged. A plain value; zeroed means the defaults. */
typedef struct mtm_load_options {
    double voltage_v; /**< of circuits that state none, and of rigs without circuits; 0: unknown */
    double power_factor;  /**< of supplies that state none; 0: MTM_LOAD_POWER_FACTOR */
    double efficiency;    /**< of supplies that state none; 0: MTM_LOAD_EFFICIENCY */
    double circuit_share; /**< part of a circuit's rating to be used; 0: MTM_LOAD_CIRCUIT_SHARE */
    double supply_share;  /**< part of a port's and a supply's rating to be used; 0: all */
} mtm_load_options;

/** What a row of a load speaks of. */
typedef enum mtm_load_kind {
    MTM_LOAD_PORT = 0, /**< one port of a supply */
    MTM_LOAD_SUPPLY,   /**< a supply as a whole */
    MTM_LOAD_CIRCUIT   /**< a circuit */
} mtm_load_kind;

/** What one port, supply or circuit carries. A plain value. */
typedef struct mtm_load_row {
    mtm_load_kind kind;
    size_t index;   /**< of the supply or circuit */
    int port;       /**< MTM_LOAD_PORT: its number from 1; else 0 */
    size_t units;   /**< fed by it */
    double watts;   /**< ports and supplies: given to units; circuits: drawn from the mains */
    double drawn_w; /**< drawn from the mains; 0 for ports */
    double amperes; /**< drawn from the mains; 0 for ports and where the voltage is unknown */
    double rated;   /**< watts of ports and supplies, amperes of circuits */
    double share;   /**< part of rated to be used */
    double part;    /**< of rated that is used; 0 for circuits of unknown voltage */
    bool over;      /**< more than share of rated: must not be */
} mtm_load_row;

/** Loads of a rig. Keeps no pointer to it. */
typedef struct mtm_load mtm_load;

/** Watts of a unit with every emitter full, within its fixture's power limit. */
MTM_API double mtm_load_full_w(const mtm_unit *unit);
/** Watts of a unit at levels (one for each emitter, linear light 0..1): light and watts of an
 *  emitter rise together. */
MTM_API double mtm_load_level_w(const mtm_unit *unit, const double *level);
/**
 * Watts of every unit at the most light of a chromaticity that it reaches (or the nearest it
 * reaches) within its power limit.
 *
 * @param watts one for each unit of the rig
 */
MTM_API MTM_CHECKED mtm_result mtm_load_white_w(const mtm_rig *rig, mtm_xy white, double *watts,
                                                mtm_error *error);

/**
 * Sums watts over ports, supplies and circuits: those that feed a unit, and every circuit. Units
 * without a supply count nowhere; units without a port count for their supply.
 *
 * @param watts one for each unit; finite, >= 0
 * @return MTM_OK; MTM_INVALID; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_load_create(const mtm_rig *rig, const double *watts,
                                               const mtm_load_options *options, mtm_load **out,
                                               mtm_error *error);
/** Takes over each row of other that is fuller: the worst of several moments. Both are loads of the
 *  same rig with the same options. */
MTM_API void mtm_load_keep_fuller(mtm_load *load, const mtm_load *other);
/** Frees loads; NULL is allowed. */
MTM_API void mtm_load_free(mtm_load *load);
/** Number of rows: ports, supplies and circuits. */
MTM_API size_t mtm_load_row_count(const mtm_load *load);
/** Borrowed; index < count. Each supply's ports, then the supply; all circuits last. */
MTM_API const mtm_load_row *mtm_load_row_at(const mtm_load *load, size_t index);
/** Rows that are over. */
MTM_API size_t mtm_load_over_count(const mtm_load *load);

/**
 * Factors that bring every port and every supply within its rating (times options->supply_share):
 * levels and watts of unit i times factor[i]. All units of a port get one factor, the ports of a
 * supply the largest common one, each port no more than its own rating allows: so the smallest
 * factor is as large as it can be, and no unit's factor can be raised without lowering one that is
 * no larger. Exact, because an emitter's watts rise with its light: chromaticities stay as they
 * are. Units within the ratings, and those without a supply, get 1. Circuits are not considered.
 *
 * @param watts  one for each unit; finite, >= 0
 * @param factor one for each unit, 0..1
 */
MTM_API MTM_CHECKED mtm_result mtm_load_factors(const mtm_rig *rig, const double *watts,
                                                const mtm_load_options *options, double *factor,
                                                mtm_error *error);
/** The same with one factor for all units that are marked in together: the smallest of theirs. */
MTM_API void mtm_load_join_factors(const bool *together, size_t count, double *factor);

MTM_END
#endif
