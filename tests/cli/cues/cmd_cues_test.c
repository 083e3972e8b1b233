/* SPDX-License-Identifier: MIT */
/* metamer cues: a show out and in again, and what is told of a bad text. */
#include "support/command.h"

#include <cjson/cJSON.h>
#include <sys/stat.h>
#include <unistd.h>

static char path[64];

static int set_up(void **state)
{
    (void)snprintf(path, sizeof path, "/tmp/metamer-cues-XXXXXX");
    int descriptor = mkstemp(path);
    if (descriptor < 0 || close(descriptor) != 0)
        return -1;
    return enter_source(state);
}

static int tear_down(void **state)
{
    (void)state;
    return unlink(path);
}

static void put_file(const char *text)
{
    FILE *file = fopen(path, "wb");

    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
}

static struct ran run_cues(const char *options, int status)
{
    char line[300];

    (void)snprintf(line, sizeof line, "cues %s %s", path, options);
    struct ran ran = run_line(line);
    if (ran.status != status)
        fail_msg("%s: exit %d, wanted %d: %s", line, ran.status, status, ran.err);
    return ran;
}

/* What stood in the file is kept under a number; the show itself is not written over, nor any other
 * JSON. */
static void test_nothing_lost(void **state)
{
    char line[300];
    char kept[80];
    struct stat info;

    (void)state;
    (void)snprintf(kept, sizeof kept, "%s.bak", path);
    put_file("ident 3:0\nclear all\n");
    (void)snprintf(line, sizeof line, "cues examples/evening.json --output %s", path);
    struct ran ran = run_line(line);
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.err, kept);
    assert_int_equal(stat(kept, &info), 0);
    assert_int_equal(info.st_size, strlen("ident 3:0\nclear all\n"));
    ran_free(&ran);
    assert_int_equal(unlink(kept), 0);
    expect_failure("cues examples/evening.json --output examples/../examples/evening.json",
                   EXIT_USAGE, "evening.json is read by this command and is not written over");
    put_file("{ \"metamer\": \"rig/1\" }\n");
    expect_failure(line, EXIT_USAGE, "is not cue text and is not replaced");
    assert_int_not_equal(stat(kept, &info), 0);
    put_file("");
}

static void test_out_and_in(void **state)
{
    char line[300];

    (void)state;
    (void)snprintf(line, sizeof line, "cues examples/evening.json --output %s", path);
    struct ran written = run_line(line);
    assert_int_equal(written.status, EXIT_DONE);
    assert_string_equal(written.out, "");
    assert_string_equal(written.err, "");
    struct ran table = run_cues("", EXIT_DONE);
    CHECK_HOLDS(
        table.out,
        "cue        20      8.0 s     12.0 s            -        96      2  -             house "
        "to half, dusk on stage\n");
    CHECK_HOLDS(table.out, "in 6.0 s");
    CHECK_HOLDS(table.out, "96 slots are patched\n");
    struct ran json = run_cues("--format json", EXIT_DONE);
    cJSON *root = cJSON_Parse(json.out);
    assert_non_null(root);
    assert_int_equal(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(root, "cues")), 7);
    assert_int_equal(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(root, "patch")), 96);
    assert_int_equal(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(root, "remarks")), 0);
    struct ran csv = run_cues("--format csv", EXIT_DONE);
    CHECK_HOLDS(csv.out, "kind,number,part,channel,level\ncue,10,0,1,");
    cJSON_Delete(root);
    ran_free(&csv);
    ran_free(&json);
    ran_free(&table);
    ran_free(&written);
}

static void test_options(void **state)
{
    struct ran plain = run_line("cues examples/evening.json");
    struct ran ran = run_line("cues examples/evening.json --no-parts --coarse-only --clear-all");

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "CLEAR ALL\r\n");
    assert_null(strstr(plain.out, "CLEAR"));
    CHECK_HOLDS(plain.out, "PART 2\r\n");
    assert_null(strstr(ran.out, "PART 2\r\n"));
    CHECK_HOLDS(ran.out, "CHAN 1@H50 2@H00 ");
    ran_free(&plain);
    ran_free(&ran);
}

/* A tolerance that 8 bits cannot keep: those cues are plain, the exit status says so, and the text
 * is whole. */
/* The picture of the cue that is named, or of the longest chain; alone on the standard output. */
static void test_picture(void **state)
{
    struct ran named = run_line("cues examples/evening.json --linked 4 --cue 40 --picture -");
    struct ran longest = run_line("cues examples/evening.json --linked 4 --picture -");

    (void)state;
    if (strstr(named.err, "pictures cannot be drawn") == NULL) {
        assert_true(strncmp(named.out, "<?xml", 5) == 0 && strstr(named.out, "CUE ") == NULL);
        CHECK_HOLDS(named.out, "cue 40, lamp light to moon, linked");
        CHECK_HOLDS(longest.out, "cue 20, house to half");
        CHECK_HOLDS(longest.out, "With 5 cues");
    }
    ran_free(&named);
    ran_free(&longest);
    expect_failure("cues examples/evening.json --picture a.svg", 2, "--picture goes with --linked");
    expect_failure("cues examples/evening.json --linked 4 --picture a.svg --cue 41", 2,
                   "the next to it are 40 and 50");
    expect_failure("cues examples/evening.json --linked 4 --cue 40", 2,
                   "--cue goes with --picture");
}

