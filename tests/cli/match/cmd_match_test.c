/* SPDX-License-Identifier: MIT */
/* metamer match: what it answers on the example rig, in every format, and what it refuses. */
#include "support/command.h"

#include <metamer/colour.h>

#include <cjson/cJSON.h>

#define HALL "match examples/hall.json "

#define PALETTE "--targets examples/palette.json "

static double number_of(const cJSON *object, const char *key)
{
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(object, key);

    if (!cJSON_IsNumber(item))
        fail_msg("no number \"%s\"", key);
    return item->valuedouble;
}

static cJSON *match_json(const char *line, int status)
{
    struct ran ran = run_line(line);

    if (ran.status != status)
        fail_msg("%s: exit %d, wanted %d: %s", line, ran.status, status, ran.err);
    cJSON *root = cJSON_Parse(ran.out);
    assert_non_null(root);
    ran_free(&ran);
    return root;
}

/* Each unit's slots lie inside 1..512 and hold bytes, and no two units share one. */
static void check_slots(const cJSON *units)
{
    static unsigned char used[4][513];

    memset(used, 0, sizeof used);
    for (const cJSON *unit = units->child; unit != NULL; unit = unit->next) {
        const cJSON *slots = cJSON_GetObjectItemCaseSensitive(unit, "slots");
        assert_true(cJSON_GetArraySize(slots) >= 2);
        for (const cJSON *slot = slots->child; slot != NULL; slot = slot->next) {
            int universe = (int)number_of(slot, "universe");
            int address = (int)number_of(slot, "address");
            double value = number_of(slot, "value");
            assert_in_range(universe, 1, 3);
            assert_in_range(address, 1, 512);
            assert_true(value >= 0 && value <= 255 && value == floor(value));
            assert_int_equal(used[universe][address]++, 0);
        }
    }
}

static void test_json(void **state)
{
    static const char *const keys[] = {"name",    "levels",  "codes",    "slots",     "x",
                                       "y",       "u_prime", "v_prime",  "cct_k",     "duv",
                                       "flux_lm", "watts",   "delta_uv", "reachable", "reason"};
    cJSON *root = match_json(HALL "--cct 3200 --format json", EXIT_DONE);
    const cJSON *units = cJSON_GetObjectItemCaseSensitive(root, "units");
    int five = 0;
    int two = 0;

    (void)state;
    assert_true(cJSON_GetArraySize(units) >= 5);
    for (const cJSON *unit = units->child; unit != NULL; unit = unit->next) {
        for (size_t i = 0; i < COUNT(keys); i++) {
            if (cJSON_GetObjectItemCaseSensitive(unit, keys[i]) == NULL)
                fail_msg("no key \"%s\"", keys[i]);
        }
        int emitters = cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(unit, "levels"));
        five += emitters == 5;
        two += emitters == 2;
        /* a unit that reaches 3200 K shows it: 3200 K within what 8-bit codes can do */
        if (cJSON_IsTrue(cJSON_GetObjectItemCaseSensitive(unit, "reachable")) &&
            number_of(unit, "delta_uv") < 0.0005)
            CHECK_NEAR("cct", number_of(unit, "cct_k"), 3200, 30);
    }
    assert_true(five > 0 && two > 0);
    check_slots(units);
    cJSON_Delete(root);
}

static void test_together(void **state)
{
    cJSON *root = match_json(HALL "--cct 4000 --together --output 50% --format json", EXIT_DONE);
    const cJSON *together = cJSON_GetObjectItemCaseSensitive(root, "together");
    const cJSON *units = cJSON_GetObjectItemCaseSensitive(root, "units");
    double output = number_of(together, "flux_lm");

    (void)state;
    assert_true(cJSON_IsTrue(cJSON_GetObjectItemCaseSensitive(together, "exists")));
    assert_true(cJSON_IsString(cJSON_GetObjectItemCaseSensitive(together, "limits_output")));
    for (const cJSON *unit = units->child; unit != NULL; unit = unit->next)
        CHECK_NEAR("output", number_of(unit, "flux_lm"), output, 0.03 * output);
    cJSON_Delete(root);
}

static void test_tolerance(void **state)
{
    struct ran ran = run_line(HALL "--xy 0.15,0.75 --tolerance 0.003");

    (void)state;
    assert_int_equal(ran.status, EXIT_MISSED);
    CHECK_HOLDS(ran.out, "Tolerance Δu'v' 0.0030: missed.");
    CHECK_HOLDS(ran.out, "outside its gamut");
    ran_free(&ran);
    ran = run_line(HALL "--cct 3200 --tolerance 0.5");
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "Tolerance Δu'v' 0.5000: met.");
    ran_free(&ran);
}

