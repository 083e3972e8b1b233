/* SPDX-License-Identifier: MIT */
/* metamer rig: a rig at a glance. */
#include "cli/args/picture.h"
#include "cli/args/rig.h"
#include "cli/rig/rig_out.h"

#include "base/error.h"

#include <metamer/survey_picture.h>

#include <stdlib.h>

static mtm_result put_picture(const struct args *args, const struct picture_request *request,
                              const struct rig_view *view, struct outlet *to, mtm_error *error)
{
    const mtm_survey_view shown = {view->rig, view->survey, view->within_uv};
    mtm_picture *picture = NULL;
    mtm_result result = mtm_picture_of_survey(&shown, &request->options, &picture, error);

    return result == MTM_OK ? picture_put(args, picture, to, error) : result;
}

static mtm_result survey(const struct args *args, const struct picture_request *picture,
                         const struct opened *opened, struct outlet *to, mtm_error *error)
{
    const mtm_survey_options options = {.within_uv = args_number(args, "within", 0)};
    mtm_survey *made = NULL;
    bool *meant = calloc(mtm_rig_unit_count(opened->rig), sizeof *meant);

    if (meant == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < opened->unit_count; i++)
        meant[opened->unit[i]] = true;
    mtm_result result =
        mtm_survey_create(opened->rig, opened->unit, opened->unit_count, &options, &made, error);
    if (result == MTM_OK) {
        struct rig_view view = {
            .rig = opened->rig,
            .survey = made,
            .within_uv = args_number(args, "within", MTM_SURVEY_WITHIN_UV),
            .meant = meant,
        };
        result = swatches_from_args(args, to->out, &view.swatches, error);
        if (result == MTM_OK && picture->wanted)
            result = put_picture(args, picture, &view, to, error);
        if (result == MTM_OK && !picture->alone)
            result = write_report(args, &view, to->out, error);
    }
    mtm_survey_free(made);
    free(meant);
    return result;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct opened opened = {0};
    struct picture_request picture;
    mtm_result result = picture_from_args(args, &picture, error);

    if (result == MTM_OK)
        result = opened_from_args(args, &opened, error);
    if (result == MTM_OK)
        result = survey(args, &picture, &opened, to, error);
    opened_close(&opened);
    return result;
}

static const struct option_spec options[] = {
    OPTION_SOME_UNITS,
    OPTION_CALIBRATION(""),
    OPTION_NUMBER("within", "D", 0.0001, 0.1,
                  "how near to a white, in u'v', counts as reached; 0.0033 by default, three steps "
                  "of a white tolerance"),
    OPTION_FORMAT(rig_writers, FORMAT_HELP),
    {0},
};

static const struct option_group groups[] = {
    {.title = "Options", .options = options},
    {.title = "In a terminal", .options = swatch_options, .against = "format=json"},
    GROUP_PICTURE,
    {0}};

static const char *const examples[] = {
    "metamer rig examples/hall.json",
    "metamer rig examples/hall.json --units stage",
    "metamer rig examples/hall.json --units '*-wash,house' --within 0.0011 --format json",
    "metamer rig examples/hall.json --picture rig.svg",
    NULL,
};

const struct command cmd_rig = {
    .name = "rig",
    .summary = "show a rig at a glance: kinds, common whites, rendering, watts",
    .usage = "RIG",
    .details =
        "Tells what hangs there: units by kind and mode, groups, universes, slots, supplies and "
        "watts. Then what the units can do together: the whites (of a Planckian radiator) that all "
        "of them reach, and for each of the usual whites the nearest colour that is common to all, "
        "the most output that each of them gives there and which unit limits it, the worst "
        "rendering, and the pairs that look alike to the 2° observer but not to the 10° one, which "
        "is nearer to how large areas are seen.\n\n"
        "With --units it speaks of those alone. All figures are those of the fixture files, or of "
        "--calibration for units that were measured.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
