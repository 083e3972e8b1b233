/* SPDX-License-Identifier: MIT */
/* Rig: which units hang where: fixtures, supplies, ports, universes, addresses. */
#ifndef METAMER_RIG_H
#define METAMER_RIG_H

#include <metamer/base.h>
#include <metamer/fixture.h>

MTM_BEGIN

#define MTM_UNIVERSE_MIN 1         /**< lowest universe */
#define MTM_UNIVERSE_MAX 63999     /**< ANSI E1.31-2018, 6.2.7 */
#define MTM_ADDRESS_MAX 512        /**< slots of a universe */
#define MTM_UNIT_CHANNEL_MAX 65535 /**< highest channel of cue text */
#define MTM_PORTS_MAX 512          /**< most ports of a supply */
#define MTM_SUPPLIES_MAX 4096      /**< most supplies of a rig */
#define MTM_UNITS_MAX 100000       /**< most units of a rig */
#define MTM_CIRCUITS_MAX 512       /**< most circuits of a rig */

/** A branch circuit that feeds supplies. Borrowed from its rig. */
typedef struct mtm_circuit {
    const char *name;    /**< as the file has it; no other circuit of the rig has it */
    double rated_a;      /**< rated amperes of its protection */
    double voltage_v;    /**< 0: not stated */
    const char *breaker; /**< where it is switched off; NULL: not stated */
} mtm_circuit;

/** A supply that feeds units through ports. Borrowed from its rig. */
typedef struct mtm_supply {
    const char *name;    /**< as the file has it; no other supply of the rig has it */
    int ports;           /**< number of ports, 1..512 */
    int port_units;      /**< most units on one port; 0: as many as its watts allow */
    double port_w;       /**< rated watts of one port */
    double total_w;      /**< rated watts of the supply */
    int circuit;         /**< index of the circuit that feeds it; -1: not stated */
    double efficiency;   /**< watts out by watts in, 0.1..1; 0: not stated */
    double power_factor; /**< 0.1..1; 0: not stated */
    double standby_w;    /**< drawn from the mains beside what it gives, at any load; 0: none */
} mtm_supply;

/** One physical unit. Borrowed from its rig. */
typedef struct mtm_unit {
    const char *name;           /**< as the file has it; no other unit of the rig has it */
    const char *fixture_file;   /**< as written in the rig file */
    const mtm_fixture *fixture; /**< shared by the units of one kind */
    const mtm_mode *mode;       /**< one of the fixture's */
    int universe;               /**< 1..63999; 0 where the file leaves it open */
    int address;                /**< 1..512; 0 where the file leaves it open */
    int supply;                 /**< index of its supply; -1 where the file leaves it open */
    int port;                   /**< 1..ports; 0 where the file leaves it open */
    /** index of the unit whose slots it shares; -1: its own. It has the same universe and address
     *  and a mode of the same slots, and is no leader itself */
    int follows;
    int channel; /**< 1..65535: the first of its channels in cue text; 0: counted */
    /** how much of its light arrives, beside others (throw, gel, age); 1e-6..1e6; 0: not stated, 1
     */
    double gain;
    /** intensity towards the point that it lights, candela for 1000 lm of its light, as photometric
     *  files state it; 0: not stated, and so is distance_m */
    double cd_per_klm;
    double distance_m;    /**< from it to that point, 0.01..10000 m; 0: not stated */
    const char *position; /**< where it hangs; NULL: not stated */
    const char *remark;   /**< for whoever hangs or looks after it; NULL: none */
} mtm_unit;

/** A unit's gain; 1 where none is stated or there is no unit. */
MTM_API double mtm_unit_gain(const mtm_unit *unit);
/** Lux at the point that a unit lights for each lumen that leaves it: its candela by the square of
 *  the distance, for light that falls straight on, times its gain; 0 where they are not stated.
 *  Source: the inverse square law (CIE S 017, 17-21-060: illuminance of a point source). */
MTM_API double mtm_unit_lux_per_lm(const mtm_unit *unit);

