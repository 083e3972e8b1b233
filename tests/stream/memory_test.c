/* SPDX-License-Identifier: MIT */
/* Failing memory in senders, receivers, the player and the limiter; nothing but loopback is used.
 */
#include "support/failing.h"

#include "stream/e131_sender.h"

#include <metamer/fade.h>
#include <metamer/limiter.h>
#include <metamer/player.h>

#include <unistd.h>

#define MS UINT64_C(1000000)

enum { UNIVERSES = 20, FRAMES = 3 };

static mtm_show *show;
static char address[32]; /* a loopback address of this process alone */

static int wire_open(void *context)
{
    (void)context;
    return 0;
}

static int wire_send(void *context, const mtmi_datagram *datagram, size_t count, size_t *sent)
{
    (void)context;
    for (size_t i = 0; i < count; i++)
        failing_tell(datagram[i].octets, datagram[i].length);
    *sent = count;
    return 0;
}

static void wire_close(void *context)
{
    ++*(int *)context;
}

/* A sender over a transport that only listens, which is closed once whatever comes of it. */
static mtm_result create_over(int *closed, mtm_sender **sender, mtm_error *error)
{
    const mtm_sender_options options = {
        .priority = MTM_E131_PRIORITY_DEFAULT, .cid_given = true, .cid = {{7}}};
    const mtmi_transport transport = {closed, wire_open, wire_send, wire_close};
    mtm_result result = mtmi_sender_create_over(&options, transport, sender, error);

    if (result != MTM_OK) {
        assert_null(*sender);
        assert_int_equal(*closed, 1);
    }
    return result;
}

static mtm_result send_universes(mtm_error *error)
{
    int closed = 0;
    mtm_sender *sender = NULL;
    mtm_result result = create_over(&closed, &sender, error);

    for (size_t u = 0; result == MTM_OK && u < UNIVERSES; u++) {
        result = mtm_sender_add(sender, (uint16_t)(UNIVERSES - u), 4 + u, error);
        assert_int_equal(mtm_sender_universe_count(sender), u + (result == MTM_OK));
        if (result == MTM_OK)
            mtm_sender_slots(sender, u)[u % 4] = (uint8_t)(3 * u);
    }
    if (result == MTM_OK)
        result = mtm_sender_send(sender, 5000 * MS, error);
    if (result == MTM_OK)
        result = mtm_sender_finish(sender, 0, error);
    mtm_sender_free(sender);
    assert_int_equal(closed, 1);
    return result;
}

static mtm_result open_sender(mtm_error *error)
{
    const mtm_sender_options options = {
        .to = address, .port = 5569, .priority = MTM_E131_PRIORITY_DEFAULT};
    mtm_sender *sender = NULL;
    mtm_result result = mtm_sender_create(&options, &sender, error);

    if (result != MTM_OK)
        assert_null(sender);
    mtm_sender_free(sender);
    return result;
}

static void feed(mtm_receiver *receiver, const mtm_e131_packet *packet)
{
    uint8_t octets[MTM_E131_PACKET_MAX];
    size_t length = 0;

    assert_int_equal(mtm_e131_encode(packet, octets, &length, NULL), MTM_OK);
    mtm_receiver_take(receiver, octets, length, MS);
}

static mtm_result receive(mtm_error *error)
{
    const mtm_receiver_options options = {.address = address};
    const mtm_e131_packet packet = {.type = MTM_E131_DATA,
                                    .cid = {{1}},
                                    .source_name = "hall",
                                    .priority = 100,
                                    .universe = UNIVERSES,
                                    .slot_count = 2,
                                    .slot = {5, 6}};
    mtm_receiver *receiver = NULL;
    mtm_result result = mtm_receiver_create(&options, &receiver, error);

    if (result != MTM_OK) {
        assert_null(receiver);
        return result;
    }
    for (size_t u = 0; result == MTM_OK && u < UNIVERSES; u++) {
        result = mtm_receiver_add(receiver, (uint16_t)(u + 1), error);
        assert_int_equal(mtm_receiver_universe_count(receiver), u + (result == MTM_OK));
    }
    if (result == MTM_OK) {
        feed(receiver, &packet);
        const mtm_received *last = mtm_receiver_universe(receiver, UNIVERSES - 1);
        assert_int_equal(last->source_count, 1);
        failing_tell(last->source[0].slot, 2);
    }
    mtm_receiver_free(receiver);
    return result;
}

