/* SPDX-License-Identifier: MIT */
/* Play demand: overloads of a show's cues, named before a frame of it goes out. */
#include "cli/play/play_source.h"

#include <metamer/cue_demand.h>

#include "base/error.h"

#include <stdlib.h>

/* Overloads that are named; the rest is counted. */
enum { NAMED_MAX = 12 };

/* Whether any look at all could overload something: most rigs answer no, and nothing is run. */
static mtm_result can_overload(const mtm_rig *rig, const bool *meant,
                               const mtm_demand_options *options, bool *can, mtm_error *error)
{
    double full[MTM_EMITTERS_MAX];
    double *watts = calloc(mtm_rig_unit_count(rig) + 1, sizeof *watts);
    mtm_demand *demand = NULL;

    if (watts == NULL)
        return mtmi_fail_memory(error);
    for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
        full[k] = 1;
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++)
        if (meant == NULL || meant[i])
            watts[i] = mtm_demand_level_w(mtm_rig_unit(rig, i), full);
    mtm_result result = mtm_demand_create(rig, watts, options, &demand, error);
    if (result == MTM_OK)
        *can = mtm_demand_over_count(demand) > 0;
    mtm_demand_free(demand);
    free(watts);
    return result;
}

static void name_row(const mtm_rig *rig, const mtm_cue *cue, const mtm_demand_row *row,
                     const char *command, FILE *err)
{
    (void)fprintf(err, "metamer %s: overload: cue %.6g%s%.60s: ", command, cue->number,
                  cue->text[0] != '\0' ? " " : "", cue->text);
    if (row->type == MTM_DEMAND_CIRCUIT)
        (void)fprintf(err, "circuit %.60s would carry %.2f A, may carry %.2f A\n",
                      mtm_rig_circuit(rig, row->index)->name, row->amperes,
                      row->rated * row->share);
    else if (row->type == MTM_DEMAND_SUPPLY)
        (void)fprintf(err, "supply %.60s would carry %.1f W, may carry %.6g W\n",
                      mtm_rig_supply(rig, row->index)->name, row->watts, row->rated * row->share);
    else
        (void)fprintf(err, "port %d of supply %.60s would carry %.1f W, may carry %.6g W\n",
                      row->port, mtm_rig_supply(rig, row->index)->name, row->watts,
                      row->rated * row->share);
}

/* Names what is over in one cue; *named counts over all cues. */
static mtm_result name_cue(mtm_cue_demand *demands, const mtm_show *show, size_t cue, bool jump,
                           const char *command, FILE *err, size_t *named, mtm_error *error)
{
    mtm_demand *demand = NULL;
    double total_w = 0;

    mtm_result result = mtm_cue_demand_run(demands, cue, jump, &demand, &total_w, error);
    if (result != MTM_OK)
        return result;
    for (size_t r = 0; r < mtm_demand_row_count(demand); r++) {
        const mtm_demand_row *row = mtm_demand_row_at(demand, r);
        if (row->over && (*named)++ < NAMED_MAX)
            name_row(mtm_show_rig(show), mtm_show_cue(show, cue), row, command, err);
    }
    mtm_demand_free(demand);
    return MTM_OK;
}

/* The cues that will be played: one and those that follow it; in a loop and by hand all. */
static mtm_result name_cues(const struct args *args, const struct play_source *play,
                            mtm_cue_demand *demands, const char *command, FILE *err,
                            mtm_error *error)
{
    const mtm_show *show = play->show;
    size_t from = MTM_FADER_DARK;
    size_t cue = 0;
    size_t named = 0;
    mtm_result result = play_source_cues(args, show, &from, &cue, error);

    if (args_has(args, "loop") || play->by_hand)
        cue = 0;
    if (result == MTM_OK)
        result = mtm_cue_demand_set(demands, from, error);
    for (bool first = true, follows = true; follows && result == MTM_OK; cue++, first = false) {
        result = name_cue(demands, show, cue, first, command, err, &named, error);
        follows = cue + 1 < mtm_show_cue_count(show) &&
                  (play->by_hand || mtm_show_cue(show, cue)->follow_s >= 0);
    }
    if (named > NAMED_MAX)
        (void)fprintf(err, "metamer %s: and %zu more; metamer load --show lists them\n", command,
                      named - NAMED_MAX);
    if (named > 0) {
        play_say(command, "--within-load keeps to the ratings of ports and supplies", err);
        play_say(command, MTM_DEMAND_CAUTION, err);
    }
    return result;
}

mtm_result play_name_overloads(const struct args *args, const struct play_source *play,
                               const char *command, FILE *err, mtm_error *error)
{
    const mtm_demand_options options = {0};
    mtm_cue_demand *demands = NULL;
    bool can = false;

    if (play->show == NULL || args_has(args, "within-load"))
        return MTM_OK;
    mtm_result result = can_overload(mtm_show_rig(play->show), play->meant, &options, &can, error);
    if (result != MTM_OK || !can)
        return result;
    result = mtm_cue_demand_create(play->show, play->meant, &options, &demands, error);
    if (result == MTM_OK)
        result = name_cues(args, play, demands, command, err, error);
    mtm_cue_demand_free(demands);
    return result;
}
