/* SPDX-License-Identifier: MIT */
/* metamer trim: reports in every format, rounds, comparisons, meters, live readings, refusals. */
#define _GNU_SOURCE /* fopencookie */

#include "support/command.h"

#include "cli/trim/trim_live.h"

#include <metamer/calibration.h>
#include <metamer/colour.h>
#include <metamer/white.h>

#include <cjson/cJSON.h>
#include <dirent.h>
#include <sys/stat.h>

#define HALL "trim examples/hall.json examples/hall-readings.csv --cct 3000 "
#define BAR "trim tests/data/trim/rig.json "

#define PAIR_A                                                                                     \
    "# uncertainty xy: 0.001\n# uncertainty output: 0.02\nunit,emitter,x,y,lux\n"                  \
    "pair-1,warm,0.4990,0.4160,400\npair-1,cool,0.3300,0.3420,470\n"

static char folder[64];

static int begin(void **state)
{
    (void)snprintf(folder, sizeof folder, "/tmp/metamer-trim-XXXXXX");
    return mkdtemp(folder) == NULL ? -1 : enter_source(state);
}

static void forget(const char *name)
{
    char path[400];

    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    (void)unlink(path);
}

static int end(void **state)
{
    struct dirent *entry = NULL;

    (void)state;
    DIR *list = opendir(folder);
    if (list == NULL)
        return -1;
    while ((entry = readdir(list)) != NULL)
        forget(entry->d_name);
    (void)closedir(list);
    return rmdir(folder);
}

static void put(const char *name, const char *text)
{
    char path[128];

    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
}

/* Curves, drift and droop are as the file says: the meter alone is in doubt. */
#define SURE " --assume bend=0,dead=0,ripple=0,drift=0,droop=0,droop-apart=0,stray=0"

/* "@" in a line stands for the folder of this test. */
static const char *at_folder(const char *line, char text[1024])
{
    size_t used = 0;

    for (const char *c = line; *c != '\0' && used < 900; c++) {
        if (*c == '@')
            used += (size_t)snprintf(text + used, 1024 - used, "%s", folder);
        else
            text[used++] = *c;
    }
    text[used] = '\0';
    return text;
}

static struct ran run_at(const char *line, int status)
{
    char text[1024];
    struct ran ran = run_line(at_folder(line, text));

    if (ran.status != status)
        fail_msg("%s: exit %d, wanted %d: %s%s", text, ran.status, status, ran.out, ran.err);
    return ran;
}

static void refused(const char *line, const char *part)
{
    char text[1024];

    expect_failure(at_folder(line, text), EXIT_USAGE, part);
}

static void test_table(void **state)
{
    static const char *const parts[] = {
        "community hall, 3 units, target 3000 K, tolerance 3 steps (Δu'v' 0.0033)",
        "Meter hall meter: x, y ±0.0020, output ±4.0 % (k = 2)",
        "Before (untrimmed)",
        "After (predicted)",
        "\nfront-right-wash  1/13       255    255 ",
        "Emitter factors",
        "front-right-wash limits it",
        "with the mix of its kind it gives at most 5758 lm on the target; without it",
        "those that use the whole tolerance as well",
        "(Δu'v' 0.0033), goal light\n",
        "for the 10° observer within 0.0027 (2.5 steps: front-right-wash and apron-wash)",
        "0 inside the tolerance, 0 outside, 3 to be measured, 0 cannot be told with this meter",
        "To settle it, read each once at its codes above: front-left-wash, front-right-wash,",
        " apron-wash (3 readings; then --again). Most in doubt: response curves (front-left-wash,",
        " front-right-wash, apron-wash).",
        "The smallest tolerance that this meter can prove is 1.5 steps (Δu'v' 0.0017).",
        "The model misses the readings by",
        "Not read, so not trimmed: front-left-spot, front-right-spot,",
        "±U: expanded uncertainty of Δu'v' (k = 2): the meter, and what no reading told",
    };
    struct ran ran = run_line(HALL);

    (void)state;
    assert_int_equal(ran.status, EXIT_MISSED); /* singles prove nothing yet */
    for (size_t i = 0; i < COUNT(parts); i++)
        expect_said(ran.out, parts[i]);
    assert_string_equal(ran.err, "");
    ran_free(&ran);
}

static double number_of(const cJSON *object, const char *key)
{
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(object, key);

    if (!cJSON_IsNumber(item))
        fail_msg("no number \"%s\"", key);
    return item->valuedouble;
}

static void test_json(void **state)
{
    struct ran ran = run_line(HALL "--format json --output 50%");
    cJSON *root = cJSON_Parse(ran.out);
    double output = 0;

    (void)state;
    assert_int_equal(ran.status, EXIT_MISSED);
    assert_non_null(root);
    CHECK_NEAR("assumed", number_of(cJSON_GetObjectItemCaseSensitive(root, "assumed"), "bend"),
               0.07, 0);
    assert_true(number_of(root, "provable_steps") > 1.5);
    output = number_of(root, "flux_lm");
    const cJSON *units = cJSON_GetObjectItemCaseSensitive(root, "units");
    assert_int_equal(cJSON_GetArraySize(units), 3);
    for (const cJSON *unit = units->child; unit != NULL; unit = unit->next) {
        const cJSON *after = cJSON_GetObjectItemCaseSensitive(unit, "after");
        assert_true(number_of(after, "steps") < 1);
        CHECK_NEAR("output", number_of(after, "flux_lm"), output, 0.01 * output);
        CHECK_NEAR("headroom lost", number_of(unit, "headroom_lost"), 0.5, 0.03);
        CHECK_NEAR("temperature", number_of(after, "cct_k"), 3000, 15);
        assert_true(number_of(after, "expanded_uncertainty") > 0.0033);
    }
    cJSON_Delete(root);
    ran_free(&ran);
}

