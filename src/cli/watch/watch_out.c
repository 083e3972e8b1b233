/* SPDX-License-Identifier: MIT */
/* Watch output: lines of JSON and rows of CSV, and the list of formats. */
#include "cli/watch/watch.h"

#include "cli/out/json.h"
#include "cli/out/text.h"

#include "base/error.h"
#include "fixture/slot.h"

#include <math.h>
#include <string.h>

static void add_universe(cJSON *list, const struct watch *watch, size_t index)
{
    const mtm_received *universe = mtm_receiver_universe(watch->receiver, index);
    const mtm_received_source *winner = watch_winner(universe);
    struct watch_sum sum = watch_sum(universe);
    cJSON *object = json_append_object(list);

    json_add_number(object, "universe", universe->universe, 0);
    json_add_text(object, "source", winner != NULL ? winner->name : NULL);
    json_add_number(object, "priority", winner != NULL ? winner->priority : NAN, 0);
    json_add_number(object, "sync_universe", winner != NULL ? winner->sync_universe : NAN, 0);
    json_add_bool(object, "synchronized", winner != NULL && winner->synchronized);
    json_add_number(object, "sources", (double)universe->source_count, 0);
    json_add_bool(object, "tie", universe->tie);
    json_add_number(object, "packets_per_s", watch->rate[index].per_s, 1);
    json_add_number(object, "packets", (double)sum.packets, 0);
    json_add_number(object, "lost", (double)sum.lost, 0);
    json_add_number(object, "out_of_order", (double)sum.out_of_order, 0);
    json_add_number(object, "repeated", (double)sum.duplicates, 0);
    cJSON *slots = json_add_array(object, "slots");
    for (size_t i = 0; winner != NULL && i < winner->slot_count; i++)
        json_append_number(slots, winner->slot[i], 0);
}

static void add_unit(cJSON *list, const struct watch_unit *unit)
{
    const mtm_fixture *fixture = unit->unit->fixture;
    cJSON *object = json_append_object(list);
    mtm_xy xy = mtm_xy_from_xyz(unit->light.xyz);
    bool lit = unit->heard && unit->light.xyz.y > 0;

    json_add_text(object, "unit", unit->unit->name);
    json_add_number(object, "universe", unit->unit->universe, 0);
    json_add_number(object, "address", unit->unit->address, 0);
    json_add_bool(object, "heard", unit->heard);
    json_add_number(object, "flux_lm", unit->heard ? unit->light.xyz.y : NAN, 2);
    json_add_xy(object, lit ? xy : (mtm_xy){NAN, NAN}, 4);
    json_add_number(
        object, "dimmer",
        unit->heard && unit->unit->mode->dimmer_bits > 0 ? (double)unit->light.codes.dimmer : NAN,
        0);
    char standing[200] = "";
    if (unit->heard)
        mtm_standing_text(fixture, unit->unit->mode, &unit->light.standing, standing,
                          sizeof standing);
    json_add_text(object, "standing", standing);
    cJSON *codes = json_add_object(object, "codes");
    cJSON *levels = json_add_object(object, "levels");
    for (size_t e = 0; unit->heard && e < mtmi_channel_count(fixture, unit->unit->mode); e++)
        json_add_number(codes, mtmi_channel_name(fixture, unit->unit->mode, e),
                        unit->light.codes.emitter[e], 0);
    bool mixes = mtm_fixture_mixes(fixture); /* then what its emitters do is not known */
    for (size_t e = 0; unit->heard && !mixes && e < mtm_fixture_emitter_count(fixture); e++)
        json_add_number(levels, mtm_fixture_emitter(fixture, e)->name, unit->light.level[e], 5);
}

static void add_found(cJSON *list, mtm_discovered found)
{
    cJSON *object = json_append_object(list);
    char cid[MTM_CID_ROOM];

    mtm_cid_print(found.cid, cid);
    json_add_text(object, "source", found.name);
    json_add_text(object, "cid", cid);
    cJSON *universes = json_add_array(object, "universes");
    for (size_t i = 0; i < found.universe_count; i++)
        json_append_number(universes, found.universe[i], 0);
}

