/* SPDX-License-Identifier: MIT */
/* Units that mix by themselves: what their codes give beside models of the test's own; codes for
 * random colours beside all codes that there are; what is refused, and what is said not to be
 * known. */
#include "support/random.h"
#include "support/trial.h"

#include <metamer/codes.h>
#include <metamer/match.h>
#include <metamer/rgb.h>
#include <metamer/tolerance.h>
#include <metamer/white.h>

#include <math.h>
#include <unistd.h>

/* A unit in each of the delivered panel's modes that mix by themselves. */
struct world {
    mtm_rig *rig;
    mtm_matcher *matcher;
};

enum { WHITE, RGB, HSI, XY, PLAIN };

static struct world open_world(void)
{
    static const char text[] =
        "{'metamer': 'rig/1', 'name': 't', 'units': ["
        "{'name': 'white', 'fixture': 'studio-panel.json', 'mode': 'white'},"
        "{'name': 'rgb', 'fixture': 'studio-panel.json', 'mode': 'rgb'},"
        "{'name': 'hsi', 'fixture': 'studio-panel.json', 'mode': 'hsi'},"
        "{'name': 'xy', 'fixture': 'studio-panel.json', 'mode': 'xy'},"
        "{'name': 'plain', 'fixture': 'studio-panel.json', 'mode': '16-bit'}]}";
    char *json = trial_json(text);
    struct world world = {NULL, NULL};
    mtm_error error = {""};

    trial_must(mtm_rig_parse(json, strlen(json), "rig", NULL, &world.rig, &error), &error);
    trial_must(mtm_matcher_create(world.rig, MTM_OBSERVER_2, &world.matcher, &error), &error);
    free(json);
    return world;
}

static void close_world(struct world *world)
{
    mtm_matcher_free(world->matcher);
    mtm_rig_free(world->rig);
}

static mtm_xyz light_of(const struct world *world, size_t unit, const mtm_codes *codes)
{
    mtm_match match;

    mtm_matcher_predict(world->matcher, unit, codes, &match);
    return match.xyz;
}

/* Squared steps of colour and of output between two lights. */
static double cost_of(mtm_xyz made, mtm_xyz wanted)
{
    double uv = mtm_uv_distance(mtm_uv_from_xyz(made), mtm_uv_from_xyz(wanted)) / MTM_STEP_UV;
    double output = (made.y / wanted.y - 1) / MTM_STEP_OUTPUT;

    return uv * uv + output * output;
}

static uint32_t draw(struct random *random, uint32_t least, uint32_t most)
{
    return least + (uint32_t)random_index(random, most - least + 1);
}

/* Kelvin of the delivered table: 10 is 2700 K, 130 is 4300 K, 255 is 6500 K. */
static double kelvin_of(uint32_t code)
{
    return code <= 130 ? 2700 + (code - 10.0) / 120 * 1600 : 4300 + (code - 130.0) / 125 * 2200;
}

static mtm_xyz white_of(uint32_t code, uint32_t tint, double y)
{
    mtm_xy xy;

    assert_int_equal(
        mtm_white_to_xy((mtm_white){kelvin_of(code), -0.01 + tint / 255.0 * 0.02}, &xy, NULL),
        MTM_OK);
    return mtm_xyz_from_xy(xy, y);
}

static double dimmed(double code, double most)
{
    return code / most * (code / most); /* the panel's dimmer is square */
}

/* RGB: IEC 61966-2-1 through mtm_rgb_to_xyz, whose own test has the standard's figures; HSI: the
 * conversion of a colour picker, written out; its transfer is linear. */
