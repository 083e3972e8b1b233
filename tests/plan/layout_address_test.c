/* SPDX-License-Identifier: MIT */
/* Addresses: limits of the standards, the optimum of brute force and of an independent solver. */
#include "support/check.h"

#include "plan/layout_address.h"
#include "plan/layout_bound.h"
#include "plan/layout_columns.h"

#include <glpk.h>

/* A small generator of our own, so that every machine sees the same rigs. */
static uint32_t next_random(uint32_t *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return *seed >> 8;
}

static int between(uint32_t *seed, int least, int most)
{
    return least + (int)(next_random(seed) % (uint32_t)(most - least + 1));
}

static mtmi_block open_block(const char *name, int slots, uint32_t group)
{
    return (mtmi_block){.name = name, .slots = slots, .group = group};
}

/* E1.11: slots 1..512, and a unit's slots do not run over into the next universe. */
static void check_legal(const mtmi_block *blocks, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        assert_in_range(blocks[i].universe, 1, MTM_UNIVERSE_MAX);
        assert_in_range(blocks[i].address, 1, 512 - blocks[i].slots + 1);
    }
    for (size_t i = 0; i < count; i++) {
        for (size_t k = i + 1; k < count; k++) {
            bool apart = blocks[i].universe != blocks[k].universe ||
                         blocks[i].address + blocks[i].slots <= blocks[k].address ||
                         blocks[k].address + blocks[k].slots <= blocks[i].address;
            if (!apart)
                fail_msg("blocks %zu and %zu overlap", i, k);
        }
    }
}

/* Slot counts by emitters and bits: common practice, no source. */
static const struct practice {
    const char *name;
    int emitters;
    int bits;
    int slots;
} practices[] = {
    {"two emitters in 8 bit", 2, 8, 2},   {"two emitters in 16 bit", 2, 16, 4},
    {"three emitters in 8 bit", 3, 8, 3}, {"three emitters in 16 bit", 3, 16, 6},
    {"five emitters in 8 bit", 5, 8, 5},  {"five emitters in 16 bit", 5, 16, 10},
};

static void test_practice(void **state)
{
    const struct practice *row = *state;
    mtmi_block blocks[12];
    mtm_address_report report;

    assert_int_equal(row->emitters * row->bits / 8, row->slots);
    for (size_t i = 0; i < COUNT(blocks); i++)
        blocks[i] = open_block("unit", row->slots, 0);
    assert_int_equal(mtmi_address_blocks(blocks, COUNT(blocks), 1, &report, NULL), MTM_OK);
    for (size_t i = 0; i < COUNT(blocks); i++) {
        assert_int_equal(blocks[i].universe, 1);
        assert_int_equal(blocks[i].address, 1 + (int)i * row->slots);
    }
    assert_int_equal(report.slots, 12 * row->slots);
    assert_int_equal(report.gap_slots, 0);
}

/* Twelve ports of mixed kinds waste no slot: common practice, no source. */
static void test_twelve_mixed_ports(void **state)
{
    static const int slots[12] = {2, 4, 3, 6, 5, 10, 2, 10, 5, 3, 6, 4};
    mtmi_block blocks[12];
    mtm_address_report report;
    int next = 1;

    (void)state;
    for (size_t i = 0; i < 12; i++)
        blocks[i] = open_block("unit", slots[i], 0);
    assert_int_equal(mtmi_address_blocks(blocks, 12, 1, &report, NULL), MTM_OK);
    for (size_t i = 0; i < 12; i++) {
        assert_int_equal(blocks[i].address, next);
        next += slots[i];
    }
    assert_int_equal(report.slots, 60);
    assert_int_equal(report.universes, 1);
    assert_int_equal(report.gap_slots, 0);
    assert_true(report.universes_proven && report.splits_proven);
}

/* A universe of E1.11 has 512 slots: 51 units of ten fill 510 and the 52nd opens another. */
static void test_full_universe(void **state)
{
    mtmi_block blocks[52];
    mtm_address_report report;

    (void)state;
    for (size_t i = 0; i < 52; i++)
        blocks[i] = open_block("unit", 10, MTMI_GROUP_NONE);
    assert_int_equal(mtmi_address_blocks(blocks, 51, 1, &report, NULL), MTM_OK);
    assert_int_equal(report.universes, 1);
    assert_int_equal(blocks[50].address, 501);
    for (size_t i = 0; i < 52; i++)
        blocks[i] = open_block("unit", 10, MTMI_GROUP_NONE);
    assert_int_equal(mtmi_address_blocks(blocks, 52, 1, &report, NULL), MTM_OK);
    assert_int_equal(report.universes, 2);
    assert_int_equal(report.universes_least, 2);
    assert_true(report.universes_proven);
    assert_int_equal(blocks[51].universe, 2);
    assert_int_equal(blocks[51].address, 1);
}

