/* SPDX-License-Identifier: MIT */
/* The pictures in examples/pictures are what the commands in examples/pictures/draw make. Where
 * this machine has other fonts, only their size and their sentences are compared. */
#include "support/check.h"
#include "support/command.h"

#include "base/file.h"

/* From a mark up to an end; NULL where there is none. free() it. */
static char *piece_of(const char *text, const char *mark, const char *end)
{
    const char *start = strstr(text, mark);
    const char *stop = start != NULL ? strstr(start, end) : NULL;

    return stop != NULL ? strndup(start, (size_t)(stop - start)) : NULL;
}

static bool same_piece(const char *a, const char *b, const char *mark, const char *end)
{
    char *one = piece_of(a, mark, end), *other = piece_of(b, mark, end);
    bool same = one != NULL && other != NULL && strcmp(one, other) == 0;

    free(one);
    free(other);
    return same;
}

static void compare(const char *name, const char *kept, const char *made)
{
    /* each font draws the letter that it lacks in its own way */
    if (same_piece(kept, made, "id=\"glyph0-0\"", "</symbol>")) {
        if (strcmp(kept, made) != 0)
            fail_msg("%s is not what its command makes: sh examples/pictures/draw", name);
        return;
    }
    print_message("%s: other fonts, so only size and sentences are compared\n", name);
    if (!same_piece(kept, made, "<svg", ">") || !same_piece(kept, made, "<title>", "</desc>"))
        fail_msg("%s is not what its command makes: sh examples/pictures/draw", name);
}

static void check_one(char *line)
{
    char path[200], command[1024];
    char *kept = NULL;
    size_t length = 0;
    mtm_error error = {""};

    char *words = strchr(line, ' ');
    assert_non_null(words);
    *words++ = '\0';
    (void)snprintf(path, sizeof path, "examples/pictures/%s.svg", line);
    (void)snprintf(command, sizeof command, "%s --picture -", words);
    if (mtmi_file_read(path, MTMI_FILE_LIMIT, &kept, &length, &error) != MTM_OK)
        fail_msg("%s", error.text);
    struct ran ran = run_line(command);
    if (strstr(ran.err, "pictures cannot be drawn") != NULL) {
        print_message("skipped: %s", ran.err);
        skip();
    }
    assert_in_range(ran.status, 0, 1); /* 1: a tolerance missed, which is drawn too */
    compare(path, kept, ran.out);
    ran_free(&ran);
    free(kept);
}

static void test_kept(void **state)
{
    char *script = NULL;
    size_t length = 0, count = 0;
    mtm_error error = {""};

    (void)state;
    if (mtmi_file_read("examples/pictures/draw", MTMI_FILE_LIMIT, &script, &length, &error) !=
        MTM_OK)
        fail_msg("%s", error.text);
    for (char *at = script, *next; at != NULL && *at != '\0'; at = next) {
        next = strchr(at, '\n');
        if (next != NULL)
            *next++ = '\0';
        if (strncmp(at, "draw ", 5) != 0)
            continue;
        check_one(at + 5);
        count++;
    }
    assert_true(count >= 3);
    free(script);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_kept)};

    return cmocka_run_group_tests_name("pictures of the examples", tests, enter_source, NULL);
}
