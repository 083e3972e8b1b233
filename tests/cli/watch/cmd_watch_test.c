/* SPDX-License-Identifier: MIT */
/* metamer watch: what it shows of a stream on loopback, in a pipe and on a terminal. */
#define _XOPEN_SOURCE 700 /* posix_openpt */

#include "support/command.h"

#include <cjson/cJSON.h>
#include <fcntl.h>
#include <metamer/stream.h>
#include <metamer/white.h>

#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static char address[32];

static int set_up(void **state)
{
    unsigned id = (unsigned)getpid();

    (void)snprintf(address, sizeof address, "127.%u.%u.13", 1 + (id >> 8) % 250, id % 256);
    return enter_source(state);
}

/* front-left-spot of the hall, 16 bit from slot 25: dimmer, then red and its fine slot, and so on;
 * hall-right from slot 8 of universe 2: warm and cool, 8 bit. */
static void light(mtm_sender *sender)
{
    memset(mtm_sender_slots(sender, 0), 0, 512);
    for (size_t i = 24; i < 37; i++)
        mtm_sender_slots(sender, 0)[i] = 255;
    mtm_sender_slots(sender, 1)[7] = 255;
}

static mtm_sender *open_sender(const char *name, uint8_t priority, uint8_t cid)
{
    mtm_sender_options options = {.to = address,
                                  .source_name = name,
                                  .priority = priority,
                                  .cid_given = true,
                                  .cid = {{cid}}};
    mtm_sender *sender = NULL;

    if (mtm_sender_create(&options, &sender, NULL) != MTM_OK ||
        mtm_sender_add(sender, 1, 512, NULL) != MTM_OK ||
        mtm_sender_add(sender, 2, 12, NULL) != MTM_OK)
        _exit(1);
    light(sender);
    return sender;
}

/* A child that sends from one source, or two, until it is told to end. */
static pid_t stream_from(const char *name, const char *other)
{
    pid_t child = fork();

    if (child != 0)
        return child;
    mtm_sender *first = open_sender(name, 100, 1);
    mtm_sender *second = other != NULL ? open_sender(other, 100, 2) : NULL;
    for (unsigned i = 0; i < 400; i++) {
        mtm_sender_slots(first, 0)[511] = (uint8_t)i; /* so that each frame is sent */
        mtm_sender_slots(first, 1)[11] = (uint8_t)i;
        if (mtm_sender_send(first, mtm_stream_now_ns(), NULL) != MTM_OK ||
            (second != NULL && mtm_sender_send(second, mtm_stream_now_ns(), NULL) != MTM_OK))
            _exit(1);
        (void)nanosleep(&(struct timespec){0, 25000000}, NULL);
    }
    _exit(0);
}

static void end_stream(pid_t child)
{
    assert_int_equal(kill(child, SIGKILL), 0);
    assert_int_equal(waitpid(child, NULL, 0), child);
}

static struct ran watch(const char *options, int status)
{
    char line[300];

    (void)snprintf(line, sizeof line, "watch --listen %s %s", address, options);
    struct ran ran = run_line(line);
    if (ran.status != status)
        fail_msg("%s: exit %d, wanted %d: %s", line, ran.status, status, ran.err);
    assert_string_equal(ran.err, "");
    return ran;
}

static const cJSON *item(const cJSON *object, const char *key)
{
    const cJSON *found = cJSON_GetObjectItemCaseSensitive(object, key);

    if (found == NULL)
        fail_msg("no key \"%s\"", key);
    return found;
}

static const cJSON *unit_called(const cJSON *units, const char *name)
{
    for (const cJSON *unit = units->child; unit != NULL; unit = unit->next) {
        if (strcmp(item(unit, "unit")->valuestring, name) == 0)
            return unit;
    }
    fail_msg("no unit %s", name);
    return NULL;
}

