/* SPDX-License-Identifier: MIT */
/* A match as a picture. */
#include "cli/match/match_out.h"

#include "base/error.h"
#include "cli/args/picture.h"

#include <metamer/rendering_picture.h>

#include <stdlib.h>

char *match_said_in_line(void (*put)(const struct match_report *report, FILE *out),
                         const struct match_report *report)
{
    char *text = NULL;
    size_t size = 0;
    FILE *said = open_memstream(&text, &size);

    if (said == NULL)
        return NULL;
    put(report, said);
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
static bool find_reasons(const struct match_report *report, struct match_drawn *drawn)
{
    drawn->text = calloc(report->count, sizeof *drawn->text);
    drawn->reason = calloc(report->count, sizeof *drawn->reason);
    if (drawn->text == NULL || drawn->reason == NULL)
        return false;
    for (size_t i = 0; i < report->count; i++) {
        match_reason(report, &report->match[i], drawn->text[i], MATCH_REASON_ROOM);
        drawn->reason[i] = drawn->text[i];
    }
    return true;
}

mtm_result match_drawn_make(const struct match_report *report, mtm_matcher *matcher,
                            struct match_drawn *drawn, mtm_error *error)
{
    drawn->sentences = match_said_in_line(match_put_sentences, report);
    if (drawn->sentences == NULL || !find_reasons(report, drawn))
        return mtmi_fail_memory(error);
    drawn->view = (mtm_match_view){
        .rig = report->rig,
        .matcher = matcher,
        .target = report->target,
        .match = report->match,
        .count = report->count,
        .reason = drawn->reason,
        .tolerance_uv = report->has_tolerance ? report->tolerance : 0,
    };
    return MTM_OK;
}

void match_drawn_free(struct match_drawn *drawn)
{
    free(drawn->sentences);
    free(drawn->text);
    free((void *)drawn->reason);
}

static mtm_result draw_diagram(const struct picture_request *request,
                               const struct match_report *report, mtm_matcher *matcher,
                               mtm_picture **picture, mtm_error *error)
{
    mtm_picture_options options = request->options;
    struct match_drawn drawn = {.sentences = NULL};
    mtm_result result = match_drawn_make(report, matcher, &drawn, error);

    options.subtitle = drawn.sentences;
    if (result == MTM_OK)
        result = mtm_picture_of_match(&drawn.view, &options, picture, error);
    match_drawn_free(&drawn);
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
