/* SPDX-License-Identifier: MIT */
/* The picture of a palette: swatches in rows and columns, in the colours that sRGB gives them, the
 * worst miss framed; one unit and thousands, one colour and forty. */
#include "support/check.h"
#include "support/drawn.h"
#include "support/trial.h"

#include <metamer/palette_picture.h>

/* What a picture is made of. */
struct work {
    mtm_rig *rig;
    mtm_palette *palette;
    mtm_match *match;
    size_t count;
};

static struct work match_all(mtm_rig *rig, const char *colours)
{
    struct work work = {.rig = rig, .count = mtm_rig_unit_count(rig)};
    mtm_error error = {""};
    mtm_matcher *matcher = NULL;
    char *text = trial_json(colours);

    trial_must(mtm_palette_parse(text, strlen(text), "colours", NULL, rig, MTM_OBSERVER_2,
                                 &work.palette, &error),
               &error);
    free(text);
    trial_must(mtm_matcher_create(rig, MTM_OBSERVER_2, &matcher, &error), &error);
    size_t colour_count = mtm_palette_count(work.palette);
    work.match = calloc(work.count * colour_count, sizeof *work.match);
    assert_non_null(work.match);
    for (size_t k = 0; k < colour_count; k++) {
        const mtm_match_request request = {.target = *mtm_palette_colour(work.palette, k)};
        for (size_t i = 0; i < work.count; i++)
            trial_must(
                mtm_matcher_unit(matcher, i, &request, &work.match[k * work.count + i], &error),
                &error);
    }
    mtm_matcher_free(matcher);
    return work;
}

static void free_work(struct work *work)
{
    free(work->match);
    mtm_palette_free(work->palette);
    mtm_rig_free(work->rig);
}

static mtm_picture *draw(const struct work *work, const mtm_picture_options *options)
{
    const mtm_palette_view view = {
        .rig = work->rig, .palette = work->palette, .match = work->match, .count = work->count};
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    mtm_result result = mtm_picture_of_palette(&view, options, &picture, &error);

    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: %s\n", error.text);
        skip();
    }
    trial_must(result, &error);
    return picture;
}

/* A filled surface with as many points as a swatch with a whole, or a cut, corner: a rectangle's
 * path comes back to its first. */
static bool is_swatch(const struct drawn *path, const double fill[3])
{
    for (int i = 0; i < 3; i++) {
        if (fabs(path->fill[i] - fill[i]) > 1.01 / 255)
            return false;
    }
    return path->filled && path->points >= 4 && path->points <= 6 &&
           path->right - path->left > 20 && path->bottom - path->top < 30;
}

/* Swatches of a colour, and the box about all of them. */
static struct drawn find_swatches(const struct drawing *drawing, const double fill[3], int *count)
{
    struct drawn all = {.left = INFINITY, .top = INFINITY, .right = -INFINITY, .bottom = -INFINITY};

    *count = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        if (!is_swatch(path, fill))
            continue;
        ++*count;
        all.left = fmin(all.left, path->left);
        all.right = fmax(all.right, path->right);
        all.top = fmin(all.top, path->top);
        all.bottom = fmax(all.bottom, path->bottom);
    }
    return all;
}

static const struct trial_unit units[] = {{"wash", "three-colour-wash.json", "8-bit"},
                                          {"white", "tunable-white.json", "8-bit"}};

/* Illuminant A beside D65 is 255, 178, 100 on an sRGB screen (IEC 61966-2-1, see swatch_test), and
 * its own primary blue 0, 0, 255. The wash makes both, the tunable white cannot make the blue, and
 * is framed there. */
static void test_places(void **state)
{
    struct work work = match_all(trial_rig(units, COUNT(units)),
                                 "{'metamer': 'colours/1', 'name': 'two', 'colours': {"
                                 "'warm': {'xy': [0.44758, 0.40745]}, 'blue': {'xy': [0.15, 0.06]}"
                                 "}}");
    mtm_picture *picture = draw(&work, NULL);
    struct drawing drawing = drawn_read(picture);
    const double warm[3] = {1, 178 / 255.0, 100 / 255.0}, blue[3] = {0, 0, 1};
    int warm_count = 0, blue_count = 0, frames = 0;
    struct drawn warms = find_swatches(&drawing, warm, &warm_count);
    struct drawn blues = find_swatches(&drawing, blue, &blue_count);

    (void)state;
    /* wanted, and of each unit the strip; the wash's own light too, within a step of it */
    assert_true(warm_count >= 3);
    assert_true(blue_count >= 3);
    CHECK_NEAR("the same rows: top", blues.top, warms.top, 0.01);
    CHECK_NEAR("the same rows: bottom", blues.bottom, warms.bottom, 0.01);
    assert_true(blues.left > warms.right);
    /* the frame holds the last blue swatch, which is the tunable white's */
    for (size_t i = 0; i < drawing.count; i++) {
        const struct drawn *path = &drawing.path[i];
        if (path->filled || !(path->line > 1.9) || path->right - path->left < 20)
            continue;
        frames++;
        CHECK_NEAR("its middle", (path->left + path->right) / 2, (blues.left + blues.right) / 2,
                   0.5);
        assert_true(path->left < blues.left && path->right > blues.right);
        assert_true(path->top < blues.bottom - 5 && path->bottom > blues.bottom);
    }
    assert_int_equal(frames, 1);
    free(drawing.path);
    mtm_picture_free(picture);
    free_work(&work);
}

