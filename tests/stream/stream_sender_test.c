/* SPDX-License-Identifier: MIT */
/* E1.31 sender: what leaves it and when, over a transport that only records. Rules: ANSI
 * E1.31-2018, clauses 4.3, 6.2.5, 6.2.6, 6.6.2, as read in public transcriptions. */
#include "support/check.h"

#include "stream/e131_sender.h"

#include <errno.h>

#define MS UINT64_C(1000000)
#define KEPT 64

typedef struct wire {
    mtm_e131_packet packet[KEPT];
    mtmi_place to[KEPT];
    uint8_t address[KEPT][4]; /* of IPv4 */
    uint16_t port[KEPT];
    size_t count;
    size_t opened;
    int open_fault;
    int send_fault; /* refuses everything after fault_after datagrams of a call */
    size_t fault_after;
    bool lists_only; /* keeps no data packets */
} wire;

static int wire_open(void *context)
{
    wire *seen = context;

    seen->opened++;
    return seen->open_fault;
}

static int wire_send(void *context, const mtmi_datagram *datagram, size_t count, size_t *sent)
{
    wire *seen = context;

    *sent = 0;
    for (size_t i = 0; i < count; i++) {
        if (seen->send_fault != 0 && i == seen->fault_after)
            return seen->send_fault;
        assert_true(seen->count < KEPT);
        assert_int_equal(mtm_e131_decode(datagram[i].octets, datagram[i].length,
                                         &seen->packet[seen->count], NULL),
                         MTM_OK);
        ++*sent;
        if (seen->lists_only && seen->packet[seen->count].type == MTM_E131_DATA)
            continue;
        memcpy(seen->address[seen->count], datagram[i].to.address, 4);
        seen->to[seen->count] = datagram[i].to;
        seen->port[seen->count++] = datagram[i].to.port;
    }
    return 0;
}

static void wire_close(void *context)
{
    (void)context;
}