/* 3200 K lies inside the gamut of all five-colour washes, which end there at their power limit of
 * 90 W, and beside the line of the tunable whites. */
static void test_reachable(void **state)
{
    cJSON *root = match_json(HALL "--cct 3200 --units front-left-wash,hall-left --format json", 0);
    const cJSON *wash = cJSON_GetObjectItemCaseSensitive(root, "units")->child;
    struct ran csv = run_line(HALL "--cct 3200 --units front-left-wash,hall-left --format csv");

    (void)state;
    CHECK_NEAR("watts", number_of(wash, "watts"), 90, 0.01);
    assert_true(cJSON_IsTrue(cJSON_GetObjectItemCaseSensitive(wash, "reachable")));
    assert_true(cJSON_IsNull(cJSON_GetObjectItemCaseSensitive(wash, "reason")));
    assert_true(cJSON_IsFalse(cJSON_GetObjectItemCaseSensitive(wash->next, "reachable")));
    assert_true(cJSON_IsString(cJSON_GetObjectItemCaseSensitive(wash->next, "reason")));
    CHECK_HOLDS(csv.out, ",yes,,");
    CHECK_HOLDS(csv.out, ",no,outside its gamut,");
    cJSON_Delete(root);
    ran_free(&csv);
    root = match_json(HALL "--cct 3200 --units front-left-wash --output 1e6lm --format json", 0);
    wash = cJSON_GetObjectItemCaseSensitive(root, "units")->child;
    assert_true(cJSON_IsFalse(cJSON_GetObjectItemCaseSensitive(wash, "reachable")));
    cJSON_Delete(root);
}

