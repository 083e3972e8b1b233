/* SPDX-License-Identifier: MIT */
/* Spectrum facts: all that is known of one spectrum of a file. */
#ifndef METAMER_SPECTRUM_FACTS_H
#define METAMER_SPECTRUM_FACTS_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/dominant.h>
#include <metamer/quality.h>
#include <metamer/spectrum_file.h>
#include <metamer/tolerance.h>
#include <metamer/white.h>

MTM_BEGIN

/** Beyond this interval between samples what lies between is a guess, and no index is given. CIE
 *  13.3 and CIE 224 take samples of at most 5 nm; the open library colour-science 0.4 takes 1, 5,
 *  10 and 20 nm for ASTM E308. */
#define MTM_INDEX_SPACING_MAX_NM 20.0

/** All that is known of one spectrum. What has no value is NaN. A plain value, but for the name. */
typedef struct mtm_spectrum_facts {
    const char *name;        /**< borrowed from the set */
    mtm_quantity quantity;   /**< what the file says it is; taken as a light whatever it says */
    double first_nm;         /**< first wavelength measured */
    double last_nm;          /**< last wavelength measured */
    double spacing_nm;       /**< widest interval between samples of 400..700 nm */
    mtm_xy xy;               /**< by the stated observer */
    mtm_uv uv;               /**< the same in CIE 1976 u', v' */
    mtm_white white;         /**< of the 2 degree observer, as the standards have it */
    bool has_tolerance;      /**< false without a white */
    mtm_tolerance tolerance; /**< by ANSI C78.377; 2 degree observer */
    bool has_quality;        /**< false: missing tells why */
    mtm_quality quality;     /**< indices, each with the observer of its standard */
    char missing[512];       /**< why there are no indices; "" if there are */
    double ssi;              /**< to the reference, from straight lines between samples */
    char ssi_reference[64];  /**< what stands in the brackets of SSI[...]: "P3200", or a name; ""
                              *   without SSI */
    mtm_peak peak;           /**< its highest point */
    mtm_dominant dominant;   /**< beside the stated white; NaN, purity 0 for that white itself */
    double ler_lm_per_w;     /**< luminous efficacy of radiation */
} mtm_spectrum_facts;

/**
 * All that is known of spectrum index of a set.
 *
 * @param observer  of xy, uv and dominant
 * @param beside    the white of dominant wavelength and purity
 * @param reference a set of one spectrum that SSI compares with; NULL for the default of the colour
 *                  temperature
 * @param facts     set on MTM_OK, untouched otherwise
 * @return MTM_OK, also where there are no indices (missing); MTM_INVALID, also for an index that
 *         the set has not and a white outside the locus; MTM_RANGE for a spectrum without light
 */
MTM_API MTM_CHECKED mtm_result mtm_spectrum_set_facts(const mtm_spectrum_set *set, size_t index,
                                                      mtm_observer observer, mtm_xy beside,
                                                      const mtm_spectrum_set *reference,
                                                      mtm_spectrum_facts *facts, mtm_error *error);

MTM_END
#endif
