/* SPDX-License-Identifier: MIT */
/* File formats: shows. */
#include "cli/out/file_formats.h"

#include <metamer/codes.h>
#include <metamer/palette.h>
#include <metamer/path.h>
#include <metamer/rgb.h>
#include <metamer/show.h>
#include <metamer/solve.h>

static const char *path_at(size_t index)
{
    return index < mtm_path_type_count() ? mtm_path_type_at(index)->name : NULL;
}

static const char *shape_at(size_t index)
{
    return index < mtm_shape_type_count() ? mtm_shape_type_at(index)->name : NULL;
}

static const char *goal_at(size_t index)
{
    return index < mtm_goal_count() ? mtm_goal_at(index)->name : NULL;
}

static const char *dimming_at(size_t index)
{
    return index < mtm_dimming_count() ? mtm_dimming_at(index)->name : NULL;
}

static const char *space_at(size_t index)
{
    return index < mtm_rgb_space_count() ? mtm_rgb_space_at(index)->name : NULL;
}

#define PATH_MEANING "the way that a colour takes in a fade"
#define CURVE_MEANING "how far a fade has come, by its time"
#define GOAL_MEANING "what the freedom of more than three emitters is spent on"
#define DIMMING_MEANING "which codes carry the output of a unit that has a dimmer beside emitters"
#define DARK_MEANING                                                                               \
    "units that come no nearer than this to their colour, in u', v', stay dark; with 0 none does"

