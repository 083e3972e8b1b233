/* SPDX-License-Identifier: MIT */
/* Codes of fades: that ladders give the codes of levels, steep ends of curves included. */
#include "support/check.h"

#include "control/fader_ladder.h"

/* A fixture's mode made ready for fades. */
struct scene {
    mtm_fixture *fixture;
    mtmi_kind kind;
    mtmi_ladders ladders;
};

static struct scene open_scene(const char *slots)
{
    struct scene scene = {.fixture = NULL};
    char text[2000];
    mtm_error error = {""};

    (void)snprintf(
        text, sizeof text,
        "{ \"metamer\": \"fixture/1\", \"name\": \"trial\", \"dimmer_curve\": \"square\", "
        "\"emitters\": ["
        "{ \"name\": \"a\", \"x\": 0.69, \"y\": 0.31, \"flux_lm\": 300, \"watts\": 5, \"curve\": "
        "\"s\" },"
        "{ \"name\": \"b\", \"x\": 0.17, \"y\": 0.71, \"flux_lm\": 500, \"watts\": 5, \"curve\": "
        "\"square\" },"
        "{ \"name\": \"c\", \"x\": 0.15, \"y\": 0.04, \"flux_lm\": 60, \"watts\": 5, \"curve\": "
        "\"lightness\" },"
        "{ \"name\": \"d\", \"x\": 0.41, \"y\": 0.54, \"flux_lm\": 700, \"watts\": 5,"
        "  \"curve\": { \"power\": 3 } } ],"
        "\"modes\": [ { \"name\": \"m\", \"slots\": [ %s ] } ] }",
        slots);
    if (mtm_fixture_parse(text, strlen(text), "trial", NULL, &scene.fixture, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_true(mtmi_kind_from(scene.fixture, mtm_fixture_mode(scene.fixture, 0), MTM_OBSERVER_2,
                               &scene.kind));
    assert_int_equal(mtmi_ladders_share(&scene.ladders, &scene.kind, NULL), MTM_OK);
    return scene;
}

static void close_scene(struct scene *scene)
{
    mtmi_ladders_free(&scene->ladders);
    mtm_fixture_free(scene->fixture);
}

static const char narrow[] = "\"a\", \"b\", \"c\", \"d\"";
static const char dimmed[] = "\"a\", \"b\", \"c\", \"d\", \"dimmer\"";
static const char wide[] = "\"a\", \"a.fine\", \"b\", \"b.fine\", \"c\", \"c.fine\", "
                           "\"d\", \"d.fine\"";

/* The code of a level gives that level, to a small part of it and of what it lacks to full, and to
 * 2/65536 of a code. */
static void check_ladders(const struct scene *scene, double level, double from_end)
{
    for (size_t i = 0; i < scene->kind.channel_count; i++) {
        double code = mtmi_ladder_code(scene->kind.ladder[i], level) / 65536.0;
        double got = mtmi_level_of(&scene->kind, i, code);
        double next = fmin(code + 2 / 65536.0, scene->kind.most[i]);
        double unit = mtmi_level_of(&scene->kind, i, next) -
                      mtmi_level_of(&scene->kind, i, fmax(0, code - 2 / 65536.0));

        double part = scene->kind.most[i] > 255 ? 1.0 / 49000 : 1.0 / 250;
        if (!(fabs(got - level) <= part * from_end + unit + 1e-12))
            fail_msg("channel %zu of %d: %.12g for %.12g", i, scene->kind.most[i], got, level);
    }
}

static void test_ladder(void **state)
{
    const char *const modes[] = {narrow, dimmed, wide};

    (void)state;
    for (size_t m = 0; m < COUNT(modes); m++) {
        struct scene scene = open_scene(modes[m]);
        for (double from_end = 1e-10; from_end <= 0.5; from_end *= 1.0037) {
            check_ladders(&scene, from_end, from_end);
            check_ladders(&scene, 1 - from_end, from_end);
        }
        check_ladders(&scene, 0, 0);
        check_ladders(&scene, 1, 0);
        close_scene(&scene);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ladder),
    };

    return cmocka_run_group_tests_name("codes of fades", tests, NULL, NULL);
}
