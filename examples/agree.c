/* SPDX-License-Identifier: MIT */
/* A whole rig on one white: the colour and output that all its units share.
 * Build: cc agree.c $(pkg-config --cflags --libs metamer)
 * Run: ./a.out hall.json 4000 */
#include <metamer/match.h>
#include <metamer/rig.h>

#include <stdio.h>
#include <stdlib.h>

static int fail(const mtm_error *error)
{
    (void)fprintf(stderr, "%s\n", error->text);
    return 1;
}

static void show(const mtm_rig *rig, const mtm_match *match, size_t count, const mtm_common *common)
{
    if (common->exists)
        printf("common colour x %.4f, y %.4f; common output %.0f lm, held down by %s\n",
               common->xy.x, common->xy.y, common->output,
               mtm_rig_unit(rig, common->limits_output)->name);
    else
        printf("no colour is common to all; each unit did its best\n");
    for (size_t i = 0; i < count; i++)
        printf("%-24s %6.0f lm %6.1f W  Δu'v' %.4f\n", mtm_rig_unit(rig, i)->name, match[i].flux_lm,
               match[i].watts, match[i].delta_uv);
}

/* Asks all units of the rig for the target. */
static int agree(const mtm_rig *rig, const mtm_match_request *request)
{
    size_t count = mtm_rig_unit_count(rig);
    size_t *unit = calloc(count, sizeof *unit);
    mtm_match *match = calloc(count, sizeof *match);
    mtm_matcher *matcher = NULL;
    mtm_common common;
    mtm_error error = {"out of memory"};
    int status = 1;

    for (size_t i = 0; unit != NULL && i < count; i++)
        unit[i] = i;
    if (unit == NULL || match == NULL ||
        mtm_matcher_create(rig, MTM_OBSERVER_2, &matcher, &error) != MTM_OK ||
        mtm_matcher_together(matcher, unit, count, request, match, &common, &error) != MTM_OK) {
        (void)fail(&error);
    } else {
        show(rig, match, count, &common);
        status = 0;
    }
    mtm_matcher_free(matcher);
    free(match);
    free(unit);
    return status;
}

int main(int argc, char **argv)
{
    mtm_rig *rig = NULL;
    mtm_error error;
    mtm_match_request request = {.goal = MTM_GOAL_LIGHT};

    if (argc != 3) {
        (void)fprintf(stderr, "usage: agree RIG.json KELVIN\n");
        return 2;
    }
    const mtm_white white = {.cct_k = strtod(argv[2], NULL), .duv = 0};
    if (mtm_target_from_white(white, MTM_OBSERVER_2, &request.target, &error) != MTM_OK ||
        mtm_rig_load(argv[1], &rig, &error) != MTM_OK)
        return fail(&error);
    int status = agree(rig, &request);
    mtm_rig_free(rig);
    return status;
}
