/* SPDX-License-Identifier: MIT */
/* Rounding against exhaustive search through every set of codes within reach, and codes to slots
 * and back. The weights (one step: 0.0011 in u', v' as in ANSI C78.377; 2 % of output: common
 * practice, no source) are written here again. */
#include "random_fixture.h"

#include <metamer/codes.h>

/* A fixture, its coder and random levels. */
struct scene {
    mtm_fixture *fixture;
    const mtm_mode *mode;
    mtm_coder *coder;
    size_t count;
    double level[MTM_EMITTERS_MAX];
};

static void open_scene(struct scene *scene, struct random *random, size_t count, int bits,
                       int dimmer_bits)
{
    memset(scene, 0, sizeof *scene);
    scene->count = count;
    scene->fixture = random_fixture(random, count, bits, dimmer_bits);
    scene->mode = mtm_fixture_find_mode(scene->fixture, "m");
    assert_non_null(scene->mode);
    assert_int_equal(
        mtm_coder_create(scene->fixture, scene->mode, MTM_OBSERVER_2, &scene->coder, NULL), MTM_OK);
}

static void close_scene(struct scene *scene)
{
    mtm_coder_free(scene->coder);
    mtm_fixture_free(scene->fixture);
}

/* Dim as often as bright; some emitters off or full, as in an optimum. */
static void random_levels(struct scene *scene, struct random *random)
{
    double scale = exp(random_between(random, -5, 0));

    for (size_t k = 0; k < scene->count; k++) {
        size_t type = random_index(random, 4);
        scene->level[k] = scale * (type == 0 ? 0 : type == 1 ? 1 : random_between(random, 0, 1));
    }
    scene->level[random_index(random, scene->count)] = scale;
}

static mtm_xyz light(const struct scene *scene, const double *level)
{
    mtm_xyz sum = {0, 0, 0};

    for (size_t k = 0; k < scene->count; k++) {
        mtm_xyz xyz = mtm_fixture_emitter(scene->fixture, k)->xyz[MTM_OBSERVER_2];
        sum.x += level[k] * xyz.x;
        sum.y += level[k] * xyz.y;
        sum.z += level[k] * xyz.z;
    }
    return sum;
}

static double cost(const struct scene *scene, const double *level)
{
    mtm_xyz got = light(scene, level), wanted = light(scene, scene->level);
    double output = (got.y - wanted.y) / wanted.y / 0.02;
    double uv = got.y > 0 ? mtm_uv_distance(mtm_uv_from_xyz(got), mtm_uv_from_xyz(wanted)) : 0;

    return output * output + uv * uv / (0.0011 * 0.0011);
}

static double code_cost(const struct scene *scene, const mtm_codes *codes)
{
    double level[MTM_EMITTERS_MAX];

    mtm_coder_levels(scene->coder, codes, level);
    return cost(scene, level);
}

/* The 8-bit codes of an emitter that are to be looked at, and the nearest. */
struct within {
    double level[256]; /* of each code */
    int least, most, nearest;
};

/* How many codes beyond those about the level, by the number of emitters that are neither dark nor
 * at their top: as codes.h says. */
static const int reaches[] = {0, 8, 8, 8, 3, 3, 1, 1, 1, 0, 0, 0, 0, 0, 0, 0, 0};

static bool is_settled(const struct within *within, double level)
{
    return level <= within->level[0] || level >= within->level[255];
}

