/* SPDX-License-Identifier: MIT */
/* E1.31 receiver: sequence, sources, loss and lists, fed by hand; then both ends over loopback. */
#include "support/check.h"

#include <metamer/stream.h>

#include <poll.h>
#include <unistd.h>

#define MS UINT64_C(1000000)

/* A loopback address of this process alone, so that tests may run side by side. */
static void own_address(char *text, size_t room)
{
    unsigned id = (unsigned)getpid();

    (void)snprintf(text, room, "127.%u.%u.7", 1 + (id >> 8) % 250, id % 256);
}

static int open_receiver(void **state)
{
    char address[32];
    mtm_receiver_options options = {.address = address};
    mtm_receiver *receiver = NULL;
    mtm_error error = {""};

    own_address(address, sizeof address);
    if (mtm_receiver_create(&options, &receiver, &error) != MTM_OK ||
        mtm_receiver_add(receiver, 7, &error) != MTM_OK) {
        print_error("%s\n", error.text);
        return -1;
    }
    *state = receiver;
    return 0;
}

static int close_receiver(void **state)
{
    mtm_receiver_free(*state);
    return 0;
}

static mtm_e131_packet packet_of(uint8_t source, uint8_t sequence)
{
    return (mtm_e131_packet){.type = MTM_E131_DATA,
                             .cid = {{source}},
                             .source_name = "hall",
                             .priority = 100,
                             .sequence = sequence,
                             .universe = 7,
                             .slot_count = 2,
                             .slot = {source, sequence}};
}

static void feed(mtm_receiver *receiver, mtm_e131_packet packet, uint64_t now_ns)
{
    uint8_t octets[MTM_E131_PACKET_MAX];
    size_t length = 0;

    assert_int_equal(mtm_e131_encode(&packet, octets, &length, NULL), MTM_OK);
    mtm_receiver_take(receiver, octets, length, now_ns);
}

static const mtm_received_source *only_source(const mtm_receiver *receiver)
{
    const mtm_received *universe = mtm_receiver_universe(receiver, 0);

    assert_int_equal(universe->source_count, 1);
    return &universe->source[0];
}

static int winner_of(const mtm_receiver *receiver)
{
    const mtm_received *universe = mtm_receiver_universe(receiver, 0);

    return universe->winner < 0 ? -1 : universe->source[universe->winner].cid.octet[0];
}

static void test_in_order(void **state)
{
    mtm_receiver *receiver = *state;

    for (unsigned i = 0; i < 300; i++)
        feed(receiver, packet_of(1, (uint8_t)i), i * MS);
    const mtm_received_source *source = only_source(receiver);
    assert_int_equal(source->packets, 300);
    assert_int_equal(source->lost, 0);
    assert_int_equal(source->out_of_order, 0);
    assert_int_equal(source->duplicates, 0);
    assert_string_equal(source->name, "hall");
    assert_int_equal(source->slot_count, 2);
    assert_int_equal(source->slot[1], (uint8_t)299);
}

/* Numbers 1 2 5 3 4 4 6: two seem lost, then come late; one is a repeat. */
static void test_late(void **state)
{
    static const uint8_t numbers[] = {1, 2, 5, 3, 4, 5, 6};
    mtm_receiver *receiver = *state;

    for (size_t i = 0; i < COUNT(numbers); i++)
        feed(receiver, packet_of(1, numbers[i]), i * MS);
    const mtm_received_source *source = only_source(receiver);
    assert_int_equal(source->packets, 4);
    assert_int_equal(source->lost, 0);
    assert_int_equal(source->out_of_order, 2);
    assert_int_equal(source->duplicates, 1);
    assert_int_equal(source->slot[1], 6);
}

static void test_loss(void **state)
{
    mtm_receiver *receiver = *state;

    feed(receiver, packet_of(1, 250), 0);
    feed(receiver, packet_of(1, 4), MS); /* 251..255 and 0..3 are missing */
    assert_int_equal(only_source(receiver)->lost, 9);
    feed(receiver, packet_of(1, 200), 2 * MS); /* 60 behind */
    assert_int_equal(only_source(receiver)->lost, 9);
    assert_int_equal(only_source(receiver)->restarts, 1);
    assert_int_equal(only_source(receiver)->slot[1], 200);
}