static void test_linked(void **state)
{
    struct ran ran = run_line("cues examples/evening.json --linked 0.5");

    (void)state;
    assert_int_equal(ran.status, EXIT_MISSED);
    CHECK_HOLDS(ran.err, "metamer cues: written without links: cue ");
    CHECK_HOLDS(ran.err, "no chain of cues keeps within 0.5");
    CHECK_HOLDS(ran.out, "CUE 70\r\n");
    CHECK_HOLDS(ran.out, "ENDDATA\r\n");
    ran_free(&ran);
}

/* file:line: severity: code: text; the exit status is that of the worst. */
static void test_remarks(void **state)
{
    char wanted[200];

    (void)state;
    put_file("IDENT 3:0\nCUE 1\nCHAN 1@H10\nENDDATA\n");
    struct ran ran = run_cues("", EXIT_DONE);
    (void)snprintf(wanted, sizeof wanted, "%s:2: note: default-time-used: ", path);
    CHECK_HOLDS(ran.out, wanted);
    ran_free(&ran);
    put_file("CUE 1\nUP 1\nDOWN 1\nLINK 2.5\nFOLLOWON 3\nTEXT x\nGROUP 1\n");
    ran = run_cues("", EXIT_MISSED);
    CHECK_HOLDS(ran.out, "warn: no-enddata: ");
    CHECK_HOLDS(ran.out, "2.5 in 3.0 s");
    ran_free(&ran);
    put_file("IDENT 3:0\nCUE 1\nUP 1\nDOWN 1\nCHAN 1@X \x1b\nENDDATA\n");
    ran = run_cues("", EXIT_USAGE);
    (void)snprintf(wanted, sizeof wanted, "%s:5: error: bad-level: \"X\" is no level", path);
    CHECK_HOLDS(ran.out, wanted);
    assert_null(strchr(ran.out, 0x1b));
    ran_free(&ran);
}

static void test_refused(void **state)
{
    char line[300];

    (void)state;
    put_file("IDENT 3:0\nENDDATA\n");
    (void)snprintf(line, sizeof line, "cues %s --clear-all", path);
    expect_failure(line, EXIT_USAGE, "--clear-all is for shows");
    expect_failure("cues examples/evening.json --format json", EXIT_USAGE, "is a show");
    expect_failure("cues examples/hall.json", EXIT_USAGE, "rig/1");
    expect_failure("cues examples/nosuch", EXIT_USAGE, "cannot be opened");
    expect_failure("cues examples", EXIT_USAGE, "is a directory");
    expect_failure("cues examples/evening.json --output /tmp/metamer-no/such", EXIT_SYSTEM,
                   "cannot be written");
}

/* The list has a row for every patched slot; numbers rise within a unit, coarse before fine. */
static void test_channels(void **state)
{
    struct ran table = run_line("cues examples/evening.json --channels");
    struct ran csv = run_line("cues examples/evening.json --channels --format csv");
    struct ran json = run_line("cues examples/evening.json --channels --format json");
    size_t rows = 0;

    (void)state;
    assert_int_equal(table.status, EXIT_DONE);
    /* hall.json: the spot's coarse slots come first, then its fine ones */
    CHECK_HOLDS(table.out, "     27  1/32        front-left-spot                   red fine\n");
    CHECK_HOLDS(csv.out, "channel,universe,slot,unit,carries\n1,1,1,front-left-wash,dimmer\n");
    CHECK_HOLDS(csv.out, "\n96,2,9,hall-right,cool\n");
    for (const char *at = csv.out; *at != '\0'; at++)
        rows += *at == '\n';
    assert_int_equal(rows, 1 + 96);
    cJSON *root = cJSON_Parse(json.out);
    assert_int_equal(cJSON_GetArraySize(cJSON_GetObjectItem(root, "channels")), 96);
    cJSON_Delete(root);
    ran_free(&table);
    ran_free(&csv);
    ran_free(&json);
    put_file("IDENT 3:0\nENDDATA\n");
    struct ran text = run_cues("--channels", EXIT_USAGE);
    CHECK_HOLDS(text.err, "--channels is for shows");
    ran_free(&text);
    expect_failure("cues examples/evening.json --format csv", EXIT_USAGE,
                   "--format is for reading cue text and for --channels");
}

/* Channels that the rig states are kept; other units are counted on, into what is free: 4 units of
 * 4 slots, of which "third" has 3 to 6 and "first" 101 to 104. */