/* Each cause of a distance is named with its share. */
static void test_reasons(void **state)
{
    struct ran ran = run_line("trim examples/hall.json examples/hall-readings.csv --xy 0.2,0.7");

    (void)state;
    CHECK_HOLDS(ran.out, "apron-wash is predicted beyond the tolerance: outside its gamut");
    ran_free(&ran);
    ran = run_line("trim examples/hall.json examples/hall-readings.csv --xy 0.2,0.7 --format csv");
    CHECK_HOLDS(ran.out, ",reason,slots,");
    CHECK_HOLDS(ran.out, ",outside its gamut");
    ran_free(&ran);
}

/* The goal of the mix is said; a kind that lacks what it needs goes by light, and that is said. */
static void test_goals(void **state)
{
    (void)state;
    struct ran ran = run_line(HALL "--goal rendering --index ra");
    CHECK_HOLDS(ran.out, "goal rendering\n");
    assert_null(strstr(ran.out, "Goal light"));
    ran_free(&ran);
    put("a.csv", PAIR_A);
    char text[1024];
    ran = run_line(at_folder(BAR "@/a.csv --cct 3500 --steps 9 --goal spectrum", text));
    CHECK_HOLDS(ran.out, "goal spectrum\n");
    CHECK_HOLDS(ran.out, "Goal light, for want of spectra or of a colour temperature: pair-1.\n");
    ran_free(&ran);
    refused(HALL "--goal most", "--goal: found \"most\", allowed are: light, watts");
    refused(HALL "--index ra", "--index goes with --goal rendering");
}

/* More than the weakest unit gives would be no common output: it is cut, and said. */
static void test_output_beyond_all(void **state)
{
    struct ran ran = run_line(HALL "--format json --output 60000lm");
    cJSON *root = cJSON_Parse(ran.out);

    (void)state;
    assert_non_null(root);
    CHECK_NEAR("asked", number_of(root, "asked_flux_lm"), 60000, 0);
    const cJSON *units = cJSON_GetObjectItemCaseSensitive(root, "units");
    for (const cJSON *unit = units->child; unit != NULL; unit = unit->next) {
        const cJSON *after = cJSON_GetObjectItemCaseSensitive(unit, "after");
        assert_true(number_of(root, "flux_lm") <= number_of(unit, "most_flux_lm"));
        CHECK_NEAR("output", number_of(after, "flux_lm"), number_of(root, "flux_lm"),
                   0.002 * number_of(root, "flux_lm"));
    }
    cJSON_Delete(root);
    ran_free(&ran);
    ran = run_line(HALL "--output 60000lm");
    expect_said(ran.out, "the 60000 lm asked are more than all can give");
    ran_free(&ran);
}

static void test_csv(void **state)
{
    struct ran ran = run_line(HALL "--format csv");
    size_t lines = 0;

    (void)state;
    assert_int_equal(ran.status, EXIT_MISSED);
    for (const char *c = ran.out; *c != '\0'; c++)
        lines += *c == '\n' ? 1 : 0;
    assert_int_equal(lines, 4);
    CHECK_HOLDS(ran.out, "unit,before_read,");
    ran_free(&ran);
}

/* A meter that is too poor, or not described, cannot prove what it reads. */
static void test_poor_meter(void **state)
{
    struct ran ran = run_line(HALL "--meter-xy 0.02");

    (void)state;
    CHECK_HOLDS(ran.out, "cannot be told with this meter\n");
    CHECK_HOLDS(ran.out, "0 inside the tolerance, 0 outside, 0 to be measured, 3 cannot be told");
    assert_int_equal(ran.status, EXIT_MISSED); /* without a verdict nothing is kept to */
    ran_free(&ran);
    ran = run_line(HALL "--meter-xy 0");
    assert_int_equal(ran.status, EXIT_MISSED);
    CHECK_HOLDS(ran.out, "its uncertainty is not stated");
    ran_free(&ran);
}

/* What is known better than assumed settles it without a reading; a table of readings may say so.
 */
static void test_assume(void **state)
{
    struct ran ran = run_line(HALL "--steps 4" SURE);

    (void)state;
    CHECK_HOLDS(ran.out, "3 inside the tolerance, 0 outside, 0 to be measured");
    assert_int_equal(ran.status, EXIT_DONE);
    ran_free(&ran);
    put("known.csv", "# uncertainty xy: 0.001\n# uncertainty output: 0.02\n"
                     "# assumed droop: 0.015\nunit,emitter,x,y,Y\npair-1,warm,0.50,0.415,400\n"
                     "pair-1,cool,0.33,0.343,480\n");
    ran = run_at(BAR "@/known.csv --cct 3500 --steps 9 --format json", EXIT_MISSED);
    CHECK_HOLDS(ran.out, "\"droop\": 0.015");
    ran_free(&ran);
    refused(HALL "--assume drooop=0", "\"drooop\" is nothing that is assumed; allowed are file-xy");
    refused(HALL "--assume droop=2", "droop of 2; allowed is 0 to 0.5");
    refused(HALL "--assume droop", "wanted is NAME=NUMBER");
    put("odd.csv", "# assumed drooop: 0.01\nunit,emitter,x,y,Y\npair-1,warm,0.50,0.415,400\n");
    refused(BAR "@/odd.csv --cct 3500", "odd.csv: line 1: \"drooop\" is nothing that is assumed");
}

