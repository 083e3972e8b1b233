/* SPDX-License-Identifier: MIT */
/* Labels of crowded things: none over another, none outside, the same in every run. */
#include "support/check.h"
#include "support/random.h"

#include "picture/label.h"

#define LABELS 200

static const mtmi_box page = {20, 30, 800, 500};

static bool overlap(const mtmi_box *a, const mtmi_box *b)
{
    return a->x < b->x + b->width && b->x < a->x + a->width && a->y < b->y + b->height &&
           b->y < a->y + a->height;
}

static void check_boxes(const mtmi_label *label, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const mtmi_box *box = &label[i].box;
        if (!label[i].placed)
            continue;
        if (!(box->x >= page.x && box->y >= page.y && box->x + box->width <= page.x + page.width &&
              box->y + box->height <= page.y + page.height))
            fail_msg("label %zu lies outside the page", i);
        for (size_t j = 0; j < i; j++) {
            if (label[j].placed && overlap(box, &label[j].box))
                fail_msg("labels %zu and %zu overlap", j, i);
        }
        for (size_t j = 0; j < count; j++) { /* nor a mark, which was there before */
            mtmi_box mark = {label[j].at.x - 3, label[j].at.y - 3, 6, 6};
            if (overlap(box, &mark))
                fail_msg("label %zu lies over mark %zu", i, j);
        }
    }
}

/* Things in a heap of this radius about the middle of the page; returns how many found a place. */
static size_t place_heap(uint64_t seed, double radius, mtmi_label label[LABELS])
{
    mtmi_placer *placer = mtmi_placer_create(page);
    struct random random = {seed};
    size_t placed = 0;

    assert_non_null(placer);
    memset(label, 0, LABELS * sizeof *label);
    for (size_t i = 0; i < LABELS; i++) {
        double angle = random_between(&random, 0, 6.283185307179586);
        double away = random_between(&random, 0, radius);
        label[i] = (mtmi_label){.at = {420 + away * cos(angle), 280 + 0.6 * away * sin(angle)},
                                .reach = 3,
                                .width = random_between(&random, 12, 42),
                                .height = 12};
        mtmi_placer_block(placer, (mtmi_box){label[i].at.x - 3, label[i].at.y - 3, 6, 6});
    }
    for (size_t i = 0; i < LABELS; i++)
        placed += mtmi_placer_place(placer, &label[i]);
    assert_false(mtmi_placer_failed(placer));
    mtmi_placer_free(placer);
    return placed;
}

static void test_crowd(void **state)
{
    static mtmi_label first[LABELS], again[LABELS];

    (void)state;
    for (uint64_t seed = 1; seed <= 20; seed++) {
        double radius = 40 + 18 * (double)seed;
        print_message("seed %d, radius %.0f: ", (int)seed, radius);
        size_t placed = place_heap(seed, radius, first);
        print_message("%zu of %d placed\n", placed, LABELS);
        check_boxes(first, LABELS);
        (void)place_heap(seed, radius, again);
        for (size_t i = 0; i < LABELS; i++) {
            assert_int_equal(first[i].placed, again[i].placed);
            assert_memory_equal(&first[i].box, &again[i].box, sizeof first[i].box);
        }
        if (radius > 350)
            assert_true(placed > LABELS * 8 / 10); /* there is room for nearly all */
    }
}

/* One thing in the open has its words to the right; beside the edge, to the left. */
static void test_sides(void **state)
{
    mtmi_placer *placer = mtmi_placer_create(page);
    mtmi_label open = {.at = {400, 200}, .reach = 4, .width = 50, .height = 12};
    mtmi_label edge = {.at = {800, 300}, .reach = 4, .width = 50, .height = 12};
    mtmi_label wide = {.at = {400, 400}, .reach = 4, .width = 900, .height = 12};

    (void)state;
    assert_non_null(placer);
    assert_true(mtmi_placer_place(placer, &open));
    assert_true(open.box.x > 404 && open.box.x < 410 && !open.leader);
    assert_true(mtmi_placer_place(placer, &edge));
    assert_true(edge.box.x + edge.box.width < 796);
    assert_false(mtmi_placer_place(placer, &wide));
    mtmi_placer_free(placer);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_crowd),
        cmocka_unit_test(test_sides),
    };

    return cmocka_run_group_tests_name("labels", tests, NULL, NULL);
}
