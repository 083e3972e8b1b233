/* SPDX-License-Identifier: MIT */
/* E1.31 over IPv4 and IPv6, to destinations of their own, and synchronized: what a sender hands
 * over and to whom, over a transport that only records; then over loopback. Rules: ANSI E1.31-2018,
 * clauses 4.3, 6.2.6, 9.3 and 11, as read in public transcriptions. */
#include "support/check.h"

#include "stream/e131_sender.h"

#include <arpa/inet.h>
#include <errno.h>
#include <netinet/in.h>
#include <unistd.h>

#define MS UINT64_C(1000000)
#define KEPT 64

static const struct group_row {
    const char *name; /* as four independent open libraries have it; table 9-12, octet by octet */
    uint16_t universe;
    const char *as_text; /* the printed form read as an address, as at least three have it */
} group_rows[] = {
    {"ff18::8300:1", 1, "ff18::83:0:0:1"},          {"ff18::8300:100", 256, "ff18::83:0:1:0"},
    {"ff18::8300:12c", 300, "ff18::83:0:1:2c"},     {"ff18::8300:f9ff", 63999, "ff18::83:0:f9:ff"},
    {"ff18::8300:fad6", 64214, "ff18::83:0:fa:d6"},
};

static void test_group(void **state)
{
    const struct group_row *row = *state;
    uint8_t wanted[16];
    uint8_t got[16];
    mtmi_place place = mtmi_place_group_as_text(row->universe);

    mtm_e131_group6(row->universe, got);
    assert_int_equal(inet_pton(AF_INET6, row->name, wanted), 1);
    assert_memory_equal(got, wanted, sizeof wanted);
    assert_int_equal(inet_pton(AF_INET6, row->as_text, wanted), 1);
    assert_memory_equal(place.address, wanted, sizeof wanted);
}

typedef struct wire {
    mtm_e131_packet packet[KEPT];
    mtmi_place to[KEPT];
    size_t count;
    const mtmi_place *away; /* cannot be reached */
} wire;

static int wire_open(void *context)
{
    (void)context;
    return 0;
}

static int wire_send(void *context, const mtmi_datagram *datagram, size_t count, size_t *sent)
{
    wire *seen = context;

    for (*sent = 0; *sent < count; ++*sent) {
        const mtmi_datagram *each = &datagram[*sent];
        if (seen->away != NULL && mtmi_place_same(seen->away, &each->to))
            return EHOSTUNREACH;
        assert_true(seen->count < KEPT);
        assert_int_equal(
            mtm_e131_decode(each->octets, each->length, &seen->packet[seen->count], NULL), MTM_OK);
        seen->to[seen->count++] = each->to;
    }
    return 0;
}

static void wire_close(void *context)
{
    (void)context;
}

static mtm_sender *make(wire *seen, const mtm_sender_options *options, uint16_t universes)
{
    mtm_sender *sender = NULL;
    mtm_error error = {""};

    if (mtmi_sender_create_over(options, (mtmi_transport){seen, wire_open, wire_send, wire_close},
                                &sender, &error) != MTM_OK)
        fail_msg("%s", error.text);
    for (uint16_t u = 1; u <= universes; u++)
        assert_int_equal(mtm_sender_add(sender, u, 4, NULL), MTM_OK);
    return sender;
}

static void expect_to(const wire *seen, size_t index, const char *address)
{
    char text[INET6_ADDRSTRLEN];
    const mtmi_place *place = &seen->to[index];

    assert_true(index < seen->count);
    assert_non_null(inet_ntop(place->v6 ? AF_INET6 : AF_INET, place->address, text, sizeof text));
    assert_string_equal(text, address);
    assert_int_equal(place->port, 5568);
}

/* Two of their own, the rest by multicast; the list of universes goes to each place once. */
static void test_own(void **state)
{
    static const mtm_sender_own own[] = {{2, 3, "10.0.0.20"}, {4, 4, "fd00::5"}};
    mtm_sender_options options = MTM_SENDER_DEFAULTS;
    wire seen = {.count = 0};

    (void)state;
    options.own = own;
    options.own_count = COUNT(own);
    mtm_sender *sender = make(&seen, &options, 4);
    assert_int_equal(mtm_sender_send(sender, MS, NULL), MTM_OK);
    assert_int_equal(seen.count, 7);
    expect_to(&seen, 0, "239.255.0.1");
    expect_to(&seen, 1, "10.0.0.20");
    expect_to(&seen, 2, "10.0.0.20");
    expect_to(&seen, 3, "fd00::5");
    for (size_t i = 4; i < 7; i++)
        assert_int_equal(seen.packet[i].type, MTM_E131_DISCOVERY);
    expect_to(&seen, 4, "239.255.250.214");
    expect_to(&seen, 5, "10.0.0.20");
    expect_to(&seen, 6, "fd00::5");
    mtm_sender_free(sender);
}

