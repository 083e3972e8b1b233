/* SPDX-License-Identifier: MIT */
/* Matches the colours of a palette, one after the other. */
#include "cli/match/palette_run.h"

#include "cli/match/match_out.h"

#include "base/error.h"

#include <metamer/match_demand.h>

#include <stdlib.h>

/* Each match is judged, and judgements hold spectra: this bounds the memory. */
#define MATCHES_MAX 20000

/* What a run holds and frees. */
struct run {
    mtm_palette *palette;
    struct match_report *colour;
    mtm_match *match;         /* units by colours */
    mtm_judgement *judgement; /* the same; NULL for the table, which has none */
    bool *held;               /* the same; NULL without --within-load */
    struct slot_kinds kinds;
    struct palette_report report;
};

static const mtm_unit *unit_at(const void *context, size_t row)
{
    const struct run *run = context;

    return match_unit_of(&run->colour[0], &run->match[row]);
}

static const mtm_codes *codes_at(const void *context, size_t row, size_t way)
{
    return &((const struct run *)context)->colour[way].match[row].codes;
}

static const char *name_at(const void *context, size_t way)
{
    return mtm_palette_colour_name(((const struct run *)context)->palette, way);
}

static mtm_result open_run(const struct args *args, const struct opened *opened, struct run *run,
                           mtm_error *error)
{
    const size_t units = opened->unit_count;
    mtm_result result = mtm_palette_load(args_text(args, "targets", ""), opened->rig,
                                         opened->observer, &run->palette, error);

    if (result != MTM_OK)
        return result;
    const size_t colours = mtm_palette_count(run->palette);
    if (units > MATCHES_MAX / colours)
        return mtmi_fail(error, MTM_RANGE,
                         "--targets: %zu units in %zu colours are more than %d matches; choose "
                         "fewer with --units",
                         units, colours, MATCHES_MAX);
    run->colour = calloc(colours, sizeof *run->colour);
    run->match = calloc(colours * units, sizeof *run->match);
    if (!writes_table(args))
        run->judgement = calloc(colours * units, sizeof *run->judgement);
    if (args_has(args, "within-load"))
        run->held = calloc(colours * units, sizeof *run->held);
    if (run->colour == NULL || run->match == NULL ||
        (run->held == NULL && args_has(args, "within-load")) ||
        (run->judgement == NULL && !writes_table(args)))
        return mtmi_fail_memory(error);
    return MTM_OK;
}

/* One colour for all units. */
static mtm_result match_colour(const struct opened *opened, mtm_matcher *matcher,
                               const mtm_match_request *request, struct match_report *report,
                               mtm_match *match, bool *held, mtm_judgement *judgement,
                               mtm_error *error)
{
    mtm_match_request asked = *request;
    mtm_common *common = report->together ? &report->common : NULL;
    mtm_result result = MTM_OK;

    asked.target = *report->target;
    if (common != NULL)
        result = mtm_matcher_together(matcher, opened->unit, opened->unit_count, &asked, match,
                                      common, error);
    for (size_t i = 0; result == MTM_OK && common == NULL && i < opened->unit_count; i++)
        result = mtm_matcher_unit(matcher, opened->unit[i], &asked, &match[i], error);
    if (result == MTM_OK && held != NULL)
        result = mtm_match_hold_demand(matcher, &asked, match, opened->unit_count, common, NULL,
                                       held, error);
    report->match = match;
    report->held = held;
    report->judgement = judgement;
    if (result == MTM_OK)
        result = mtm_match_spread(match, opened->unit_count, &report->spread_uv, error);
    if (result == MTM_OK && judgement != NULL)
        result = mtm_judge_matches(opened->rig, match, opened->unit_count, judgement, error);
    return result;
}

static mtm_result match_all(const struct args *args, const struct opened *opened,
                            mtm_matcher *matcher, const mtm_match_request *request, struct run *run,
                            struct outlet *to, mtm_error *error)
{
    const size_t units = opened->unit_count;
    mtm_result result = MTM_OK;

    for (size_t k = 0; result == MTM_OK && k < mtm_palette_count(run->palette); k++) {
        struct match_report *report = &run->colour[k];
        *report = (struct match_report){
            .rig = opened->rig,
            .target = mtm_palette_colour(run->palette, k),
            .count = units,
            .goal = request->goal,
            .index = request->index,
            .matcher = matcher,
            .dimming = request->dimming,
            .asked = request->output,
            .together = args_has(args, "together"),
            .has_tolerance = args_has(args, "tolerance"),
            .tolerance = args_number(args, "tolerance", 0),
            .palette = &run->report,
            .kinds = &run->kinds,
        };
        result = match_colour(opened, matcher, request, report, &run->match[k * units],
                              run->held != NULL ? &run->held[k * units] : NULL,
                              run->judgement != NULL ? &run->judgement[k * units] : NULL, error);
        for (size_t i = 0; result == MTM_OK && report->has_tolerance && i < units; i++) {
            if (match_misses(report, &report->match[i]))
                to->status = EXIT_MISSED;
        }
    }
    return result;
}

/* The picture first: where it cannot be drawn, nothing else is written either. */
static mtm_result put_answer(const struct args *args, struct run *run,
                             const struct picture_request *picture, struct outlet *to,
                             mtm_error *error)
{
    mtm_result result = swatches_from_args(args, to->out, &run->colour[0].swatches, error);

    if (args_has(args, "swatch-white") && !picture->wanted && !args_has(args, "swatches"))
        return mtmi_fail(error, MTM_PARSE,
                         "--swatch-white goes with --picture or --swatches, and would do nothing "
                         "for a palette without");
    if (result == MTM_OK && picture->wanted)
        result = palette_put_picture(args, picture, &run->colour[0], run->match, to, error);
    return result == MTM_OK && !picture->alone ? write_report(args, &run->colour[0], to->out, error)
                                               : result;
}

mtm_result palette_run(const struct args *args, const struct opened *opened, mtm_matcher *matcher,
                       const mtm_match_request *request, bool dimmer_apart,
                       const struct picture_request *picture, struct outlet *to, mtm_error *error)
{
    struct run run = {.palette = NULL};
    mtm_result result = open_run(args, opened, &run, error);

    if (result == MTM_OK)
        result = match_all(args, opened, matcher, request, &run, to, error);
    const struct slot_source slots = {.context = &run,
                                      .rows = opened->unit_count,
                                      .unit = unit_at,
                                      .codes = codes_at,
                                      .ways = mtm_palette_count(run.palette),
                                      .way_head = "Colour",
                                      .way_name = name_at,
                                      .by_kind = args_has(args, "kinds")};
    if (result == MTM_OK)
        result = slot_kinds_create(&slots, args_choice(args, "as"), &run.kinds, error);
    run.kinds.dimmer_apart = dimmer_apart;
    if (result == MTM_OK) {
        run.report = (struct palette_report){.palette = run.palette,
                                             .colour = run.colour,
                                             .by_kind = slots.by_kind,
                                             .values = args_has(args, "as")};
        run.colour[0].slots = &slots;
        result = put_answer(args, &run, picture, to, error);
        run.colour[0].slots = NULL;
    }
    slot_kinds_free(&run.kinds);
    free(run.held);
    free(run.judgement);
    free(run.match);
    free(run.colour);
    mtm_palette_free(run.palette);
    return result;
}
