/* SPDX-License-Identifier: MIT */
/* A match as a picture. */
#include "cli/match/match_out.h"

#include "base/error.h"
#include "cli/args/picture.h"

#include <metamer/diagram.h>
#include <metamer/rendering_picture.h>

#include <stdlib.h>

/* What is said below the table, in one line; NULL without memory. */
static char *sentences_of(const struct match_report *report)
{
    char *text = NULL;
    size_t size = 0;
    FILE *said = open_memstream(&text, &size);

    if (said == NULL)
        return NULL;
    match_put_sentences(report, said);
    if (fclose(said) != 0) {
        free(text);
        return NULL;
    }
    for (char *at = text; *at != '\0'; at++) {
        if (*at == '\n')
            *at = ' ';
    }
    return text;
}

/* Why each comes no closer. */
struct reasons {
    char (*text)[MATCH_REASON_ROOM];
    const char **each;
};

static bool find_reasons(const struct match_report *report, struct reasons *reasons)
{
    reasons->text = calloc(report->count, sizeof *reasons->text);
    reasons->each = calloc(report->count, sizeof *reasons->each);
    if (reasons->text == NULL || reasons->each == NULL)
        return false;
    for (size_t i = 0; i < report->count; i++) {
        match_reason(report, &report->match[i], reasons->text[i], MATCH_REASON_ROOM);
        reasons->each[i] = reasons->text[i];
    }
    return true;
}

static mtm_result draw_diagram(const struct picture_request *request,
                               const struct match_report *report, mtm_matcher *matcher,
                               mtm_picture **picture, mtm_error *error)
{
    mtm_picture_options options = request->options;
    char *sentences = sentences_of(report);
    struct reasons reasons = {0};
    mtm_result result = MTM_OK;

    if (sentences == NULL || !find_reasons(report, &reasons)) {
        result = mtmi_fail_memory(error);
    } else {
        const mtm_match_view view = {
            .rig = report->rig,
            .matcher = matcher,
            .target = report->target,
            .match = report->match,
            .count = report->count,
            .reason = reasons.each,
            .tolerance_uv = report->has_tolerance ? report->tolerance : 0,
        };
        options.subtitle = sentences;
        result = mtm_picture_of_match(&view, &options, picture, error);
    }
    free(sentences);
    free(reasons.text);
    free((void *)reasons.each);
    return result;
}

static mtm_result draw_rendering(const struct picture_request *request,
                                 const struct match_report *report, mtm_picture **picture,
                                 mtm_error *error)
{
    const mtm_match_light_view view = {.rig = report->rig,
                                       .target = report->target,
                                       .match = report->match,
                                       .judgement = report->judgement,
                                       .count = report->count};

    return mtm_picture_of_match_rendering(&view, &request->options, picture, error);
}

mtm_result match_put_picture(const struct args *args, const struct picture_request *request,
                             const struct match_report *report, mtm_matcher *matcher,
                             struct outlet *to, mtm_error *error)
{
    mtm_picture *picture = NULL;
    mtm_result result = report->quality && !args_has(args, "diagram")
                            ? draw_rendering(request, report, &picture, error)
                            : draw_diagram(request, report, matcher, &picture, error);

    return result == MTM_OK ? picture_put(args, picture, to, error) : result;
}