/* E1.31 clause 9: universes 1..63999. */
static void test_last_universe(void **state)
{
    mtmi_block blocks[2] = {open_block("a", 512, 0), open_block("b", 512, 0)};
    mtm_address_report report;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtmi_address_blocks(blocks, 2, 63999, &report, &error), MTM_LIMIT);
    CHECK_HOLDS(error.text, "63999");
    assert_int_equal(blocks[0].address, 0);
    assert_int_equal(mtmi_address_blocks(blocks, 1, 63999, &report, &error), MTM_OK);
    assert_int_equal(blocks[0].universe, 63999);
    assert_int_equal(mtmi_address_blocks(blocks, 2, 64000, &report, &error), MTM_INVALID);
    assert_int_equal(mtmi_address_blocks(blocks, 2, 0, &report, &error), MTM_INVALID);
}

static void test_fixed_are_respected(void **state)
{
    mtmi_block blocks[] = {
        {.name = "a", .slots = 10, .group = 0, .universe = 2, .address = 101},
        {.name = "b", .slots = 100, .group = 0},
        {.name = "c", .slots = 402, .group = 1},
        {.name = "d", .slots = 30, .group = 1},
        {.name = "e", .slots = 5, .group = 1, .universe = 7},
    };
    mtm_address_report report;

    (void)state;
    assert_int_equal(mtmi_address_blocks(blocks, COUNT(blocks), 1, &report, NULL), MTM_OK);
    check_legal(blocks, COUNT(blocks));
    assert_int_equal(blocks[0].universe, 2);
    assert_int_equal(blocks[0].address, 101);
    assert_int_equal(blocks[1].universe, 2); /* fills exactly what stands before a */
    assert_int_equal(blocks[1].address, 1);
    assert_int_equal(blocks[4].universe, 7);
    assert_int_equal(report.universes, 2);
    assert_int_equal(report.gap_slots, 0);
    assert_int_equal(report.groups, 2);
    assert_int_equal(report.groups_split, 0);
}

static void test_groups_stay_whole(void **state)
{
    mtmi_block blocks[9];
    mtm_address_report report;

    (void)state;
    for (size_t i = 0; i < 9; i++) /* three supplies of 240: two go into a universe, none is cut */
        blocks[i] = open_block("unit", 80, (uint32_t)(i / 3));
    assert_int_equal(mtmi_address_blocks(blocks, 9, 1, &report, NULL), MTM_OK);
    check_legal(blocks, 9);
    assert_int_equal(report.universes, 2);
    assert_int_equal(report.groups_split, 0);
    assert_true(report.splits_proven);
    assert_int_equal(blocks[6].universe, 2);
    assert_int_equal(blocks[6].address, 1);
}

/* Too tight for whole supplies: a row of them, cut once at the end of each universe, parts no more
 * than one supply for each end. */
static void test_groups_in_a_row(void **state)
{
    enum { UNITS = 20000, GROUPS = 500 };
    mtmi_block *blocks = calloc(UNITS, sizeof *blocks);
    mtm_address_report report;
    uint32_t seed = 3;

    (void)state;
    assert_non_null(blocks);
    for (size_t i = 0; i < UNITS; i++)
        blocks[i] = open_block("unit", between(&seed, 2, 13), (uint32_t)(i / (UNITS / GROUPS)));
    assert_int_equal(mtmi_address_blocks(blocks, UNITS, 1, &report, NULL), MTM_OK);
    assert_int_equal(report.universes, report.universes_least);
    assert_in_range(report.groups_split, 0, report.universes - 1);
    free(blocks);
}

