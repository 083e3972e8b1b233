/* SPDX-License-Identifier: MIT */
/* metamer play: what reaches a receiver on loopback, and what is refused. */
#include "support/command.h"

#include <cjson/cJSON.h>
#include <metamer/frames.h>
#include <metamer/stream.h>

#include <signal.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static char folder[64];
static char frames_path[80];
static char address[32];

static const mtm_frame_universe universes[] = {{3, 24}, {4, 24}};

/* Frame n has n + 1 in every slot. */
static void write_frames(const char *path, double rate_hz, unsigned count, bool finish)
{
    FILE *file = fopen(path, "wb");
    mtm_frame_layout layout = {rate_hz, 2, universes};
    mtm_frame_writer *writer = NULL;
    uint8_t slot[24];
    const uint8_t *slots[] = {slot, slot};

    assert_non_null(file);
    assert_int_equal(mtm_frame_writer_create(MTM_FRAMES_BINARY, &layout,
                                             mtm_frame_sink_stream(file), &writer, NULL),
                     MTM_OK);
    for (unsigned i = 0; i < count; i++) {
        memset(slot, (int)(i + 1), sizeof slot);
        assert_int_equal(mtm_frame_writer_add(writer, slots, NULL), MTM_OK);
    }
    if (finish)
        assert_int_equal(mtm_frame_writer_finish(writer, NULL), MTM_OK);
    mtm_frame_writer_free(writer);
    assert_int_equal(fclose(file), 0);
}

static int set_up(void **state)
{
    unsigned id = (unsigned)getpid();

    (void)snprintf(folder, sizeof folder, "/tmp/metamer-play-XXXXXX");
    if (mkdtemp(folder) == NULL)
        return -1;
    (void)snprintf(frames_path, sizeof frames_path, "%s/look.frames", folder);
    (void)snprintf(address, sizeof address, "127.%u.%u.11", 1 + (id >> 8) % 250, id % 256);
    write_frames(frames_path, 200, 20, true);
    return enter_source(state);
}

static int tear_down(void **state)
{
    (void)state;
    (void)unlink(frames_path);
    return rmdir(folder);
}

static mtm_receiver *listen_here(void)
{
    mtm_receiver_options options = {.address = address};
    mtm_receiver *receiver = NULL;

    assert_int_equal(mtm_receiver_create(&options, &receiver, NULL), MTM_OK);
    assert_int_equal(mtm_receiver_add(receiver, 3, NULL), MTM_OK);
    assert_int_equal(mtm_receiver_add(receiver, 4, NULL), MTM_OK);
    return receiver;
}

/* Runs "play FRAMES --to ADDRESS ..." and hands out its report. */
static cJSON *play_json(const char *options)
{
    char line[400];

    (void)snprintf(line, sizeof line, "play %s --to %s --format json %s", frames_path, address,
                   options);
    struct ran ran = run_line(line);
    if (ran.status != EXIT_DONE)
        fail_msg("%s: exit %d: %s", line, ran.status, ran.err);
    cJSON *report = cJSON_Parse(ran.out);
    assert_non_null(report);
    ran_free(&ran);
    return report;
}

static double number_of(const cJSON *report, const char *key)
{
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(report, key);

    if (!cJSON_IsNumber(item))
        fail_msg("no number \"%s\"", key);
    return item->valuedouble;
}

static void take_all(mtm_receiver *receiver)
{
    for (size_t taken = 1; taken > 0;)
        assert_int_equal(mtm_receiver_wait(receiver, 20, &taken, NULL), MTM_OK);
}

