/* SPDX-License-Identifier: MIT */
/* metamer play by hand, driven through a pseudo-terminal: what its keys do, and that the terminal
 * is as it was on any end. All that it sends goes to an address of loopback. */
#define _XOPEN_SOURCE 700 /* posix_openpt */

#include "support/command.h"

#include <metamer/stream.h>

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <sys/wait.h>
#include <termios.h>
#include <time.h>

#define PATIENCE_NS UINT64_C(20000000000)
#define LEFT "\033[?25h\033[?1049l" /* the screen of before */

static char folder[64];
static char show_path[80];
static char rig_path[80];
static char address[32];

/* A program on a terminal of its own. */
struct terminal {
    int master, slave;
    struct termios before;
    pid_t child;
    char seen[400000];
    size_t length;
    size_t from; /* what was waited for stands before */
};

static const char show_text[] =
    "{\"metamer\":\"show/1\",\"name\":\"a short evening\",\"rig\":\"rig.json\",\"cues\":["
    "{\"number\":1,\"text\":\"up\",\"up_s\":0.3,\"set\":[{\"unit\":\"a\",\"colour\":"
    "{\"cct_k\":4000}}]},"
    "{\"number\":2,\"text\":\"half\",\"up_s\":0.2,\"follow_s\":0.4,\"set\":[{\"unit\":\"a\","
    "\"output\":0.5}]},"
    "{\"number\":3,\"text\":\"long\",\"up_s\":60,\"delay_s\":60,\"set\":[{\"unit\":\"a\","
    "\"output\":1}]}]}";

static int set_up(void **state)
{
    char here[4096];
    unsigned id = (unsigned)getpid();

    (void)snprintf(folder, sizeof folder, "/tmp/metamer-hand-XXXXXX");
    if (enter_source(state) != 0 || mkdtemp(folder) == NULL || getcwd(here, sizeof here) == NULL)
        return -1;
    (void)snprintf(show_path, sizeof show_path, "%s/show.json", folder);
    (void)snprintf(rig_path, sizeof rig_path, "%s/rig.json", folder);
    (void)snprintf(address, sizeof address, "127.%u.%u.12", 1 + (id >> 8) % 250, id % 256);
    FILE *rig = fopen(rig_path, "wb");
    FILE *show = fopen(show_path, "wb");
    if (rig == NULL || show == NULL)
        return -1;
    (void)fprintf(rig,
                  "{\"metamer\":\"rig/1\",\"name\":\"r\",\"units\":[{\"name\":\"a\",\"fixture\":"
                  "\"%s/profiles/three-colour-strip.json\",\"mode\":\"8-bit\",\"universe\":5,"
                  "\"address\":1}]}",
                  here);
    (void)fputs(show_text, show);
    return fclose(rig) == 0 && fclose(show) == 0 ? 0 : -1;
}

static int tear_down(void **state)
{
    (void)state;
    (void)unlink(show_path);
    (void)unlink(rig_path);
    return rmdir(folder);
}

static void run_child(const char *slave, const char *options)
{
    char line[400];
    char *words[32] = {(char *)(uintptr_t) "metamer"};
    int count = 1;
    char *at = NULL;

    (void)setsid();
    int terminal = open(slave, O_RDWR); /* now the terminal of this session */
    for (int i = 0; i < 3; i++)
        (void)dup2(terminal, i);
    (void)setenv("TERM", "xterm", 1);
    (void)snprintf(line, sizeof line, "play %s --to %s %s", show_path, address, options);
    for (char *word = strtok_r(line, " ", &at); word != NULL; word = strtok_r(NULL, " ", &at))
        words[count++] = word;
    int status = command_main(count, words, stdout, stderr);
    (void)fflush(NULL);
    _exit(status);
}

/* A bare root has no /dev/pts. */
static _Noreturn void skip_without_terminals(void)
{
    print_message("skipped: there are no pseudo-terminals here (%s)\n", strerror(errno));
    skip();
    abort(); /* never: skip leaves the test, which the compiler cannot know */
}

