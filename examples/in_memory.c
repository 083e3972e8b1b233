/* SPDX-License-Identifier: MIT */
/* In memory: a fixture made from its parts, a rig of it, its match, a show on it, and the frames
 * of a fade: without a file.
 * Build: cc in_memory.c $(pkg-config --cflags --libs metamer) -lm
 * Run: ./a.out */
#include <metamer/demand.h>
#include <metamer/fade.h>
#include <metamer/fixture.h>
#include <metamer/frames.h>
#include <metamer/match.h>
#include <metamer/selection.h>
#include <metamer/show.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static mtm_error error;

/* Three invented emitters, known by x, y and lumens. */
static mtm_result make_fixture(mtm_fixture **out)
{
    static const mtm_slot slots[] = {{.role = MTM_SLOT_EMITTER, .emitter = 0},
                                     {.role = MTM_SLOT_EMITTER, .emitter = 1},
                                     {.role = MTM_SLOT_EMITTER, .emitter = 2}};
    const mtm_mode mode = {.name = "8-bit", .slots = slots, .slot_count = 3};
    const mtm_emitter emitter[] = {
        {.name = "red", .xyz = {mtm_xyz_from_xy((mtm_xy){0.69, 0.30}, 300)}, .watts = 10},
        {.name = "green", .xyz = {mtm_xyz_from_xy((mtm_xy){0.17, 0.70}, 600)}, .watts = 10},
        {.name = "blue", .xyz = {mtm_xyz_from_xy((mtm_xy){0.15, 0.03}, 90)}, .watts = 10},
    };
    mtm_fixture *made = NULL;
    char *text = NULL;
    size_t length = 0;
    mtm_result result = mtm_fixture_create("batten", emitter, 3, &mode, 1, (double)INFINITY, 0,
                                           NULL, &made, &error);

    /* What is written reads back. */
    if (result == MTM_OK)
        result = mtm_fixture_to_json(made, &text, &length, &error);
    if (result == MTM_OK)
        result = mtm_fixture_parse(text, length, "batten", NULL, out, &error);
    free(text);
    mtm_fixture_free(made);
    return result;
}

/* Two units on one supply; a meter found the second one's red a tenth weaker. */
static mtm_result fill_rig(mtm_rig *rig, const mtm_fixture *batten)
{
    const mtm_supply supply = {.name = "S1", .ports = 2, .port_w = 25, .total_w = 40};
    mtm_emitter measured[MTM_EMITTERS_MAX] = {{.name = NULL}};
    mtm_fixture *own = NULL;
    size_t entrance[2], count = 0;
    mtm_result result = mtm_rig_add_circuit(
        rig, &(mtm_circuit){.name = "C1", .rated_a = 16, .voltage_v = 230}, &error);

    if (result == MTM_OK)
        result = mtm_rig_add_supply(rig, &supply, &error);
    for (int i = 0; i < 2 && result == MTM_OK; i++) {
        const mtm_unit unit = {.name = i == 0 ? "left" : "right",
                               .fixture_file = "batten.json",
                               .fixture = batten,
                               .mode = mtm_fixture_mode(batten, 0),
                               .universe = 1,
                               .address = 1 + 3 * i,
                               .port = 1 + i,
                               .follows = -1};
        result = mtm_rig_add_unit(rig, &unit, &error);
    }
    if (result == MTM_OK)
        result = mtm_rig_check(rig, &error);
    if (result == MTM_OK) /* what every show of this rig may name */
        result = mtm_rig_select(rig, "l*,!right", entrance, &count, &error);
    if (result == MTM_OK)
        result = mtm_rig_add_group(rig, "entrance", entrance, count, &error);
    if (result != MTM_OK)
        return result;
    for (size_t i = 0; i < mtm_fixture_emitter_count(batten); i++)
        measured[i] = *mtm_fixture_emitter(batten, i);
    measured[0].xyz[MTM_OBSERVER_2] =
        mtm_xyz_from_xy(mtm_xy_from_xyz(measured[0].xyz[MTM_OBSERVER_2]), 270);
    result = mtm_fixture_with_emitters(batten, measured, &own, &error);
    if (result != MTM_OK)
        return result;
    result = mtm_rig_set_unit_fixture(rig, 1, own, &error);
    if (result != MTM_OK)
        mtm_fixture_free(own);
    return result;
}

