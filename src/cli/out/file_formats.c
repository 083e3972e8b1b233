/* SPDX-License-Identifier: MIT */
/* File formats: what is and what hangs where (fixtures, rigs, filters), and the list of all. What
 * is done with them stands in file_formats_show.c, what is measured in file_formats_readings.c. */
#include "cli/out/file_formats.h"

#include <metamer/curve.h>
#include <metamer/filter.h>
#include <metamer/fixture.h>
#include <metamer/rig.h>

static const char *curve_at(size_t index)
{
    return index < mtm_curve_type_count() ? mtm_curve_type_at(index)->name : NULL;
}

static const struct file_key fixture_keys[] = {
    FILE_KEY_FORMAT("fixture/1"),
    {"name", "text", NULL, "the name of this kind of light", NULL, "\"five-colour wash\""},
    {"emitters",
     "list of " FILE_LIMIT(MTM_EMITTERS_MIN) " to " FILE_LIMIT(MTM_EMITTERS_MAX) " emitters",
     "none, where each mode mixes by itself", "what can be lit", NULL,
     "[{ \"name\": \"red\", \"peak_nm\": 630, \"fwhm_nm\": 18, \"flux_lm\": 210, \"watts\": 9.5 "
     "}]"},
    {"power_limit_w", "number, W, 0.01 to 1e6", "no limit",
     "electrical power that all emitters together may take", NULL, "40"},
    {"standby_w", "number, W, 0 to 1e6", "0",
     "electrical power that it takes beside its emitters, dark or lit", NULL, "4"},
    {"dimmer_curve", "a curve", "\"linear\"", "what the master dimmer makes of its code", NULL,
     "\"square\""},
    {"limits", "the limits", "none", "what its units keep to, where they state none", NULL,
     "{ \"headroom\": 0.1 }"},
    {"modes", "list of 1 to " FILE_LIMIT(MTM_MODES_MAX) " modes", NULL,
     "the ways in which slots carry the emitters", NULL,
     "[{ \"name\": \"8-bit\", \"slots\": [\"dimmer\", \"red\"] }]"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key limit_keys[] = {
    {"most_level", "object: name of an emitter to a number, 0 to 1", "1 each",
     "most of that emitter, as a share of its light; 0 leaves it dark", NULL, "{ \"red\": 0.8 }"},
    {"lowest_level", "number, 0 to 1", "0",
     "share of its full light, the dimmer counted in, below which no emitter is lit, since it "
     "would "
     "light unevenly: it is dark or at least there",
     NULL, "0.05"},
    {"most_purity", "number, 0.001 to 1", "1",
     "excitation purity (CIE 15) of its colours, at most: more saturated ones are brought in "
     "towards the white, of the same dominant wavelength; beside equal energy 3200 K has 0.47",
     NULL, "0.5"},
    {"purity_white", "list of two numbers: x, y of a colour that light can have", "equal energy",
     "the white of that purity", NULL, "[0.3127, 0.3290]"},
    {"headroom", "number, 0 to 0.9", "0",
     "share of each emitter's most, and of the power limit, that is never used", NULL, "0.1"},
    {"ultraviolet", "true or false", "true",
     "false leaves emitters dark that give half of their power or more below 400 nm; needs their "
     "spectra, or a most_level where they are not known",
     NULL, "false"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key emitter_keys[] = {
    {"name", "text", NULL, "the name that slots, readings and tables use", NULL, "\"red\""},
    {"flux_lm", "number, lm, 0 or 1e-6 to 1e7", NULL, "luminous flux at full level, alone", NULL,
     "210"},
    {"watts", "number, W, 0 to 1e5", NULL, "electrical power at full level, alone", NULL, "9.5"},
    {"spectrum", "name of a spectrum file, or list of pairs [nm, value]", "another form of colour",
     "spectral power in any scale; flux_lm sets the scale", NULL, "\"warm-white.csv\""},
    {"peak_nm", "number, nm, 300 to 900", "another form of colour",
     "wavelength of the peak of an LED line; goes with fwhm_nm", NULL, "630"},
    {"fwhm_nm", "number, nm, 0.5 to 300", "another form of colour",
     "full width of that line at half of its peak", NULL, "18"},
    {"x", "number, 0 to 1 - y", "another form of colour", "CIE 1931 chromaticity; goes with y",
     NULL, "0.41"},
    {"y", "number, 0.001 to 1 - x", "another form of colour", "CIE 1931 chromaticity", NULL,
     "0.545"},
    {"ideal_line", "true or false", "false",
     "the spectrum was drawn from a peak and a width and not measured; goes with spectrum", NULL,
     "true"},
    {"curve", "a curve", "\"linear\"", "light as a share of full, by the code that is sent", NULL,
     "{ \"power\": 2.2 }"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key curve_keys[] = {
    {"power", "number, 0.1 to 10", "another form", "light is the code, as 0 to 1, to this power",
     NULL, "2.2"},
    {"table", "list of 2 to 65536 pairs [code, level], both 0 to 1", "another form",
     "measured points; codes rise, levels do not fall, the last level is 1", NULL,
     "[[0, 0], [0.5, 0.2], [1, 1]]"},
    {0},
};

static const struct file_key curve_names[] = {
    {"(text)", "one of the names", NULL, "a curve by its name", curve_at, "\"square\""},
    {0},
};

static const struct file_key mode_keys[] = {
    {"name", "text", NULL, "the name that a unit of a rig states", NULL, "\"16-bit\""},
    {"slots", "list of 1 to " FILE_LIMIT(MTM_SLOTS_MAX) " slots", NULL,
     "what each slot carries, from the start address on", NULL,
     "[\"dimmer\", \"red\", \"red.fine\", { \"fixed\": 0 }]"},
    {"leave_alone", "object: name of a channel to a list of pairs [first, last] of codes", "none",
     "codes that do something else and are never sent; of emitters and \"dimmer\" from 1 on, and "
     "where they reach the highest code, the one below them is full",
     NULL, "{ \"dimmer\": [[250, 255]] }"},
    {"mixes", "an object", "its slots carry emitters",
     "what the mode makes in which the unit mixes by itself", NULL,
     "{ \"flux_lm\": 4800, \"rgb\": \"srgb\" }"},
    {"dims", "an object", "its slots carry emitters",
     "how the colour goes with the output: of a tungsten lamp, or of a unit that dims to warm",
     NULL, "{ \"flux_lm\": 9200, \"watts\": 600, \"lamp_k\": 3200 }"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key mixes_keys[] = {
    {"flux_lm", "number, lm, 1e-6 to 1e7", NULL,
     "luminous flux at full: of white for rgb and hsi, of any colour for the others", NULL, "4800"},
    {"watts", "number, W, 0.001 to 1e5", "what its emitters may take",
     "the most that the unit takes; loads count it whenever it is lit", NULL, "60"},
    {"temperature",
     "list of 2 to " FILE_LIMIT(MTM_MIXING_POINTS_MAX) " pairs [code, K], K 1000 to 25000",
     "another key",
     "colour temperature by code; codes rise, kelvin rise or fall throughout, "
     "straight between points",
     NULL, "[[0, 2700], [255, 6500]]"},
    {"tint",
     "list of 2 to " FILE_LIMIT(MTM_MIXING_POINTS_MAX) " pairs [code, Duv], Duv -0.05 to 0.05",
     "on the Planckian locus", "Duv by code, in the same way; goes with temperature", NULL,
     "[[0, -0.01], [255, 0.01]]"},
    {"rgb", "name of a space, or an object", "another key",
     "the primaries and the white that red, green and blue make", NULL, "\"srgb\""},
    {"hsi", "name of a space, or an object", "another key",
     "the same for hue, saturation and intensity: the hexagon of red, yellow, green, cyan, blue "
     "and "
     "magenta, and white",
     NULL, "\"srgb\""},
    {"transfer", "a curve, or \"space\" for that of the named space", "\"linear\"",
     "light of each primary by its value; goes with rgb or hsi", NULL, "{ \"power\": 2.2 }"},
    {"x", "pair of numbers, 0 to 1", "another key",
     "CIE 1931 x at code 0 and at the highest; goes with y", NULL, "[0, 0.8]"},
    {"y", "pair of numbers, 0 to 1", "another key", "CIE 1931 y likewise", NULL, "[0, 0.8]"},
    {"gamut", "list of 3 to " FILE_LIMIT(MTM_EMITTERS_MAX) " pairs [x, y]",
     "the gamut of its emitters",
     "corners of what it can make; goes with x. What codes outside say is taken for the nearest "
     "colour within",
     NULL, "[[0.68, 0.31], [0.19, 0.69], [0.15, 0.05]]"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key dims_keys[] = {
    {"flux_lm", "number, lm, 1e-6 to 1e7", NULL, "luminous flux at full", NULL, "9200"},
    {"watts", "number, W, 0.001 to 1e5", "not known: loads ask for it",
     "at full; a lamp takes them by its light to the power of 1.6/3.4, other units count their "
     "most whenever they are lit",
     NULL, "600"},
    {"lamp_k", "number, K, 1500 to 3600", "points",
     "colour temperature of a tungsten lamp at full: light goes with its voltage to the power of "
     "3.4, temperature to the power of 0.42, and at 1000 K and below the colour rests",
     NULL, "3200"},
    {"points", "list of 2 to 64 rows [output, kelvin] or [output, kelvin, Duv]", "lamp_k",
     "the colour by output (1: full, the last row): outputs rise; kelvin, 1000 to 25000, rise or "
     "fall throughout; Duv, -0.05 to 0.05, is 0 if missing. Between rows kelvin go as a power of "
     "the output and Duv straight with its logarithm; below the first row the colour rests",
     NULL, "[[0.01, 1800], [0.2, 2200, -0.001], [1, 3000]]"},
    {"dimmer_gives", "\"light\" or \"voltage\"", "\"light\"",
     "what the dimmer_curve gives; voltage goes with lamp_k", NULL, "\"voltage\""},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key primaries_keys[] = {
    {"red", "pair [x, y]", NULL, "CIE 1931 chromaticity of red alone", NULL, "[0.68, 0.31]"},
    {"green", "pair [x, y]", NULL, "of green alone", NULL, "[0.19, 0.69]"},
    {"blue", "pair [x, y]", NULL, "of blue alone", NULL, "[0.15, 0.05]"},
    {"white", "pair [x, y]", NULL, "of all three at full", NULL, "[0.3127, 0.329]"},
    {0},
};

static const struct file_key slot_keys[] = {
    {"fixed", "whole number, 0 to 255", "another key", "the value that is always sent in this slot",
     NULL, "0"},
    {"default", "whole number, 0 to 255", "another key",
     "the value that is sent, where any other is as good: it is not watched", NULL, "128"},
    {"hold", "whole number, 0 to 255", "another key",
     "the value that must stand for the mode to hold", NULL, "16"},
    {"open", "whole number, 0 to 255", "another key",
     "the value of a shutter while the unit is lit; goes with dark", NULL, "255"},
    {"dark", "whole number, 0 to 255", "no shutter", "the value while the unit is out", NULL, "0"},
    {0},
};

static const struct file_object fixture_objects[] = {
    {"The file", "", fixture_keys},
    {"An emitter",
     "The colour is given in exactly one of three ways: by spectrum, by peak_nm with fwhm_nm, or "
     "by "
     "x with y. From x and y nothing follows that needs a spectrum, and the answers say so.",
     emitter_keys},
    {"A curve, by name", "A curve is text or an object.", curve_names},
    {"A curve, as an object", "Exactly one of the two keys.", curve_keys},
    {"Limits",
     "Where a mode mixes by itself, only headroom and the purity can be kept; where its colour "
     "goes with the output, only headroom.",
     limit_keys},
    {"A mode", "", mode_keys},
    {"mixes, of a mode",
     "The slots of such a mode carry \"dimmer\" and, instead of emitters, temperature and tint; "
     "red, "
     "green and blue; hue, saturation and intensity; or x and y, each with as many bits as it has "
     "slots. One of temperature, rgb, hsi, and x with y says which. What the unit's emitters do "
     "for "
     "a colour, and with it spectrum, rendering and watts, are not known. A fixture of such modes "
     "alone needs no emitters. In fades these units go by light where a path goes by slots.",
     mixes_keys},
    {"dims, of a mode",
     "The slots of such a mode carry \"dimmer\" and no emitters. One of lamp_k and points says how "
     "the colour goes. A lamp is taken as a Planckian radiator (rendering rests on that). The "
     "powers fit lamps near their rated voltage and differ a little from lamp to lamp. Such units "
     "are not trimmed, and share no white in --together. In fades the light goes and the colour "
     "goes with it.",
     dims_keys},
    {"rgb or hsi, of mixes", "Or the name of a space, as text.", primaries_keys},
    {"A slot, as an object",
     "A slot is otherwise text: the name of an emitter or \"dimmer\" (its 8-bit code, or the "
     "coarse byte where a fine one stands anywhere in the mode), or the same with \".fine\" or "
     "\".ultra\" behind, for the second and third byte. Every emitter has a slot.",
     slot_keys},
    {0},
};

static const struct file_key rig_keys[] = {
    FILE_KEY_FORMAT("rig/1"),
    {"name", "text", NULL, "the name of the rig", NULL, "\"atrium\""},
    {"revision", "text", "none", "of this rig, for the heads of sheets", NULL, "\"B\""},
    {"date", "text", "none", "of this revision, for the heads of sheets", NULL, "\"12 March\""},
    {"job", "text", "none", "what is done, for reports", NULL, "\"Spring concert\""},
    {"site", "text", "none", "where that is, for reports", NULL, "\"Mill Lane hall\""},
    {"by", "text", "none", "who does it, for reports", NULL, "\"lighting crew\""},
    {"circuits", "list of at most " FILE_LIMIT(MTM_CIRCUITS_MAX) " circuits", "none",
     "mains circuits that supplies hang on", NULL, "[{ \"name\": \"C1\", \"rated_a\": 16 }]"},
    {"supplies", "list of at most " FILE_LIMIT(MTM_SUPPLIES_MAX) " supplies", "none",
     "power supplies and their ports", NULL,
     "[{ \"name\": \"S1\", \"ports\": 12, \"port_w\": 100, \"total_w\": 600 }]"},
    {"units", "list of 1 to " FILE_LIMIT(MTM_UNITS_MAX) " units", NULL, "the lights", NULL,
     "[{ \"name\": \"wash-1\", \"fixture\": \"five-colour-wash.json\", \"mode\": \"16-bit\" }]"},
    {"groups", "object of lists of units by name", "only \"all\"",
     "units that --units and shows name together; an entry is a unit, another group, a pattern "
     "(wash-*, wash-1..4), kind: and a fixture's name, or ! and one of these, to leave it out; "
     "\"all\" is every unit",
     NULL, "{ \"front\": [\"wash-*\", \"!wash-2\"] }"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key circuit_keys[] = {
    {"name", "text", NULL, "the name that supplies state", NULL, "\"C1\""},
    {"breaker", "text", "none", "where the circuit is switched off, for sheets", NULL,
     "\"board A, 7\""},
    {"rated_a", "number, A, 0.01 to 10000", NULL, "rated current", NULL, "16"},
    {"voltage_v", "number, V, 1 to 1000", "what --voltage states; else no amperes are computed",
     "voltage of the mains", NULL, "230"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key supply_keys[] = {
    {"name", "text", NULL, "the name that units state", NULL, "\"S1\""},
    {"ports", "whole number, 1 to " FILE_LIMIT(MTM_PORTS_MAX), NULL, "number of its ports", NULL,
     "12"},
    {"port_units", "whole number, 1 to " FILE_LIMIT(MTM_UNITS_MAX), "any number",
     "most units on one port", NULL, "4"},
    {"port_w", "number, W, 0.01 to 1e6", NULL, "rated power of one port", NULL, "100"},
    {"total_w", "number, W, 0.01 to 1e6", NULL, "rated power of all ports together", NULL, "600"},
    {"circuit", "name of a circuit", "none", "the mains circuit that it draws from", NULL,
     "\"C1\""},
    {"efficiency", "number, 0.1 to 1", "assumed, and the answer says so",
     "power given as a share of power drawn", NULL, "0.9"},
    {"power_factor", "number, 0.1 to 1", "assumed, and the answer says so",
     "active as a share of apparent power drawn", NULL, "0.95"},
    {"standby_w", "number, W, 0 to 1e6", "0",
     "power drawn from the mains beside what the ports give, at any load", NULL, "3.5"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_key unit_keys[] = {
    {"name", "text", NULL, "the name of this light; no two units share one", NULL, "\"wash-1\""},
    {"fixture", "name of a fixture file", NULL, "the kind of light it is", NULL,
     "\"five-colour-wash.json\""},
    {"mode", "text", NULL, "the name of a mode of that fixture", NULL, "\"16-bit\""},
    {"universe", "whole number, " FILE_LIMIT(MTM_UNIVERSE_MIN) " to " FILE_LIMIT(MTM_UNIVERSE_MAX),
     "open, for \"metamer layout\"", "DMX512 universe", NULL, "1"},
    {"address", "whole number, 1 to " FILE_LIMIT(MTM_ADDRESS_MAX), "open, for \"metamer layout\"",
     "slot of the universe that carries its first slot", NULL, "101"},
    {"supply", "name of a supply", "open, for \"metamer layout\"", "what feeds it", NULL, "\"S1\""},
    {"port", "whole number, 1 to " FILE_LIMIT(MTM_PORTS_MAX), "open, for \"metamer layout\"",
     "port of that supply, counted from 1; goes with supply", NULL, "3"},
    {"position", "text", "none", "where it hangs, for sheets", NULL, "\"bridge 2, left\""},
    {"remark", "text", "none", "what a sheet says of it", NULL, "\"top hat\""},
    {"follows", "name of a unit", "it has slots of its own",
     "the unit of the same fixture and mode whose slots it shares", NULL, "\"wash-2\""},
    {"channel", "whole number, 1 to " FILE_LIMIT(MTM_UNIT_CHANNEL_MAX),
     "counted on, past channels that others state",
     "its first channel in cue text; the channels of its other slots follow", NULL, "201"},
    {"gain", "number, 1e-6 to 1e6", "1",
     "how much of its light arrives, beside others: throw, gel, age; --together equalises the "
     "light "
     "that arrives",
     NULL, "0.8"},
    {"limits", "the limits, as in fixture/1", "those of its fixture",
     "what it keeps to; each key stands over that of its fixture", NULL, "{ \"headroom\": 0.1 }"},
    {"cd_per_klm", "number, cd/klm, 1e-3 to 1e8", "no lux are known",
     "intensity towards the point that it lights, in candela for 1000 lm of its light, as "
     "photometric files state it; goes with distance_m",
     NULL, "5400"},
    {"distance_m", "number, m, 0.01 to 10000", "no lux are known",
     "from it to that point; lux are cd_per_klm by 1000 by its square, times gain, for light that "
     "falls straight on",
     NULL, "7.5"},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_object rig_objects[] = {
    {"The file", "", rig_keys},
    {"A circuit", "", circuit_keys},
    {"A supply", "", supply_keys},
    {"A unit", "", unit_keys},
    {0},
};

static const struct file_key filter_keys[] = {
    FILE_KEY_FORMAT("filter/1"),
    {"name", "text of at most " FILE_LIMIT(MTM_FILTER_NAME_MAX) " bytes, without \"+\"", NULL,
     "the name; \"+\" stacks filters", NULL, "\"half CTB\""},
    {"transmittance", "name of a file, or list of pairs [nm, 0 to 1]", "the shifts",
     "what the filter lets through; from at most 400 nm to at least 700 nm", NULL,
     "[[380, 0.2], [550, 0.8], [780, 0.9]]"},
    {"mired_shift", "number, mired, -300 to 300", "0",
     "shift of the colour temperature of the reference, as far as a smooth filter can; positive "
     "is warmer",
     NULL, "-72"},
    {"duv_shift", "number, -0.04 to 0.04", "0", "shift of Duv, as far; positive is greener", NULL,
     "0.003"},
    {"peak", "number, 0.01 to 1", "0.9", "highest transmittance of a filter that is computed", NULL,
     "0.8"},
    {"reference", "a light: \"3200\", \"3200@30%\", \"daylight:5600\", \"D65\" or a spectrum file",
     "needed with shifts", "the light on which the shifts are exact", NULL, "\"3200\""},
    FILE_KEY_NOTE,
    {0},
};

static const struct file_object filter_objects[] = {
    {"The file",
     "A filter is a curve (transmittance) or is computed from shifts (mired_shift, duv_shift or "
     "both, with reference). A spectrum file with one column of transmittances is a filter too.",
     filter_keys},
    {0},
};

const struct file_format file_formats[] = {
    {"fixture/1", "What one kind of light is.",
     "{ \"metamer\": \"fixture/1\", \"name\": \"five-colour wash\",\n"
     "  \"emitters\": [\n"
     "    { \"name\": \"red\", \"peak_nm\": 630, \"fwhm_nm\": 18,\n"
     "      \"flux_lm\": 210, \"watts\": 9.5 },\n"
     "    { \"name\": \"lime\", \"x\": 0.410, \"y\": 0.545, \"flux_lm\": 480, \"watts\": 10,\n"
     "      \"curve\": { \"power\": 2.2 } } ],\n"
     "  \"power_limit_w\": 15,\n"
     "  \"modes\": [ { \"name\": \"16-bit\", \"slots\":\n"
     "    [\"dimmer\", \"red\", \"red.fine\", \"lime\", \"lime.fine\", { \"fixed\": 0 }] } ] }",
     fixture_objects},
    {"rig/1", "Which units hang where.",
     "{ \"metamer\": \"rig/1\", \"name\": \"atrium\",\n"
     "  \"supplies\": [ { \"name\": \"S1\", \"ports\": 12, \"port_w\": 100, \"total_w\": 600 } ],\n"
     "  \"groups\": { \"front\": [\"wash-*\"] },\n"
     "  \"units\": [ { \"name\": \"wash-1\", \"fixture\": \"five-colour-wash.json\",\n"
     "    \"mode\": \"16-bit\", \"universe\": 1, \"address\": 1,\n"
     "    \"supply\": \"S1\", \"port\": 1 } ] }",
     rig_objects},
    {"show/1", "Named colours, groups of units, and cues.",
     "{ \"metamer\": \"show/1\", \"name\": \"an evening\", \"rig\": \"hall.json\",\n"
     "  \"colours\": { \"warm\": { \"cct_k\": 2700 } },\n"
     "  \"groups\": { \"ends\": [\"hall-left\", \"hall-right\"] },\n"
     "  \"cues\": [ { \"number\": 1, \"up_s\": 3, \"set\": [\n"
     "    { \"group\": \"ends\", \"colour\": \"warm\", \"output\": 0.8 } ] } ] }",
     file_show_objects},
    {"colours/1", "Colours by name, for \"metamer match --targets\" and for shows.",
     "{ \"metamer\": \"colours/1\", \"name\": \"an evening's colours\",\n"
     "  \"colours\": { \"dusk\": { \"rgb\": [255, 140, 60] },\n"
     "    \"moon\": { \"filter\": \"half CTB\", \"over\": \"3200\" } } }",
     file_palette_objects},
    {"readings/1", "What a meter read from which unit at which codes.",
     "{ \"metamer\": \"readings/1\",\n"
     "  \"meter\": { \"name\": \"hall meter\", \"xy\": 0.002, \"output\": 0.04 },\n"
     "  \"readings\": [\n"
     "    { \"emitter\": \"dark\", \"x\": 0.441, \"y\": 0.405, \"lux\": 1.8 },\n"
     "    { \"unit\": \"apron-wash\", \"emitter\": \"red\",\n"
     "      \"x\": 0.6902, \"y\": 0.3026, \"lux\": 35.7 } ] }",
     file_readings_objects},
    {"calibration/1",
     "What each unit really gives. \"metamer trim --write\" writes it; nobody needs to write one "
     "by "
     "hand.",
     "{ \"metamer\": \"calibration/1\", \"rig\": \"community hall\", \"units\": [\n"
     "  { \"unit\": \"hall-left\", \"fixture\": \"tunable white\",\n"
     "    \"fingerprint\": \"79604345e505c0a5\", \"scale\": 0.008, \"emitters\": [\n"
     "      { \"name\": \"warm\", \"xyz\": [4341.9, 3887.6, 1230.1], \"measured\": true },\n"
     "      { \"name\": \"cool\", \"xyz\": [4322.7, 4514.3, 4886.1] } ] } ] }",
     file_calibration_objects},
    {"filter/1", "What a colour filter lets through.",
     "{ \"metamer\": \"filter/1\", \"name\": \"half CTB\",\n"
     "  \"mired_shift\": -72, \"duv_shift\": 0, \"reference\": \"3200\" }",
     filter_objects},
    {"meter/1",
     "The matrix between two meters, for --meter. \"metamer trim --match-meters --write\" writes "
     "it.",
     "{ \"metamer\": \"meter/1\", \"ours\": \"hall meter\", \"reference\": \"house meter\",\n"
     "  \"matrix\": [[1.02, 0, 0], [0, 0.99, 0], [0, 0, 1.01]],\n"
     "  \"xy\": 0.001, \"output\": 0.03 }",
     file_meter_objects},
    {0},
};