/* A list that there is no memory for is as one that was lost on its way: the next one comes. */
static mtm_result receive_lists(mtm_error *error)
{
    const mtm_receiver_options options = {.address = address};
    const mtm_e131_packet packet = {.type = MTM_E131_DISCOVERY,
                                    .cid = {{4}},
                                    .source_name = "hall",
                                    .listed_count = 2,
                                    .listed = {7, 8}};
    mtm_receiver *receiver = NULL;
    mtm_result result = mtm_receiver_create(&options, &receiver, error);

    if (result != MTM_OK)
        return result;
    feed(receiver, &packet);
    failing.left = -1; /* there is memory again */
    feed(receiver, &packet);
    assert_int_equal(mtm_receiver_discovered_count(receiver), 1);
    mtm_discovered found = mtm_receiver_discovered(receiver, 0);
    failing_tell(found.universe, found.universe_count * sizeof *found.universe);
    mtm_receiver_free(receiver);
    return MTM_OK;
}

/* One frame of some universes, again and again. */
static mtm_result fill_frame(void *context, uint64_t number, uint8_t *const *slots, bool *end,
                             mtm_error *error)
{
    (void)context;
    (void)error;
    slots[0][0] = 7;
    slots[UNIVERSES - 1][1] = 9;
    *end = number >= FRAMES;
    return MTM_OK;
}

static mtm_result play(mtm_error *error)
{
    mtm_frame_universe universe[UNIVERSES];
    const mtm_frame_source source = {{1000, UNIVERSES, universe}, NULL, fill_frame};
    const mtm_player_options options = {.any_rate = true};
    mtm_player_report report;
    int closed = 0;
    mtm_sender *sender = NULL;

    for (size_t u = 0; u < UNIVERSES; u++)
        universe[u] = (mtm_frame_universe){(uint16_t)(u + 1), 2};
    mtm_result result = create_over(&closed, &sender, error);
    if (result == MTM_OK)
        result = mtm_player_run(sender, &source, &options, &report, error);
    failing.answer = 0; /* late frames are left out: which packets left is no matter here */
    mtm_sender_free(sender);
    assert_int_equal(closed, 1);
    return result;
}

static mtm_result limit(mtm_error *error)
{
    const mtm_demand_options tight = {.supply_share = 0.3};
    mtm_fader *fader = NULL;
    mtm_limiter *limiter = NULL;
    mtm_frame_source source, limited;
    static uint8_t slot[8][512];
    uint8_t *slots[8];
    bool end = false;
    mtm_result result = mtm_fader_create(show, NULL, &fader, error);

    for (size_t u = 0; u < COUNT(slots); u++)
        slots[u] = slot[u];
    if (result == MTM_OK)
        result = mtm_fader_source(fader, MTM_FADER_DARK, 1, MTM_PLAY_ONE, &source, error);
    if (result == MTM_OK) {
        result = mtm_limiter_create(mtm_show_rig(show), &tight, &source, &limiter, error);
        if (result != MTM_OK)
            assert_null(limiter);
    }
    if (result == MTM_OK) {
        assert_true(source.layout.universe_count <= COUNT(slots));
        limited = mtm_limiter_source(limiter);
        result = limited.fill(limited.context, 0, slots, &end, error);
    }
    if (result == MTM_OK)
        result = limited.fill(limited.context, 300, slots, &end, error);
    if (result == MTM_OK)
        failing_tell(slot[0], sizeof slot[0]);
    mtm_limiter_free(limiter);
    mtm_fader_free(fader);
    return result;
}

static const failing_row rows[] = {
    {"send universes", send_universes},
    {"open a sender", open_sender},
    {"receive universes", receive},
    {"receive lists", receive_lists},
    {"play frames", play},
    {"limit frames", limit},
};

static int enter(void **state)
{
    const char *source = getenv("METAMER_SOURCE");
    const unsigned id = (unsigned)getpid();

    (void)state;
    (void)snprintf(address, sizeof address, "127.%u.%u.9", 1 + (id >> 8) % 250, id % 256);
    if (source == NULL || chdir(source) != 0 ||
        mtm_show_load("examples/evening.json", &show, NULL) != MTM_OK)
        return -1;
    return 0;
}

static int leave(void **state)
{
    (void)state;
    mtm_show_free(show);
    return 0;
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, failing_test);
    return cmocka_run_group_tests_name("stream_memory", tests, enter, leave);
}
