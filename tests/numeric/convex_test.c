/* SPDX-License-Identifier: MIT */
/* Convex polygons: clipping against plane geometry worked by hand, and by sampling. */
#include "support/check.h"

#include "numeric/convex.h"

static mtmi_point corner[256];
static mtmi_point scratch[256];

static mtmi_polygon polygon_of(const mtmi_point *list, size_t count)
{
    memcpy(corner, list, count * sizeof *list);
    return (mtmi_polygon){.corner = corner, .count = count, .room = COUNT(corner)};
}

static void check_nearest(const mtmi_polygon *polygon, mtmi_point from, mtmi_point wanted)
{
    mtmi_point got = mtmi_polygon_nearest(polygon, from);

    CHECK_NEAR("x", got.x, wanted.x, 1e-9);
    CHECK_NEAR("y", got.y, wanted.y, 1e-9);
}

/* Two unit squares shifted by a half: the quarter they share. Plane geometry. */
static void test_squares(void **state)
{
    const mtmi_point a[] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
    const mtmi_point b[] = {{0.5, 0.5}, {1.5, 0.5}, {1.5, 1.5}, {0.5, 1.5}};
    mtmi_polygon polygon = polygon_of(a, 4);

    (void)state;
    mtmi_polygon_clip(&polygon, b, 4, scratch);
    check_nearest(&polygon, (mtmi_point){0, 0}, (mtmi_point){0.5, 0.5});
    check_nearest(&polygon, (mtmi_point){0.7, 0.8}, (mtmi_point){0.7, 0.8});
    check_nearest(&polygon, (mtmi_point){2, 0.75}, (mtmi_point){1, 0.75});
}

static void test_segments_cross(void **state)
{
    const mtmi_point a[] = {{0, 0}, {1, 1}};
    const mtmi_point b[] = {{0, 1}, {1, 0}};
    mtmi_polygon polygon = polygon_of(a, 2);

    (void)state;
    mtmi_polygon_clip(&polygon, b, 2, scratch);
    assert_true(polygon.count >= 1);
    check_nearest(&polygon, (mtmi_point){0.9, 0.2}, (mtmi_point){0.5, 0.5});
}

static void test_segments_miss(void **state)
{
    const mtmi_point a[] = {{0, 0}, {1, 1}};
    const mtmi_point aside[] = {{0, 0.1}, {1, 1.1}};
    const mtmi_point beyond[] = {{1.1, 1.1}, {2, 2}};
    mtmi_polygon polygon = polygon_of(a, 2);

    (void)state;
    mtmi_polygon_clip(&polygon, aside, 2, scratch);
    assert_int_equal(polygon.count, 0);
    polygon = polygon_of(a, 2);
    mtmi_polygon_clip(&polygon, beyond, 2, scratch);
    assert_int_equal(polygon.count, 0);
}

static void test_same_segment(void **state)
{
    const mtmi_point a[] = {{0.2512, 0.5216}, {0.1987, 0.4701}};
    mtmi_polygon polygon = polygon_of(a, 2);

    (void)state;
    for (int i = 0; i < 20; i++)
        mtmi_polygon_clip(&polygon, a, 2, scratch);
    check_nearest(&polygon, (mtmi_point){0.3, 0.6}, a[0]);
    check_nearest(&polygon, (mtmi_point){0.1, 0.4}, a[1]);
}

static void test_point(void **state)
{
    const mtmi_point triangle[] = {{0, 0}, {1, 0}, {0, 1}};
    const mtmi_point inside[] = {{0.2, 0.3}};
    const mtmi_point outside[] = {{0.7, 0.7}};
    mtmi_polygon polygon = polygon_of(triangle, 3);

    (void)state;
    mtmi_polygon_clip(&polygon, inside, 1, scratch);
    assert_true(polygon.count >= 1);
    check_nearest(&polygon, (mtmi_point){0, 0}, inside[0]);
    polygon = polygon_of(triangle, 3);
    mtmi_polygon_clip(&polygon, outside, 1, scratch);
    assert_int_equal(polygon.count, 0);
}

static double random_unit(unsigned *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return (double)(*seed >> 8) / 16777216.0;
}

static void random_triangle(unsigned *seed, mtmi_point *t)
{
    for (int i = 0; i < 3; i++)
        t[i] = (mtmi_point){random_unit(seed), random_unit(seed)};
    double turn = (t[1].x - t[0].x) * (t[2].y - t[0].y) - (t[1].y - t[0].y) * (t[2].x - t[0].x);
    if (turn < 0) {
        mtmi_point swap = t[1];
        t[1] = t[2];
        t[2] = swap;
    }
}

