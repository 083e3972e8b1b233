/* SPDX-License-Identifier: MIT */
/* Loads: sums by hand, amperes by Ohm's and Joule's laws, factors against a linear solver. */
#include "support/random.h"
#include "support/trial.h"

#include <metamer/demand.h>
#include <metamer/white.h>

#include <glpk.h>

/* S1 on circuit C1, states everything; S2 states nothing. */
static mtm_rig *make(void)
{
    return trial_rig_of(
        "'circuits': [{'name': 'C1', 'rated_a': 10, 'voltage_v': 200}, "
        "{'name': 'C2', 'rated_a': 16}], "
        "'supplies': [{'name': 'S1', 'ports': 6, 'port_w': 100, 'total_w': 250, "
        "'circuit': 'C1', 'efficiency': 0.8, 'power_factor': 0.5}, "
        "{'name': 'S2', 'ports': 6, 'port_w': 100, 'total_w': 300, 'circuit': 'C2'}], "
        "'units': ["
        "{'name': 'a', 'fixture': 'tunable-white.json', 'mode': '16-bit', 'supply': 'S1', "
        "'port': 1}, "
        "{'name': 'b', 'fixture': 'tunable-white.json', 'mode': '16-bit', 'supply': 'S1', "
        "'port': 1}, "
        "{'name': 'c', 'fixture': 'tunable-white.json', 'mode': '16-bit', 'supply': 'S1', "
        "'port': 3}, "
        "{'name': 'd', 'fixture': 'tunable-white.json', 'mode': '16-bit', 'supply': 'S2'}, "
        "{'name': 'e', 'fixture': 'tunable-white.json', 'mode': '16-bit'}]");
}

