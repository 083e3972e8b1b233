/* SPDX-License-Identifier: MIT */
/* Memory that is taken piece by piece: zeroed, aligned, apart, and refused where it cannot be. */
#include "base/pool.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

enum { PIECES = 5 };

static void test_pieces_are_zeroed_aligned_and_apart(void **state)
{
    static const size_t count[PIECES] = {0, 1, 7, 4096, 3};
    static const size_t size[PIECES] = {8, 1, 24, 2, 16};
    mtmi_pool pool = {0};
    unsigned char *piece[PIECES];

    (void)state;
    for (size_t i = 0; i < PIECES; i++) {
        piece[i] = mtmi_pool_take(&pool, count[i], size[i]);
        assert_non_null(piece[i]);
        assert_int_equal((uintptr_t)piece[i] % _Alignof(max_align_t), 0);
        for (size_t k = 0; k < count[i] * size[i]; k++)
            assert_int_equal(piece[i][k], 0);
        memset(piece[i], (int)i + 1, count[i] * size[i]);
    }
    for (size_t i = 0; i < PIECES; i++) {
        for (size_t k = 0; k < count[i] * size[i]; k++)
            assert_int_equal(piece[i][k], i + 1);
    }
    assert_false(pool.failed);
    mtmi_pool_free(&pool);
    assert_null(pool.last);
}

static void test_what_cannot_be_is_remembered_until_freed(void **state)
{
    static const size_t count[] = {SIZE_MAX, SIZE_MAX / 8, SIZE_MAX / 8 - 2};

    (void)state;
    for (size_t i = 0; i < sizeof count / sizeof count[0]; i++) {
        mtmi_pool pool = {0};
        assert_non_null(mtmi_pool_take(&pool, 1, 8));
        assert_null(mtmi_pool_take(&pool, count[i], 8));
        assert_true(pool.failed);
        assert_non_null(mtmi_pool_take(&pool, 1, 8));
        assert_true(pool.failed);
        mtmi_pool_free(&pool);
        assert_false(pool.failed);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_pieces_are_zeroed_aligned_and_apart),
        cmocka_unit_test(test_what_cannot_be_is_remembered_until_freed),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
