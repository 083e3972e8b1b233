/* SPDX-License-Identifier: MIT */
/* Player: which frames leave and how a stream ends, over a transport that only records. Nothing
 * here depends on how fast the machine is: what is late is dropped, and the sums must agree. */
#include "support/trial.h"

#include <metamer/player.h>

#include "stream/e131_sender.h"
#include "stream/lateness.h"

#include <errno.h>
#include <time.h>

#define KEPT 4000
#define SLOTS 10

typedef struct wire {
    size_t count; /* data packets */
    struct {
        uint16_t universe;
        bool terminated;
        uint8_t first_slot;
        uint8_t slot[SLOTS];
    } packet[KEPT];
    size_t away_from, away_to; /* calls of send that are refused */
    size_t calls;
} wire;

static int wire_open(void *context)
{
    (void)context;
    return 0;
}

static int wire_send(void *context, const mtmi_datagram *datagram, size_t count, size_t *sent)
{
    wire *seen = context;
    mtm_e131_packet packet;

    *sent = 0;
    if (seen->calls++ >= seen->away_from && seen->calls <= seen->away_to)
        return ENETDOWN;
    for (*sent = 0; *sent < count; ++*sent) {
        assert_int_equal(
            mtm_e131_decode(datagram[*sent].octets, datagram[*sent].length, &packet, NULL), MTM_OK);
        if (packet.type != MTM_E131_DATA)
            continue;
        assert_true(seen->count < KEPT);
        seen->packet[seen->count].universe = packet.universe;
        seen->packet[seen->count].terminated = packet.terminated;
        memcpy(seen->packet[seen->count].slot, packet.slot, SLOTS);
        seen->packet[seen->count++].first_slot = packet.slot[0];
    }
    return 0;
}

static void wire_close(void *context)
{
    (void)context;
}

static const mtm_frame_universe universes[] = {{1, SLOTS}, {2, SLOTS}};

/* The 8-bit mode of the spot: a fixed 255, five emitters, a fixed 0. Of universe 2 the last three
 * slots belong to nobody. */
static const struct trial_unit units[] = {
    {"a", "five-colour-spot.json", "8-bit", 1, 4},
    {"b", "five-colour-spot.json", "8-bit", 2, 1},
};

/* Frame n has 1 + n % 200 in every slot. */
typedef struct script {
    uint64_t ends_at;
    uint64_t fails_at;
    uint64_t last; /* number asked for last */
    bool any;      /* asked at all */
    long pause_ns; /* each frame takes that long to make */
    volatile sig_atomic_t *stop;
    uint64_t stops_at;
} script;

static mtm_result script_fill(void *context, uint64_t number, uint8_t *const *slots, bool *end,
                              mtm_error *error)
{
    script *plan = context;

    assert_true(!plan->any || number > plan->last);
    plan->any = true;
    plan->last = number;
    if (plan->pause_ns > 0)
        (void)nanosleep(&(struct timespec){0, plan->pause_ns}, NULL);
    if (plan->stop != NULL && number >= plan->stops_at)
        *plan->stop = 1;
    if (plan->fails_at > 0 && number >= plan->fails_at) {
        (void)snprintf(error->text, sizeof error->text, "the script fails");
        return MTM_PARSE;
    }
    *end = plan->ends_at > 0 && number >= plan->ends_at;
    uint64_t shown = *end ? plan->ends_at - 1 : number; /* at the end, the last frame again */
    for (size_t u = 0; u < 2; u++)
        memset(slots[u], (int)(1 + shown % 200), SLOTS);
    return MTM_OK;
}

static mtm_result play(wire *seen, script *plan, mtm_player_options options,
                       mtm_player_report *report, mtm_error *error)
{
    mtm_sender_options to = MTM_SENDER_DEFAULTS;
    mtm_sender *sender = NULL;
    mtm_frame_source source = {{500, 2, universes}, plan, script_fill};
    mtm_rig *rig = trial_rig(units, COUNT(units));

    options.rig = rig;
    assert_int_equal(
        mtmi_sender_create_over(&to, (mtmi_transport){seen, wire_open, wire_send, wire_close},
                                &sender, error),
        MTM_OK);
    mtm_result result = mtm_player_run(sender, &source, &options, report, error);
    mtm_sender_free(sender);
    mtm_rig_free(rig);
    return result;
}

/* The last six packets end both universes, three times; before them stood this slot. */
static void check_farewell(const wire *seen, int last_slot)
{
    assert_true(seen->count >= 8);
    for (size_t i = seen->count - 6; i < seen->count; i++)
        assert_true(seen->packet[i].terminated);
    assert_false(seen->packet[seen->count - 7].terminated);
    if (last_slot >= 0)
        assert_int_equal(seen->packet[seen->count - 7].first_slot, last_slot);
}