static void test_forward(void **state)
{
    struct world world = open_world();
    struct random random = {61}; /* the seed */
    const mtm_rgb_space *srgb = mtm_rgb_space_at(0);

    (void)state;
    for (int i = 0; i < 400; i++) {
        mtm_codes codes = {.dimmer = draw(&random, 1, 65535),
                           .emitter = {draw(&random, 10, 255), draw(&random, 0, 255)}};
        mtm_xyz made = light_of(&world, WHITE, &codes);
        mtm_xyz model =
            white_of(codes.emitter[0], codes.emitter[1], 5200 * dimmed(codes.dimmer, 65535));
        assert_true(cost_of(made, model) < 1e-8);

        codes = (mtm_codes){
            .dimmer = 255,
            .emitter = {draw(&random, 0, 255), draw(&random, 1, 255), draw(&random, 0, 255)}};
        made = light_of(&world, RGB, &codes);
        model = mtm_rgb_to_xyz(srgb, (mtm_rgb){codes.emitter[0] / 255.0, codes.emitter[1] / 255.0,
                                               codes.emitter[2] / 255.0});
        model = (mtm_xyz){4800 * model.x, 4800 * model.y, 4800 * model.z};
        if (model.y > 50) /* below, the curve that is drawn from the space is off by more */
            assert_true(cost_of(made, model) < 1e-3);

        codes = (mtm_codes){.dimmer = 255,
                            .emitter = {draw(&random, 0, 65535), draw(&random, 0, 65535)}};
        mtm_xy said = {0.8 * codes.emitter[0] / 65535, 0.8 * codes.emitter[1] / 65535};
        made = light_of(&world, XY, &codes);
        double delta_uv = 0;
        (void)mtm_solver_nearest(mtm_matcher_solver(world.matcher, XY), said, &delta_uv);
        if (said.y > 0.01) /* what lies outside is taken for the nearest within */
            CHECK_NEAR("xy", mtm_uv_distance(mtm_uv_from_xyz(made), mtm_uv_from_xy(said)), delta_uv,
                       1e-9);
        CHECK_NEAR("xy", made.y, 4500, 1e-6);
    }
    static const struct {
        double hue, saturation, rgb[3];
    } known[] = {
        {0, 1, {1, 0, 0}},          {1 / 6.0, 1, {1, 1, 0}}, {1 / 3.0, 1, {0, 1, 0}},
        {0.5, 1, {0, 1, 1}},        {2 / 3.0, 1, {0, 0, 1}}, {5 / 6.0, 1, {1, 0, 1}},
        {1 / 12.0, 1, {1, 0.5, 0}}, {0.25, 0, {1, 1, 1}},    {0.5, 0.2, {0.8, 1, 1}},
    };
    for (size_t i = 0; i < COUNT(known); i++) {
        mtm_match match;
        const mtm_codes codes = {.emitter = {(uint32_t)lround(known[i].hue * 65535),
                                             (uint32_t)lround(known[i].saturation * 255), 65535}};
        mtm_matcher_predict(world.matcher, HSI, &codes, &match);
        for (size_t k = 0; k < 3; k++)
            CHECK_NEAR("hsi", match.level[k], known[i].rgb[k], 1e-4); /* a code of hue */
    }
    close_world(&world);
}

/* The codes of codes' own light give that light. */
static void test_back(void **state)
{
    struct world world = open_world();
    struct random random = {67}; /* the seed */

    (void)state;
    for (int i = 0; i < 150; i++) {
        for (size_t unit = WHITE; unit <= XY; unit++) {
            const mtm_coder *coder = mtm_matcher_coder(world.matcher, unit);
            mtm_codes codes = {0}, back;
            double level[MTM_EMITTERS_MAX];
            if (unit == WHITE)
                codes = (mtm_codes){draw(&random, 900, 65535),
                                    {draw(&random, 10, 255), draw(&random, 0, 255)}};
            else if (unit == HSI)
                codes.emitter[0] = draw(&random, 0, 65535),
                codes.emitter[1] = draw(&random, 0, 255),
                codes.emitter[2] = draw(&random, 900, 65535);
            else if (unit == RGB)
                codes = (mtm_codes){
                    draw(&random, 40, 255),
                    {draw(&random, 0, 255), draw(&random, 60, 255), draw(&random, 0, 255)}};
            else
                codes = (mtm_codes){draw(&random, 20, 255),
                                    {draw(&random, 20000, 36000), draw(&random, 20000, 36000)}};
            mtm_xyz light = light_of(&world, unit, &codes);
            mtm_coder_levels(coder, &codes, level);
            mtm_coder_round(coder, level, &back);
            double cost = cost_of(light_of(&world, unit, &back), light);
            /* an RGB dimmer is as low as is enough: other codes, as near */
            if (!(cost < (unit == RGB ? 0.5 : 1e-6)))
                fail_msg("seed 67, colour %d of unit %zu: cost %g", i, unit, cost);
        }
    }
    close_world(&world);
}

