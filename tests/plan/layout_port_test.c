/* SPDX-License-Identifier: MIT */
/* Ports: ratings kept, the optimum of brute force and of an independent solver. */
#include "support/check.h"
#include "support/random.h"

#include "plan/layout_port.h"

#include <glpk.h>

static double port_load(const mtmi_feed *feeds, size_t count, int supply, int port)
{
    double content = 0;

    for (size_t i = 0; i < count; i++) {
        if (feeds[i].supply == supply && (port == 0 || feeds[i].port == port))
            content += feeds[i].watts;
    }
    return content;
}

static size_t supplies_in_use(const mtmi_feed *feeds, size_t count, size_t supply_count)
{
    size_t used = 0;

    for (size_t s = 0; s < supply_count; s++)
        used += port_load(feeds, count, (int)s, 0) > 0;
    return used;
}

/* Largest part of a rating in use, added up anew. */
static double peak_of(const mtmi_feed *feeds, size_t count, const mtm_supply *supplies,
                      size_t supply_count)
{
    double peak = 0;

    for (size_t s = 0; s < supply_count; s++) {
        peak = fmax(peak, port_load(feeds, count, (int)s, 0) / supplies[s].total_w);
        for (int p = 1; p <= supplies[s].ports; p++)
            peak = fmax(peak, port_load(feeds, count, (int)s, p) / supplies[s].port_w);
    }
    return peak;
}

/* Every way to hang open units on ports. */
typedef struct brute {
    const mtm_supply *supplies;
    size_t supply_count;
    mtmi_feed feeds[8];
    size_t count;
    size_t best_supplies;
    double best_peak;
} brute;

static void brute_place(brute *b, size_t i)
{
    if (i == b->count || i == COUNT(b->feeds)) {
        size_t used = supplies_in_use(b->feeds, b->count, b->supply_count);
        double peak = peak_of(b->feeds, b->count, b->supplies, b->supply_count);
        if (used < b->best_supplies || (used == b->best_supplies && peak < b->best_peak)) {
            b->best_supplies = used;
            b->best_peak = peak;
        }
        return;
    }
    mtmi_feed before = b->feeds[i];
    for (int s = 0; s < (int)b->supply_count; s++) {
        for (int p = 1; p <= b->supplies[s].ports; p++) {
            bool allowed =
                (before.supply < 0 || before.supply == s) && (before.port == 0 || before.port == p);
            if (!allowed)
                continue;
            double port_w = port_load(b->feeds, i, s, p) + before.watts;
            double supply_w = port_load(b->feeds, i, s, 0) + before.watts;
            if (port_w <= b->supplies[s].port_w * (1 + 1e-9) &&
                supply_w <= b->supplies[s].total_w * (1 + 1e-9)) {
                b->feeds[i].supply = s;
                b->feeds[i].port = p;
                brute_place(b, i + 1);
            }
        }
    }
    b->feeds[i] = before;
}

static void test_brute_force(void **state)
{
    struct random random = {11};
    size_t fitted = 0;

    (void)state;
    for (int round = 0; round < 200; round++) {
        mtm_supply supplies[3];
        mtmi_feed feeds[6];
        mtm_port_report report;
        mtm_error error = {""};
        size_t supply_count = 2 + random_index(&random, 2);
        size_t count = 2 + random_index(&random, 5);
        for (size_t s = 0; s < supply_count; s++)
            supplies[s] = (mtm_supply){.name = "S",
                                       .ports = 1 + (int)random_index(&random, 3),
                                       .port_w = 50 + 10 * (double)random_index(&random, 6),
                                       .total_w = 80 + 10 * (double)random_index(&random, 10)};
        for (size_t i = 0; i < count; i++)
            feeds[i] = (mtmi_feed){"unit", 5 + 5 * (double)random_index(&random, 9), -1, 0};
        if (round % 3 == 1)
            feeds[0].supply = 1;
        if (round % 3 == 2) {
            feeds[1].supply = 0;
            feeds[1].port = supplies[0].ports;
        }
        brute b = {.supplies = supplies,
                   .supply_count = supply_count,
                   .count = count,
                   .best_supplies = SIZE_MAX};
        memcpy(b.feeds, feeds, sizeof feeds);
        brute_place(&b, 0);
        mtm_result result = mtmi_port_feeds(feeds, count, supplies, supply_count, &report, &error);
        if (b.best_supplies == SIZE_MAX) {
            assert_int_equal(result, MTM_RANGE);
            continue;
        }
        if (result != MTM_OK)
            fail_msg("round %d: %s", round, error.text);
        fitted++;
        double peak = peak_of(feeds, count, supplies, supply_count);
        assert_int_equal(supplies_in_use(feeds, count, supply_count), b.best_supplies);
        CHECK_NEAR("peak", peak, b.best_peak, 1e-9);
        assert_int_equal(report.supplies, b.best_supplies);
        CHECK_NEAR("reported peak", report.peak, peak, 1e-9);
        assert_true(report.supplies_proven && report.peak_proven);
    }
    assert_in_range(fitted, 100, 200);
}

