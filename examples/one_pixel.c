/* SPDX-License-Identifier: MIT */
/* One pixel: the slot values for an RGB value with its own brightness beside the white, and in the
 * dark.
 * Build: cc one_pixel.c $(pkg-config --cflags --libs metamer)
 * Run: ./a.out ../profiles/five-colour-wash.json 1 0.55 0.2 */
#include <metamer/codes.h>
#include <metamer/fixture.h>
#include <metamer/rgb.h>
#include <metamer/solve.h>

#include <stdio.h>
#include <stdlib.h>

static int fail(const mtm_error *error)
{
    (void)fprintf(stderr, "%s\n", error->text);
    return 1;
}

static void print_slots(const char *what, const mtm_mode *mode, const uint8_t *slot)
{
    printf("%s:", what);
    for (size_t i = 0; i < mode->slot_count; i++)
        printf(" %d", slot[i]);
    printf("\n");
}

int main(int argc, char **argv)
{
    const mtm_rgb_space *space = NULL;
    mtm_fixture *fixture = NULL;
    mtm_solver *solver = NULL;
    mtm_coder *coder = NULL;
    mtm_error error;
    mtm_answer answer;
    mtm_codes codes;
    uint8_t slot[MTM_SLOTS_MAX];

    if (argc != 5) {
        (void)fprintf(stderr, "usage: one_pixel FIXTURE.json RED GREEN BLUE (0 to 1 each)\n");
        return 2;
    }
    const mtm_rgb rgb = {strtod(argv[2], NULL), strtod(argv[3], NULL), strtod(argv[4], NULL)};
    int status = 1;
    if (mtm_rgb_space_find("srgb", &space, &error) != MTM_OK ||
        mtm_fixture_load(argv[1], &fixture, &error) != MTM_OK ||
        mtm_solver_create_for(fixture, MTM_OBSERVER_2, &solver, &error) != MTM_OK ||
        mtm_solver_solve_rgb(solver, space, rgb, &answer, &error) != MTM_OK ||
        mtm_coder_create(fixture, mtm_fixture_mode(fixture, 0), MTM_OBSERVER_2, &coder, &error) !=
            MTM_OK) {
        (void)fail(&error);
    } else {
        const mtm_mode *mode = mtm_fixture_mode(fixture, 0);
        mtm_coder_round(coder, answer.level, &codes);
        printf("%s: %.0f lm%s\n", mtm_fixture_name(fixture), answer.xyz.y,
               answer.shortfall != 0 ? ", not all that was asked" : "");
        mtm_codes_to_slots(mode, &codes, slot);
        print_slots("slots", mode, slot);
        mtm_black_to_slots(mode, slot);
        print_slots("black", mode, slot);
        status = 0;
    }
    mtm_coder_free(coder);
    mtm_solver_free(solver);
    mtm_fixture_free(fixture);
    return status;
}
