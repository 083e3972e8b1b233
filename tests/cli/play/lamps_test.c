/* SPDX-License-Identifier: MIT */
/* Shows of lamps and of lights that go warm as they dim, as the commands play them: codes, watts
 * and the report. Of a lamp light goes with its voltage to the power of 3.4, watts with that to the
 * power of 1.6 (common practice, no source). */
#include "support/command.h"

#include <cjson/cJSON.h>

static char path[] = "/tmp/metamer-quay-XXXXXX";

static int set_up(void **state)
{
    const char *folder = getenv("METAMER_SOURCE");
    int file = mkstemp(path);

    if (folder == NULL || file < 0)
        return -1;
    (void)dprintf(
        file,
        "{\"metamer\": \"show/1\", \"name\": \"t\", \"rig\": \"%s/examples/quay.json\", \"cues\": ["
        "{\"number\": 1, \"text\": \"low\", \"up_s\": 1, \"set\": [{\"group\": \"spots\", "
        "\"colour\": {\"cct_k\": 3200}, \"output\": 0.1}, {\"group\": \"tables\", \"colour\": "
        "{\"cct_k\": 3000}, \"output\": 0.1}]},"
        "{\"number\": 2, \"text\": \"full\", \"up_s\": 1, \"set\": [{\"group\": \"spots\", "
        "\"output\": 1}, {\"group\": \"tables\", \"output\": 1}]},"
        "{\"number\": 3, \"text\": \"out\", \"up_s\": 1, \"set\": [{\"group\": \"spots\", "
        "\"output\": 0}, {\"group\": \"tables\", \"output\": 0}]}]}",
        folder);
    (void)close(file);
    return enter_source(state);
}

static int tear_down(void **state)
{
    (void)state;
    return unlink(path);
}

static struct ran run_show(const char *before, const char *after, int status)
{
    char line[300];

    (void)snprintf(line, sizeof line, "%s %s %s", before, path, after);
    struct ran ran = run_line(line);
    if (ran.status != status)
        fail_msg("%s: exit %d, wanted %d: %s", line, ran.status, status, ran.err);
    return ran;
}

/* The slots of the last frame of a cue. */
static void last_frame(int cue, int slot[6])
{
    char after[60];

    (void)snprintf(after, sizeof after, "--cue %d --format csv", cue);
    struct ran ran = run_show("frames", after, EXIT_DONE);
    const char *last = ran.out;
    for (const char *at = ran.out; *at != '\0'; at = strchr(at, '\n') + 1)
        last = at;
    for (int column = 0; column < 3; column++) { /* cue, time, universe */
        last = strchr(last, ',');
        assert_non_null(last);
        last++;
    }
    for (int i = 0; i < 6; i++) {
        char *end;
        slot[i] = (int)strtol(last, &end, 10);
        assert_true(end > last && (*end == ',' || *end == '\n'));
        last = end + 1;
    }
    ran_free(&ran);
}

/* spot-1 has 16 bits from slot 1, spot-2 slot 3, the tables slots 5 and 6 and a square dimmer. */
static void test_frames(void **state)
{
    const double voltage = pow(0.1, 1 / 3.4);
    int slot[6];

    (void)state;
    last_frame(1, slot);
    CHECK_NEAR("spot-1", 256 * slot[0] + slot[1], 65535 * voltage, 2);
    CHECK_NEAR("spot-2", slot[2], 255 * voltage, 0.6);
    CHECK_NEAR("table-1", slot[4], 255 * sqrt(0.1), 0.6);
    CHECK_NEAR("table-2", slot[5], slot[4], 0);
    last_frame(2, slot);
    for (int i = 0; i < 6; i++)
        CHECK_NEAR("full", slot[i], i == 3 ? 0 : 255, 0);
    last_frame(3, slot);
    for (int i = 0; i < 6; i++)
        CHECK_NEAR("dark", slot[i], 0, 0);
}

static void test_fade(void **state)
{
    struct ran ran = run_show("fade", "--report", EXIT_DONE);

    (void)state;
    CHECK_HOLDS(ran.out, "spot-1");
    CHECK_HOLDS(ran.out, "table-1");
    assert_null(strstr(ran.out, "nan"));
    ran_free(&ran);
}

/* Watts of a supply's port in a case of "load --format csv". */
static double port_watts(const char *csv, const char *start)
{
    const char *at = strstr(csv, start);

    if (at == NULL)
        fail_msg("no row \"%s\" in %s", start, csv);
    char *end;
    double watts = strtod(at + strlen(start), &end);
    assert_true(end > at + strlen(start));
    return watts;
}

static void test_load(void **state)
{
    struct ran ran = run_show("load examples/quay.json --format csv --show", "", EXIT_DONE);

    (void)state;
    CHECK_NEAR("low", port_watts(ran.out, "\n1 low,port,dimmers,1,1,"), 600 * pow(0.1, 1.6 / 3.4),
               0.5);
    CHECK_NEAR("full", port_watts(ran.out, "\n2 full,port,dimmers,1,1,"), 600, 0.01);
    ran_free(&ran);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_frames),
        cmocka_unit_test(test_fade),
        cmocka_unit_test(test_load),
    };

    return cmocka_run_group_tests_name("shows of lamps", tests, set_up, tear_down);
}