static void test_all_frames(void **state)
{
    wire seen = {0};
    script plan = {.ends_at = 40};
    mtm_player_report report;

    (void)state;
    assert_int_equal(play(&seen, &plan, (mtm_player_options){.frames_most = 40}, &report, NULL),
                     MTM_OK);
    assert_int_equal(report.sent + report.dropped, 40);
    assert_int_equal(seen.count, 2 * report.sent + 6);
    assert_int_equal(report.refused, 0);
    assert_false(report.stopped);
    assert_false(report.realtime);
    check_farewell(&seen, 40);
    for (size_t i = 0; i + 6 < seen.count; i++)
        assert_int_equal(seen.packet[i].universe, 1 + i % 2);
}

/* Frames that take five times their time to make: most are dropped, none waits for another. */
static void test_too_slow(void **state)
{
    wire seen = {0};
    script plan = {.pause_ns = 10000000};
    mtm_player_report report;

    (void)state;
    assert_int_equal(play(&seen, &plan, (mtm_player_options){.frames_most = 50}, &report, NULL),
                     MTM_OK);
    assert_int_equal(report.sent + report.dropped, 50);
    assert_true(report.dropped >= 25);
    assert_true(report.sent >= 1);
    check_farewell(&seen, 50); /* the last one is sent, however late */
    for (size_t i = 2; i + 6 < seen.count; i += 2)
        assert_true(seen.packet[i].first_slot > seen.packet[i - 2].first_slot);
}

/* The same where only the source knows which frame is the last. */
static void test_too_slow_to_the_end(void **state)
{
    wire seen = {0};
    script plan = {.pause_ns = 10000000, .ends_at = 50};
    mtm_player_report report;

    (void)state;
    assert_int_equal(play(&seen, &plan, (mtm_player_options){0}, &report, NULL), MTM_OK);
    assert_true(report.dropped >= 25);
    check_farewell(&seen, 50);
}

/* The stream ended in the dark: light at 0, fixed slots as the fixture states them, slots of
 * nobody as the last frame had them. */
static void check_dark(const wire *seen)
{
    assert_true(seen->count >= 14);
    const uint8_t others = seen->packet[seen->count - 13].slot[0]; /* of the last frame */
    const uint8_t first[SLOTS] = {others, others, others, 255, 0, 0, 0, 0, 0, 0};
    const uint8_t second[SLOTS] = {255, 0, 0, 0, 0, 0, 0, others, others, others};

    check_farewell(seen, -1);
    for (size_t i = seen->count - 12; i < seen->count; i++) /* three times black, three farewells */
        assert_memory_equal(seen->packet[i].slot, seen->packet[i].universe == 1 ? first : second,
                            SLOTS);
}

static void test_black(void **state)
{
    wire seen = {0};
    script plan = {.ends_at = 10};
    mtm_player_report report;

    (void)state;
    assert_int_equal(
        play(&seen, &plan, (mtm_player_options){.end = MTM_PLAYER_BLACKOUT}, &report, NULL),
        MTM_OK);
    check_dark(&seen);
    assert_int_equal(seen.packet[seen.count - 13].first_slot, 10);
}

/* Only the second unit is put out: the first keeps the slots of the last frame. */
static void test_black_of_some(void **state)
{
    const bool meant[] = {false, true};
    wire seen = {0};
    script plan = {.ends_at = 10};
    mtm_player_report report;

    (void)state;
    assert_int_equal(play(&seen, &plan,
                          (mtm_player_options){.end = MTM_PLAYER_BLACKOUT, .meant = meant}, &report,
                          NULL),
                     MTM_OK);
    assert_true(seen.count >= 14);
    for (size_t i = seen.count - 6; i < seen.count; i++) { /* the farewells */
        const uint8_t *slot = seen.packet[i].slot;
        assert_int_equal(slot[3], seen.packet[i].universe == 1 ? 10 : 0);
        assert_int_equal(slot[0], seen.packet[i].universe == 1 ? 10 : 255);
    }
}

static void stop_it(void *context, const mtm_player_report *so_far)
{
    (void)so_far;
    *(volatile sig_atomic_t *)context = 1;
}

/* Holds until told to stop, here by the progress call that comes after a second. */
static void test_hold(void **state)
{
    wire seen = {0};
    script plan = {.ends_at = 10};
    volatile sig_atomic_t stop = 0;
    mtm_player_report report;

    (void)state;
    assert_int_equal(play(&seen, &plan,
                          (mtm_player_options){.end = MTM_PLAYER_HOLD,
                                               .stop = &stop,
                                               .progress = stop_it,
                                               .progress_context = (void *)(uintptr_t)&stop},
                          &report, NULL),
                     MTM_OK);
    assert_true(report.stopped);
    check_farewell(&seen, 10); /* the last frame, whatever came late */
}

static void test_stop(void **state)
{
    wire seen = {0};
    volatile sig_atomic_t stop = 0;
    script plan = {.stop = &stop, .stops_at = 5};
    mtm_player_report report;

    (void)state;
    assert_int_equal(play(&seen, &plan,
                          (mtm_player_options){.end = MTM_PLAYER_BLACKOUT, .stop = &stop}, &report,
                          NULL),
                     MTM_OK);
    assert_true(report.stopped);
    assert_true(report.sent <= 5);
    check_dark(&seen);
}