static int in_triangle(const mtmi_point *t, mtmi_point p, double slack)
{
    for (int i = 0; i < 3; i++) {
        mtmi_point a = t[i];
        mtmi_point b = t[(i + 1) % 3];
        if ((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) < slack)
            return 0;
    }
    return 1;
}

/* A point is kept exactly if it lies in both triangles: 200 pairs, 200 points each. */
static void test_random(void **state)
{
    unsigned seed = 7;

    (void)state;
    for (int round = 0; round < 200; round++) {
        mtmi_point a[3];
        mtmi_point b[3];
        random_triangle(&seed, a);
        random_triangle(&seed, b);
        mtmi_polygon polygon = polygon_of(a, 3);
        mtmi_polygon_clip(&polygon, b, 3, scratch);
        for (int i = 0; i < 200; i++) {
            mtmi_point p = {random_unit(&seed), random_unit(&seed)};
            int inside = in_triangle(a, p, 1e-6) && in_triangle(b, p, 1e-6);
            int outside = !in_triangle(a, p, -1e-6) || !in_triangle(b, p, -1e-6);
            if (polygon.count == 0) {
                assert_false(inside);
                continue;
            }
            double away = mtmi_point_distance(mtmi_polygon_nearest(&polygon, p), p);
            if (inside)
                assert_true(away <= 1e-9);
            else if (outside)
                assert_true(away > 1e-9);
        }
    }
}

/* The unit square: its corners, its middle, a point on a side, a corner twice. Plane geometry. */
static void test_hull_of_square(void **state)
{
    mtmi_point point[] = {{1, 1}, {0.5, 0.5}, {0, 0}, {0.5, 0}, {1, 0}, {0, 1}, {1, 1}};
    const mtmi_point wanted[] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
    mtmi_point hull[COUNT(point) + 1];

    (void)state;
    assert_int_equal(mtmi_convex_hull(point, COUNT(point), 1e-12, hull), COUNT(wanted));
    for (size_t i = 0; i < COUNT(wanted); i++) {
        CHECK_NEAR("x", hull[i].x, wanted[i].x, 0);
        CHECK_NEAR("y", hull[i].y, wanted[i].y, 0);
    }
}

static void test_hull_of_few(void **state)
{
    mtmi_point line[] = {{0.2, 0.2}, {0.8, 0.8}, {0.5, 0.5}};
    mtmi_point one[] = {{0.3, 0.4}, {0.3, 0.4}};
    mtmi_point hull[4];

    (void)state;
    assert_int_equal(mtmi_convex_hull(line, 3, 1e-12, hull), 2);
    CHECK_NEAR("first end", hull[0].x, 0.2, 0);
    CHECK_NEAR("second end", hull[1].x, 0.8, 0);
    assert_int_equal(mtmi_convex_hull(one, 2, 1e-12, hull), 1);
    assert_int_equal(mtmi_convex_hull(one, 0, 1e-12, hull), 0);
}

/* Every point lies within the hull, every corner turns left and is one of the points. */
static void test_hull_of_random(void **state)
{
    unsigned seed = 11;

    (void)state;
    for (int round = 0; round < 500; round++) {
        mtmi_point point[16], sorted[16], hull[17];
        for (size_t i = 0; i < COUNT(point); i++)
            sorted[i] = point[i] = (mtmi_point){random_unit(&seed), random_unit(&seed)};
        size_t count = mtmi_convex_hull(sorted, COUNT(sorted), 1e-12, hull);
        assert_true(count >= 3);
        for (size_t i = 0; i < count; i++) {
            mtmi_point a = hull[i], b = hull[(i + 1) % count];
            size_t same = 0;
            for (size_t k = 0; k < COUNT(point); k++) {
                assert_true(mtmi_turn(a, b, point[k]) >= -1e-12);
                same += point[k].x == a.x && point[k].y == a.y;
            }
            assert_true(same == 1);
            assert_true(mtmi_turn(a, b, hull[(i + 2) % count]) > 0);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_squares),        cmocka_unit_test(test_segments_cross),
        cmocka_unit_test(test_segments_miss),  cmocka_unit_test(test_same_segment),
        cmocka_unit_test(test_hull_of_square), cmocka_unit_test(test_hull_of_few),
        cmocka_unit_test(test_hull_of_random), cmocka_unit_test(test_point),
        cmocka_unit_test(test_random),
    };

    return cmocka_run_group_tests_name("convex polygons", tests, NULL, NULL);
}
