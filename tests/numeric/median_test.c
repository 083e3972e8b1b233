/* SPDX-License-Identifier: MIT */
/* The median, by its definition. */
#include "support/check.h"

#include "numeric/median.h"

static const struct row {
    const char *name;
    size_t count;
    double value[6], median;
} rows[] = {
    {"one", 1, {7}, 7},
    {"two", 2, {1, 4}, 2.5},
    {"odd, unsorted", 5, {9, -1, 3, 8, 2}, 3},
    {"even, unsorted", 6, {9, -1, 3, 8, 2, 100}, 5.5},
    {"equals", 4, {2, 2, 2, 5}, 2},
    {"without end", 3, {INFINITY, 1, -INFINITY}, 1},
};

static void test_median(void **state)
{
    const struct row *row = *state;
    double value[6];

    memcpy(value, row->value, sizeof value);
    CHECK_NEAR(row->name, mtmi_median(value, row->count), row->median, 0);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, test_median);
    return cmocka_run_group_tests_name("median", tests, NULL, NULL);
}