/* Hue, saturation and intensity behind a dimmer: the hexcone of A. R. Smith (SIGGRAPH 1978), as
 * published: within a sixth of a turn one of red, green and blue is the intensity v, one v (1 - s)
 * and the third between them. Red, green, blue and white are those of IEC 61966-2-1, and so is the
 * matrix, which has four decimals. */
static mtm_xyz hsi_model(double hue, double saturation, double intensity)
{
    static const double matrix[3][3] = {
        {0.4124, 0.3576, 0.1805}, {0.2126, 0.7152, 0.0722}, {0.0193, 0.1192, 0.9505}};
    const int sixth = (int)floor(6 * hue) % 6;
    const double f = 6 * hue - floor(6 * hue), v = intensity;
    const double p = v * (1 - saturation), q = v * (1 - saturation * f);
    const double t = v * (1 - saturation * (1 - f));
    const double cases[6][3] = {{v, t, p}, {q, v, p}, {p, v, t}, {p, q, v}, {t, p, v}, {v, p, q}};
    double xyz[3] = {0, 0, 0};

    for (int i = 0; i < 3; i++)
        for (int k = 0; k < 3; k++)
            xyz[i] += matrix[i][k] * cases[sixth][k];
    return (mtm_xyz){xyz[0], xyz[1], xyz[2]};
}

/* A rig of one unit in the one mode of a fixture that is written here. */
static struct world open_dimmed_hsi(void)
{
    static const char fixture[] =
        "{'metamer': 'fixture/1', 'name': 'f', 'dimmer_curve': 'square', 'modes': [{'name': 'm', "
        "'slots': ['dimmer', 'dimmer.fine', 'hue', 'hue.fine', 'saturation', 'intensity'], "
        "'mixes': {'flux_lm': 3000, 'hsi': {'red': [0.64, 0.33], 'green': [0.30, 0.60], 'blue': "
        "[0.15, 0.06], 'white': [0.3127, 0.3290]}}}]}";
    char path[] = "/tmp/metamer-hsi-XXXXXX";
    struct trial_text text = {.length = 0};
    struct world world = {NULL, NULL};
    char *json = trial_json(fixture);
    mtm_error error = {""};
    int file = mkstemp(path);

    assert_true(file >= 0 && write(file, json, strlen(json)) == (ssize_t)strlen(json));
    (void)close(file);
    trial_add(&text,
              "{'metamer': 'rig/1', 'name': 't', 'units': [{'name': 'a', 'fixture': '%s', 'mode': "
              "'m'}]}",
              path);
    trial_must(mtm_rig_parse(text.data, text.length, "rig", NULL, &world.rig, &error), &error);
    trial_must(mtm_matcher_create(world.rig, MTM_OBSERVER_2, &world.matcher, &error), &error);
    (void)unlink(path);
    free(json);
    return world;
}

