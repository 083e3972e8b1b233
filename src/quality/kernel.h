/* SPDX-License-Identifier: MIT */
/* Quality kernel: the sums and the appearance model behind the quality indices, made ready for many
 * spectra and for mixtures. Lights add linearly, so a mixture costs the levels times what is kept
 * of each emitter, and never touches a spectrum again. */
#ifndef METAMER_QUALITY_KERNEL_H
#define METAMER_QUALITY_KERNEL_H

#include <metamer/appearance.h>
#include <metamer/quality.h>

#include "data/quality.h"

/** Blocks of samples: from first on, last no more among them. */
struct mtmi_blocks {
    size_t first, last;
};

#define MTMI_BLOCKS_ALL ((struct mtmi_blocks){0, MTMI_CES_BLOCKS})
/** That of the perfect white. */
#define MTMI_BLOCK_OF_WHITE                                                                        \
    ((struct mtmi_blocks){MTMI_CES_WHITE / MTMI_BLOCK, MTMI_CES_WHITE / MTMI_BLOCK + 1})

/** The parts that differ by processor; all agree to the last bit. */
typedef struct mtmi_quality_kernel {
    const char *name;
    /** Fills all of light but xyz. */
    void (*sums)(const double value[MTM_SPECTRUM_COUNT], mtmi_quality_light *light);
    /** Planck's law, 1 at 560 nm, c2 = 1.4388e-2 m K; cct_k 1000..25000. */
    void (*planck)(double cct_k, double value[MTM_SPECTRUM_COUNT]);
    /** The samples' sums alone of a mixture, as mtmi_quality_light_mix has them, in some blocks. */
    void (*mix)(const mtmi_quality_light *const *lights, const double *level, size_t count,
                struct mtmi_blocks blocks, mtmi_ces *out);
    /** J', a', b' of CAM02-UCS from the X, Y, Z of the samples times scale, in some blocks; viewer
     *  must be of CIECAM02. */
    void (*appearance)(const mtm_viewer *viewer, double scale, const mtmi_ces *xyz,
                       struct mtmi_blocks blocks, mtmi_ces *jab);
} mtmi_quality_kernel;

extern const mtmi_quality_kernel mtmi_quality_portable;
/** The fastest that this processor runs; static storage. */
const mtmi_quality_kernel *mtmi_quality_best(void);

/** What the indices need of a spectrum of finite values. */
void mtmi_quality_light_from_spectrum(const mtmi_quality_kernel *kernel,
                                      const mtm_spectrum *spectrum, mtmi_quality_light *light);

/** Sum of count lights, each times its level; out may not be one of them. */
void mtmi_quality_light_mix(const mtmi_quality_light *const *lights, const double *level,
                            size_t count, mtmi_quality_light *out);

/** Place in U*, V*, W* of CIE 13.3. */
typedef struct mtmi_uvw {
    double u, v, w;
} mtmi_uvw;

/** A place in a', b'. */
typedef struct mtmi_ab {
    double a, b;
} mtmi_ab;

/** The reference light of one colour temperature, worked out for all indices. */
typedef struct mtmi_quality_reference {
    double cct_k;
    mtmi_ces jab;
    unsigned char bin[MTM_CES_COUNT];
    mtmi_ab mean[MTM_HUE_BINS];
    size_t bin_count[MTM_HUE_BINS];
    double area;
    mtm_uv white_1960; /* v of 1960 here, of the CIE 13.3 reference */
    mtmi_uvw tcs[MTM_TCS_COUNT];
    double ssi[MTMI_SSI_BINS];
} mtmi_quality_reference;

/** Works the reference out; cct_k 1000..25000. */
MTM_CHECKED mtm_result mtmi_quality_reference_at(const mtmi_quality_kernel *kernel, double cct_k,
                                                 mtmi_quality_reference *reference,
                                                 mtm_error *error);

/** The indices of a light. Each takes a light with Y > 0 in all its parts. */
void mtmi_cri_from_light(const mtmi_quality_light *light, const mtmi_quality_reference *reference,
                         mtm_cri *cri);
MTM_CHECKED mtm_result mtmi_fidelity_from_light(const mtmi_quality_kernel *kernel,
                                                const mtmi_quality_light *light,
                                                const mtmi_quality_reference *reference,
                                                mtm_fidelity *fidelity, mtm_error *error);
/** The smoothed differences whose root sum of squares times 32 is what SSI lacks to 100. */
void mtmi_ssi_smooth(const double test[MTMI_SSI_BINS], const double reference[MTMI_SSI_BINS],
                     double smooth[MTMI_SSI_BINS + 2]);
double mtmi_ssi_from_bins(const double test[MTMI_SSI_BINS], const double reference[MTMI_SSI_BINS]);

/** Rf alone, for an optimiser; NaN where the light is no white that one can adapt to. */
double mtmi_rf_from_light(const mtmi_quality_kernel *kernel, const mtmi_quality_light *light,
                          const mtmi_quality_reference *reference);

/** All of it, with the reference of the light's own colour temperature. */
MTM_CHECKED mtm_result mtmi_quality_from_light(const mtmi_quality_kernel *kernel,
                                               const mtmi_quality_light *light,
                                               mtm_quality *quality, mtm_error *error);

#endif
