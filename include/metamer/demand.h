/* SPDX-License-Identifier: MIT */
/* Load: watts and amperes of ports, supplies and circuits, and how to keep within their ratings. */
#ifndef METAMER_DEMAND_H
#define METAMER_DEMAND_H

#include <metamer/base.h>
#include <metamer/rig.h>

MTM_BEGIN

/** To be shown wherever loads are. */
#define MTM_DEMAND_CAUTION                                                                         \
    "caution: these are sums of what the files state; the ratings on the equipment, the local "    \
    "electrical code and the people licensed to apply it decide what may be plugged in"

/** Part of a circuit's rating for loads that stay on: common practice, no source. */
#define MTM_DEMAND_CIRCUIT_SHARE 0.8
/** Power factor taken where none is stated: common practice, no source. */
#define MTM_DEMAND_POWER_FACTOR 0.9
/** Efficiency of a supply taken where none is stated: common practice, no source. */
#define MTM_DEMAND_EFFICIENCY 0.85

/** How demand is reckoned. A plain value; zeroed means the defaults. */
typedef struct mtm_demand_options {
    double voltage_v; /**< of circuits that state none, and of rigs without circuits; 0: unknown */
    double power_factor;  /**< of supplies that state none; 0: MTM_DEMAND_POWER_FACTOR */
    double efficiency;    /**< of supplies that state none; 0: MTM_DEMAND_EFFICIENCY */
    double circuit_share; /**< part of a circuit's rating to be used; 0: MTM_DEMAND_CIRCUIT_SHARE */
    double supply_share;  /**< part of a port's and a supply's rating to be used; 0: all */
} mtm_demand_options;

/** What a row of a demand speaks of. */
typedef enum mtm_demand_type {
    MTM_DEMAND_PORT = 0, /**< one port of a supply */
    MTM_DEMAND_SUPPLY,   /**< a supply as a whole */
    MTM_DEMAND_CIRCUIT   /**< a circuit */
} mtm_demand_type;

/** What one port, supply or circuit carries. A plain value. */
typedef struct mtm_demand_row {
    mtm_demand_type type; /**< what it speaks of */
    size_t index;         /**< of the supply or circuit */
    int port;             /**< MTM_DEMAND_PORT: its number from 1; else 0 */
    size_t units;         /**< fed by it */
    double watts;         /**< ports and supplies: given to units; circuits: drawn from the mains */
    double drawn_w;       /**< drawn from the mains; 0 for ports */
    double drawn_va;      /**< the same as apparent power; 0 for ports */
    double amperes;       /**< drawn from the mains; 0 for ports and where the voltage is unknown */
    double rated;         /**< watts of ports and supplies, amperes of circuits */
    double share;         /**< part of rated to be used */
    double part;          /**< of rated that is used; 0 for circuits of unknown voltage */
    bool over;            /**< more than share of rated: must not be */
} mtm_demand_row;

/** What a whole rig takes. A plain value. */
typedef struct mtm_demand_total {
    double watts;    /**< of all units, standby too */
    double drawn_w;  /**< drawn from the mains by supplies, and by units on no supply as if one of
                          the options fed them */
    double drawn_va; /**< the same as apparent power */
} mtm_demand_total;

/** Loads of a rig. Keeps no pointer to it. Many threads may read them while none changes them. */
typedef struct mtm_demand mtm_demand;

/** Watts of a unit with every emitter full, within its fixture's power limit, and its standby. */
MTM_API double mtm_demand_full_w(const mtm_unit *unit);
/** Watts of a unit's emitters at levels (one for each emitter, linear light 0..1): light and watts
 *  of an emitter rise together. */
MTM_API double mtm_demand_level_w(const mtm_unit *unit, const double *level);
/**
 * Watts of every unit's emitters at the most light of a chromaticity that it reaches (or the
 * nearest it reaches) within its power limit.
 *
 * @param watts one for each unit of the rig; set on MTM_OK
 * @return MTM_OK; MTM_INVALID for what is no chromaticity; MTM_RANGE for a unit that is dark;
 *         MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_demand_white_w(const mtm_rig *rig, mtm_xy white, double *watts,
                                                  mtm_error *error);

/**
 * Sums watts over ports, supplies and circuits: those that feed a unit, and every circuit. Units
 * without a supply count in the total only; units without a port count for their supply. What
 * fixtures and supplies take beside the light (standby_w) is added at every load, that of supplies
 * on the mains' side.
 *
 * @param watts one for each unit, of its emitters; finite, >= 0
 * @return MTM_OK; MTM_INVALID; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_demand_create(const mtm_rig *rig, const double *watts,
                                                 const mtm_demand_options *options,
                                                 mtm_demand **out, mtm_error *error);
/** Sums over the whole rig; zeros for NULL. */
MTM_API mtm_demand_total mtm_demand_whole(const mtm_demand *demand);
/** Takes over each row of other that is fuller, and its total if that is: the worst of several
 * moments. Both are loads of the same rig with the same options. */
MTM_API void mtm_demand_take_fuller(mtm_demand *demand, const mtm_demand *other);
/** Frees loads; NULL is allowed. */
MTM_API void mtm_demand_free(mtm_demand *demand);
/** Number of rows: ports, supplies and circuits. */
MTM_API size_t mtm_demand_row_count(const mtm_demand *demand);
/** Borrowed; index < count. Each supply's ports, then the supply; all circuits last. */
MTM_API const mtm_demand_row *mtm_demand_row_at(const mtm_demand *demand, size_t index);
/** Rows that are over. */
MTM_API size_t mtm_demand_over_count(const mtm_demand *demand);

/**
 * Factors that bring every port and every supply within its rating (times options->supply_share):
 * levels and watts of unit i times factor[i]. All units of a port get one factor, the ports of a
 * supply the largest common one, each port no more than its own rating allows: so the smallest
 * factor is as large as it can be, and no unit's factor can be raised without lowering one that is
 * no larger. Exact, because an emitter's watts rise with its light: chromaticities stay as they
 * are. What units take beside their light is left to them. Units within the ratings, and those
 * without a supply, get 1. Circuits are not considered.
 *
 * @param watts  one for each unit, of its emitters; finite, >= 0
 * @param factor one for each unit, 0..1; set on MTM_OK
 * @return MTM_OK; MTM_INVALID for watts or options out of their ranges; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_demand_factors(const mtm_rig *rig, const double *watts,
                                                  const mtm_demand_options *options, double *factor,
                                                  mtm_error *error);
/** The same with one factor for all units that are marked in together: the smallest of theirs. */
MTM_API void mtm_demand_join_factors(const bool *together, size_t count, double *factor);

MTM_END
#endif