static void test_received(void **state)
{
    mtm_receiver *receiver = listen_here();
    cJSON *report = play_json("--source 'Small hall' --priority 150 "
                              "--cid 6f1d3c52-b2a4-497e-9d0b-5a7c11223344");

    (void)state;
    assert_int_equal(number_of(report, "frames_sent") + number_of(report, "frames_dropped"), 20);
    assert_int_equal(number_of(report, "packets_refused"), 0);
    take_all(receiver);
    for (size_t u = 0; u < 2; u++) {
        const mtm_received *universe = mtm_receiver_universe(receiver, u);
        assert_int_equal(universe->source_count, 1);
        const mtm_received_source *source = &universe->source[0];
        char cid[MTM_CID_ROOM];
        mtm_cid_print(source->cid, cid);
        assert_string_equal(cid, "6f1d3c52-b2a4-497e-9d0b-5a7c11223344");
        assert_string_equal(source->name, "Small hall");
        assert_int_equal(source->priority, 150);
        assert_int_equal(source->packets, (int)number_of(report, "frames_sent") + 3);
        assert_int_equal(source->lost, 0);
        assert_int_equal(source->slot_count, 24);
        assert_true(source->terminated);
        if (number_of(report, "frames_dropped") == 0)
            assert_int_equal(source->slot[23], 20);
    }
    assert_int_equal(mtm_receiver_discovered_count(receiver), 1);
    assert_int_equal(mtm_receiver_discovered(receiver, 0).universe_count, 2);
    cJSON_Delete(report);
    mtm_receiver_free(receiver);
}

static void test_blackout(void **state)
{
    char rig_path[100];
    char here[4096];
    char options[200];
    mtm_receiver *receiver = listen_here();

    (void)state;
    (void)snprintf(rig_path, sizeof rig_path, "%s/rig.json", folder);
    FILE *file = fopen(rig_path, "wb");
    assert_non_null(file);
    assert_non_null(getcwd(here, sizeof here));
    (void)fprintf(file,
                  "{\"metamer\":\"rig/1\",\"name\":\"r\",\"units\":[{\"name\":\"a\","
                  "\"fixture\":\"%s/profiles/five-colour-spot.json\",\"mode\":\"8-bit\","
                  "\"universe\":3,\"address\":1}]}",
                  here);
    assert_int_equal(fclose(file), 0);
    (void)snprintf(options, sizeof options, "--blackout --preview --rig %s", rig_path);
    cJSON *report = play_json(options);
    take_all(receiver);
    const mtm_received_source *source = &mtm_receiver_universe(receiver, 0)->source[0];
    const uint8_t dark[] = {255, 0, 0, 0, 0, 0, 0}; /* its shutter is open, at a fixed 255 */
    assert_memory_equal(source->slot, dark, sizeof dark);
    assert_int_not_equal(source->slot[sizeof dark], 0); /* no light that anybody knows of */
    assert_true(source->preview);
    cJSON_Delete(report);
    mtm_receiver_free(receiver);
    assert_int_equal(unlink(rig_path), 0);
}

/* Of a show: every slot of the hall's first universe is 0 but those that are stated otherwise. */
static void test_show_blackout(void **state)
{
    mtm_receiver *receiver = NULL;
    mtm_receiver_options here = {.address = address};
    char line[300];

    (void)state;
    assert_int_equal(mtm_receiver_create(&here, &receiver, NULL), MTM_OK);
    assert_int_equal(mtm_receiver_add(receiver, 1, NULL), MTM_OK);
    (void)snprintf(line, sizeof line,
                   "play examples/evening.json --to %s --cue 20 --seconds 0.3 --blackout", address);
    struct ran ran = run_line(line);
    assert_int_equal(ran.status, EXIT_DONE);
    take_all(receiver);
    const mtm_received_source *source = &mtm_receiver_universe(receiver, 0)->source[0];
    for (size_t i = 0; i < source->slot_count; i++) /* two spots, at 25 and at 38 */
        assert_int_equal(source->slot[i], i == 24 || i == 37 ? 255 : 0);
    ran_free(&ran);
    mtm_receiver_free(receiver);
}

/* 0.2 s of a loop of 0.1 s. */
static void test_loop(void **state)
{
    cJSON *report = play_json("--loop --seconds 0.2");

    (void)state;
    assert_int_equal(number_of(report, "frames_sent") + number_of(report, "frames_dropped"), 40);
    cJSON_Delete(report);
}