/* What codes give is what the model says, and the codes of that light give it again. */
static void test_hsi_with_dimmer(void **state)
{
    struct world world = open_dimmed_hsi();
    struct random random = {79};
    const mtm_coder *coder = mtm_matcher_coder(world.matcher, 0);

    (void)state;
    print_message("seed 79\n");
    for (int i = 0; i < 300; i++) {
        const mtm_codes codes = {
            .dimmer = draw(&random, 9000, 65535),
            .emitter = {draw(&random, 0, 65535), draw(&random, 0, 255), draw(&random, 60, 255)}};
        const mtm_xyz made = light_of(&world, 0, &codes);
        const mtm_xyz model = hsi_model(codes.emitter[0] / 65535.0, codes.emitter[1] / 255.0,
                                        codes.emitter[2] / 255.0);
        const double lm = 3000 * dimmed(codes.dimmer, 65535);
        double level[MTM_EMITTERS_MAX];
        mtm_codes back;
        CHECK_NEAR("X", made.x / lm, model.x, 2e-4);
        CHECK_NEAR("Y", made.y / lm, model.y, 2e-4);
        CHECK_NEAR("Z", made.z / lm, model.z, 2e-4);
        mtm_coder_levels(coder, &codes, level);
        mtm_coder_round(coder, level, &back);
        double cost = cost_of(light_of(&world, 0, &back), made);
        if (!(cost < 0.5)) /* the dimmer is as low as is enough: other codes, as near */
            fail_msg("seed 79, colour %d: cost %g", i, cost);
    }
    close_world(&world);
}

/* Of all 246 x 256 codes of whites none is nearer. */
static void test_best_white(void **state)
{
    static mtm_uv uv[256][256];
    struct world world = open_world();
    struct random random = {71}; /* the seed */
    const mtm_coder *coder = mtm_matcher_coder(world.matcher, WHITE);

    (void)state;
    for (uint32_t a = 10; a < 256; a++)
        for (uint32_t b = 0; b < 256; b++)
            uv[a][b] = mtm_uv_from_xyz(white_of(a, b, 1));
    for (int i = 0; i < 60; i++) {
        const mtm_white white = {random_between(&random, 2700, 6500),
                                 random_between(&random, -0.01, 0.01)};
        mtm_match_request request = {.target.observer = MTM_OBSERVER_2};
        mtm_match match;
        double least = INFINITY;

        assert_int_equal(mtm_white_to_xy(white, &request.target.xy, NULL), MTM_OK);
        assert_int_equal(mtm_matcher_unit(world.matcher, WHITE, &request, &match, NULL), MTM_OK);
        assert_int_equal(match.shortfall, 0);
        assert_true(match.codes.emitter[0] >= 10 && match.codes.dimmer == 65535);
        mtm_uv wanted = mtm_uv_from_xy(request.target.xy);
        for (uint32_t a = 10; a < 256; a++)
            for (uint32_t b = 0; b < 256; b++)
                least = fmin(least, mtm_uv_distance(uv[a][b], wanted));
        if (!(match.delta_uv <= least + 1e-8))
            fail_msg("seed 71, white %d: %g beside %g", i, match.delta_uv, least);
    }
    assert_non_null(coder);
    close_world(&world);
}

/* Hue and saturation: of all with the best intensity none is better by a twentieth of a step. */
static void test_best_hsi(void **state)
{
    struct world world = open_world();
    struct random random = {73}; /* the seed */
    const mtm_coder *coder = mtm_matcher_coder(world.matcher, HSI);

    (void)state;
    for (int i = 0; i < 6; i++) {
        double level[MTM_EMITTERS_MAX] = {random_between(&random, 0, 1),
                                          random_between(&random, 0.1, 1),
                                          random_between(&random, 0, 1)};
        mtm_xyz wanted = mtm_solver_xyz(mtm_matcher_solver(world.matcher, HSI), level);
        mtm_codes codes;
        mtm_coder_round(coder, level, &codes);
        double cost = cost_of(light_of(&world, HSI, &codes), wanted), least = INFINITY;
        for (uint32_t s = 0; s < 256; s++) {
            for (int h = -40; h <= 40; h++) {
                mtm_codes tried = codes;
                tried.emitter[0] = (codes.emitter[0] + 65535 + (uint32_t)(h + 40) - 40) % 65535;
                tried.emitter[1] = s;
                least = fmin(least, cost_of(light_of(&world, HSI, &tried), wanted));
            }
        }
        if (!(sqrt(cost) <= sqrt(least) + 0.05))
            fail_msg("seed 73, colour %d: cost %g beside %g", i, cost, least);
    }
    close_world(&world);
}

