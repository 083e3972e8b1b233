/* SPDX-License-Identifier: MIT */
/* The version: what the headers say in numbers, in text, and what the library says, is one. */
#include "support/check.h"

#include <metamer/base.h>
#include <metamer/version.h>

#include <stdio.h>
#include <string.h>

#if MTM_VERSION_NUMBER < 100 /* the preprocessor can compare it */
#error "no version below 0.1.0 was ever made"
#endif

static void test_one_version(void **state)
{
    char text[40];

    (void)state;
    (void)snprintf(text, sizeof text, "%d.%d.%d", MTM_VERSION_MAJOR, MTM_VERSION_MINOR,
                   MTM_VERSION_PATCH);
    assert_string_equal(text, MTM_VERSION);
    assert_string_equal(text, mtm_version());
}

/* Below a hundred each, so that a later version is always a larger number. */
static void test_number(void **state)
{
    (void)state;
    assert_true(MTM_VERSION_MINOR < 100 && MTM_VERSION_PATCH < 100);
    assert_int_equal(MTM_VERSION_NUMBER / 10000, MTM_VERSION_MAJOR);
    assert_int_equal(MTM_VERSION_NUMBER / 100 % 100, MTM_VERSION_MINOR);
    assert_int_equal(MTM_VERSION_NUMBER % 100, MTM_VERSION_PATCH);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_one_version),
        cmocka_unit_test(test_number),
    };

    return cmocka_run_group_tests_name("version", tests, NULL, NULL);
}