/* A line of two emitters misses a white beside it. */
static void test_missed(void **state)
{
    (void)state;
    put("a.csv", PAIR_A);
    struct ran ran = run_at(BAR "@/a.csv --cct 3000 --duv 0.01", EXIT_MISSED);
    CHECK_HOLDS(ran.out, "outside");
    CHECK_HOLDS(ran.out, "pair-1 is predicted beyond the tolerance");
    expect_said(ran.out, "as near as it comes to the target, which it does not reach (Δu'v' 0.0");
    assert_null(strstr(ran.out, "on the target"));
    ran_free(&ran);
}

/* Bad rows are named on the error stream, the good ones are used. */
#define TWO_KINDS                                                                                  \
    PAIR_A "wash-1,red,0.7000,0.2990,170\nwash-1,green,0.1700,0.7000,360\n"                        \
           "wash-1,blue,0.1550,0.0300,68\nwash-1,warm,0.4570,0.4100,600\n"

/* Only the units chosen are trimmed, and only they limit the output. */
static void test_units(void **state)
{
    char text[1024];

    (void)state;
    put("two.csv", TWO_KINDS);
    struct ran ran = run_line(at_folder(BAR "@/two.csv --cct 3500 --units !pair-1", text));
    CHECK_HOLDS(ran.out, "trial bar, 1 unit, target 3500 K");
    CHECK_HOLDS(ran.out, "wash-1 limits it");
    CHECK_HOLDS(ran.out, "Not read, so not trimmed: wash-2, wash-3");
    assert_null(strstr(ran.out, "pair-1"));
    ran_free(&ran);
    refused(BAR "@/two.csv --cct 3500 --units wash-2", "no unit that is chosen is calibrated");
    refused(BAR "@/two.csv --cct 3500 --units wash-9", "--units: the rig has no unit or group");
    refused(BAR "@/two.csv @/two.csv --compare --cct 3500 --units wash-1", "--units");
}

static mtm_uv uv_of(double x, double y)
{
    return mtm_uv_from_xy((mtm_xy){x, y});
}

/* A unit of two emitters reaches a line: the common white is the foot of the target on it, in u',
 * v' (geometry), which the other unit reaches too; and every unit comes to it. */
static void test_together(void **state)
{
    char text[1024];
    mtm_xy target;
    mtm_uv a = uv_of(0.4990, 0.4160); /* the readings of pair-1 */
    mtm_uv b = uv_of(0.3300, 0.3420);

    (void)state;
    assert_int_equal(mtm_white_to_xy((mtm_white){3500, 0}, &target, NULL), MTM_OK);
    mtm_uv t = mtm_uv_from_xy(target);
    double share = ((t.u - a.u) * (b.u - a.u) + (t.v - a.v) * (b.v - a.v)) /
                   ((b.u - a.u) * (b.u - a.u) + (b.v - a.v) * (b.v - a.v));
    mtm_uv foot = {a.u + share * (b.u - a.u), a.v + share * (b.v - a.v)};
    put("two.csv", TWO_KINDS);
    struct ran ran = run_line(at_folder(BAR "@/two.csv --cct 3500 --together --format json", text));
    cJSON *root = cJSON_Parse(ran.out);
    const cJSON *white = cJSON_GetObjectItem(root, "common_white");
    CHECK_NEAR("x", cJSON_GetObjectItem(white, "x")->valuedouble, mtm_xy_from_uv(foot).x, 1e-4);
    CHECK_NEAR("y", cJSON_GetObjectItem(white, "y")->valuedouble, mtm_xy_from_uv(foot).y, 1e-4);
    CHECK_NEAR("moved", cJSON_GetObjectItem(root, "common_white_delta_uv")->valuedouble,
               mtm_uv_distance(foot, t), 1e-4);
    const cJSON *unit = NULL;
    cJSON_ArrayForEach(unit, cJSON_GetObjectItem(root, "units"))
    {
        const cJSON *after = cJSON_GetObjectItem(unit, "after");
        CHECK_NEAR("after", cJSON_GetObjectItem(after, "delta_uv")->valuedouble, 0, 0.0005);
    }
    cJSON_Delete(root);
    ran_free(&ran);
    ran = run_line(at_folder(BAR "@/two.csv --cct 3500 --together", text));
    expect_said(ran.out, "all go to the nearest white to it that each of them reaches: x 0.402");
    ran_free(&ran);
    ran = run_line(at_folder(BAR "@/two.csv --cct 3500 --together --units wash-1", text));
    assert_null(strstr(ran.out, "Not every unit reaches the target"));
    ran_free(&ran);
    put("far.csv", PAIR_A "wash-1,red,0.7000,0.2990,170\nwash-1,green,0.6000,0.3900,360\n"
                          "wash-1,blue,0.6500,0.3300,68\nwash-1,warm,0.6200,0.3600,600\n");
    refused(BAR "@/far.csv --cct 3500 --together --keep all",
            "unit \"pair-1\" has no colour in common with those before it");
}

