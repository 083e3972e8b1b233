/* SPDX-License-Identifier: MIT */
/* A layout as a picture. */
#include "cli/layout/layout_out.h"

#include <metamer/layout_picture.h>

mtm_result layout_put_picture(const struct args *args, const struct picture_request *request,
                              const struct layout_view *view, struct outlet *to, mtm_error *error)
{
    const mtm_layout_view shown = {.rig = view->rig, .place = view->place, .was = view->was};
    mtm_picture *picture = NULL;
    mtm_result result = mtm_picture_of_layout(&shown, &request->options, &picture, error);

    return result == MTM_OK ? picture_put(args, picture, to, error) : result;
}
