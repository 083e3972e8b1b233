/* SPDX-License-Identifier: MIT */
/* One fixture, one white: from a fixture file to the slot values that make it.
 * Build: cc one_fixture.c $(pkg-config --cflags --libs metamer)
 * Run: ./a.out ../profiles/five-colour-wash.json 3200 */
#include <metamer/codes.h>
#include <metamer/fixture.h>
#include <metamer/solve.h>
#include <metamer/white.h>

#include <stdio.h>
#include <stdlib.h>

static int fail(const mtm_error *error)
{
    (void)fprintf(stderr, "%s\n", error->text);
    return 1;
}

/* Rounds the answer to codes of the fixture's first mode and prints what they give. */
static int show(const mtm_fixture *fixture, const mtm_solver *solver, const mtm_answer *answer)
{
    const mtm_mode *mode = mtm_fixture_mode(fixture, 0);
    mtm_coder *coder = NULL;
    mtm_error error;
    double level[MTM_EMITTERS_MAX];
    uint8_t slot[512];

    if (mtm_coder_create(fixture, mode, MTM_OBSERVER_2, &coder, &error) != MTM_OK)
        return fail(&error);
    mtm_codes codes;
    mtm_coder_round(coder, answer->level, &codes);
    mtm_coder_levels(coder, &codes, level);
    mtm_coder_free(coder);

    mtm_xyz xyz = mtm_solver_xyz(solver, level);
    mtm_xy xy = mtm_xy_from_xyz(xyz);
    printf("%s, mode %s: x %.4f, y %.4f, %.0f lm\nslots:", mtm_fixture_name(fixture), mode->name,
           xy.x, xy.y, xyz.y);
    mtm_codes_to_slots(mode, &codes, slot);
    for (size_t i = 0; i < mode->slot_count; i++)
        printf(" %d", slot[i]);
    printf("\n");
    return 0;
}

int main(int argc, char **argv)
{
    mtm_fixture *fixture = NULL;
    mtm_solver *solver = NULL;
    mtm_error error;
    mtm_request request = {.output = {MTM_OUTPUT_SHARE, 0.5}};
    mtm_answer answer;

    if (argc != 3) {
        (void)fprintf(stderr, "usage: one_fixture FIXTURE.json KELVIN\n");
        return 2;
    }
    const mtm_white white = {.cct_k = strtod(argv[2], NULL), .duv = 0};
    if (mtm_white_to_xy(white, &request.xy, &error) != MTM_OK ||
        mtm_fixture_load(argv[1], &fixture, &error) != MTM_OK)
        return fail(&error);
    int status = 1;
    if (mtm_solver_create_for(fixture, MTM_OBSERVER_2, &solver, &error) != MTM_OK ||
        mtm_solver_solve(solver, &request, &answer, &error) != MTM_OK)
        (void)fail(&error);
    else
        status = show(fixture, solver, &answer);
    mtm_solver_free(solver);
    mtm_fixture_free(fixture);
    return status;
}