/* A source that fails: what was begun is ended in order, and its sentence is handed on. */
static void test_failing_source(void **state)
{
    wire seen = {0};
    script plan = {.fails_at = 5};
    mtm_player_report report;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(
        play(&seen, &plan, (mtm_player_options){.end = MTM_PLAYER_BLACKOUT}, &report, &error),
        MTM_PARSE);
    assert_string_equal(error.text, "the script fails");
    check_dark(&seen);
}

static void test_network_away(void **state)
{
    wire seen = {.away_from = 3, .away_to = 8};
    script plan = {0};
    mtm_player_report report;

    (void)state;
    assert_int_equal(play(&seen, &plan, (mtm_player_options){.frames_most = 60}, &report, NULL),
                     MTM_OK);
    assert_true(report.refused >= 1);
    CHECK_HOLDS(report.network_note, "Network is down");
    check_farewell(&seen, -1);
    if (report.dropped == 0)
        assert_int_equal(seen.packet[seen.count - 7].first_slot, 60);
}

static void test_realtime(void **state)
{
    wire seen = {0};
    script plan = {0};
    mtm_player_report report;

    (void)state;
    assert_int_equal(
        play(&seen, &plan, (mtm_player_options){.frames_most = 3, .realtime = true}, &report, NULL),
        MTM_OK);
    if (report.realtime)
        assert_string_equal(report.realtime_note, "");
    else
        CHECK_HOLDS(report.realtime_note, "refused a real-time priority");
}

/* ANSI E1.11: 512 slots at most 44.1 times a second. */
static void test_rate(void **state)
{
    static const mtm_frame_universe full[] = {{1, 512}};
    wire seen = {0};
    script plan = {0};
    mtm_sender_options to = MTM_SENDER_DEFAULTS;
    mtm_sender *sender = NULL;
    mtm_player_report report;
    mtm_error error = {""};
    mtm_frame_source source = {{44.5, 1, full}, &plan, script_fill};

    (void)state;
    assert_int_equal(
        mtmi_sender_create_over(&to, (mtmi_transport){&seen, wire_open, wire_send, wire_close},
                                &sender, NULL),
        MTM_OK);
    assert_int_equal(mtm_player_run(sender, &source, &(mtm_player_options){0}, &report, &error),
                     MTM_RANGE);
    CHECK_HOLDS(error.text, "at most 44.0");
    source.layout.rate_hz = 0;
    assert_int_equal(mtm_player_run(sender, &source, &(mtm_player_options){0}, &report, &error),
                     MTM_INVALID);
    source.layout.rate_hz = 44;
    assert_int_equal(mtm_sender_add(sender, 9, 1, NULL), MTM_OK);
    assert_int_equal(mtm_player_run(sender, &source, &(mtm_player_options){0}, &report, &error),
                     MTM_INVALID);
    CHECK_HOLDS(error.text, "universes already");
    assert_int_equal(seen.count, 0);
    mtm_sender_free(sender);
}

/* A value is found again with at most 1/32 too much, and never too little. */
static void test_lateness(void **state)
{
    static mtmi_lateness late;

    (void)state;
    assert_int_equal(mtmi_lateness_at(&late, 0.5), 0);
    for (uint64_t ns = 1; ns < UINT64_C(1) << 62; ns = ns * 5 / 3 + 1) {
        late = (mtmi_lateness){0};
        mtmi_lateness_add(&late, ns);
        mtmi_lateness_add(&late, UINT64_MAX);
        assert_in_range(mtmi_lateness_at(&late, 0.5), ns, ns + ns / 32);
        assert_true(mtmi_lateness_at(&late, 1) == UINT64_MAX);
    }
    late = (mtmi_lateness){0};
    for (uint64_t ns = 1; ns <= 1000; ns++)
        mtmi_lateness_add(&late, ns);
    assert_in_range(mtmi_lateness_at(&late, 0.5), 500, 516);
    assert_in_range(mtmi_lateness_at(&late, 0.99), 990, 1000);
    assert_int_equal(mtmi_lateness_at(&late, 1), 1000);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_all_frames),
        cmocka_unit_test(test_too_slow),
        cmocka_unit_test(test_too_slow_to_the_end),
        cmocka_unit_test(test_black),
        cmocka_unit_test(test_black_of_some),
        cmocka_unit_test(test_hold),
        cmocka_unit_test(test_stop),
        cmocka_unit_test(test_failing_source),
        cmocka_unit_test(test_network_away),
        cmocka_unit_test(test_realtime),
        cmocka_unit_test(test_rate),
        cmocka_unit_test(test_lateness),
    };

    return cmocka_run_group_tests_name("player", tests, NULL, NULL);
}
