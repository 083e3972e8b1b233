/* SPDX-License-Identifier: MIT */
/* Trim picture: units before and after, the tolerance, the meter's doubt, and what output is left.
 */
#ifndef METAMER_TRIM_PICTURE_H
#define METAMER_TRIM_PICTURE_H

#include <metamer/picture.h>
#include <metamer/trim.h>

MTM_BEGIN

/** What a picture of a trim shows. Borrowed throughout. */
typedef struct mtm_trim_view {
    const mtm_rig *rig;          /**< of which the trims are */
    const mtm_trim *const *trim; /**< count of them: of all units, or of each set that agrees */
    size_t count;                /**< 1 or more, with a unit each */
    const mtm_meter *meter;      /**< that read the units; NULL: nothing is known of it */
    const char *target;          /**< the white asked for, in words; NULL: its u', v' */
} mtm_trim_view;

/**
 * Draws a trim in the u', v' plane: each unit before (hollow) and after (by the shape of its
 * verdict), the tolerance, and within what one reading of the target scatters by the meter's
 * certificate (k = 2); beside it the output of each unit and the most that it could give. Where the
 * list has no room for all, those that need most attention are in it, and a line for the others.
 *
 * @param options NULL for the usual
 * @param out     set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID, also for a size out of range and a trim that is not of this rig;
 *         MTM_UNSUPPORTED where cairo or Pango is not there; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_trim(const mtm_trim_view *view,
                                                   const mtm_picture_options *options,
                                                   mtm_picture **out, mtm_error *error);

/** What a picture of a comparison shows. Borrowed throughout. */
typedef struct mtm_moved_view {
    const mtm_rig *rig;     /**< of which the units are */
    const mtm_moved *moved; /**< count of them, by mtm_trim_compare */
    size_t count;           /**< 1 or more */
    mtm_xy target;          /**< the white aimed at, 2 degree observer */
    double tolerance_uv;    /**< radius of the tolerance in u', v'; 0: none is drawn */
    double old_output;      /**< common output then, lumens */
    double new_output;      /**< what is left of it, lumens */
    const mtm_meter *meter; /**< of the later readings; NULL: nothing is known of it */
    const char *words;      /**< the white asked for, in words; NULL: its u', v' */
} mtm_moved_view;

/**
 * Draws how units moved between two calibrations: arrows in the u', v' plane, and the most that
 * each could give then and can give now.
 *
 * @param options NULL for the usual
 * @param out     set on MTM_OK; the caller frees it
 * @return as of mtm_picture_of_trim: MTM_OK, MTM_INVALID, MTM_UNSUPPORTED or MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_moved(const mtm_moved_view *view,
                                                    const mtm_picture_options *options,
                                                    mtm_picture **out, mtm_error *error);

MTM_END
#endif
