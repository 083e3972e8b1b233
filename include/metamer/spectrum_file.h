/* SPDX-License-Identifier: MIT */
/* Spectrum files: one or more named spectra read from what spreadsheets and instruments write. */
#ifndef METAMER_SPECTRUM_FILE_H
#define METAMER_SPECTRUM_FILE_H

#include <metamer/base.h>
#include <metamer/spectrum.h>

MTM_BEGIN

/** What a file says its numbers are. */
typedef enum mtm_quantity {
    MTM_QUANTITY_UNSTATED = 0,  /**< the file does not say (CSV never does) */
    MTM_QUANTITY_LIGHT,         /**< emission, absolute or relative */
    MTM_QUANTITY_TRANSMITTANCE, /**< what a filter lets through, 0..1 */
    MTM_QUANTITY_REFLECTANCE    /**< what a surface sends back, 0..1 */
} mtm_quantity;

/** The spectra of one file, on the grid. Immutable: may be shared by threads. */
typedef struct mtm_spectrum_set mtm_spectrum_set;

/**
 * Reads every spectrum of a file of at most 16 MB.
 *
 * CSV: rows of wavelength in nm and one value a spectrum; comma, semicolon, tab, bar or blanks
 * between them; a decimal comma where the separator leaves it free; lines that begin with # are
 * comments; lines before the first number are headings, the last of them names the columns.
 *
 * CGATS.17 / ISO 28178 text: by LittleCMS; columns named after wavelengths (SPEC_400), or pairs of
 * SPECTRAL_NM and SPECTRAL_DEC or SPECTRAL_PCT; several tables. ANSI/IES TM-27 XML: by libxml2,
 * which is loaded for it; no network, no document type, no entities.
 *
 * @param ends what stands outside the samples where the file does not say what it holds; light
 *             gets MTM_ENDS_ZERO, transmittance and reflectance MTM_ENDS_HOLD
 * @param out  set on MTM_OK, untouched otherwise; the caller frees it
 * @return MTM_OK, MTM_NOT_FOUND, MTM_IO, MTM_LIMIT, MTM_PARSE, MTM_MEMORY, MTM_UNSUPPORTED (XML,
 * and no libxml2); the sentence names the file and the line
 */
MTM_API MTM_CHECKED mtm_result mtm_spectrum_set_load(const char *path, mtm_ends ends,
                                                     mtm_spectrum_set **out, mtm_error *error);
/** The same from text in memory; name_for_errors also names a spectrum that has no name.
 *  @return MTM_OK, MTM_LIMIT, MTM_PARSE, MTM_MEMORY, MTM_UNSUPPORTED */
MTM_API MTM_CHECKED mtm_result mtm_spectrum_set_parse(const char *text, size_t length,
                                                      const char *name_for_errors, mtm_ends ends,
                                                      mtm_spectrum_set **out, mtm_error *error);
/** Frees a set; NULL is allowed. */
MTM_API void mtm_spectrum_set_free(mtm_spectrum_set *set);

/** Number of spectra, at least 1. */
MTM_API size_t mtm_spectrum_set_count(const mtm_spectrum_set *set);
/** Borrowed; index < count. */
MTM_API const mtm_spectrum *mtm_spectrum_set_at(const mtm_spectrum_set *set, size_t index);
/** The same by straight lines between samples, for mtm_ssi_from_spectrum; borrowed; index < count.
 */
MTM_API const mtm_spectrum *mtm_spectrum_set_straight(const mtm_spectrum_set *set, size_t index);
/** Borrowed UTF-8 without control characters; index < count. */
MTM_API const char *mtm_spectrum_set_name(const mtm_spectrum_set *set, size_t index);
/** What the file says spectrum index is; index < count. */
MTM_API mtm_quantity mtm_spectrum_set_quantity(const mtm_spectrum_set *set, size_t index);
/** First and last wavelength measured, nm; index < count. */
MTM_API void mtm_spectrum_set_range(const mtm_spectrum_set *set, size_t index, double *first_nm,
                                    double *last_nm);

/** Widest interval between samples that touches 400..700 nm, in nm; index < count. Colour and
 *  indices want 5 nm or less (CIE 015:2018, 7.2; CIE 13.3; CIE 224). */
MTM_API double mtm_spectrum_set_spacing_nm(const mtm_spectrum_set *set, size_t index);

/** Least and largest value measured; index < count. On the grid, a polynomial between samples may
 * go beyond them. */
MTM_API void mtm_spectrum_set_extremes(const mtm_spectrum_set *set, size_t index, double *least,
                                       double *most);

MTM_END
#endif
