/* SPDX-License-Identifier: MIT */
/* File formats: readings, calibrations, and the matrix between two meters. */
#include "cli/out/file_formats.h"

#include <metamer/readings.h>

#define CODE_RANGE "0 to 255, 65535 or 16777215, by the bits of the mode"

static const struct file_key readings_keys[] = {
    FILE_KEY_FORMAT("readings/1"),
    {"rig", "text", "none", "the name of the rig; nothing reads it", NULL, "\"atrium\""},
    {"meter", "a meter", "what --meter-xy and --meter-output state", "the meter and its doubt",
     NULL, "{ \"name\": \"hall meter\", \"xy\": 0.002 }"},
    {"assumed", "object of numbers by name", "the usual values",
     "what is assumed of what no reading tells; the names stand below", NULL,
     "{ \"drift\": 0.001 }"},
    {"readings", "list of at most " FILE_LIMIT(MTM_READINGS_MAX) " readings", NULL, "the readings",
     NULL, "[{ \"emitter\": \"dark\", \"x\": 0.44, \"y\": 0.4, \"lux\": 1.8 }]"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key meter_keys[] = {
    {"name", "text of at most 79 bytes", "none", "the name of the meter", NULL, "\"hall meter\""},
    {"xy", "number, 0 to 0.1", "what --meter-xy states",
     "expanded uncertainty (k = 2) of x and y, from its certificate", NULL, "0.002"},
    {"output", "number, 0 to 1", "what --meter-output states",
     "relative expanded uncertainty (k = 2) of Y", NULL, "0.04"},
    {"repeat_xy", "number, 0 to 0.1", "a share of xy, see repeat below",
     "standard deviation of x and y when a reading is repeated", NULL, "0.0005"},
    {"repeat_output", "number, 0 to 1", "a share of output, see repeat below",
     "relative standard deviation of Y when it is repeated", NULL, "0.01"},
    {"certificate", "text of at most 79 bytes", "none",
     "its certificate of calibration: number, of whom, when", NULL, "\"17-204, March\""},
    {0},
};

static const struct file_key reading_keys[] = {
    {"unit", "name of a unit", "none, with \"dark\" alone", "the unit that was lit", NULL,
     "\"apron-wash\""},
    {"emitter", "name of an emitter, \"all\" or \"dark\"", "codes",
     "what was lit at full; \"dark\" is nothing, so the light of the room", NULL, "\"red\""},
    {"code", "whole number, " CODE_RANGE, "full", "with emitter: the code it was lit at", NULL,
     "128"},
    {"codes", "object of codes by emitter (and \"dimmer\"), or list in the fixture's order",
     "emitter", "the codes that were sent, each " CODE_RANGE, NULL,
     "{ \"red\": 255, \"lime\": 80 }"},
    {"x", "number, 0 to 1.005 - y", "another form", "CIE 1931 chromaticity; goes with y", NULL,
     "0.6902"},
    {"y", "number, above 0 to 1.005 - x", "another form", "CIE 1931 chromaticity", NULL, "0.3026"},
    {"u'", "number, within the same x and y", "another form", "CIE 1976 chromaticity; goes with v'",
     NULL, "0.2603"},
    {"v'", "number, within the same x and y", "another form", "CIE 1976 chromaticity", NULL,
     "0.5341"},
    {"cct_k", "number, K, 1000 to 25000", "another form", "colour temperature; goes with duv", NULL,
     "2700"},
    {"duv", "number, -0.05 to 0.05", "another form", "distance from the Planckian locus", NULL,
     "-0.001"},
    {"X", "number, 0 to 1e9", "another form", "tristimulus value; goes with Y and Z", NULL, "38.2"},
    {"Y", "number, 0 to 1e9", "lux or cd/m2", "light, in whatever the meter counts", NULL, "35.7"},
    {"Z", "number, 0 to 1e9", "another form", "tristimulus value", NULL, "12.4"},
    {"lux", "number, lx, 0 to 1e9", "Y or cd/m2", "illuminance", NULL, "35.7"},
    {"cd/m2", "number, cd/m2, 0 to 1e9", "Y or lux", "luminance", NULL, "120"},
    {"spectrum", "a spectrum", "none", "what a spectral meter read", NULL,
     "{ \"first_nm\": 400, \"step_nm\": 50, \"values\": [0.1, 0.6, 1, 0.9, 0.8, 0.5, 0.1] }"},
    {"keep", "true or false", "false",
     "somebody vouches for the reading: it is never left out, whatever it looks like", NULL,
     "true"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key spectrum_keys[] = {
    {"first_nm", "number, nm, 200 to 1000", NULL, "wavelength of the first value", NULL, "400"},
    {"step_nm", "number, nm, 0.1 to 50", NULL, "from one value to the next", NULL, "50"},
    {"values", "list of 2 to 10000 numbers, -1e12 to 1e12", NULL, "spectral values, in any scale",
     NULL, "[0.1, 0.6, 1, 0.9, 0.8, 0.5, 0.1]"},
    {0},
};

const struct file_object file_readings_objects[] = {
    {"The file", "", readings_keys},
    {"A meter", "", meter_keys},
    {"A reading",
     "What was sent (emitter, perhaps with code; or codes), one form of colour (x with y, u' with "
     "v', cct_k with duv, X with Y and Z, or spectrum), and the light (Y, lux or cd/m2). A reading "
     "that makes no sense is named and left out; the rest is kept.",
     reading_keys},
    {"A spectrum", "", spectrum_keys},
    {0},
};

static const struct file_key calibration_keys[] = {
    FILE_KEY_FORMAT("calibration/1"),
    {"rig", "text", "none", "the name of the rig; nothing reads it", NULL, "\"community hall\""},
    {"trimmed_to", "an aim", "not trimmed yet",
     "what the units were trimmed to that do not state their own", NULL,
     "{ \"x\": 0.4053, \"y\": 0.3907, \"goal\": \"light\", \"output_lm\": 5751.3 }"},
    {"units", "list of units", NULL, "the units that were read", NULL,
     "[{ \"unit\": \"hall-left\", \"fixture\": \"tunable white\", \"fingerprint\": "
     "\"79604345e505c0a5\", \"emitters\": [{ \"name\": \"warm\", \"xyz\": [4341.9, 3887.6, 1230.1] "
     "}, { \"name\": \"cool\", \"xyz\": [4322.7, 4514.3, 4886.1] }] }]"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key aim_keys[] = {
    {"x", "number, 0 to 1", NULL, "CIE 1931 chromaticity of the target", NULL, "0.4369"},
    {"y", "number, 0 to 1", NULL, "CIE 1931 chromaticity of the target", NULL, "0.4041"},
    {"goal", "text", NULL, "the goal of the common mix, by its name", NULL, "\"light\""},
    {"asked_lm", "number, lm, 0 to 1e9", "none", "the output that was asked for", NULL, "600"},
    {"asked_share", "number, 0 to 1", "none", "the same as a share of the most", NULL, "0.8"},
    {"output_lm", "number, lm, 0 to 1e9", NULL, "the common output that was found", NULL, "594.2"},
    {0},
};

static const struct file_key calibrated_unit_keys[] = {
    {"unit", "name of a unit of the rig", NULL, "the unit", NULL, "\"hall-left\""},
    {"fixture", "text", NULL, "the name of its fixture when it was read", NULL,
     "\"tunable white\""},
    {"fingerprint", "16 hexadecimal digits", NULL,
     "of that fixture's emitters; a calibration of another fixture is refused", NULL,
     "\"79604345e505c0a5\""},
    {"scale", "number, 0 to 1e9", "0, not known", "what the meter reads for one lumen", NULL,
     "0.008"},
    {"sharing", "an object", "light adds", "how emitters lit together give less than their sum",
     NULL, "{ \"droop\": 0.04 }"},
    {"emitters", "list in the fixture's order", NULL, "what each emitter really gives", NULL,
     "[{ \"name\": \"warm\", \"xyz\": [4341.9, 3887.6, 1230.1] }, { \"name\": \"cool\", \"xyz\": "
     "[4322.7, 4514.3, 4886.1] }]"},
    {"trim", "list of levels, 0 to 1, in the fixture's order", "not trimmed",
     "level of each emitter on the common white", NULL, "[1, 0.41]"},
    {"trim_dimmer", "number, 0 to 1", "none", "code of the dimmer on it, as a share", NULL, "0.9"},
    {"trimmed_to", "an aim", "that of the file",
     "what it was trimmed to, where not all units were to agree", NULL,
     "{ \"x\": 0.4053, \"y\": 0.3907, \"goal\": \"light\", \"output_lm\": 4220.5 }"},
    {"read", "list of settings", "none", "the settings that were read; doubt rests on them", NULL,
     "[{ \"codes\": [1, 0], \"dimmer\": 1, \"repeats\": 2, \"round\": 1 }]"},
    {0},
};

static const struct file_key calibrated_emitter_keys[] = {
    {"name", "text", NULL, "the name of the emitter, as in the fixture", NULL, "\"warm\""},
    {"xyz", "list of three numbers, lm, 0 to 1e9", NULL, "X, Y, Z alone at full, Y in lumens", NULL,
     "[4341.9, 3887.6, 1230.1]"},
    {"drift", "list of two numbers, -0.5 to 0.5", "[0, 0]",
     "how far u', v' move from full level to the lowest", NULL, "[0.001, -0.002]"},
    {"droop", "number, -0.9 to 0.9", "0",
     "share of its light that is lost with all others at full, beyond sharing", NULL, "0.02"},
    {"measured", "true or false", "false", "a reading of this emitter alone exists", NULL, "true"},
    {"curve", "list of at least 2 pairs [code, level], from [0, 0] to [1, 1]", "the fixture's",
     "measured curve", NULL, "[[0, 0], [0.5, 0.21], [1, 1]]"},
    {"learned", "true or false", "false", "the curve was learnt from readings", NULL, "true"},
    {"spectrum", "list of pairs [nm, value]", "the fixture's", "measured spectrum", NULL,
     "[[400, 0.1], [450, 0.6], [600, 1], [700, 0.2]]"},
    {0},
};

static const struct file_key sharing_keys[] = {
    {"droop", "number, 0 to 0.9", "another form",
     "share of the light that is lost with all at full", NULL, "0.04"},
    {"limit", "number, 0.1 to 1", "another form", "share of the full load that the unit holds",
     NULL, "0.8"},
    {0},
};

static const struct file_key read_keys[] = {
    {"codes", "list of numbers, 0 to 1, in the fixture's order", NULL, "codes as shares of full",
     NULL, "[1, 0]"},
    {"dimmer", "number, 0 to 1", NULL, "code of the dimmer as a share of full", NULL, "0.8"},
    {"repeats", "number, 1 to 1e6", NULL, "how often it was read", NULL, "2"},
    {"round", "number, 1 to 1e6", NULL, "the round of readings; rounds do not fall", NULL, "1"},
    {0},
};

const struct file_object file_calibration_objects[] = {
    {"The file", "", calibration_keys},
    {"An aim", "", aim_keys},
    {"A unit", "", calibrated_unit_keys},
    {"An emitter of a unit", "", calibrated_emitter_keys},
    {"Sharing", "One of the two keys.", sharing_keys},
    {"A setting that was read", "", read_keys},
    {0},
};

static const struct file_key match_keys[] = {
    FILE_KEY_FORMAT("meter/1"),
    {"ours", "text of at most 79 bytes", "none", "the name of the meter that is corrected", NULL,
     "\"hall meter\""},
    {"reference", "text of at most 79 bytes", "none", "the name of the meter it is corrected to",
     NULL, "\"house meter\""},
    {"matrix", "list of 3 rows of 3 numbers, -1e6 to 1e6", NULL,
     "X, Y, Z of our meter to those of the reference", NULL,
     "[[1.02, 0, 0], [0, 0.99, 0], [0, 0, 1.01]]"},
    {"xy", "number, 0 to 0.1", "0, not stated",
     "expanded uncertainty (k = 2) of x and y of the reference", NULL, "0.001"},
    {"output", "number, 0 to 1", "0, not stated",
     "relative expanded uncertainty (k = 2) of Y of the reference", NULL, "0.03"},
    {0},
};

const struct file_object file_meter_objects[] = {
    {"The file", "", match_keys},
    {0},
};