static void test_told(void **state)
{
    struct world world = open_world();
    mtm_match_request request = {.goal = MTM_GOAL_WATTS, .target.observer = MTM_OBSERVER_2};
    mtm_match match;
    double distance;

    (void)state;
    request.target.xy = (mtm_xy){0.30, 0.50};
    for (size_t unit = WHITE; unit <= XY; unit++) {
        assert_int_equal(mtm_matcher_unit(world.matcher, unit, &request, &match, NULL), MTM_OK);
        assert_true(isnan(match.watts));
        assert_int_equal(match.fallback, MTM_FALLBACK_MIXES);
        assert_int_equal(match.goal, MTM_GOAL_LIGHT);
        assert_int_equal(match.shortfall, unit == WHITE ? MTM_SHORT_GAMUT : 0);
    }
    /* the nearest white is a corner or on a side: none of a dense grid is nearer */
    assert_int_equal(mtm_matcher_unit(world.matcher, WHITE, &request, &match, NULL), MTM_OK);
    distance = mtm_uv_distance(mtm_uv_from_xy(match.ideal.xy), mtm_uv_from_xy(request.target.xy));
    for (int i = 0; i <= 400; i++) {
        for (int k = 0; k <= 20; k++) {
            mtm_xy xy;
            const mtm_white white = {2700 + 3800 * i / 400.0, -0.01 + 0.02 * k / 20.0};
            assert_int_equal(mtm_white_to_xy(white, &xy, NULL), MTM_OK);
            assert_true(mtm_uv_distance(mtm_uv_from_xy(xy), mtm_uv_from_xy(request.target.xy)) >=
                        distance - 1e-7);
        }
    }
    request.beyond = MTM_BEYOND_CCT;
    request.target.cct_k = 3000;
    assert_int_equal(mtm_matcher_unit(world.matcher, WHITE, &request, &match, NULL), MTM_OK);
    mtm_white made;
    assert_int_equal(mtm_white_from_xy(match.ideal.xy, &made, NULL), MTM_OK);
    CHECK_NEAR("temperature", made.cct_k, 3000, 0.05);
    close_world(&world);
}

#define MODE(slots, mixes)                                                                         \
    "{'metamer': 'fixture/1', 'name': 'f', 'modes': [{'name': 'm', 'slots': [" slots               \
    "], 'mixes': {" mixes "}}]}"
#define CT "'dimmer', 'temperature'"

