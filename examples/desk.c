/* SPDX-License-Identifier: MIT */
/* Desk: cue text that a program writes and reads itself, 16-bit values in it, and how far a chain
 * of cues is from the fade that it stands for.
 * Build: cc desk.c $(pkg-config --cflags --libs metamer)
 * Run: ./a.out evening.json */
#include <metamer/cue_text.h>
#include <metamer/fade.h>
#include <metamer/linked.h>
#include <metamer/show.h>

#include <stdio.h>
#include <stdlib.h>

static mtm_error error;

/* Channels 1 and 2 are one 16-bit value, on slots 1 and 2. */
static mtm_result write_text(char **text, size_t *length)
{
    mtm_cue_level level[2];
    mtm_cue_part part = {.text = "doors", .level = level, .level_count = 2};
    const mtm_cue_entry cue = {.number_tenths = 10, .part = &part, .part_count = 1};
    const mtm_cue_write_options options = {.note = "written by a program"};
    mtm_cue_sheet *sheet = NULL;
    mtm_result result = mtm_cue_sheet_create(&sheet, &error);

    mtm_cue_level_pair(1, 40000, level);
    if (result == MTM_OK)
        result = mtm_cue_sheet_set_defaults(sheet, 3, 5, &error);
    if (result == MTM_OK)
        result = mtm_cue_sheet_pair(sheet, 1, &error);
    for (uint16_t i = 1; i <= 2 && result == MTM_OK; i++)
        result = mtm_cue_sheet_patch(sheet, (mtm_cue_patch){i, i, 255}, &error);
    if (result == MTM_OK)
        result = mtm_cue_sheet_add(sheet, &cue, &error);
    if (result == MTM_OK)
        result = mtm_cue_text_write(sheet, &options, text, length, NULL, &error);
    mtm_cue_sheet_free(sheet);
    return result;
}

static mtm_result read_text(const char *text, size_t length)
{
    static uint8_t level[MTM_CUE_CHANNEL_MAX + 1];
    uint8_t slot[512] = {0};
    mtm_cue_sheet *sheet = NULL;
    mtm_result result = mtm_cue_text_read(text, length, NULL, &sheet, &error);

    if (result == MTM_OK)
        result = mtm_cue_sheet_levels(sheet, 0, MTM_CUE_UNCHANGED, level, &error);
    if (result == MTM_OK) {
        mtm_cue_sheet_slots(sheet, level, 1, slot);
        printf("value %u on slots %d and %d\n", (unsigned)mtm_cue_pair_value(level, 1), slot[0],
               slot[1]);
    }
    mtm_cue_sheet_free(sheet);
    return result;
}

/* The second cue of a show as a chain. */
static mtm_result chain(const char *path)
{
    mtm_show *show = NULL;
    mtm_fader *fader = NULL;
    mtm_linked *linked = NULL;
    mtm_result result = mtm_show_load(path, &show, &error);

    if (result == MTM_OK)
        result = mtm_fader_create(show, NULL, &fader, &error);
    if (result == MTM_OK)
        result = mtm_linked_create(fader, 1, 5, NULL, NULL, &linked, &error);
    if (result == MTM_OK)
        printf("%zu cues, within %.1f CIEDE2000 of the fade\n", mtm_linked_count(linked),
               mtm_linked_error(linked));
    mtm_linked_free(linked);
    mtm_fader_free(fader);
    mtm_show_free(show);
    return result;
}

int main(int argc, char **argv)
{
    char *text = NULL;
    size_t length = 0;

    if (argc != 2) {
        (void)fprintf(stderr, "usage: desk SHOW.json\n");
        return 2;
    }
    mtm_result result = write_text(&text, &length);
    if (result == MTM_OK)
        result = read_text(text, length);
    free(text);
    if (result == MTM_OK)
        result = chain(argv[1]);
    if (result != MTM_OK)
        (void)fprintf(stderr, "%s\n", error.text);
    return result == MTM_OK ? 0 : 1;
}
