/* SPDX-License-Identifier: MIT */
/* Matches of a palette as a picture. */
#include "cli/match/match_out.h"

#include "base/error.h"
#include "cli/args/picture.h"
#include "cli/args/swatch.h"

#include <metamer/palette_picture.h>

#include <stdlib.h>

mtm_result palette_put_picture(const struct args *args, const struct picture_request *request,
                               const struct match_report *report, const mtm_match *match,
                               struct outlet *to, mtm_error *error)
{
    mtm_picture_options options = request->options;
    mtm_palette_view view = {
        .rig = report->rig,
        .palette = report->palette->palette,
        .match = match,
        .count = report->count,
        .by_kind = report->palette->by_kind,
    };
    mtm_picture *picture = NULL;
    mtm_result result = swatch_white_from_args(args, &view.white, error);

    if (result != MTM_OK)
        return result;
    char *said = match_said_in_line(palette_put_sentences, report);
    if (said == NULL)
        return mtmi_fail_memory(error);
    options.subtitle = said;
    result = mtm_picture_of_palette(&view, &options, &picture, error);
    free(said);
    return result == MTM_OK ? picture_put(args, picture, to, error) : result;
}
