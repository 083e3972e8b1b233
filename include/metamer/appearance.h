/* SPDX-License-Identifier: MIT */
/* Appearance: CIECAM02, CAM16, CIECAM16 and their uniform space. */
#ifndef METAMER_APPEARANCE_H
#define METAMER_APPEARANCE_H

#include <metamer/base.h>
#include <metamer/colour.h>

MTM_BEGIN

/** Which model; zero is the default. */
typedef enum mtm_appearance_model {
    MTM_CAM16 = 0, /**< Li et al., Color Res. Appl. 42, 2017 */
    MTM_CIECAM02,  /**< CIE 159:2004; the model inside TM-30 and CIE 224 */
    MTM_CIECAM16   /**< CIE 248:2022; CAM16 made safe for very dark and very bright stimuli */
} mtm_appearance_model;

/** How bright the surround is. */
typedef enum mtm_surround {
    MTM_SURROUND_AVERAGE = 0, /**< as bright as what is looked at, or nearly */
    MTM_SURROUND_DIM,         /**< darker than it: television in a dim room */
    MTM_SURROUND_DARK         /**< dark: a projector in a dark hall */
} mtm_surround;

/** Where a colour is seen. A plain value. */
typedef struct mtm_viewing {
    mtm_xyz white;          /**< adopted white, Y about 100; all values > 0 */
    double luminance_cd_m2; /**< of the adapting field, > 0 */
    double background_y;    /**< relative to the white's scale, > 0; 20 is usual */
    mtm_surround surround;  /**< beyond the background */
    bool discount;          /**< the illuminant is discounted: adaptation is complete */
} mtm_viewing;

/** Conditions made ready for many colours. A plain value; its parts are the models' own symbols. */
typedef struct mtm_viewer {
    mtm_appearance_model model; /**< whose formulas hold */
    double gain[3];             /**< of the adapted cones */
    double fl;                  /**< F_L, luminance-level adaptation */
    double n;                   /**< background Y over the white's Y */
    double nbb;                 /**< N_bb = N_cb, induction by the background */
    double z;                   /**< base exponent of lightness */
    double c;                   /**< impact of the surround */
    double nc;                  /**< N_c, chromatic induction of the surround */
    double aw;                  /**< A_w, achromatic response to the white */
    double fl_root;             /**< fl to the power of 1/4 */
    double chroma_gain;         /**< (1.64 - 0.29^n)^0.73 */
} mtm_viewer;

/** Correlates of appearance. A plain value. */
typedef struct mtm_appearance {
    double lightness;      /**< J */
    double chroma;         /**< C */
    double hue_deg;        /**< h, 0 <= h < 360 */
    double colourfulness;  /**< M */
    double saturation;     /**< s */
    double brightness;     /**< Q */
    double hue_quadrature; /**< H, 0 <= H < 400: red, yellow, green, blue at 0, 100, 200, 300 */
} mtm_appearance;

/** Uniform space of CAM02-UCS and CAM16-UCS (Luo, Cui, Li, 2006): J', a', b'. */
typedef struct mtm_ucs {
    double j; /**< J', lightness, 100 the white */
    double a; /**< a', from green to red */
    double b; /**< b', from blue to yellow */
} mtm_ucs;

/** Prepares a viewer. MTM_INVALID for a condition out of range. */
MTM_API MTM_CHECKED mtm_result mtm_viewer_create(mtm_appearance_model model,
                                                 const mtm_viewing *viewing, mtm_viewer *viewer,
                                                 mtm_error *error);

/** How XYZ (on the scale of the viewer's white) looks. What is darker than black has J, C and the
 *  rest 0. */
MTM_API mtm_appearance mtm_appearance_from_xyz(const mtm_viewer *viewer, mtm_xyz xyz);

/** The place in the uniform space. */
MTM_API mtm_ucs mtm_ucs_from_appearance(mtm_appearance appearance);
/** The place of XYZ; the same as the two calls above, without the unused correlates. */
MTM_API mtm_ucs mtm_ucs_from_xyz(const mtm_viewer *viewer, mtm_xyz xyz);
/** The inverse for MTM_CAM16; XYZ on the scale of the viewer's white. j <= 0 gives black; a colour
 *  that no light has gives values below 0. Li et al. 2017, appendix B. */
MTM_API mtm_xyz mtm_ucs_to_xyz(const mtm_viewer *viewer, mtm_ucs ucs);
/** Difference, Euclidean. */
MTM_API double mtm_ucs_distance(mtm_ucs a, mtm_ucs b);

MTM_END
#endif