/* What a table must say; the first part that is not there fails. */
static const struct said {
    const char *name; /* the line */
    const char *part;
    const char *never;
} said[] = {
    {HALL "--cct 3200 --output 5000lm --units hall-left", "outside its gamut, at most",
     "on the target"},
    {HALL "--cct 3200 --output 5000lm --units back-left-wash", "0.0000  ~51  at most 1827 lm",
     "gamut"},
    {HALL "--cct 3200 --output 5000lm --together",
     "1781 lm of 5000 lm asked for; back-left-wash limits", NULL},
    {HALL "--cct 3200 --output 0.3% --units hall-right", "  outside its gamut 0.0059,\n", NULL},
    {HALL "--cct 3200 --units hall-left", "0.0059   69  outside its gamut\n", "steps of"},
    {HALL "--cct 3200 --units side-right-batten", "  steps of its codes\n", "gamut"},
    {"match examples/limits.json --cct 3200 --output 50% --units free,careful --together",
     "careful limits the output (limit of green: 90 %)", NULL},
    {"match examples/limits.json --cct 3200 --output 5000lm --together",
     "no blue limits the output.", "(limit of green: 90 %)"},
    {"match examples/limits.json --cct 3200 --together",
     "away from the target: an emitter stays dark by its limits.", NULL},
    {"match examples/limits.json --targets examples/palette.json --kinds",
     "limits of no blue: five-colour", "five-colour wash, 16-bit (4)"},
    {"match tests/fuzz/corpus/rig/purity.json --xy 0.6,0.33", "held to a purity of 50 %",
     "outside its gamut"},
    {"match tests/fuzz/corpus/rig/purity.json --xy 0.17,0.1 --together",
     "warm pastel holds the colour Δu'v' 0.2263 away from the target by its most purity.", NULL},
    {"rig examples/limits.json", "  limits: lime up to 30 %, headroom 10 %", NULL},
    {"match examples/limits.json --cct 3200 --output 1% --units even",
     "below the lowest level of 5 %: dark", NULL},
    {"match examples/limits.json --cct 3200 --output 4% --units even",
     "held by the lowest level of 5 %", "outside its gamut"},
    {HALL "--cct 3200 --output 500lm --together", "and 500 lm.", "limits the output"},
    {HALL "--cct 3200 --output 50% --together", "lm; back-left-wash limits the output.", NULL},
    {HALL "--cct 3200 --output 0.5lm --units front-left-wash", "front-left-wash    0.50  0.0074  ",
     NULL},
    {HALL "--cct 3200 --output 0lm", "No light was asked for.", "on the target"},
    {HALL "--cct 3200 --output 0lm", "       0    0.0       -", "gamut"},
    {HALL "--cct 3200 --units front-left-wash", "front-left-wash is on the target.", "All that"},
    {"match examples/foyer.json --cct 3200 --quality --units bar-back-1,bar-back-2",
     "2 of 2 lit units cannot be judged: emitters known by x, y only", "No two"},
    {HALL "--cct 3200 --quality --units hall-left", "0.0059   68   69  outside", "No two"},
    {HALL "--cct 3200 --observer 10 --output 500lm", "as the 10° observer sees it", NULL},
    {HALL "--xy 0.16,0.09 --leave-dark 0.02 --units hall-left,apron-wash", "left dark: no nearer",
     "All that are lit"},
    {HALL "--xy 0.16,0.09 --leave-dark 0.02", "3 left dark: farther from the target than", "gamut"},
    {HALL "--xy 0.16,0.09 --leave-dark 0.02 --format csv", ",no,left dark: no nearer than 0.2519,",
     NULL},
    {HALL "--xy 0.16,0.09 --leave-dark 0.3", "outside its gamut", "left dark"},
    {HALL PALETTE "--leave-dark 0.05", "\n6 left dark: ", NULL},
    {HALL "--xy 0.16,0.09 --leave-dark 0.02 --together",
     "All aim at x 0.1600, y 0.0900 and 674 lm; back-left-wash limits the output.\n3 left dark: ",
     "holds the colour"},
    {HALL "--xy 0.08,0.83 --leave-dark 0.001 --together", "\n13 left dark: ", "No chromaticity"},
    {HALL PALETTE "--leave-dark 0.05 --together", "\ndeep blue: All aim at x 0.1600, y 0.0900 and",
     NULL},
    {"match tests/data/tight-rig.json " PALETTE "--within-load",
     "Output lowered for the rating of a port or supply in ", NULL},
    {HALL PALETTE "--leave-dark 0.05 --units hall-left", "0.0079    dark    dark\n", NULL},
    {HALL "--filter 'half CTB' --over 3200 --intensity apart --units hall-centre",
     "\nhall-centre  2/5           -   186   178\n", NULL},
    {HALL "--cct 3200 --intensity apart", "The dimmer (-) is left to the console", NULL},
    {HALL "--cct 3200 --intensity apart --units hall-right",
     "No unit has a dimmer to leave to the console", "(-)"},
    {HALL "--cct 3200 --intensity apart --units hall-centre --format csv", ",- 255 58,", NULL},
    {HALL PALETTE "--intensity apart --units hall-centre --format csv", ",- 255 21,", NULL},
    {HALL "--cct 3200 --intensity apart --units hall-centre --format json",
     "\"codes\": { \"dimmer\": null, \"warm\": 255, \"cool\": 58 }", "\"dimming\": \"emitters\""},
    {HALL "--cct 3200 --intensity apart --units hall-centre --format json",
     "{ \"universe\": 2, \"address\": 5, \"value\": null }", NULL},
    {HALL "--cct 3200 --intensity apart --format json", "\"intensity\": \"apart\"", NULL},
    {HALL PALETTE "--intensity apart --format json", "\"intensity\": \"apart\"", NULL},
    {HALL "--cct 3200 --format json", "\"intensity\": \"with\"", "null, \"warm\""},
    {HALL "--cct 3200 --output 30% --dimming dimmer --units hall-centre,hall-right",
     "most light.\nhall-right has no dimmer beside its emitters: --dimming chooses nothing.\n",
     "stays at full"},
    {HALL "--cct 3200 --output 30% --dimming emitters", "The emitters carry the output: the dimmer",
     "most light"},
    {HALL "--cct 3200 --dimming emitters --units hall-left,hall-right",
     "2 units have no dimmer beside their emitters: --dimming chooses nothing there.", "carry"},
    {HALL "--cct 3200 --output 30% --dimming emitters --units hall-centre",
     "\nhall-centre  2/5         255   ", "no dimmer"},
    {HALL "--cct 3200 --output 30% --dimming emitters --together --units hall-centre",
     "\nhall-centre  2/5         255   ", NULL},
    {HALL PALETTE "--output 30% --dimming dimmer", "The dimmer carries the output", NULL},
    {HALL "--cct 3200 --output 30% --dimming finest", "goal light", "carr"},
    {HALL "--cct 3200 --units hall-centre --format json", "\"dimming\": \"finest\"", NULL},
    {HALL "--cct 3200 --dimming dimmer --units hall-centre --format json",
     "\"dimming\": \"dimmer\"", NULL},
    {HALL "--cct 3200 --dimming dimmer --units hall-right --format json", "\"dimming\": null",
     NULL},
    {HALL PALETTE, "5 colours of evening palette, 2° observer, goal light: Δu'v' from each\n",
     NULL},
    {HALL PALETTE, "lamp    dusk    moon     sea    deep\n", "slot values"},
    {HALL PALETTE "--units hall-left", "\nhall-left  0.0030  0.0382  0.0079  0.0811  0.2519\n",
     NULL},
    {HALL PALETTE "--kinds", "\nfive-colour wash, 16-bit (2) ", "front-left-wash"},
    {HALL PALETTE "--kinds --as codes", "\nall 2 units  1/1 to 1/13  lamp  ", NULL},
    {HALL PALETTE "--as slots --units hall-right", "\nhall-right  2/8      lamp        255    21\n",
     NULL},
    {HALL PALETTE "--tolerance 0.5", "Tolerance Δu'v' 0.5000: met.\n", NULL},
    {"match examples/foyer.json " PALETTE, "\nceiling-1 to ceiling-5    0.00", "ceiling-2"},
};

