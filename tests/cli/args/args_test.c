/* SPDX-License-Identifier: MIT */
/* Args: every row of every table of choices is found by its name, and the first stands where none
 * is said. */
#include "support/check.h"

#include "cli/args/args.h"

/* A command line of one option, with as many words as the command wants. */
static const void *row_for(const struct command *command, const struct option_spec *option,
                           const char *value)
{
    char *argv[24];
    char text[96];
    int argc = 0;
    struct args args;
    mtm_error error = {""};

    if (value != NULL) {
        (void)snprintf(text, sizeof text, "--%s=%s", option->name, value);
        argv[argc++] = text;
    }
    for (size_t i = 0; i < command->words_least; i++)
        argv[argc++] = (char *)(uintptr_t) "word";
    /* what it goes with is missing here, and looked at after the choice */
    mtm_result result = args_parse(command, argc, argv, &args, &error);
    assert_int_equal(result, value == NULL || option->with == NULL ? MTM_OK : MTM_PARSE);
    const void *row = args_choice(&args, option->name);
    args_free(&args);
    return row;
}

static void walk_option(const struct command *command, const struct option_spec *option)
{
    const struct choices *choices = &option->choices;

    assert_non_null(choice_name(choices, 0));
    assert_ptr_equal(row_for(command, option, NULL), choice_row(choices, 0));
    for (size_t i = 0; choice_name(choices, i) != NULL; i++)
        assert_ptr_equal(row_for(command, option, choice_name(choices, i)), choice_row(choices, i));
}

static void test_choices(void **state)
{
    size_t walked = 0;

    (void)state;
    for (const struct command *const *command = commands; *command != NULL; command++) {
        for (const struct option_group *group = (*command)->groups; group->title != NULL; group++) {
            for (const struct option_spec *o = group->options; o->name != NULL; o++) {
                if (o->type != VALUE_CHOICE)
                    continue;
                walk_option(*command, o);
                walked++;
            }
        }
    }
    assert_true(walked >= 14); /* each command that computes has --format at least */
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_choices)};

    return cmocka_run_group_tests_name("args", tests, NULL, NULL);
}
