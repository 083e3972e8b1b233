/* SPDX-License-Identifier: MIT */
/* The walk through frames and streams. Nothing is sent: senders are made and freed. */
#include "walk.h"

#include <metamer/e131.h>
#include <metamer/frames.h>
#include <metamer/player.h>
#include <metamer/stream.h>

static mtm_result take(void *context, const void *octets, size_t count, mtm_error *error)
{
    (void)context;
    (void)octets;
    (void)count;
    (void)error;
    return MTM_OK;
}

static mtm_result no_frames(void *context, uint64_t number, uint8_t *const *slots, bool *end,
                            mtm_error *error)
{
    (void)context;
    (void)number;
    (void)slots;
    (void)error;
    *end = true;
    return MTM_OK;
}

static mtm_result no_octets(void *context, void *octets, size_t count, size_t *got,
                            mtm_error *error)
{
    (void)context;
    (void)octets;
    (void)count;
    (void)error;
    *got = 0;
    return MTM_OK;
}

static const mtm_frame_universe two[] = {{1, 4}, {2, 4}};
static const mtm_frame_layout good_layout = {40, 2, two};

static void walk_layouts(void)
{
    static const mtm_frame_universe none[] = {{0, 4}};
    static const mtm_frame_universe far[] = {{64000, 4}};
    static const mtm_frame_universe fall[] = {{2, 4}, {1, 4}};
    static const mtm_frame_universe empty[] = {{1, 0}};
    static const mtm_frame_universe long_one[] = {{1, 513}};
    const mtm_frame_layout bad[] = {{0},
                                    {40, 0, two},
                                    {40, 4097, two},
                                    {40, 1, NULL},
                                    {0.001, 2, two},
                                    {1001, 2, two},
                                    {NAN, 2, two},
                                    {INFINITY, 2, two},
                                    {40, 1, none},
                                    {40, 1, far},
                                    {40, 2, fall},
                                    {40, 1, empty},
                                    {40, 1, long_one}};
    const mtm_frame_sink sink = {.write = take};
    mtm_frame_writer *writer = NULL;
    uint64_t count = 0;

    DONE(mtm_frame_layout_check, &good_layout);
    REFUSED(mtm_frame_layout_check, NULL);
    DONE(mtm_frame_writer_create, MTM_FRAMES_CSV, &good_layout, sink, &writer);
    for (size_t i = 0; i < COUNT(bad); i++) {
        const mtm_frame_source source = {.layout = bad[i], .fill = no_frames};
        mtm_frame_writer *none_made = NULL;
        REFUSED(mtm_frame_layout_check, &bad[i]);
        REFUSED(mtm_frame_writer_create, MTM_FRAMES_CSV, &bad[i], sink, &none_made);
        REFUSED(mtm_frame_write_all, &source, writer, &count);
        assert_null(none_made);
    }
    mtm_frame_writer_free(writer);
    LEAVES(count, mtm_frame_writer_free, NULL);
}

void walk_frames(void **state)
{
    const mtm_frame_source source = {.layout = good_layout, .fill = no_frames};
    mtm_frame_source bad = {.layout = good_layout};
    const mtm_frame_sink sink = {.write = take};
    const mtm_frame_input input = {.read = no_octets};
    mtm_frame_writer *writer = NULL;
    mtm_frame_writer *none = NULL;
    mtm_frame_reader *reader = NULL;
    uint8_t slot[4];
    uint8_t *const slots[2] = {slot, slot};
    bool end = false;
    uint64_t count = 0;

    (void)state;
    walk_layouts();
    HOLDS(mtm_frame_sink_stream, mtm_frame_sink_stream(NULL).write == NULL);
    REFUSED(mtm_frame_writer_create, (mtm_frame_format)NO_ENUM, &good_layout, sink, &none);
    REFUSED(mtm_frame_writer_create, MTM_FRAMES_CSV, NULL, sink, &none);
    REFUSED(mtm_frame_writer_create, MTM_FRAMES_CSV, &good_layout, (mtm_frame_sink){0}, &none);
    REFUSED(mtm_frame_writer_create, MTM_FRAMES_CSV, &good_layout, sink, NULL);
    assert_null(none);
    DONE(mtm_frame_writer_create, MTM_FRAMES_CSV, &good_layout, sink, &writer);
    REFUSED(mtm_frame_writer_add, NULL, (const uint8_t *const *)slots);
    REFUSED(mtm_frame_writer_add, writer, NULL);
    REFUSED(mtm_frame_writer_finish, NULL);
    REFUSED(mtm_frame_write_all, NULL, writer, &count);
    REFUSED(mtm_frame_write_all, &source, NULL, &count);
    REFUSED(mtm_frame_write_all, &bad, writer, &count); /* nothing that fills */
    mtm_frame_writer_free(writer);
    HOLDS(mtm_frame_input_stream, mtm_frame_input_stream(NULL).read == NULL);
    REFUSED(mtm_frame_reader_create, (mtm_frame_input){0}, &reader);
    REFUSED(mtm_frame_reader_create, input, NULL);
    REFUSED(mtm_frame_reader_next, NULL, slots, &end);
    assert_null(reader);
    HOLDS(mtm_frame_reader_layout, mtm_frame_reader_layout(NULL).universe_count == 0);
    HOLDS(mtm_frame_reader_source, mtm_frame_reader_source(NULL, true).fill == NULL);
    LEAVES(count, mtm_frame_reader_free, NULL);
}