static struct terminal *begin(const char *options)
{
    struct terminal *terminal = calloc(1, sizeof *terminal);

    assert_non_null(terminal);
    terminal->master = posix_openpt(O_RDWR | O_NOCTTY);
    if (terminal->master < 0) {
        free(terminal);
        skip_without_terminals();
    }
    assert_int_equal(grantpt(terminal->master), 0);
    assert_int_equal(unlockpt(terminal->master), 0);
    const char *name = ptsname(terminal->master);
    assert_non_null(name);
    terminal->slave = open(name, O_RDWR | O_NOCTTY);
    assert_true(terminal->slave >= 0);
    assert_int_equal(tcgetattr(terminal->slave, &terminal->before), 0);
    terminal->child = fork();
    if (terminal->child == 0)
        run_child(name, options);
    assert_true(terminal->child > 0);
    return terminal;
}

/* Takes what the program writes; false after some time without. */
static bool take(struct terminal *terminal)
{
    struct pollfd ready = {.fd = terminal->master, .events = POLLIN};

    if (poll(&ready, 1, 50) <= 0)
        return false;
    ssize_t count = read(terminal->master, terminal->seen + terminal->length,
                         sizeof terminal->seen - 1 - terminal->length);
    terminal->length += count > 0 ? (size_t)count : 0;
    return count > 0;
}

/* Waits for a text in what is written from now on. */
static void wait_for(struct terminal *terminal, const char *text)
{
    uint64_t end_ns = mtm_stream_now_ns() + PATIENCE_NS;

    for (;;) {
        const char *found = strstr(terminal->seen + terminal->from, text);
        if (found != NULL) {
            terminal->from = (size_t)(found - terminal->seen);
            return;
        }
        (void)take(terminal);
        if (mtm_stream_now_ns() > end_ns || terminal->length > sizeof terminal->seen - 5000)
            fail_msg("no \"%s\" in: %s", text, terminal->seen + terminal->from);
    }
}

static void press(struct terminal *terminal, char key)
{
    while (take(terminal))
        ; /* up to the picture of before */
    terminal->from = terminal->length;
    assert_int_equal(write(terminal->master, &key, 1), 1);
}

/* Waits for the end; the terminal must be as it was. Returns what waitpid says. */
static int finish(struct terminal *terminal)
{
    struct termios after;
    int status = 0;
    uint64_t end_ns = mtm_stream_now_ns() + PATIENCE_NS;

    while (waitpid(terminal->child, &status, WNOHANG) == 0) {
        (void)take(terminal);
        if (mtm_stream_now_ns() > end_ns) {
            (void)kill(terminal->child, SIGKILL);
            fail_msg("it does not end: %s", terminal->seen + terminal->from);
        }
    }
    while (take(terminal))
        ;
    assert_int_equal(tcgetattr(terminal->slave, &after), 0);
    assert_int_equal(after.c_lflag, terminal->before.c_lflag);
    assert_int_equal(after.c_iflag, terminal->before.c_iflag);
    assert_memory_equal(after.c_cc, terminal->before.c_cc, sizeof after.c_cc);
    CHECK_HOLDS(terminal->seen, LEFT);
    (void)close(terminal->slave);
    (void)close(terminal->master);
    return status;
}

static mtm_receiver *listen_here(void)
{
    mtm_receiver_options options = {.address = address};
    mtm_receiver *receiver = NULL;

    assert_int_equal(mtm_receiver_create(&options, &receiver, NULL), MTM_OK);
    assert_int_equal(mtm_receiver_add(receiver, 5, NULL), MTM_OK);
    return receiver;
}

/* Waits until the source is live, or has ended. */
static void wait_live(mtm_receiver *receiver, bool live)
{
    uint64_t end_ns = mtm_stream_now_ns() + PATIENCE_NS;
    const mtm_received *universe = mtm_receiver_universe(receiver, 0);

    while ((universe->winner >= 0) != live) {
        assert_int_equal(mtm_receiver_wait(receiver, 20, NULL, NULL), MTM_OK);
        assert_true(mtm_stream_now_ns() < end_ns);
    }
}