/* A later round keeps the common white of the one before. */
static void test_together_again(void **state)
{
    char text[1024];

    (void)state;
    put("two.csv", TWO_KINDS);
    struct ran first = run_line(
        at_folder(BAR "@/two.csv --cct 3500 --together --write @/kept.json --format json", text));
    put("later.csv", "# uncertainty xy: 0.001\n# uncertainty output: 0.02\nunit,emitter,x,y,lux\n"
                     "pair-1,warm,0.4992,0.4161,400\npair-1,cool,0.3301,0.3421,470\n");
    struct ran second = run_line(at_folder(
        BAR "@/later.csv --cct 3500 --together --again --write @/kept.json --format json", text));
    cJSON *then = cJSON_Parse(first.out);
    cJSON *now = cJSON_Parse(second.out);
    assert_non_null(then);
    assert_non_null(now);
    assert_true(cJSON_Compare(cJSON_GetObjectItem(then, "common_white"),
                              cJSON_GetObjectItem(now, "common_white"), true));
    cJSON_Delete(then);
    cJSON_Delete(now);
    ran_free(&first);
    ran_free(&second);
}

#define EXPORT "trim examples/hall.json examples/hall-export.csv --cct 3000"

/* The same readings under other headings, as u'v' and foot-candles, give the same common output. */
static void test_columns(void **state)
{
    struct ran ran = run_line(EXPORT " --column unit=Lamp");

    (void)state;
    assert_int_equal(ran.status, EXIT_MISSED);
    CHECK_HOLDS(ran.out, "Common output: 575");
    CHECK_HOLDS(ran.err, "line 5: column \"No.\" is not known and not used");
    ran_free(&ran);
    refused(EXPORT, "line 5: the heading needs \"unit\"");
    refused(EXPORT " --column unit", "--column: found \"unit\", wanted is NAME=HEADING");
    refused(EXPORT " --column unit=lamp", "no column has the heading \"lamp\"");
    refused(EXPORT " --column z=Lamp", "there is no column called \"z\"; known are unit, emitter");
    refused(HALL "--live --column x=x", "--column");
}

static void test_bad_rows(void **state)
{
    (void)state;
    put("a.csv", PAIR_A "pair-1,wram,0.5,0.41,390\npair-2,warm,0.5,0.41,390\n"
                        "pair-1,warm,0.4990,0.4160,0\nwash-1,red,0.30,0.69,170\n");
    struct ran ran = run_at(BAR "@/a.csv --cct 3000 --steps 20", EXIT_MISSED);
    CHECK_HOLDS(ran.err, "a.csv: line 6: emitter \"wram\" is unknown");
    CHECK_HOLDS(ran.err, "a.csv: line 7: the rig has no unit \"pair-2\"");
    CHECK_HOLDS(ran.err, "a.csv: line 8: reads nothing");
    CHECK_HOLDS(ran.err, "a.csv: line 9: unit \"wash-1\": lies");
    CHECK_HOLDS(ran.err, "x and y look swapped; left out");
    ran_free(&ran);
}

/* Who vouches for a reading is believed; a line without a reading is no line to vouch for. */
static void test_keep(void **state)
{
    (void)state;
    put("a.csv", PAIR_A "wash-1,red,0.30,0.69,170\n");
    struct ran ran = run_at(BAR "@/a.csv --cct 3000 --steps 20", EXIT_MISSED);
    CHECK_HOLDS(ran.err, "a.csv: line 6: unit \"wash-1\": lies");
    CHECK_HOLDS(ran.err, "x and y look swapped; left out");
    ran_free(&ran);
    ran = run_at(BAR "@/a.csv --cct 3000 --steps 20 --keep 6", EXIT_MISSED);
    assert_null(strstr(ran.err, "left out"));
    ran_free(&ran);
    refused(BAR "@/a.csv --cct 3000 --keep 60", "--keep 60: no reading that can be used");
    refused(BAR "@/a.csv --cct 3000 --keep six", "wanted is the number of a line, or all");
    refused(BAR "@/a.csv @/a.csv --cct 3000 --compare --keep 6",
            "--keep and --compare exclude each other");
}

/* Two readings of which one must be wrong prove nothing, until somebody vouches for both. */
static void test_contradiction(void **state)
{
    (void)state;
    put("a.csv", PAIR_A "pair-1,warm,0.4990,0.4160,520\n");
    struct ran ran = run_at(BAR "@/a.csv --cct 3500 --steps 12", EXIT_MISSED);
    CHECK_HOLDS(ran.err, "one of the two is wrong");
    CHECK_HOLDS(ran.out, " 0 outside");
    ran_free(&ran);
    ran = run_at(BAR "@/a.csv --cct 3500 --steps 12 --keep all", EXIT_DONE);
    assert_string_equal(ran.err, "");
    ran_free(&ran);
}

/* x and y exchanged in every row is one sentence. */
static void test_whole_file(void **state)
{
    (void)state;
    put("a.csv", "unit,emitter,x,y,lux\nwash-1,red,0.30,0.69,170\nwash-1,green,0.70,0.18,365\n"
                 "wash-1,blue,0.03,0.15,70\nwash-2,red,0.30,0.69,171\n");
    struct ran ran = run_at(BAR "@/a.csv --cct 3000", EXIT_USAGE);
    CHECK_HOLDS(ran.err, "x and y look swapped in the whole file: all 4 readings left out");
    assert_null(strstr(ran.err, "line "));
    ran_free(&ran);
}

