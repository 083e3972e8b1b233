/* SPDX-License-Identifier: MIT */
/* README: every "$ metamer ..." in a console block prints what the README shows. A line "[...]"
 * stands for the rest of an output. With METAMER_SHOW set, prints the real outputs instead. */
#include "support/command.h"

#include "base/file.h"

/* What the block shows after the command at *at, up to the next command or the fence. */
static char *shown_output(const char **at)
{
    const char *start = *at;
    const char *end = start;

    while (*end != '\0' && strncmp(end, "$ ", 2) != 0 && strncmp(end, "```", 3) != 0) {
        end = strchr(end, '\n');
        assert_non_null(end);
        end++;
    }
    char *text = strndup(start, (size_t)(end - start));
    assert_non_null(text);
    *at = end;
    return text;
}

/* Blank lines before the next command are the README's, not the output's. */
static void trim(char *text)
{
    size_t length = strlen(text);

    while (length > 0 && text[length - 1] == '\n')
        text[--length] = '\0';
}

static void compare(const char *line, char *got, char *shown)
{
    char *rest = strstr(shown, "[...]");

    trim(got);
    if (rest != NULL) {
        if (strncmp(got, shown, (size_t)(rest - shown)) != 0)
            fail_msg("%s: prints\n%s\nbut the README shows\n%s", line, got, shown);
        return;
    }
    trim(shown);
    if (strcmp(got, shown) != 0)
        fail_msg("%s: prints\n%s\nbut the README shows\n%s", line, got, shown);
}

static void check_command(const char **at)
{
    const char *end = strchr(*at, '\n');
    char line[512];

    assert_non_null(end);
    (void)snprintf(line, sizeof line, "%.*s", (int)(end - *at - 10), *at + 10);
    *at = end + 1;
    char *shown = shown_output(at);
    struct ran ran = run_line(line);
    char *both = NULL;
    size_t room = strlen(ran.out) + strlen(ran.err) + 1;
    both = malloc(room);
    assert_non_null(both);
    (void)snprintf(both, room, "%s%s", ran.out, ran.err);
    if (getenv("METAMER_SHOW") != NULL)
        printf("$ metamer %s\n%s\n", line, both);
    else
        compare(line, both, shown);
    free(both);
    ran_free(&ran);
    free(shown);
}

static void test_readme(void **state)
{
    char *text = NULL;
    size_t length = 0;
    mtm_error error = {""};
    int count = 0;

    (void)state;
    assert_int_equal(mtmi_file_read("README.md", 1 << 20, &text, &length, &error), MTM_OK);
    for (const char *at = strstr(text, "```console\n"); at != NULL;
         at = strstr(at, "```console\n")) {
        at += strlen("```console\n");
        while (strncmp(at, "```", 3) != 0) {
            if (strncmp(at, "$ metamer ", 10) == 0) {
                check_command(&at);
                count++;
            } else {
                at = strchr(at, '\n') + 1;
            }
        }
    }
    free(text);
    assert_true(count > 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_readme)};

    return cmocka_run_group_tests_name("README", tests, enter_source, NULL);
}