static void check_lacks(const char *text, const char *part)
{
    if (text == NULL || strstr(text, part) != NULL)
        fail_msg("\"%s\" is said in: %s", part, text != NULL ? text : "nothing");
}

static void test_said(void **state)
{
    const struct said *row = *state;
    struct ran ran = run_line(row->name);

    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, row->part);
    if (row->never != NULL)
        check_lacks(ran.out, row->never);
    ran_free(&ran);
}

/* A unit of 24 slots: its values go on in a second part, under heads of its own. */
static void test_many_slots(void **state)
{
    char folder[] = "/tmp/metamer-match-XXXXXX";
    char path[2][64];
    char line[128];

    (void)state;
    assert_non_null(mkdtemp(folder));
    (void)snprintf(path[0], sizeof path[0], "%s/f.json", folder);
    (void)snprintf(path[1], sizeof path[1], "%s/r.json", folder);
    FILE *file = fopen(path[0], "w");
    assert_non_null(file);
    (void)fprintf(file, "{\"metamer\":\"fixture/1\",\"name\":\"f\",\"emitters\":[");
    for (int i = 0; i < 12; i++)
        (void)fprintf(file,
                      "%s{\"name\":\"e%d\",\"peak_nm\":%d,\"fwhm_nm\":20,\"flux_lm\":100,"
                      "\"watts\":5}",
                      i > 0 ? "," : "", i, 440 + 20 * i);
    (void)fprintf(file, "],\"modes\":[{\"name\":\"m\",\"slots\":[");
    for (int i = 0; i < 12; i++)
        (void)fprintf(file, "%s\"e%d\",\"e%d.fine\"", i > 0 ? "," : "", i, i);
    (void)fprintf(file, "]}]}");
    assert_int_equal(fclose(file), 0);
    file = fopen(path[1], "w");
    assert_non_null(file);
    (void)fprintf(file,
                  "{\"metamer\":\"rig/1\",\"name\":\"r\",\"units\":[{\"name\":\"u\",\"fixture\":"
                  "\"f.json\",\"mode\":\"m\",\"universe\":1,\"address\":1}]}");
    assert_int_equal(fclose(file), 0);
    (void)snprintf(line, sizeof line, "match %s --cct 4000", path[1]);
    struct ran ran = run_line(line);
    for (int i = 0; i < 2; i++)
        (void)unlink(path[i]);
    (void)rmdir(folder);
    assert_int_equal(ran.status, EXIT_DONE);
    for (const char *at = ran.out; at != NULL; at = strchr(at + 1, '\n')) {
        if (strcspn(at + 1, "\n") > 106) /* 100 columns; a few letters take two bytes and more */
            fail_msg("too wide: %.120s", at);
    }
    CHECK_HOLDS(ran.out, "\n\nUnit  Address  "); /* the second part */
    ran_free(&ran);
}

static size_t commas_in_line(const char *text)
{
    size_t count = 0;

    for (; *text != '\n' && *text != '\0'; text++)
        count += *text == ',';
    return count;
}

/* A head for every column, and no minus before a row of zeros. */
static void test_csv_columns(void **state)
{
    struct ran ran = run_line(HALL "--cct 3200 --format csv --quality");
    int lines = 0;

    (void)state;
    for (const char *line = ran.out; line != NULL && line[0] != '\0' && line[1] != '\0'; lines++) {
        assert_int_equal(commas_in_line(line + (*line == '\n')), commas_in_line(ran.out));
        line = strchr(line + 1, '\n');
    }
    assert_true(lines >= 6);
    check_lacks(ran.out, "-0.000000");
    ran_free(&ran);
    ran = run_line(HALL "--cct 3200 --format json");
    check_lacks(ran.out, "-0.000000");
    ran_free(&ran);
}

static void test_csv(void **state)
{
    struct ran table = run_line(HALL "--cct 3200");
    struct ran csv = run_line(HALL "--cct 3200 --format csv");
    int lines = 0;

    (void)state;
    assert_int_equal(csv.status, EXIT_DONE);
    CHECK_HOLDS(csv.out, "unit,universe,address,flux_lm,watts,x,y");
    for (const char *c = csv.out; *c != '\0'; c++)
        lines += *c == '\n';
    assert_true(lines >= 6);
    CHECK_HOLDS(table.out, "five-colour wash, mode 16-bit: slot values\n");
    ran_free(&table);
    ran_free(&csv);
}

