/* SPDX-License-Identifier: MIT */
/* Look-up tables: for every kind of curve, of 8, 16 and 24 bits, what the curve itself says; the
 * codes about a level enclose it; and a table is the inverse of itself. */
#include "support/check.h"
#include "support/random.h"

#include "unit/channels.h"

/* The curves: all that have a name, powers, and tables as meters give them. */
static const double dead_code[] = {0, 0.08, 0.3, 1}, dead_level[] = {0, 0, 0.1, 1};
static const double flat_code[] = {0, 0.2, 0.6, 1}, flat_level[] = {0, 0.25, 0.25, 1};
static const double weak_code[] = {0, 0.5, 0.9, 1}, weak_level[] = {0, 0.3, 0.8, 0.8};
static const double glow_code[] = {0, 1}, glow_level[] = {0.02, 1};
static const double steep_code[] = {0, 0.001, 1}, steep_level[] = {0, 0.9, 1};

static const struct measured {
    const double *code, *level;
    size_t count;
} measured[] = {
    {dead_code, dead_level, COUNT(dead_code)},    {flat_code, flat_level, COUNT(flat_code)},
    {weak_code, weak_level, COUNT(weak_code)},    {glow_code, glow_level, COUNT(glow_code)},
    {steep_code, steep_level, COUNT(steep_code)},
};

static const double exponents[] = {0.3, 1, 2.2, 5};

/* Calls check for every curve and resolution. */
static void for_each(void (*check)(const mtm_curve *curve, int bits))
{
    mtm_curve *curve = NULL;

    for (int bits = 8; bits <= 24; bits += 8) {
        for (size_t i = 0; i < mtm_curve_type_count(); i++) {
            assert_int_equal(mtm_curve_create_named(mtm_curve_type_at(i)->name, &curve, NULL),
                             MTM_OK);
            check(curve, bits);
            mtm_curve_free(curve);
        }
        for (size_t i = 0; i < COUNT(exponents); i++) {
            assert_int_equal(mtm_curve_create_power(exponents[i], &curve, NULL), MTM_OK);
            check(curve, bits);
            mtm_curve_free(curve);
        }
        for (size_t i = 0; i < COUNT(measured); i++) {
            const struct measured *m = &measured[i];
            assert_int_equal(mtm_curve_create_table(m->code, m->level, m->count, &curve, NULL),
                             MTM_OK);
            check(curve, bits);
            mtm_curve_free(curve);
        }
    }
}

/* 8 bits: all codes; of more some thousand, and those at the ends. */
static unsigned next_code(unsigned code, unsigned top)
{
    unsigned stride = top > 65535 ? 9001 : 37;

    return top == 255 || code < 40 || code + stride >= top ? code + 1 : code + stride;
}

static void check_inverse(const mtm_curve *curve, int bits)
{
    struct mtmi_level_cache cache = {NULL};
    struct mtmi_table table = {0};
    double before = -1;

    assert_int_equal(mtmi_table_create(&cache, curve, bits, NULL, &table, NULL), MTM_OK);
    assert_int_equal(table.top, (1u << bits) - 1);
    for (unsigned code = 0; code <= table.top; code = next_code(code, table.top)) {
        double level = mtmi_table_level(&table, code);
        assert_true(level == mtm_curve_level(curve, code / (double)table.top));
        assert_true(level >= before);
        before = level;
        struct mtmi_bracket b = mtmi_table_bracket(&table, level, MTMI_SAME_LEVEL);
        assert_int_equal(b.code[0], b.code[1]);
        assert_true(b.code[0] <= code);
        CHECK_NEAR(mtm_curve_type_name(curve), b.level[0], level, MTMI_SAME_LEVEL);
        CHECK_NEAR("its level", mtmi_table_level(&table, b.code[0]), level, MTMI_SAME_LEVEL);
        if (b.code[0] > 0) /* the lowest that gives as much */
            assert_true(mtmi_table_level(&table, b.code[0] - 1u) < level);
    }
    assert_true(table.top_level == before);
    mtmi_table_free(&table);
    mtmi_level_cache_free(&cache);
}