/* E131_NETWORK_DATA_LOSS_TIMEOUT is 2.5 s; after it any number is taken. */
static void test_timeout(void **state)
{
    mtm_receiver *receiver = *state;

    feed(receiver, packet_of(1, 10), 0);
    mtm_receiver_settle(receiver, 2500 * MS);
    assert_int_equal(winner_of(receiver), 1);
    mtm_receiver_settle(receiver, 2501 * MS);
    assert_int_equal(winner_of(receiver), -1);
    assert_false(only_source(receiver)->live);
    assert_false(only_source(receiver)->terminated);
    feed(receiver, packet_of(1, 9), 2600 * MS);
    assert_int_equal(winner_of(receiver), 1);
    assert_int_equal(only_source(receiver)->out_of_order, 0);
}

static void test_terminated(void **state)
{
    mtm_receiver *receiver = *state;
    mtm_e131_packet last = packet_of(1, 11);

    last.terminated = true;
    last.slot[0] = 99;
    feed(receiver, last, 0); /* of a source that was never heard */
    assert_int_equal(mtm_receiver_universe(receiver, 0)->source_count, 0);
    feed(receiver, packet_of(1, 10), MS);
    feed(receiver, last, 2 * MS);
    assert_int_equal(winner_of(receiver), -1);
    assert_true(only_source(receiver)->terminated);
    assert_int_equal(only_source(receiver)->slot[0], 1); /* its slots mean nothing */
    last.sequence = 12;
    feed(receiver, last, 3 * MS);
    assert_true(only_source(receiver)->terminated);
    feed(receiver, packet_of(1, 13), 4 * MS);
    assert_int_equal(winner_of(receiver), 1);
}

static void test_priority(void **state)
{
    mtm_receiver *receiver = *state;
    mtm_e131_packet high = packet_of(9, 1);

    high.priority = 150;
    feed(receiver, packet_of(1, 1), 0);
    assert_int_equal(winner_of(receiver), 1);
    feed(receiver, high, MS);
    assert_int_equal(winner_of(receiver), 9);
    assert_false(mtm_receiver_universe(receiver, 0)->tie);
    feed(receiver, packet_of(1, 2), 2000 * MS);
    assert_int_equal(winner_of(receiver), 9);
    feed(receiver, packet_of(1, 3), 2600 * MS); /* the other has fallen silent */
    assert_int_equal(winner_of(receiver), 1);
}

/* The same sources in both orders give the same winner, and say that they are equal. */
static void test_tie(void **state)
{
    mtm_receiver *receiver = *state;

    feed(receiver, packet_of(5, 1), 0);
    feed(receiver, packet_of(3, 1), MS);
    assert_int_equal(winner_of(receiver), 3);
    assert_true(mtm_receiver_universe(receiver, 0)->tie);
    feed(receiver, packet_of(5, 2), 2 * MS);
    feed(receiver, packet_of(6, 1), 2 * MS);
    assert_int_equal(winner_of(receiver), 3);
    mtm_e131_packet low = packet_of(1, 1);
    low.priority = 3;
    feed(receiver, low, 3 * MS);
    assert_int_equal(winner_of(receiver), 3);
    assert_true(mtm_receiver_universe(receiver, 0)->tie);
}

static void test_crowd(void **state)
{
    mtm_receiver *receiver = *state;
    mtm_e131_packet high = packet_of(200, 1);

    for (uint8_t i = 20; i < 30; i++)
        feed(receiver, packet_of(i, 1), MS);
    const mtm_received *universe = mtm_receiver_universe(receiver, 0);
    assert_int_equal(universe->source_count, MTM_STREAM_SOURCES_MAX);
    assert_int_equal(universe->passed, 2);
    feed(receiver, packet_of(10, 1), 2 * MS); /* goes before them all */
    assert_int_equal(winner_of(receiver), 10);
    high.priority = 101;
    feed(receiver, high, 3 * MS);
    assert_int_equal(winner_of(receiver), 200);
}

