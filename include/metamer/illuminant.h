/* SPDX-License-Identifier: MIT */
/* Illuminants: the CIE's standard lights by name, as spectra. */
#ifndef METAMER_ILLUMINANT_H
#define METAMER_ILLUMINANT_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/spectrum.h>

MTM_BEGIN

/** An illuminant's name and meaning. */
typedef struct mtm_illuminant {
    const char *name;        /**< as the user writes it */
    const char *description; /**< one line */
} mtm_illuminant;

/** Number of illuminants: A, D50, D55, D65, D75, E. */
MTM_API size_t mtm_illuminant_count(void);
/** One of them; static storage. NULL past the last. */
MTM_API const mtm_illuminant *mtm_illuminant_at(size_t index);

/** Its spectrum, 100 at 560 nm; case aside. MTM_NOT_FOUND names the nearest.
 *  ISO/CIE 11664-2:2022 (A, D50, D65); CIE 015:2018 (D55, D75). */
MTM_API MTM_CHECKED mtm_result mtm_spectrum_illuminant(const char *name, mtm_spectrum *spectrum,
                                                       mtm_error *error);

MTM_END
#endif