static void test_json(void **state)
{
    pid_t child = stream_from("Small hall", NULL);
    struct ran ran = watch("examples/hall.json --once --format json", EXIT_DONE);

    (void)state;
    end_stream(child);
    cJSON *root = cJSON_Parse(ran.out);
    assert_non_null(root);
    assert_ptr_equal(strchr(ran.out, '\n'), ran.out + strlen(ran.out) - 1); /* one line */
    const cJSON *universe = item(root, "universes")->child;
    assert_string_equal(item(universe, "source")->valuestring, "Small hall");
    assert_int_equal(cJSON_GetArraySize(item(universe, "slots")), 512);
    CHECK_NEAR("lost", item(universe, "lost")->valuedouble, 0, 0);
    assert_true(item(universe, "packets_per_s")->valuedouble > 1);
    const cJSON *spot = unit_called(item(root, "units"), "front-left-spot");
    assert_true(cJSON_IsTrue(item(spot, "heard")));
    /* all emitters full: what the fixture gives together, so its flux is the sum of theirs */
    for (const cJSON *level = item(spot, "levels")->child; level != NULL; level = level->next)
        CHECK_NEAR(level->string, level->valuedouble, 1, 1e-4);
    assert_true(item(spot, "flux_lm")->valuedouble > 100);
    const cJSON *wash = unit_called(item(root, "units"), "front-left-wash");
    CHECK_NEAR("dark", item(wash, "flux_lm")->valuedouble, 0, 0);
    const cJSON *white = unit_called(item(root, "units"), "hall-right");
    CHECK_NEAR("warm", item(item(white, "codes"), "warm")->valuedouble, 255, 0);
    CHECK_NEAR("cool", item(item(white, "codes"), "cool")->valuedouble, 0, 0);
    cJSON_Delete(root);
    ran_free(&ran);
}

/* Lamps, and lights that go warm as they dim: half of a lamp's voltage is 0.5 to the power of 3.4
 * of its 9200 lm, and 3200 K times 0.5 to that of 0.42 (common practice, no source); the downlight
 * is at the last point of its table, and at 0.4 of its light, of 2500 K, whose code is the root of
 * that. */
static void test_lamps(void **state)
{
    static const struct {
        const char *unit;
        double flux_lm, cct_k;
    } rows[] = {{"spot-1", 871.4, 2391.7}, {"table-1", 900, 3000}, {"table-2", 360, 2500}};
    pid_t child = fork();

    (void)state;
    if (child == 0) {
        mtm_sender *sender = open_sender("Quay", 100, 3);
        memset(mtm_sender_slots(sender, 0), 0, 512);
        for (unsigned i = 0; i < 400; i++) {
            uint8_t *slots = mtm_sender_slots(sender, 0);
            slots[0] = 128; /* and a fine 0: 32768 of 65535 */
            slots[4] = 255;
            slots[5] = 161;
            slots[511] = (uint8_t)i;
            if (mtm_sender_send(sender, mtm_stream_now_ns(), NULL) != MTM_OK)
                _exit(1);
            (void)nanosleep(&(struct timespec){0, 25000000}, NULL);
        }
        _exit(0);
    }
    struct ran ran = watch("examples/quay.json --once --format json", EXIT_DONE);
    end_stream(child);
    cJSON *root = cJSON_Parse(ran.out);
    assert_non_null(root);
    for (size_t i = 0; i < COUNT(rows); i++) {
        const cJSON *unit = unit_called(item(root, "units"), rows[i].unit);
        const mtm_xy xy = {item(unit, "x")->valuedouble, item(unit, "y")->valuedouble};
        mtm_white white;
        CHECK_NEAR(rows[i].unit, item(unit, "flux_lm")->valuedouble, rows[i].flux_lm,
                   0.005 * rows[i].flux_lm);
        assert_int_equal(mtm_white_from_xy(xy, &white, NULL), MTM_OK);
        CHECK_NEAR(rows[i].unit, white.cct_k, rows[i].cct_k, 5);
    }
    cJSON_Delete(root);
    ran_free(&ran);
}

