/* SPDX-License-Identifier: MIT */
/* Spectrum set: what the readers of all formats fill. */
#ifndef METAMER_SPECTRUM_SET_H
#define METAMER_SPECTRUM_SET_H

#include <metamer/spectrum_file.h>

/** Most spectra of one file. */
#define MTMI_SPECTRA_MAX 1024

/** Text of a file as a reader gets it. */
typedef struct mtmi_source {
    const char *file; /**< for errors */
    char *text;       /**< length bytes and a NUL; holds no other NUL; a reader may cut it up */
    size_t length;
    mtm_ends ends; /**< where the file does not say what it holds */
} mtmi_source;

/** An empty set; NULL if out of memory. */
mtm_spectrum_set *mtmi_spectrum_set_create(void);

/**
 * Adds one spectrum of count samples. The name is copied; what is no clean UTF-8 in it becomes '?'.
 * Refuses, with a sentence that begins with where: wavelengths out of order, repeated, in
 * micrometres, or that miss the visible range.
 */
MTM_CHECKED mtm_result mtmi_spectrum_set_add(mtm_spectrum_set *set, const char *where,
                                             const char *name, mtm_quantity quantity, mtm_ends ends,
                                             const double *wavelength_nm, const double *value,
                                             size_t count, mtm_error *error);

/** A name for a spectrum from its file's: without folders and the last suffix. */
void mtmi_name_from_file(const char *file, char *name, size_t room);

/** Readers; each fills an empty set or fails with a sentence. */
MTM_CHECKED mtm_result mtmi_spectrum_read_csv(const mtmi_source *source, mtm_spectrum_set *set,
                                              mtm_error *error);
MTM_CHECKED mtm_result mtmi_spectrum_read_cgats(const mtmi_source *source, mtm_spectrum_set *set,
                                                mtm_error *error);
MTM_CHECKED mtm_result mtmi_spectrum_read_tm27(const mtmi_source *source, mtm_spectrum_set *set,
                                               mtm_error *error);

#endif
