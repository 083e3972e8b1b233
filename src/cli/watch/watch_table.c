/* SPDX-License-Identifier: MIT */
/* Watch output: a table that a terminal redraws. */
#include "cli/out/text.h"
#include "cli/watch/watch.h"

#include "fixture/slot.h"

#include <metamer/white.h>

#include <math.h>

#define NAME_WIDTH 20
/* A row of slots where there is no rig to decode them. */
#define SLOTS_A_ROW 16

static const char *source_name(const mtm_received_source *source)
{
    return source->name[0] != '\0' ? source->name : "unnamed";
}

/* How a unit's colour looks beside others on a screen: its hue at full, dimmed by how far its
 * strongest emitter is up. */
static mtm_rgb swatch_of(const struct watch_unit *unit)
{
    const mtm_rgb_space *space = mtm_rgb_space_at(0); /* sRGB, which terminals mean */
    mtm_rgb rgb = {0, 0, 0};

    if (!unit->heard || unit->light.xyz.y <= 0)
        return rgb;
    mtm_xyz unity = {unit->light.xyz.x / unit->light.xyz.y, 1,
                     unit->light.xyz.z / unit->light.xyz.y};
    rgb = mtm_rgb_from_xyz(space, unity);
    double light[] = {fmax(space->to_light(rgb.r), 0), fmax(space->to_light(rgb.g), 0),
                      fmax(space->to_light(rgb.b), 0)};
    double most = fmax(light[0], fmax(light[1], light[2]));
    double scale = most > 0 ? unit->most / most : 0;
    return (mtm_rgb){space->from_light(scale * light[0]), space->from_light(scale * light[1]),
                     space->from_light(scale * light[2])};
}

static void put_counts(struct screen *screen, const struct watch *watch, size_t index)
{
    struct watch_sum sum = watch_sum(mtm_receiver_universe(watch->receiver, index));

    if (isfinite(watch->rate[index].per_s))
        screen_put(screen, "%.1f packets/s, ", watch->rate[index].per_s);
    screen_put(screen, "%llu lost, %llu out of order", (unsigned long long)sum.lost,
               (unsigned long long)sum.out_of_order);
    if (sum.duplicates > 0)
        screen_put(screen, ", %llu repeated", (unsigned long long)sum.duplicates);
    screen_end_line(screen);
}

static const char *state_of(const mtm_received *universe, size_t index)
{
    const mtm_received_source *source = &universe->source[index];

    if (source->terminated)
        return "has ended";
    if (!source->live)
        return "has fallen silent";
    if (!source->has_levels)
        return "sends no levels";
    if ((int)index == universe->winner)
        return universe->tie ? "counts; another has the same priority" : "counts";
    if (universe->winner < 0)
        return "is for visualisers only";
    return source->priority == universe->source[universe->winner].priority
               ? "has the same priority, and does not count"
               : "does not count";
}

static void put_sources(struct screen *screen, const mtm_received *universe)
{
    const mtm_received_source *winner = watch_winner(universe);

    if (universe->source_count == 1 && winner != NULL)
        return; /* told above */
    for (size_t i = 0; i < universe->source_count; i++) {
        const mtm_received_source *source = &universe->source[i];
        screen_put(screen, "  %s, priority %u, %s", source_name(source), source->priority,
                   state_of(universe, i));
        screen_end_line(screen);
    }
}

static void put_universe(struct screen *screen, const struct watch *watch, size_t index)
{
    const mtm_received *universe = mtm_receiver_universe(watch->receiver, index);
    const mtm_received_source *winner = watch_winner(universe);

    screen_put(screen, "universe %u  ", (unsigned)universe->universe);
    if (winner == NULL) {
        screen_put(screen, "no data");
        screen_end_line(screen);
    } else {
        screen_put(screen, "%s, priority %u  ", source_name(winner), winner->priority);
        if (winner->sync_universe != 0)
            screen_put(screen, "synchronized by %u%s  ", (unsigned)winner->sync_universe,
                       winner->synchronized ? "" : " (not heard)");
        put_counts(screen, watch, index);
    }
    put_sources(screen, universe);
}

static void put_white(struct screen *screen, mtm_xy xy)
{
    mtm_white white;
    char text[24] = "-";

    /* farther from the locus a temperature means little: common practice, no source */
    if (mtm_white_from_xy(xy, &white, NULL) == MTM_OK && fabs(white.duv) <= 0.02)
        (void)snprintf(text, sizeof text, "%.0f K %+.3f", white.cct_k, text_clean(white.duv, 3));
    screen_cell(screen, text, 15);
}

static void put_codes(struct screen *screen, const struct watch_unit *unit)
{
    const mtm_fixture *fixture = unit->unit->fixture;

    if (unit->unit->mode->dimmer_bits > 0)
        screen_put(screen, "dimmer %u  ", (unsigned)unit->light.codes.dimmer);
    for (size_t e = 0; e < mtmi_channel_count(fixture, unit->unit->mode); e++)
        screen_put(screen, "%s%s %u", e > 0 ? "  " : "",
                   mtmi_channel_name(fixture, unit->unit->mode, e),
                   (unsigned)unit->light.codes.emitter[e]);
}

