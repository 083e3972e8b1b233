/* SPDX-License-Identifier: MIT */
/* Small files of every kind, in which file_keys_test.c puts keys, and what it cannot take from
 * help: ranges and defaults that help states in words, and the commands that show what a file
 * holds. */
#ifndef METAMER_TESTS_FILE_VARIANTS_H
#define METAMER_TESTS_FILE_VARIANTS_H

#include <stddef.h>

/** A file that is read, with ' for ", and the way to an object in it. */
struct variant {
    const char *format, *title, *path, *text;
};

#define FIXTURE(rest) "{'metamer':'fixture/1','name':'f'," rest "}"
#define EMITTERS(colour) "'emitters':[{'name':'red','flux_lm':210,'watts':9.5," colour "}],"
#define RED EMITTERS("'peak_nm':630,'fwhm_nm':18")
#define BY_CURVE(curve) FIXTURE(EMITTERS("'peak_nm':630,'fwhm_nm':18,'curve':" curve) MODE)
#define MODES(rest) "'modes':[{'name':'m'," rest "}]"
#define MODE MODES("'slots':['dimmer','red']")
#define MIXES(slots, what)                                                                         \
    FIXTURE(MODES("'slots':['dimmer'," slots "],'mixes':{'flux_lm':4800," what "}"))
#define DIMS(what) FIXTURE(MODES("'slots':['dimmer'],'dims':{'flux_lm':4800," what "}"))
#define PRIMARIES "{'red':[0.68,0.31],'green':[0.2,0.7],'blue':[0.15,0.05],'white':[0.31,0.33]}"
#define SLOT(what) FIXTURE(RED MODES("'slots':['red'," what "]"))

#define RIG(unit)                                                                                  \
    "{'metamer':'rig/1','name':'r','circuits':[{'name':'C1','rated_a':16}],'supplies':[{'name':"   \
    "'S1','ports':512,'port_w':100,'total_w':600}],'units':[{'name':'wash-1'," unit                \
    "},{'name':'wash-2','fixture':'five-colour-wash.json','mode':'16-bit','universe':1,"           \
    "'address':201,'supply':'S1','port':1}]}"
#define WASH "'fixture':'five-colour-wash.json','mode':'16-bit'"

#define SHOW(colour, cues)                                                                         \
    "{'metamer':'show/1','name':'s','rig':'hall.json','colours':{'warm':" colour "},'groups':"     \
    "{'ends':['hall-left','hall-right']},'cues':[" cues "]}"
#define CUE1                                                                                       \
    "{'number':1,'up_s':3,'set':[{'units':'apron-wash,hall-left','colour':'warm','output':0.8}]}"
#define CUE2(settings) "{'number':2,'up_s':3,'set':[" settings "]}"
#define COLD(units) "{" units ",'colour':{'cct_k':5600},'output':0.2}"
#define GREEN(units) "{" units ",'colour':{'xy':[0.1,0.8]},'output':0.2}"
#define COLOUR(colour) SHOW(colour, CUE1)

#define READINGS(rest) "{'metamer':'readings/1'," rest "}"
#define READING(rest) READINGS("'readings':[{" rest "}]")
#define OTHERS                                                                                     \
    ",{'unit':'apron-wash','emitter':'green','x':0.17,'y':0.71,'lux':60}"                          \
    ",{'unit':'apron-wash','emitter':'blue','x':0.15,'y':0.03,'lux':11}"                           \
    ",{'unit':'apron-wash','emitter':'amber','x':0.57,'y':0.42,'lux':66}"                          \
    ",{'unit':'apron-wash','emitter':'lime','x':0.41,'y':0.54,'lux':110}"
#define RED_READ "'unit':'apron-wash','emitter':'red'"

#define CALIBRATION(aim, unit, emitter)                                                            \
    "{'metamer':'calibration/1'," aim "'units':[{'unit':'hall-left','fixture':'tunable white',"    \
    "'fingerprint':'79604345e505c0a5'," unit "'emitters':[{'name':'warm','xyz':"                   \
    "[4341.9,3887.6,1230.1]" emitter "},{'name':'cool','xyz':[4322.7,4514.3,4886.1]}]}]}"