static mtm_demand *sum(const mtm_rig *rig, const double *watts, const mtm_demand_options *options)
{
    mtm_demand *demand = NULL;
    mtm_error error = {""};

    if (mtm_demand_create(rig, watts, options, &demand, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return demand;
}

static void check_row(const mtm_demand *demand, size_t index, mtm_demand_type type, int port,
                      size_t units, double watts, bool over)
{
    const mtm_demand_row *row = mtm_demand_row_at(demand, index);

    assert_int_equal(row->type, type);
    assert_int_equal(row->port, port);
    assert_int_equal(row->units, units);
    CHECK_NEAR("watts", row->watts, watts, 1e-9);
    assert_int_equal(row->over, over);
}

static void test_sums(void **state)
{
    mtm_rig *rig = make();
    const double watts[5] = {60, 50, 40, 30, 20};
    mtm_demand *demand = sum(rig, watts, NULL);

    (void)state;
    assert_int_equal(mtm_demand_row_count(demand), 6);
    check_row(demand, 0, MTM_DEMAND_PORT, 1, 2, 110, true); /* 60 + 50 on 100 W */
    check_row(demand, 1, MTM_DEMAND_PORT, 3, 1, 40, false);
    check_row(demand, 2, MTM_DEMAND_SUPPLY, 0, 3, 150, false);
    check_row(demand, 3, MTM_DEMAND_SUPPLY, 0, 1, 30, false);
    check_row(demand, 4, MTM_DEMAND_CIRCUIT, 0, 3, 150 / 0.8, false);
    check_row(demand, 5, MTM_DEMAND_CIRCUIT, 0, 1, 30 / MTM_DEMAND_EFFICIENCY, false);
    assert_int_equal(mtm_demand_over_count(demand), 1);
    /* I = P / (V cos phi): 187.5 W / (200 V * 0.5) */
    CHECK_NEAR("amperes of S1", mtm_demand_row_at(demand, 2)->amperes, 1.875, 1e-12);
    CHECK_NEAR("amperes of C1", mtm_demand_row_at(demand, 4)->amperes, 1.875, 1e-12);
    CHECK_NEAR("part of C1", mtm_demand_row_at(demand, 4)->part, 0.1875, 1e-12);
    CHECK_NEAR("voltage unknown", mtm_demand_row_at(demand, 5)->amperes, 0, 0);
    mtm_demand_free(demand);
    mtm_demand_free(NULL);
    mtm_rig_free(rig);
}

static void test_stated(void **state)
{
    mtm_rig *rig = make();
    const double watts[5] = {60, 40, 100, 230, 0};
    mtm_demand_options options = {.voltage_v = 230,
                                  .power_factor = 1,
                                  .efficiency = 1,
                                  .circuit_share = 0.3,
                                  .supply_share = 0.8};
    mtm_demand *demand = sum(rig, watts, &options);

    (void)state;
    CHECK_NEAR("amperes of C2", mtm_demand_row_at(demand, 5)->amperes, 1,
               1e-12);                                          /* 230 W at 230 V */
    check_row(demand, 0, MTM_DEMAND_PORT, 1, 2, 100, true);     /* 100 W of 80 % of 100 W */
    check_row(demand, 2, MTM_DEMAND_SUPPLY, 0, 3, 200, false);  /* exactly 80 % of 250 W */
    check_row(demand, 4, MTM_DEMAND_CIRCUIT, 0, 3, 250, false); /* 2.5 A of 30 % of 10 A */
    mtm_demand_free(demand);
    options.circuit_share = 0.2;
    demand = sum(rig, watts, &options);
    assert_true(mtm_demand_row_at(demand, 4)->over);
    mtm_demand_free(demand);
    mtm_rig_free(rig);
}

static void test_fuller(void **state)
{
    mtm_rig *rig = make();
    const double first[5] = {60, 50, 10, 0, 0};
    const double second[5] = {10, 10, 90, 0, 0};
    mtm_demand *demand = sum(rig, first, NULL);
    mtm_demand *other = sum(rig, second, NULL);

    (void)state;
    mtm_demand_take_fuller(demand, other);
    check_row(demand, 0, MTM_DEMAND_PORT, 1, 2, 110, true);
    check_row(demand, 1, MTM_DEMAND_PORT, 3, 1, 90, false);
    check_row(demand, 2, MTM_DEMAND_SUPPLY, 0, 3, 120, false);
    assert_int_equal(mtm_demand_over_count(demand), 1);
    mtm_demand_take_fuller(other, demand);
    assert_int_equal(mtm_demand_over_count(other), 1);
    mtm_demand_free(other);
    mtm_demand_free(demand);
    mtm_rig_free(rig);
}

static void test_unit_watts(void **state)
{
    mtm_rig *rig = make();
    const mtm_unit *unit = mtm_rig_unit(rig, 0);
    const mtm_emitter *first = mtm_fixture_emitter(unit->fixture, 0);
    const mtm_emitter *second = mtm_fixture_emitter(unit->fixture, 1);
    double level[2] = {0.5, 0.25};
    double white[5];
    mtm_xy xy;
    mtm_error error = {""};

    (void)state;
    double all = first->watts + second->watts;
    CHECK_NEAR("full", mtm_demand_full_w(unit), fmin(all, mtm_fixture_power_limit_w(unit->fixture)),
               1e-12);
    CHECK_NEAR("levels", mtm_demand_level_w(unit, level), 0.5 * first->watts + 0.25 * second->watts,
               1e-12);
    assert_int_equal(mtm_planck_xy(4000, MTM_OBSERVER_2, &xy, &error), MTM_OK);
    assert_int_equal(mtm_demand_white_w(rig, xy, white, &error), MTM_OK);
    for (size_t i = 0; i < 5; i++) {
        assert_true(white[i] > 0 && white[i] <= mtm_demand_full_w(unit) * (1 + 1e-9));
        CHECK_NEAR("alike", white[i], white[0], 0);
    }
    mtm_rig_free(rig);
}

static void test_bad(void **state)
{
    mtm_rig *rig = make();
    double watts[5] = {60, 40, -1, 0, 0};
    double factor[5] = {9, 9, 9, 9, 9};
    mtm_demand_options options = {.power_factor = 1.1};
    mtm_demand *demand = NULL;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_demand_create(rig, watts, NULL, &demand, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "unit \"c\" takes -1 W");
    assert_int_equal(mtm_demand_factors(rig, watts, NULL, factor, &error), MTM_INVALID);
    watts[2] = NAN;
    assert_int_equal(mtm_demand_create(rig, watts, NULL, &demand, &error), MTM_INVALID);
    assert_int_equal(mtm_demand_factors(rig, watts, NULL, factor, &error), MTM_INVALID);
    watts[2] = 0;
    assert_int_equal(mtm_demand_create(rig, watts, &options, &demand, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "power factor 1.1");
    options = (mtm_demand_options){.voltage_v = -230};
    assert_int_equal(mtm_demand_create(rig, watts, &options, &demand, &error), MTM_INVALID);
    options = (mtm_demand_options){.supply_share = 1.5};
    assert_int_equal(mtm_demand_factors(rig, watts, &options, factor, &error), MTM_INVALID);
    assert_int_equal(mtm_demand_factors(NULL, watts, NULL, factor, &error), MTM_INVALID);
    assert_null(demand);
    CHECK_NEAR("untouched", factor[0], 9, 0);
    mtm_rig_free(rig);
}

static void test_factors_by_hand(void **state)
{
    mtm_rig *rig = make();
    double factor[5];
    mtm_error error = {""};

    (void)state;
    const double watts[5] = {50, 50, 100, 100, 500};
    assert_int_equal(mtm_demand_factors(rig, watts, NULL, factor, &error), MTM_OK);
    for (size_t i = 0; i < 5; i++)
        CHECK_NEAR("within the ratings", factor[i], 1, 0);

    const double port[5] = {150, 50, 40, 100, 500};
    assert_int_equal(mtm_demand_factors(rig, port, NULL, factor, &error), MTM_OK);
    CHECK_NEAR("a", factor[0], 0.5, 1e-12); /* 200 W on 100 W */
    CHECK_NEAR("b", factor[1], 0.5, 1e-12);
    CHECK_NEAR("c", factor[2], 1, 1e-12);

    const mtm_demand_options half = {.supply_share = 0.5}; /* 50 W a port, 125 W and 150 W in all */
    const double both[5] = {100, 100, 100, 300, 500};
    assert_int_equal(mtm_demand_factors(rig, both, &half, factor, &error), MTM_OK);
    CHECK_NEAR("a", factor[0], 0.25, 1e-12);
    CHECK_NEAR("c", factor[2], 0.5, 1e-12); /* 50 + 50 W is within 125 W */
    CHECK_NEAR("d", factor[3], 0.5, 1e-12); /* no port yet: the supply's 150 W */
    CHECK_NEAR("e", factor[4], 1, 0);       /* no supply */

    const bool together[5] = {false, true, true, false, true};
    mtm_demand_join_factors(together, 5, factor);
    CHECK_NEAR("joined b", factor[1], 0.25, 1e-12);
    CHECK_NEAR("joined c", factor[2], 0.25, 1e-12);
    CHECK_NEAR("joined e", factor[4], 0.25, 1e-12);
    CHECK_NEAR("apart", factor[3], 0.5, 1e-12);
    mtm_rig_free(rig);
}

enum { PORTS = 4, UNITS = 7 };

/* One supply of four ports with random ratings; unit i hangs on port i % 4. */
static mtm_rig *random_rig(struct random *random)
{
    const struct trial_supply supply = {"S", PORTS, random_between(random, 30, 120),
                                        random_between(random, 60, 300)};
    struct trial_unit units[UNITS];
    char name[UNITS][8];

    for (int i = 0; i < UNITS; i++) {
        (void)snprintf(name[i], sizeof name[i], "u%d", i);
        units[i] = (struct trial_unit){name[i], "tunable-white.json", "16-bit", .supply = "S",
                                       .port = i % PORTS + 1};
    }
    return trial_rig_on(&supply, 1, units, UNITS);
}

/* GLPK: the largest smallest factor (columns 1..units: factors, the last: the smallest), then the
 * most watts of all where that is kept. */
static void glpk_factors(const mtm_supply *supply, const double *watts, double *smallest,
                         double *most_w)
{
    glp_prob *lp = glp_create_prob();
    int rows[UNITS + 2];
    double values[UNITS + 2];

    glp_term_out(GLP_OFF);
    glp_set_obj_dir(lp, GLP_MAX);
    glp_add_cols(lp, UNITS + 1);
    glp_add_rows(lp, PORTS + 1 + UNITS);
    for (int i = 1; i <= UNITS; i++)
        glp_set_col_bnds(lp, i, GLP_DB, 0, 1);
    glp_set_col_bnds(lp, UNITS + 1, GLP_DB, 0, 1);
    glp_set_obj_coef(lp, UNITS + 1, 1);
    for (int p = 0; p <= PORTS; p++) { /* row PORTS + 1: the supply */
        int count = 0;
        for (int i = 0; i < UNITS; i++) {
            if (p < PORTS && i % PORTS != p)
                continue;
            rows[++count] = i + 1;
            values[count] = watts[i];
        }
        glp_set_row_bnds(lp, p + 1, GLP_UP, 0, p < PORTS ? supply->port_w : supply->total_w);
        glp_set_mat_row(lp, p + 1, count, rows, values);
    }
    for (int i = 1; i <= UNITS; i++) { /* factor i >= the smallest */
        int columns[3] = {0, i, UNITS + 1};
        double signs[3] = {0, 1, -1};
        glp_set_row_bnds(lp, PORTS + 1 + i, GLP_LO, 0, 0);
        glp_set_mat_row(lp, PORTS + 1 + i, 2, columns, signs);
    }
    assert_int_equal(glp_simplex(lp, NULL), 0);
    *smallest = glp_get_obj_val(lp);
    glp_set_col_bnds(lp, UNITS + 1, GLP_FX, *smallest * (1 - 1e-12), 0);
    glp_set_obj_coef(lp, UNITS + 1, 0);
    for (int i = 1; i <= UNITS; i++)
        glp_set_obj_coef(lp, i, watts[i - 1]);
    assert_int_equal(glp_simplex(lp, NULL), 0);
    *most_w = glp_get_obj_val(lp);
    glp_delete_prob(lp);
}

static void test_factors_are_largest(void **state)
{
    struct random random = {2};

    (void)state;
    for (int round = 0; round < 100; round++) {
        mtm_rig *rig = random_rig(&random);
        double watts[UNITS];
        double factor[UNITS];
        double smallest = 0;
        double most_w = 0;
        double used = 0;
        double least = 1;
        mtm_error error = {""};
        for (int i = 0; i < UNITS; i++)
            watts[i] = random_between(&random, 5, 90);
        assert_int_equal(mtm_demand_factors(rig, watts, NULL, factor, &error), MTM_OK);
        glpk_factors(mtm_rig_supply(rig, 0), watts, &smallest, &most_w);
        for (int i = 0; i < UNITS; i++) {
            used += watts[i] * factor[i];
            least = fmin(least, factor[i]);
            watts[i] *= factor[i];
        }
        CHECK_NEAR("smallest factor", least, smallest, 1e-9);
        CHECK_NEAR("watts used", used, most_w, 1e-6);
        mtm_demand *demand = sum(rig, watts, NULL);
        assert_int_equal(mtm_demand_over_count(demand), 0);
        mtm_demand_free(demand);
        mtm_rig_free(rig);
    }
}

/* Two units that take 5 W each beside 30 W of light at most, one of them on no supply; the supply
 * takes 7 W of the mains at any load. */
static mtm_rig *standing_by(void)
{
    return trial_rig_of("'circuits': [{'name': 'C1', 'rated_a': 1, 'voltage_v': 100}], "
                        "'supplies': [{'name': 'S1', 'ports': 2, 'port_w': 30, 'total_w': 60, "
                        "'circuit': 'C1', 'efficiency': 0.5, 'power_factor': 0.5, "
                        "'standby_w': 7}], "
                        "'units': [{'name': 'a', 'fixture': 'tests/data/plain/standby.json', "
                        "'mode': '8-bit', 'supply': 'S1', 'port': 1}, "
                        "{'name': 'b', 'fixture': 'tests/data/plain/standby.json', "
                        "'mode': '8-bit'}]");
}

/* Sums by hand; S = P / cos phi, I = S / V. */
static void test_standby(void **state)
{
    mtm_rig *rig = standing_by();
    const double dark[2] = {0, 0};
    const double full[2] = {30, 30};
    const mtm_demand_options options = {.efficiency = 0.8, .power_factor = 0.8};
    mtm_demand *demand = sum(rig, dark, &options);

    (void)state;
    CHECK_NEAR("full, with standby", mtm_demand_full_w(mtm_rig_unit(rig, 0)), 35, 1e-12);
    check_row(demand, 0, MTM_DEMAND_PORT, 1, 1, 5, false);
    CHECK_NEAR("drawn", mtm_demand_row_at(demand, 1)->drawn_w, 5 / 0.5 + 7, 1e-12);
    CHECK_NEAR("VA", mtm_demand_row_at(demand, 1)->drawn_va, 17 / 0.5, 1e-12);
    CHECK_NEAR("VA of C1", mtm_demand_row_at(demand, 2)->drawn_va, 34, 1e-12);
    CHECK_NEAR("A of C1", mtm_demand_row_at(demand, 2)->amperes, 0.34, 1e-12);
    CHECK_NEAR("all", mtm_demand_whole(demand).watts, 10, 1e-12);
    CHECK_NEAR("all drawn", mtm_demand_whole(demand).drawn_w, 17 + 5 / 0.8, 1e-12);
    CHECK_NEAR("all VA", mtm_demand_whole(demand).drawn_va, 34 + 5 / 0.8 / 0.8, 1e-12);
    mtm_demand *lit = sum(rig, full, &options);
    check_row(lit, 0, MTM_DEMAND_PORT, 1, 1, 35, true); /* on 30 W */
    assert_true(mtm_demand_row_at(lit, 2)->over);       /* 1.54 A on 0.8 A */
    mtm_demand_take_fuller(demand, lit);
    CHECK_NEAR("the fuller whole", mtm_demand_whole(demand).watts, 70, 1e-12);
    mtm_demand_free(lit);
    mtm_demand_free(demand);
    mtm_rig_free(rig);
}

/* What a unit takes beside its light is no factor's to lower: 30 W of the port leave 25 for it. */
static void test_factors_leave_standby(void **state)
{
    mtm_rig *rig = standing_by();
    double watts[2] = {30, 30};
    double factor[2];

    (void)state;
    assert_int_equal(mtm_demand_factors(rig, watts, NULL, factor, NULL), MTM_OK);
    CHECK_NEAR("a", factor[0], 25.0 / 30, 1e-12);
    CHECK_NEAR("b", factor[1], 1, 0);
    watts[0] *= factor[0];
    mtm_demand *demand = sum(rig, watts, NULL);
    assert_false(mtm_demand_row_at(demand, 0)->over);
    mtm_demand_free(demand);
    mtm_rig_free(rig);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_sums),
        cmocka_unit_test(test_stated),
        cmocka_unit_test(test_fuller),
        cmocka_unit_test(test_unit_watts),
        cmocka_unit_test(test_bad),
        cmocka_unit_test(test_factors_by_hand),
        cmocka_unit_test(test_factors_are_largest),
        cmocka_unit_test(test_standby),
        cmocka_unit_test(test_factors_leave_standby),
    };

    return cmocka_run_group_tests_name("load", tests, NULL, NULL);
}