#define BAD_PACKET(member, value)                                                                  \
    do {                                                                                           \
        mtm_e131_packet bad_ = {.universe = 1, .priority = 100, .source_name = "a"};               \
        bad_.member = (value);                                                                     \
        REFUSED(mtm_e131_encode, &bad_, octets, &length);                                          \
    } while (0)

static void walk_packets(void)
{
    const mtm_e131_packet good = {.universe = 1, .priority = 100, .source_name = "a"};
    mtm_e131_packet read;
    uint8_t octets[MTM_E131_PACKET_MAX];
    uint8_t address[4] = {1, 2, 3, 4};
    char name[MTM_E131_NAME_ROOM] = "kept";
    mtm_cid cid = {{0}};
    size_t length = 0;

    DONE(mtm_e131_encode, &good, octets, &length);
    REFUSED(mtm_e131_encode, NULL, octets, &length);
    REFUSED(mtm_e131_encode, &good, NULL, &length);
    REFUSED(mtm_e131_encode, &good, octets, NULL);
    BAD_PACKET(universe, 0);
    BAD_PACKET(universe, 64000);
    BAD_PACKET(sync_universe, 64000);
    BAD_PACKET(priority, 201);
    BAD_PACKET(slot_count, 513);
    BAD_PACKET(source_name[0], '\xff');
    BAD_PACKET(type, (mtm_e131_type)NO_ENUM);
    BAD_PACKET(type, MTM_E131_SYNC); /* of universe 0 */
    REFUSED(mtm_e131_decode, NULL, 0, &read);
    REFUSED(mtm_e131_decode, octets, length, NULL);
    REFUSED(mtm_cid_random, NULL);
    REFUSED(mtm_cid_parse, NULL, &cid);
    REFUSED(mtm_cid_parse, "6f1d3c52-b2a4-497e-9d0b-5a7c11223344", NULL);
    LEAVES(cid, mtm_cid_print, cid, NULL);
    HOLDS(mtm_e131_set_name, !mtm_e131_set_name(NULL, "a"));
    HOLDS(mtm_e131_set_name, !mtm_e131_set_name(name, NULL) && strcmp(name, "kept") == 0);
    HOLDS(mtm_e131_set_name, !mtm_e131_set_name(name, "") && strcmp(name, "kept") == 0);
    LEAVES(address, mtm_e131_group, 1, NULL);
    LEAVES(address, mtm_e131_group6, 1, NULL);
    /* every number is allowed: */
    HOLDS(mtm_e131_in_order, !mtm_e131_in_order(0, 0) && mtm_e131_in_order(255, 0));
    HOLDS(mtm_e111_packet_us, mtm_e111_packet_us(SIZE_MAX) == mtm_e111_packet_us(512));
    REFUSED(mtm_e111_check, NULL);
    HOLDS(mtm_e111_max_refresh_hz, mtm_e111_max_refresh_hz(0) <= 1e6 / 1204);
}