static const struct crowd {
    const char *name;
    size_t units, colours;
    double width, height;
} crowds[] = {
    {"one by one", 1, 1, 0, 0},           {"31 by 40", 31, 40, 0, 0},
    {"31 by 40, 600 px", 31, 40, 600, 0}, {"31 by 40, least", 31, 40, 240, 240},
    {"2000 by 4", 2000, 4, 0, 0},         {"2 by 1000", 2, 1000, 300, 8192},
};

/* Units of two fixtures in turns; hostile names. */
static mtm_rig *rig_of(size_t count)
{
    mtm_rig *rig = NULL;
    mtm_fixture *fixture[COUNT(units)] = {NULL};
    mtm_error error = {""};

    trial_must(mtm_rig_create("many", &rig, &error), &error);
    for (size_t i = 0; i < COUNT(units); i++) {
        char *path = malloc(strlen(getenv("METAMER_PROFILES")) + 64);
        assert_non_null(path);
        (void)sprintf(path, "%s/%s", getenv("METAMER_PROFILES"), units[i].fixture);
        trial_must(mtm_fixture_load(path, &fixture[i], &error), &error);
        free(path);
        trial_must(mtm_rig_add_fixture(rig, fixture[i], &error), &error);
    }
    for (size_t i = 0; i < count; i++) {
        const mtm_fixture *of = fixture[i % COUNT(units)];
        char name[40];
        (void)snprintf(name, sizeof name, "unit-<%zu>&", i + 1);
        const mtm_unit unit = {.name = name,
                               .fixture_file = "x",
                               .fixture = of,
                               .mode = mtm_fixture_mode(of, 0),
                               .supply = -1,
                               .follows = -1};
        trial_must(mtm_rig_add_unit(rig, &unit, &error), &error);
    }
    return rig;
}

static char *colours_of(size_t count)
{
    char *text = malloc(120 + 100 * count);

    assert_non_null(text);
    int used = sprintf(text, "{'metamer': 'colours/1', 'name': 'many', 'colours': {");
    for (size_t k = 0; k < count; k++)
        used += sprintf(text + used, "%s'colour %zu': {'xy': [%.4f, %.4f]}", k > 0 ? ", " : "",
                        k + 1, 0.2 + 0.4 * (double)k / (double)count, 0.3);
    (void)sprintf(text + used, "}}");
    return text;
}

/* The same bytes twice, and nothing beside the page. */
static void test_crowd(void **state)
{
    const struct crowd *crowd = *state;
    char *colours = colours_of(crowd->colours);
    struct work work = match_all(rig_of(crowd->units), colours);
    const mtm_picture_options options = {.width = crowd->width, .height = crowd->height};
    double width = crowd->width > 0 ? crowd->width : 1000;
    mtm_picture *picture = draw(&work, &options);
    mtm_picture *again = draw(&work, &options);
    struct drawing drawing = drawn_read(picture);
    size_t count = 0, count_again = 0;

    for (size_t k = 0; k < drawing.count; k++) {
        const struct drawn *path = &drawing.path[k];
        if (!(path->left >= -1 && path->right <= width + 1 && path->top >= -1))
            fail_msg("a path is beside the page: %g..%g, %g", path->left, path->right, path->top);
        if (crowd->height > 0 && crowd->units > 1)
            assert_true(path->bottom <= crowd->height + 1);
    }
    const void *bytes = mtm_picture_bytes(picture, &count);
    const void *bytes_again = mtm_picture_bytes(again, &count_again);
    assert_int_equal(count, count_again);
    assert_memory_equal(bytes, bytes_again, count);
    free(drawing.path);
    mtm_picture_free(picture);
    mtm_picture_free(again);
    free(colours);
    free_work(&work);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(crowds) + 1];

    ROW_TESTS(tests, crowds, test_crowd);
    tests[COUNT(crowds)] = (struct CMUnitTest)cmocka_unit_test(test_places);
    return cmocka_run_group_tests_name("picture of a palette", tests, NULL, NULL);
}
