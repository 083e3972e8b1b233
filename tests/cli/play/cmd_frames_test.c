/* SPDX-License-Identifier: MIT */
/* metamer frames: the formats say the same, and what was written compactly reads back. */
#include "support/command.h"

#include "base/file.h"

#include <cjson/cJSON.h>
#include <unistd.h>

#define EVENING "frames examples/evening.json --cue 30 --seconds 0.5"

static size_t count_lines(const char *text)
{
    size_t count = 0;

    for (; *text != '\0'; text++)
        count += *text == '\n';
    return count;
}

/* Every line of JSON has the slots that the lines of CSV have. */
static void test_formats(void **state)
{
    struct ran csv = run_line(EVENING);
    struct ran jsonl = run_line(EVENING " --format jsonl");
    const char *line = strchr(csv.out, '\n') + 1;

    (void)state;
    assert_int_equal(csv.status, EXIT_DONE);
    assert_int_equal(jsonl.status, EXIT_DONE);
    assert_int_equal(count_lines(jsonl.out), 20);
    assert_int_equal(count_lines(csv.out), 1 + 2 * 20);
    assert_int_equal(strncmp(csv.out, "frame,time_s,universe,slot_1,", 29), 0);
    for (const char *at = jsonl.out; *at != '\0'; at = strchr(at, '\n') + 1) {
        cJSON *frame = cJSON_Parse(at);
        assert_non_null(frame);
        const cJSON *universes = cJSON_GetObjectItemCaseSensitive(frame, "universes");
        for (const cJSON *each = universes->child; each != NULL; each = each->next) {
            char wanted[8192];
            int used = snprintf(wanted, sizeof wanted, "%d,%.6f,%s",
                                cJSON_GetObjectItemCaseSensitive(frame, "frame")->valueint,
                                cJSON_GetObjectItemCaseSensitive(frame, "time_s")->valuedouble,
                                each->string);
            for (const cJSON *slot = each->child; slot != NULL; slot = slot->next)
                used +=
                    snprintf(wanted + used, sizeof wanted - (size_t)used, ",%d", slot->valueint);
            wanted[used++] = '\n';
            assert_int_equal(strncmp(line, wanted, (size_t)used), 0);
            line += used;
        }
        cJSON_Delete(frame);
    }
    assert_int_equal(*line, '\0');
    ran_free(&csv);
    ran_free(&jsonl);
}

/* Chosen units alone: their universe, as far as their slots go; the others' slots are dark, and are
 * told of. */
static void test_units(void **state)
{
    struct ran some = run_line("frames tests/data/dimming/show.json --cue 1 --from 2 --units plain "
                               "--seconds 0.05");
    struct ran alone = run_line("frames tests/data/dimming/show.json --cue 1 --from 2 --units "
                                "narrow --seconds 0.05");
    struct ran away = run_line("frames tests/data/dimming/show.json --cue 1 --units nobody");
    struct ran compact = run_line("frames /dev/null --units plain");

    (void)state;
    assert_int_equal(some.status, EXIT_DONE);
    CHECK_HOLDS(some.out, ",slot_26\n");
    CHECK_HOLDS(some.out, "0,0.000000,1,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,25,");
    CHECK_HOLDS(some.err, "2 units, the first of them narrow, are not chosen");
    CHECK_HOLDS(some.err, "their slots are dark");
    CHECK_HOLDS(alone.out, ",slot_4\n");
    assert_string_equal(alone.err, "");
    assert_int_equal(away.status, EXIT_USAGE);
    assert_int_equal(compact.status, EXIT_USAGE);
    CHECK_HOLDS(compact.err, "--units is for shows");
    ran_free(&compact);
    ran_free(&away);
    ran_free(&alone);
    ran_free(&some);
}

