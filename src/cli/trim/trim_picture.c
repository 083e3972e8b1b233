/* SPDX-License-Identifier: MIT */
/* A trim, or what became of units, as a picture. */
#include "base/error.h"
#include "cli/trim/trim_report.h"

#include <metamer/tolerance.h>
#include <metamer/trim_picture.h>

#include <stdlib.h>

mtm_result trim_draw(const struct trim_report *report, const mtm_picture_options *options,
                     mtm_picture **picture, mtm_error *error)
{
    /* NOLINTNEXTLINE(bugprone-sizeof-expression): pointers are what it holds */
    const mtm_trim **trim = calloc(report->sets.count + 1, sizeof *trim);

    if (trim == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < report->sets.count; i++)
        trim[i] = report->sets.set[i].trim;
    const mtm_trim_view view = {.rig = report->rig,
                                .trim = trim,
                                .count = report->sets.count,
                                .meter = report->meter,
                                .target = report->target->description};
    mtm_result result = mtm_picture_of_trim(&view, options, picture, error);
    free((void *)trim);
    return result;
}

static mtm_result draw_moved(const struct trim_report *report, const mtm_picture_options *options,
                             mtm_picture **picture, mtm_error *error)
{
    const mtm_moved_view view = {.rig = report->rig,
                                 .moved = report->moved,
                                 .count = report->moved_count,
                                 .target = report->target->xy,
                                 .tolerance_uv = report->steps * MTM_STEP_UV,
                                 .old_output = report->old_output,
                                 .new_output = report->new_output,
                                 .meter = report->meter,
                                 .words = report->target->description};

    return mtm_picture_of_moved(&view, options, picture, error);
}

mtm_result trim_put_picture(const struct args *args, const struct picture_request *request,
                            const struct trim_report *report, struct outlet *to, mtm_error *error)
{
    mtm_picture *picture = NULL;
    mtm_result result = report->moved != NULL
                            ? draw_moved(report, &request->options, &picture, error)
                            : trim_draw(report, &request->options, &picture, error);

    return result == MTM_OK ? picture_put(args, picture, to, error) : result;
}
