/* SPDX-License-Identifier: MIT */
/* Picture arguments: whether a picture is wanted, where, and how it is drawn. */
#include "cli/args/picture.h"

#include "base/error.h"

#include <string.h>

static const struct diagram_choice {
    const char *name;
    mtm_diagram diagram;
} diagram_choices[] = {{"uv", MTM_DIAGRAM_UV}, {"xy", MTM_DIAGRAM_XY}, {0}};

static const void *form_row_at(size_t index)
{
    return mtm_picture_form_at(index);
}

const struct option_spec picture_options[] = {
    OPTION_WRITTEN("picture", "FILE",
                   "draw the answer too: .svg, .png or .pdf, by the ending; - is the standard "
                   "output, which then holds the picture alone"),
    OPTION_CHOICE_AT("picture-form", "NAME", mtm_picture_form_info, form_row_at,
                     "what the picture is written as, whatever the ending; svg where the standard "
                     "output has none",
                     .with = "picture"),
    OPTION_NUMBER(
        "width", "N", MTM_PICTURE_SIZE_MIN, MTM_PICTURE_SIZE_MAX,
        "of the picture, pixels, or points (1/72 inch) of PDF; 1000 pixels, or A4 across, "
        "if not said",
        .with = "picture"),
    OPTION_NUMBER("height", "N", MTM_PICTURE_SIZE_MIN, MTM_PICTURE_SIZE_MAX,
                  "likewise; what suits the width if not said", .with = "picture"),
    OPTION_FLAG("dark", "draw for a dark screen", .with = "picture"),
    OPTION_TEXT("picture-date", "TEXT",
                "a date below the picture; without, the same input gives the same file on every "
                "day",
                .with = "picture"),
    {0},
};

const struct option_spec diagram_options[] = {
    OPTION_CHOICE("diagram", "NAME", struct diagram_choice, diagram_choices,
                  "plane of the chromaticity diagram: uv, CIE 1976 u', v' (the default), or xy, "
                  "CIE 1931 x, y",
                  .with = "picture"),
    {0},
};

static bool goes_out(const char *path)
{
    return strcmp(path, "-") == 0;
}

mtm_result picture_from_args(const struct args *args, struct picture_request *request,
                             mtm_error *error)
{
    const char *path = args_text(args, "picture", NULL);
    const mtm_picture_form_info *form = args_choice(args, "picture-form");
    const struct diagram_choice *diagram = args_choice(args, "diagram");

    *request = (struct picture_request){.wanted = path != NULL};
    if (path == NULL)
        return MTM_OK;
    request->alone = goes_out(path);
    request->options = (mtm_picture_options){
        .form = form->form,
        .width = args_number(args, "width", 0),
        .height = args_number(args, "height", 0),
        .dark = args_has(args, "dark"),
        .diagram = diagram != NULL ? diagram->diagram : MTM_DIAGRAM_UV,
        .date = args_text(args, "picture-date", NULL),
    };
    if (request->alone || args_has(args, "picture-form"))
        return MTM_OK;
    mtm_result result = mtm_picture_form_from_path(path, &request->options.form, error);
    return result == MTM_INVALID ? MTM_PARSE : result;
}

static mtm_result put_out(const mtm_picture *picture, FILE *out, mtm_error *error)
{
    size_t count = 0;
    const void *bytes = mtm_picture_bytes(picture, &count);

    if (fwrite(bytes, 1, count, out) != count)
        return mtmi_fail(error, MTM_IO, "the picture could not be written whole");
    return MTM_OK;
}

mtm_result picture_put(const struct args *args, mtm_picture *picture, struct outlet *to,
                       mtm_error *error)
{
    const char *path = args_text(args, "picture", "-");
    mtm_result result =
        goes_out(path) ? put_out(picture, to->out, error) : mtm_picture_save(picture, path, error);

    mtm_picture_free(picture);
    return result;
}