/* Round two: the codes of round one were read, the report proves what they give. */
static void test_again(void **state)
{
    (void)state;
    put("a.csv", PAIR_A);
    refused(BAR "@/a.csv --cct 3000 --again", "--again starts from the calibration");
    struct ran ran = run_at(BAR "@/a.csv --cct 3500 --steps 12 --write @/c.json", EXIT_DONE);
    ran_free(&ran);
    put("b.csv", "# uncertainty xy: 0.001\nunit,codes,x,y,lux\n"
                 "pair-1,warm=120 cool=110,0.4010,0.3760,380\n");
    ran = run_at(BAR "@/b.csv --cct 3500 --steps 12 --again --write @/c.json", EXIT_DONE);
    CHECK_HOLDS(ran.out, "Before (as read)");
    CHECK_HOLDS(ran.out, "As read now");
    ran_free(&ran);
    ran = run_at("load tests/data/trim/rig.json --calibration @/c.json --format csv", EXIT_DONE);
    ran_free(&ran);
    /* a calibration of other units is refused */
    put("c.json",
        "{\"metamer\": \"calibration/1\", \"units\": [{\"unit\": \"pair-1\", \"fixture\": "
        "\"other\", \"fingerprint\": \"0123456789abcdef\", \"emitters\": []}]}");
    refused(BAR "@/b.csv --cct 3500 --calibration @/c.json",
            "the calibration of another fixture is not used");
    refused("load tests/data/trim/rig.json --calibration @/c.json",
            "the calibration of another fixture is not used");
}

/* Codes at which the fixture file knows no light give no curve, and no file that cannot be read. */
static void test_curve_from_the_dark(void **state)
{
    (void)state;
    put("a.csv", "unit,codes,x,y,lux\nside-right-batten,blue=1,0.15,0.05,0.3\n"
                 "side-right-batten,blue=2,0.15,0.05,0.5\n"
                 "side-right-batten,blue=4,0.15,0.05,0.9\n"
                 "side-right-batten,red=255,0.69,0.30,30\n");
    forget("c.json");
    struct ran ran = /* the meter's uncertainty is not stated: no verdict */
        run_at("trim examples/hall.json @/a.csv --cct 4000 --write @/c.json", EXIT_MISSED);
    ran_free(&ran);
    ran = run_at("match examples/hall.json --cct 4000 --calibration @/c.json", EXIT_DONE);
    ran_free(&ran);
}

static void test_compare(void **state)
{
    (void)state;
    put("a.csv", PAIR_A);
    put("b.csv", "unit,emitter,x,y,lux\npair-1,warm,0.4990,0.4160,320\n"
                 "pair-1,cool,0.3300,0.3420,470\n");
    struct ran ran = run_at(BAR "@/a.csv @/b.csv --compare --cct 3500", EXIT_DONE);
    CHECK_HOLDS(ran.out, "warm 0.80  cool 1.00");
    CHECK_HOLDS(ran.out, "If all are to match again,");
    ran_free(&ran);
    ran = run_at(BAR "@/a.csv @/b.csv --compare --cct 3500 --format json", EXIT_DONE);
    cJSON *root = cJSON_Parse(ran.out);
    assert_non_null(root);
    assert_true(number_of(root, "left_flux_lm") < number_of(root, "then_flux_lm"));
    cJSON_Delete(root);
    ran_free(&ran);
    ran = run_at(BAR "@/a.csv @/b.csv --compare --cct 3500 --format csv", EXIT_DONE);
    CHECK_HOLDS(ran.out, "pair-1,0.0");
    ran_free(&ran);
}

static double stated_xy(const char *line, double *expanded)
{
    char text[1024];
    struct ran ran = run_line(at_folder(line, text));
    cJSON *root = cJSON_Parse(ran.out);

    assert_non_null(root);
    double xy = number_of(cJSON_GetObjectItemCaseSensitive(root, "meter"), "xy");
    const cJSON *units = cJSON_GetObjectItemCaseSensitive(root, "units");
    *expanded =
        number_of(cJSON_GetObjectItemCaseSensitive(units->child, "after"), "expanded_uncertainty");
    cJSON_Delete(root);
    ran_free(&ran);
    return xy;
}

/* Followed, a better meter's certificate holds; what the matrix leaves is added to it. */
static void test_meter_narrows(void)
{
    double plain = 0;
    double matched = 0;

    put("a.csv", "# uncertainty xy: 0.004\n# uncertainty output: 0.04\nunit,emitter,x,y,Y\n"
                 "wash-1,red,0.695,0.303,100\nwash-1,green,0.18,0.70,200\n"
                 "wash-1,blue,0.152,0.045,40\nwash-1,warm,0.460,0.412,360\n"
                 "wash-1,all,0.375,0.355,700\n");
    put("b.csv", "# uncertainty xy: 0.001\n# uncertainty output: 0.02\nunit,emitter,x,y,Y\n"
                 "wash-1,red,0.699,0.300,101\nwash-1,green,0.175,0.705,203\n"
                 "wash-1,blue,0.150,0.042,38\nwash-1,all,0.372,0.351,690\n");
    struct ran ran =
        run_at(BAR "@/a.csv @/b.csv --match-meters --replace --write @/m.json", EXIT_DONE);
    CHECK_HOLDS(ran.out, "x, y ±0.0010 (k = 2), beside their own scatter");
    ran_free(&ran);
    CHECK_NEAR("own", stated_xy(BAR "@/a.csv --cct 4000 --format json" SURE, &plain), 0.004, 1e-9);
    CHECK_NEAR("reference's",
               stated_xy(BAR "@/a.csv --cct 4000 --meter @/m.json --format json" SURE, &matched),
               0.001, 1e-6);
    assert_true(matched < 0.5 * plain);
    CHECK_NEAR("stated last",
               stated_xy(BAR "@/a.csv --cct 4000 --meter @/m.json --meter-xy 0.003 --format json",
                         &matched),
               0.003, 1e-9);
}

