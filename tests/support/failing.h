/* SPDX-License-Identifier: MIT */
/* Failing memory: each allocation of a call fails in turn, alone and with all after it. The name of
 * the program ends in _memory (tests/meson.build). Included by one file of a program. */
#ifndef METAMER_TESTS_FAILING_H
#define METAMER_TESTS_FAILING_H

#include "support/check.h"

#include <metamer/base.h>

#include <cjson/cJSON.h>

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *block, size_t size);
void *__real_aligned_alloc(size_t alignment, size_t size);
char *__real_strdup(const char *text);
char *__real_realpath(const char *path, char *room);
void __real_free(void *block);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *block, size_t size);
void *__wrap_aligned_alloc(size_t alignment, size_t size);
char *__wrap_strdup(const char *text);
char *__wrap_realpath(const char *path, char *room);
void __wrap_free(void *block);

static struct failing {
    long left;       /* allocations that still succeed; negative: all */
    bool once;       /* one fails, and those after it succeed; else all after it fail */
    bool failed;     /* one did */
    long blocks;     /* allocated and not freed */
    uint64_t answer; /* of the attempt, see failing_tell */
} failing = {.left = -1};

static inline bool failing_now(void)
{
    if (failing.left < 0)
        return false;
    if (failing.left == 0) {
        failing.left = failing.once ? -1 : 0;
        failing.failed = true;
        return true;
    }
    failing.left--;
    return false;
}

static inline void *failing_count(void *block)
{
    failing.blocks += block != NULL;
    return block;
}

void *__wrap_malloc(size_t size)
{
    return failing_now() ? NULL : failing_count(__real_malloc(size));
}

void *__wrap_calloc(size_t count, size_t size)
{
    return failing_now() ? NULL : failing_count(__real_calloc(count, size));
}

void *__wrap_realloc(void *block, size_t size)
{
    if (failing_now())
        return NULL;
    void *grown = __real_realloc(block, size);
    return block == NULL ? failing_count(grown) : grown;
}

void *__wrap_aligned_alloc(size_t alignment, size_t size)
{
    return failing_now() ? NULL : failing_count(__real_aligned_alloc(alignment, size));
}

char *__wrap_strdup(const char *text)
{
    return failing_now() ? NULL : failing_count(__real_strdup(text));
}

char *__wrap_realpath(const char *path, char *room)
{
    char *found = __real_realpath(path, room);

    return room == NULL ? failing_count(found) : found;
}

void __wrap_free(void *block)
{
    failing.blocks -= block != NULL;
    __real_free(block);
}

/* One call, or some that belong together; what it made is released again. */
typedef struct failing_row {
    const char *name;
    mtm_result (*attempt)(mtm_error *error);
} failing_row;

/* Adds octets to the answer of an attempt (FNV-1a); without holes, which hold anything. */
static inline void failing_tell(const void *octets, size_t count)
{
    const uint8_t *octet = octets;

    for (size_t i = 0; i < count; i++)
        failing.answer = (failing.answer ^ octet[i]) * UINT64_C(0x100000001b3);
}

static inline void failing_tell_text(const char *text)
{
    failing_tell(text, strlen(text) + 1);
}

/* What an output holds before a call, and after one that failed. */
#define FAILING_MARK 0xa5

static inline void failing_mark(void *output, size_t size)
{
    memset(output, FAILING_MARK, size);
}

/* For an output of a failed call. */
static inline void failing_check_mark(const void *output, size_t size)
{
    const uint8_t *octet = output;

    for (size_t i = 0; i < size; i++) {
        if (octet[i] != FAILING_MARK)
            fail_msg("octet %zu of an output was changed", i);
    }
}

/* Allocations of a call of which each one fails in turn: what is made again and again fails all the
 * same way, so from here on not each is tried. */
#define FAILING_EACH 250

static inline void failing_try(const failing_row *row, bool once, uint64_t wanted)
{
    const long blocks = failing.blocks;

    for (long count = 0;; count += count < FAILING_EACH ? 1 : 1 + count / 5) {
        mtm_error error = {""};
        failing.answer = 0;
        failing.once = once;
        failing.failed = false;
        failing.left = count;
        mtm_result result = row->attempt(&error);
        failing.left = -1;
        if (failing.blocks != blocks)
            fail_msg("allocation %ld: %ld blocks leaked", count, failing.blocks - blocks);
        if (result == MTM_OK && failing.answer != wanted)
            fail_msg("allocation %ld: another answer, and no error", count);
        if (!failing.failed) {
            assert_int_equal(result, MTM_OK);
            assert_true(count > 0);
            return;
        }
        if (result == MTM_OK)
            continue; /* did without, or needed no more */
        if (result != MTM_MEMORY)
            fail_msg("allocation %ld: result %d, %s", count, (int)result, error.text);
        assert_true(error.text[0] != '\0');
    }
}

/* The test of each row: state is its failing_row. */
static inline void failing_test(void **state)
{
    const failing_row *row = *state;
    mtm_error error = {""};
    /* cJSON allocates in its own library: through hooks it comes by here */
    cJSON_Hooks hooks = {.malloc_fn = __wrap_malloc, .free_fn = __wrap_free};

    failing.left = -1;
    failing.answer = 0;
    cJSON_InitHooks(&hooks);
    if (row->attempt(&error) != MTM_OK)
        fail_msg("%s", error.text);
    uint64_t wanted = failing.answer;
    failing_try(row, false, wanted);
    failing_try(row, true, wanted);
}

#endif
