/* SPDX-License-Identifier: MIT */
/* E1.31 by multicast over IPv4 and IPv6, and synchronized, in a network namespace of the test's
 * own, whose only interface beside loopback is a tunnel that ends in the test: nothing leaves it.
 * (Linux does not carry multicast of IPv6 over loopback.) Where the system allows no namespace,
 * tunnel or IPv6, the tests are skipped and say why. Rules: ANSI E1.31-2018, clauses 9.3 and 11, as
 * read in public transcriptions. */
#define _GNU_SOURCE /* unshare */
#include "support/check.h"

#include <metamer/stream.h>

#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <linux/if_tun.h>
#include <net/if.h>
#include <sched.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <unistd.h>

enum { UNIVERSES = 30, SYNC = 500 };

static char tunnel[IFNAMSIZ];
static char no_namespace[200]; /* why there is none; "" where there is */
static char no_ipv6[200];

/* Calls with a socket of a family, closed again. */
static bool on_socket(int family, bool (*call)(int descriptor))
{
    int descriptor = socket(family, SOCK_DGRAM, 0);
    bool good = descriptor >= 0 && call(descriptor);
    int reason = errno;

    if (descriptor >= 0)
        (void)close(descriptor);
    errno = reason;
    return good;
}

/* Makes the tunnel, which lasts while the test runs, and tells its name. */
static bool open_tunnel(void)
{
    struct ifreq request = {.ifr_name = "own%d"};
    int descriptor = open("/dev/net/tun", O_RDWR | O_CLOEXEC);

    request.ifr_flags = IFF_TUN | IFF_NO_PI;
    if (descriptor < 0 || ioctl(descriptor, TUNSETIFF, &request) != 0)
        return false;
    memcpy(tunnel, request.ifr_name, sizeof tunnel);
    return true;
}

static struct ifreq tunnel_request(void)
{
    struct ifreq request = {.ifr_flags = 0};

    memcpy(request.ifr_name, tunnel, sizeof tunnel);
    return request;
}

/* Up, open to multicast, with an address. */
static bool raise_tunnel(int descriptor)
{
    struct ifreq request = tunnel_request();
    struct sockaddr_in own = {.sin_family = AF_INET,
                              .sin_addr = {htonl(0xc0000201)}}; /* TEST-NET-1 */

    memcpy(&request.ifr_addr, &own, sizeof own);
    if (ioctl(descriptor, SIOCSIFADDR, &request) != 0)
        return false;
    request = tunnel_request();
    request.ifr_flags = IFF_UP | IFF_MULTICAST | IFF_POINTOPOINT | IFF_NOARP;
    return ioctl(descriptor, SIOCSIFFLAGS, &request) == 0;
}

/* An address of IPv6: nobody else could have it here, so that it holds at once. */
static bool add_ipv6(int descriptor)
{
    struct { /* as the kernel's in6_ifreq */
        struct in6_addr address;
        uint32_t prefix;
        int index;
    } request = {.prefix = 64, .index = (int)if_nametoindex(tunnel)};

    return inet_pton(AF_INET6, "2001:db8::1", &request.address) == 1 && /* for documents */
           ioctl(descriptor, SIOCSIFADDR, &request) == 0;
}

static void say(char *text, size_t room, const char *what)
{
    (void)snprintf(text, room, "%s: %s", what, strerror(errno));
}

/* Any user may where user namespaces are allowed; else root alone. */
static int enter(void **state)
{
    (void)state;
    if (unshare(CLONE_NEWUSER | CLONE_NEWNET) != 0 && unshare(CLONE_NEWNET) != 0)
        say(no_namespace, sizeof no_namespace, "no network namespace is allowed here");
    else if (!open_tunnel() || !on_socket(AF_INET, raise_tunnel))
        say(no_namespace, sizeof no_namespace, "no tunnel in a namespace is allowed here");
    else if (!on_socket(AF_INET6, add_ipv6))
        say(no_ipv6, sizeof no_ipv6, "no IPv6 in the namespace");
    return 0;
}

struct row {
    const char *name;
    mtm_ip ip;
    const char *option; /* of the command */
    void (*test)(const struct row *row);
};

/* Skips, and says so, where the row cannot be tested. */
static void skip_unless(const struct row *row)
{
    const char *why = no_namespace[0] != '\0' ? no_namespace : row->ip != MTM_IP_4 ? no_ipv6 : "";

    if (why[0] == '\0')
        return;
    print_message("skipped, %s: %s\n", row->name, why);
    skip();
}

static mtm_receiver *listen_to(const struct row *row, uint16_t first, unsigned count)
{
    const mtm_receiver_options options = {.interface = tunnel, .ip = row->ip};
    mtm_receiver *receiver = NULL;
    mtm_error error = {""};

    if (mtm_receiver_create(&options, &receiver, &error) != MTM_OK)
        fail_msg("%s", error.text);
    for (unsigned i = 0; i < count; i++) {
        if (mtm_receiver_add(receiver, (uint16_t)(first + i), &error) != MTM_OK)
            fail_msg("%s", error.text);
    }
    return receiver;
}

static mtm_sender *send_from(const struct row *row, uint16_t sync_universe)
{
    mtm_sender_options options = MTM_SENDER_DEFAULTS;
    mtm_sender *sender = NULL;
    mtm_error error = {""};

    options.interface = tunnel;
    options.ip = row->ip;
    options.sync_universe = sync_universe;
    if (mtm_sender_create(&options, &sender, &error) != MTM_OK)
        fail_msg("%s", error.text);
    for (unsigned i = 1; i <= UNIVERSES; i++)
        assert_int_equal(mtm_sender_add(sender, (uint16_t)i, 24, NULL), MTM_OK);
    return sender;
}