/* By search through all codes. Of codes that give the same level only the lowest counts. */
static void find_within(const struct scene *scene, struct within *within)
{
    size_t open = 0;

    for (size_t k = 0; k < scene->count; k++) {
        const mtm_curve *curve = mtm_fixture_emitter(scene->fixture, k)->curve;
        struct within *one = &within[k];
        one->least = one->nearest = 0;
        one->most = 255;
        for (int c = 0; c < 256; c++)
            one->level[c] = mtm_curve_level(curve, c / 255.0);
        for (int c = 0; c < 256; c++) {
            if (one->level[c] <= scene->level[k] && one->level[c] > one->level[one->least])
                one->least = c;
            if (one->level[255 - c] >= scene->level[k])
                one->most = 255 - c;
            if (fabs(one->level[c] - scene->level[k]) <
                fabs(one->level[one->nearest] - scene->level[k]))
                one->nearest = c;
        }
        open += !is_settled(one, scene->level[k]);
    }
    for (size_t k = 0; k < scene->count; k++) {
        struct within *one = &within[k];
        if (is_settled(one, scene->level[k]))
            continue;
        for (int n = 0; n < reaches[open] && one->least > 0; n++) {
            one->least--;
            while (one->least > 0 && one->level[one->least - 1] == one->level[one->least])
                one->least--;
        }
        one->most = one->most + reaches[open] < 255 ? one->most + reaches[open] : 255;
    }
}

/* The least cost of all sets within, and how many have it to 1e-9. */
static double exhaust(const struct scene *scene, const struct within *within, size_t k,
                      double level[MTM_EMITTERS_MAX])
{
    double best = INFINITY;

    if (k == scene->count)
        return cost(scene, level);
    for (int c = within[k].least; c <= within[k].most; c++) {
        level[k] = within[k].level[c];
        best = fmin(best, exhaust(scene, within, k + 1, level));
    }
    return best;
}

static void check_against_all(const struct scene *scene)
{
    struct within within[MTM_EMITTERS_MAX];
    double level[MTM_EMITTERS_MAX];
    mtm_codes codes, alone = {.dimmer = 0};

    find_within(scene, within);
    for (size_t k = 0; k < scene->count; k++)
        alone.emitter[k] = (uint32_t)within[k].nearest;
    double best = exhaust(scene, within, 0, level);
    mtm_coder_round(scene->coder, scene->level, &codes);
    CHECK_NEAR("cost", code_cost(scene, &codes), best, 1e-8 * (1 + best));
    assert_true(code_cost(scene, &codes) <= code_cost(scene, &alone) * (1 + 1e-8) + 1e-8);
}

/* Levels as of a mixture at an output: those of one at full, scaled. */
static void mixture_levels(struct scene *scene, struct random *random, size_t lit, double output)
{
    for (size_t k = 0; k < scene->count; k++)
        scene->level[k] = k < lit ? output * random_between(random, 0, 1) : 0;
    scene->level[random_index(random, lit)] = output;
}

static void test_exhaustive(void **state)
{
    static const struct {
        size_t count;
        int fixtures, mixtures;
        double least, most; /* output */
    } rows[] = {
        {2, 12, 20, 0.003, 0.1}, {2, 6, 20, 0.1, 1}, {3, 30, 10, 0.003, 0.1}, {3, 12, 5, 0.1, 1},
        {4, 12, 4, 0.003, 0.1},  {4, 6, 3, 0.1, 1},  {5, 6, 2, 0.003, 0.1},   {5, 3, 1, 0.1, 1},
        {6, 6, 4, 0.003, 1},     {7, 2, 2, 0.01, 1}, {8, 3, 2, 0.01, 1},      {9, 4, 4, 0.01, 1},
        {10, 4, 4, 0.01, 1},
    };
    struct random random = {11};

    (void)state;
    for (size_t r = 0; r < COUNT(rows); r++) {
        for (int i = 0; i < rows[r].fixtures; i++) {
            struct scene scene;
            open_scene(&scene, &random, rows[r].count, 8, 0);
            for (int j = 0; j < rows[r].mixtures; j++) {
                double output = exp(random_between(&random, log(rows[r].least), log(rows[r].most)));
                mixture_levels(&scene, &random, rows[r].count, output);
                check_against_all(&scene);
            }
            close_scene(&scene);
        }
    }
}