static const struct bad_row {
    const char *name, *text, *sentence;
} bad_rows[] = {
    {"no flux", MODE(CT, "'temperature': [[0, 2700], [255, 6500]]"), "key \"flux_lm\" is missing"},
    {"no way", MODE(CT, "'flux_lm': 9"),
     "what its slots make is not known: state the table of \"temperature\""},
    {"two ways", MODE(CT, "'flux_lm': 9, 'rgb': 'srgb', 'hsi': 'srgb'"),
     "found \"rgb\" and \"hsi\"; a mode mixes in one way"},
    {"key of another way", MODE(CT, "'flux_lm': 9, 'rgb': 'srgb', 'tint': [[0, 0], [1, 0.01]]"),
     "\"tint\" does not go with \"rgb\""},
    {"codes run backwards", MODE(CT, "'flux_lm': 9, 'temperature': [[255, 2700], [0, 6500]]"),
     "the table of \"temperature\" runs backwards: code 0 after 255; codes must rise"},
    {"kelvin turns back",
     MODE(CT, "'flux_lm': 9, 'temperature': [[0, 2700], [9, 6500], [20, 3000]]"),
     "the table of \"temperature\" turns back: 3000 after 6500"},
    {"code beyond its bits", MODE(CT, "'flux_lm': 9, 'temperature': [[0, 2700], [256, 6500]]"),
     "the table of \"temperature\" has code 256, but its highest of 8 bits is 255"},
    {"code beyond all bits", MODE(CT, "'flux_lm': 9, 'temperature': [[0, 2700], [16777216, 6500]]"),
     "found 16777216, allowed is a number from 0 to 16777215"},
    {"kelvin out of range", MODE(CT, "'flux_lm': 9, 'temperature': [[0, 270], [25, 6500]]"),
     "found 270, allowed is a number from 1000 to 25000"},
    {"no dimmer", MODE("'temperature'", "'flux_lm': 9, 'temperature': [[0, 2700], [255, 6500]]"),
     "mixes by itself and has no slot for \"dimmer\", so that it could never be dark"},
    {"unknown channel",
     MODE("'dimmer', 'temprature'", "'flux_lm': 9, 'temperature': [[0, 2700], [255, 6500]]"),
     "\"temprature\" is no channel of this mode; the nearest name is \"temperature\""},
    {"channel without a slot",
     MODE(CT, "'flux_lm': 9, 'temperature': [[0, 2700], [255, 6500]], 'tint': [[0, 0], [9, 0.01]]"),
     "has no slot for \"tint\""},
    {"unknown space", MODE("'red', 'green', 'blue'", "'flux_lm': 9, 'rgb': 'srgp'"), "srgb"},
    {"white outside",
     MODE("'red', 'green', 'blue'",
          "'flux_lm': 9, 'rgb': {'red': [0.6, 0.3], 'green': [0.3, 0.6], 'blue': [0.35, 0.45], "
          "'white': [0.2, 0.2]}"),
     "its white, x 0.2, y 0.2, cannot be made of its red, green and blue"},
    {"no gamut", MODE("'dimmer', 'x', 'y'", "'flux_lm': 9, 'x': [0, 0.8], 'y': [0, 0.8]"),
     "what it can make is not known; \"gamut\", its corners in x and y, would tell"},
    {"gamut beyond its codes",
     MODE("'dimmer', 'x', 'y'", "'flux_lm': 9, 'x': [0, 0.1], 'y': [0, 0.1], 'gamut': "
                                "[[0.6, 0.3], [0.3, 0.6], [0.4, 0.4]]"),
     "its gamut and what its codes can say have nothing in common"},
};

static void test_refused(void **state)
{
    const struct bad_row *row = *state;
    char *json = trial_json(row->text);
    mtm_fixture *fixture = NULL;
    mtm_error error = {""};

    assert_true(mtm_fixture_parse(json, strlen(json), "f", NULL, &fixture, &error) != MTM_OK);
    assert_null(fixture);
    CHECK_HOLDS(error.text, row->sentence);
    free(json);
}

/* What is written is read as the same; a fixture of such modes needs no emitters. */
static void test_written(void **state)
{
    char path[1000];
    mtm_fixture *fixture = NULL, *again = NULL, *small = NULL;
    char *text = NULL, *back = NULL;
    size_t length = 0, length_back = 0;
    mtm_error error = {""};
    char *json = trial_json(MODE(CT, "'flux_lm': 900, 'temperature': [[0, 2700], [255, 6500]]"));

    (void)state;
    (void)snprintf(path, sizeof path, "%s/studio-panel.json", getenv("METAMER_PROFILES"));
    trial_must(mtm_fixture_load(path, &fixture, &error), &error);
    trial_must(mtm_fixture_to_json(fixture, &text, &length, &error), &error);
    trial_must(mtm_fixture_parse(text, length, "f", NULL, &again, &error), &error);
    trial_must(mtm_fixture_to_json(again, &back, &length_back, &error), &error);
    /* spectra may differ in their last digit */
    assert_string_equal(strstr(text, "\"modes\""), strstr(back, "\"modes\""));
    trial_must(mtm_fixture_parse(json, strlen(json), "f", NULL, &small, &error), &error);
    const mtm_mode *mode = mtm_fixture_mode(small, 0);
    const mtm_fixture *view = mtm_fixture_of_mode(small, mode);
    assert_true(mtm_fixture_mixes(view) && isnan(mtm_fixture_most_watts(view)));
    assert_int_equal(mtm_fixture_emitter_count(small), 0);
    free(json);
    free(text);
    free(back);
    mtm_fixture_free(fixture);
    mtm_fixture_free(again);
    mtm_fixture_free(small);
}