/* x and y of the first unit of a CSV answer. */
static mtm_xy first_xy(const char *line)
{
    struct ran ran = run_line(line);
    const char *at = ran.out != NULL ? strchr(ran.out, '\n') : NULL;
    mtm_xy xy = {0, 0};

    for (int column = 0; at != NULL && column < 5; column++)
        at = strchr(at + 1, ',');
    if (ran.status != EXIT_DONE || at == NULL) {
        fail_msg("%s: %s", line, ran.err);
    } else {
        char *end = NULL;
        xy.x = strtod(at + 1, &end);
        assert_int_equal(*end, ',');
        xy.y = strtod(end + 1, NULL);
    }
    ran_free(&ran);
    return xy;
}

/* All the ways to state one colour agree: D65 as CIE 015:2018 prints it, x 0.3127, y 0.3290. */
static void test_same_target(void **state)
{
    static const char *const lines[] = {
        HALL "--uv 0.19783,0.46832 --format csv",
        HALL "--xyz 95.0456,100,108.9058 --format csv",
        HALL "--rgb 1,1,1 --format csv",
        HALL "--rgb 255,255,255 --space rec2020 --format csv",
    };
    mtm_xy plain = first_xy(HALL "--xy 0.3127,0.3290 --format csv");

    (void)state;
    for (size_t i = 0; i < COUNT(lines); i++) {
        mtm_xy xy = first_xy(lines[i]);
        CHECK_NEAR(lines[i], xy.x, plain.x, 0.0003);
        CHECK_NEAR(lines[i], xy.y, plain.y, 0.0003);
    }
}

/* Matching a unit to itself at some codes gives its colour back. */
static void test_like(void **state)
{
    cJSON *plain = match_json(HALL "--cct 3200 --format json", EXIT_DONE);
    const cJSON *unit = cJSON_GetObjectItemCaseSensitive(plain, "units")->child;
    const cJSON *codes = cJSON_GetObjectItemCaseSensitive(unit, "codes");
    char line[512];
    size_t used = (size_t)snprintf(line, sizeof line, HALL "--format json --units %s --like %s=",
                                   cJSON_GetObjectItemCaseSensitive(unit, "name")->valuestring,
                                   cJSON_GetObjectItemCaseSensitive(unit, "name")->valuestring);

    (void)state;
    for (const cJSON *code = codes->child; code != NULL; code = code->next)
        used += (size_t)snprintf(line + used, sizeof line - used, "%s%.0f",
                                 code == codes->child ? "" : ",", code->valuedouble);
    cJSON *like = match_json(line, EXIT_DONE);
    const cJSON *back = cJSON_GetObjectItemCaseSensitive(like, "units")->child;
    CHECK_NEAR("x", number_of(back, "x"), number_of(unit, "x"), 0.0005);
    CHECK_NEAR("y", number_of(back, "y"), number_of(unit, "y"), 0.0005);
    cJSON_Delete(plain);
    cJSON_Delete(like);
}

/* Codes, slots and per cent of a unit of two 16-bit emitters that say the same. */
static void test_like_forms(void **state)
{
    static const char *const forms[] = {"--like hall-left=51400,30840", "--like hall-left=80%,48%",
                                        "--like hall-left=slots:200,200,120,120",
                                        "--like 'hall-left=slots:200 200 120 120'"};
    mtm_xy first = {0, 0};

    (void)state;
    for (size_t i = 0; i < COUNT(forms); i++) {
        char line[256];
        (void)snprintf(line, sizeof line, HALL "%s --units hall-left --format csv", forms[i]);
        mtm_xy xy = first_xy(line);
        first = i == 0 ? xy : first;
        CHECK_NEAR(forms[i], xy.x, first.x, 5e-6);
        CHECK_NEAR(forms[i], xy.y, first.y, 5e-6);
    }
}