/* A terminate signal ends a hold in order. */
static void test_signal(void **state)
{
    mtm_receiver *receiver = listen_here();

    (void)state;
    pid_t helper = fork();
    if (helper == 0) {
        (void)nanosleep(&(struct timespec){0, 300000000}, NULL);
        (void)kill(getppid(), SIGTERM);
        _exit(0);
    }
    assert_true(helper > 0);
    cJSON *report = play_json("--hold");
    assert_int_equal(waitpid(helper, NULL, 0), helper);
    assert_true(cJSON_IsTrue(cJSON_GetObjectItemCaseSensitive(report, "stopped")));
    take_all(receiver);
    assert_true(mtm_receiver_universe(receiver, 0)->source[0].terminated);
    assert_int_equal(mtm_receiver_universe(receiver, 0)->source[0].lost, 0);
    cJSON_Delete(report);
    mtm_receiver_free(receiver);
}

static void test_table(void **state)
{
    char line[300];

    (void)state;
    (void)snprintf(line, sizeof line, "play %s --to %s", frames_path, address);
    struct ran ran = run_line(line);
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, " frames in ");
    CHECK_HOLDS(ran.out, "refused by the network: 0");
    CHECK_HOLDS(ran.err, "caution: 200 frames a second are more than the 44 that a DMX512 line");
    ran_free(&ran);
}

/* All 512 slots of each universe; then 44 frames a second are the most (E1.11: 44.1). */
static void test_whole_universes(void **state)
{
    mtm_receiver *receiver = listen_here();
    cJSON *report = play_json("--whole-universes --any-rate");

    (void)state;
    take_all(receiver);
    for (size_t u = 0; u < 2; u++) {
        const mtm_received_source *source = &mtm_receiver_universe(receiver, u)->source[0];
        assert_int_equal(source->slot_count, 512);
        assert_int_not_equal(source->slot[23], 0);
        for (size_t i = 24; i < 512; i++)
            assert_int_equal(source->slot[i], 0);
    }
    cJSON_Delete(report);
    mtm_receiver_free(receiver);
}

/* Universe 3 goes elsewhere: here only 4 is heard, and it carries the address of synchronization.
 */
static void test_own_destination(void **state)
{
    mtm_receiver *receiver = listen_here();
    cJSON *report = play_json("--to 3=127.0.0.1 --sync 9 --interface lo");

    (void)state;
    take_all(receiver);
    assert_int_equal(mtm_receiver_universe(receiver, 0)->source_count, 0);
    assert_int_equal(mtm_receiver_universe(receiver, 1)->source_count, 1);
    assert_int_equal(mtm_receiver_universe(receiver, 1)->source[0].sync_universe, 9);
    assert_true(number_of(report, "sync_sent") > 0);
    cJSON_Delete(report);
    mtm_receiver_free(receiver);
}