/* Our meter reads x and y a little off; four colours mend it. */
static void test_match_meters(void **state)
{
    (void)state;
    put("a.csv", "# meter: hall meter\nunit,emitter,x,y,Y\nwash-1,red,0.695,0.303,100\n"
                 "wash-1,green,0.18,0.70,200\nwash-1,blue,0.152,0.045,40\n"
                 "wash-1,all,0.375,0.355,700\n");
    put("b.csv", "# meter: laboratory\nunit,emitter,x,y,Y\nwash-1,red,0.699,0.300,101\n"
                 "wash-1,green,0.175,0.705,203\nwash-1,blue,0.150,0.042,38\n"
                 "wash-1,all,0.372,0.351,690\n");
    refused(BAR "@/a.csv @/b.csv --match-meters", "--match-meters goes with --write");
    struct ran ran = run_at(BAR "@/a.csv @/b.csv --match-meters --write @/m.json", EXIT_DONE);
    CHECK_HOLDS(ran.out, "corrected by up to 0.0000");
    CHECK_HOLDS(ran.out, "From wash-1, our readings at lines 3, 4, 5 and (mixture) 6.");
    ran_free(&ran);
    ran = run_at(BAR "@/a.csv --cct 4000 --meter @/m.json --steps 50 --format json", EXIT_MISSED);
    ran_free(&ran);
    test_meter_narrows();
    put("b.csv", "unit,emitter,x,y,Y\nwash-1,red,0.699,0.300,101\n");
    refused(BAR "@/a.csv @/b.csv --match-meters --write @/m.json", "--replace puts the new one");
    refused(BAR "@/a.csv @/b.csv --match-meters --replace --write @/m.json",
            "no unit has three emitters");
}

static bool is_there(const char *name)
{
    char path[400];

    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    return access(path, F_OK) == 0;
}

/* A calibration is not emptied by forgetting --again, and nothing of another kind is replaced. */
static void test_nothing_lost(void **state)
{
    char text[1024];
    char again[128];

    (void)state;
    forget("c.json");
    forget("c.json.bak");
    put("a.csv", PAIR_A);
    put("b.csv", "# uncertainty xy: 0.001\n# uncertainty output: 0.02\nunit,emitter,x,y,lux\n"
                 "pair-1,warm,0.4990,0.4160,400\n");
    struct ran ran = run_line(at_folder(BAR "@/a.csv --cct 3500 --steps 9 --write @/c.json", text));
    assert_true(is_there("c.json"));
    assert_false(is_there("c.json.bak"));
    ran_free(&ran);
    refused(BAR "@/b.csv --cct 3500 --write @/c.json",
            "c.json holds a calibration of 1 unit with 2 measured emitters, which this trim does "
            "not start from; --again goes on from it, --replace puts the new one in its place and "
            "keeps a copy");
    assert_false(is_there("c.json.bak"));
    (void)snprintf(again, sizeof again, "%s/c.json.bak", folder);
    ran = run_line(at_folder(BAR "@/b.csv --cct 3500 --steps 9 --again --write @/c.json", text));
    CHECK_HOLDS(ran.err, again); /* what stood there is kept, and said */
    assert_true(is_there("c.json.bak"));
    ran_free(&ran);
    ran = run_line(at_folder(BAR "@/b.csv --cct 3500 --steps 9 --replace --write @/c.json", text));
    assert_true(is_there("c.json.2.bak"));
    ran_free(&ran);
    refused(BAR "@/b.csv --cct 3500 --replace", "--replace goes with --write");
    /* its own readings, by any name; a fixture or a rig that it did not name */
    refused(BAR "@/b.csv --cct 3500 --replace --write @/./b.csv", "b.csv is read by this command");
    refused(BAR "@/b.csv --cct 3500 --replace --write tests/data/trim/rig.json",
            "rig.json is read by this command");
    refused(BAR "@/b.csv --cct 3500 --replace --write tests/data/trim/pair.json",
            "what stands in tests/data/trim/pair.json is not a \"calibration/1\" file");
    forget("c.json.bak");
    forget("c.json.2.bak");
}

/* Read-only is read-only, also for root, and no copy is kept of what stays. */
static void test_read_only(void **state)
{
    char text[1024];
    char path[128];

    (void)state;
    forget("c.json");
    put("a.csv", PAIR_A);
    struct ran ran = run_line(at_folder(BAR "@/a.csv --cct 3500 --steps 9 --write @/c.json", text));
    ran_free(&ran);
    (void)snprintf(path, sizeof path, "%s/c.json", folder);
    assert_int_equal(chmod(path, 0444), 0);
    expect_failure(at_folder(BAR "@/a.csv --cct 3500 --again --write @/c.json", text), EXIT_SYSTEM,
                   "c.json: is read-only and is not replaced");
    assert_false(is_there("c.json.bak"));
    forget("c.json");
}