/* A receiver that cannot be reached holds up no other; its universe stays due. */
static void test_one_away(void **state)
{
    static const mtm_sender_own own[] = {
        {1, 1, "10.0.0.20"}, {2, 2, "10.0.0.21"}, {3, 3, "10.0.0.22"}};
    mtm_sender_options options = MTM_SENDER_DEFAULTS;
    mtmi_place away;
    wire seen = {.away = &away};
    mtm_error error = {""};

    (void)state;
    assert_true(mtmi_place_parse("10.0.0.21", &away));
    away.port = 5568;
    options.own = own;
    options.own_count = COUNT(own);
    options.own_only = true;
    mtm_sender *sender = make(&seen, &options, 3);
    assert_int_equal(mtm_sender_send(sender, MS, &error), MTM_IO);
    assert_int_equal(seen.count, 2);
    expect_to(&seen, 0, "10.0.0.20");
    expect_to(&seen, 1, "10.0.0.22");
    assert_int_equal(mtm_sender_count(sender).refused, 1);
    uint8_t first = seen.packet[0].sequence;
    seen.away = NULL;
    seen.count = 0;
    assert_int_equal(mtm_sender_send(sender, 26 * MS, NULL), MTM_OK);
    assert_int_equal(seen.packet[0].sequence, (uint8_t)(first + 1));
    assert_int_equal(seen.packet[1].universe, 2);
    assert_int_equal(seen.packet[1].sequence, first); /* what did not leave was not counted */
    mtm_sender_free(sender);
}

/* Both families: the same packet twice, with one sequence number. */
static void test_both(void **state)
{
    mtm_sender_options options = MTM_SENDER_DEFAULTS;
    wire seen = {.count = 0};

    (void)state;
    options.ip = MTM_IP_BOTH;
    mtm_sender *sender = make(&seen, &options, 2);
    for (uint64_t tick = 0; tick < 2; tick++) {
        seen.count = 0;
        assert_int_equal(mtm_sender_send(sender, (1 + 25 * tick) * MS, NULL), MTM_OK);
        assert_int_equal(seen.count, tick == 0 ? 6 : 4);
        expect_to(&seen, 0, "239.255.0.1");
        expect_to(&seen, 1, "239.255.0.2");
        expect_to(&seen, 2, "ff18::8300:1");
        expect_to(&seen, 3, "ff18::8300:2");
        for (size_t u = 0; u < 2; u++)
            assert_int_equal(seen.packet[u].sequence, seen.packet[u + 2].sequence);
    }
    mtm_sender_free(sender);
}

/* Clause 11: the data names the address; one packet to its group follows the data of each send, and
 * only then; the list of universes has it too. */
static void test_sync_sent(void **state)
{
    mtm_sender_options options = MTM_SENDER_DEFAULTS;
    wire seen = {.count = 0};

    (void)state;
    options.to = "127.0.0.9";
    options.sync_universe = 7;
    mtm_sender *sender = make(&seen, &options, 2);
    for (unsigned tick = 0; tick < 3; tick++) {
        seen.count = 0;
        assert_int_equal(mtm_sender_send(sender, (1 + 25 * tick) * MS, NULL), MTM_OK);
        assert_int_equal(seen.count, tick == 0 ? 4 : 3);
        for (size_t u = 0; u < 2; u++) {
            assert_int_equal(seen.packet[u].sync_universe, 7);
            expect_to(&seen, u, "127.0.0.9");
        }
        assert_int_equal(seen.packet[2].type, MTM_E131_SYNC);
        assert_int_equal(seen.packet[2].sync_universe, 7);
        assert_int_equal(seen.packet[2].sequence, tick); /* a count of its own */
        expect_to(&seen, 2, "239.255.0.7");
    }
    seen.count = 0;
    assert_int_equal(mtm_sender_send(sender, 90 * MS, NULL), MTM_OK);
    assert_int_equal(seen.count, 0); /* no data is due, so there is nothing to act on */
    assert_int_equal(mtm_sender_count(sender).sync, 3);
    assert_int_equal(mtm_sender_send(sender, 10001 * MS, NULL), MTM_OK);
    assert_int_equal(seen.packet[seen.count - 1].type, MTM_E131_DISCOVERY);
    assert_int_equal(seen.packet[seen.count - 1].listed_count, 3);
    assert_int_equal(seen.packet[seen.count - 1].listed[2], 7);
    mtm_sender_free(sender);
}