static const struct refuse_row {
    const char *name; /* what follows the frames */
    int status;
    const char *part;
} refuse_rows[] = {
    {"", EXIT_USAGE, "--to multicast"},
    {"--to here", EXIT_USAGE, "not an IPv4 address"},
    {"--to 239.255.0.1", EXIT_USAGE, "not the address of one receiver"},
    {"--to multicast --port 5569", EXIT_USAGE, "multicast uses 5568"},
    {"--to multicast --interface no-such0", EXIT_USAGE, "there are: lo 127.0.0.1"},
    /* TEST-NET-3 of RFC 5737: nobody's interface */
    {"--to multicast --interface 203.0.113.9", EXIT_SYSTEM,
     "has the address \"203.0.113.9\"; there are: lo 127.0.0.1"},
    {"--to 127.0.0.1 --cid 1234", EXIT_USAGE, "is not a CID"},
    {"--to 127.0.0.1 --hold --blackout", EXIT_USAGE, "exclude each other"},
    {"--to 127.0.0.1 --blackout", EXIT_USAGE, "--rig FILE names the rig"},
    {"--to 127.0.0.1 --rig examples/hall.json", EXIT_USAGE, "would do nothing"},
    {"--to 127.0.0.1 --blackout --rig examples/evening.json", EXIT_USAGE, "rig/1"},
    {"--to 127.0.0.1 --priority 201", EXIT_USAGE, "0 to 200"},
    {"--to 127.0.0.1 --source \xff", EXIT_USAGE, "not UTF-8"},
    {"--to 127.0.0.1 --cue 1", EXIT_USAGE, "--cue is for shows"},
    {"--to 127.0.0.1 --to 127.0.0.2", EXIT_USAGE, "N=127.0.0.2 sends universe N there"},
    {"--to 0=127.0.0.1", EXIT_USAGE, "found \"0=127.0.0.1\""},
    {"--to 4-3=127.0.0.1", EXIT_USAGE, "as in 4=10.0.0.20 and 5-7=multicast"},
    {"--to 64000=127.0.0.1", EXIT_USAGE, "universes from 1 to 63999"},
    {"--to 3=", EXIT_USAGE, "found \"3=\""},
    {"--to 127.0.0.1 --to 3-4=127.0.0.2 --to 4=127.0.0.3", EXIT_USAGE,
     "universe 4 has two destinations"},
    {"--to 127.0.0.1 --ttl 3", EXIT_USAGE, "--ttl goes with --to multicast or --sync"},
    {"--to 127.0.0.1 --ip 6", EXIT_USAGE, "--ip goes with --to multicast"},
    {"--to ff18::8300:1", EXIT_USAGE, "not the address of one receiver"},
    {"--to 127.0.0.1 --sync 0", EXIT_USAGE, "1 to 63999"},
    {"--to 127.0.0.1 --loop --hold", EXIT_USAGE, "unless --seconds says when"},
    {"--to 127.0.0.1 --whole-universes", EXIT_USAGE,
     "200 frames a second are asked for, but ANSI E1.11 allows at most 44.0 for universe 3"},
    {"--to 127.0.0.1 --from 1", EXIT_USAGE, "--from is for shows"},
};

static void test_refused(void **state)
{
    const struct refuse_row *row = *state;
    char line[300];

    (void)snprintf(line, sizeof line, "play %s %s", frames_path, row->name);
    expect_failure(line, row->status, row->part);
}

static struct ran play_show(const char *what, const char *options)
{
    char line[300];

    (void)snprintf(line, sizeof line, "play %s --to %s --format json %s", what, address, options);
    return run_line(line);
}

/* A cue of the example show: universe 1 of its rig reaches a receiver. */
static void test_show(void **state)
{
    mtm_receiver *receiver = NULL;
    mtm_receiver_options here = {.address = address};

    (void)state;
    assert_int_equal(mtm_receiver_create(&here, &receiver, NULL), MTM_OK);
    assert_int_equal(mtm_receiver_add(receiver, 1, NULL), MTM_OK);
    struct ran ran = play_show("examples/evening.json", "--cue 20 --seconds 0.5");
    assert_int_equal(ran.status, EXIT_DONE);
    assert_string_equal(ran.err, "");
    cJSON *report = cJSON_Parse(ran.out);
    assert_int_equal(number_of(report, "frames_sent") + number_of(report, "frames_dropped"), 20);
    take_all(receiver);
    const mtm_received *universe = mtm_receiver_universe(receiver, 0);
    assert_int_equal(universe->source_count, 1);
    assert_true(universe->source[0].slot_count >= 24);
    unsigned lit = 0;
    for (size_t i = 0; i < universe->source[0].slot_count; i++)
        lit += universe->source[0].slot[i] > 0;
    assert_true(lit > 0);
    cJSON_Delete(report);
    ran_free(&ran);
    mtm_receiver_free(receiver);
}

