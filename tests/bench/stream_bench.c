/* SPDX-License-Identifier: MIT */
/* Bench: packets a second of a sender against a bare sendmmsg loop, and the timing of a player that
 * streams 64 universes at 40 frames a second. Loopback only, bounded.
 * Arguments: seconds of the second part (3), "realtime". */
#define _GNU_SOURCE /* sendmmsg */

#include <metamer/player.h>

#include <arpa/inet.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#define UNIVERSES 64
#define SLOTS 512
#define FRAMES_PER_ROUND 8
#define ROUNDS 400

static char address[32];

static void fail(const char *what)
{
    (void)fprintf(stderr, "%s\n", what);
    exit(1);
}

static int by_size(const void *left, const void *right)
{
    double a = *(const double *)left;
    double b = *(const double *)right;

    return (a > b) - (a < b);
}

static mtm_receiver *open_receiver(void)
{
    mtm_receiver_options options = {.address = address};
    mtm_receiver *receiver = NULL;

    if (mtm_receiver_create(&options, &receiver, NULL) != MTM_OK)
        fail("no receiver");
    for (uint16_t u = 1; u <= UNIVERSES; u++) {
        if (mtm_receiver_add(receiver, u, NULL) != MTM_OK)
            fail("no universe");
    }
    return receiver;
}

static mtm_sender *open_sender(void)
{
    mtm_sender_options options = MTM_SENDER_DEFAULTS;
    mtm_sender *sender = NULL;

    options.to = address;
    if (mtm_sender_create(&options, &sender, NULL) != MTM_OK)
        fail("no sender");
    return sender;
}

/* Packets taken while something waits. */
static size_t drain(mtm_receiver *receiver)
{
    size_t all = 0;

    for (size_t taken = 1; taken > 0; all += taken) {
        if (mtm_receiver_wait(receiver, 0, &taken, NULL) != MTM_OK)
            fail("no packets");
    }
    return all;
}

/* Sends frames that change everywhere; seconds taken. */
static double time_sender(mtm_sender *sender, unsigned round)
{
    uint64_t start_ns = mtm_stream_now_ns();

    for (unsigned f = 0; f < FRAMES_PER_ROUND; f++) {
        for (size_t u = 0; u < UNIVERSES; u++)
            mtm_sender_slots(sender, u)[(round + f) % SLOTS]++;
        if (mtm_sender_send(sender, mtm_stream_now_ns(), NULL) != MTM_OK)
            fail("the sender was refused");
    }
    return (double)(mtm_stream_now_ns() - start_ns) / 1e9;
}

typedef struct bare {
    int descriptor;
    uint8_t octets[UNIVERSES][638];
    struct mmsghdr message[UNIVERSES];
    struct iovec part[UNIVERSES];
    struct sockaddr_in to;
} bare;

static void open_bare(bare *loop)
{
    loop->descriptor = socket(AF_INET, SOCK_DGRAM, 0);
    loop->to = (struct sockaddr_in){.sin_family = AF_INET, .sin_port = htons(MTM_E131_PORT)};
    if (loop->descriptor < 0 || inet_pton(AF_INET, address, &loop->to.sin_addr) != 1)
        fail("no socket");
    for (size_t u = 0; u < UNIVERSES; u++) {
        mtm_e131_packet packet = {.universe = (uint16_t)(u + 1), .slot_count = SLOTS, .cid = {{9}}};
        size_t length = 0;
        if (mtm_e131_encode(&packet, loop->octets[u], &length, NULL) != MTM_OK || length != 638)
            fail("no packet");
        loop->part[u] = (struct iovec){loop->octets[u], length};
        loop->message[u].msg_hdr = (struct msghdr){.msg_name = &loop->to,
                                                   .msg_namelen = sizeof loop->to,
                                                   .msg_iov = &loop->part[u],
                                                   .msg_iovlen = 1};
    }
}

static double time_bare(bare *loop)
{
    uint64_t start_ns = mtm_stream_now_ns();

    for (unsigned f = 0; f < FRAMES_PER_ROUND; f++) {
        for (size_t u = 0; u < UNIVERSES; u++)
            loop->octets[u][111]++;
        if (sendmmsg(loop->descriptor, loop->message, UNIVERSES, 0) != UNIVERSES)
            fail("the bare loop was refused");
    }
    return (double)(mtm_stream_now_ns() - start_ns) / 1e9;
}