static void put_unit(struct screen *screen, const struct watch_unit *unit)
{
    screen_put(screen, "  ");
    screen_cell(screen, unit->unit->name, NAME_WIDTH);
    screen_put(screen, " %4d  ", unit->unit->address);
    if (!unit->heard) {
        screen_put(screen, "-");
        screen_end_line(screen);
        return;
    }
    screen_swatch(screen, swatch_of(unit));
    if (screen->colour)
        screen_put(screen, "  ");
    if (unit->light.xyz.y > 0) {
        mtm_xy xy = mtm_xy_from_xyz(unit->light.xyz);
        screen_put(screen, "%7.1f  %.4f %.4f  ", unit->light.xyz.y, xy.x, xy.y);
        put_white(screen, xy);
    } else {
        screen_cell(screen, "   dark", 39);
    }
    screen_put(screen, " ");
    put_codes(screen, unit);
    screen_end_line(screen);
    if (unit->light.standing.type != MTM_STANDING_GOOD) {
        char text[200];
        mtm_standing_text(unit->unit->fixture, unit->unit->mode, &unit->light.standing, text,
                          sizeof text);
        screen_put(screen, "    %s", text);
        screen_end_line(screen);
    }
}

static void put_unit_heads(struct screen *screen)
{
    screen_put(screen, "  ");
    screen_cell(screen, "unit", NAME_WIDTH);
    screen_put(screen, " %4s  %s%7s  %-6s %-6s  %-15s codes", "slot",
               screen->colour ? "      " : "", "lm", "x", "y", "white, Duv");
    screen_end_line(screen);
}

static void put_units(struct screen *screen, const struct watch *watch, size_t universe)
{
    bool any = false;

    for (size_t i = 0; i < watch->unit_count; i++) {
        if (watch->unit[i].universe != universe)
            continue;
        if (!any)
            put_unit_heads(screen);
        any = true;
        put_unit(screen, &watch->unit[i]);
    }
}

/* Rows of slots; those where all are 0 are left out. */
static void put_slots(struct screen *screen, const mtm_received_source *source)
{
    bool any = false;

    for (unsigned first = 0; first < source->slot_count; first += SLOTS_A_ROW) {
        unsigned end =
            first + SLOTS_A_ROW < source->slot_count ? first + SLOTS_A_ROW : source->slot_count;
        bool lit = false;
        for (unsigned i = first; i < end; i++)
            lit = lit || source->slot[i] != 0;
        if (!lit)
            continue;
        any = true;
        screen_put(screen, "  %3u:", first + 1);
        for (unsigned i = first; i < end; i++)
            screen_put(screen, " %3u", source->slot[i]);
        screen_end_line(screen);
    }
    if (!any) {
        screen_put(screen, "  all %u slots are 0", (unsigned)source->slot_count);
        screen_end_line(screen);
    }
}

/* "1-4, 7": universes that follow each other are drawn together. */
static void put_ranges(struct screen *screen, mtm_discovered found)
{
    for (size_t i = 0; i < found.universe_count;) {
        size_t last = i;
        while (last + 1 < found.universe_count &&
               found.universe[last + 1] == found.universe[last] + 1)
            last++;
        if (last > i)
            screen_put(screen, "%s%u-%u", i > 0 ? ", " : "", (unsigned)found.universe[i],
                       (unsigned)found.universe[last]);
        else
            screen_put(screen, "%s%u", i > 0 ? ", " : "", (unsigned)found.universe[i]);
        i = last + 1;
    }
}

static void put_found(struct screen *screen, const struct watch *watch)
{
    size_t count = mtm_receiver_discovered_count(watch->receiver);

    if (count == 0 && mtm_receiver_universe_count(watch->receiver) > 0)
        return;
    if (count > 0)
        screen_put(screen, "sources that tell what they send");
    else
        screen_put(screen, "no source has told what it sends (each does so every 10 s)");
    screen_end_line(screen);
    for (size_t i = 0; i < count; i++) {
        mtm_discovered found = mtm_receiver_discovered(watch->receiver, i);
        screen_put(screen, "  ");
        screen_cell(screen, found.name[0] != '\0' ? found.name : "unnamed", NAME_WIDTH);
        screen_put(screen, "  universes ");
        put_ranges(screen, found);
        screen_end_line(screen);
    }
}

static void put_title(struct screen *screen, const struct watch *watch)
{
    mtm_receiver_counts counts = mtm_receiver_count(watch->receiver);

    screen_put(screen, "%s%s%.0f s", watch->rig != NULL ? mtm_rig_name(watch->rig) : "",
               watch->rig != NULL ? "  " : "", watch->seconds);
    if (counts.malformed > 0)
        screen_put(screen, "  %llu packets could not be read",
                   (unsigned long long)counts.malformed);
    if (screen->live)
        screen_put(screen, "  (Ctrl-C ends)");
    screen_end_line(screen);
}

mtm_result watch_write_table(const struct watch *watch, struct screen *screen, bool first,
                             mtm_error *error)
{
    size_t universes = mtm_receiver_universe_count(watch->receiver);

    (void)error;
    screen_begin(screen);
    if (!first && !screen->live)
        screen_end_line(screen);
    put_title(screen, watch);
    for (size_t u = 0; u < universes; u++) {
        const mtm_received_source *winner = watch_winner(mtm_receiver_universe(watch->receiver, u));
        put_universe(screen, watch, u);
        if (watch->rig != NULL)
            put_units(screen, watch, u);
        else if (winner != NULL)
            put_slots(screen, winner);
    }
    put_found(screen, watch);
    screen_end(screen);
    return MTM_OK;
}