static void send_look(mtm_sender *sender, uint8_t value)
{
    mtm_error error = {""};

    for (size_t i = 0; i < UNIVERSES; i++)
        mtm_sender_slots(sender, i)[0] = (uint8_t)(value + i);
    if (mtm_sender_send(sender, mtm_stream_now_ns(), &error) != MTM_OK)
        fail_msg("%s", error.text);
}

/* Takes what comes until each universe shows a look, two seconds at most. */
static bool takes_look(mtm_receiver *receiver, uint8_t value)
{
    for (int tries = 0; tries < 100; tries++) {
        size_t good = 0;
        assert_int_equal(mtm_receiver_wait(receiver, 20, NULL, NULL), MTM_OK);
        for (size_t i = 0; i < UNIVERSES; i++) {
            const mtm_received *universe = mtm_receiver_universe(receiver, i);
            good += universe->winner >= 0 &&
                    universe->source[universe->winner].slot[0] == (uint8_t)(value + i);
        }
        if (good == UNIVERSES)
            return true;
    }
    return false;
}

/* Each universe comes by its own group; over both families the second copy is told and dropped. */
static void test_groups(const struct row *row)
{
    mtm_receiver *receiver = listen_to(row, 1, UNIVERSES);
    mtm_sender *sender = send_from(row, 0);
    send_look(sender, 100);
    assert_true(takes_look(receiver, 100));
    assert_int_equal(mtm_receiver_wait(receiver, 50, NULL, NULL), MTM_OK);
    for (size_t i = 0; i < UNIVERSES; i++) {
        const mtm_received_source *source = &mtm_receiver_universe(receiver, i)->source[0];
        assert_int_equal(source->packets, 1);
        assert_int_equal(source->duplicates, row->ip == MTM_IP_BOTH ? 1 : 0);
    }
    mtm_sender_free(sender);
    mtm_receiver_free(receiver);
}

/* Whoever joined other groups hears nothing of these. */
static void test_other_groups(const struct row *row)
{
    mtm_receiver *receiver = listen_to(row, 101, 1);
    mtm_receiver *meant = listen_to(row, 1, UNIVERSES);
    mtm_sender *sender = send_from(row, 0);
    send_look(sender, 100);
    assert_true(takes_look(meant, 100));
    assert_int_equal(mtm_receiver_wait(receiver, 50, NULL, NULL), MTM_OK);
    assert_int_equal(mtm_receiver_universe(receiver, 0)->source_count, 0);
    mtm_sender_free(sender);
    mtm_receiver_free(meant);
    mtm_receiver_free(receiver);
}

/* Data names the universe of synchronization; its group is joined when the first data has come, and
 * from its first packet on all universes change together, with it. */
static void test_sync(const struct row *row)
{
    mtm_receiver *receiver = listen_to(row, 1, UNIVERSES);
    mtm_sender *sender = send_from(row, SYNC);
    for (uint8_t look = 1; look <= 5; look++) {
        send_look(sender, (uint8_t)(40 * look));
        assert_true(takes_look(receiver, (uint8_t)(40 * look)));
    }
    assert_int_equal(mtm_sender_count(sender).sync, row->ip == MTM_IP_BOTH ? 10 : 5);
    assert_true(mtm_receiver_count(receiver).sync >= (row->ip == MTM_IP_BOTH ? 8U : 4U));
    for (size_t i = 0; i < UNIVERSES; i++) {
        const mtm_received_source *source = &mtm_receiver_universe(receiver, i)->source[0];
        assert_true(source->synchronized && !source->waits);
        assert_int_equal(source->sync_universe, SYNC);
    }
    mtm_sender_free(sender);
    mtm_receiver_free(receiver);
}

/* The command, as a process of its own: play --sync over a family for half a second. */
static void test_play(const struct row *row)
{
    const char *build = getenv("METAMER_BUILD");
    const char *source = getenv("METAMER_SOURCE");
    char program[400];
    char show[400];
    int status = -1;

    assert_true(build != NULL && source != NULL);
    (void)snprintf(program, sizeof program, "%s/src/cli/metamer", build);
    (void)snprintf(show, sizeof show, "%s/examples/evening.json", source);
    mtm_receiver *receiver = listen_to(row, 1, 1);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        (void)freopen("/dev/null", "w", stdout);
        (void)execl(program, program, "play", show, "--to", "multicast", "--ip", row->option,
                    "--interface", tunnel, "--sync", "500", "--seconds", "0.5", "--unattended",
                    (char *)NULL);
        _exit(127);
    }
    bool synchronized = false;
    for (int tries = 0; tries < 100 && !synchronized; tries++) {
        assert_int_equal(mtm_receiver_wait(receiver, 20, NULL, NULL), MTM_OK);
        const mtm_received *universe = mtm_receiver_universe(receiver, 0);
        synchronized = universe->winner >= 0 && universe->source[universe->winner].synchronized &&
                       universe->source[universe->winner].sync_universe == SYNC;
    }
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    assert_true(synchronized);
    mtm_receiver_free(receiver);
}

#define FAMILIES(what, test)                                                                       \
    {what " over IPv4", MTM_IP_4, "4", test}, {what " over IPv6", MTM_IP_6, "6", test},            \
    {                                                                                              \
        what " over both", MTM_IP_BOTH, "both", test                                               \
    }

static const struct row rows[] = {
    FAMILIES("groups", test_groups),
    FAMILIES("other groups", test_other_groups),
    FAMILIES("synchronization", test_sync),
    FAMILIES("play --sync", test_play),
};

static void test_row(void **state)
{
    const struct row *row = *state;

    skip_unless(row);
    row->test(row);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, test_row);
    return cmocka_run_group_tests_name("E1.31 in a network of its own", tests, enter, NULL);
}