static mtm_result make_rig(mtm_rig **out)
{
    mtm_fixture *batten = NULL;
    mtm_rig *rig = NULL;
    mtm_result result = make_fixture(&batten);

    if (result == MTM_OK)
        result = mtm_rig_create("passage", &rig, &error);
    if (result == MTM_OK)
        result = mtm_rig_add_fixture(rig, batten, &error);
    if (result != MTM_OK) {
        mtm_fixture_free(batten);
        mtm_rig_free(rig);
        return result;
    }
    result = fill_rig(rig, batten); /* which is the rig's now */
    if (result == MTM_OK)
        *out = rig;
    else
        mtm_rig_free(rig);
    return result;
}

/* Both units at one white, then both lowered alike to what their supply carries. */
static mtm_result match(const mtm_rig *rig, uint8_t slots[6])
{
    mtm_match_request request = {.goal = MTM_GOAL_LIGHT};
    mtm_matcher *matcher = NULL;
    double watts[2], factor[2] = {1, 1};
    mtm_result result = mtm_matcher_create(rig, MTM_OBSERVER_2, &matcher, &error);

    if (result == MTM_OK)
        result =
            mtm_target_from_white((mtm_white){4000, 0}, MTM_OBSERVER_2, &request.target, &error);
    for (size_t i = 0; i < 2 && result == MTM_OK; i++) {
        mtm_match found;
        result = mtm_matcher_unit(matcher, i, &request, &found, &error);
        if (result != MTM_OK)
            break;
        mtm_codes_to_slots(mtm_rig_unit(rig, i)->mode, &found.codes, &slots[3 * i]);
        watts[i] = found.watts;
        printf("%-6s %3d %3d %3d  %5.1f lm  %4.1f W\n", mtm_rig_unit(rig, i)->name, slots[3 * i],
               slots[3 * i + 1], slots[3 * i + 2], found.flux_lm, found.watts);
    }
    if (result == MTM_OK)
        result = mtm_demand_factors(rig, watts, NULL, factor, &error);
    mtm_demand_join_factors((const bool[]){true, true}, 2, factor);
    if (result == MTM_OK)
        printf("within the ratings at %.0f %% of this\n", 100 * factor[0]);
    mtm_matcher_free(matcher);
    return result;
}

/* Octets in memory, to write to and to read from. */
struct octets {
    uint8_t octet[4096];
    size_t count, read;
};

static mtm_result take(void *context, const void *octets, size_t count, mtm_error *reason)
{
    struct octets *to = context;

    if (count > sizeof to->octet - to->count) {
        (void)snprintf(reason->text, sizeof reason->text, "no room is left for frames");
        return MTM_LIMIT;
    }
    memcpy(to->octet + to->count, octets, count);
    to->count += count;
    return MTM_OK;
}

static mtm_result give(void *context, void *octets, size_t count, size_t *got, mtm_error *reason)
{
    struct octets *from = context;
    size_t left = from->count - from->read;

    (void)reason;
    *got = count < left ? count : left;
    memcpy(octets, from->octet + from->read, *got);
    from->read += *got;
    return MTM_OK;
}