static void test_preview(void **state)
{
    mtm_receiver *receiver = *state;
    mtm_e131_packet packet = packet_of(1, 1);

    packet.preview = true;
    feed(receiver, packet, 0);
    assert_int_equal(winner_of(receiver), -1);
    assert_true(only_source(receiver)->preview);
    packet.preview = false;
    packet.sequence = 2;
    feed(receiver, packet, MS);
    assert_int_equal(winner_of(receiver), 1);
}

static void test_other_codes(void **state)
{
    mtm_receiver *receiver = *state;
    mtm_e131_packet packet = packet_of(1, 2);

    feed(receiver, packet_of(1, 1), 0);
    packet.start_code = 0x17;
    feed(receiver, packet, MS);
    assert_int_equal(only_source(receiver)->other_codes, 1);
    assert_int_equal(only_source(receiver)->slot[1], 1);
}

static void feed_list(mtm_receiver *receiver, uint8_t page, uint8_t last, uint16_t first,
                      uint64_t now_ns)
{
    mtm_e131_packet packet = {.type = MTM_E131_DISCOVERY,
                              .cid = {{4}},
                              .source_name = "hall",
                              .page = page,
                              .last_page = last,
                              .listed_count = 2,
                              .listed = {first, (uint16_t)(first + 1)}};

    feed(receiver, packet, now_ns);
}

static void test_lists(void **state)
{
    mtm_receiver *receiver = *state;

    feed_list(receiver, 0, 1, 1, 0);
    assert_int_equal(mtm_receiver_discovered_count(receiver), 1);
    assert_int_equal(mtm_receiver_discovered(receiver, 0).universe_count, 0);
    feed_list(receiver, 1, 1, 10, MS);
    mtm_discovered found = mtm_receiver_discovered(receiver, 0);
    assert_int_equal(found.universe_count, 4);
    assert_int_equal(found.universe[2], 10);
    assert_string_equal(found.name, "hall");
    feed_list(receiver, 0, 2, 1, 2 * MS); /* page 1 never comes: the old list stays */
    feed_list(receiver, 2, 2, 20, 3 * MS);
    assert_int_equal(mtm_receiver_discovered(receiver, 0).universe_count, 4);
    feed_list(receiver, 0, 0, 30, 4 * MS);
    assert_int_equal(mtm_receiver_discovered(receiver, 0).universe_count, 2);
    mtm_receiver_settle(receiver, 20004 * MS);
    assert_int_equal(mtm_receiver_discovered_count(receiver), 1);
    mtm_receiver_settle(receiver, 20005 * MS);
    assert_int_equal(mtm_receiver_discovered_count(receiver), 0);
}

