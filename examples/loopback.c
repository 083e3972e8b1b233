/* SPDX-License-Identifier: MIT */
/* Loopback: three frames of E1.31 to a receiver of our own, kept within half of the rig's ratings;
 * the last packet comes by way of memory. Build: cc loopback.c $(pkg-config --cflags --libs
 * metamer) Run: ./a.out hall.json */
#include <metamer/e131.h>
#include <metamer/limiter.h>
#include <metamer/rig.h>
#include <metamer/stream.h>

#include <poll.h>
#include <stdio.h>
#include <string.h>

#define FRAMES 3
#define SLOTS 512
#define LOOPBACK "127.0.56.8" /* nobody else listens there */

static mtm_error error;

/* All slots full, in every frame. */
static mtm_result full(void *context, uint64_t number, uint8_t *const *slots, bool *end,
                       mtm_error *reason)
{
    (void)context;
    (void)number;
    (void)reason;
    memset(slots[0], 255, SLOTS);
    *end = false;
    return MTM_OK;
}

/* As a program does that waits for other things too. */
static mtm_result wait_for(mtm_receiver *receiver)
{
    struct pollfd waited = {.fd = mtm_receiver_descriptor(receiver), .events = POLLIN};

    (void)poll(&waited, 1, 1000);
    return mtm_receiver_wait(receiver, 0, NULL, &error);
}

/* Sends what the limiter lets through, and waits for each frame. */
static mtm_result send_frames(mtm_sender *sender, mtm_receiver *receiver,
                              const mtm_frame_source *source)
{
    uint8_t *slots[] = {mtm_sender_slots(sender, 0)};
    bool end = false;
    mtm_result result = MTM_OK;

    for (uint64_t i = 0; i < FRAMES && result == MTM_OK; i++) {
        result = source->fill(source->context, i, slots, &end, &error);
        if (result == MTM_OK)
            result = mtm_sender_send(sender, mtm_stream_now_ns(), &error);
        if (result == MTM_OK)
            result = wait_for(receiver);
    }
    return result;
}

static void tell(const mtm_receiver *receiver, const mtm_sender *sender)
{
    const mtm_received *received = mtm_receiver_universe(receiver, 0);
    const mtm_cid cid = mtm_sender_cid(sender);

    if (received->winner < 0) {
        printf("universe 1 is lost\n");
        return;
    }
    const mtm_received_source *source = &received->source[received->winner];
    printf("universe 1: %u slots, the highest %d, from %s\n", (unsigned)source->slot_count,
           source->slot[0], memcmp(&cid, &source->cid, sizeof cid) == 0 ? "us" : "somebody else");
}

/* A packet of a higher priority that came some other way. */
static mtm_result hand_over(mtm_receiver *receiver)
{
    static mtm_e131_packet packet;
    uint8_t octets[MTM_E131_PACKET_MAX];
    size_t length = 0;

    packet =
        (mtm_e131_packet){.type = MTM_E131_DATA, .priority = 150, .universe = 1, .slot_count = 8};
    (void)mtm_e131_set_name(packet.source_name, "other desk");
    mtm_result result = mtm_cid_random(&packet.cid, &error);
    if (result == MTM_OK)
        result = mtm_e131_encode(&packet, octets, &length, &error);
    if (result == MTM_OK)
        mtm_receiver_take(receiver, octets, length, mtm_stream_now_ns());
    return result;
}

int main(int argc, char **argv)
{
    const mtm_frame_universe universe = {.universe = 1, .slot_count = SLOTS};
    const mtm_frame_source frames = {
        .layout = {.rate_hz = 40, .universe = &universe, .universe_count = 1}, .fill = full};
    const mtm_receiver_options listen = {.address = LOOPBACK, .port = 5571};
    const mtm_demand_options half = {.supply_share = 0.5};
    mtm_sender_options send = MTM_SENDER_DEFAULTS;
    mtm_rig *rig = NULL;
    mtm_limiter *limiter = NULL;
    mtm_receiver *receiver = NULL;
    mtm_sender *sender = NULL;

    if (argc != 2) {
        (void)fprintf(stderr, "usage: loopback RIG.json\n");
        return 2;
    }
    mtm_result result = mtm_rig_load(argv[1], &rig, &error);
    if (result == MTM_OK)
        result = mtm_limiter_create(rig, &half, &frames, &limiter, &error);
    if (result == MTM_OK)
        result = mtm_receiver_create(&listen, &receiver, &error);
    if (result == MTM_OK)
        result = mtm_receiver_add(receiver, 1, &error);
    send.to = LOOPBACK;
    if (result == MTM_OK) {
        send.port = mtm_receiver_port(receiver);
        result = mtm_sender_create(&send, &sender, &error);
    }
    if (result == MTM_OK)
        result = mtm_sender_add(sender, 1, SLOTS, &error);
    if (result == MTM_OK) {
        const mtm_frame_source limited = mtm_limiter_source(limiter);
        result = send_frames(sender, receiver, &limited);
    }
    if (result == MTM_OK) {
        tell(receiver, sender);
        result = hand_over(receiver);
    }
    if (result == MTM_OK) {
        tell(receiver, sender);
        printf("%d of %d frames were lowered\n", (int)mtm_limiter_lowered(limiter), FRAMES);
        mtm_receiver_settle(receiver, mtm_stream_now_ns() + 3000000000U);
        tell(receiver, sender);
    } else {
        (void)fprintf(stderr, "%s\n", error.text);
    }
    mtm_sender_free(sender);
    mtm_receiver_free(receiver);
    mtm_limiter_free(limiter);
    mtm_rig_free(rig);
    return result == MTM_OK ? 0 : 1;
}