static void test_table(void **state)
{
    pid_t child = stream_from("Small hall", "desk\x1b[2J");
    struct ran ran = watch("examples/hall.json --seconds 0.5 --every 0.25", EXIT_DONE);

    (void)state;
    end_stream(child);
    assert_null(strchr(ran.out, 0x1b)); /* neither ours nor the network's */
    CHECK_HOLDS(ran.out, "community hall");
    CHECK_HOLDS(ran.out, "universe 1  Small hall, priority 100");
    CHECK_HOLDS(ran.out, "  Small hall, priority 100, counts; another has the same priority");
    CHECK_HOLDS(ran.out, "  desk?[2J, priority 100, has the same priority, and does not count");
    CHECK_HOLDS(ran.out, "front-left-spot");
    CHECK_HOLDS(ran.out, "warm 255  cool 0");
    assert_non_null(strstr(strstr(ran.out, "community hall") + 1, "community hall")); /* twice */
    ran_free(&ran);
}

static void test_csv(void **state)
{
    pid_t child = stream_from("Small, hall", NULL);
    struct ran ran = watch("examples/hall.json --seconds 0.5 --every 0.5 --format csv", EXIT_DONE);

    (void)state;
    end_stream(child);
    CHECK_HOLDS(ran.out, "seconds,unit,universe,address,source,packets_per_s,lost,out_of_order,"
                         "flux_lm,x,y,slots\n");
    CHECK_HOLDS(ran.out, ",hall-right,2,8,\"Small, hall\",,0,0,");
    CHECK_HOLDS(ran.out, ",255 0\n");
    ran_free(&ran);
}

static void test_without_rig(void **state)
{
    pid_t child = stream_from("Small hall", NULL);
    struct ran ran = watch("--universes 2,5-6 --seconds 0.5 --every 0.5", EXIT_DONE);

    (void)state;
    end_stream(child);
    CHECK_HOLDS(ran.out, "    1:   0   0   0   0   0   0   0 255   0   0   0 ");
    CHECK_HOLDS(ran.out, "universe 5  no data\nuniverse 6  no data\n");
    ran_free(&ran);
}

/* No source: an answer, and for --once an exit status that a script can see. */
static void test_silence(void **state)
{
    struct ran ran = watch("examples/hall.json --seconds 0.2", EXIT_DONE);

    (void)state;
    CHECK_HOLDS(ran.out, "universe 1  no data");
    ran_free(&ran);
    ran = watch("--seconds 0.2", EXIT_DONE);
    CHECK_HOLDS(ran.out, "no source has told what it sends");
    ran_free(&ran);
    ran = watch("--universes 9 --once --seconds 0.1", EXIT_MISSED);
    assert_string_equal(ran.out, "0 s\nuniverse 9  no data\n");
    ran_free(&ran);
    ran = watch("--universes 9 --once --seconds 0.3 --format json", EXIT_MISSED);
    CHECK_HOLDS(ran.out, "\"source\":null");
    ran_free(&ran);
}

/* The near end of a new terminal; -1 where the system has none, as in a chroot without /dev/pts. */
static int open_terminal(void)
{
    int master = posix_openpt(O_RDWR | O_NOCTTY);

    if (master < 0)
        return -1;
    if (grantpt(master) == 0 && unlockpt(master) == 0 && ptsname(master) != NULL &&
        access(ptsname(master), R_OK | W_OK) == 0)
        return master;
    (void)close(master);
    return -1;
}