/* Some emitters dark or full, as in an optimum. */
static void test_optima(void **state)
{
    struct random random = {12};

    (void)state;
    for (int i = 0; i < 60; i++) {
        struct scene scene;
        open_scene(&scene, &random, 2 + (size_t)(i % 4), 8, 0);
        for (int j = 0; j < 10; j++) {
            random_levels(&scene, &random);
            for (size_t k = 3; k < scene.count; k++)
                scene.level[k] = floor(scene.level[k] + 0.5);
            scene.level[0] += scene.level[0] > 0 ? 0 : 0.3;
            check_against_all(&scene);
        }
        close_scene(&scene);
    }
}

/* 16 bits leave nothing to see. */
static void test_fine(void **state)
{
    struct random random = {13};

    (void)state;
    for (int i = 0; i < 200; i++) {
        struct scene scene;
        mtm_codes codes;
        open_scene(&scene, &random, 2 + (size_t)(i % 7), 16, i % 3 * 8);
        random_levels(&scene, &random);
        mtm_coder_round(scene.coder, scene.level, &codes);
        assert_true(code_cost(&scene, &codes) < 0.01);
        close_scene(&scene);
    }
}

/* The dimmer lets 8-bit emitters keep their resolution: worse than without it only where the dimmer
 * itself is coarse, and far better at the bottom. */
static void test_dimmer(void **state)
{
    struct random random = {14};

    (void)state;
    for (int i = 0; i < 200; i++) {
        struct scene with, without;
        mtm_codes codes;
        struct random same = {random_bits(&random)}, again = same;
        open_scene(&with, &same, 2 + (size_t)(i % 7), 8, 16);
        open_scene(&without, &again, 2 + (size_t)(i % 7), 8, 0);
        random_levels(&with, &random);
        for (size_t k = 0; k < with.count; k++)
            with.level[k] *= 0.05;
        memcpy(without.level, with.level, sizeof with.level);
        mtm_coder_round(without.coder, without.level, &codes);
        double before = code_cost(&without, &codes);
        mtm_coder_round(with.coder, with.level, &codes);
        double after = code_cost(&with, &codes);
        assert_true(codes.dimmer > 0);
        assert_true(after < before || after < 0.01);
        close_scene(&with);
        close_scene(&without);
    }
}

static void test_dark(void **state)
{
    struct random random = {15};
    static const int bits[] = {0, 8, 16};

    (void)state;
    for (size_t i = 0; i < COUNT(bits); i++) {
        struct scene scene;
        mtm_codes codes;
        open_scene(&scene, &random, 5, 8, bits[i]);
        memset(&codes, 0xff, sizeof codes);
        mtm_coder_round(scene.coder, scene.level, &codes);
        assert_int_equal(codes.dimmer, 0);
        for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
            assert_int_equal(codes.emitter[k], 0);
        close_scene(&scene);
    }
}

static void test_slots(void **state)
{
    struct random random = {16};

    (void)state;
    for (int i = 0; i < 60; i++) {
        struct scene scene;
        mtm_codes codes = {.dimmer = 0}, back;
        uint8_t slot[64];
        int bits = i % 2 == 0 ? 8 : 16, dimmer_bits = i % 3 * 8;
        open_scene(&scene, &random, 2 + (size_t)(i % 15), bits, dimmer_bits);
        for (size_t k = 0; k < scene.count; k++)
            codes.emitter[k] = (uint32_t)(random_bits(&random) & (bits == 8 ? 255 : 65535));
        if (dimmer_bits > 0)
            codes.dimmer = (uint32_t)(random_bits(&random) & (dimmer_bits == 8 ? 255 : 65535));
        mtm_codes_to_slots(scene.mode, &codes, slot);
        mtm_codes_from_slots(scene.mode, slot, &back);
        assert_memory_equal(&codes, &back, sizeof codes);
        assert_int_equal(slot[scene.mode->slot_count - 1], 7);
        if (bits == 16) { /* the mode says fine before coarse */
            assert_int_equal(slot[0], codes.emitter[0] & 255);
            assert_int_equal(slot[1], codes.emitter[0] >> 8);
        }
        close_scene(&scene);
    }
}

