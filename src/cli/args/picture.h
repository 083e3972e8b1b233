/* SPDX-License-Identifier: MIT */
/* Picture arguments: whether a picture is wanted, where, and how it is drawn. */
#ifndef METAMER_CLI_ARGS_PICTURE_H
#define METAMER_CLI_ARGS_PICTURE_H

#include "cli/args/args.h"

#include <metamer/picture.h>

/** --picture, --picture-form, --width, --height, --dark, --picture-date. */
extern const struct option_spec picture_options[];
/** --diagram, for pictures that have a chromaticity diagram. */
extern const struct option_spec diagram_options[];

/** Groups of a command that draws, for its table; the second for one with such a diagram. */
#define GROUP_PICTURE                                                                              \
    {                                                                                              \
        .title = "A picture", .options = picture_options                                           \
    }
#define GROUP_DIAGRAM                                                                              \
    {                                                                                              \
        .title = "", .options = diagram_options                                                    \
    }

/** What the options say. wanted is false without --picture; alone is true where the picture goes to
 *  the standard output, and nothing else may. MTM_PARSE for an ending that is no form. */
struct picture_request {
    bool wanted, alone;
    mtm_picture_options options;
};
MTM_CHECKED mtm_result picture_from_args(const struct args *args, struct picture_request *request,
                                         mtm_error *error);

/** Writes a picture to where --picture says, and frees it. */
MTM_CHECKED mtm_result picture_put(const struct args *args, mtm_picture *picture, struct outlet *to,
                                   mtm_error *error);

#endif