static const struct variant file_variants[] = {
    {"fixture/1", "The file", "", FIXTURE(RED MODE)},
    {"fixture/1", "An emitter", "emitters.0", FIXTURE(RED MODE)},
    {"fixture/1", "An emitter", "emitters.0", FIXTURE(EMITTERS("'x':0.41,'y':0.3") MODE)},
    {"fixture/1", "An emitter", "emitters.0",
     FIXTURE(EMITTERS("'spectrum':'warm-white.csv'") MODE)},
    {"fixture/1", "An emitter", "emitters.0",
     "{'metamer':'fixture/1','name':'f','emitters':[{'name':'red','x':0.41,'y':0.3,'flux_lm':0,"
     "'watts':9},{'name':'violet','peak_nm':385,'fwhm_nm':12,'flux_lm':20,'watts':9}]," MODES(
         "'slots':['red','violet']") "}"},
    {"fixture/1", "A curve, by name", "emitters.0.curve", BY_CURVE("'linear'")},
    {"fixture/1", "A curve, as an object", "emitters.0.curve", BY_CURVE("{'power':2}")},
    {"fixture/1", "A curve, as an object", "emitters.0.curve", BY_CURVE("{'table':[[0,0],[1,1]]}")},
    {"fixture/1", "Limits", "limits",
     "{'metamer':'fixture/1','name':'f','limits':{},'emitters':[{'name':'red','peak_nm':630,"
     "'fwhm_nm':18,'flux_lm':210,'watts':9},{'name':'violet','peak_nm':385,'fwhm_nm':12,"
     "'flux_lm':20,'watts':9}]," MODES("'slots':['red','violet']") "}"},
    {"fixture/1", "A mode", "modes.0", FIXTURE(RED MODE)},
    {"fixture/1", "A mode", "modes.0", MIXES("'red','green','blue'", "'rgb':'srgb'")},
    {"fixture/1", "A mode", "modes.0", DIMS("'lamp_k':2900")},
    {"fixture/1", "dims, of a mode", "modes.0.dims", DIMS("'lamp_k':2900")},
    {"fixture/1", "dims, of a mode", "modes.0.dims", DIMS("'points':[[0.1,1900],[1,2700]]")},
    {"fixture/1", "mixes, of a mode", "modes.0.mixes",
     MIXES("'temperature','tint'",
           "'temperature':[[0,2700],[255,6500]],'tint':[[0,-0.01],[255,0]]")},
    {"fixture/1", "mixes, of a mode", "modes.0.mixes",
     MIXES("'red','green','blue'", "'rgb':'srgb'")},
    {"fixture/1", "mixes, of a mode", "modes.0.mixes",
     MIXES("'hue','saturation','intensity'", "'hsi':'srgb'")},
    {"fixture/1", "mixes, of a mode", "modes.0.mixes",
     MIXES("'x','y'", "'x':[0,0.8],'y':[0,0.8],'gamut':[[0.68,0.31],[0.19,0.69],[0.15,0.05]]")},
    {"fixture/1", "rgb or hsi, of mixes", "modes.0.mixes.rgb",
     MIXES("'red','green','blue'", "'rgb':" PRIMARIES)},
    {"fixture/1", "A slot, as an object", "modes.0.slots.1", SLOT("{'fixed':1}")},
    {"fixture/1", "A slot, as an object", "modes.0.slots.1", SLOT("{'default':1}")},
    {"fixture/1", "A slot, as an object", "modes.0.slots.1", SLOT("{'hold':1}")},
    {"fixture/1", "A slot, as an object", "modes.0.slots.1", SLOT("{'open':1,'dark':2}")},

    {"rig/1", "The file", "", RIG(WASH ",'universe':1,'address':1")},
    {"rig/1", "A circuit", "circuits.0", RIG(WASH)},
    {"rig/1", "A supply", "supplies.0", RIG(WASH ",'universe':1,'address':1")},
    {"rig/1", "A unit", "units.0", RIG(WASH ",'universe':1,'address':1")},
    {"rig/1", "A unit", "units.0", RIG(WASH ",'supply':'S1','port':3")},
    {"rig/1", "A unit", "units.0", RIG(WASH ",'cd_per_klm':5400,'distance_m':7.5")},
    {"rig/1", "A unit", "units.0", RIG("'fixture':'plain-white.json','mode':'8-bit','universe':2")},

    {"show/1", "The file", "",
     SHOW("{'cct_k':2700}",
          CUE1 "," CUE2(COLD("'unit':'apron-wash'") "," GREEN("'unit':'hall-left'")))},
    {"show/1", "A colour", "colours.warm", COLOUR("{'xy':[0.44,0.4]}")},
    {"show/1", "A colour", "colours.warm", COLOUR("{'uv':[0.25,0.52]}")},
    {"show/1", "A colour", "colours.warm", COLOUR("{'xyz':[95,100,108]}")},
    {"show/1", "A colour", "colours.warm", COLOUR("{'cct_k':6500}")},
    {"show/1", "A colour", "colours.warm", COLOUR("{'daylight_k':5600}")},
    {"show/1", "A colour", "colours.warm", COLOUR("{'lamp':'3200@50%'}")},
    {"show/1", "A colour", "colours.warm", COLOUR("{'rgb':[1,0.6,0.3]}")},
    {"show/1", "A colour", "colours.warm", COLOUR("{'spectrum':'cool-white.csv'}")},
    {"show/1", "A colour", "colours.warm", COLOUR("{'filter':'half CTO','over':'5600'}")},
    {"show/1", "A colour", "colours.warm", COLOUR("{'like':'hall-left','codes':[1,65535]}")},
    {"show/1", "A colour", "colours.warm", COLOUR("{'like':'hall-left','slots':[1,1,255,255]}")},
    {"show/1", "A colour", "colours.warm", COLOUR("{'like':'hall-left','percent':[1,100]}")},
    {"show/1", "A cue", "cues.1",
     SHOW("{'cct_k':2700}",
          CUE1 "," CUE2(COLD("'unit':'apron-wash'") "," GREEN("'unit':'hall-left'")))},
    {"show/1", "A cue", "cues.0", SHOW("{'cct_k':2700}", CUE1)},
    {"show/1", "A setting", "cues.1.set.0",
     SHOW("{'cct_k':2700}", CUE1 "," CUE2(COLD("'unit':'apron-wash'")))},
    {"show/1", "A setting", "cues.1.set.0",
     SHOW("{'cct_k':2700}", CUE1 "," CUE2(GREEN("'unit':'apron-wash'")))},
    {"show/1", "A setting", "cues.1.set.0",
     SHOW("{'cct_k':2700}", CUE1 "," CUE2(GREEN("'unit':'hall-left'")))},
    {"show/1", "A setting", "cues.1.set.0",
     SHOW("{'cct_k':2700}", CUE1 "," CUE2(COLD("'group':'all'")))},
    {"show/1", "A setting", "cues.1.set.0",
     SHOW("{'cct_k':2700}", CUE1 "," CUE2(COLD("'units':'all'")))},
    {"show/1", "A setting", "cues.1.set.0",
     SHOW("{'cct_k':2700}", CUE1 "," CUE2("{'unit':'apron-wash','colour':'warm'}"))},

    {"colours/1", "The file", "",
     "{'metamer':'colours/1','name':'p','colours':{'c':{'cct_k':2700}}}"},

    {"readings/1", "The file", "", READINGS("'readings':[]")},
    {"readings/1", "A meter", "meter", READINGS("'meter':{},'readings':[]")},
    {"readings/1", "A reading", "readings.0",
     READINGS("'readings':[{" RED_READ ",'x':0.17,'y':0.71,'lux':60}" OTHERS "]")},
    {"readings/1", "A reading", "readings.0", READING(RED_READ ",'x':0.69,'y':0.3,'Y':35")},
    {"readings/1", "A reading", "readings.0", READING(RED_READ ",'x':0.69,'y':0.3,'cd/m2':35")},
    {"readings/1", "A reading", "readings.0", READING(RED_READ ",'u`':0.26,'v`':0.53,'Y':35")},
    {"readings/1", "A reading", "readings.0", READING(RED_READ ",'cct_k':2700,'duv':0,'Y':35")},
    {"readings/1", "A reading", "readings.0", READING(RED_READ ",'X':70,'Y':35,'Z':0")},
    {"readings/1", "A reading", "readings.0",
     READING(RED_READ ",'spectrum':{'first_nm':380,'step_nm':50,'values':[0.1,0.9,0.4]}")},
    {"readings/1", "A reading", "readings.0",
     READING("'unit':'apron-wash','codes':{'red':9},'x':0.69,'y':0.3,'Y':35")},
    {"readings/1", "A reading", "readings.0",
     READING("'unit':'apron-wash','emitter':'dark','x':0.4,'y':0.4,'Y':1")},
    {"readings/1", "A reading", "readings.0",
     READING("'unit':'apron-wash','emitter':'dark','X':0,'Y':0,'Z':0")},
    {"readings/1", "A spectrum", "readings.0.spectrum",
     READING(RED_READ ",'spectrum':{'first_nm':555,'step_nm':50,'values':[0.1,0.9,0.4]}")},

    {"calibration/1", "The file", "", CALIBRATION("", "", "")},
    {"calibration/1", "An aim", "trimmed_to",
     CALIBRATION("'trimmed_to':{'x':0.4,'y':0.39,'goal':'light','output_lm':500},", "", "")},
    {"calibration/1", "A unit", "units.0", CALIBRATION("", "", "")},
    {"calibration/1", "An emitter of a unit", "units.0.emitters.0", CALIBRATION("", "", "")},
    {"calibration/1", "An emitter of a unit", "units.0.emitters.0",
     CALIBRATION("", "", ",'measured':true,'curve':[[0,0],[0.5,0.2],[1,1]]")},
    {"calibration/1", "Sharing", "units.0.sharing",
     CALIBRATION("", "'sharing':{'droop':0.1},", "")},
    {"calibration/1", "An emitter of a unit", "units.0.emitters.0",
     CALIBRATION("", "", ",'measured':true,'curve':[[0,0],[0.5,0.2],[1,1]]")},
    {"calibration/1", "Sharing", "units.0.sharing",
     CALIBRATION("", "'sharing':{'limit':0.9},", "")},
    {"calibration/1", "A setting that was read", "units.0.read.0",
     CALIBRATION("", "'read':[{'codes':[1,0],'dimmer':1,'repeats':1,'round':1}],", "")},

    {"filter/1", "The file", "",
     "{'metamer':'filter/1','name':'n','mired_shift':100,'reference':'3200'}"},
    {"filter/1", "The file", "",
     "{'metamer':'filter/1','name':'n','duv_shift':0.01,'reference':'3200'}"},
    {"filter/1", "The file", "",
     "{'metamer':'filter/1','name':'n','transmittance':[[380,0.5],[780,0.9]]}"},

    {"meter/1", "The file", "", "{'metamer':'meter/1','matrix':[[1,0,0],[0,1,0],[0,0,1]]}"},
    {NULL, NULL, NULL, NULL},
};

