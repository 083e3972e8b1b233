/* SPDX-License-Identifier: MIT */
/* Names: all that can be named in files and options, as a program would offer it in its menus.
 * Build: cc names.c $(pkg-config --cflags --libs metamer)
 * Run: ./a.out */
#include <metamer/assumed.h>
#include <metamer/cue_text.h>
#include <metamer/curve.h>
#include <metamer/frames.h>
#include <metamer/illuminant.h>
#include <metamer/path.h>
#include <metamer/rgb.h>
#include <metamer/solve.h>
#include <metamer/spectral.h>

#include <stdio.h>

static void say(const char *name, const char *description)
{
    printf("  %-24s %s\n", name, description);
}

int main(void)
{
    printf("%zu goals\n", mtm_goal_count());
    for (size_t i = 0; i < mtm_goal_count(); i++)
        say(mtm_goal_at(i)->name, mtm_goal_at(i)->description);
    printf("%zu measures of rendering\n", mtm_index_count());
    for (size_t i = 0; i < mtm_index_count(); i++)
        say(mtm_index_at(i)->name, mtm_index_at(i)->description);
    printf("%zu paths of a colour\n", mtm_path_type_count());
    for (size_t i = 0; i < mtm_path_type_count(); i++)
        say(mtm_path_type_at(i)->name, mtm_path_type_at(i)->description);
    printf("%zu shapes of a fade\n", mtm_shape_type_count());
    for (size_t i = 0; i < mtm_shape_type_count(); i++)
        say(mtm_shape_type_at(i)->name, mtm_shape_type_at(i)->description);
    printf("%zu curves\n", mtm_curve_type_count());
    for (size_t i = 0; i < mtm_curve_type_count(); i++)
        say(mtm_curve_type_at(i)->name, mtm_curve_type_at(i)->description);
    printf("%zu RGB spaces\n", mtm_rgb_space_count());
    for (size_t i = 0; i < mtm_rgb_space_count(); i++)
        say(mtm_rgb_space_at(i)->name, mtm_rgb_space_at(i)->description);
    printf("%zu illuminants\n", mtm_illuminant_count());
    for (size_t i = 0; i < mtm_illuminant_count(); i++)
        say(mtm_illuminant_at(i)->name, mtm_illuminant_at(i)->description);
    printf("%zu formats of frames\n", mtm_frame_format_count());
    for (size_t i = 0; i < mtm_frame_format_count(); i++)
        say(mtm_frame_format_at(i)->name, mtm_frame_format_at(i)->description);
    printf("%zu remarks on cue text\n", mtm_cue_code_count());
    for (size_t i = 0; i < mtm_cue_code_count(); i++)
        say(mtm_cue_code_at(i)->name, mtm_cue_code_at(i)->meaning);
    printf("%d assumptions on units\n", MTM_ASSUMED_COUNT);
    for (size_t i = 0; i < MTM_ASSUMED_COUNT; i++)
        say(mtm_assumed_row_at((mtm_assumed_what)i)->name,
            mtm_assumed_row_at((mtm_assumed_what)i)->meaning);
    return 0;
}