/* A part of the rig: one universe, as far as the chosen unit goes. At the end it is put out. */
static void test_some_units(void **state)
{
    mtm_receiver *receiver = NULL;
    mtm_receiver_options here = {.address = address};

    (void)state;
    assert_int_equal(mtm_receiver_create(&here, &receiver, NULL), MTM_OK);
    assert_int_equal(mtm_receiver_add(receiver, 1, NULL), MTM_OK);
    assert_int_equal(mtm_receiver_add(receiver, 2, NULL), MTM_OK);
    struct ran ran =
        play_show("examples/evening.json", "--cue 20 --seconds 0.5 --units hall-right --blackout");
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.err, "not chosen and share a universe");
    take_all(receiver);
    assert_int_equal(mtm_receiver_universe(receiver, 0)->source_count, 0);
    const mtm_received *universe = mtm_receiver_universe(receiver, 1);
    assert_int_equal(universe->source_count, 1);
    assert_int_equal(universe->source[0].slot_count, 9);
    for (size_t i = 0; i < 9; i++)
        assert_int_equal(universe->source[0].slot[i], 0);
    ran_free(&ran);
    mtm_receiver_free(receiver);
}

/* Beyond the first universe, which is all that the destination is for. */
static void test_no_destination(void **state)
{
    (void)state;
    expect_failure("play examples/evening.json --to 1=127.0.0.1", EXIT_USAGE,
                   "universe 2 has no destination");
}

static void test_show_loop(void **state)
{
    struct ran ran = play_show("examples/waiting.json", "--loop --dither --seconds 0.1");

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.err, "caution: flashing light"); /* asked for dither */
    ran_free(&ran);
    expect_failure("play examples/evening.json --to 127.0.0.1 --loop", EXIT_USAGE, "follow_s");
    expect_failure("play examples/evening.json --to 127.0.0.1 --cue 99", EXIT_USAGE, "no cue 99");
    expect_failure("play examples/evening.json --to 127.0.0.1 --refresh 900", EXIT_USAGE, "E1.11");
    expect_failure("play examples/hall.json --to 127.0.0.1", EXIT_USAGE, "rig/1");
}

static void expect_bad_file(const char *path, const char *part)
{
    char line[300];

    (void)snprintf(line, sizeof line, "play %s --to %s", path, address);
    expect_failure(line, EXIT_USAGE, part);
}

static void test_bad_files(void **state)
{
    char path[100];

    (void)state;
    expect_bad_file("/tmp/metamer-no-such-file", "cannot be opened");
    expect_bad_file("LICENSE", "not a file of frames");
    (void)snprintf(path, sizeof path, "%s/bad", folder);
    write_frames(path, 40, 3, false);
    expect_bad_file(path, "cut short after frame 3");
    write_frames(path, 900, 3, true);
    expect_bad_file(path, "ANSI E1.11");
    assert_int_equal(unlink(path), 0);
    expect_failure("play - --to 127.0.0.1 --loop", EXIT_USAGE, "cannot be repeated");
}

int main(void)
{
    static const struct CMUnitTest single[] = {
        cmocka_unit_test(test_received),
        cmocka_unit_test(test_blackout),
        cmocka_unit_test(test_loop),
        cmocka_unit_test(test_signal),
        cmocka_unit_test(test_table),
        cmocka_unit_test(test_bad_files),
        cmocka_unit_test(test_show),
        cmocka_unit_test(test_show_loop),
        cmocka_unit_test(test_show_blackout),
        cmocka_unit_test(test_whole_universes),
        cmocka_unit_test(test_own_destination),
        cmocka_unit_test(test_some_units),
        cmocka_unit_test(test_no_destination),
    };
    struct CMUnitTest tests[COUNT(refuse_rows) + COUNT(single)];

    ROW_TESTS(tests, refuse_rows, test_refused);
    memcpy(tests + COUNT(refuse_rows), single, sizeof single);
    return cmocka_run_group_tests_name("metamer play", tests, set_up, tear_down);
}
