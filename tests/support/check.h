/* SPDX-License-Identifier: MIT */
/* What every test program shares: cmocka's headers in their order, rows as tests, near-equality. */
#ifndef METAMER_TESTS_CHECK_H
#define METAMER_TESTS_CHECK_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/** Fails unless |got - wanted| <= tolerance; so written, NaN fails too. */
#define CHECK_NEAR(what, got, wanted, tolerance)                                                   \
    do {                                                                                           \
        double check_got = (got), check_wanted = (wanted);                                         \
        if (!(fabs(check_got - check_wanted) <= (tolerance)))                                      \
            fail_msg("%s: %.9g, wanted %.9g within %g", (what), check_got, check_wanted,           \
                     (double)(tolerance));                                                         \
    } while (0)

/** Fails unless text holds part. */
#define CHECK_HOLDS(text, part)                                                                    \
    do {                                                                                           \
        if (strstr((text), (part)) == NULL)                                                        \
            fail_msg("\"%s\" does not hold \"%s\"", (text), (part));                               \
    } while (0)

/** Makes one cmocka test of each row of a table whose rows have a member .name. */
#define ROW_TESTS(tests, rows, function)                                                           \
    do {                                                                                           \
        for (size_t row_ = 0; row_ < COUNT(rows); row_++)                                          \
            (tests)[row_] =                                                                        \
                (struct CMUnitTest){.name = (rows)[row_].name,                                     \
                                    .test_func = (function),                                       \
                                    .initial_state = (void *)(uintptr_t) & (rows)[row_]};          \
    } while (0)

#endif
