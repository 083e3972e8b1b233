/* SPDX-License-Identifier: MIT */
/* README: every "$ metamer ..." in a console block prints what the README shows. A line "[...]"
 * stands for the rest of an output. With METAMER_REWRITE set, the README gets the real outputs. */
#include "support/command.h"

#include "base/file.h"
#include "base/text.h"

/* The end of what the block shows after a command: the next command or the fence. */
static const char *end_of_shown(const char *at)
{
    while (*at != '\0' && strncmp(at, "$ ", 2) != 0 && strncmp(at, "```", 3) != 0) {
        const char *line_end = strchr(at, '\n');
        if (line_end == NULL)
            return at + strlen(at);
        at = line_end + 1;
    }
    return at;
}

/* Output and sentences of a command line, without the line ends behind the last line. */
static char *output_of(const char *line)
{
    struct ran ran = run_line(line);
    size_t room = strlen(ran.out) + strlen(ran.err) + 1;
    char *both = malloc(room);

    assert_non_null(both);
    (void)snprintf(both, room, "%s%s", ran.out, ran.err);
    ran_free(&ran);
    for (size_t length = strlen(both); length > 0 && both[length - 1] == '\n';)
        both[--length] = '\0';
    return both;
}

/* Bytes of shown that count: no line ends behind the last line. */
static size_t length_of(const char *shown, const char *end)
{
    while (end > shown && end[-1] == '\n')
        end--;
    return (size_t)(end - shown);
}

/* True if the README shows what was printed, as far as it shows it. */
static bool same(const char *got, const char *shown, size_t length)
{
    static const char rest[] = "[...]";
    size_t rest_length = strlen(rest);

    if (length >= rest_length && strncmp(shown + length - rest_length, rest, rest_length) == 0)
        return strncmp(got, shown, length - rest_length) == 0;
    return strlen(got) == length && strncmp(got, shown, length) == 0;
}

/* Checks the command at *at and moves behind what is shown of it; what should stand there is added
 * to fresh. */
static void check_command(const char **at, mtmi_text *fresh)
{
    const char *line_end = strchr(*at, '\n');
    char line[512];

    assert_non_null(line_end);
    (void)snprintf(line, sizeof line, "%.*s", (int)(line_end - *at - 10), *at + 10);
    const char *shown = line_end + 1;
    const char *end = end_of_shown(shown);
    size_t length = length_of(shown, end);
    char *got = output_of(line);
    bool good = same(got, shown, length);

    if (!good && getenv("METAMER_REWRITE") == NULL)
        fail_msg("%s: prints\n%s\nbut the README shows\n%.*s\n(with METAMER_REWRITE=1 set, this "
                 "test puts the real outputs there)",
                 line, got, (int)length, shown);
    mtmi_text_add_bytes(fresh, *at, (size_t)(shown - *at));
    if (good)
        mtmi_text_add_bytes(fresh, shown, (size_t)(end - shown));
    else
        mtmi_text_add(fresh, "%s\n%s", got, strncmp(end, "$ ", 2) == 0 ? "\n" : "");
    free(got);
    *at = end;
}

static void test_readme(void **state)
{
    char *text = NULL;
    size_t length = 0;
    mtmi_text fresh = {0};
    mtm_error error = {""};
    int count = 0;

    (void)state;
    assert_int_equal(mtmi_file_read("README.md", 1 << 20, &text, &length, &error), MTM_OK);
    for (const char *at = text; at != NULL && *at != '\0';) {
        if (strncmp(at, "$ metamer ", 10) == 0) {
            check_command(&at, &fresh);
            count++;
            continue;
        }
        const char *line_end = strchr(at, '\n');
        const char *next = line_end != NULL ? line_end + 1 : at + strlen(at);
        mtmi_text_add_bytes(&fresh, at, (size_t)(next - at));
        at = next;
    }
    assert_true(count > 10);
    if (getenv("METAMER_REWRITE") != NULL)
        assert_int_equal(mtmi_file_write("README.md", fresh.data, fresh.length, &error), MTM_OK);
    mtmi_text_free(&fresh);
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_readme)};

    return cmocka_run_group_tests_name("README", tests, enter_source, NULL);
}
