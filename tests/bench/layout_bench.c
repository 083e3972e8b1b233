/* SPDX-License-Identifier: MIT */
/* How quickly small rigs are packed exactly, beside GLPK's mixed integer solver on the same rigs in
 * the same run, and how long a rig of the largest size allowed takes. */
#include "plan/layout_address.h"
#include "support/random.h"
#include "support/timing.h"

#include <glpk.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { RIGS = 12, BLOCKS = 11, BINS = 7, REPEATS = 5, LARGE = 100000 };

static size_t ours(const int *slots)
{
    mtmi_block blocks[BLOCKS];
    mtm_address_report report = {0};

    for (size_t i = 0; i < BLOCKS; i++)
        blocks[i] = (mtmi_block){.name = "unit", .slots = slots[i], .group = MTMI_GROUP_NONE};
    if (mtmi_address_blocks(blocks, BLOCKS, 1, &report, NULL) != MTM_OK || !report.universes_proven)
        exit(1);
    return report.universes;
}

static size_t peer(const int *slots)
{
    glp_prob *lp = glp_create_prob();
    glp_iocp options;

    glp_set_obj_dir(lp, GLP_MIN);
    glp_add_rows(lp, BLOCKS + BINS);
    glp_add_cols(lp, BINS + BLOCKS * BINS);
    for (int b = 1; b <= BINS; b++) {
        int rows[2] = {0, BLOCKS + b};
        double values[2] = {0, -MTM_ADDRESS_MAX};
        glp_set_row_bnds(lp, rows[1], GLP_UP, 0, 0);
        glp_set_col_kind(lp, b, GLP_BV);
        glp_set_obj_coef(lp, b, 1);
        glp_set_mat_col(lp, b, 1, rows, values);
    }
    for (int i = 1; i <= BLOCKS; i++) {
        glp_set_row_bnds(lp, i, GLP_FX, 1, 1);
        for (int b = 1; b <= BINS; b++) {
            int column = BINS + (i - 1) * BINS + b;
            int rows[3] = {0, i, BLOCKS + b};
            double values[3] = {0, 1, slots[i - 1]};
            glp_set_col_kind(lp, column, GLP_BV);
            if (b > i)
                glp_set_col_bnds(lp, column, GLP_FX, 0, 0);
            glp_set_mat_col(lp, column, 2, rows, values);
        }
    }
    glp_init_iocp(&options);
    options.presolve = GLP_ON;
    options.msg_lev = GLP_MSG_OFF;
    if (glp_intopt(lp, &options) != 0)
        exit(1);
    size_t best = (size_t)lround(glp_mip_obj_val(lp));
    glp_delete_prob(lp);
    return best;
}

static int rising(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;

    return x < y ? -1 : x > y;
}

static void time_small(void)
{
    struct random random = {21};
    double ratio[RIGS * REPEATS];
    size_t count = 0;

    for (int rig = 0; rig < RIGS; rig++) {
        int slots[BLOCKS];
        for (size_t i = 0; i < BLOCKS; i++)
            slots[i] = 90 + (int)random_index(&random, 211);
        for (int repeat = 0; repeat < REPEATS; repeat++) {
            double start = timing_now_s();
            size_t by_us = ours(slots);
            double middle = timing_now_s();
            size_t by_peer = peer(slots);
            double end = timing_now_s();
            if (by_us != by_peer) {
                (void)fprintf(stderr, "%zu universes, GLPK %zu\n", by_us, by_peer);
                exit(1);
            }
            ratio[count++] = (end - middle) / (middle - start);
        }
    }
    qsort(ratio, count, sizeof *ratio, rising);
    printf("%d units, exact: GLPK takes %.0f times as long (median; %.0f to %.0f)\n", BLOCKS,
           ratio[count / 2], ratio[0], ratio[count - 1]);
}

static void time_large(void)
{
    mtmi_block *blocks = calloc(LARGE, sizeof *blocks);
    struct random random = {22};
    double fastest = INFINITY;

    if (blocks == NULL)
        exit(1);
    for (int repeat = 0; repeat < REPEATS; repeat++) {
        mtm_address_report report = {0};
        for (size_t i = 0; i < LARGE; i++)
            blocks[i] = (mtmi_block){.name = "unit",
                                     .slots = 2 + 2 * (int)random_index(&random, 5),
                                     .group = (uint32_t)(i / 12)};
        double start = timing_now_s();
        if (mtmi_address_blocks(blocks, LARGE, 1, &report, NULL) != MTM_OK ||
            !report.universes_proven)
            exit(1);
        fastest = fmin(fastest, timing_now_s() - start);
    }
    printf("%d units of five kinds: %.2f s (fastest of %d), the fewest universes\n", LARGE, fastest,
           REPEATS);
    free(blocks);
}

int main(void)
{
    glp_term_out(GLP_OFF);
    time_small();
    time_large();
    return 0;
}