/* Both units to a warm white in a quarter of a second. */
static mtm_result make_show(const mtm_rig *rig, mtm_show **out)
{
    static const size_t units[] = {0, 1};
    const mtm_cue cue = {.number = 1, .text = "doors", .up_s = 0.25, .follow_s = -1};
    mtm_target warm;
    mtm_show *show = NULL;
    mtm_result result = mtm_target_from_white((mtm_white){2700, 0}, MTM_OBSERVER_2, &warm, &error);

    if (result == MTM_OK)
        result = mtm_show_create("evening", rig, MTM_OBSERVER_2, 20, &show, &error);
    if (result == MTM_OK)
        result = mtm_show_add_colour(show, "dusk", &warm, &error);
    if (result == MTM_OK)
        result = mtm_show_add_group(show, "both", units, 2, &error);
    if (result == MTM_OK) {
        const mtm_setting setting = {.group = mtm_show_group_count(show) - 1,
                                     .target = mtm_show_colour(show, 0)};
        result = mtm_show_add_cue(show, &cue, &setting, 1, &error);
    }
    if (result == MTM_OK)
        *out = show;
    else
        mtm_show_free(show);
    return result;
}

static mtm_result write_fade(mtm_fader *fader, mtm_frame_writer *writer)
{
    mtm_result result = mtm_fader_go(fader, 0, &error);

    while (result == MTM_OK && mtm_fader_frames_left(fader) > 0) {
        result = mtm_fader_step(fader, &error);
        const uint8_t *universes[] = {mtm_fader_slots(fader, 0)};
        if (result == MTM_OK)
            result = mtm_frame_writer_add(writer, universes, &error);
    }
    return result == MTM_OK ? mtm_frame_writer_finish(writer, &error) : result;
}

static mtm_result write_frames(const mtm_rig *rig, struct octets *octets)
{
    mtm_show *show = NULL;
    mtm_fader *fader = NULL;
    mtm_frame_writer *writer = NULL;
    mtm_result result = make_show(rig, &show);

    if (result == MTM_OK)
        result = mtm_fader_create(show, NULL, &fader, &error);
    if (result == MTM_OK) {
        const mtm_frame_layout layout = mtm_fader_layout(fader);
        result = mtm_frame_writer_create(MTM_FRAMES_BINARY, &layout, (mtm_frame_sink){octets, take},
                                         &writer, &error);
    }
    if (result == MTM_OK)
        result = write_fade(fader, writer);
    mtm_frame_writer_free(writer);
    mtm_fader_free(fader);
    mtm_show_free(show);
    return result;
}

static mtm_result read_frames(struct octets *octets)
{
    mtm_frame_reader *reader = NULL;
    uint8_t slots[MTM_ADDRESS_MAX];
    uint8_t *universes[] = {slots};
    bool end = false;
    mtm_result result =
        mtm_frame_reader_create((mtm_frame_input){octets, give, NULL}, &reader, &error);

    if (result == MTM_OK) {
        mtm_frame_layout layout = mtm_frame_reader_layout(reader);
        printf("universe %d, %zu octets of frames:\n", (int)layout.universe[0].universe,
               octets->count);
    }
    while (result == MTM_OK && !end) {
        result = mtm_frame_reader_next(reader, universes, &end, &error);
        if (result == MTM_OK && !end)
            printf("  %3d %3d %3d\n", slots[0], slots[1], slots[2]);
    }
    mtm_frame_reader_free(reader);
    return result;
}

int main(void)
{
    static struct octets octets;
    uint8_t slots[6] = {0};
    char *text = NULL;
    size_t length = 0;
    mtm_rig *rig = NULL;
    mtm_result result = make_rig(&rig);

    if (result == MTM_OK)
        result = match(rig, slots);
    if (result == MTM_OK)
        result = write_frames(rig, &octets);
    if (result == MTM_OK)
        result = read_frames(&octets);
    if (result == MTM_OK)
        result = mtm_rig_to_json(rig, &text, &length, &error);
    if (result == MTM_OK)
        printf("the rig as text:\n%s", text);
    else
        (void)fprintf(stderr, "%s\n", error.text);
    free(text);
    mtm_rig_free(rig);
    return result == MTM_OK ? 0 : 1;
}
