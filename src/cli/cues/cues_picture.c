/* SPDX-License-Identifier: MIT */
/* Linked cues as a picture. */
#include "cli/cues/cues_picture.h"

#include "base/error.h"
#include "cli/play/play_source.h"

/* Keeps the course of the cue that is named, or of the longest chain. */
static mtm_result keep(void *context, size_t cue, const mtm_linked *linked, mtm_fader *fader,
                       mtm_error *error)
{
    struct cues_picture *picture = context;
    mtm_linked_course *course = NULL;

    if (picture->named ? cue != picture->cue : mtm_linked_count(linked) <= picture->links)
        return MTM_OK;
    mtm_result result = mtm_linked_course_create(fader, cue, linked, picture->meant,
                                                 MTM_LINKED_PICTURE_UNITS, &course, error);
    if (result != MTM_OK)
        return result;
    mtm_linked_course_free(picture->course);
    picture->course = course;
    picture->cue = cue;
    picture->links = mtm_linked_count(linked);
    return MTM_OK;
}

mtm_result cues_picture_prepare(const struct args *args, const mtm_show *show,
                                struct cues_picture *picture, mtm_cue_export_options *options,
                                mtm_error *error)
{
    size_t from = 0;

    if (!picture->request.wanted)
        return MTM_OK;
    options->linked = keep;
    options->linked_context = picture;
    picture->meant = options->meant;
    picture->named = args_has(args, "cue");
    return picture->named ? play_source_cues(args, show, &from, &picture->cue, error) : MTM_OK;
}

mtm_result cues_picture_put(const struct args *args, const mtm_show *show,
                            const struct cues_picture *picture, struct outlet *to, mtm_error *error)
{
    const mtm_linked_view view = {.show = show,
                                  .cue = picture->cue,
                                  .course = picture->course,
                                  .tolerance = args_number(args, "linked", 0)};
    mtm_picture *drawn = NULL;

    if (picture->course == NULL && picture->named)
        return mtmi_fail(error, MTM_RANGE, "cue %g is written without links: nothing to draw",
                         mtm_show_cue(show, picture->cue)->number);
    if (picture->course == NULL)
        return mtmi_fail(error, MTM_RANGE, "no cue is linked: nothing to draw");
    mtm_result result = mtm_picture_of_linked(&view, &picture->request.options, &drawn, error);
    return result == MTM_OK ? picture_put(args, drawn, to, error) : result;
}
