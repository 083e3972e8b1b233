/* SPDX-License-Identifier: MIT */
/* Play network: what is sent to the lights now, to begin from it. */
#include "cli/play/play_network.h"

#include "cli/args/ip.h"
#include "cli/out/stop.h"

#include "base/error.h"

#include <metamer/stream.h>

#include <stdlib.h>

/* A source that is still sends a packet every second at the latest (E1.31 clause 6.6.2). */
#define HEAR_NS UINT64_C(3000000000)
#define STEP_MS 50

static const mtm_received_source *winner(const mtm_receiver *receiver, size_t universe)
{
    const mtm_received *received = mtm_receiver_universe(receiver, universe);

    return received->winner >= 0 ? &received->source[received->winner] : NULL;
}

static size_t heard(const mtm_receiver *receiver)
{
    size_t count = 0;

    for (size_t u = 0; u < mtm_receiver_universe_count(receiver); u++)
        count += winner(receiver, u) != NULL;
    return count;
}

static mtm_result listen_to(const struct args *args, const mtm_frame_layout *layout,
                            mtm_receiver **receiver, mtm_error *error)
{
    const struct ip_choice *ip = args_choice(args, "ip");
    bool unicast = args_has(args, "listen");
    const mtm_receiver_options from = {
        .interface = unicast ? NULL : args_text(args, "interface", NULL),
        .address = args_text(args, "listen", NULL),
        .ip = ip->ip,
        .port = unicast ? (uint16_t)args_number(args, "port", 0) : 0,
    };
    mtm_result result = mtm_receiver_create(&from, receiver, error);

    for (size_t u = 0; result == MTM_OK && u < layout->universe_count; u++)
        result = mtm_receiver_add(*receiver, layout->universe[u].universe, error);
    uint64_t end_ns = mtm_stream_now_ns() + HEAR_NS;
    while (result == MTM_OK && heard(*receiver) < layout->universe_count && *stop_flag() == 0 &&
           mtm_stream_now_ns() < end_ns)
        result = mtm_receiver_wait(*receiver, STEP_MS, NULL, error);
    return result;
}

/* The slots that count in each universe. What a shorter packet does not hold is 0. */
static mtm_result stand(const mtm_receiver *receiver, mtm_fader *fader, const char *command,
                        FILE *err, mtm_error *error)
{
    size_t count = mtm_receiver_universe_count(receiver);
    const uint8_t **slots = calloc(count + 1, sizeof *slots);

    if (slots == NULL)
        return mtmi_fail_memory(error);
    for (size_t u = 0; u < count; u++) {
        const mtm_received_source *source = winner(receiver, u);
        slots[u] = source != NULL ? source->slot : NULL;
        if (source == NULL)
            (void)fprintf(err, "metamer %s: nothing is heard of universe %u: it begins dark\n",
                          command, (unsigned)mtm_receiver_universe(receiver, u)->universe);
    }
    mtm_result result = mtm_fader_stand(fader, slots, error);
    free(slots);
    return result;
}

mtm_result play_from_network(const struct args *args, struct play_source *play, FILE *err,
                             mtm_error *error)
{
    size_t from = MTM_FADER_DARK;
    size_t cue = 0;
    mtm_receiver *receiver = NULL;
    mtm_frame_layout layout = mtm_fader_layout(play->fader);

    mtm_result result = listen_to(args, &layout, &receiver, error);
    if (result == MTM_OK && heard(receiver) == 0)
        result = mtmi_fail(error, MTM_IO,
                           "--from-network: nothing is heard of any of the %zu universes; without "
                           "it, --from says where to begin",
                           layout.universe_count);
    if (result == MTM_OK)
        result = stand(receiver, play->fader, args->command->name, err, error);
    mtm_receiver_free(receiver);
    if (result == MTM_OK)
        result = play_source_cues(args, play->show, &from, &cue, error);
    if (result == MTM_OK && !play->by_hand)
        result = mtm_fader_jump(play->fader, cue, error);
    return result;
}
