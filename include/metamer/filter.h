/* SPDX-License-Identifier: MIT */
/* Filter: what a colour filter lets through, what it makes of a light, and libraries of them. */
#ifndef METAMER_FILTER_H
#define METAMER_FILTER_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/lab.h>
#include <metamer/spectrum.h>
#include <metamer/white.h>

MTM_BEGIN

/** A light that a filter stands before. A plain value. */
typedef struct mtm_light {
    mtm_spectrum spectrum; /**< relative */
    char name[96];         /**< "3200 K", "daylight 5600 K", "D65", "lamp" */
} mtm_light;

/**
 * A light from what a person writes: "3200" or "3200K", a Planckian radiator of 1000..25000 K;
 * "daylight:5600", CIE daylight of 4000..25000 K; the name of a CIE illuminant ("A", "D65"); or a
 * spectrum file. MTM_NOT_FOUND says what is allowed; MTM_RANGE for a temperature out of its range;
 * for a file, as all that reads one (see mtm_result).
 */
MTM_API MTM_CHECKED mtm_result mtm_light_from_text(const char *text, mtm_light *light,
                                                   mtm_error *error);

#define MTM_FILTER_NAME_MAX 95 /**< most bytes of a filter's name, the NUL not counted */

/** A filter. A plain value. */
typedef struct mtm_filter {
    char name[MTM_FILTER_NAME_MAX + 1]; /**< UTF-8 */
    mtm_spectrum transmittance;         /**< 0..1 */
    bool computed; /**< from stated shifts (mtm_filter_correction), in part at least: no curve of a
                        real filter, and its brightness is MTM_CORRECTION_ASSUMPTION */
} mtm_filter;

/** What the brightness of a computed filter rests on. */
#define MTM_CORRECTION_ASSUMPTION                                                                  \
    "clearest at the end of the visible range (90 % if not stated), not of a measured filter"

/** What a smooth correction filter is asked to do on its reference light. A plain value. */
typedef struct mtm_correction {
    double mired_shift; /**< -300..300; positive: warmer */
    double duv_shift;   /**< -0.04..0.04; positive: greener */
    double peak;        /**< highest transmittance, 0.01..1; 0 means 0.9 */
} mtm_correction;

/**
 * A correction filter of two absorptions, each after the Beer-Lambert law: one in proportion to 1 /
 * wavelength between 430 and 687 nm (level outside, where the eye sees a hundredth of its most),
 * which is what takes one black body to another in Wien's approximation, so that equal filters add
 * their mired shifts; and one about 545 nm, for green and magenta. Their amounts are solved so that
 * both shifts are exact on the reference light. How much light passes rests on that model and on
 * the peak, not on a measured filter.
 *
 * @param reference a white: |Duv| <= 0.05, 1000..25000 K, before and behind the filter
 * @return MTM_OK; MTM_INVALID for a shift, peak or reference out of its range; MTM_RANGE if the
 *         filtered light would be no such white
 */
MTM_API MTM_CHECKED mtm_result mtm_filter_correction(const char *name, mtm_correction correction,
                                                     const mtm_spectrum *reference,
                                                     mtm_filter *filter, mtm_error *error);

/**
 * Reads one filter: a "filter/1" file, or a spectrum file that holds one curve with values of 0..1.
 * A curve must reach from 400 to 700 nm; the end values go on. What interpolation puts a hair
 * outside 0..1 is cut. A file of "filter/1" has "transmittance" (a file or [[nm, value], ...]), or
 * "mired_shift", "duv_shift" or both with "reference" (as in mtm_light_from_text) and perhaps
 * "peak".
 * @return MTM_OK; MTM_RANGE as mtm_filter_correction; else as all that reads a file (see
 * mtm_result)
 */
MTM_API MTM_CHECKED mtm_result mtm_filter_load(const char *path, mtm_filter *filter,
                                               mtm_error *error);
/** A "filter/1" text in memory; base_dir (may be NULL) is where relative paths start.
 *  Results as of mtm_filter_load (see mtm_result). */
MTM_API MTM_CHECKED mtm_result mtm_filter_parse(const char *text, size_t length,
                                                const char *name_for_errors, const char *base_dir,
                                                mtm_filter *filter, mtm_error *error);

