/* SPDX-License-Identifier: MIT */
/* Show files: what they say, and every way in which they can be wrong. */
#include "support/trial.h"

#include <metamer/calibration.h>
#include <metamer/show.h>

#include <unistd.h>

static const struct trial_unit units[] = {
    {"a", "three-colour-strip.json", "16-bit"},
    {"b", "three-colour-strip.json", "8-bit"},
    {"c", "three-colour-wash.json", "8-bit"},
};

static mtm_rig *rig;

static mtm_result parse_text(const char *text, const char *folder, const mtm_rig *of,
                             mtm_show **out, mtm_error *error)
{
    char *json = trial_json(text);
    mtm_result result = mtm_show_parse(json, strlen(json), "show", folder, of, out, error);

    free(json);
    return result;
}

static mtm_show *parse(const char *text)
{
    mtm_show *show = NULL;
    mtm_error error = {""};

    if (parse_text(text, NULL, rig, &show, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return show;
}

static const char whole[] =
    "{ 'metamer': 'show/1', 'name': 'whole', 'refresh_hz': 30, 'path': 'oklab',"
    "  'colours': {"
    "    'by xy': { 'xy': [0.3127, 0.3290] },"
    "    'by uv': { 'uv': [0.1978, 0.4683] },"
    "    'by xyz': { 'xyz': [95.047, 100, 108.883] },"
    "    'by cct': { 'cct_k': 6500, 'duv': 0.003 },"
    "    'by daylight': { 'daylight_k': 6504 },"
    "    'by rgb': { 'rgb': [0.5, 0.5, 0.5], 'space': 'srgb' },"
    "    'by spectrum': { 'spectrum': 'warm-white.csv' },"
    "    'by filter': { 'filter': 'full CTB+eighth CTO', 'over': '3200' },"
    "    'by like': { 'like': 'b', 'codes': [0, 255, 0] } },"
    "  'groups': { 'pair': ['b', 'a'] },"
    "  'cues': ["
    "    { 'number': 1, 'text': 'first', 'up_s': 3, 'set': ["
    "      { 'group': 'pair', 'colour': 'by xy', 'output': 0.5 } ] },"
    "    { 'number': 1.5, 'up_s': 2, 'down_s': 4, 'delay_s': 1, 'follow_s': 9,"
    "      'curve': 's', 'set': ["
    "      { 'unit': 'a', 'output_lm': 40, 'path': 'white', 'goal': 'watts' },"
    "      { 'units': ['c'], 'colour': { 'cct_k': 3000 } } ] },"
    "    { 'number': 20, 'up_s': 0, 'set': [ { 'group': 'all', 'output': 0 } ] } ] }";

/* All of the first colours are D65 or near: CIE 015:2018, table 9.2 (xy, u'v', XYZ; daylight of
 * 6504 K, whose formula is good to 0.0001; the white of sRGB, IEC 61966-2-1). The strip's red is at
 * x 0.692, y 0.307 in its file. */
static void test_colours(void **state)
{
    mtm_show *show = parse(whole);

    (void)state;
    assert_int_equal(mtm_show_colour_count(show), 9);
    for (size_t i = 0; i < 6; i++) {
        const mtm_target *target = mtm_show_colour(show, i);

        if (i == 3)
            continue;
        CHECK_NEAR(mtm_show_colour_name(show, i), target->xy.x, 0.3127, 1.5e-4);
        CHECK_NEAR(mtm_show_colour_name(show, i), target->xy.y, 0.3290, 1.5e-4);
    }
    mtm_white white;
    assert_int_equal(mtm_white_from_xy(mtm_show_colour(show, 3)->xy, &white, NULL), MTM_OK);
    CHECK_NEAR("cct", white.cct_k, 6500, 0.1);
    CHECK_NEAR("duv", white.duv, 0.003, 1e-6);
    assert_true(mtm_show_colour(show, 6)->has_spectrum);
    assert_string_equal(mtm_show_colour(show, 7)->description, "full CTB + eighth CTO over 3200 K");
    assert_true(mtm_show_colour(show, 7)->has_spectrum);
    CHECK_NEAR("like x", mtm_show_colour(show, 8)->xy.x, 0.692, 1e-9);
    CHECK_NEAR("like y", mtm_show_colour(show, 8)->xy.y, 0.307, 1e-9);
    mtm_show_free(show);
}

static void test_cues(void **state)
{
    mtm_show *show = parse(whole);
    size_t index = 0;
    size_t count = 0;

    (void)state;
    assert_string_equal(mtm_show_name(show), "whole");
    assert_ptr_equal(mtm_show_rig(show), rig);
    CHECK_NEAR("refresh", mtm_show_refresh_hz(show), 30, 0);
    assert_int_equal(mtm_show_observer(show), MTM_OBSERVER_2);
    assert_int_equal(mtm_show_group_count(show), 2);
    assert_string_equal(mtm_show_group_name(show, 1), "pair");
    assert_int_equal(mtm_show_group(show, 1, &count)[0], 0);
    assert_int_equal(count, 2);
    assert_int_equal(mtm_show_cue_count(show), 3);
    const mtm_cue *cue = mtm_show_cue(show, 1);
    CHECK_NEAR("up", cue->up_s, 2, 0);
    CHECK_NEAR("down", cue->down_s, 4, 0);
    CHECK_NEAR("delay", cue->delay_s, 1, 0);
    CHECK_NEAR("follow", cue->follow_s, 9, 0);
    CHECK_NEAR("no follow", mtm_show_cue(show, 0)->follow_s, -1, 0);
    CHECK_NEAR("down is up", mtm_show_cue(show, 0)->down_s, 3, 0);
    assert_string_equal(mtm_show_cue(show, 0)->text, "first");
    assert_int_equal(mtm_show_find_cue(show, 1.5, &index, NULL), MTM_OK);
    assert_int_equal(index, 1);
    mtm_show_free(show);
}

/* What a cue does not name stays; a colour without an output means all of it; defaults go from show
 * to cue to setting. */
static void test_looks(void **state)
{
    mtm_show *show = parse(whole);
    mtm_look look[3] = {{0}};
    bool moved[3];

    (void)state;
    mtm_show_apply(show, 0, look, moved);
    assert_true(moved[0] && moved[1] && !moved[2]);
    assert_int_equal(look[0].path, MTM_PATH_OKLAB);
    assert_int_equal(look[0].shape, MTM_SHAPE_LIGHTNESS);
    assert_null(look[2].target);
    mtm_show_apply(show, 1, look, moved);
    assert_true(moved[0] && !moved[1] && moved[2]);
    assert_ptr_equal(look[0].target, mtm_show_colour(show, 0));
    assert_int_equal(look[0].output.type, MTM_OUTPUT_LM);
    CHECK_NEAR("lumens", look[0].output.value, 40, 0);
    assert_int_equal(look[0].path, MTM_PATH_WHITE);
    assert_int_equal(look[0].shape, MTM_SHAPE_S);
    assert_int_equal(look[0].goal, MTM_GOAL_WATTS);
    CHECK_NEAR("kept", look[1].output.value, 0.5, 0);
    assert_int_equal(look[2].output.type, MTM_OUTPUT_MAX);
    assert_int_equal(look[2].path, MTM_PATH_OKLAB);
    mtm_show_apply(show, 2, look, NULL);
    assert_int_equal(look[2].output.type, MTM_OUTPUT_SHARE);
    CHECK_NEAR("dark", look[2].output.value, 0, 0);
    assert_non_null(look[2].target);
    mtm_show_free(show);
}

/* Outputs and RGB values in every form that the command line takes too. */
static void test_forms(void **state)
{
    static const struct {
        const char *text;
        mtm_output output;
    } outputs[] = {
        {"0.6", {MTM_OUTPUT_SHARE, 0.6}},  {"'60%'", {MTM_OUTPUT_SHARE, 0.6}},
        {"'120lm'", {MTM_OUTPUT_LM, 120}}, {"'max'", {MTM_OUTPUT_MAX, 0}},
        {"'0%'", {MTM_OUTPUT_SHARE, 0}},
    };
    char text[600];

    (void)state;
    for (size_t i = 0; i < COUNT(outputs); i++) {
        mtm_look look[3] = {{0}};
        bool moved[3];
        (void)snprintf(text, sizeof text,
                       "{'metamer': 'show/1', 'name': 's', 'colours': {'low': {'rgb': [1, 0.6, "
                       "0.2]}, 'high': {'rgb': [255, 153, 51]}}, 'cues': [{'number': 1, 'up_s': 1, "
                       "'set': [{'unit': 'a', 'colour': 'low', 'output': %s}]}]}",
                       outputs[i].text);
        mtm_show *show = parse(text);
        mtm_show_apply(show, 0, look, moved);
        assert_int_equal(look[0].output.type, outputs[i].output.type);
        CHECK_NEAR(outputs[i].text, look[0].output.value, outputs[i].output.value, 1e-15);
        mtm_xy low = mtm_show_colour(show, 0)->xy;
        mtm_xy high = mtm_show_colour(show, 1)->xy;
        CHECK_NEAR("x", low.x, high.x, 1e-15);
        CHECK_NEAR("y", low.y, high.y, 1e-15);
        mtm_show_free(show);
    }
}

/* From how far units stay dark: the show's goes with colours, a cue's and a setting's with all. */
static void test_leave_dark(void **state)
{
    mtm_show *show = trial_show(
        rig, "'leave_dark_uv': 0.02, 'cues': ["
             "{'number': 1, 'up_s': 0, 'set': [{'unit': 'a', 'colour': {'cct_k': 3000}}, "
             "{'unit': 'b', 'colour': {'cct_k': 3000}, 'leave_dark_uv': 0}]}, "
             "{'number': 2, 'up_s': 0, 'set': [{'group': 'all', 'output': 0.5}]}, "
             "{'number': 3, 'up_s': 0, 'leave_dark_uv': 1, 'set': [{'unit': 'a', 'output': 1}, "
             "{'unit': 'c', 'colour': {'cct_k': 3000}, 'leave_dark_uv': 0.5}]}, "
             "{'number': 4, 'up_s': 0, 'set': [{'unit': 'b', 'colour': {'cct_k': 3000}}]}]");
    static const double wanted[][3] = {{0.02, 0, 0}, {0.02, 0, 0}, {1, 0, 0.5}, {1, 0.02, 0.5}};
    mtm_look look[3] = {{0}};

    (void)state;
    for (size_t cue = 0; cue < COUNT(wanted); cue++) {
        mtm_show_apply(show, cue, look, NULL);
        for (size_t unit = 0; unit < 3; unit++)
            CHECK_NEAR("distance", look[unit].leave_dark_uv, wanted[cue][unit], 0);
    }
    mtm_show_free(show);
}

/* Which codes carry the output: the same way. */
static void test_dimming(void **state)
{
    const mtm_dimming f = MTM_DIMMING_FINEST, d = MTM_DIMMING_DIMMER, e = MTM_DIMMING_EMITTERS;
    mtm_show *show = trial_show(
        rig, "'dimming': 'dimmer', 'cues': ["
             "{'number': 1, 'up_s': 0, 'set': [{'unit': 'a', 'colour': {'cct_k': 3000}}, "
             "{'unit': 'b', 'colour': {'cct_k': 3000}, 'dimming': 'finest'}]}, "
             "{'number': 2, 'up_s': 0, 'set': [{'group': 'all', 'output': 0.5}]}, "
             "{'number': 3, 'up_s': 0, 'dimming': 'emitters', 'set': [{'unit': 'a', 'output': 1}, "
             "{'unit': 'c', 'colour': {'cct_k': 3000}, 'dimming': 'dimmer'}]}, "
             "{'number': 4, 'up_s': 0, 'set': [{'unit': 'b', 'colour': {'cct_k': 3000}}]}]");
    const mtm_dimming wanted[][3] = {{d, f, f}, {d, f, f}, {e, f, d}, {e, d, d}};
    mtm_look look[3] = {{0}};

    (void)state;
    for (size_t cue = 0; cue < COUNT(wanted); cue++) {
        mtm_show_apply(show, cue, look, NULL);
        for (size_t unit = 0; unit < 3; unit++)
            assert_int_equal(look[unit].dimming, wanted[cue][unit]);
    }
    mtm_show_free(show);
}

static void test_find_refusals(void **state)
{
    mtm_show *show = parse(whole);
    mtm_error error = {""};
    size_t index = 77;

    (void)state;
    assert_int_equal(mtm_show_find_cue(show, 2, &index, &error), MTM_NOT_FOUND);
    CHECK_HOLDS(error.text, "there is no cue 2; the next to it are 1.5 and 20");
    assert_int_equal(mtm_show_find_cue(show, 0.5, &index, &error), MTM_NOT_FOUND);
    CHECK_HOLDS(error.text, "the first is 1");
    assert_int_equal(mtm_show_find_cue(show, 21, &index, &error), MTM_NOT_FOUND);
    CHECK_HOLDS(error.text, "the last is 20");
    assert_int_equal(mtm_show_find_cue(show, NAN, &index, &error), MTM_INVALID);
    assert_int_equal(index, 77);
    mtm_show_free(show);
}

/* A show's groups are made of the rig's; both name units of cues, and so do patterns. */
static void test_groups(void **state)
{
    static const struct trial_unit lights[] = {
        {"a-1", "profiles/tunable-white.json", "8-bit", 1, 1},
        {"a-2", "profiles/tunable-white.json", "8-bit", 1, 11},
        {"b", "profiles/tunable-white.json", "8-bit", 1, 21},
    };
    struct trial_text list = {.length = 0};
    mtm_look look[3] = {{0}};
    bool moved[3];
    size_t unit[3];
    size_t count = 0;
    mtm_show *none = NULL;
    mtm_error error = {""};

    (void)state;
    trial_add_units(&list, lights, COUNT(lights));
    mtm_rig *of_groups = trial_rig_of("'groups': {'pair': ['a-*']}, %s", list.data);
    mtm_show *show = trial_show(
        of_groups, "'groups': {'rest': ['!pair'], 'odd': ['rest', 'a-1']}, 'cues': ["
                   "{'number': 1, 'up_s': 1, 'set': [{'group': 'pair', 'output': 0.5}]}, "
                   "{'number': 2, 'up_s': 1, 'set': [{'group': 'odd,!b', 'output': 0.5}]}, "
                   "{'number': 3, 'up_s': 1, 'set': [{'units': 'a-2..2', 'output': 0.5}, "
                   "{'units': ['!pair'], 'output': 0.5}]}]");
    static const bool wanted[3][3] = {
        {true, true, false}, {true, false, false}, {false, true, true}};
    for (size_t cue = 0; cue < 3; cue++) {
        mtm_show_apply(show, cue, look, moved);
        assert_memory_equal(moved, wanted[cue], sizeof moved);
    }
    assert_int_equal(mtm_show_group_count(show), 4);
    assert_string_equal(mtm_show_group_name(show, 1), "pair");
    assert_string_equal(mtm_show_group_name(show, 3), "odd");
    assert_int_equal(mtm_show_select(show, "odd", unit, &count, NULL), MTM_OK);
    assert_int_equal(count, 2);
    mtm_show_free(show);
    const char *clash = "{\"metamer\": \"show/1\", \"name\": \"s\", \"groups\": {\"pair\": "
                        "[\"b\"]}, \"cues\": []}";
    assert_int_equal(mtm_show_parse(clash, strlen(clash), "show", NULL, of_groups, &none, &error),
                     MTM_PARSE);
    assert_string_equal(error.text, "show: groups.pair: the rig has a group \"pair\" already; a "
                                    "group needs another name");
    mtm_rig_free(of_groups);
}

#define SHOW(rest) "{'metamer': 'show/1', 'name': 's', " rest "}"
#define CUES(cues) SHOW("'colours': {'red': {'xy': [0.6, 0.3]}}, 'cues': [" cues "]")
#define SET(set) CUES("{'number': 1, 'up_s': 1, 'set': [" set "]}")
#define COLOUR(colour)                                                                             \
    SHOW("'colours': {'x': " colour "}, 'cues': [{'number': 1, 'up_s': 1, "                        \
         "'set': [{'unit': 'a', 'colour': 'x'}]}]")
#define OUT_A "{'unit': 'a', 'output': 0}"

static const struct refusal {
    const char *name, *text, *sentence;
} refusals[] = {
    {"not JSON", "{", "show: line 1"},
    {"another kind", "{'metamer': 'rig/1'}", "show/1"},
    {"no name", "{'metamer': 'show/1'}", "name"},
    {"unknown key", SHOW("'cuess': []"), "\"cues\""},
    {"no cues", SHOW("'colours': {}"), "cues"},
    {"empty cues", SHOW("'cues': []"), "cues"},
    {"refresh 0", SHOW("'refresh_hz': 0, 'cues': []"), "refresh_hz"},
    {"observer 5", SHOW("'observer_deg': 5, 'cues': []"), "found 5, allowed are 2 and 10"},
    {"path unknown", SHOW("'path': 'lab', 'cues': []"),
     "path: found \"lab\", allowed are: light, white, cam16, oklab"},
    {"curve unknown", SHOW("'curve': 'fast', 'cues': []"), "allowed are: lightness, linear"},
    {"goal unknown", SHOW("'goal': 'best', 'cues': []"), "allowed are: light"},
    {"dark from below 0", SHOW("'leave_dark_uv': -0.1, 'cues': []"), "leave_dark_uv"},
    {"dark from above 1", SET("{'unit': 'a', 'output': 0, 'leave_dark_uv': 2}"),
     "cues[0].set[0].leave_dark_uv"},
    {"dimming of no name", SET("{'unit': 'a', 'output': 0, 'dimming': 'both'}"),
     "allowed are: finest, dimmer, emitters"},
    {"dark from in words", SET("{'unit': 'a', 'output': 0, 'leave_dark_uv': 'far'}"),
     "cues[0].set[0].leave_dark_uv"},
    {"cue 0", CUES("{'number': 0, 'up_s': 1, 'set': [" OUT_A "]}"), "cues[0].number"},
    {"cue 10000", CUES("{'number': 10000, 'up_s': 1, 'set': [" OUT_A "]}"), "cues[0].number"},
    {"cue of hundredths", CUES("{'number': 1.25, 'up_s': 1, 'set': [" OUT_A "]}"),
     "found 1.25, allowed are whole numbers and tenths"},
    {"cue twice",
     CUES("{'number': 1, 'up_s': 1, 'set': [" OUT_A "]}, "
          "{'number': 1, 'up_s': 1, 'set': [" OUT_A "]}"),
     "cues[1].number: cue 1 is there already"},
    {"cues out of order",
     CUES("{'number': 2, 'up_s': 1, 'set': [" OUT_A "]}, "
          "{'number': 1.5, 'up_s': 1, 'set': [" OUT_A "]}"),
     "cue 1.5 stands after cue 2; cues stand in order"},
    {"no time", CUES("{'number': 1, 'set': [" OUT_A "]}"), "up_s"},
    {"time below 0", CUES("{'number': 1, 'up_s': -1, 'set': [" OUT_A "]}"), "up_s"},
    {"time huge", CUES("{'number': 1, 'up_s': 1e9, 'set': [" OUT_A "]}"), "86400"},
    {"delay huge", CUES("{'number': 1, 'up_s': 1, 'delay_s': 1e9, 'set': [" OUT_A "]}"), "delay_s"},
    {"follow below 0", CUES("{'number': 1, 'up_s': 1, 'follow_s': -1, 'set': [" OUT_A "]}"),
     "follow_s"},
    {"nothing set", CUES("{'number': 1, 'up_s': 1, 'set': []}"), "cues[0].set"},
    {"no unit", SET("{'output': 0}"), "one of \"group\", \"unit\" and \"units\" is wanted"},
    {"unit and group", SET("{'unit': 'a', 'group': 'all', 'output': 0}"),
     "one of \"group\", \"unit\" and \"units\" is wanted"},
    {"unit unknown", SET("{'unit': 'd', 'output': 0}"), "cues[0].set[0].unit"},
    {"pattern of nothing", SET("{'group': 'd-*', 'output': 0}"),
     "cues[0].set[0].group: the rig has no unit like \"d-*\""},
    {"pattern of nothing in a list", SET("{'units': ['a', 'd-*'], 'output': 0}"),
     "cues[0].set[0].units[1]: the rig has no unit like \"d-*\""},
    {"no units", SET("{'units': [], 'output': 0}"),
     "cues[0].set[0].units: wanted is at least one unit, group or pattern"},
    {"no unit left", SET("{'units': ['a', '!a'], 'output': 0}"),
     "cues[0].set[0].units: no unit is left"},
    {"group with the name of a unit", SHOW("'groups': {'a': ['b']}, 'cues': []"),
     "groups.a: a unit of the rig has the name \"a\""},
    {"groups in a circle", SHOW("'groups': {'g': ['h'], 'h': ['g']}, 'cues': []"),
     "groups.h[0]: groups in a circle: \"g\" holds \"h\" holds \"g\""},
    {"group unknown", SET("{'group': 'al', 'output': 0}"), "the nearest is \"all\""},
    {"nothing wanted", SET("{'unit': 'a'}"), "a \"colour\" or an \"output\" is wanted"},
    {"output above 1", SET("{'unit': 'a', 'output': 1.5}"), "cues[0].set[0].output"},
    {"output twice", SET("{'unit': 'a', 'output': 1, 'output_lm': 5}"), "one is wanted"},
    {"colour missing", SET("{'unit': 'a', 'colour': 'rde'}"),
     "there is no colour \"rde\"; the nearest is \"red\""},
    {"colour a number", SET("{'unit': 'a', 'colour': 7}"), "wanted is the name of a colour"},
    {"unit in two groups",
     SHOW("'groups': {'g': ['a', 'b'], 'h': ['b', 'c']}, 'cues': [{'number': 1, 'up_s': 1, 'set': "
          "[{'group': 'g', 'output': 0}, {'group': 'h', 'output': 0}]}]"),
     "cues[0].set[1]: the unit \"b\" is set by set[0] of this cue already"},
    {"unit twice in a group", SHOW("'groups': {'g': ['a', 'a']}, 'cues': []"),
     "\"a\" stands twice"},
    {"empty group", SHOW("'groups': {'g': []}, 'cues': []"),
     "wanted is at least one unit, group or pattern"},
    {"group of numbers", SHOW("'groups': {'g': [1]}, 'cues': []"), "groups.g[0]"},
    {"groups a list", SHOW("'groups': [], 'cues': []"), "an object of lists by name"},
    {"group all", SHOW("'groups': {'all': ['a']}, 'cues': []"), "a name other than"},
    {"colours a number", SHOW("'colours': 7, 'cues': []"), "an object of colours by name"},
    {"colour without a form", COLOUR("{}"), "no colour is stated"},
    {"colour in two forms", COLOUR("{'xy': [0.3, 0.3], 'cct_k': 3000}"),
     "\"xy\" and \"cct_k\" both state a colour"},
    {"colour key unknown", COLOUR("{'cct': 3000}"), "cct_k"},
    {"duv with xy", COLOUR("{'xy': [0.3, 0.3], 'duv': 0}"),
     "\"duv\" goes with \"cct_k\", not with \"xy\""},
    {"xy of three", COLOUR("{'xy': [0.3, 0.3, 0.3]}"), "colours.x.xy"},
    {"xy no chromaticity", COLOUR("{'xy': [0.7, 0.7]}"), "colours.x: x 0.7, y 0.7"},
    {"xyz black", COLOUR("{'xyz': [0, 0, 0]}"), "black has no chromaticity"},
    {"cct too low", COLOUR("{'cct_k': 500}"), "colours.x.cct_k"},
    {"daylight too low", COLOUR("{'daylight_k': 3000}"), "colours.x.daylight_k"},
    {"rgb above 255", COLOUR("{'rgb': [1, 256, 0]}"), "colours.x.rgb[1]"},
    {"output in words", SET("{'unit': 'a', 'output': 'half'}"),
     "found \"half\", allowed are 0 to 1, 0% to 100%, lumens as in 1200lm, lux as in 500lx, or "
     "max"},
    {"output above all", SET("{'unit': 'a', 'output': '101%'}"), "found \"101%\""},
    {"rgb space unknown", COLOUR("{'rgb': [1, 1, 0], 'space': 'srbg'}"), "srgb"},
    {"filter missing", COLOUR("{'filter': 'ambr', 'over': 'A'}"),
     "there is no filter \"ambr\"; the nearest is \"amber\""},
    {"filter over nothing", COLOUR("{'filter': 'amber'}"), "key \"over\" is missing"},
    {"filter over no light", COLOUR("{'filter': 'amber', 'over': 'noon'}"),
     "found \"noon\"; allowed are a temperature"},
    {"light without a filter", COLOUR("{'cct_k': 3200, 'over': 'A'}"),
     "\"over\" goes with \"filter\", not with \"cct_k\""},
    {"spectrum missing", COLOUR("{'spectrum': 'none.csv'}"), "none.csv"},
    {"like unknown", COLOUR("{'like': 'zz', 'codes': [1]}"), "zz"},
    {"like of too few codes", COLOUR("{'like': 'a', 'codes': [1]}"), "codes"},
    {"like of a code too high", COLOUR("{'like': 'b', 'codes': [1, 256, 0]}"), "codes: value 2"},
    {"like of no values", COLOUR("{'like': 'b'}"), "\"slots\" or \"percent\""},
    {"like of two kinds of values",
     COLOUR("{'like': 'b', 'codes': [0, 9, 0], 'percent': [0, 9, 0]}"), "both state"},
    {"like of too few slots", COLOUR("{'like': 'b', 'slots': [1]}"), "slots: found 1"},
    {"like beyond all", COLOUR("{'like': 'b', 'percent': [0, 101, 0]}"), "0 to 100"},
    {"percent of nothing", COLOUR("{'cct_k': 3000, 'percent': [1]}"), "goes with \"like\""},
    {"like dark", COLOUR("{'like': 'b', 'codes': [0, 0, 0]}"),
     "colours.x: b is dark at these codes, so it has no colour"},
};

static void test_refusal(void **state)
{
    const struct refusal *row = *state;
    mtm_show *show = NULL;
    mtm_error error = {""};

    assert_int_not_equal(parse_text(row->text, NULL, rig, &show, &error), MTM_OK);
    assert_null(show);
    CHECK_HOLDS(error.text, row->sentence);
    CHECK_HOLDS(error.text, "show: ");
}

static void test_load_refusals(void **state)
{
    mtm_show *show = NULL;
    mtm_error error = {""};
    const char *no_rig = SHOW("'rig': 'none.json', 'cues': []");

    (void)state;
    assert_int_equal(mtm_show_load("tests/no-such-show.json", &show, &error), MTM_NOT_FOUND);
    assert_int_equal(mtm_show_load(NULL, &show, &error), MTM_INVALID);
    assert_int_equal(mtm_show_parse(NULL, 0, "show", NULL, rig, &show, &error), MTM_INVALID);
    assert_int_equal(parse_text(no_rig, NULL, NULL, &show, &error), MTM_NOT_FOUND);
    CHECK_HOLDS(error.text, "show: rig: there is no file \"none.json\"");
    assert_null(show);
}

/* A show says which calibration its rig has: the units then give what was measured. The one here is
 * written from the fixture files, so that only its reading is looked at. */
static void test_calibration(void **state)
{
    char folder[] = "/tmp/metamer-show-XXXXXX";
    char path[100];
    char text[600];
    mtm_calibration *calibration = NULL;
    mtm_show *show = NULL;
    mtm_error error = {""};

    (void)state;
    assert_non_null(mkdtemp(folder));
    assert_int_equal(mtm_calibration_create(rig, &calibration, NULL), MTM_OK);
    (void)snprintf(path, sizeof path, "%s/measured.json", folder);
    assert_int_equal(mtm_calibration_write(calibration, path, NULL), MTM_OK);
    mtm_calibration_free(calibration);
    (void)snprintf(path, sizeof path, "%s/rig.json", folder);
    assert_int_equal(mtm_rig_save(rig, path, NULL), MTM_OK);
    for (int i = 0; i < 2; i++) {
        (void)snprintf(text, sizeof text,
                       SHOW("'rig': 'rig.json', 'calibration': '%s', 'cues': [{'number': 1, "
                            "'up_s': 1, 'set': [" OUT_A "]} ]"),
                       i == 0 ? "measured.json" : "rig.json");
        mtm_result result = parse_text(text, folder, NULL, &show, &error);
        assert_int_equal(result, i == 0 ? MTM_OK : MTM_PARSE);
        mtm_show_free(i == 0 ? show : NULL);
    }
    CHECK_HOLDS(error.text, "calibration/1");
    (void)unlink(path);
    (void)snprintf(path, sizeof path, "%s/measured.json", folder);
    (void)unlink(path);
    (void)rmdir(folder);
}

/* The example of the repository: the whole way through files. */
static void test_example(void **state)
{
    char path[1000];
    mtm_show *show = NULL;
    mtm_error error = {""};

    (void)state;
    (void)snprintf(path, sizeof path, "%s/examples/evening.json", getenv("METAMER_SOURCE"));
    if (mtm_show_load(path, &show, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_int_equal(mtm_show_cue_count(show), 7);
    assert_int_equal(mtm_rig_unit_count(mtm_show_rig(show)), 13);
    mtm_show_free(show);
}

int main(void)
{
    struct CMUnitTest rows[COUNT(refusals)];
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_colours),       cmocka_unit_test(test_cues),
        cmocka_unit_test(test_groups),        cmocka_unit_test(test_looks),
        cmocka_unit_test(test_find_refusals), cmocka_unit_test(test_load_refusals),
        cmocka_unit_test(test_example),       cmocka_unit_test(test_calibration),
        cmocka_unit_test(test_forms),         cmocka_unit_test(test_leave_dark),
        cmocka_unit_test(test_dimming),
    };

    rig = trial_rig(units, COUNT(units));
    ROW_TESTS(rows, refusals, test_refusal);
    int failed = cmocka_run_group_tests_name("show refusals", rows, NULL, NULL);
    failed += cmocka_run_group_tests_name("shows", tests, NULL, NULL);
    mtm_rig_free(rig);
    return failed;
}