static void walk_sender(void)
{
    mtm_sender_options options = MTM_SENDER_DEFAULTS;
    mtm_sender *none = NULL;
    mtm_sender *sender = NULL;
    const mtm_player_options playing = {.end = MTM_PLAYER_RELEASE};
    const mtm_player_options no_end = {.end = (mtm_player_end)NO_ENUM};
    const mtm_frame_source source = {.layout = good_layout, .fill = no_frames};
    const mtm_frame_source no_source = {.layout = good_layout};
    const mtm_frame_source no_layout = {.fill = no_frames};
    mtm_player_report report;

    REFUSED(mtm_sender_create, NULL, &none);
    REFUSED(mtm_sender_create, &options, NULL);
    options.to = "somewhere";
    REFUSED(mtm_sender_create, &options, &none);
    options.to = "239.255.0.1"; /* not the address of one receiver */
    REFUSED(mtm_sender_create, &options, &none);
    options.to = "127.0.0.1";
    options.priority = 201;
    REFUSED(mtm_sender_create, &options, &none);
    options.priority = 100;
    options.source_name = "\xff";
    REFUSED(mtm_sender_create, &options, &none);
    options.source_name = NULL;
    options.interface = "x.y";
    REFUSED(mtm_sender_create, &options, &none);
    options.interface = NULL;
    assert_null(none);
    DONE(mtm_sender_create, &options, &sender);
    REFUSED(mtm_sender_add, NULL, 1, 512);
    REFUSED(mtm_sender_add, sender, 0, 512);
    REFUSED(mtm_sender_add, sender, 64000, 512);
    REFUSED(mtm_sender_add, sender, 1, 0);
    REFUSED(mtm_sender_add, sender, 1, 513);
    HOLDS(mtm_sender_universe_count, mtm_sender_universe_count(NULL) == 0);
    HOLDS(mtm_sender_slots, mtm_sender_slots(NULL, 0) == NULL);
    HOLDS(mtm_sender_slots, mtm_sender_slots(sender, 0) == NULL);
    REFUSED(mtm_sender_send, NULL, 0);
    REFUSED(mtm_sender_finish, NULL, 0);
    HOLDS(mtm_sender_count, mtm_sender_count(NULL).packets == 0);
    HOLDS(mtm_sender_cid, mtm_sender_cid(NULL).octet[0] == 0);
    REFUSED(mtm_player_run, NULL, &source, &playing, &report);
    REFUSED(mtm_player_run, sender, NULL, &playing, &report);
    REFUSED(mtm_player_run, sender, &no_source, &playing, &report);
    REFUSED(mtm_player_run, sender, &no_layout, &playing, &report);
    REFUSED(mtm_player_run, sender, &source, NULL, &report);
    REFUSED(mtm_player_run, sender, &source, &no_end, &report);
    REFUSED(mtm_player_run, sender, &source, &playing, NULL);
    mtm_sender_free(sender);
    LEAVES(options, mtm_sender_free, NULL);
}

void walk_stream(void **state)
{
    mtm_receiver_options options = {.address = "127.0.0.1"};
    mtm_receiver *none = NULL;
    mtm_receiver *receiver = NULL;
    size_t taken = 0;
    const uint8_t octets[1] = {0};

    (void)state;
    HOLDS(mtm_stream_now_ns, mtm_stream_now_ns() > 0);
    walk_packets();
    walk_sender();
    REFUSED(mtm_receiver_create, NULL, &none);
    REFUSED(mtm_receiver_create, &options, NULL);
    options.address = "here";
    REFUSED(mtm_receiver_create, &options, &none);
    options.address = NULL;
    options.interface = "x.y";
    REFUSED(mtm_receiver_create, &options, &none);
    assert_null(none);
    HOLDS(mtm_receiver_port, mtm_receiver_port(NULL) == 0);
    HOLDS(mtm_receiver_descriptor, mtm_receiver_descriptor(NULL) == -1);
    REFUSED(mtm_receiver_add, NULL, 1);
    REFUSED(mtm_receiver_wait, NULL, 0, &taken);
    LEAVES(taken, mtm_receiver_take, NULL, octets, 1, 0);
    LEAVES(taken, mtm_receiver_settle, NULL, 0);
    HOLDS(mtm_receiver_universe_count, mtm_receiver_universe_count(NULL) == 0);
    HOLDS(mtm_receiver_universe, mtm_receiver_universe(NULL, 0) == NULL);
    HOLDS(mtm_receiver_discovered_count, mtm_receiver_discovered_count(NULL) == 0);
    HOLDS(mtm_receiver_discovered, mtm_receiver_discovered(NULL, 0).universe_count == 0);
    HOLDS(mtm_receiver_count, mtm_receiver_count(NULL).packets == 0);
    LEAVES(taken, mtm_receiver_free, NULL);
    options = (mtm_receiver_options){.address = "127.0.0.1", .port = 45568};
    if (mtm_receiver_create(&options, &receiver, NULL) != MTM_OK) /* the port is another's */
        return;
    REFUSED(mtm_receiver_add, receiver, 0);
    REFUSED(mtm_receiver_add, receiver, 64000);
    mtm_receiver_take(receiver, NULL, 10, 0);
    HOLDS(mtm_receiver_take, mtm_receiver_count(receiver).malformed == 1);
    HOLDS(mtm_receiver_universe, mtm_receiver_universe(receiver, 0) == NULL);
    HOLDS(mtm_receiver_discovered, mtm_receiver_discovered(receiver, 0).universe_count == 0);
    mtm_receiver_free(receiver);
}