/* One line a picture, so that a pipe can be read line by line. */
static mtm_result write_json(const struct watch *watch, struct screen *screen, bool first,
                             mtm_error *error)
{
    cJSON *root = cJSON_CreateObject();
    cJSON *universes = json_add_array(root, "universes");
    cJSON *units = json_add_array(root, "units");
    cJSON *found = json_add_array(root, "found");

    (void)first;
    json_add_number(root, "seconds", watch->seconds, 3);
    for (size_t u = 0; u < mtm_receiver_universe_count(watch->receiver); u++)
        add_universe(universes, watch, u);
    for (size_t i = 0; i < watch->unit_count; i++)
        add_unit(units, &watch->unit[i]);
    for (size_t i = 0; i < mtm_receiver_discovered_count(watch->receiver); i++)
        add_found(found, mtm_receiver_discovered(watch->receiver, i));
    mtm_result result = json_print_line(root, screen->out, error);
    (void)fflush(screen->out);
    return result;
}

static void csv_universe(const struct watch *watch, size_t index, FILE *out)
{
    const mtm_received *universe = mtm_receiver_universe(watch->receiver, index);
    const mtm_received_source *winner = watch_winner(universe);
    struct watch_sum sum = watch_sum(universe);

    text_put_csv(winner != NULL ? winner->name : "", out);
    text_put_csv_number(watch->rate[index].per_s, 1, out);
    (void)fprintf(out, ",%llu,%llu,", (unsigned long long)sum.lost,
                  (unsigned long long)sum.out_of_order);
}

/* Slots split by blanks. */
static void csv_slots(const mtm_received_source *source, size_t first, size_t count, FILE *out)
{
    for (size_t i = first; source != NULL && i < first + count && i < source->slot_count; i++)
        (void)fprintf(out, "%s%u", i > first ? " " : "", source->slot[i]);
    (void)fputc('\n', out);
}

static void csv_unit(const struct watch *watch, const struct watch_unit *unit, FILE *out)
{
    const mtm_received_source *winner =
        watch_winner(mtm_receiver_universe(watch->receiver, unit->universe));
    mtm_xy xy = mtm_xy_from_xyz(unit->light.xyz);

    (void)fprintf(out, "%.3f,", watch->seconds);
    text_put_csv(unit->unit->name, out);
    (void)fprintf(out, ",%d,%d,", unit->unit->universe, unit->unit->address);
    csv_universe(watch, unit->universe, out);
    if (unit->heard && unit->light.xyz.y > 0)
        (void)fprintf(out, "%.2f,%.4f,%.4f,", unit->light.xyz.y, xy.x, xy.y);
    else
        (void)fprintf(out, "%s,,,", unit->heard ? "0" : "");
    csv_slots(winner, (size_t)unit->unit->address - 1, unit->unit->mode->slot_count, out);
}

static mtm_result write_csv(const struct watch *watch, struct screen *screen, bool first,
                            mtm_error *error)
{
    FILE *out = screen->out;

    (void)error;
    if (first)
        (void)fprintf(out, "seconds,unit,universe,address,source,packets_per_s,lost,out_of_order,"
                           "flux_lm,x,y,slots\n");
    for (size_t i = 0; i < watch->unit_count; i++) {
        if (watch->unit[i].universe != SIZE_MAX)
            csv_unit(watch, &watch->unit[i], out);
    }
    for (size_t u = 0; watch->rig == NULL && u < mtm_receiver_universe_count(watch->receiver);
         u++) {
        const mtm_received *universe = mtm_receiver_universe(watch->receiver, u);
        (void)fprintf(out, "%.3f,,%u,1,", watch->seconds, (unsigned)universe->universe);
        csv_universe(watch, u, out);
        (void)fprintf(out, ",,,");
        csv_slots(watch_winner(universe), 0, MTM_ADDRESS_MAX, out);
    }
    (void)fflush(out);
    return MTM_OK;
}

const struct watch_writer watch_writers[] = {
    {"table", watch_write_table}, {"json", write_json}, {"csv", write_csv}, {NULL, NULL}};