static mtm_sender *make(wire *seen, mtm_sender_options options)
{
    mtm_sender *sender = NULL;
    mtm_error error = {""};
    mtmi_transport transport = {seen, wire_open, wire_send, wire_close};

    if (mtmi_sender_create_over(&options, transport, &sender, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return sender;
}

static mtm_sender *make_one(wire *seen, uint16_t universe, size_t slots)
{
    mtm_sender *sender = make(seen, (mtm_sender_options)MTM_SENDER_DEFAULTS);

    assert_int_equal(mtm_sender_add(sender, universe, slots, NULL), MTM_OK);
    return sender;
}

/* Sends at a time; returns the data packets that left, which begin at seen->packet[0]. */
static size_t tick(mtm_sender *sender, wire *seen, uint64_t now_ns)
{
    size_t data = 0;

    seen->count = 0;
    mtm_result result = mtm_sender_send(sender, now_ns, NULL);
    assert_true(result == MTM_OK || result == MTM_IO);
    while (data < seen->count && seen->packet[data].type == MTM_E131_DATA)
        data++;
    return data;
}

/* 6.6.2: three packets after the last change, then one every 800 to 1000 ms. */
static void test_when(void **state)
{
    wire seen = {0};
    mtm_sender *sender = make_one(&seen, 7, 4);
    uint64_t last = 0;
    uint64_t now = 5000 * MS;

    (void)state;
    for (int i = 0; i < 3; i++, now += 25 * MS) {
        assert_int_equal(tick(sender, &seen, now), 1);
        last = now;
    }
    for (int beat = 0; beat < 4; beat++) {
        while (tick(sender, &seen, now) == 0)
            now += MS;
        assert_in_range(now - last, 800 * MS, 1000 * MS);
        last = now;
    }
    mtm_sender_slots(sender, 0)[3] = 9;
    for (int i = 0; i < 3; i++, now += 25 * MS) {
        assert_int_equal(tick(sender, &seen, now), 1);
        assert_int_equal(seen.packet[0].slot[3], 9);
    }
    assert_int_equal(tick(sender, &seen, now), 0);
    mtm_sender_free(sender);
}

/* 6.2.5: one count a universe, one more each packet, keep-alive among them, 255 before 0. */
static void test_sequence(void **state)
{
    wire seen = {0};
    mtm_sender *sender = make_one(&seen, 7, 4);
    uint8_t last = 0;

    (void)state;
    assert_int_equal(mtm_sender_add(sender, 8, 512, NULL), MTM_OK);
    for (unsigned i = 0; i < 600; i++) {
        mtm_sender_slots(sender, 0)[0] = (uint8_t)i;
        size_t count = tick(sender, &seen, (1000 + 25 * i) * MS);
        assert_true(count >= 1);
        assert_int_equal(seen.packet[0].universe, 7);
        if (i > 0)
            assert_int_equal(seen.packet[0].sequence, (uint8_t)(last + 1));
        last = seen.packet[0].sequence;
    }
    mtm_sender_free(sender);
}

static void test_fields(void **state)
{
    wire seen = {0};
    mtm_sender_options options = {.priority = 0, .source_name = "hall", .cid_given = true};
    mtm_sender *sender = NULL;

    (void)state;
    memset(options.cid.octet, 0x5a, sizeof options.cid.octet);
    options.preview = true;
    sender = make(&seen, options);
    assert_int_equal(mtm_sender_add(sender, 300, 24, NULL), MTM_OK);
    assert_int_equal(tick(sender, &seen, MS), 1);
    assert_string_equal(seen.packet[0].source_name, "hall");
    assert_memory_equal(seen.packet[0].cid.octet, options.cid.octet, 16);
    assert_int_equal(seen.packet[0].priority, 0);
    assert_int_equal(seen.packet[0].slot_count, 24);
    assert_true(seen.packet[0].preview);
    assert_false(seen.packet[0].terminated);
    assert_int_equal(seen.packet[0].start_code, 0);
    assert_memory_equal(seen.address[0], ((uint8_t[]){239, 255, 1, 44}), 4);
    assert_int_equal(seen.port[0], 5568);
    mtm_sender_free(sender);
}

/* 4.3: the list of universes every 10 s, in rising order, to the group of universe 64214. */
static void test_discovery(void **state)
{
    wire seen = {0};
    mtm_sender *sender = make_one(&seen, 9, 4);

    (void)state;
    assert_int_equal(mtm_sender_add(sender, 2, 4, NULL), MTM_OK);
    assert_int_equal(tick(sender, &seen, MS), 2);
    assert_int_equal(seen.count, 3);
    assert_int_equal(seen.packet[2].type, MTM_E131_DISCOVERY);
    assert_int_equal(seen.packet[2].listed_count, 2);
    assert_int_equal(seen.packet[2].listed[0], 2);
    assert_int_equal(seen.packet[2].listed[1], 9);
    assert_memory_equal(seen.address[2], ((uint8_t[]){239, 255, 250, 214}), 4);
    for (uint64_t now = 26; now < 10000; now += 25) {
        size_t data = tick(sender, &seen, now * MS);
        assert_int_equal(seen.count, data);
    }
    size_t data = tick(sender, &seen, 10001 * MS);
    assert_int_equal(seen.count, data + 1);
    mtm_sender_free(sender);
}

/* 513 universes: two pages, which say so. */
static void test_pages(void **state)
{
    wire seen = {.lists_only = true};
    mtm_sender *sender = make(&seen, (mtm_sender_options)MTM_SENDER_DEFAULTS);

    (void)state;
    for (unsigned i = 513; i > 0; i--)
        assert_int_equal(mtm_sender_add(sender, (uint16_t)i, 1, NULL), MTM_OK);
    assert_int_equal(mtm_sender_send(sender, MS, NULL), MTM_OK);
    assert_int_equal(seen.count, 2);
    for (size_t i = 0; i < 2; i++) {
        assert_int_equal(seen.packet[i].page, i);
        assert_int_equal(seen.packet[i].last_page, 1);
    }
    assert_int_equal(seen.packet[0].listed_count, 512);
    assert_int_equal(seen.packet[0].listed[511], 512);
    assert_int_equal(seen.packet[1].listed_count, 1);
    assert_int_equal(seen.packet[1].listed[0], 513);
    mtm_sender_free(sender);
}

/* 6.2.6: three packets with the bit set, the sequence going on; slots go on as they were. */
static void test_finish(void **state)
{
    wire seen = {0};
    mtm_sender *sender = make_one(&seen, 7, 4);

    (void)state;
    assert_int_equal(mtm_sender_finish(sender, 0, NULL), MTM_OK);
    assert_int_equal(seen.count, 0); /* what never began is not ended */
    assert_int_equal(tick(sender, &seen, MS), 1);
    uint8_t last = seen.packet[0].sequence;
    seen.count = 0;
    assert_int_equal(mtm_sender_finish(sender, 0, NULL), MTM_OK);
    assert_int_equal(seen.count, 3);
    for (size_t i = 0; i < 3; i++) {
        assert_true(seen.packet[i].terminated);
        assert_int_equal(seen.packet[i].sequence, (uint8_t)(last + 1 + i));
    }
    assert_int_equal(tick(sender, &seen, 30 * MS), 1); /* and it can begin again */
    assert_false(seen.packet[0].terminated);
    mtm_sender_free(sender);
}

static void test_unicast(void **state)
{
    wire seen = {0};
    mtm_sender_options options = MTM_SENDER_DEFAULTS;

    (void)state;
    options.to = "127.0.0.9";
    options.port = 5600;
    mtm_sender *sender = make(&seen, options);
    assert_int_equal(mtm_sender_add(sender, 300, 4, NULL), MTM_OK);
    assert_int_equal(tick(sender, &seen, MS), 1);
    assert_int_equal(seen.count, 2);
    for (size_t i = 0; i < 2; i++) { /* nothing goes to a group, the list neither */
        assert_memory_equal(seen.address[i], ((uint8_t[]){127, 0, 0, 9}), 4);
        assert_int_equal(seen.port[i], 5600);
    }
    mtm_sender_free(sender);
}

/* A network that goes away: what it refused is due again with the same number, and the socket is
 * opened anew after a second. */
static void test_network_away(void **state)
{
    wire seen = {0};
    mtm_sender *sender = make_one(&seen, 7, 4);
    mtm_error error = {""};
    uint64_t now = mtm_stream_now_ns();

    (void)state;
    assert_int_equal(mtm_sender_add(sender, 8, 4, NULL), MTM_OK);
    seen.send_fault = ENETUNREACH;
    seen.fault_after = 1;
    assert_int_equal(mtm_sender_send(sender, now, &error), MTM_IO);
    CHECK_HOLDS(error.text, "Network is unreachable");
    assert_int_equal(seen.count, 1);
    uint8_t first = seen.packet[0].sequence;
    assert_true(mtm_sender_count(sender).away);
    assert_int_equal(mtm_sender_count(sender).packets, 1);
    assert_int_equal(mtm_sender_count(sender).refused, 1);
    assert_int_equal(seen.opened, 1);

    seen.fault_after = 0;
    assert_int_equal(mtm_sender_send(sender, now + 1100 * MS, &error), MTM_IO);
    assert_int_equal(seen.opened, 2);
    seen.send_fault = 0;
    assert_int_equal(tick(sender, &seen, now + 1200 * MS), 2);
    assert_int_equal(seen.packet[0].sequence, (uint8_t)(first + 1));
    assert_int_equal(seen.packet[1].sequence, first);
    assert_false(mtm_sender_count(sender).away);
    mtm_sender_free(sender);
}

static void test_patient(void **state)
{
    wire seen = {.open_fault = ENETDOWN};
    mtm_sender_options options = MTM_SENDER_DEFAULTS;
    mtmi_transport transport = {&seen, wire_open, wire_send, wire_close};
    mtm_sender *sender = NULL;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtmi_sender_create_over(&options, transport, &sender, &error), MTM_IO);
    CHECK_HOLDS(error.text, "Network is down");
    assert_null(sender);
    options.patient = true;
    assert_int_equal(mtmi_sender_create_over(&options, transport, &sender, &error), MTM_OK);
    assert_true(mtm_sender_count(sender).away);
    mtm_sender_free(sender);
}

static void expect_refused(mtm_sender_options options, const char *part)
{
    mtm_sender *sender = NULL;
    mtm_error error = {""};

    assert_int_equal(mtm_sender_create(&options, &sender, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, part);
    assert_null(sender);
}

static void test_refused(void **state)
{
    wire seen = {0};
    mtm_sender *sender = make_one(&seen, 7, 4);
    mtm_error error = {""};

    (void)state;
    expect_refused((mtm_sender_options){.priority = 201}, "0 to 200");
    expect_refused((mtm_sender_options){.source_name = ""}, "source name");
    expect_refused((mtm_sender_options){.source_name = "\xff"}, "source name");
    expect_refused((mtm_sender_options){.to = "somewhere"}, "not an IPv4 address");
    expect_refused((mtm_sender_options){.to = "239.255.0.1"}, "not the address of one receiver");
    expect_refused((mtm_sender_options){.to = "0.0.0.0"}, "not the address of one receiver");
    expect_refused((mtm_sender_options){.interface = "no-such0"},
                   "has the name \"no-such0\"; there are: lo 127.0.0.1");
    expect_refused((mtm_sender_options){.port = 5569}, "multicast uses 5568");
    assert_int_equal(mtm_sender_add(sender, 7, 4, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "sent already");
    assert_int_equal(mtm_sender_add(sender, 8, 0, &error), MTM_INVALID);
    assert_int_equal(mtm_sender_add(sender, 8, 513, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "1 to 512");
    assert_int_equal(mtm_sender_add(sender, 0, 4, &error), MTM_INVALID);
    assert_int_equal(mtm_sender_add(sender, 64000, 4, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "1 to 63999");
    assert_int_equal(mtm_sender_universe_count(sender), 1);
    mtm_sender_free(sender);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_when),    cmocka_unit_test(test_sequence),
        cmocka_unit_test(test_fields),  cmocka_unit_test(test_discovery),
        cmocka_unit_test(test_pages),   cmocka_unit_test(test_finish),
        cmocka_unit_test(test_unicast), cmocka_unit_test(test_network_away),
        cmocka_unit_test(test_patient), cmocka_unit_test(test_refused),
    };

    return cmocka_run_group_tests_name("E1.31 sender", tests, NULL, NULL);
}
