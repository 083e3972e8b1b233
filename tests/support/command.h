/* SPDX-License-Identifier: MIT */
/* Runs a command line inside the test, with streams of its own. */
#ifndef METAMER_TESTS_COMMAND_H
#define METAMER_TESTS_COMMAND_H

#include "support/check.h"

#include "cli/command.h"

#include <unistd.h>

/** What a command line gave; ran_free it. */
struct ran {
    int status;
    char *out, *err;
};

/** Goes to the top of the source, so that paths are written as a reader of the README would. */
static inline int enter_source(void **state)
{
    const char *source = getenv("METAMER_SOURCE");

    (void)state;
    return source != NULL ? chdir(source) : -1;
}

/** Splits at blanks ('...' keeps blanks) and runs: "match examples/hall.json --cct 3200". */
static inline struct ran run_line(const char *line)
{
    char *copy = strdup(line);
    char *words[64] = {(char *)(uintptr_t) "metamer"};
    int count = 1;

    assert_non_null(copy);
    for (char *at = copy; *at != '\0' && count < 63;) {
        at += strspn(at, " ");
        char end = *at == '\'' ? '\'' : ' ';
        at += end == '\'';
        if (*at == '\0')
            break;
        words[count++] = at;
        at = strchr(at, end);
        if (at == NULL)
            break;
        *at++ = '\0';
    }
    struct ran ran = {.out = NULL};
    size_t out_size = 0;
    size_t err_size = 0;
    FILE *out = open_memstream(&ran.out, &out_size);
    FILE *err = open_memstream(&ran.err, &err_size);
    assert_non_null(out);
    assert_non_null(err);
    ran.status = command_main(count, words, out, err);
    (void)fclose(out);
    (void)fclose(err);
    free(copy);
    return ran;
}

static inline void ran_free(struct ran *ran)
{
    free(ran->out);
    free(ran->err);
}

/* A copy of text in which each run of blanks and line breaks is one blank. */
static inline char *flat_text(const char *text)
{
    char *flat = strdup(text);
    size_t length = 0;

    assert_non_null(flat);
    for (const char *c = text; *c != '\0'; c++) {
        bool blank = *c == ' ' || *c == '\n';
        if (!blank || length == 0 || flat[length - 1] != ' ')
            flat[length++] = blank ? ' ' : *c;
    }
    flat[length] = '\0';
    return flat;
}

/** Fails unless text holds part, wherever the lines of either end. */
static inline void expect_said(const char *text, const char *part)
{
    char *flat = flat_text(text);
    char *wanted = flat_text(part);

    CHECK_HOLDS(flat, wanted);
    free(flat);
    free(wanted);
}

/** Fails unless each line takes at most 100 columns, as where no terminal says otherwise. */
static inline void expect_lines_fit(const char *text)
{
    while (*text != '\0') {
        size_t columns = 0;
        const char *line = text;
        for (; *text != '\0' && *text != '\n'; text++)
            columns += ((unsigned char)*text & 0xc0U) != 0x80U;
        if (columns > 100)
            fail_msg("%zu columns: %.*s", columns, (int)(text - line), line);
        text += *text == '\n';
    }
}

/** A line that must fail: exit status, one sentence on the error stream, nothing on the output. */
static inline void expect_failure(const char *line, int status, const char *part)
{
    struct ran ran = run_line(line);
    const char *newline = strchr(ran.err, '\n');

    if (ran.status != status)
        fail_msg("%s: exit %d, wanted %d (%s)", line, ran.status, status, ran.err);
    assert_string_equal(ran.out, "");
    CHECK_HOLDS(ran.err, part);
    assert_non_null(newline);
    assert_string_equal(newline, "\n");
    ran_free(&ran);
}

#endif