/* Mixtures of three narrow lines and of five emitters agree to the 2 degree eye only. */
static void test_quality(void **state)
{
    cJSON *root = match_json(HALL "--daylight 5000 --quality --format json", EXIT_DONE);
    const cJSON *pairs = cJSON_GetObjectItemCaseSensitive(root, "metameric_pairs");
    const cJSON *unit = cJSON_GetObjectItemCaseSensitive(root, "units")->child;

    (void)state;
    assert_true(cJSON_GetArraySize(pairs) > 0);
    for (const cJSON *pair = pairs->child; pair != NULL; pair = pair->next) {
        assert_true(number_of(pair, "delta_uv") <= 0.0033);
        assert_true(number_of(pair, "delta_uv_other_observer") > 0.0033 ||
                    number_of(pair, "ssi") < 60);
    }
    assert_true(number_of(unit, "ra") > 50 && number_of(unit, "ra") <= 100);
    assert_true(number_of(unit, "rf") > 50 && number_of(unit, "rf") <= 100);
    cJSON_Delete(root);
    struct ran ran = run_line(HALL "--daylight 5000 --quality --units hall-left,hall-right");
    CHECK_HOLDS(ran.out, "No two that agree within");
    ran_free(&ran);
}

static double sum_of(const cJSON *units, const char *key)
{
    double sum = 0;

    for (const cJSON *unit = units->child; unit != NULL; unit = unit->next)
        sum += number_of(unit, key);
    return sum;
}

#define TIGHT "match tests/data/tight-rig.json --cct 3200 --format json "

/* A colour of a palette is what it is alone: 3 is "sea green", x 0.24, y 0.42. */
static void check_palette_colour(const char *options)
{
    char line[300];

    (void)snprintf(line, sizeof line, "match tests/data/tight-rig.json " PALETTE "%s --format json",
                   options);
    cJSON *many = match_json(line, EXIT_DONE);
    (void)snprintf(line, sizeof line,
                   "match tests/data/tight-rig.json --xy 0.24,0.42 %s --format json", options);
    cJSON *one = match_json(line, EXIT_DONE);
    cJSON *colour = cJSON_GetArrayItem(cJSON_GetObjectItemCaseSensitive(many, "colours"), 3);
    static const char *const keys[] = {"units", "together"};

    for (size_t i = 0; i < COUNT(keys); i++) {
        char *a = cJSON_Print(cJSON_GetObjectItemCaseSensitive(colour, keys[i]));
        char *b = cJSON_Print(cJSON_GetObjectItemCaseSensitive(one, keys[i]));
        assert_true((a == NULL) == (b == NULL));
        if (a != NULL && b != NULL)
            assert_string_equal(a, b);
        cJSON_free(a);
        cJSON_free(b);
    }
    cJSON_Delete(one);
    cJSON_Delete(many);
}

static void test_palette_as_one(void **state)
{
    (void)state;
    check_palette_colour("");
    check_palette_colour("--within-load");
    check_palette_colour("--together");
    check_palette_colour("--together --within-load");
    check_palette_colour("--together --leave-dark 0.01");
}

/* Ports of 60 W and a supply of 120 W bind; colours stay, light is given up. */
static void test_within_load(void **state)
{
    cJSON *free_run = match_json(TIGHT, EXIT_DONE);
    cJSON *held = match_json(TIGHT "--within-load", EXIT_DONE);
    cJSON *joined = match_json(TIGHT "--within-load --together", EXIT_DONE);
    const cJSON *before = cJSON_GetObjectItemCaseSensitive(free_run, "units");
    const cJSON *after = cJSON_GetObjectItemCaseSensitive(held, "units");
    const cJSON *common = cJSON_GetObjectItemCaseSensitive(joined, "units");

    (void)state;
    assert_true(sum_of(before, "watts") > 120);
    assert_true(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(free_run, "overloads")) >= 3);
    assert_int_equal(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(held, "overloads")), 0);
    assert_true(sum_of(after, "watts") <= 120);
    assert_true(sum_of(after, "flux_lm") > 0.4 * sum_of(before, "flux_lm"));
    for (const cJSON *unit = after->child; unit != NULL; unit = unit->next) {
        assert_true(number_of(unit, "watts") <= 60);
        assert_true(number_of(unit, "delta_uv") < 0.001);
    }
    assert_true(sum_of(common, "watts") <= 120);
    CHECK_NEAR("one output", number_of(common->child, "flux_lm"),
               number_of(common->child->next, "flux_lm"),
               0.02 * number_of(common->child, "flux_lm"));
    cJSON_Delete(free_run);
    cJSON_Delete(held);
    cJSON_Delete(joined);
    struct ran ran = run_line("match tests/data/tight-rig.json --cct 3200");
    CHECK_HOLDS(ran.out, "Overload: supply shelf would carry");
    CHECK_HOLDS(ran.out, "Overload: port 1 of supply shelf would carry 90 W of 60 W");
    ran_free(&ran);
}

/* Every colour of a palette is what the same colour alone gives, unit by unit; a kind is its
 * farthest unit. */