/* The fewest supplies by GLPK's mixed integer solver: y[s] uses supply s, x[i][s][p] hangs unit i
 * on its port p. */
static size_t glpk_supplies(const mtmi_feed *feeds, int count, const mtm_supply *supply, int most)
{
    glp_prob *lp = glp_create_prob();
    glp_iocp options;
    int ports = supply->ports;
    int columns = most + count * most * ports;

    glp_term_out(GLP_OFF);
    glp_set_obj_dir(lp, GLP_MIN);
    glp_add_rows(lp, count + most * ports + most);
    glp_add_cols(lp, columns);
    for (int s = 0; s < most; s++) {
        int rows[16] = {0};
        double values[16] = {0};
        for (int p = 0; p < ports; p++) {
            rows[p + 1] = count + s * ports + p + 1;
            values[p + 1] = -supply->port_w;
            glp_set_row_bnds(lp, rows[p + 1], GLP_UP, 0, 0);
        }
        rows[ports + 1] = count + most * ports + s + 1;
        values[ports + 1] = -supply->total_w;
        glp_set_row_bnds(lp, rows[ports + 1], GLP_UP, 0, 0);
        glp_set_col_kind(lp, s + 1, GLP_BV);
        glp_set_obj_coef(lp, s + 1, 1);
        glp_set_mat_col(lp, s + 1, ports + 1, rows, values);
    }
    for (int i = 0; i < count; i++) {
        glp_set_row_bnds(lp, i + 1, GLP_FX, 1, 1);
        for (int k = 0; k < most * ports; k++) {
            int column = most + i * most * ports + k + 1;
            int rows[4] = {0, i + 1, count + k + 1, count + most * ports + k / ports + 1};
            double values[4] = {0, 1, feeds[i].watts, feeds[i].watts};
            glp_set_col_kind(lp, column, GLP_BV);
            glp_set_mat_col(lp, column, 3, rows, values);
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
    struct random random = {5};

    (void)state;
    for (int round = 0; round < 10; round++) {
        mtm_supply supplies[4];
        mtmi_feed feeds[7];
        mtm_port_report report;
        mtm_error error = {""};
        for (size_t s = 0; s < 4; s++)
            supplies[s] = (mtm_supply){.name = "S", .ports = 2, .port_w = 60, .total_w = 100};
        for (size_t i = 0; i < 7; i++)
            feeds[i] = (mtmi_feed){"unit", 15 + (double)random_index(&random, 30), -1, 0};
        size_t best = glpk_supplies(feeds, 7, supplies, 4);
        if (mtmi_port_feeds(feeds, 7, supplies, 4, &report, &error) != MTM_OK)
            fail_msg("%s", error.text);
        assert_int_equal(report.supplies, best);
        assert_true(report.supplies_proven);
    }
}

/* Twelve equal units on a supply of twelve ports: one each, in the order of the file. */
static void test_one_each(void **state)
{
    mtm_supply supplies[2] = {{"S1", 12, 0, 60, 600, -1, 0, 0, 0},
                              {"S2", 12, 0, 60, 600, -1, 0, 0, 0}};
    mtmi_feed feeds[24];
    mtm_port_report report;

    (void)state;
    for (size_t i = 0; i < 12; i++)
        feeds[i] = (mtmi_feed){"unit", 40, -1, 0};
    assert_int_equal(mtmi_port_feeds(feeds, 12, supplies, 2, &report, NULL), MTM_OK);
    for (size_t i = 0; i < 12; i++) {
        assert_int_equal(feeds[i].supply, 0);
        assert_int_equal(feeds[i].port, i + 1);
    }
    assert_int_equal(report.supplies, 1);
    assert_true(report.supplies_proven);
    CHECK_NEAR("peak", report.peak, 480.0 / 600, 1e-12);

    for (size_t i = 0; i < 24; i++)
        feeds[i] = (mtmi_feed){"unit", 40, -1, 0};
    assert_int_equal(mtmi_port_feeds(feeds, 24, supplies, 2, &report, NULL), MTM_OK);
    for (size_t i = 0; i < 24; i++) {
        assert_int_equal(feeds[i].supply, i / 12);
        assert_int_equal(feeds[i].port, i % 12 + 1);
    }
    assert_true(report.supplies_proven && report.peak_proven);
}

/* No more units on a port than it takes, whatever they draw. */
static void test_units_per_port(void **state)
{
    mtm_supply supplies[3] = {{"S1", 2, 1, 100, 200, -1, 0, 0, 0},
                              {"S2", 2, 1, 100, 200, -1, 0, 0, 0},
                              {"S3", 2, 1, 100, 200, -1, 0, 0, 0}};
    mtmi_feed feeds[4];
    mtm_port_report report;
    mtm_error error = {""};

    (void)state;
    for (size_t i = 0; i < 4; i++)
        feeds[i] = (mtmi_feed){"unit", 10, -1, 0};
    assert_int_equal(mtmi_port_feeds(feeds, 4, supplies, 3, &report, &error), MTM_OK);
    assert_int_equal(report.supplies, 2);
    for (size_t i = 0; i < 4; i++) {
        for (size_t k = 0; k < i; k++)
            assert_false(feeds[i].supply == feeds[k].supply && feeds[i].port == feeds[k].port);
    }
    for (size_t i = 0; i < 4; i++)
        feeds[i] = (mtmi_feed){"unit", 10, 0, i < 2 ? 1 : 0};
    assert_int_equal(mtmi_port_feeds(feeds, 4, supplies, 3, &report, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "port 1 of supply \"S1\" takes at most 1 units and would have 2");
}

static const struct bad {
    const char *name;
    mtmi_feed feeds[3];
    const char *sentence;
} bads[] = {
    {"zero watts", {{"dark", 0, -1, 0}}, "unit \"dark\" takes 0 W"},
    {"not a number", {{"odd", NAN, -1, 0}}, "unit \"odd\" takes nan W"},
    {"no port is strong enough",
     {{"big", 61, -1, 0}},
     "unit \"big\" takes 61 W, but even the strongest supply \"S1\" may carry only 60 W"},
    {"its port is too weak",
     {{"big", 45, 1, 0}},
     "unit \"big\" takes 45 W, but supply \"S2\" may carry only 40 W"},
    {"no such port", {{"lost", 10, 1, 3}}, "on port 3 of supply \"S2\", which has ports 1 to 2"},
    {"no such supply", {{"lost", 10, 2, 0}}, "no supply number 2"},
    {"overloaded port",
     {{"a", 40, 0, 1}, {"b", 30, 0, 1}},
     "port 1 of supply \"S1\" is rated 60 W and would carry 70 W: \"a\", \"b\""},
    {"overloaded supply",
     {{"a", 50, 0, 1}, {"b", 35, 0, 2}, {"c", 20, 0, 2}},
     "supply \"S1\" is rated 100 W and would carry 105 W: \"a\", \"b\", \"c\""},
    {"do not fit",
     {{"a", 58, -1, 0}, {"b", 55, -1, 0}, {"c", 45, -1, 0}},
     "the units do not fit on the supplies: 3 units from \"a\" to \"c\" take 158 W"},
};

static void test_bad(void **state)
{
    const struct bad *row = *state;
    mtm_supply supplies[2] = {{"S1", 2, 0, 60, 100, -1, 0, 0, 0},
                              {"S2", 2, 0, 40, 70, -1, 0, 0, 0}};
    mtmi_feed feeds[3];
    mtm_port_report report = {.supplies = 99};
    mtm_error error = {""};
    size_t count = 1;

    while (count < 3 && row->feeds[count].name != NULL)
        count++;
    memcpy(feeds, row->feeds, sizeof feeds);
    assert_int_equal(mtmi_port_feeds(feeds, count, supplies, 2, &report, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, row->sentence);
    assert_memory_equal(feeds, row->feeds, sizeof feeds);
    assert_int_equal(report.supplies, 99);
}

/* Watts that add up to a rating but for the last bit are within it. */
static void test_rounding(void **state)
{
    mtm_supply supply = {"S1", 1, 0, 0.3, 0.3, -1, 0, 0, 0};
    mtmi_feed feeds[3] = {{"a", 0.1, -1, 0}, {"b", 0.1, -1, 0}, {"c", 0.1, -1, 0}};
    mtm_port_report report;

    (void)state;
    assert_true(0.1 + 0.1 + 0.1 > 0.3);
    assert_int_equal(mtmi_port_feeds(feeds, 3, &supply, 1, &report, NULL), MTM_OK);
}

static const struct large {
    const char *name;
    size_t count, supplies;
    int ports;
    double port_w, total_w;
    size_t kinds; /* of watts; 0: all different */
    size_t over;  /* supplies over the bound that are allowed */
} larges[] = {
    {"a hundred thousand of five kinds", 100000, 4096, 12, 180, 1800, 5, 0},
    {"twenty thousand, all different", 20000, 1000, 12, 180, 1800, 0, 2},
    {"a thousand on six ports", 1000, 400, 6, 100, 400, 3, 1},
    {"two hundred, all different", 200, 60, 12, 60, 600, 0, 1},
};

static void test_large(void **state)
{
    const struct large *row = *state;
    mtm_supply *supplies = calloc(row->supplies, sizeof *supplies);
    mtmi_feed *feeds = calloc(row->count, sizeof *feeds);
    struct random random = {3};
    mtm_port_report report;
    mtm_error error = {""};

    assert_non_null(supplies);
    assert_non_null(feeds);
    for (size_t s = 0; s < row->supplies; s++)
        supplies[s] = (mtm_supply){
            .name = "S", .ports = row->ports, .port_w = row->port_w, .total_w = row->total_w};
    for (size_t i = 0; i < row->count; i++) {
        double watts = row->kinds > 0 ? 12.5 * (double)(1 + random_index(&random, row->kinds))
                                      : random_between(&random, 10, 50);
        feeds[i] = (mtmi_feed){"unit", watts, -1, 0};
    }
    if (mtmi_port_feeds(feeds, row->count, supplies, row->supplies, &report, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_in_range(report.supplies, report.supplies_least, report.supplies_least + row->over);
    free(feeds);
    free(supplies);
}

int main(void)
{
    const struct CMUnitTest single[] = {
        cmocka_unit_test(test_brute_force), cmocka_unit_test(test_independent_solver),
        cmocka_unit_test(test_one_each),    cmocka_unit_test(test_units_per_port),
        cmocka_unit_test(test_rounding),
    };
    struct CMUnitTest tests[COUNT(bads) + COUNT(larges) + COUNT(single)];

    ROW_TESTS(tests, bads, test_bad);
    ROW_TESTS(tests + COUNT(bads), larges, test_large);
    memcpy(tests + COUNT(bads) + COUNT(larges), single, sizeof single);
    return cmocka_run_group_tests_name("ports", tests, NULL, NULL);
}