/* A headroom of 0.2 leaves codes that give at most 0.8 of the most at their colour, and nearly
 * that; limits of emitters, of which it is not known which are lit, are refused. */
static void test_limits(void **state)
{
    static const char *const mode[] = {"white", "rgb", "hsi", "xy"};
    struct world plain = open_world();
    struct random random = {31};
    struct trial_text text = {.length = 0};
    struct world limited = {NULL, NULL};
    mtm_rig *refused = NULL;
    mtm_error error = {""};

    (void)state;
    print_message("seed 31\n");
    trial_add(&text, "{'metamer': 'rig/1', 'name': 't', 'units': [");
    for (int i = 0; i < 4; i++)
        trial_add(&text,
                  "%s{'name': '%s', 'fixture': 'studio-panel.json', 'mode': '%s', 'limits': "
                  "{'headroom': 0.2}}",
                  i > 0 ? ", " : "", mode[i], mode[i]);
    trial_add(&text, "]}");
    trial_must(mtm_rig_parse(text.data, text.length, "rig", NULL, &limited.rig, &error), &error);
    trial_must(mtm_matcher_create(limited.rig, MTM_OBSERVER_2, &limited.matcher, &error), &error);
    for (int n = 0; n < 200; n++) {
        const size_t unit = (size_t)n % 4;
        mtm_match_request request = {.target = {.xy = {random_between(&random, 0.25, 0.5),
                                                       random_between(&random, 0.25, 0.4)}}};
        mtm_match match;
        mtm_answer most;
        trial_must(mtm_matcher_unit(limited.matcher, unit, &request, &match, &error), &error);
        const mtm_request there = {.xy = match.xy};
        trial_must(mtm_solver_solve(mtm_matcher_solver(plain.matcher, unit), &there, &most, &error),
                   &error);
        double share = match.xyz.y / most.xyz.y;
        if (!(share <= 0.8 + 1e-6 && share > 0.75))
            fail_msg("%s, x %.4f, y %.4f: %.6f of the most", mode[unit], request.target.xy.x,
                     request.target.xy.y, share);
    }
    char *written = NULL;
    size_t length = 0;
    mtm_rig *again = NULL;
    trial_must(mtm_rig_to_json(limited.rig, &written, &length, &error), &error);
    trial_must(mtm_rig_parse(written, length, "rig", NULL, &again, &error), &error);
    CHECK_NEAR("headroom", mtm_fixture_limits(mtm_rig_unit(again, 3)->fixture)->headroom, 0.2,
               1e-12);
    mtm_rig_free(again);
    free(written);
    text = (struct trial_text){.length = 0};
    trial_add(&text, "{'metamer': 'rig/1', 'name': 't', 'units': [{'name': 'a', 'fixture': "
                     "'studio-panel.json', 'mode': 'xy', 'limits': {'lowest_level': 0.1}}]}");
    assert_int_equal(mtm_rig_parse(text.data, text.length, "rig", NULL, &refused, &error),
                     MTM_PARSE);
    CHECK_HOLDS(error.text, "mixes by itself: which of them it lights cannot be known");
    close_world(&limited);
    close_world(&plain);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(bad_rows) + 8] = {
        cmocka_unit_test(test_forward),    cmocka_unit_test(test_back),
        cmocka_unit_test(test_best_white), cmocka_unit_test(test_best_hsi),
        cmocka_unit_test(test_told),       cmocka_unit_test(test_limits),
        cmocka_unit_test(test_written),    cmocka_unit_test(test_hsi_with_dimmer),
    };

    for (size_t i = 0; i < COUNT(bad_rows); i++)
        tests[8 + i] = (struct CMUnitTest){.name = bad_rows[i].name,
                                           .test_func = test_refused,
                                           .initial_state = (void *)(uintptr_t)&bad_rows[i]};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