/** What hangs where. May be shared by threads while nobody changes it. */
typedef struct mtm_rig mtm_rig;

/** Where a unit hangs, as in mtm_unit. */
typedef struct mtm_place {
    int universe; /**< 1..63999; 0: open */
    int address;  /**< 1..512, of the first slot; 0: open */
    int supply;   /**< index; -1: open */
    int port;     /**< 1..ports; 0: open */
} mtm_place;

/**
 * Reads a "rig/1" file (JSON) and the fixtures it names, each once. The caller frees it.
 *
 * Keys: "metamer": "rig/1"; "name"; perhaps "revision", "date", "job", "site" and "by"; perhaps
 * "circuits" and "supplies", whose entries have the keys of mtm_circuit and mtm_supply; perhaps
 * "groups", an object of lists of terms by name (see selection.h); "units", 1..100000 of: "name",
 * "fixture" (a file, looked for beside this one, then among the profiles), "mode", and perhaps
 * "universe", "address", "supply", "port", "position", "remark", "follows" (another unit's name),
 * "gain", and "cd_per_klm" with "distance_m". "note" may stand anywhere. Other keys are errors; so
 * are two things of one kind with one name, a mode that runs past slot 512, and two units on one
 * slot of which none follows the other.
 * @return MTM_OK, or as all that reads a file (see mtm_result)
 */
MTM_API MTM_CHECKED mtm_result mtm_rig_load(const char *path, mtm_rig **out, mtm_error *error);
/** The same from text in memory; base_dir (may be NULL) is where relative paths start. Results as
 *  of all that reads text (see mtm_result). */
MTM_API MTM_CHECKED mtm_result mtm_rig_parse(const char *text, size_t length,
                                             const char *name_for_errors, const char *base_dir,
                                             mtm_rig **out, mtm_error *error);
/**
 * Makes a rig without units, for the functions mtm_rig_add_...; what is written of it reads as a
 * file does. The caller frees it. Look at it with mtm_rig_check once its units are added.
 *
 * @param name not empty; copied
 * @return MTM_OK; MTM_INVALID; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_rig_create(const char *name, mtm_rig **out, mtm_error *error);
/** Frees a rig; NULL is allowed. */
MTM_API void mtm_rig_free(mtm_rig *rig);

/** The rig's name; borrowed. */
MTM_API const char *mtm_rig_name(const mtm_rig *rig);
/** The revision that the rig's file states; borrowed; NULL: none. */
MTM_API const char *mtm_rig_revision(const mtm_rig *rig);
/** The date that the rig's file states, in its own words; borrowed; NULL: none. */
MTM_API const char *mtm_rig_date(const mtm_rig *rig);
/** The job that the rig's file states; borrowed; NULL: none. */
MTM_API const char *mtm_rig_job(const mtm_rig *rig);
/** Where the job is, as the rig's file states it; borrowed; NULL: not stated. */
MTM_API const char *mtm_rig_site(const mtm_rig *rig);
/** Who did it, as the rig's file states it; borrowed; NULL: not stated. */
MTM_API const char *mtm_rig_by(const mtm_rig *rig);
/** Number of units; at least 1 once a rig is read. */
MTM_API size_t mtm_rig_unit_count(const mtm_rig *rig);
/** Borrowed; index < count. */
MTM_API const mtm_unit *mtm_rig_unit(const mtm_rig *rig, size_t index);
/** Index of a unit by name; MTM_NOT_FOUND names the nearest. */
MTM_API MTM_CHECKED mtm_result mtm_rig_find_unit(const mtm_rig *rig, const char *name,
                                                 size_t *index, mtm_error *error);
/** Index of a supply by name; MTM_NOT_FOUND names the nearest. */
MTM_API MTM_CHECKED mtm_result mtm_rig_find_supply(const mtm_rig *rig, const char *name,
                                                   size_t *index, mtm_error *error);