static void check_bracket(const mtm_curve *curve, int bits)
{
    struct random random = {31}; /* the seed */
    struct mtmi_level_cache cache = {NULL};
    struct mtmi_table table = {0};

    assert_int_equal(mtmi_table_create(&cache, curve, bits, NULL, &table, NULL), MTM_OK);
    double least = mtmi_table_level(&table, 0);
    for (int i = 0; i < 2000; i++) {
        double level = random_between(&random, 0, 1);
        level = i % 2 == 0 ? level : level * level * level * level; /* many near the dark */
        struct mtmi_bracket b = mtmi_table_bracket(&table, level, MTMI_SAME_LEVEL);
        for (size_t k = 0; k < 2; k++)
            assert_true(mtmi_table_level(&table, b.code[k]) == b.level[k]);
        if (level <= least || level >= table.top_level) {
            assert_int_equal(b.code[0], b.code[1]);
            assert_true(b.level[0] == (level <= least ? least : table.top_level));
        } else if (b.code[0] == b.code[1]) {
            CHECK_NEAR("a code's own", b.level[0], level, MTMI_SAME_LEVEL);
        } else {
            assert_true(b.level[0] < level && level < b.level[1]);
            /* nothing lies between but codes of the lower level */
            assert_true(mtmi_table_level(&table, b.code[1] - 1u) == b.level[0]);
        }
    }
    mtmi_table_free(&table);
    mtmi_level_cache_free(&cache);
}

/* Places between codes: the inverse of their levels, but where nothing changes; and never out of
 * the codes about the level. */
static void check_places(const mtm_curve *curve, int bits)
{
    struct random random = {33}; /* the seed */
    struct mtmi_level_cache cache = {NULL};
    struct mtmi_table table = {0};

    assert_int_equal(mtmi_table_create(&cache, curve, bits, NULL, &table, NULL), MTM_OK);
    double least = mtmi_table_level(&table, 0);
    for (int i = 0; i < 2000; i++) {
        double level = least + (table.top_level - least) * random_between(&random, 0, 1);
        struct mtmi_bracket b = mtmi_table_bracket(&table, level, MTMI_SAME_LEVEL);
        double place = mtmi_table_code_at(&table, level);
        CHECK_NEAR(mtm_curve_type_name(curve), mtmi_table_level_at(&table, place), level, 1e-9);
        double slack = bits > 16 ? 1e-4 : 1e-6; /* of a code: rounding, of 24 bits */
        assert_true(place >= b.code[0] - slack && place <= b.code[1] + slack);
    }
    for (unsigned code = 0; code <= table.top; code = next_code(code, table.top))
        CHECK_NEAR("whole", mtmi_table_level_at(&table, code), mtmi_table_level(&table, code), 0);
    CHECK_NEAR("below", mtmi_table_code_at(&table, -1), 0, 0);
    CHECK_NEAR("above", mtmi_table_level_at(&table, mtmi_table_code_at(&table, 2)), table.top_level,
               1e-12);
    mtmi_table_free(&table);
    mtmi_level_cache_free(&cache);
}

static void test_places(void **state)
{
    (void)state;
    for_each(check_places);
}

static void test_inverse(void **state)
{
    (void)state;
    for_each(check_inverse);
}

static void test_bracket(void **state)
{
    (void)state;
    for_each(check_bracket);
}

/* Tables of one curve share their levels, those of two do not. */
static void test_cache(void **state)
{
    struct mtmi_level_cache cache = {NULL};
    struct mtmi_table a = {0}, b = {0}, c = {0};
    mtm_curve *square = NULL, *same = NULL, *other = NULL;

    (void)state;
    assert_int_equal(mtm_curve_create_power(3, &square, NULL), MTM_OK);
    assert_int_equal(mtm_curve_create_power(3, &same, NULL), MTM_OK);
    assert_int_equal(mtm_curve_create_power(3.5, &other, NULL), MTM_OK);
    assert_int_equal(mtmi_table_create(&cache, square, 8, NULL, &a, NULL), MTM_OK);
    assert_int_equal(mtmi_table_create(&cache, same, 8, NULL, &b, NULL), MTM_OK);
    assert_int_equal(mtmi_table_create(&cache, other, 8, NULL, &c, NULL), MTM_OK);
    assert_ptr_equal(a.levels, b.levels);
    assert_ptr_not_equal(a.levels, c.levels);
    mtmi_level_cache_free(&cache);
    mtm_curve_free(square);
    mtm_curve_free(same);
    mtm_curve_free(other);
}

static const struct mode {
    const char *fixture;
    const char *name;
    int bits, dimmer_bits;
} modes[] = {
    {"five-colour-wash.json", "8-bit", 8, 8},
    {"five-colour-wash.json", "16-bit", 16, 16},
    {"three-colour-strip.json", "8-bit", 8, 0},
    {"three-colour-strip.json", "16-bit", 16, 0},
};

