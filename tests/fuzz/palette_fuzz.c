/* SPDX-License-Identifier: MIT */
/* Palettes from any bytes. What is read has colours with names of their own and chromaticities; a
 * text that is refused leaves nothing behind and says where it stands. */
#include "input.h"

#include <metamer/palette.h>

static void check_colours(const mtm_palette *palette)
{
    size_t count = mtm_palette_count(palette);

    hold(count > 0 && count <= MTM_PALETTE_COLOURS_MAX);
    for (size_t i = 0; i < count; i++) {
        const char *name = mtm_palette_colour_name(palette, i);
        hold(name[0] != '\0' && mtm_xy_valid(mtm_palette_colour(palette, i)->xy));
        for (size_t k = 0; k < i && k < 20; k++)
            hold(strcmp(name, mtm_palette_colour_name(palette, k)) != 0);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = exact_copy(data, size);
    mtm_palette *palette = NULL;
    mtm_error error = {""};

    if (mtm_palette_parse(text, size, "input", NULL, NULL, MTM_OBSERVER_2, &palette, &error) ==
        MTM_OK)
        check_colours(palette);
    else
        hold(palette == NULL && strncmp(error.text, "input: ", 7) == 0);
    mtm_palette_free(palette);
    free(text);
    return 0;
}