static void test_own_channels(void **state)
{
    struct ran csv = run_line("cues tests/data/channels/stated-show.json --channels --format csv");
    struct ran text = run_line("cues tests/data/channels/stated-show.json");

    (void)state;
    assert_int_equal(csv.status, EXIT_DONE);
    CHECK_HOLDS(csv.out, "\n101,1,1,first,red\n");
    CHECK_HOLDS(csv.out, "\n104,1,4,first,white\n7,1,11,second,red\n");
    CHECK_HOLDS(csv.out, "\n10,1,14,second,white\n3,1,21,third,red\n");
    CHECK_HOLDS(csv.out, "\n6,1,24,third,white\n11,1,31,fourth,red\n");
    CHECK_HOLDS(text.out, "SET CHANNELS 104\r\n");
    CHECK_HOLDS(text.out, "PATCH 1 101<1@HFF 102<2@HFF 103<3@HFF 104<4@HFF 7<11@HFF");
    CHECK_HOLDS(text.out, "CHAN 3@H");
    ran_free(&csv);
    ran_free(&text);
    expect_failure("cues tests/data/channels/twice-show.json", EXIT_USAGE,
                   "unit second: its channels are 104 to 107, but 104 is one of unit first");
    expect_failure("cues tests/data/channels/beyond-show.json", EXIT_USAGE,
                   "unit first: its channels would be 65533 to 65536; cue text counts to 65535");
}

/* Chosen units keep the channels and levels that they have among all. */
static void test_chosen(void **state)
{
#define CHOSEN "cues examples/evening.json --units apron-wash,hall-left "
    struct ran all = run_line("cues examples/evening.json");
    struct ran chosen = run_line(CHOSEN);
    struct ran list = run_line("cues examples/evening.json --channels --format csv");
    struct ran csv = run_line(CHOSEN "--channels --format csv");
    size_t levels = 0;
    size_t rows = 0;

    (void)state;
    assert_int_equal(chosen.status, EXIT_DONE);
    CHECK_HOLDS(chosen.out, "PATCH 1 82<82@HFF");
    char *next = strstr(all.out, "CUE 20");
    char *end = strstr(chosen.out, "CUE 20");
    assert_true(next != NULL && end != NULL);
    *next = *end = '\0';
    for (char *word = strtok(strstr(chosen.out, "CUE 10"), " \r\n"); word != NULL;
         word = strtok(NULL, " \r\n")) {
        if (strstr(word, "@H") == NULL)
            continue;
        CHECK_HOLDS(strstr(all.out, "CUE 10"), word);
        levels++;
    }
    assert_int_equal(levels, 6 + 4);
    for (char *row = strtok(csv.out, "\n"); row != NULL; row = strtok(NULL, "\n")) {
        CHECK_HOLDS(list.out, row);
        rows++;
    }
    assert_int_equal(rows, 1 + 6 + 4);
    ran_free(&all);
    ran_free(&chosen);
    ran_free(&list);
    ran_free(&csv);
    put_file("IDENT 3:0\nENDDATA\n");
    struct ran text = run_cues("--units apron-wash", EXIT_USAGE);
    CHECK_HOLDS(text.err, "--units is for shows");
    ran_free(&text);
    expect_failure("cues examples/evening.json --units nix", EXIT_USAGE,
                   "--units: the rig has no unit or group \"nix\"");
}

/* Waits are shown, those of parts too; remarks come in the order of lines, whenever they arose. */
static void test_waits_and_order(void **state)
{
    size_t before = 0;

    (void)state;
    put_file("IDENT 3:0\n"
             "$SECRET 1\n"
             "CUE 1\n"
             "  UP 3 1.5\n"
             "  DOWN 4 2\n"
             "  CHAN 1@HFF 2@H10\n"
             "  PART 1\n"
             "    UP 5 7\n"
             "    DOWN 5 7\n"
             "    BOGUS 3\n"
             "    CHAN 3@H01\n"
             "CUE 2\n"
             "  UP 3\n"
             "  DOWN 3\n"
             "  CHAN 1@HF\n"
             "  CHAN X@HF\n"
             "ENDDATA\n");
    struct ran ran = run_cues("", EXIT_USAGE);
    CHECK_HOLDS(ran.out, "    3.0 s      4.0 s    1.5/2.0 s ");
    CHECK_HOLDS(ran.out, "  part      1      5.0 s      5.0 s        7.0 s         1\n");
    for (const char *at = strchr(ran.out, ':'); at != NULL; at = strchr(at + 1, ':')) {
        char *end = NULL;
        size_t line = strtoul(at + 1, &end, 10);
        if (end == at + 1 || strncmp(end, ": ", 2) != 0)
            continue;
        assert_true(line >= before);
        before = line;
    }
    assert_true(before >= 16);
    CHECK_HOLDS(ran.out, ":2: note: manufacturer-skipped");
    CHECK_HOLDS(ran.out, ":10: error: unknown-keyword");
    ran_free(&ran);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_nothing_lost), cmocka_unit_test(test_out_and_in),
        cmocka_unit_test(test_channels),     cmocka_unit_test(test_chosen),
        cmocka_unit_test(test_own_channels), cmocka_unit_test(test_waits_and_order),
        cmocka_unit_test(test_options),      cmocka_unit_test(test_remarks),
        cmocka_unit_test(test_picture),      cmocka_unit_test(test_linked),
        cmocka_unit_test(test_refused),
    };

    return cmocka_run_group_tests_name("metamer cues", tests, set_up, tear_down);
}