/* The same codes by channel, by slot and in per cent; and what is refused. */
static void test_values(void **state)
{
    static const struct {
        mtm_value_type type;
        size_t count;
        double value[6];
        mtm_result result;
    } rows[] = {
        /* mode: e0.fine e0 e1.fine e1 dimmer fixed */
        {MTM_VALUES_CODES, 3, {0x0304, 0x0506, 7}, MTM_OK},
        {MTM_VALUES_SLOTS, 6, {4, 3, 6, 5, 7, 99}, MTM_OK},
        {MTM_VALUES_PERCENT,
         3,
         {100 * 0x0304 / 65535.0, 100 * 0x0506 / 65535.0, 700 / 255.0},
         MTM_OK},
        {MTM_VALUES_CODES, 2, {0x0304, 0x0506}, MTM_PARSE},
        {MTM_VALUES_CODES, 3, {0x0304, 0x0506, 0.5}, MTM_PARSE},
        {MTM_VALUES_CODES, 3, {0x0304, 65536, 7}, MTM_RANGE},
        {MTM_VALUES_CODES, 3, {0x0304, NAN, 7}, MTM_RANGE},
        {MTM_VALUES_CODES, 3, {0x0304, 0x0506, 256}, MTM_RANGE},
        {MTM_VALUES_CODES, 3, {200, 255, 7}, MTM_RANGE}, /* as of 8 bits */
        {MTM_VALUES_SLOTS, 5, {4, 3, 6, 5, 7}, MTM_PARSE},
        {MTM_VALUES_SLOTS, 6, {4, 3, 6, 5, 7, -1}, MTM_RANGE},
        {MTM_VALUES_PERCENT, 3, {50, 100.1, 50}, MTM_RANGE},
    };
    struct random random = {23};
    struct scene scene;

    (void)state;
    open_scene(&scene, &random, 2, 16, 8);
    for (size_t r = 0; r < COUNT(rows); r++) {
        mtm_codes codes = {.dimmer = 1};
        mtm_error error = {""};
        mtm_result result = mtm_codes_from_values(scene.fixture, scene.mode, rows[r].type,
                                                  rows[r].value, rows[r].count, &codes, &error);
        assert_int_equal(result, rows[r].result);
        assert_int_equal(codes.dimmer, result == MTM_OK ? 7 : 1);
        assert_int_equal(codes.emitter[0], result == MTM_OK ? 0x0304 : 0);
        assert_int_equal(codes.emitter[1], result == MTM_OK ? 0x0506 : 0);
        assert_true((error.text[0] != '\0') == (result != MTM_OK));
    }
    close_scene(&scene);
}

static void test_refused(void **state)
{
    struct random random = {17};
    struct scene scene;
    mtm_coder *coder = NULL;
    mtm_error error;

    (void)state;
    open_scene(&scene, &random, 3, 8, 0);
    assert_int_equal(mtm_coder_create(scene.fixture, scene.mode, MTM_OBSERVER_10, &coder, &error),
                     MTM_UNSUPPORTED);
    CHECK_HOLDS(error.text, "\"e0\"");
    CHECK_HOLDS(error.text, "10 degree");
    assert_int_equal(mtm_coder_create(NULL, scene.mode, MTM_OBSERVER_2, &coder, &error),
                     MTM_INVALID);
    assert_null(coder);
    mtm_coder_free(NULL);
    close_scene(&scene);
}