static unsigned light(mtm_receiver *receiver)
{
    const mtm_received_source *source = &mtm_receiver_universe(receiver, 0)->source[0];
    unsigned sum = 0;

    for (size_t taken = 1; taken > 0;)
        assert_int_equal(mtm_receiver_wait(receiver, 20, &taken, NULL), MTM_OK);
    for (size_t i = 0; i < source->slot_count; i++)
        sum += source->slot[i];
    return sum;
}

/* Every key, in an evening of three cues. */
static void test_keys(void **state)
{
    mtm_receiver *receiver = listen_here();
    struct terminal *terminal = begin("");

    (void)state;
    wait_for(terminal, "a short evening, to 127.");
    wait_for(terminal, "no cue has run yet; cue 1 is next");
    wait_for(terminal, "q: quit");
    assert_int_equal(light(receiver), 0);
    press(terminal, 'b');
    wait_for(terminal, "there is no cue before");
    press(terminal, 'g');
    wait_for(terminal, "cue 1 stands; cue 2 is next");
    unsigned full = light(receiver);
    assert_true(full > 0);
    press(terminal, 'h');
    wait_for(terminal, "HELD");
    press(terminal, ' ');
    wait_for(terminal, "cue 2 stands; cue 3 follows in 0.0 s");
    assert_true(light(receiver) < full);
    press(terminal, 'b');
    wait_for(terminal, "cue 1 stands; cue 2 is next");
    assert_int_equal(light(receiver), full);
    press(terminal, 'g');
    wait_for(terminal, "cue 2 stands; cue 3 follows in 0.0 s");
    press(terminal, 'h');
    wait_for(terminal, "cue 3 runs, 1");
    press(terminal, 'g');
    wait_for(terminal, "that was the last cue");
    press(terminal, 'p');
    wait_for(terminal, "PAUSED");
    press(terminal, 'g');
    wait_for(terminal, "; it is the last"); /* goes on, and starts nothing */
    press(terminal, 'r');
    wait_for(terminal, "RELEASED");
    wait_live(receiver, false);
    assert_true(mtm_receiver_universe(receiver, 0)->source[0].terminated);
    press(terminal, 'r');
    wait_live(receiver, true);
    press(terminal, 'q');
    wait_for(terminal, "q once more ends it");
    press(terminal, 'q');
    int status = finish(terminal);
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) == EXIT_DONE);
    CHECK_HOLDS(strstr(terminal->seen, LEFT), " frames in "); /* the report, behind the screen */
    wait_live(receiver, false);
    mtm_receiver_free(receiver);
    free(terminal);
}

/* However it ends, the terminal is put back; where it may, it ends the stream too. */
static const struct end_row {
    const char *name;
    int signal_number; /* 0: key */
    char key;
    bool dies; /* by the signal */
} end_rows[] = {
    {"Ctrl-C", 0, 3, false},    {"terminate", SIGTERM, 0, false}, {"hang up", SIGHUP, 0, false},
    {"quit", SIGQUIT, 0, true}, {"abort", SIGABRT, 0, true},
};

static void test_end(void **state)
{
    const struct end_row *row = *state;
    mtm_receiver *receiver = listen_here();
    struct terminal *terminal = begin("--blackout");

    wait_for(terminal, "no cue has run yet");
    if (!row->dies) {
        press(terminal, 'g');
        wait_for(terminal, "; cue 2 is next"); /* it runs, or has run already */
    }
    if (row->signal_number != 0)
        assert_int_equal(kill(terminal->child, row->signal_number), 0);
    else
        press(terminal, row->key);
    int status = finish(terminal);
    if (row->dies) {
        assert_true(WIFSIGNALED(status) && WTERMSIG(status) == row->signal_number);
    } else {
        assert_true(WIFEXITED(status) && WEXITSTATUS(status) == EXIT_DONE);
        assert_int_equal(light(receiver), 0);
        assert_true(mtm_receiver_universe(receiver, 0)->source[0].terminated);
    }
    mtm_receiver_free(receiver);
    free(terminal);
}