static const struct refuse_row {
    const char *name;
    mtm_sender_options options;
    const char *part;
} refuse_rows[] = {
    {"no address", {.to = "fd00:::1"}, "not an IPv4 address such as 10.0.0.20, nor an IPv6"},
    {"no such interface", {.to = "fe80::1%no-such0"}, "nor an IPv6 address"},
    {"a group", {.to = "ff18::8300:1"}, "not the address of one receiver"},
    {"nobody", {.to = "::"}, "not the address of one receiver"},
    {"sync", {.to = "127.0.0.1", .sync_universe = 64000}, "synchronization universe 64000"},
    {"falling",
     {.own = &(const mtm_sender_own){3, 2, "127.0.0.1"}, .own_count = 1},
     "universes 3 to 2"},
    {"twice",
     {.own = (const mtm_sender_own[]){{1, 4, "127.0.0.1"}, {3, 9, "127.0.0.2"}}, .own_count = 2},
     "universe 3 has two destinations"},
    {"ip", {.ip = (mtm_ip)3}, "no such choice"},
};

static void test_refused(void **state)
{
    const struct refuse_row *row = *state;
    wire seen = {.count = 0};
    mtm_sender *sender = NULL;
    mtm_error error = {""};

    assert_int_equal(mtmi_sender_create_over(
                         &row->options, (mtmi_transport){&seen, wire_open, wire_send, wire_close},
                         &sender, &error),
                     MTM_INVALID);
    CHECK_HOLDS(error.text, row->part);
    assert_null(sender);
}

static void test_no_destination(void **state)
{
    static const mtm_sender_own own[] = {{2, 3, "10.0.0.20"}};
    mtm_sender_options options = MTM_SENDER_DEFAULTS;
    wire seen = {.count = 0};
    mtm_error error = {""};

    (void)state;
    options.own = own;
    options.own_count = 1;
    options.own_only = true;
    mtm_sender *sender = make(&seen, &options, 0);
    assert_int_equal(mtm_sender_add(sender, 1, 4, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "universe 1 has no destination");
    mtm_sender_free(sender);
}

/* Sends one look to a receiver until it is heard; false where this machine cannot. */
static bool is_heard(const mtm_sender_options *to, const mtm_receiver_options *at)
{
    mtm_receiver *receiver = NULL;
    mtm_sender *sender = NULL;
    bool heard = false;

    if (mtm_receiver_create(at, &receiver, NULL) == MTM_OK &&
        mtm_receiver_add(receiver, 9, NULL) == MTM_OK &&
        mtm_sender_create(to, &sender, NULL) == MTM_OK) {
        assert_int_equal(mtm_sender_add(sender, 9, 3, NULL), MTM_OK);
        for (unsigned i = 0; i < 40 && !heard; i++) {
            mtm_sender_slots(sender, 0)[2] = (uint8_t)(100 + i);
            if (mtm_sender_send(sender, mtm_stream_now_ns(), NULL) != MTM_OK)
                break;
            assert_int_equal(mtm_receiver_wait(receiver, 50, NULL, NULL), MTM_OK);
            const mtm_received *universe = mtm_receiver_universe(receiver, 0);
            heard = universe->winner >= 0 && universe->source[universe->winner].slot[2] >= 100;
        }
    }
    mtm_sender_free(sender);
    mtm_receiver_free(receiver);
    return heard;
}

/* Whether this machine has the loopback of IPv6 at all, asked without this library. */
static bool has_ipv6(void)
{
    struct sockaddr_in6 at = {.sin6_family = AF_INET6, .sin6_addr = IN6ADDR_LOOPBACK_INIT};
    int descriptor = socket(AF_INET6, SOCK_DGRAM, 0);
    bool bound = descriptor >= 0 && bind(descriptor, (const struct sockaddr *)&at, sizeof at) == 0;

    if (descriptor >= 0)
        (void)close(descriptor);
    return bound;
}

static void test_unicast_v6(void **state)
{
    mtm_sender_options to = MTM_SENDER_DEFAULTS;
    mtm_receiver_options at = {.address = "::1"};

    (void)state;
    if (!has_ipv6()) {
        print_message("no IPv6 on this machine: not sent over it\n");
        skip();
    }
    to.to = "::1";
    to.port = at.port = (uint16_t)(20000 + getpid() % 20000);
    assert_true(is_heard(&to, &at));
}

int main(void)
{
    static const struct CMUnitTest single[] = {
        cmocka_unit_test(test_own),
        cmocka_unit_test(test_one_away),
        cmocka_unit_test(test_both),
        cmocka_unit_test(test_sync_sent),
        cmocka_unit_test(test_no_destination),
        cmocka_unit_test(test_unicast_v6),
    };
    struct CMUnitTest tests[COUNT(group_rows) + COUNT(refuse_rows) + COUNT(single)];

    ROW_TESTS(tests, group_rows, test_group);
    ROW_TESTS(tests + COUNT(group_rows), refuse_rows, test_refused);
    memcpy(tests + COUNT(group_rows) + COUNT(refuse_rows), single, sizeof single);
    return cmocka_run_group_tests_name("E1.31 places", tests, NULL, NULL);
}