static const struct bad {
    const char *name;
    mtmi_block blocks[2];
    const char *sentence;
} bads[] = {
    {"wider than a universe", {{.name = "wall", .slots = 513}}, "\"wall\" takes 513 slots"},
    {"no slots", {{.name = "nil", .slots = 0}}, "\"nil\" takes 0 slots"},
    {"over the end",
     {{.name = "a", .slots = 10, .universe = 1, .address = 504}},
     "the last address it may have is 503"},
    {"address 513", {{.name = "a", .slots = 1, .universe = 1, .address = 513}}, "address 513"},
    {"universe 64000", {{.name = "a", .slots = 1, .universe = 64000}}, "universe 64000"},
    {"no universe", {{.name = "a", .slots = 1, .address = 7}}, "no universe"},
    {"overlap",
     {{.name = "a", .slots = 10, .universe = 3, .address = 1},
      {.name = "b", .slots = 10, .universe = 3, .address = 10}},
     "\"a\" (slots 1 to 10) and \"b\" (slots 10 to 19) overlap in universe 3"},
    {"full universe",
     {{.name = "a", .slots = 500, .universe = 3, .address = 1},
      {.name = "b", .slots = 13, .universe = 3}},
     "\"b\" takes 13 slots and must be in universe 3, which has 12 free slots, at most 12 in"},
};

/* Each would fit alone, all together do not. */
static void test_too_many_for_a_universe(void **state)
{
    mtmi_block blocks[60];
    mtm_address_report report;
    mtm_error error = {""};

    (void)state;
    for (size_t i = 0; i < 60; i++)
        blocks[i] = (mtmi_block){.name = "unit", .slots = 12, .group = 0, .universe = 9};
    assert_int_equal(mtmi_address_blocks(blocks, 60, 1, &report, &error), MTM_RANGE);
    CHECK_HOLDS(error.text,
                "must be in universe 9, from \"unit\" on, take 720 slots, and 512 are free");
    assert_int_equal(blocks[0].address, 0);
}