/* As without a terminal: no screen, and it ends by itself. */
static void test_unattended(void **state)
{
    struct terminal *terminal = begin("--unattended --seconds 0.2");
    int status = 0;

    (void)state;
    wait_for(terminal, " frames in ");
    assert_int_equal(waitpid(terminal->child, &status, 0), terminal->child);
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) == EXIT_DONE);
    assert_null(strstr(terminal->seen, LEFT));
    (void)close(terminal->slave);
    (void)close(terminal->master);
    free(terminal);
}

/* Sends to the units of the show for 5 s at most, until it is ended. */
static pid_t another_source(const char *to, const uint8_t slot[3])
{
    pid_t child = fork();

    if (child != 0)
        return child;
    mtm_sender_options options = MTM_SENDER_DEFAULTS;
    mtm_sender *sender = NULL;
    options.to = to;
    if (mtm_sender_create(&options, &sender, NULL) != MTM_OK ||
        mtm_sender_add(sender, 5, 3, NULL) != MTM_OK)
        _exit(1);
    memcpy(mtm_sender_slots(sender, 0), slot, 3);
    for (int i = 0; i < 200; i++) {
        if (mtm_sender_send(sender, mtm_stream_now_ns(), NULL) != MTM_OK)
            _exit(1);
        (void)nanosleep(&(struct timespec){0, 25000000}, NULL);
    }
    _exit(0);
}

/* Cue 3 waits for a minute before it moves: until then, what stood on the network stands. */
static void test_from_network(void **state)
{
    static const uint8_t standing[3] = {200, 10, 77};
    char heard[32];
    char line[400];
    mtm_receiver *receiver = listen_here();

    (void)state;
    (void)snprintf(heard, sizeof heard, "%.*s13", (int)strlen(address) - 2, address);
    pid_t other = another_source(heard, standing);
    assert_true(other > 0);
    (void)snprintf(line, sizeof line,
                   "play %s --to %s --cue 3 --seconds 0.2 --from-network --listen %s", show_path,
                   address, heard);
    struct ran ran = run_line(line);
    assert_int_equal(kill(other, SIGKILL), 0);
    assert_int_equal(waitpid(other, NULL, 0), other);
    if (ran.status != EXIT_DONE)
        fail_msg("%s", ran.err);
    assert_string_equal(ran.err, "");
    (void)light(receiver);
    const mtm_received_source *source = &mtm_receiver_universe(receiver, 0)->source[0];
    assert_int_equal(source->slot_count, 3);
    assert_memory_equal(source->slot, standing, 3);
    ran_free(&ran);
    mtm_receiver_free(receiver);
}

static void test_refused(void **state)
{
    char line[400];

    (void)state;
    (void)snprintf(line, sizeof line, "play %s --to %s --from-network --listen %s --seconds 0.1",
                   show_path, address, address);
    expect_failure(line, EXIT_SYSTEM, "nothing is heard of any of the 1 universes");
    (void)snprintf(line, sizeof line, "play %s --to %s --from-network --from 1", show_path,
                   address);
    expect_failure(line, EXIT_USAGE, "exclude each other");
    (void)snprintf(line, sizeof line, "play %s --to %s --listen 127.0.0.1", show_path, address);
    expect_failure(line, EXIT_USAGE, "would do nothing");
}

int main(void)
{
    static const struct CMUnitTest single[] = {
        cmocka_unit_test(test_keys),
        cmocka_unit_test(test_unattended),
        cmocka_unit_test(test_from_network),
        cmocka_unit_test(test_refused),
    };
    struct CMUnitTest tests[COUNT(end_rows) + COUNT(single)];

    ROW_TESTS(tests, end_rows, test_end);
    memcpy(tests + COUNT(end_rows), single, sizeof single);
    return cmocka_run_group_tests_name("metamer play by hand", tests, set_up, tear_down);
}