static void test_refused(void **state)
{
    (void)state;
    refused("trim examples/hall.json --cct 3000", "");
    refused(HALL "examples/hall-readings.csv", "found 3 words, wanted are RIG and READINGS");
    refused("trim examples/hall.json examples/hall-readings.csv", "no colour is stated");
    refused(HALL "--live --compare", "exclude each other");
    refused(HALL "examples/hall-readings.csv --compare --write @/c.json",
            "--write and --compare exclude each other");
    refused(HALL "--steps 0", "--steps");
    refused("trim examples/hall.json examples/none.csv --cct 3000", "none.csv");
    refused("trim examples/hall.json @/none.csv --live --cct 3000", "--live writes JSON");
}

/* Live: what is typed, against what is asked. */
struct live_ran {
    char *out;
    bool all;
    size_t count;
    mtm_result result;
    mtm_error error;
};

static const char *live_name = "live.json";
static bool folder_returns;

/* Lines that are typed one by one; the folder of the file returns before the third. */
struct typed {
    const char *left;
    int lines;
};

static ssize_t type_line(void *cookie, char *buffer, size_t room)
{
    struct typed *typed = cookie;
    size_t length = strcspn(typed->left, "\n");
    char path[128];

    length += typed->left[length] == '\n' ? 1 : 0;
    length = length < room ? length : room;
    if (folder_returns && typed->lines++ == 2) {
        (void)snprintf(path, sizeof path, "%s/away", folder);
        (void)mkdir(path, 0700);
    }
    memcpy(buffer, typed->left, length);
    typed->left += length;
    return (ssize_t)length;
}

static struct live_ran type_in(const char *typed)
{
    struct live_ran ran = {.out = NULL};
    mtm_rig *rig = NULL;
    mtm_readings *readings = NULL;
    char path[128];
    size_t size = 0;

    struct typed lines = {.left = typed};

    (void)snprintf(path, sizeof path, "%s/%s", folder, live_name);
    assert_int_equal(mtm_rig_load("tests/data/trim/rig.json", &rig, NULL), MTM_OK);
    struct stat found;
    if (stat(path, &found) == 0)
        assert_int_equal(mtm_readings_load(path, rig, &readings, NULL), MTM_OK);
    else
        assert_int_equal(mtm_readings_create(rig, &readings, NULL), MTM_OK);
    FILE *in = fopencookie(&lines, "r", (cookie_io_functions_t){.read = type_line});
    FILE *out = open_memstream(&ran.out, &size);
    assert_non_null(in);
    assert_non_null(out);
    const struct live live = {.rig = rig, .readings = readings, .path = path};
    ran.result = trim_live(&live, in, out, &ran.all, &ran.error);
    (void)fclose(in);
    (void)fclose(out);
    mtm_readings_free(readings);
    readings = NULL;
    /* what counts is the file */
    if (mtm_readings_load(path, rig, &readings, NULL) == MTM_OK)
        ran.count = mtm_readings_count(readings);
    mtm_readings_free(readings);
    mtm_rig_free(rig);
    return ran;
}

static void forget_live(void)
{
    forget("live.json");
    forget("live.json.bak");
}

static void test_live(void **state)
{
    (void)state;
    forget_live();
    struct live_ran ran = type_in("0\n0,70 0,299 101\n");
    assert_int_equal(ran.result, MTM_OK);
    assert_false(ran.all);
    assert_int_equal(ran.count, 2);
    CHECK_HOLDS(ran.out, "[1 of 39] the room, all units dark");
    CHECK_HOLDS(ran.out, "[2 of 39] wash-1: red alone at full");
    CHECK_HOLDS(ran.out, "universe 1, address 1: set 255 255 0 0 0 0 0 0");
    free(ran.out);
    /* the input ended, as after a kill: it goes on with the third */
    ran = type_in("0.18 0.70 215\nback\n0.181 0.70 216\nquit\n");
    CHECK_HOLDS(ran.out, "holds 2 readings; going on from there");
    CHECK_HOLDS(ran.out, "[3 of 39] wash-1: green alone at full");
    if (strstr(ran.out, "[1 of 39]") != NULL)
        fail_msg("asks again for what is read");
    assert_int_equal(ran.count, 3);
    free(ran.out);
}

/* Where the file cannot be written the reading stays in hand, until it can be or one leaves. A
 * folder that is away stands for a disk that is full. */
static void test_live_disk_away(void **state)
{
    (void)state;
    live_name = "away/live.json";
    struct live_ran ran = type_in("0\n\n0.70 0.299 101\nquit\n");
    assert_int_equal(ran.result, MTM_IO);
    CHECK_HOLDS(ran.error.text, "the last reading is not in the file");
    CHECK_HOLDS(ran.out, "The reading is kept in hand and not yet in the file.");
    free(ran.out);
    /* the folder comes back while the question stands */
    folder_returns = true;
    ran = type_in("0\n\n\n0.70 0.299 101\n\nquit\n");
    assert_int_equal(ran.result, MTM_OK);
    CHECK_HOLDS(ran.out, "Now it is in the file.");
    assert_int_equal(ran.count, 2);
    free(ran.out);
    folder_returns = false;
    forget("away/live.json");
    forget("away/live.json.bak");
    char path[128];
    (void)snprintf(path, sizeof path, "%s/away", folder);
    assert_int_equal(rmdir(path), 0);
    live_name = "live.json";
}