static void test_counts(void **state)
{
    mtm_receiver *receiver = *state;
    mtm_e131_packet other = packet_of(1, 1);
    mtm_e131_packet sync = {.type = MTM_E131_SYNC, .sync_universe = 7};
    mtm_error error = {""};

    other.universe = 8;
    feed(receiver, other, 0);
    feed(receiver, sync, 0);
    mtm_receiver_take(receiver, (const uint8_t *)"hello", 5, 0);
    mtm_receiver_counts counts = mtm_receiver_count(receiver);
    assert_int_equal(counts.packets, 3);
    assert_int_equal(counts.unasked, 1);
    assert_int_equal(counts.sync, 1);
    assert_int_equal(counts.malformed, 1);
    assert_int_equal(mtm_receiver_add(receiver, 7, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "already");
    assert_int_equal(mtm_receiver_add(receiver, 0, &error), MTM_INVALID);
    assert_int_equal(mtm_receiver_add(receiver, 64000, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "1 to 63999");
}

static void test_refused(void **state)
{
    mtm_receiver *receiver = NULL;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(
        mtm_receiver_create(&(mtm_receiver_options){.address = "x"}, &receiver, &error),
        MTM_INVALID);
    assert_int_equal(
        mtm_receiver_create(&(mtm_receiver_options){.interface = "1.2.3"}, &receiver, &error),
        MTM_INVALID);
    CHECK_HOLDS(error.text, "there are: lo 127.0.0.1");
    /* TEST-NET-3 of RFC 5737: nobody's address */
    assert_int_equal(
        mtm_receiver_create(&(mtm_receiver_options){.address = "203.0.113.9"}, &receiver, &error),
        MTM_IO);
    CHECK_HOLDS(error.text, "cannot listen");
    assert_null(receiver);
}

/* Waits for count packets, a second at most. */
static void gather(mtm_receiver *receiver, size_t count)
{
    uint64_t until = mtm_stream_now_ns() + 1000 * MS;
    size_t got = 0;

    while (got < count && mtm_stream_now_ns() < until) {
        size_t taken = 0;
        assert_int_equal(mtm_receiver_wait(receiver, 100, &taken, NULL), MTM_OK);
        got += taken;
    }
    assert_int_equal(got, count);
}

static void test_loopback(void **state)
{
    mtm_receiver *receiver = *state;
    mtm_sender *sender = NULL;
    mtm_sender_options options = MTM_SENDER_DEFAULTS;
    char address[32];

    own_address(address, sizeof address);
    options.to = address;
    options.source_name = "both ends";
    assert_int_equal(mtm_sender_create(&options, &sender, NULL), MTM_OK);
    assert_int_equal(mtm_sender_add(sender, 7, 512, NULL), MTM_OK);
    mtm_sender_slots(sender, 0)[511] = 77;
    assert_int_equal(mtm_sender_send(sender, mtm_stream_now_ns(), NULL), MTM_OK);
    gather(receiver, 2); /* and the list */
    assert_string_equal(only_source(receiver)->name, "both ends");
    assert_int_equal(only_source(receiver)->slot[511], 77);
    assert_int_equal(mtm_receiver_discovered(receiver, 0).universe[0], 7);
    assert_int_equal(mtm_sender_finish(sender, 0, NULL), MTM_OK);
    gather(receiver, 3);
    assert_true(only_source(receiver)->terminated);
    mtm_sender_free(sender);
}

/* Whether the receiver's descriptor tells that a packet waits, within so long. */
static bool is_readable(const mtm_receiver *receiver, int timeout_ms)
{
    struct pollfd watched = {.fd = mtm_receiver_descriptor(receiver), .events = POLLIN};

    assert_true(watched.fd >= 0);
    int ready = poll(&watched, 1, timeout_ms);
    assert_true(ready >= 0);
    return ready == 1 && (watched.revents & POLLIN) != 0;
}

/* A program that waits for several things: still, readable when a packet comes, and still again
 * when it was taken, which does not wait. */
static void test_polled(void **state)
{
    mtm_receiver *receiver = *state;
    mtm_sender *sender = NULL;
    mtm_sender_options options = MTM_SENDER_DEFAULTS;
    char address[32];
    size_t taken = 1;

    own_address(address, sizeof address);
    options.to = address;
    assert_false(is_readable(receiver, 0));
    assert_int_equal(mtm_receiver_wait(receiver, 0, &taken, NULL), MTM_OK);
    assert_int_equal(taken, 0);

    assert_int_equal(mtm_sender_create(&options, &sender, NULL), MTM_OK);
    assert_int_equal(mtm_sender_add(sender, 7, 3, NULL), MTM_OK);
    mtm_sender_slots(sender, 0)[2] = 9;
    int descriptor = mtm_receiver_descriptor(receiver);
    assert_int_equal(mtm_receiver_add(receiver, 8, NULL), MTM_OK);
    assert_int_equal(mtm_receiver_descriptor(receiver), descriptor);
    assert_int_equal(mtm_sender_send(sender, mtm_stream_now_ns(), NULL), MTM_OK);
    assert_true(is_readable(receiver, 1000));
    size_t got = 0;
    while (got < 2 && is_readable(receiver, 1000)) { /* levels, and the list */
        assert_int_equal(mtm_receiver_wait(receiver, 0, &taken, NULL), MTM_OK);
        got += taken;
    }
    assert_int_equal(got, 2);
    assert_int_equal(only_source(receiver)->slot[2], 9);
    assert_false(is_readable(receiver, 0));
    mtm_sender_free(sender);
}

/* A data packet that asks for the synchronization of a universe. */
static void feed_synced(mtm_receiver *receiver, uint8_t sequence, uint16_t sync_universe,
                        bool force, uint64_t now_ns)
{
    mtm_e131_packet packet = packet_of(1, sequence);

    packet.sync_universe = sync_universe;
    packet.force_sync = force;
    feed(receiver, packet, now_ns);
}

static void feed_sync(mtm_receiver *receiver, uint8_t source, uint8_t sequence, uint16_t universe,
                      uint64_t now_ns)
{
    feed(receiver,
         (mtm_e131_packet){.type = MTM_E131_SYNC,
                           .cid = {{source}},
                           .sequence = sequence,
                           .sync_universe = universe},
         now_ns);
}

static int acting(const mtm_receiver *receiver)
{
    return only_source(receiver)->slot[1];
}

/* Clause 11.1.1: nothing waits before a first packet of synchronization; then data waits for one of
 * its universe, whoever sends that; a repeat of one is none. */
static void test_sync(void **state)
{
    mtm_receiver *receiver = *state;

    feed_synced(receiver, 1, 500, false, 1 * MS);
    assert_int_equal(acting(receiver), 1);
    feed_sync(receiver, 1, 10, 500, 2 * MS);
    feed_synced(receiver, 2, 500, false, 25 * MS);
    feed_synced(receiver, 3, 500, false, 50 * MS);
    assert_int_equal(acting(receiver), 1);
    assert_true(only_source(receiver)->waits);
    feed_sync(receiver, 1, 11, 501, 51 * MS); /* of another universe */
    assert_int_equal(acting(receiver), 1);
    feed_sync(receiver, 1, 11, 500, 52 * MS);
    assert_int_equal(acting(receiver), 3);
    feed_synced(receiver, 4, 500, false, 75 * MS);
    feed_sync(receiver, 1, 11, 500, 76 * MS); /* the same, by another way */
    assert_int_equal(acting(receiver), 3);
    feed_sync(receiver, 9, 200, 500, 77 * MS); /* another's */
    assert_int_equal(acting(receiver), 4);
    assert_int_equal(mtm_receiver_count(receiver).sync, 5);
}

/* Data that no longer asks acts at once, and what waited is gone. */
static void test_sync_given_up(void **state)
{
    mtm_receiver *receiver = *state;

    feed_synced(receiver, 1, 500, false, 1 * MS);
    feed_sync(receiver, 1, 1, 500, 2 * MS);
    feed_synced(receiver, 2, 500, false, 25 * MS);
    feed_synced(receiver, 3, 0, false, 50 * MS);
    assert_int_equal(acting(receiver), 3);
    feed_sync(receiver, 1, 2, 500, 51 * MS);
    assert_int_equal(acting(receiver), 3);
    assert_false(only_source(receiver)->waits);
}

/* Clause 11.1.2: 2.5 s without one: the look stays until one comes, or data acts where its source
 * forces that. The data goes on all the while, so its source is not lost. */
static void test_sync_lost(void **state)
{
    for (int force = 0; force < 2; force++) {
        mtm_receiver *receiver = *state;
        uint8_t at = (uint8_t)(1 + 60 * force);
        uint64_t zero = (uint64_t)force * 100000 * MS;

        feed_synced(receiver, at, 500, force == 1, zero + 1 * MS);
        feed_sync(receiver, 1, at, 500, zero + 2 * MS);
        for (uint8_t i = 1; i <= 5; i++) {
            feed_synced(receiver, (uint8_t)(at + i), 500, force == 1,
                        zero + (uint64_t)i * 500 * MS);
            assert_int_equal(acting(receiver), at);
        }
        mtm_receiver_settle(receiver, zero + 2503 * MS);
        assert_int_equal(acting(receiver), force == 1 ? at + 5 : at);
        feed_synced(receiver, (uint8_t)(at + 6), 500, force == 1, zero + 3000 * MS);
        assert_int_equal(acting(receiver), force == 1 ? at + 6 : at);
        feed_sync(receiver, 1, (uint8_t)(at + 1), 500, zero + 3001 * MS);
        assert_int_equal(acting(receiver), at + 6);
    }
}

/* A source that was lost, or ended, is heard anew: it acts at once. */
static void test_sync_anew(void **state)
{
    mtm_receiver *receiver = *state;
    mtm_e131_packet last = packet_of(1, 3);

    feed_synced(receiver, 1, 500, false, 1 * MS);
    feed_sync(receiver, 1, 1, 500, 2 * MS);
    feed_synced(receiver, 2, 500, false, 25 * MS);
    last.terminated = true;
    feed(receiver, last, 26 * MS);
    feed_synced(receiver, 4, 500, false, 50 * MS);
    assert_int_equal(acting(receiver), 4);
}

/* Groups joined on the loopback interface: 30 of them need more than one socket where the system
 * allows 20 each. */
static void test_multicast(void **state)
{
    mtm_receiver_options from = {.interface = "127.0.0.1"};
    mtm_sender_options options = MTM_SENDER_DEFAULTS;
    mtm_receiver *receiver = NULL;
    mtm_sender *sender = NULL;
    uint16_t first = (uint16_t)(1 + 31 * ((unsigned)getpid() % 2000));

    (void)state;
    options.interface = "lo"; /* by name, as well */
    assert_int_equal(mtm_receiver_create(&from, &receiver, NULL), MTM_OK);
    assert_int_equal(mtm_sender_create(&options, &sender, NULL), MTM_OK);
    for (unsigned i = 0; i < 30; i++) {
        assert_int_equal(mtm_receiver_add(receiver, (uint16_t)(first + i), NULL), MTM_OK);
        assert_int_equal(mtm_sender_add(sender, (uint16_t)(first + i), 24, NULL), MTM_OK);
        mtm_sender_slots(sender, i)[0] = (uint8_t)(1 + i);
    }
    assert_int_equal(mtm_sender_send(sender, mtm_stream_now_ns(), NULL), MTM_OK);
    assert_true(is_readable(receiver, 1000)); /* one descriptor for all sockets */
    for (int i = 0; i < 10; i++)
        assert_int_equal(mtm_receiver_wait(receiver, 20, NULL, NULL), MTM_OK);
    for (unsigned i = 0; i < 30; i++) {
        const mtm_received *universe = mtm_receiver_universe(receiver, i);
        assert_int_equal(universe->winner, 0);
        assert_int_equal(universe->source[0].packets, 1); /* each once, whatever the sockets */
        assert_int_equal(universe->source[0].slot[0], 1 + i);
    }
    mtm_sender_free(sender);
    mtm_receiver_free(receiver);
}

#define WITH(test) cmocka_unit_test_setup_teardown(test, open_receiver, close_receiver)

int main(void)
{
    static const struct CMUnitTest tests[] = {
        WITH(test_in_order),
        WITH(test_late),
        WITH(test_loss),
        WITH(test_timeout),
        WITH(test_terminated),
        WITH(test_priority),
        WITH(test_tie),
        WITH(test_crowd),
        WITH(test_preview),
        WITH(test_other_codes),
        WITH(test_lists),
        WITH(test_counts),
        cmocka_unit_test(test_refused),
        WITH(test_loopback),
        WITH(test_polled),
        cmocka_unit_test(test_multicast),
        WITH(test_sync),
        WITH(test_sync_given_up),
        WITH(test_sync_lost),
        WITH(test_sync_anew),
    };

    return cmocka_run_group_tests_name("E1.31 receiver", tests, NULL, NULL);
}