/* What codes give is, by emitter, its curve's level times the dimmer's. */
static void test_channels(void **state)
{
    struct random random = {32}; /* the seed */

    (void)state;
    for (size_t m = 0; m < COUNT(modes); m++) {
        char path[1000];
        mtm_fixture *fixture = NULL;
        struct mtmi_channels channels = {0};
        const mtm_mode *mode = NULL;

        (void)snprintf(path, sizeof path, "%s/%s", getenv("METAMER_PROFILES"), modes[m].fixture);
        assert_int_equal(mtm_fixture_load(path, &fixture, NULL), MTM_OK);
        for (size_t i = 0; i < mtm_fixture_mode_count(fixture); i++) {
            if (strcmp(mtm_fixture_mode(fixture, i)->name, modes[m].name) == 0)
                mode = mtm_fixture_mode(fixture, i);
        }
        assert_non_null(mode);
        assert_int_equal(mode->dimmer_bits, modes[m].dimmer_bits);
        assert_int_equal(mtmi_channels_create(&channels, fixture, mode, NULL, NULL), MTM_OK);
        for (int round = 0; round < 200; round++) {
            double level[MTM_EMITTERS_MAX];
            mtm_codes codes = {0};
            double dimmer = 1;

            if (mode->dimmer_bits > 0) {
                codes.dimmer = (uint32_t)random_index(&random, 1u << mode->dimmer_bits);
                dimmer = mtm_curve_level(mtm_fixture_dimmer_curve(fixture),
                                         codes.dimmer / (double)((1 << mode->dimmer_bits) - 1));
            }
            for (size_t k = 0; k < channels.count; k++)
                codes.emitter[k] = (uint32_t)random_index(&random, 1u << modes[m].bits);
            mtmi_channels_levels(&channels, &codes, level);
            for (size_t k = 0; k < MTM_EMITTERS_MAX; k++) {
                double wanted = 0;
                if (k < channels.count)
                    wanted = dimmer *
                             mtm_curve_level(mtm_fixture_emitter(fixture, k)->curve,
                                             codes.emitter[k] / (double)((1 << modes[m].bits) - 1));
                CHECK_NEAR(modes[m].fixture, level[k], wanted, 1e-15);
            }
        }
        mtmi_channels_free(&channels);
        mtm_fixture_free(fixture);
    }
}

/* Codes that are left alone: never in a bracket, light as that of the code below them, full light
 * below those that reach the top; codes that may be sent are those of the light itself. */
static void check_gaps(const mtm_curve *curve, int bits)
{
    struct random random = {37}; /* the seed */
    const unsigned most = (1u << bits) - 1;

    for (int round = 0; round < 20; round++) {
        struct mtmi_level_cache cache = {NULL};
        struct mtmi_table table = {0};
        struct mtmi_gaps gaps = {.count = 2};
        unsigned first = 1 + (unsigned)random_index(&random, most / 2);
        unsigned top = most - (unsigned)random_index(&random, most / 8);

        gaps.range[0].first = first;
        gaps.range[0].last = first + (unsigned)random_index(&random, most / 8);
        gaps.range[1].first = top + 1;
        gaps.range[1].last = most;
        gaps.count = top == most ? 1 : 2;
        assert_int_equal(mtmi_table_create(&cache, curve, bits, &gaps, &table, NULL), MTM_OK);
        assert_true(table.top == top);
        for (unsigned code = 0; code <= top; code = next_code(code, most)) {
            bool alone = code >= first && code <= gaps.range[0].last;
            double wanted = mtm_curve_level(curve, (alone ? first - 1 : code) / (double)top);
            assert_true(mtmi_table_level(&table, code) == wanted);
            assert_int_equal(mtmi_table_allows(&table, code), !alone);
            assert_true(mtmi_table_allows(&table, mtmi_table_allowed(&table, code)));
        }
        assert_true(mtmi_table_level(&table, most) == mtm_curve_level(curve, 1));
        for (int i = 0; i < 300; i++) {
            double level = random_between(&random, 0, 1);
            struct mtmi_bracket b = mtmi_table_bracket(&table, level, MTMI_SAME_LEVEL);
            for (size_t k = 0; k < 2; k++) {
                assert_true(mtmi_table_allows(&table, b.code[k]));
                assert_true(mtmi_table_level(&table, b.code[k]) == b.level[k]);
            }
            if (b.code[0] != b.code[1])
                assert_true(b.level[0] < level && level < b.level[1]);
        }
        mtmi_table_free(&table);
        mtmi_level_cache_free(&cache);
    }
}

static void test_gaps(void **state)
{
    (void)state;
    for_each(check_gaps);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_inverse),  cmocka_unit_test(test_bracket),
        cmocka_unit_test(test_places),   cmocka_unit_test(test_cache),
        cmocka_unit_test(test_channels), cmocka_unit_test(test_gaps),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