/* The first frame of universe 2 (units without a dimmer): dark, or the look that --from names. */
static void test_from(void **state)
{
    struct ran dark = run_line("frames examples/evening.json --cue 30 --seconds 0.025");
    struct ran zero = run_line("frames examples/evening.json --cue 30 --from 0 --seconds 0.025");
    struct ran from = run_line("frames examples/evening.json --cue 30 --from 20 --seconds 0.025");
    struct ran stays = run_line("frames examples/evening.json --cue 20 --from 20 --seconds 0.025");

    (void)state;
    CHECK_HOLDS(dark.out, "\n0,0.000000,2,0,0,0,0,0,0,0,0,0\n");
    assert_string_equal(zero.out, dark.out);
    assert_string_equal(from.out, stays.out);
    assert_null(strstr(from.out, ",2,0,0,0,0,0,0,0,0,0\n"));
    expect_failure("frames examples/evening.json --from 25", EXIT_USAGE, "no cue 25");
    ran_free(&dark);
    ran_free(&zero);
    ran_free(&from);
    ran_free(&stays);
}

static void test_back(void **state)
{
    char path[] = "/tmp/metamer-frames-XXXXXX";
    char line[200];
    int descriptor = mkstemp(path);
    char *bytes = NULL;
    size_t size = 0;

    (void)state;
    assert_true(descriptor >= 0);
    FILE *file = fdopen(descriptor, "wb");
    char *words[] = {(char *)(uintptr_t) "metamer",
                     (char *)(uintptr_t) "frames",
                     (char *)(uintptr_t) "examples/evening.json",
                     (char *)(uintptr_t) "--cue=30",
                     (char *)(uintptr_t) "--seconds=0.5",
                     (char *)(uintptr_t) "--format=binary"};
    assert_non_null(file);
    assert_int_equal(command_main(6, words, file, stderr), EXIT_DONE);
    assert_int_equal(fclose(file), 0);
    assert_int_equal(mtmi_file_read(path, 1 << 20, &bytes, &size, NULL), MTM_OK);
    assert_memory_equal(bytes, "mtmframe", 8);
    (void)snprintf(line, sizeof line, "frames %s", path);
    struct ran again = run_line(line);
    struct ran first = run_line(EVENING);
    assert_string_equal(again.out, first.out);
    (void)snprintf(line, sizeof line, "frames %s --any-rate", path);
    expect_failure(line, EXIT_USAGE, "--any-rate is for shows");
    assert_int_equal(unlink(path), 0);
    ran_free(&again);
    ran_free(&first);
    free(bytes);
}

/* An endless loop ends when nobody takes it. */
static void test_full(void **state)
{
    FILE *full = fopen("/dev/full", "w");
    char *words[] = {(char *)(uintptr_t) "metamer", (char *)(uintptr_t) "frames",
                     (char *)(uintptr_t) "examples/waiting.json", (char *)(uintptr_t) "--loop"};
    char *told = NULL;
    size_t size = 0;
    FILE *err = open_memstream(&told, &size);

    (void)state;
    assert_non_null(full);
    assert_non_null(err);
    assert_int_equal(command_main(4, words, full, err), EXIT_SYSTEM);
    (void)fclose(err);
    assert_string_equal(told, "metamer: the output could not be written whole\n");
    (void)fclose(full);
    free(told);
}

static void test_refused(void **state)
{
    (void)state;
    expect_failure("frames", EXIT_USAGE, "something is missing");
    expect_failure("frames examples/nosuch.json", EXIT_USAGE, "cannot be opened");
    expect_failure("frames LICENSE", EXIT_USAGE, "not a file of frames");
    expect_failure("frames examples/evening.json --refresh 60 --whole-universes", EXIT_USAGE,
                   "at most 44.0 for universe 1 with its 512 slots");
    expect_failure("frames examples/evening.json --format xml", EXIT_USAGE, "csv, jsonl, binary");
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_formats), cmocka_unit_test(test_units),
        cmocka_unit_test(test_from),    cmocka_unit_test(test_back),
        cmocka_unit_test(test_full),    cmocka_unit_test(test_refused),
    };

    return cmocka_run_group_tests_name("metamer frames", tests, enter_source, NULL);
}