/* Levels that just keep a fixture's power limit never round to codes that break it. */
static void test_power_limit(void **state)
{
    static const char text[] =
        "{ \"metamer\": \"fixture/1\", \"name\": \"limited\", \"emitters\": ["
        "{ \"name\": \"a\", \"x\": 0.68, \"y\": 0.31, \"flux_lm\": 200, \"watts\": 9 },"
        "{ \"name\": \"b\", \"x\": 0.20, \"y\": 0.70, \"flux_lm\": 400, \"watts\": 11 },"
        "{ \"name\": \"c\", \"x\": 0.15, \"y\": 0.03, \"flux_lm\": 70, \"watts\": 10 }],"
        "\"power_limit_w\": 12, \"modes\": ["
        "{ \"name\": \"plain\", \"slots\": [\"a\", \"b\", \"c\"] },"
        "{ \"name\": \"dimmed\", \"slots\": [\"dimmer\", \"a\", \"b\", \"c\"] } ] }";
    mtm_fixture *fixture = NULL;
    mtm_error error = {""};
    struct random random = {5};

    (void)state;
    if (mtm_fixture_parse(text, strlen(text), "limited", NULL, &fixture, &error) != MTM_OK)
        fail_msg("%s", error.text);
    for (size_t m = 0; m < 2; m++) {
        mtm_coder *coder = NULL;
        assert_int_equal(
            mtm_coder_create(fixture, mtm_fixture_mode(fixture, m), MTM_OBSERVER_2, &coder, &error),
            MTM_OK);
        for (int i = 0; i < 2000; i++) {
            double level[MTM_EMITTERS_MAX] = {0};
            double watts = 0, got = 0;
            for (size_t k = 0; k < 3; k++) {
                level[k] = random_between(&random, 0, 1);
                watts += level[k] * mtm_fixture_emitter(fixture, k)->watts;
            }
            for (size_t k = 0; k < 3 && watts > 12; k++)
                level[k] *= 12 / watts;
            mtm_codes codes;
            mtm_coder_round(coder, level, &codes);
            mtm_coder_levels(coder, &codes, level);
            for (size_t k = 0; k < 3; k++)
                got += level[k] * mtm_fixture_emitter(fixture, k)->watts;
            if (!(got <= 12 * (1 + 2e-9)))
                fail_msg("%.9f W of 12 W allowed", got);
        }
        mtm_coder_free(coder);
    }
    mtm_fixture_free(fixture);
}