/** One behind the other: transmittances multiply, "a + b". A name too long is cut. */
MTM_API mtm_filter mtm_filter_stack(const mtm_filter *a, const mtm_filter *b);

/** The light behind the filter, on the scale of the light before it. */
MTM_API mtm_spectrum mtm_filter_apply(const mtm_filter *filter, const mtm_spectrum *light);

/** What a filter makes of a light. A plain value. */
typedef struct mtm_filtered {
    mtm_xyz xyz;            /**< behind the filter; Y of the bare light is 100 */
    mtm_xyz light_xyz;      /**< of the bare light; Y is 100 */
    double transmittance_y; /**< luminous transmittance, 0..1 */
    mtm_lab lab;            /**< beside the bare light as the white */
    bool has_shift;         /**< true if both are whites; 2 degree observer only */
    mtm_white before;       /**< the bare light */
    mtm_white after;        /**< the light behind the filter */
    double mired_shift;     /**< after - before; positive: warmer */
    double duv_shift;       /**< after - before; positive: greener */
} mtm_filtered;

/** MTM_RANGE if the light is dark to this observer. */
MTM_API MTM_CHECKED mtm_result mtm_filter_over(const mtm_filter *filter, const mtm_spectrum *light,
                                               mtm_observer observer, mtm_filtered *filtered,
                                               mtm_error *error);

/** Most filters of a library. */
#define MTM_FILTERS_MAX 4096

/** Named filters, in the order of their names. Immutable: may be shared by threads. */
typedef struct mtm_filters mtm_filters;

/**
 * Loads every filter of a folder: "filter/1" files (.json) and spectrum files (any other suffix but
 * .md), whose curves are named by the file or, where it holds several, by their own names. Hidden
 * files and folders inside are passed over. Names are compared case aside, with "-" and "_" as
 * blanks. NULL: the delivered ones ("filters" in the folder of profiles).
 * @return MTM_OK; MTM_NOT_FOUND, MTM_IO, MTM_PARSE (also two of one name), MTM_LIMIT, MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_filters_load(const char *folder, mtm_filters **out,
                                                mtm_error *error);
/** Frees a library; NULL is allowed. */
MTM_API void mtm_filters_free(mtm_filters *filters);
/** Number of filters. */
MTM_API size_t mtm_filters_count(const mtm_filters *filters);
/** Borrowed; index < count. */
MTM_API const mtm_filter *mtm_filters_at(const mtm_filters *filters, size_t index);
/** A filter by what a person writes: a name of the library, a file, or several stacked, "A+B".
 *  MTM_NOT_FOUND names the nearest; for a file, as all that reads one (see mtm_result). */
MTM_API MTM_CHECKED mtm_result mtm_filters_find(const mtm_filters *filters, const char *text,
                                                mtm_filter *filter, mtm_error *error);

/** A filter or a pair of a library that comes near to something. A plain value. */
typedef struct mtm_near_filter {
    size_t first;           /**< index */
    size_t second;          /**< index of the one behind it; SIZE_MAX for a single filter */
    double distance;        /**< CIEDE2000, or u', v' */
    double transmittance_y; /**< over the light, 0..1 */
} mtm_near_filter;

/**
 * The filters whose colour over a light is nearest to that of a filter, by CIEDE2000 with the light
 * as the white (ISO/CIE 11664-6), nearest first. One of the same name is left out: nobody asks how
 * near a filter is to itself.
 * @return their number, <= count; 0 if the light is dark
 */
MTM_API size_t mtm_filters_like(const mtm_filters *filters, const mtm_filter *filter,
                                const mtm_spectrum *light, mtm_observer observer,
                                mtm_near_filter *near, size_t count);

/**
 * The filters (or with pairs, the pairs; the same one twice is a pair) that bring a light nearest
 * to a chromaticity, by distance in u', v'; of equals, the brighter one. Nearest first. A filter
 * that only dims (less than 0.0005 in u', v') stands in no pair.
 * @return their number, <= count
 */
MTM_API size_t mtm_filters_nearest(const mtm_filters *filters, mtm_xy target,
                                   const mtm_spectrum *light, mtm_observer observer, bool pairs,
                                   mtm_near_filter *near, size_t count);

MTM_END
#endif