/* A copy of what the session before left is kept, once. */
static void test_live_keeps_a_copy(void **state)
{
    (void)state;
    forget_live();
    struct live_ran ran = type_in("0\n0.70 0.299 101\n");
    free(ran.out);
    assert_false(is_there("live.json.bak"));
    ran = type_in("0.18 0.70 215\nback\n0.181 0.70 216\nquit\n");
    free(ran.out);
    assert_true(is_there("live.json.bak"));
    assert_false(is_there("live.json.2.bak"));
}

/* Two steps back over readings of an earlier session: both are asked again, none is passed over. */
static void test_live_back_over_resumed(void **state)
{
    (void)state;
    forget_live();
    struct live_ran ran = type_in("0\n0.70 0.299 101\n0.18 0.70 215\n");
    assert_int_equal(ran.count, 3);
    free(ran.out);
    ran = type_in("back\nback\n0.701 0.298 102\n0.181 0.70 216\nquit\n");
    assert_int_equal(ran.count, 3);
    const char *again = strstr(ran.out, "[2 of 39]");
    assert_non_null(again);
    CHECK_HOLDS(again, "[3 of 39] wash-1: green alone at full");
    free(ran.out);
}

static void test_live_questions(void **state)
{
    (void)state;
    forget_live();
    /* dark skipped; x and y swapped: not taken on "no", nor when the input ends at the question */
    struct live_ran ran = type_in("skip\n0.70 0.299 101\n0.70 0.18 215\nno\nhelp\n0.70 0.18 215\n");
    assert_int_equal(ran.count, 1);
    CHECK_HOLDS(ran.out, "x and y look swapped");
    CHECK_HOLDS(ran.out, "Take it all the same? (yes/no)");
    CHECK_HOLDS(ran.out, "back    to the reading before");
    free(ran.out);
    /* the right one, the blue of which is taken on "yes" though it looks like red */
    ran = type_in("quit\n");
    free(ran.out);
    ran = type_in("skip\n0.18 0.70 215\n0.70 0.299 40\nperhaps\nyes\nquit\n");
    CHECK_HOLDS(ran.out, "it looks like emitter red");
    assert_int_equal(ran.count, 3);
    free(ran.out);
}

/* Units of one batch are off the fixture file alike: nobody is asked which of them it was. */
static void test_live_batch(void **state)
{
    (void)state;
    forget_live();
    struct live_ran ran = type_in("0\n0.70 0.2995 101\n0.165 0.70 215\n0.149 0.034 41\n"
                                  "0.457 0.41 360\nskip\n0.699 0.300 104\n0.164 0.702 220\n"
                                  "0.1485 0.0335 40\n0.456 0.41 350\nquit\n");
    assert_int_equal(ran.count, 9);
    if (strstr(ran.out, "Take it all the same") != NULL)
        fail_msg("%s", ran.out);
    free(ran.out);
}

static void test_live_slips(void **state)
{
    (void)state;
    forget_live();
    struct live_ran ran = type_in("back\n0.3\n0.4 0.4 0\n\n4000 3000 20\n"
                                  "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"
                                  "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"
                                  "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"
                                  "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"
                                  "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx 0.4 0.4 3\n");
    assert_int_equal(ran.result, MTM_OK);
    assert_int_equal(ran.count, 0);
    CHECK_HOLDS(ran.out, "This is the first.");
    CHECK_HOLDS(ran.out, "found 1 of the three numbers");
    CHECK_HOLDS(ran.out, "a decimal point lost?");
    free(ran.out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_table),
        cmocka_unit_test(test_json),
        cmocka_unit_test(test_reasons),
        cmocka_unit_test(test_output_beyond_all),
        cmocka_unit_test(test_csv),
        cmocka_unit_test(test_goals),
        cmocka_unit_test(test_poor_meter),
        cmocka_unit_test(test_assume),
        cmocka_unit_test(test_missed),
        cmocka_unit_test(test_bad_rows),
        cmocka_unit_test(test_columns),
        cmocka_unit_test(test_units),
        cmocka_unit_test(test_together),
        cmocka_unit_test(test_together_again),
        cmocka_unit_test(test_keep),
        cmocka_unit_test(test_contradiction),
        cmocka_unit_test(test_whole_file),
        cmocka_unit_test(test_again),
        cmocka_unit_test(test_compare),
        cmocka_unit_test(test_curve_from_the_dark),
        cmocka_unit_test(test_match_meters),
        cmocka_unit_test(test_refused),
        cmocka_unit_test(test_nothing_lost),
        cmocka_unit_test(test_read_only),
        cmocka_unit_test(test_live_disk_away),
        cmocka_unit_test(test_live_keeps_a_copy),
        cmocka_unit_test(test_live),
        cmocka_unit_test(test_live_questions),
        cmocka_unit_test(test_live_slips),
        cmocka_unit_test(test_live_batch),
        cmocka_unit_test(test_live_back_over_resumed),
    };

    return cmocka_run_group_tests_name("trim", tests, begin, end);
}