/* Runs on a terminal, which is closed then; what came out of it. */
static void run_on_terminal(int master, char *got, size_t room)
{
    pid_t child = fork();

    if (child == 0) {
        char *words[] = {(char *)(uintptr_t) "metamer",
                         (char *)(uintptr_t) "watch",
                         (char *)(uintptr_t) "examples/hall.json",
                         (char *)(uintptr_t) "--listen",
                         address,
                         (char *)(uintptr_t) "--seconds",
                         (char *)(uintptr_t) "0.5"};
        FILE *terminal = fopen(ptsname(master), "r+");
        (void)setenv("COLORTERM", "truecolor", 1);
        (void)unsetenv("NO_COLOR");
        (void)close(master);
        _exit(terminal == NULL ? 99 : command_main(7, words, terminal, stderr));
    }
    size_t used = 0;
    for (ssize_t count = 1; count > 0 && used < room - 1;) {
        count = read(master, got + used, room - 1 - used);
        used += count > 0 ? (size_t)count : 0; /* EIO once the child has closed its end */
    }
    got[used] = '\0';
    int status = -1;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_int_equal(status, 0);
    assert_int_equal(close(master), 0);
}

static void test_terminal(void **state)
{
    static char got[1 << 16];
    int terminal = open_terminal();

    (void)state;
    if (terminal < 0) {
        print_message("skipped: no terminal can be opened here (no /dev/pts)\n");
        skip();
    }
    pid_t child = stream_from("Small hall", NULL);
    run_on_terminal(terminal, got, sizeof got);
    end_stream(child);
    const char *enter = strstr(got, "\x1b[?1049h");
    const char *leave = strstr(got, "\x1b[?1049l");
    assert_non_null(enter);
    assert_non_null(leave);
    assert_true(enter < leave);
    CHECK_HOLDS(enter, "Ctrl-C ends");
    CHECK_HOLDS(enter, "\x1b[48;2;");
    CHECK_HOLDS(leave, "universe 2  Small hall"); /* the last picture stays */
}

static const struct refuse_row {
    const char *name; /* options */
    int status;
    const char *part;
} refuse_rows[] = {
    {"--universes 0", EXIT_USAGE, "1-4,7"},
    {"--universes 64000", EXIT_USAGE, "1-4,7"},
    {"--universes 4-1", EXIT_USAGE, "1-4,7"},
    {"--universes 1,,2", EXIT_USAGE, "1-4,7"},
    {"--universes 1-", EXIT_USAGE, "1-4,7"},
    {"--universes 1,1", EXIT_USAGE, "already"},
    {"--universes 1-5000", EXIT_USAGE, "4096"},
    {"--universes x", EXIT_USAGE, "1-4,7"},
    {"--interface 127.0.0.1", EXIT_USAGE, "--interface and --listen exclude each other"},
    {"nosuch.json", EXIT_USAGE, "nosuch.json"},
    {"--every 0", EXIT_USAGE, "0.02"},
};

static void test_refused(void **state)
{
    const struct refuse_row *row = *state;
    char line[300];

    (void)snprintf(line, sizeof line, "watch --listen %s %s", address, row->name);
    expect_failure(line, row->status, row->part);
}

static void test_refused_address(void **state)
{
    (void)state;
    expect_failure("watch --listen here", EXIT_USAGE, "IPv6 address of this machine");
    expect_failure("watch --interface here", EXIT_USAGE,
                   "has the name \"here\"; there are: lo 127.0.0.1");
    /* TEST-NET-3 of RFC 5737: nobody's address */
    expect_failure("watch --listen 203.0.113.9", EXIT_SYSTEM, "cannot listen");
}

int main(void)
{
    static const struct CMUnitTest single[] = {
        cmocka_unit_test(test_json),        cmocka_unit_test(test_lamps),
        cmocka_unit_test(test_table),       cmocka_unit_test(test_csv),
        cmocka_unit_test(test_without_rig), cmocka_unit_test(test_silence),
        cmocka_unit_test(test_terminal),    cmocka_unit_test(test_refused_address),
    };
    struct CMUnitTest tests[COUNT(refuse_rows) + COUNT(single)];

    ROW_TESTS(tests, refuse_rows, test_refused);
    memcpy(tests + COUNT(refuse_rows), single, sizeof single);
    return cmocka_run_group_tests_name("metamer watch", tests, set_up, NULL);
}
