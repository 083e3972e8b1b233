/* SPDX-License-Identifier: MIT */
/* Assumed: how far units may be from what their file says and no reading tells. */
#ifndef METAMER_ASSUMED_H
#define METAMER_ASSUMED_H

#include <metamer/base.h>

MTM_BEGIN

/** What is assumed. All but the shares are standard uncertainties (k = 1). */
typedef enum mtm_assumed_what {
    MTM_ASSUMED_FILE_XY = 0,   /**< x and y of an emitter about the fixture file */
    MTM_ASSUMED_FILE_OUTPUT,   /**< its light about the fixture file, relative */
    MTM_ASSUMED_BEND,          /**< exponent of an unread response curve, about the file's */
    MTM_ASSUMED_DEAD,          /**< share of the code that lights nothing, where not read */
    MTM_ASSUMED_RIPPLE,        /**< level beside any smooth curve through what was read, relative */
    MTM_ASSUMED_DRIFT,         /**< u' and v' from full level to the lowest, where not read */
    MTM_ASSUMED_DROOP,         /**< light lost by all emitters with all at full, where not read */
    MTM_ASSUMED_DROOP_APART,   /**< the same, from emitter to emitter */
    MTM_ASSUMED_STRAY,         /**< light of elsewhere in a reading, share of the unit's at full */
    MTM_ASSUMED_REPEAT,        /**< scatter of a reading where not stated, share of the certificate
                                *   as a standard uncertainty */
    MTM_ASSUMED_COMMON_XY,     /**< share of the certificate's variance of x and y that is common to
                                *   all readings of a meter, 0..1 */
    MTM_ASSUMED_COMMON_OUTPUT, /**< the same of Y */
    MTM_ASSUMED_STILL_XY,      /**< x and y of an emitter from one round of readings to the next */
    MTM_ASSUMED_STILL_OUTPUT,  /**< its light, relative */
    MTM_ASSUMED_COUNT          /**< how many there are */
} mtm_assumed_what;

/** One of them as users name it. */
typedef struct mtm_assumed_row {
    const char *name;    /**< in files and options */
    double usual;        /**< what holds where nothing is said; an assumption, no source */
    double most;         /**< largest allowed; the least is 0 */
    const char *meaning; /**< one line */
} mtm_assumed_row;

/** One of the MTM_ASSUMED_COUNT; static storage. NULL for none of them. */
MTM_API const mtm_assumed_row *mtm_assumed_row_at(mtm_assumed_what what);

/** Values by mtm_assumed_what. A plain value. */
typedef struct mtm_assumed {
    double value[MTM_ASSUMED_COUNT]; /**< by mtm_assumed_what */
} mtm_assumed;

/** The usual values. */
MTM_API mtm_assumed mtm_assumed_usual(void);
/** Sets one by its name; MTM_PARSE names what exists, or the range. assumed untouched then. */
MTM_API MTM_CHECKED mtm_result mtm_assumed_set(mtm_assumed *assumed, const char *name, double value,
                                               mtm_error *error);

MTM_END
#endif
