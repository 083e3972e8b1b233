/* SPDX-License-Identifier: MIT */
/* Rig: which units hang where: fixtures, supplies, ports, universes, addresses. */
#ifndef METAMER_RIG_H
#define METAMER_RIG_H

#include <metamer/base.h>
#include <metamer/fixture.h>

MTM_BEGIN

#define MTM_UNIVERSE_MAX 63999
#define MTM_ADDRESS_MAX 512

/** A supply that feeds units through ports. Borrowed from its rig. */
typedef struct mtm_supply {
    const char *name;
    int ports;      /**< number of ports, 1..512 */
    double port_w;  /**< rated watts of one port */
    double total_w; /**< rated watts of the supply */
} mtm_supply;

/** One physical unit. Borrowed from its rig. */
typedef struct mtm_unit {
    const char *name;
    const char *fixture_file;   /**< as written in the rig file */
    const mtm_fixture *fixture; /**< shared by the units of one kind */
    const mtm_mode *mode;
    int universe; /**< 1..63999; 0 where the file leaves it open */
    int address;  /**< 1..512; 0 where the file leaves it open */
    int supply;   /**< index of its supply; -1 where the file leaves it open */
    int port;     /**< 1..ports; 0 where the file leaves it open */
} mtm_unit;

typedef struct mtm_rig mtm_rig;

/** Reads a "rig/1" file and the fixtures it names. The caller frees it. */
MTM_API MTM_CHECKED mtm_result mtm_rig_load(const char *path, mtm_rig **out, mtm_error *error);
/** The same from text in memory; base_dir (may be NULL) is where relative paths start. */
MTM_API MTM_CHECKED mtm_result mtm_rig_parse(const char *text, size_t length,
                                             const char *name_for_errors, const char *base_dir,
                                             mtm_rig **out, mtm_error *error);
/** Frees a rig; NULL is allowed. */
MTM_API void mtm_rig_free(mtm_rig *rig);

MTM_API const char *mtm_rig_name(const mtm_rig *rig);
MTM_API size_t mtm_rig_unit_count(const mtm_rig *rig);
/** Borrowed; index < count. */
MTM_API const mtm_unit *mtm_rig_unit(const mtm_rig *rig, size_t index);
/** Index of a unit by name; MTM_NOT_FOUND names the nearest. */
MTM_API MTM_CHECKED mtm_result mtm_rig_find_unit(const mtm_rig *rig, const char *name,
                                                 size_t *index, mtm_error *error);
MTM_API size_t mtm_rig_supply_count(const mtm_rig *rig);
/** Borrowed; index < count. */
MTM_API const mtm_supply *mtm_rig_supply(const mtm_rig *rig, size_t index);

MTM_END
#endif