/** Number of supplies; 0 where the rig names none. */
MTM_API size_t mtm_rig_supply_count(const mtm_rig *rig);
/** Borrowed; index < count. */
MTM_API const mtm_supply *mtm_rig_supply(const mtm_rig *rig, size_t index);
/** Number of circuits; 0 where the rig names none. */
MTM_API size_t mtm_rig_circuit_count(const mtm_rig *rig);
/** Borrowed; index < count. */
MTM_API const mtm_circuit *mtm_rig_circuit(const mtm_rig *rig, size_t index);

/**
 * Adds a circuit behind the others; its name is copied. Circuits borrowed before are no longer
 * valid.
 * @param circuit rated_a 0.01..10000; voltage_v 1..1000, or 0
 * @return MTM_OK; MTM_INVALID (a name in use, a value out of range); MTM_LIMIT; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_rig_add_circuit(mtm_rig *rig, const mtm_circuit *circuit,
                                                   mtm_error *error);

/**
 * Adds a fixture that units may be of.
 * @param own belongs to the rig on MTM_OK, stays the caller's on failure; 4096 at most
 * @return MTM_OK; MTM_INVALID (the rig has it already); MTM_LIMIT; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_rig_add_fixture(mtm_rig *rig, mtm_fixture *own,
                                                   mtm_error *error);

/**
 * Adds a unit behind the others; its index is the number of those before. Names are copied. Units
 * borrowed before are no longer valid, nor is what was made of the rig (matchers, faders).
 *
 * Ranges are checked at once, overlaps only by mtm_rig_check.
 * @param unit fixture: one added before; mode: one of its; fixture_file: where a written rig will
 *             look for it; follows: -1, or a unit added before that follows none, whose universe
 *             and address it takes (its own are 0 or the same)
 * @return MTM_OK; MTM_INVALID (a name in use, a value out of range); MTM_LIMIT; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_rig_add_unit(mtm_rig *rig, const mtm_unit *unit,
                                                mtm_error *error);

/**
 * Adds a supply behind the others; its name is copied. Supplies borrowed before are no longer
 * valid.
 * @return MTM_OK; MTM_INVALID (a name in use, a value out of range); MTM_LIMIT; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_rig_add_supply(mtm_rig *rig, const mtm_supply *supply,
                                                  mtm_error *error);

/**
 * Gives one unit emitters of its own, as after calibration: from now on its fixture is own, its
 * mode the one of the same name. Pointers into its former fixture stay valid if other units share
 * it.
 * @param own  belongs to the rig on MTM_OK, stays the caller's on failure
 * @return MTM_OK; MTM_INVALID (no such unit; a mode of other slots); MTM_NOT_FOUND (own has no mode
 *         of that name); MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_rig_set_unit_fixture(mtm_rig *rig, size_t index,
                                                        mtm_fixture *own, mtm_error *error);

/**
 * Moves one unit; 0 (-1 for the supply) leaves a thing open. Ranges are checked at once, overlaps
 * only by mtm_rig_check, so that units can change places one after the other. Units that follow it
 * move along; one that follows another keeps that one's universe and address (MTM_INVALID if other
 * ones are asked for; 0 is allowed).
 */
MTM_API MTM_CHECKED mtm_result mtm_rig_set_place(mtm_rig *rig, size_t index, mtm_place place,
                                                 mtm_error *error);
/** Refuses a rig without units, and two units on one slot of a universe: names both and the slots.
 *  MTM_OK, MTM_INVALID, MTM_PARSE or MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_rig_check(const mtm_rig *rig, mtm_error *error);

/**
 * Writes the rig as "rig/1" text: what was read, in its order, with the places as they are now.
 * Emitters set by mtm_rig_set_unit_fixture are not part of it. The caller frees *text with free().
 * @return MTM_OK or MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_rig_to_json(const mtm_rig *rig, char **text, size_t *length,
                                               mtm_error *error);
/** The same into a file, whole or not at all. MTM_OK, MTM_IO or MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_rig_save(const mtm_rig *rig, const char *path, mtm_error *error);

MTM_END
#endif