/** A range that help states in words, or whose ends depend on what stands beside: what is read,
 * what is refused, and words of those sentences (NULL: they name least and most). */
struct stated {
    const char *format, *title, *key;
    double least, most, below, above;
    const char *words_below, *words_above;
    const char *example; /**< in place of that of help; or NULL */
};

#define NO_COLOUR "is not a chromaticity"
#define NONE_READ "is no chromaticity (x >= 0, y > 0, x + y <= 1)"

static const struct stated file_stated[] = {
    {"fixture/1", "An emitter", "x", 0, 0.7, -1e-9, 0.7001, "from 0 to 1", "x + y", NULL},
    {"fixture/1", "An emitter", "y", 0.001, 0.59, 0.00099, 0.5901, "from 0.001 to 1", "x + y",
     NULL},
    {"fixture/1", "A curve, as an object", "table", 0, 1, -1e-9, 1.0001, NULL, NULL,
     "[[0, 0], [1, 1]]"},
    {"fixture/1", "mixes, of a mode", "x", 0, 1, -1e-9, 1.0001, NULL, NULL, "[0, 0.5]"},
    {"fixture/1", "mixes, of a mode", "y", 0, 1, -1e-9, 1.0001, NULL, NULL, "[0, 0.5]"},
    {"show/1", "The file", "observer_deg", 2, 10, 1, 11, "allowed are 2 and 10",
     "allowed are 2 and 10", NULL},
    {"show/1", "A colour", "xy", 0, 0.5959, -1e-9, 0.596, "from 0 to 1", NO_COLOUR, NULL},
    {"show/1", "A colour", "uv", 0, 0.5279, -1e-9, 0.5281, "from 0 to 1", NO_COLOUR, NULL},
    {"show/1", "A colour", "codes", 0, 65535, -1, 65536, "0 to 65535", "0 to 65535", NULL},
    {"readings/1", "A reading", "code", 0, 255, -1, 256, "0 to 255", "0 to 255", NULL},
    {"readings/1", "A reading", "codes", 0, 255, -1, 256, "0 to 255", "0 to 255", NULL},
    {"readings/1", "A reading", "x", 0, 0.7049, -1e-9, 0.7051, NONE_READ, NONE_READ, NULL},
    {"readings/1", "A reading", "y", 1e-6, 0.8349, 0, 0.8351, NONE_READ, NONE_READ, NULL},
    {"readings/1", "A reading", "u'", 0, 0.477, -1e-9, 0.478, NONE_READ, NONE_READ, NULL},
    {"readings/1", "A reading", "v'", 0.001, 0.562, 0, 0.563, NONE_READ, NONE_READ, NULL},
    {"readings/1", "A spectrum", "first_nm", 300, 700, 199.9, 1000.1, "from 200 to 1000",
     "from 200 to 1000", NULL},
    {"readings/1", "A spectrum", "values", 0, 1e4, -1.1e12, 1.1e12, "from -1e+12 to 1e+12",
     "from -1e+12 to 1e+12", NULL},
    {"filter/1", "The file", "mired_shift", -200, 300, -300.1, 300.1, "from -300 to 300",
     "from -300 to 300", NULL},
    {"filter/1", "The file", "duv_shift", -0.03, 0.03, -0.0401, 0.0401, "from -0.04 to 0.04",
     "from -0.04 to 0.04", NULL},
    {NULL, NULL, NULL, 0, 0, 0, 0, NULL, NULL, NULL},
};