static void test_palette(void **state)
{
    cJSON *many = match_json(HALL PALETTE "--format json", EXIT_DONE);
    cJSON *kinds = match_json(HALL PALETTE "--kinds --format json", EXIT_DONE);
    cJSON *one = match_json(HALL "--xy 0.24,0.42 --format json", EXIT_DONE);
    const cJSON *colour = cJSON_GetArrayItem(cJSON_GetObjectItem(many, "colours"), 3);
    const cJSON *units = cJSON_GetObjectItem(colour, "units");
    const cJSON *alone = cJSON_GetObjectItem(one, "units");
    double units_of_kinds = 0;

    (void)state;
    assert_string_equal(cJSON_GetObjectItem(colour, "name")->valuestring, "sea green");
    assert_true(cJSON_Compare(units, alone, true));
    colour = cJSON_GetArrayItem(cJSON_GetObjectItem(kinds, "colours"), 3);
    const cJSON *list = cJSON_GetObjectItem(colour, "kinds");
    for (const cJSON *kind = list->child; kind != NULL; kind = kind->next)
        units_of_kinds += number_of(kind, "units");
    assert_int_equal(units_of_kinds, cJSON_GetArraySize(alone));
    cJSON_Delete(one);
    cJSON_Delete(kinds);
    cJSON_Delete(many);
    struct ran ran = run_line(HALL PALETTE "--tolerance 0.01");
    assert_int_equal(ran.status, EXIT_MISSED);
    CHECK_HOLDS(ran.out, "Tolerance Δu'v' 0.0100: missed in 9 of 65 matches.\n");
    ran_free(&ran);
    ran = run_line(HALL PALETTE "--kinds --format csv");
    CHECK_HOLDS(ran.out, "colour,target_x,target_y,fixture,mode,limits,units,unit,universe,");
    CHECK_HOLDS(ran.out,
                "\ndeep blue,0.160000,0.090000,five-colour wash,16-bit,,2,front-left-wash,1,1,");
    ran_free(&ran);
}

static void test_dark(void **state)
{
    struct ran ran = run_line(HALL "--cct 3200 --output 0%");

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    assert_null(strstr(ran.out, "nan"));
    ran_free(&ran);
}

