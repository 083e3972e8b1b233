/* SPDX-License-Identifier: MIT */
/* The documents (README.md and those in examples): every "$ metamer ..." and "$ build/..." in a
 * console block prints what is shown below it. A line "[...]" stands for the rest of an output.
 * With METAMER_REWRITE set, the documents get the real outputs. */
#include "support/command.h"

#include "base/file.h"
#include "base/text.h"

#include <glob.h>

/* What a line begins with that is run: the command, here in the test, and programs of the build. */
static const char command_prompt[] = "$ metamer ";
static const char program_prompt[] = "$ build/";

static bool begins(const char *at, const char *prompt)
{
    return strncmp(at, prompt, strlen(prompt)) == 0;
}

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

/* Output and sentences of a command line. */
static char *output_of_command(const char *line)
{
    struct ran ran = run_line(line);
    size_t room = strlen(ran.out) + strlen(ran.err) + 1;
    char *both = malloc(room);

    assert_non_null(both);
    (void)snprintf(both, room, "%s%s", ran.out, ran.err);
    ran_free(&ran);
    return both;
}

/* Output of a program of the build, which is to end well; line is what follows "build/". */
static char *output_of_program(const char *line)
{
    const char *build = getenv("METAMER_BUILD");
    char *out = NULL;
    size_t size = 0;
    char command[1024];

    assert_non_null(build);
    (void)snprintf(command, sizeof command, "'%s'/%s", build, line);
    FILE *pipe = popen(command, "r");
    FILE *stream = open_memstream(&out, &size);
    assert_non_null(pipe);
    assert_non_null(stream);
    for (int letter = fgetc(pipe); letter != EOF; letter = fgetc(pipe))
        (void)fputc(letter, stream);
    (void)fclose(stream);
    if (pclose(pipe) != 0)
        fail_msg("%s: does not end well", command);
    return out;
}

/* What the line prints, without the line ends behind its last line. */
static char *output_of(const char *line)
{
    char *output = begins(line, command_prompt) ? output_of_command(line + strlen(command_prompt))
                                                : output_of_program(line + strlen(program_prompt));

    for (size_t length = strlen(output); length > 0 && output[length - 1] == '\n';)
        output[--length] = '\0';
    return output;
}

/* Bytes of shown that count: no line ends behind the last line. */
static size_t length_of(const char *shown, const char *end)
{
    while (end > shown && end[-1] == '\n')
        end--;
    return (size_t)(end - shown);
}

/* Stands for the rest of an output. */
static const char rest[] = "[...]";

/* Bytes of shown before the mark of a rest; length where there is none. */
static size_t length_before_rest(const char *shown, size_t length)
{
    size_t rest_length = strlen(rest);

    if (length >= rest_length && strncmp(shown + length - rest_length, rest, rest_length) == 0)
        return length - rest_length;
    return length;
}

/* True if the document shows what was printed, as far as it shows it. */
static bool same(const char *got, const char *shown, size_t length)
{
    size_t before = length_before_rest(shown, length);

    return strncmp(got, shown, before) == 0 && (before < length || got[before] == '\0');
}

/* Adds what was printed: all of it, or as many lines as are shown before the mark of a rest. */
static void add_output(const char *got, const char *shown, size_t length, mtmi_text *fresh)
{
    size_t before = length_before_rest(shown, length);
    const char *end = got;

    if (before == length) {
        mtmi_text_add(fresh, "%s", got);
        return;
    }
    for (size_t i = 0; i < before && *end != '\0'; i++) {
        if (shown[i] == '\n')
            end += strcspn(end, "\n") + 1;
    }
    mtmi_text_add_bytes(fresh, got, (size_t)(end - got));
    mtmi_text_add(fresh, "%s", rest);
}

/* A zero has no sign: "-0.000" would say that something is below. */
static void check_zeros(const char *line, const char *got)
{
    for (const char *at = strchr(got, '-'); at != NULL; at = strchr(at + 1, '-')) {
        const char *end = at + 1 + strspn(at + 1, "0.");
        if (at[1] == '0' && strchr("123456789", *end) == NULL && (at == got || at[-1] == ' '))
            fail_msg("%s: prints a negative zero: %.20s", line, at);
    }
}

/* Checks the line at *at and moves behind what is shown of it; what should stand there is added to
 * fresh. */
static void check_line(const char *path, const char **at, mtmi_text *fresh)
{
    const char *line_end = strchr(*at, '\n');
    char line[512];

    assert_non_null(line_end);
    (void)snprintf(line, sizeof line, "%.*s", (int)(line_end - *at), *at);
    const char *shown = line_end + 1;
    const char *end = end_of_shown(shown);
    size_t length = length_of(shown, end);
    char *got = output_of(line);
    bool good = same(got, shown, length);

    check_zeros(line, got);

    if (!good && getenv("METAMER_REWRITE") == NULL)
        fail_msg("%s: %s: prints\n%s\nbut shown is\n%.*s\n(with METAMER_REWRITE=1 set, this test "
                 "puts the real outputs there)",
                 path, line + 2, got, (int)length, shown);
    mtmi_text_add_bytes(fresh, *at, (size_t)(shown - *at));
    if (good)
        mtmi_text_add_bytes(fresh, shown, length);
    else
        add_output(got, shown, length, fresh);
    if (shown + length < end)
        mtmi_text_add_bytes(fresh, shown + length, (size_t)(end - shown) - length);
    else
        mtmi_text_add(fresh, "\n");
    free(got);
    *at = end;
}

/* Checks one document, or rewrites it; returns how many lines were run. */
static int check_document(const char *path)
{
    char *text = NULL;
    size_t length = 0;
    mtmi_text fresh = {0};
    mtm_error error = {""};
    int count = 0;

    assert_int_equal(mtmi_file_read(path, 1 << 20, &text, &length, &error), MTM_OK);
    for (const char *at = text; at != NULL && *at != '\0';) {
        if (begins(at, command_prompt) || begins(at, program_prompt)) {
            check_line(path, &at, &fresh);
            count++;
            continue;
        }
        const char *line_end = strchr(at, '\n');
        const char *next = line_end != NULL ? line_end + 1 : at + strlen(at);
        mtmi_text_add_bytes(&fresh, at, (size_t)(next - at));
        at = next;
    }
    if (getenv("METAMER_REWRITE") != NULL)
        assert_int_equal(mtmi_file_write(path, fresh.data, fresh.length, &error), MTM_OK);
    mtmi_text_free(&fresh);
    free(text);
    return count;
}

static void test_documents(void **state)
{
    glob_t found;

    (void)state;
    assert_true(check_document("README.md") > 5);
    assert_int_equal(glob("examples/*.md", 0, NULL, &found), 0);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        if (check_document(found.gl_pathv[i]) == 0)
            fail_msg("%s: shows no command that is run", found.gl_pathv[i]);
    }
    globfree(&found);
}

/* The README is read in one sitting: at most 220 lines. */
static void test_length(void **state)
{
    char *text = NULL;
    size_t length = 0;
    mtm_error error = {""};
    int lines = 0;

    (void)state;
    assert_int_equal(mtmi_file_read("README.md", 1 << 20, &text, &length, &error), MTM_OK);
    for (size_t i = 0; i < length; i++)
        lines += text[i] == '\n';
    if (lines > 220)
        fail_msg("README.md has %d lines, allowed are 220", lines);
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_documents),
                                       cmocka_unit_test(test_length)};

    return cmocka_run_group_tests_name("documents", tests, enter_source, NULL);
}