static void test_bad(void **state)
{
    const struct bad *row = *state;
    mtmi_block blocks[2];
    mtm_address_report report = {.slots = 77};
    mtm_error error = {""};
    size_t count = row->blocks[1].name == NULL ? 1 : 2;

    memcpy(blocks, row->blocks, sizeof blocks);
    assert_int_equal(mtmi_address_blocks(blocks, count, 1, &report, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, row->sentence);
    assert_memory_equal(blocks, row->blocks, sizeof blocks);
    assert_int_equal(report.slots, 77);
}

/* Brute force: every way to put open blocks into free stretches and new universes. */
typedef struct brute {
    const mtmi_block *blocks;
    size_t count;
    int room[40];
    int universe[40];
    size_t bins;
    int at[12]; /* universe of each block */
    size_t best_universes;
    size_t best_touches;
} brute;

static void brute_score(brute *b)
{
    size_t universes = 0;
    size_t touches = 0;

    for (int u = 1; u < 40; u++) {
        bool used = false;
        for (size_t i = 0; i < b->count; i++)
            used = used || b->at[i] == u;
        universes += used;
        for (uint32_t g = 0; g < 4; g++) {
            bool stands = false;
            for (size_t i = 0; i < b->count; i++)
                stands = stands || (b->at[i] == u && b->blocks[i].group == g);
            touches += stands;
        }
    }
    if (universes < b->best_universes ||
        (universes == b->best_universes && touches < b->best_touches)) {
        b->best_universes = universes;
        b->best_touches = touches;
    }
}

static void brute_place(brute *b, size_t i)
{
    if (i == b->count) {
        brute_score(b);
        return;
    }
    if (b->blocks[i].address > 0) {
        b->at[i] = b->blocks[i].universe;
        brute_place(b, i + 1);
        return;
    }
    for (size_t k = 0; k < b->bins; k++) {
        if (b->room[k] < b->blocks[i].slots)
            continue;
        b->room[k] -= b->blocks[i].slots;
        b->at[i] = b->universe[k];
        brute_place(b, i + 1);
        b->room[k] += b->blocks[i].slots;
        if (b->room[k] == 512)
            break; /* all other empty universes are the same */
    }
}

/* Universe 5 may hold two fixed blocks, at 101 and at 301. */
static void brute_solve(brute *b)
{
    b->best_universes = SIZE_MAX;
    b->bins = 0;
    if (b->blocks[0].address > 0) {
        int end = 101 + b->blocks[0].slots;
        int second = 301 + b->blocks[1].slots;
        int rooms[3] = {100, 301 - end, 513 - second};
        for (int k = 0; k < 3; k++) {
            b->universe[b->bins] = 5;
            b->room[b->bins++] = rooms[k];
        }
    }
    for (size_t k = 0; k < b->count; k++) {
        b->universe[b->bins] = 10 + (int)k;
        b->room[b->bins++] = 512;
    }
    brute_place(b, 0);
}

static size_t touches_of(const mtmi_block *blocks, size_t count)
{
    size_t touches = 0;

    for (size_t i = 0; i < count; i++) {
        bool seen = false;
        for (size_t k = 0; k < i; k++)
            seen = seen ||
                   (blocks[k].universe == blocks[i].universe && blocks[k].group == blocks[i].group);
        touches += !seen;
    }
    return touches;
}

static void test_brute_force(void **state)
{
    uint32_t seed = 7;

    (void)state;
    for (int round = 0; round < 300; round++) {
        mtmi_block blocks[8];
        mtm_address_report report;
        size_t count = (size_t)between(&seed, 3, 8);
        for (size_t i = 0; i < count; i++)
            blocks[i] = open_block("unit", between(&seed, 1, 260), (uint32_t)between(&seed, 0, 3));
        if (round % 2 == 1) {
            blocks[0].slots = blocks[0].slots % 150 + 1;
            blocks[1].slots = blocks[1].slots % 150 + 1;
            blocks[0].universe = blocks[1].universe = 5;
            blocks[0].address = 101;
            blocks[1].address = 301;
        }
        brute b = {.blocks = blocks, .count = count};
        brute_solve(&b);
        assert_int_equal(mtmi_address_blocks(blocks, count, 1, &report, NULL), MTM_OK);
        check_legal(blocks, count);
        assert_int_equal(report.universes, b.best_universes);
        assert_int_equal(touches_of(blocks, count), b.best_touches);
        assert_true(report.universes_proven && report.splits_proven);
        assert_int_equal(report.universes_least, report.universes);
    }
}

/* The same count by GLPK's mixed integer solver: y[b] opens universe b, x[i][b] puts block i there.
 */
static size_t glpk_universes(const int *slots, int count, int bins)
{
    glp_prob *lp = glp_create_prob();
    glp_iocp options;
    int row_of_bin = count;

    glp_term_out(GLP_OFF);
    glp_set_obj_dir(lp, GLP_MIN);
    glp_add_rows(lp, count + bins);
    glp_add_cols(lp, bins + count * bins);
    for (int b = 1; b <= bins; b++) {
        glp_set_col_kind(lp, b, GLP_BV);
        glp_set_obj_coef(lp, b, 1);
        glp_set_row_bnds(lp, row_of_bin + b, GLP_UP, 0, 0);
        int rows[2] = {0, row_of_bin + b};
        double values[2] = {0, -512};
        glp_set_mat_col(lp, b, 1, rows, values);
    }
    for (int i = 1; i <= count; i++) {
        glp_set_row_bnds(lp, i, GLP_FX, 1, 1);
        for (int b = 1; b <= bins; b++) {
            int column = bins + (i - 1) * bins + b;
            int rows[3] = {0, i, row_of_bin + b};
            double values[3] = {0, 1, slots[i - 1]};
            glp_set_col_kind(lp, column, GLP_BV);
            if (b > i) /* block i needs none of the later universes */
                glp_set_col_bnds(lp, column, GLP_FX, 0, 0);
            glp_set_mat_col(lp, column, 2, rows, values);
        }
    }
    glp_init_iocp(&options);
    options.presolve = GLP_ON;
    options.msg_lev = GLP_MSG_OFF;
    assert_int_equal(glp_intopt(lp, &options), 0);
    assert_int_equal(glp_mip_status(lp), GLP_OPT);
    double best = glp_mip_obj_val(lp);
    glp_delete_prob(lp);
    return (size_t)lround(best);
}

static void test_independent_solver(void **state)
{
    uint32_t seed = 3;

    (void)state;
    for (int round = 0; round < 12; round++) {
        int slots[11];
        mtmi_block blocks[11];
        mtm_address_report report;
        for (size_t i = 0; i < 11; i++) {
            slots[i] = between(&seed, 90, 300);
            blocks[i] = open_block("unit", slots[i], MTMI_GROUP_NONE);
        }
        assert_int_equal(mtmi_address_blocks(blocks, 11, 1, &report, NULL), MTM_OK);
        assert_true(report.universes_proven);
        assert_int_equal(report.universes, glpk_universes(slots, 11, 7));
    }
}

static int falling(const void *a, const void *b)
{
    return *(const int *)b - *(const int *)a;
}

/* Both bounds are bounds: never over GLPK's optimum; and where the sum of slots says too little
 * (two of 171 fill a universe, three do not fit) they say what is so. */
static void test_bounds(void **state)
{
    const mtmi_size_run thirds[] = {{171, 5}};
    uint32_t seed = 23;
    size_t least = 0;

    (void)state;
    assert_int_equal(mtmi_bins_at_least(thirds, 1, 512, 512), 3);
    assert_true(mtmi_columns_bound(thirds, 1, 512, &least));
    assert_int_equal(least, 3);
    for (int round = 0; round < 10; round++) {
        mtmi_size_run runs[11];
        int slots[11];
        size_t count = 0;
        for (size_t i = 0; i < 11; i++)
            slots[i] = between(&seed, 100, 280);
        qsort(slots, 11, sizeof *slots, falling);
        for (size_t i = 0; i < 11; i++) {
            if (count == 0 || (int)runs[count - 1].size != slots[i])
                runs[count++] = (mtmi_size_run){slots[i], 0};
            runs[count - 1].count++;
        }
        size_t best = glpk_universes(slots, 11, 7);
        assert_in_range(mtmi_bins_at_least(runs, count, 512, 512), best - 1, best);
        assert_true(mtmi_columns_bound(runs, count, 512, &least));
        assert_in_range(least, best - 1, best);
    }
}

/* A set of kinds as rigs have them, and sizes no rig has. */
static const struct large {
    const char *name;
    size_t count;
    int least, most;
    int step;
    uint32_t supplies;
    size_t over; /* universes over the bound that are allowed */
} larges[] = {
    {"a hundred thousand of five kinds", 100000, 2, 10, 2, 8000, 0},
    {"a hundred thousand of any kind", 100000, 1, 34, 1, MTMI_GROUP_NONE, 0},
    {"a thousand wide ones", 1000, 20, 120, 1, MTMI_GROUP_NONE, 1},
    {"hundreds without supplies", 300, 3, 10, 1, MTMI_GROUP_NONE, 0},
    {"all of five slots", 5000, 5, 5, 1, 400, 0},
    {"thirds of a universe", 3000, 160, 180, 1, MTMI_GROUP_NONE, 1},
    {"every fifth width", 600, 60, 300, 5, MTMI_GROUP_NONE, 1},
};

static void test_large(void **state)
{
    const struct large *row = *state;
    mtmi_block *blocks = malloc(row->count * sizeof *blocks);
    mtm_address_report report;
    uint32_t seed = 11;

    assert_non_null(blocks);
    for (size_t i = 0; i < row->count; i++) {
        int slots = between(&seed, 0, (row->most - row->least) / row->step) * row->step;
        uint32_t group = row->supplies == MTMI_GROUP_NONE
                             ? MTMI_GROUP_NONE
                             : (uint32_t)(i * row->supplies / row->count);
        blocks[i] = open_block("unit", row->least + slots, group);
    }
    assert_int_equal(mtmi_address_blocks(blocks, row->count, 1, &report, NULL), MTM_OK);
    assert_in_range(report.universes, report.universes_least, report.universes_least + row->over);
    assert_int_equal(report.universes_proven, report.universes == report.universes_least);
    assert_int_equal(report.gap_slots, 0);
    free(blocks);
}

int main(void)
{
    const struct CMUnitTest single[] = {
        cmocka_unit_test(test_twelve_mixed_ports), cmocka_unit_test(test_full_universe),
        cmocka_unit_test(test_last_universe),      cmocka_unit_test(test_fixed_are_respected),
        cmocka_unit_test(test_groups_stay_whole),  cmocka_unit_test(test_groups_in_a_row),
        cmocka_unit_test(test_brute_force),        cmocka_unit_test(test_too_many_for_a_universe),
        cmocka_unit_test(test_independent_solver), cmocka_unit_test(test_bounds),
    };
    struct CMUnitTest tests[COUNT(practices) + COUNT(bads) + COUNT(larges) + COUNT(single)];

    ROW_TESTS(tests, practices, test_practice);
    ROW_TESTS(tests + COUNT(practices), bads, test_bad);
    ROW_TESTS(tests + COUNT(practices) + COUNT(bads), larges, test_large);
    memcpy(tests + COUNT(practices) + COUNT(bads) + COUNT(larges), single, sizeof single);
    return cmocka_run_group_tests_name("addresses", tests, NULL, NULL);
}
