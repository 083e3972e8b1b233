/* SPDX-License-Identifier: MIT */
/* File formats: the names that files use (columns, assumptions, paths, shapes, goals, spaces), made
 * from the library's tables, and the topics under which help tells of files. */
#include "cli/out/file_formats.h"

#include <metamer/assumed.h>
#include <metamer/codes.h>
#include <metamer/curve.h>
#include <metamer/path.h>
#include <metamer/readings.h>
#include <metamer/rgb.h>
#include <metamer/solve.h>

#include <stdio.h>
#include <string.h>

static bool assumed_at(size_t index, struct file_name *row)
{
    if (index >= MTM_ASSUMED_COUNT)
        return false;
    const mtm_assumed_row *one = mtm_assumed_row_at(index);

    *row = (struct file_name){.name = one->name, .meaning = one->meaning};
    (void)snprintf(row->value, sizeof row->value, "number, 0 to %.10g (if missing: %.10g)",
                   one->most, one->usual);
    return true;
}

static bool column_at(size_t index, struct file_name *row)
{
    const mtm_reading_column *one = mtm_reading_column_at(index);

    if (one == NULL)
        return false;
    *row = (struct file_name){.name = one->name, .meaning = one->meaning};
    row->more = strcmp(one->name, one->headings) != 0 ? one->headings : NULL;
    return true;
}

/* Rows of a table whose rows have a name and a description. */
#define NAMES_OF(function, info, at)                                                               \
    static bool function(size_t index, struct file_name *row)                                      \
    {                                                                                              \
        const info *one = at(index);                                                               \
                                                                                                   \
        if (one != NULL)                                                                           \
            *row = (struct file_name){.name = one->name, .meaning = one->description};             \
        return one != NULL;                                                                        \
    }

NAMES_OF(curve_name_at, mtm_curve_type, mtm_curve_type_at)
NAMES_OF(path_name_at, mtm_path_info, mtm_path_type_at)
NAMES_OF(shape_name_at, mtm_shape_info, mtm_shape_type_at)
NAMES_OF(goal_name_at, mtm_goal_info, mtm_goal_at)
NAMES_OF(dimming_name_at, mtm_dimming_info, mtm_dimming_at)
NAMES_OF(space_name_at, mtm_rgb_space, mtm_rgb_space_at)

static bool beyond_at(size_t index, struct file_name *row)
{
    static const struct file_name rows[] = {
        {.name = "nearest", .meaning = "the nearest colour in CIE 1976 u', v'"},
        {.name = "hue",
         .meaning = "straight toward the equal-energy white (x = y = 1/3) until it can be reached: "
                    "that keeps the dominant wavelength (CIE 15) and lowers the purity. Straight "
                    "in x, y is straight in u', v' too; a hue of appearance (CAM16, Oklab) is not "
                    "kept exactly"},
        {.name = "cct",
         .meaning = "the colour of the wanted correlated colour temperature that is nearest to the "
                    "target (two emitters: the only one)"},
    };

    if (index >= sizeof rows / sizeof rows[0])
        return false;
    *row = rows[index];
    return true;
}

static bool white_at(size_t index, struct file_name *row)
{
    static const struct file_name rows[] = {
        {.name = "cct_k",
         .meaning = "the Planckian locus at every temperature, shifted by duv in CIE 1960 u, v, at "
                    "right angles to the locus"},
        {.name = "daylight_k", .meaning = "the CIE daylight locus (CIE 15)"},
        {.name = "rgb", .meaning = "the white that the standard of the space states"},
        {.name = "--beyond hue", .meaning = "the equal-energy white"},
        {.name = "paths cam16, oklab",
         .meaning = "D65: a straight path between it and any colour keeps that colour's hue"},
    };

    if (index >= sizeof rows / sizeof rows[0])
        return false;
    *row = rows[index];
    return true;
}

const struct file_names file_names[] = {
    {"fixture", "Curves", "Light as a share of full, by the code.", curve_name_at},
    {"show", "Paths",
     "The way that a colour takes in a fade (\"path\"). Its ends are exact on each of them.",
     path_name_at},
    {"show", "Shapes",
     "How far a fade has come, by its time (\"curve\"); the first holds where none is named.",
     shape_name_at},
    {"show", "Goals", "What the freedom of more than three emitters is spent on (\"goal\").",
     goal_name_at},
    {"show", "Dimmings",
     "Which codes carry the output of a unit that has a dimmer beside its emitters (\"dimming\"). "
     "By \"finest\" a fade has an 8-bit dimmer at full before emitters of 16 bits, moves it "
     "together with emitters of 8 bits, which make up for its steps, and lets a finer one go with "
     "the light.",
     dimming_name_at},
    {"readings", "Columns of a table", "By name, with the headings that name them too.", column_at},
    {"readings", "What is assumed",
     "The names of \"assumed\". Each is an assumption without a source, for the user to replace by "
     "what is known; all but the shares are standard uncertainties (k = 1).",
     assumed_at},
    {"colours", "RGB spaces", "The names of \"space\".", space_name_at},
    {"colours", "Out of reach",
     "Where a match goes if the emitters cannot make the colour (--beyond of \"metamer match\"). "
     "The answer tells the distance; it is never an error.",
     beyond_at},
    {"colours", "Which white", "", white_at},
    {0},
};

bool file_format_is(const struct file_format *format, const char *topic)
{
    size_t length = strlen(topic);

    return strncmp(format->name, topic, length) == 0 && format->name[length] == '/';
}

void file_example(const struct file_key *key, char *text, size_t room)
{
    bool named = key->name[0] != '('; /* else the value is all that there is */

    (void)snprintf(text, room, named ? "\"%s\": %s" : "%s%s", named ? key->name : "", key->example);
}

const char *file_topic_at(size_t index)
{
    static const char *const topics[] = {"fixture",     "rig",    "show",  "colours", "readings",
                                         "calibration", "filter", "meter", NULL};

    return index < sizeof topics / sizeof topics[0] ? topics[index] : NULL;
}
