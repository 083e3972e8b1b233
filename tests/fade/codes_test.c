/* SPDX-License-Identifier: MIT */
/* Codes of fades: that code tables give the codes of levels, steep ends of curves included, and
 * that a level which is a code's own is sent as that code. */
#include "support/random.h"
#include "support/trial.h"

#include "fade/choose.h"
#include "unit/code_table.h"

/* A fixture's mode made ready for fades. */
struct scene {
    mtm_fixture *fixture;
    mtmi_kind kind;
    struct mtmi_level_cache cache;
    struct mtmi_code_tables tables;
};

static struct scene open_scene(const char *slots)
{
    struct scene scene = {.fixture = NULL};
    struct trial_text text = {.length = 0};
    mtm_error error = {""};

    trial_add(
        &text,
        "{'metamer': 'fixture/1', 'name': 'trial', 'dimmer_curve': 'square', 'emitters': ["
        "{'name': 'a', 'x': 0.69, 'y': 0.31, 'flux_lm': 300, 'watts': 5, 'curve': 's'}, "
        "{'name': 'b', 'x': 0.17, 'y': 0.71, 'flux_lm': 500, 'watts': 5, 'curve': 'square'}, "
        "{'name': 'c', 'x': 0.15, 'y': 0.04, 'flux_lm': 60, 'watts': 5, 'curve': 'lightness'}, "
        "{'name': 'd', 'x': 0.41, 'y': 0.54, 'flux_lm': 700, 'watts': 5, 'curve': {'power': 3}}], "
        "'modes': [{'name': 'm', 'slots': [%s]}]}",
        slots);
    trial_must(mtm_fixture_parse(text.data, text.length, "trial", NULL, &scene.fixture, &error),
               &error);
    assert_int_equal(mtmi_kind_from(scene.fixture, mtm_fixture_mode(scene.fixture, 0),
                                    MTM_OBSERVER_2, &scene.cache, &scene.kind, NULL),
                     MTM_OK);
    assert_int_equal(mtmi_kind_share_tables(&scene.tables, &scene.kind, NULL), MTM_OK);
    return scene;
}

static void close_scene(struct scene *scene)
{
    mtmi_kind_free(&scene->kind);
    mtmi_code_tables_free(&scene->tables);
    mtmi_level_cache_free(&scene->cache);
    mtm_fixture_free(scene->fixture);
}

static const char narrow[] = "'a', 'b', 'c', 'd'";
static const char dimmed[] = "'a', 'b', 'c', 'd', 'dimmer'";
static const char wide[] = "'a', 'a.fine', 'b', 'b.fine', 'c', 'c.fine', 'd', 'd.fine'";

/* The code of a level gives that level, to a small part of it and of what it lacks to full, and to
 * 2/65536 of a code. */
static void check_tables(const struct scene *scene, double level, double from_end)
{
    for (size_t i = 0; i < scene->kind.channel_count; i++) {
        double code = mtmi_code_table_at(scene->kind.codes[i], level) / 65536.0;
        double got = mtmi_level_of(&scene->kind, i, code);
        double next = fmin(code + 2 / 65536.0, scene->kind.most[i]);
        double unit = mtmi_level_of(&scene->kind, i, next) -
                      mtmi_level_of(&scene->kind, i, fmax(0, code - 2 / 65536.0));

        double part = scene->kind.most[i] > 255 ? 1.0 / 49000 : 1.0 / 250;
        if (!(fabs(got - level) <= part * from_end + unit + 1e-12))
            fail_msg("channel %zu of %d: %.12g for %.12g", i, scene->kind.most[i], got, level);
    }
}

static void test_tables(void **state)
{
    const char *const modes[] = {narrow, dimmed, wide};

    (void)state;
    for (size_t m = 0; m < COUNT(modes); m++) {
        struct scene scene = open_scene(modes[m]);
        for (double from_end = 1e-10; from_end <= 0.5; from_end *= 1.0037) {
            check_tables(&scene, from_end, from_end);
            check_tables(&scene, 1 - from_end, from_end);
        }
        check_tables(&scene, 0, 0);
        check_tables(&scene, 1, 0);
        close_scene(&scene);
    }
}

/* Emitters wanted at a code's own level, but for rounding, beside others between codes. */
static void check_settled(const struct scene *scene, struct random *random)
{
    const mtmi_kind *kind = &scene->kind;
    const size_t count = kind->emitters.count;
    mtmi_wish wish = {.dimmer = 1};
    uint32_t own[MTM_EMITTERS_MAX] = {0}, code[MTMI_CHANNELS_MAX] = {0};
    size_t dimmer = kind->has_dimmer ? 1 + random_index(random, 255) : 255;

    wish.guided = mtmi_dimmer_role_of(kind, MTM_DIMMING_FINEST) == MTMI_DIMMER_GUIDED;
    if (kind->has_dimmer)
        wish.dimmer = kind->light[count][dimmer];
    for (size_t i = 0; i < count; i++) {
        own[i] = (uint32_t)(random_index(random, 3) == 0 ? 0 : random_index(random, 256));
        wish.level[i] = wish.dimmer * kind->light[i][own[i]];
        wish.level[i] = fmax(0, wish.level[i] + random_between(random, -9e-13, 9e-13));
    }
    size_t between = random_index(random, count);
    wish.level[between] = wish.dimmer * random_between(random, 0.01, 0.99);
    mtmi_choose_codes(kind, &wish, code);
    for (size_t i = 0; i < count; i++) {
        if (i != between && code[i] != own[i] && kind->light[i][code[i]] != kind->light[i][own[i]])
            fail_msg("emitter %zu: %u for %u, dimmer %zu", i, code[i], own[i], dimmer);
    }
    if (kind->has_dimmer)
        assert_int_equal(code[count], dimmer);
}

static void test_settled(void **state)
{
    struct random random = {20};
    const char *const modes[] = {narrow, dimmed};

    (void)state;
    for (size_t m = 0; m < COUNT(modes); m++) {
        struct scene scene = open_scene(modes[m]);
        for (int i = 0; i < 5000; i++)
            check_settled(&scene, &random);
        close_scene(&scene);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_tables),
        cmocka_unit_test(test_settled),
    };

    return cmocka_run_group_tests_name("codes of fades", tests, NULL, NULL);
}
