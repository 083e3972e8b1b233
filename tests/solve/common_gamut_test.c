/* SPDX-License-Identifier: MIT */
/* Common gamut: clipping against plane geometry worked by hand, and by sampling. */
#include "support/check.h"

#include "solve/common_gamut.h"

static mtm_uv corner[256];
static mtm_uv scratch[256];

static mtmi_polygon polygon_of(const mtm_uv *list, size_t count)
{
    memcpy(corner, list, count * sizeof *list);
    return (mtmi_polygon){.corner = corner, .count = count, .room = COUNT(corner)};
}

static void check_nearest(const mtmi_polygon *polygon, mtm_uv from, mtm_uv wanted)
{
    mtm_uv got = mtmi_polygon_nearest(polygon, from);

    CHECK_NEAR("u", got.u, wanted.u, 1e-9);
    CHECK_NEAR("v", got.v, wanted.v, 1e-9);
}

/* Two unit squares shifted by a half: the quarter they share. Plane geometry. */
static void test_squares(void **state)
{
    const mtm_uv a[] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
    const mtm_uv b[] = {{0.5, 0.5}, {1.5, 0.5}, {1.5, 1.5}, {0.5, 1.5}};
    mtmi_polygon polygon = polygon_of(a, 4);

    (void)state;
    mtmi_polygon_clip(&polygon, b, 4, scratch);
    check_nearest(&polygon, (mtm_uv){0, 0}, (mtm_uv){0.5, 0.5});
    check_nearest(&polygon, (mtm_uv){0.7, 0.8}, (mtm_uv){0.7, 0.8});
    check_nearest(&polygon, (mtm_uv){2, 0.75}, (mtm_uv){1, 0.75});
}

static void test_segments_cross(void **state)
{
    const mtm_uv a[] = {{0, 0}, {1, 1}};
    const mtm_uv b[] = {{0, 1}, {1, 0}};
    mtmi_polygon polygon = polygon_of(a, 2);

    (void)state;
    mtmi_polygon_clip(&polygon, b, 2, scratch);
    assert_true(polygon.count >= 1);
    check_nearest(&polygon, (mtm_uv){0.9, 0.2}, (mtm_uv){0.5, 0.5});
}

static void test_segments_miss(void **state)
{
    const mtm_uv a[] = {{0, 0}, {1, 1}};
    const mtm_uv aside[] = {{0, 0.1}, {1, 1.1}};
    const mtm_uv beyond[] = {{1.1, 1.1}, {2, 2}};
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
    const mtm_uv a[] = {{0.2512, 0.5216}, {0.1987, 0.4701}};
    mtmi_polygon polygon = polygon_of(a, 2);

    (void)state;
    for (int i = 0; i < 20; i++)
        mtmi_polygon_clip(&polygon, a, 2, scratch);
    check_nearest(&polygon, (mtm_uv){0.3, 0.6}, a[0]);
    check_nearest(&polygon, (mtm_uv){0.1, 0.4}, a[1]);
}

static void test_point(void **state)
{
    const mtm_uv triangle[] = {{0, 0}, {1, 0}, {0, 1}};
    const mtm_uv inside[] = {{0.2, 0.3}};
    const mtm_uv outside[] = {{0.7, 0.7}};
    mtmi_polygon polygon = polygon_of(triangle, 3);

    (void)state;
    mtmi_polygon_clip(&polygon, inside, 1, scratch);
    assert_true(polygon.count >= 1);
    check_nearest(&polygon, (mtm_uv){0, 0}, inside[0]);
    polygon = polygon_of(triangle, 3);
    mtmi_polygon_clip(&polygon, outside, 1, scratch);
    assert_int_equal(polygon.count, 0);
}

static double random_unit(unsigned *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return (double)(*seed >> 8) / 16777216.0;
}

static void random_triangle(unsigned *seed, mtm_uv *t)
{
    for (int i = 0; i < 3; i++)
        t[i] = (mtm_uv){random_unit(seed), random_unit(seed)};
    double turn = (t[1].u - t[0].u) * (t[2].v - t[0].v) - (t[1].v - t[0].v) * (t[2].u - t[0].u);
    if (turn < 0) {
        mtm_uv swap = t[1];
        t[1] = t[2];
        t[2] = swap;
    }
}

static int in_triangle(const mtm_uv *t, mtm_uv p, double slack)
{
    for (int i = 0; i < 3; i++) {
        mtm_uv a = t[i];
        mtm_uv b = t[(i + 1) % 3];
        if ((b.u - a.u) * (p.v - a.v) - (b.v - a.v) * (p.u - a.u) < slack)
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
        mtm_uv a[3];
        mtm_uv b[3];
        random_triangle(&seed, a);
        random_triangle(&seed, b);
        mtmi_polygon polygon = polygon_of(a, 3);
        mtmi_polygon_clip(&polygon, b, 3, scratch);
        for (int i = 0; i < 200; i++) {
            mtm_uv p = {random_unit(&seed), random_unit(&seed)};
            int inside = in_triangle(a, p, 1e-6) && in_triangle(b, p, 1e-6);
            int outside = !in_triangle(a, p, -1e-6) || !in_triangle(b, p, -1e-6);
            if (polygon.count == 0) {
                assert_false(inside);
                continue;
            }
            double away = mtm_uv_distance(mtmi_polygon_nearest(&polygon, p), p);
            if (inside)
                assert_true(away <= 1e-9);
            else if (outside)
                assert_true(away > 1e-9);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_squares),       cmocka_unit_test(test_segments_cross),
        cmocka_unit_test(test_segments_miss), cmocka_unit_test(test_same_segment),
        cmocka_unit_test(test_point),         cmocka_unit_test(test_random),
    };

    return cmocka_run_group_tests_name("common gamut", tests, NULL, NULL);
}