static const struct row {
    const char *name; /* the line */
    const char *part;
} bad[] = {
    {"match", "something is missing; wanted is: metamer match RIG"},
    {"match nowhere.json --cct 3200", "nowhere.json: cannot be opened"},
    {"match examples --cct 3200", "examples: is a directory"},
    {"match README.md --cct 3200", "README.md: line 1, column 1: is not JSON"},
    {HALL, "no colour is stated"},
    {HALL "--cct", "--cct wants a value: K"},
    {HALL "--cct warm", "--cct: found \"warm\", allowed is a number from 1000 to 25000"},
    {HALL "--cct nan", "--cct: found \"nan\""},
    {HALL "--cct 0x1000", "--cct: found"},
    {HALL "--cct 999", "--cct: found \"999\""},
    {HALL "--cct 3200 --duv 0.06", "--duv: found \"0.06\""},
    {HALL "--cct 3200 --cct 3300", "--cct is given twice"},
    {HALL "--cct 3200 --xy 0.3,0.3", "both state a colour"},
    {HALL "--duv 0.001 --xy 0.3,0.3", "--duv goes with --cct"},
    {HALL "--space srgb --xy 0.3,0.3", "--space goes with --rgb"},
    {HALL "--xy 0.3", "wanted are 2 numbers"},
    {HALL "--xy 0.3,0.3,0.3", "wanted are 2 numbers"},
    {HALL "--xy 0,3;0,3", "wanted are 2 numbers"},
    {HALL "--xy 0.7,0.7", "is not a chromaticity"},
    {HALL "--xy -0.1,0.3", "is not a chromaticity"},
    {HALL "--xy inf,0.3", "wanted are 2 numbers"},
    {HALL "--uv 0.1,0.9", "is not a chromaticity"},
    {HALL "--xyz 0,0,0", "black has no chromaticity"},
    {HALL "--xyz -1,2,3", "none may be negative"},
    {HALL "--rgb 0,0,0", "black has no chromaticity"},
    {HALL "--rgb 256,0,0", "--rgb: found 256"},
    {HALL "--rgb 1,1", "wanted are 3 numbers"},
    {HALL "--rgb 1,1,1 --space srbg", "srgb"},
    {HALL "--rgb 1,1,1 --observer 10", "10 degree observer"},
    {HALL "--daylight 3000", "--daylight: found \"3000\""},
    {HALL "--spectrum nowhere.csv", "nowhere.csv: cannot be opened"},
    {HALL "--like nobody=1,2", "--like: "},
    {HALL "--like x", "wanted is UNIT=VALUES"},
    {HALL "--like hall-left=200,120", "--like: hall-left: these look like 8-bit values"},
    {HALL "--like hall-left=200,120", "state 78.43%,47.06% for them"},
    {HALL "--like hall-left=200", "the mode takes 2: warm 0-65535, cool 0-65535"},
    {HALL "--like hall-left=50%,30", "wanted are codes (200,120), per cent (50%,30%) or slots"},
    {HALL "--like hall-left=50%,101%", "allowed is 0 to 100"},
    {HALL "--like hall-left=slots:1,2", "the mode has 4 slots"},
    {HALL "--like hall-left=slots:1,2,3,256", "allowed are integers from 0 to 255"},
    {HALL "--like hall-left=", "wanted are codes"},
    {HALL "--cct 3200 --units nobody", "--units: "},
    {HALL "--cct 3200 --units ''", "the value is empty"},
    {HALL "--cct 3200 --output bright", "--output: found \"bright\""},
    {HALL "--cct 3200 --output 101%", "--output: found \"101%\""},
    {HALL "--cct 3200 --output -5lm", "--output: found \"-5lm\""},
    {HALL "--cct 3200 --goal best", "--goal: found \"best\", allowed are: light"},
    {HALL "--cct 3200 --beyond far", "--beyond: found \"far\", allowed are: nearest, hue, cct"},
    {HALL "--cct 3200 --beyond hue --together", "--beyond hue does not go with --together"},
    {HALL "--cct 3200 --format xml", "--format: found \"xml\", allowed are: table, json, csv"},
    {HALL "--cct 3200 --observer 5", "--observer: found \"5\", allowed are: 2, 10"},
    {HALL "--cct 3200 --tolerance -1", "--tolerance: found \"-1\""},
    {HALL "--ctc 3200", "nearest known one is --cct"},
    {HALL "more --cct 3200", "\"more\" is one word too many"},
    {HALL PALETTE "--cct 3200", "--cct"},
    {HALL "--cct 3200 --leave-dark 0", "--leave-dark: found \"0\""},
    {HALL "--cct 3200 --intensity off", "--intensity: found \"off\", allowed are: with, apart"},
    {HALL "--cct 3200 --intensity apart --output 50%", "--output"},
    {HALL "--cct 3200 --dimming half", "--dimming: found \"half\", allowed are: finest, dimmer"},
    {HALL "--cct 3200 --dimming dimmer --intensity apart", "--dimming"},
    {HALL PALETTE "--quality", "--quality"},
    {HALL "--cct 3200 --kinds", "--kinds"},
    {HALL "--targets nowhere.json", "nowhere.json: cannot be opened"},
    {HALL "--targets examples/hall.json", "found \"rig/1\", allowed is \"colours/1\""},
};

static void test_bad(void **state)
{
    const struct row *row = *state;

    expect_failure(row->name, EXIT_USAGE, row->part);
}

static void *refuse(size_t size)
{
    (void)size;
    return NULL;
}

/* A file that memory is missing for is no bad file. */
static void test_no_memory(void **state)
{
    cJSON_Hooks hooks = {.malloc_fn = refuse, .free_fn = free};

    (void)state;
    cJSON_InitHooks(&hooks);
    struct ran ran = run_line(HALL "--cct 3200");
    cJSON_InitHooks(NULL);
    assert_int_equal(ran.status, EXIT_SYSTEM);
    assert_string_equal(ran.err, "metamer match: out of memory\n");
    assert_string_equal(ran.out, "");
    ran_free(&ran);
}

int main(void)
{
    const struct CMUnitTest good[] = {
        cmocka_unit_test(test_json),           cmocka_unit_test(test_together),
        cmocka_unit_test(test_tolerance),      cmocka_unit_test(test_csv),
        cmocka_unit_test(test_same_target),    cmocka_unit_test(test_like),
        cmocka_unit_test(test_like_forms),     cmocka_unit_test(test_quality),
        cmocka_unit_test(test_within_load),    cmocka_unit_test(test_dark),
        cmocka_unit_test(test_reachable),      cmocka_unit_test(test_csv_columns),
        cmocka_unit_test(test_many_slots),     cmocka_unit_test(test_palette),
        cmocka_unit_test(test_palette_as_one), cmocka_unit_test(test_no_memory),
    };
    struct CMUnitTest tests[COUNT(bad)];
    struct CMUnitTest tables[COUNT(said)];

    ROW_TESTS(tests, bad, test_bad);
    ROW_TESTS(tables, said, test_said);
    return cmocka_run_group_tests_name("match", good, enter_source, NULL) +
           cmocka_run_group_tests_name("match says", tables, enter_source, NULL) +
           cmocka_run_group_tests_name("match refuses", tests, enter_source, NULL);
}
