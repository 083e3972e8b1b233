/* SPDX-License-Identifier: MIT */
/* Contents of a show: its colours, its groups, which units can be judged by their spectra, and how
 * often a line can carry each universe.
 * Build: cc contents.c $(pkg-config --cflags --libs metamer)
 * Run: ./a.out evening.json */
#include <metamer/fixture.h>
#include <metamer/frames.h>
#include <metamer/rig.h>
#include <metamer/show.h>

#include <stdio.h>

static void list_colours(const mtm_show *show)
{
    for (size_t i = 0; i < mtm_show_colour_count(show); i++) {
        const mtm_target *target = mtm_show_colour(show, i);
        printf("colour %-12s %s (x %.4f, y %.4f)\n", mtm_show_colour_name(show, i),
               target->description, target->xy.x, target->xy.y);
    }
}

static void list_groups(const mtm_show *show)
{
    const mtm_rig *rig = mtm_show_rig(show);

    for (size_t i = 0; i < mtm_show_group_count(show); i++) {
        size_t count = 0;
        const size_t *unit = mtm_show_group(show, i, &count);
        printf("group %s:", mtm_show_group_name(show, i));
        for (size_t k = 0; k < count; k++)
            printf(" %s", mtm_rig_unit(rig, unit[k])->name);
        printf("\n");
    }
}

static void list_units(const mtm_rig *rig)
{
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, i);
        size_t last = (size_t)unit->address + unit->mode->slot_count - 1;
        if (unit->address == 0)
            continue;
        printf("%s: %s; a packet up to its last slot takes %.0f µs, %.1f a second\n", unit->name,
               mtm_fixture_has_spectra(unit->fixture) ? "spectra" : "x, y only",
               mtm_e111_packet_us(last), mtm_e111_max_refresh_hz(last));
    }
}

int main(int argc, char **argv)
{
    mtm_show *show = NULL;
    mtm_error error;

    if (argc != 2) {
        (void)fprintf(stderr, "usage: contents SHOW.json\n");
        return 2;
    }
    if (mtm_show_load(argv[1], &show, &error) != MTM_OK) {
        (void)fprintf(stderr, "%s\n", error.text);
        return 1;
    }
    list_colours(show);
    list_groups(show);
    list_units(mtm_show_rig(show));
    mtm_show_free(show);
    return 0;
}