static void compare_rates(void)
{
    static bare loop;
    static double ours[ROUNDS], theirs[ROUNDS], ratio[ROUNDS];
    mtm_receiver *receiver = open_receiver();
    mtm_sender *sender = open_sender();
    const double packets = FRAMES_PER_ROUND * UNIVERSES;

    open_bare(&loop);
    for (uint16_t u = 1; u <= UNIVERSES; u++) {
        if (mtm_sender_add(sender, u, SLOTS, NULL) != MTM_OK)
            fail("no universe");
    }
    for (unsigned r = 0; r < ROUNDS; r++) {
        theirs[r] = time_bare(&loop);
        size_t got = drain(receiver);
        ours[r] = time_sender(sender, r);
        size_t also = drain(receiver);
        if (got < (size_t)packets || also < (size_t)packets)
            fail("packets were lost on the way");
        ratio[r] = theirs[r] / ours[r];
    }
    qsort(ours, ROUNDS, sizeof *ours, by_size);
    qsort(theirs, ROUNDS, sizeof *theirs, by_size);
    qsort(ratio, ROUNDS, sizeof *ratio, by_size);
    printf("packets a second: sender %.0f (fastest), %.0f (median); bare sendmmsg %.0f, %.0f\n",
           packets / ours[0], packets / ours[ROUNDS / 2], packets / theirs[0],
           packets / theirs[ROUNDS / 2]);
    printf("sender / bare: %.2f fastest, %.2f median (from %.2f to %.2f in 80 %% of rounds); "
           "wanted at least 0.90\n",
           theirs[0] / ours[0], ratio[ROUNDS / 2], ratio[ROUNDS / 10], ratio[ROUNDS - ROUNDS / 10]);
    (void)close(loop.descriptor);
    mtm_sender_free(sender);
    mtm_receiver_free(receiver);
}

static mtm_result fill(void *context, uint64_t number, uint8_t *const *slots, bool *end,
                       mtm_error *error)
{
    (void)context;
    (void)end;
    (void)error;
    for (size_t u = 0; u < UNIVERSES; u++)
        memset(slots[u], (int)(number & 255), SLOTS);
    return MTM_OK;
}

static atomic_bool listening = true;

static void *listen_on(void *context)
{
    mtm_receiver *receiver = context;

    while (listening) {
        if (mtm_receiver_wait(receiver, 50, NULL, NULL) != MTM_OK)
            fail("no packets");
    }
    (void)drain(receiver);
    return NULL;
}

static void count_losses(const mtm_receiver *receiver, uint64_t frames)
{
    uint64_t packets = 0;
    uint64_t lost = 0;
    uint64_t disorder = 0;

    for (size_t u = 0; u < UNIVERSES; u++) {
        const mtm_received *universe = mtm_receiver_universe(receiver, u);
        for (size_t s = 0; s < universe->source_count; s++) {
            packets += universe->source[s].packets;
            lost += universe->source[s].lost;
            disorder += universe->source[s].out_of_order + universe->source[s].duplicates;
        }
    }
    printf("received: %llu packets for %llu of the frames and %d farewells; %llu lost, %llu out of "
           "order\n",
           (unsigned long long)packets, (unsigned long long)frames * UNIVERSES, 3 * UNIVERSES,
           (unsigned long long)lost, (unsigned long long)disorder);
}

static void time_player(double seconds, bool realtime)
{
    mtm_frame_universe universe[UNIVERSES];
    mtm_frame_source source = {{40, UNIVERSES, universe}, NULL, fill};
    mtm_player_options options = {.frames_most = (uint64_t)(seconds * 40), .realtime = realtime};
    mtm_player_report report;
    mtm_receiver *receiver = open_receiver();
    mtm_sender *sender = open_sender();
    pthread_t listener;

    for (uint16_t u = 0; u < UNIVERSES; u++)
        universe[u] = (mtm_frame_universe){(uint16_t)(u + 1), SLOTS};
    if (pthread_create(&listener, NULL, listen_on, receiver) != 0)
        fail("no thread");
    if (mtm_player_run(sender, &source, &options, &report, NULL) != MTM_OK)
        fail("nothing was played");
    listening = false;
    (void)pthread_join(listener, NULL);
    printf("player: %d universes, 40 frames a second, %.1f s%s: %llu frames sent, %llu dropped, "
           "%llu refused\n",
           UNIVERSES, report.seconds, report.realtime ? ", real-time priority" : "",
           (unsigned long long)report.sent, (unsigned long long)report.dropped,
           (unsigned long long)report.refused);
    printf("last packet of a frame late by: %.3f ms median, %.3f ms p99 (wanted at most 0.6 on an "
           "idle machine), %.3f ms most; CPU %.1f %% of one processor\n",
           report.late_p50_ms, report.late_p99_ms, report.late_max_ms, 100 * report.cpu_share);
    count_losses(receiver, report.sent);
    mtm_sender_free(sender);
    mtm_receiver_free(receiver);
}

int main(int argc, char **argv)
{
    double seconds = argc > 1 ? strtod(argv[1], NULL) : 3;
    unsigned id = (unsigned)getpid();

    (void)snprintf(address, sizeof address, "127.%u.%u.9", 1 + (id >> 8) % 250, id % 256);
    compare_rates();
    time_player(seconds > 0 && seconds <= 600 ? seconds : 3, argc > 2);
    return 0;
}