static const struct file_key show_keys[] = {
    FILE_KEY_FORMAT("show/1"),
    {"name", "text", NULL, "the name of the show", NULL, "\"an evening\""},
    {"rig", "name of a rig file", NULL, "the rig it is for", NULL, "\"hall.json\""},
    {"calibration", "name of a calibration file", "the fixture files' values",
     "what was measured of the units", NULL, "\"hall-calibration.json\""},
    {"observer_deg", "2 or 10", "2", "CIE standard observer, in degrees", NULL, "10"},
    {"refresh_hz", "number, Hz, 1 to 1000", "40", "frames a second", NULL, "44"},
    {"colours", "object of colours by name, name of a palette file, or list of these", "none",
     "colours that cues name; none may be named twice", NULL, "{ \"warm\": { \"cct_k\": 2700 } }"},
    {"groups", "object of lists of units by name", "\"all\" and those of the rig",
     "units that cues name together, as in a rig file; a group has a name that no group and no "
     "unit "
     "of the rig has",
     NULL, "{ \"ends\": [\"hall-left\", \"hall-right\"] }"},
    {"path", "one of the names", "\"light\"", PATH_MEANING, path_at, "\"white\""},
    {"curve", "one of the names", "\"lightness\"", CURVE_MEANING, shape_at, "\"s\""},
    {"goal", "one of the names", "\"light\"", GOAL_MEANING, goal_at, "\"rendering\""},
    {"leave_dark_uv", "number, 0 to 1", "0", DARK_MEANING, NULL, "0.05"},
    {"dimming", "one of the names", "\"finest\"", DIMMING_MEANING, dimming_at, "\"dimmer\""},
    {"cues", "list of 1 to " FILE_LIMIT(MTM_SHOW_CUES_MAX) " cues", NULL,
     "the cues, in the order of their numbers", NULL,
     "[{ \"number\": 1, \"up_s\": 3, \"set\": [{ \"group\": \"all\", \"output\": 0 }] }]"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key colour_keys[] = {
    {"xy", "list of two numbers, 0 to 1", "another form", "CIE 1931 x, y", NULL,
     "[0.4369, 0.4041]"},
    {"uv", "list of two numbers, 0 to 1", "another form", "CIE 1976 u', v'", NULL,
     "[0.25, 0.5208]"},
    {"xyz", "list of three numbers, 0 to 1e9", "another form",
     "tristimulus values; only their chromaticity counts", NULL, "[95.04, 100, 108.9]"},
    {"cct_k", "number, K, 1000 to 25000", "another form", "correlated colour temperature", NULL,
     "3200"},
    {"duv", "number, -0.05 to 0.05", "0",
     "with cct_k: distance from the Planckian locus, positive towards green", NULL, "-0.002"},
    {"daylight_k", "number, K, 4000 to 25000", "another form", "CIE daylight of a temperature",
     NULL, "5600"},
    {"lamp", "text as in \"3200@30%\"", "another form",
     "white of a tungsten lamp dimmed to a share of its light; its temperature goes with the light "
     "to the power of 0.1235",
     NULL, "\"3200@30%\""},
    {"rgb", "list of three numbers, 0 to 255", "another form",
     "RGB value, of 255 if one is above 1, else of 1; only its chromaticity counts", NULL,
     "[255, 140, 60]"},
    {"space", "one of the names", "\"srgb\"", "with rgb: the space of the value", space_at,
     "\"rec2020\""},
    {"spectrum", "name of a spectrum file", "another form", "the colour of a spectrum", NULL,
     "\"warm-white.csv\""},
    {"filter", "name of a filter, or a file", "another form", "the colour of a filter over a light",
     NULL, "\"half CTB\""},
    {"over", "a light: \"3200\", \"3200@30%\", \"daylight:5600\", \"D65\" or a spectrum file",
     "needed with filter", "with filter: the light before it", NULL, "\"3200\""},
    {"like", "name of a unit", "another form", "the colour that a unit shows at stated values",
     NULL, "\"hall-left\""},
    {"codes", "list of whole numbers, 0 to 255, 65535 or 16777215, by the bits of the mode",
     "slots or percent", "with like: one code a channel, in the order of the unit's slots", NULL,
     "[65535, 20000]"},
    {"slots", "list of whole numbers, 0 to 255", "codes or percent",
     "with like: the value of every slot of the unit", NULL, "[255, 255, 78, 32]"},
    {"percent", "list of numbers, 0 to 100", "codes or slots",
     "with like: per cent of each channel's codes", NULL, "[100, 30]"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key cue_keys[] = {
    {"number", "number, 0.1 to 9999.9, in tenths", NULL, "number of the cue; cues rise", NULL,
     "1.5"},
    {"text", "text", "none", "what the cue is called", NULL, "\"dusk\""},
    {"up_s", "number, s, 0 to 86400", NULL, "time of what rises, and of colours", NULL, "3"},
    {"down_s", "number, s, 0 to 86400", "up_s", "time of what falls", NULL, "5"},
    {"delay_s", "number, s, 0 to 86400", "0", "time before the fade begins", NULL, "1"},
    {"follow_s", "number, s, 0 to 86400", "the next cue waits",
     "time from the start of this cue to that of the next", NULL, "10"},
    {"path", "one of the names", "the show's", PATH_MEANING, path_at, "\"white\""},
    {"curve", "one of the names", "the show's", CURVE_MEANING, shape_at, "\"s\""},
    {"goal", "one of the names", "the show's", GOAL_MEANING, goal_at, "\"rendering\""},
    {"leave_dark_uv", "number, 0 to 1", "the show's", DARK_MEANING, NULL, "0.05"},
    {"dimming", "one of the names", "the show's", DIMMING_MEANING, dimming_at, "\"dimmer\""},
    {"set", "list of at least one setting", NULL, "what the cue changes; all else stays", NULL,
     "[{ \"group\": \"all\", \"colour\": \"warm\", \"output\": 0.8 }]"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key setting_keys[] = {
    {"group", "name of a group, or a choice of units as in --units", "unit or units",
     "the units that are set", NULL, "\"ends\""},
    {"unit", "name of a unit", "group or units", "the unit that is set", NULL, "\"hall-left\""},
    {"units", "list of units, groups and patterns, or a choice as in --units", "group or unit",
     "the units that are set", NULL, "[\"ends\", \"!hall-left\"]"},
    {"colour", "name of a colour, or a colour", "the colour stays", "the colour wanted", NULL,
     "{ \"cct_k\": 3200 }"},
    {"output", "number, 0 to 1, or \"60%\", \"1200lm\", \"500lx\", \"max\"",
     "full with a colour; else it stays",
     "light of each unit; a share is of the most that its mix gives at that colour", NULL,
     "\"60%\""},
    {"output_lm", "number, lm, 0 to 1e9", "output", "light of each unit in lumens", NULL, "1200"},
    {"path", "one of the names", "the cue's", PATH_MEANING, path_at, "\"white\""},
    {"curve", "one of the names", "the cue's", CURVE_MEANING, shape_at, "\"s\""},
    {"goal", "one of the names", "the cue's with a colour; else it stays", GOAL_MEANING, goal_at,
     "\"rendering\""},
    {"leave_dark_uv", "number, 0 to 1", "the cue's with a colour; else it stays", DARK_MEANING,
     NULL, "0.05"},
    {"dimming", "one of the names", "the cue's with a colour; else it stays", DIMMING_MEANING,
     dimming_at, "\"dimmer\""},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key palette_keys[] = {
    FILE_KEY_FORMAT("colours/1"),
    {"name", "text", NULL, "what the palette is called", NULL, "\"an evening's colours\""},
    {"colours", "object of 1 to " FILE_LIMIT(MTM_PALETTE_COLOURS_MAX) " colours by name", NULL,
     "the colours, in any of the forms of a show; files that they name are looked for beside this "
     "one first",
     NULL, "{ \"dusk\": { \"rgb\": [255, 140, 60] } }"},
    FILE_KEY_NOTE,
    {0},
};

const struct file_object file_palette_objects[] = {{"The file", "", palette_keys}, {0}};

const struct file_object file_show_objects[] = {
    {"The file", "", show_keys},
    {"A colour",
     "Exactly one form: xy, uv, xyz, cct_k, daylight_k, lamp, rgb, spectrum, filter or like, with "
     "what "
     "goes with it.",
     colour_keys},
    {"A cue", "", cue_keys},
    {"A setting", "Exactly one of group, unit and units; colour, output or both.", setting_keys},
    {0},
};
