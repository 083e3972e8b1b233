/* SPDX-License-Identifier: MIT */
/* Linked cues as a picture. */
#ifndef METAMER_CLI_CUES_CUES_PICTURE_H
#define METAMER_CLI_CUES_CUES_PICTURE_H

#include "cli/args/picture.h"

#include <metamer/cue_export.h>
#include <metamer/linked_picture.h>

/** The cue that is drawn, found while a show is written. Zeroed is none. */
struct cues_picture {
    struct picture_request request;
    const bool *meant;
    bool named; /* only the cue of this index */
    size_t cue; /* else that of the longest chain so far */
    size_t links;
    mtm_linked_course *course;
};

/** Which cue --cue names, and whom the export tells of linked cues. */
MTM_CHECKED mtm_result cues_picture_prepare(const struct args *args, const mtm_show *show,
                                            struct cues_picture *picture,
                                            mtm_cue_export_options *options, mtm_error *error);
/** Draws and writes it. MTM_RANGE where no such cue was linked. */
MTM_CHECKED mtm_result cues_picture_put(const struct args *args, const mtm_show *show,
                                        const struct cues_picture *picture, struct outlet *to,
                                        mtm_error *error);

#endif