/* Three emitters whose codes' watts are the power limit, times a factor. */
static mtm_fixture *limited_at(const unsigned code[3], double factor)
{
    static const double watts[3] = {9.1, 11.7, 10.3};
    char text[1000];
    double limit = 0;
    mtm_fixture *fixture = NULL;
    mtm_error error;

    for (size_t k = 0; k < 3; k++)
        limit += watts[k] * (code[k] / 255.0);
    (void)snprintf(
        text, sizeof text,
        "{ \"metamer\": \"fixture/1\", \"name\": \"limited\", \"emitters\": ["
        "{ \"name\": \"a\", \"x\": 0.68, \"y\": 0.31, \"flux_lm\": 200, \"watts\": 9.1 },"
        "{ \"name\": \"b\", \"x\": 0.20, \"y\": 0.70, \"flux_lm\": 400, \"watts\": 11.7 },"
        "{ \"name\": \"c\", \"x\": 0.15, \"y\": 0.03, \"flux_lm\": 70, \"watts\": 10.3 }],"
        "\"power_limit_w\": %.17g, \"modes\": ["
        "{ \"name\": \"plain\", \"slots\": [\"a\", \"b\", \"c\"] } ] }",
        limit * factor);
    if (mtm_fixture_parse(text, strlen(text), "limited", NULL, &fixture, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return fixture;
}

/* Codes that take exactly the power limit keep it, however their watts round; those that take a
 * millionth more do not. One emitter is wanted 0.3 codes below its own, the others dark or full. */
static void test_at_power_limit(void **state)
{
    struct random random = {31};

    (void)state;
    for (int i = 0; i < 600; i++) {
        unsigned code[3];
        double level[MTM_EMITTERS_MAX] = {0};
        size_t between = random_index(&random, 3);
        bool fits = i % 2 == 0;

        for (size_t k = 0; k < 3; k++) {
            code[k] = k == between ? 2 + (unsigned)random_index(&random, 253)
                                   : 255 * (unsigned)random_index(&random, 2);
            level[k] = (code[k] - (k == between ? 0.3 : 0)) / 255;
        }
        mtm_fixture *fixture = limited_at(code, fits ? 1 : 1 - 1e-6);
        mtm_coder *coder = NULL;
        mtm_codes codes;
        assert_int_equal(
            mtm_coder_create(fixture, mtm_fixture_mode(fixture, 0), MTM_OBSERVER_2, &coder, NULL),
            MTM_OK);
        mtm_coder_round(coder, level, &codes);
        for (size_t k = 0; k < 3; k++)
            assert_int_equal(codes.emitter[k], code[k] - (k == between && !fits));
        mtm_coder_free(coder);
        mtm_fixture_free(fixture);
    }
}

/* A level a hair off a code's own, as sums leave it, is that code's: an emitter that an optimum
 * leaves dark stays dark, whatever the noise, and no code moves. */
static void test_noise(void **state)
{
    static const double noise[] = {0, 5.6e-17, -5.6e-17, 1e-13, 9e-13, -9e-13};
    struct random random = {21};

    (void)state;
    for (int i = 0; i < 120; i++) {
        struct scene scene;
        mtm_codes first;
        double level[MTM_EMITTERS_MAX] = {0};
        open_scene(&scene, &random, 2 + (size_t)(i % 6), i % 4 == 3 ? 16 : 8, i % 3 * 8);
        mixture_levels(&scene, &random, scene.count, i % 2 == 0 ? 1 : 0.3);
        for (size_t k = 1; k < scene.count; k += 2) /* dark, full, or on a code */
            scene.level[k] = k == 1 ? 0
                                    : mtm_curve_level(mtm_fixture_emitter(scene.fixture, k)->curve,
                                                      k == 3 ? 1 : 0.6);
        memcpy(level, scene.level, sizeof level);
        for (size_t n = 0; n < COUNT(noise); n++) {
            mtm_codes codes;
            for (size_t k = 1; k < scene.count; k += 2)
                scene.level[k] = level[k] + noise[n];
            mtm_coder_round(scene.coder, scene.level, &codes);
            if (n == 0)
                first = codes;
            assert_memory_equal(&codes, &first, sizeof codes);
            assert_int_equal(codes.emitter[1], 0);
        }
        close_scene(&scene);
    }
}

/* Sixteen open emitters: only their neighbours are looked at, and all of those. */
static void test_sixteen(void **state)
{
    struct random random = {22};

    (void)state;
    struct scene scene;
    open_scene(&scene, &random, 16, 8, 0);
    mixture_levels(&scene, &random, 16, 0.3);
    check_against_all(&scene);
    close_scene(&scene);
}

/* Equal emitters make equal costs: the lower code of the first goes first. */
static void test_ties(void **state)
{
    static const char text[] =
        "{ \"metamer\": \"fixture/1\", \"name\": \"twins\", \"emitters\": ["
        "{ \"name\": \"a\", \"x\": 0.44, \"y\": 0.40, \"flux_lm\": 300, \"watts\": 9 },"
        "{ \"name\": \"b\", \"x\": 0.44, \"y\": 0.40, \"flux_lm\": 300, \"watts\": 9 }],"
        "\"modes\": [ { \"name\": \"m\", \"slots\": [\"a\", \"b\"] } ] }";
    struct scene scene = {.count = 2};
    mtm_codes codes;
    mtm_error error = {""};

    (void)state;
    if (mtm_fixture_parse(text, strlen(text), "twins", NULL, &scene.fixture, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_int_equal(mtm_coder_create(scene.fixture, mtm_fixture_mode(scene.fixture, 0),
                                      MTM_OBSERVER_2, &scene.coder, &error),
                     MTM_OK);
    for (int i = 0; i < 2; i++) { /* 100.5 + 100.5 = 201: any two codes of that sum are exact */
        scene.level[0] = 100.5 / 255 + (i == 0 ? 1e-9 : -1e-9);
        scene.level[1] = 201.0 / 255 - scene.level[0];
        mtm_coder_round(scene.coder, scene.level, &codes);
        assert_int_equal(codes.emitter[0], 92); /* eight below the neighbour */
        assert_int_equal(codes.emitter[1], 109);
    }
    close_scene(&scene);
}

/* With a dimmer, one light often comes of several codes (under a square curve 8 x 96^2 = 2 x
 * 192^2): which of them are sent does not hang on what machines differ by. */
static void test_dimmer_ties(void **state)
{
    static const char text[] =
        "{ \"metamer\": \"fixture/1\", \"name\": \"square\", \"emitters\": ["
        "{ \"name\": \"a\", \"x\": 0.69, \"y\": 0.31, \"flux_lm\": 300, \"watts\": 9, "
        "\"curve\": \"square\" },"
        "{ \"name\": \"b\", \"x\": 0.17, \"y\": 0.70, \"flux_lm\": 500, \"watts\": 9, "
        "\"curve\": \"square\" }],"
        "\"modes\": [ { \"name\": \"m\", \"slots\": [\"dimmer\", \"a\", \"b\"] } ] }";
    struct scene scene = {.count = 2};
    struct random random = {2718};
    mtm_error error = {""};

    (void)state;
    if (mtm_fixture_parse(text, strlen(text), "square", NULL, &scene.fixture, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_int_equal(mtm_coder_create(scene.fixture, mtm_fixture_mode(scene.fixture, 0),
                                      MTM_OBSERVER_2, &scene.coder, &error),
                     MTM_OK);
    for (int round = 0; round < 400; round++) {
        double output = random_between(&random, 0.003, 0.02);
        double level[2] = {output, output * random_between(&random, 0, 1)};
        mtm_codes first = {0}, codes;

        for (int shake = 0; shake < 10; shake++) {
            for (size_t k = 0; k < 2; k++)
                scene.level[k] = level[k] * (1 + random_between(&random, -1e-13, 1e-13));
            mtm_coder_round(scene.coder, scene.level, &codes);
            if (shake == 0)
                first = codes;
            if (memcmp(&first, &codes, sizeof first) != 0)
                fail_msg("round %d (2718): dimmer %u or %u", round, first.dimmer, codes.dimmer);
        }
    }
    close_scene(&scene);
}

/* A level a hair above full, as sums give, is full: not dark. */
static void test_above_full(void **state)
{
    static const double above[] = {0, 1e-15, 1e-11, 1e-6, 0.5};
    struct random random = {11};

    (void)state;
    for (int dimmer_bits = 0; dimmer_bits <= 16; dimmer_bits += 8) {
        struct scene scene;
        open_scene(&scene, &random, 3, 8, dimmer_bits);
        for (size_t i = 0; i < COUNT(above); i++) {
            mtm_codes codes;
            for (size_t k = 0; k < 3; k++)
                scene.level[k] = 1 + above[i];
            mtm_coder_round(scene.coder, scene.level, &codes);
            for (size_t k = 0; k < 3; k++)
                assert_int_equal(codes.emitter[k], 255);
        }
        close_scene(&scene);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_noise),       cmocka_unit_test(test_values),
        cmocka_unit_test(test_sixteen),     cmocka_unit_test(test_ties),
        cmocka_unit_test(test_above_full),  cmocka_unit_test(test_exhaustive),
        cmocka_unit_test(test_optima),      cmocka_unit_test(test_fine),
        cmocka_unit_test(test_dimmer),      cmocka_unit_test(test_dark),
        cmocka_unit_test(test_power_limit), cmocka_unit_test(test_at_power_limit),
        cmocka_unit_test(test_slots),       cmocka_unit_test(test_refused),
        cmocka_unit_test(test_dimmer_ties),
    };

    return cmocka_run_group_tests_name("codes", tests, NULL, NULL);
}