/** A default that help states in words, as JSON. */
struct meant {
    const char *title, *key, *json;
};

static const struct meant file_meant[] = {
    {"Limits", "most_level", "{\"red\": 1}"},
    {"A cue", "down_s", "3"},
    {"A cue", "path", "\"light\""},
    {"A cue", "curve", "\"lightness\""},
    {"A cue", "goal", "\"light\""},
    {"A cue", "leave_dark_uv", "0"},
    {"A cue", "dimming", "\"finest\""},
    {"A setting", "path", "\"light\""},
    {"A setting", "curve", "\"lightness\""},
    {"A setting", "goal", "\"light\""},
    {"A setting", "leave_dark_uv", "0"},
    {"A setting", "dimming", "\"finest\""},
    {NULL, NULL, NULL},
};

/** A command that tells what a file, f.json, holds. */
struct observed {
    const char *format, *line;
};

static const struct observed file_observed[] = {
    {"fixture/1", "fixture f.json --curve"},
    {"fixture/1", "match of-f.json --xy 0.5,0.35 --output 40% --format json"},
    {"fixture/1", "load of-f.json --format json"},
    {"rig/1", "match f.json --cct 3200 --output 40% --together --format json"},
    {"rig/1", "load f.json --format json"},
    {"show/1", "fade f.json --format csv --units apron-wash,hall-left"},
    {"readings/1", "trim hall.json f.json --cct 3500 --units apron-wash --format json"},
    {"calibration/1",
     "match hall.json --calibration f.json --cct 3500 --units hall-left --output 40% "
     "--format json"},
    {"calibration/1", "trim hall.json cool.json --calibration f.json --cct 4500 --units hall-left "
                      "--format json"},
    {"filter/1", "filter f.json --format json"},
    {"meter/1",
     "trim hall.json read.json --meter f.json --cct 3500 --units hall-left --format json"},
    {NULL, NULL},
};

/** Files that stand beside. */
struct beside {
    const char *name, *text;
};

static const struct beside file_beside[] = {
    {"of-f.json",
     "{'metamer':'rig/1','name':'of f','units':[{'name':'one','fixture':'f.json','mode':'m'}]}"},
    {"cool.json", "{'metamer':'readings/1','readings':["
                  "{'unit':'hall-left','emitter':'cool','x':0.315,'y':0.329,'lux':36}]}"},
    {"read.json", "{'metamer':'readings/1','readings':["
                  "{'unit':'hall-left','emitter':'warm','x':0.459,'y':0.411,'lux':31},"
                  "{'unit':'hall-left','emitter':'warm','code':30000,'x':0.459,'y':0.411,'lux':14},"
                  "{'unit':'hall-left','emitter':'cool','x':0.315,'y':0.329,'lux':36}]}"},
    {NULL, NULL},
};

#endif
