/* SPDX-License-Identifier: MIT */
/* File formats: the manual page tells of the keys that the readers take, of all and of no others,
 * and its examples can be read. The readers' lists are taken from their sources: a list of strings
 * that is called "keys" and ends with NULL. */
#include "support/command.h"

#include "base/file.h"
#include "cli/out/file_formats.h"

#include <metamer/calibration.h>
#include <metamer/filter.h>
#include <metamer/meter.h>
#include <metamer/palette.h>
#include <metamer/readings.h>
#include <metamer/show.h>

#include <glob.h>

#define LISTS_MAX 64
#define KEYS_MAX 40
#define KEY_ROOM 32

/* One list of a reader. */
struct key_list {
    char source[120];
    char key[KEYS_MAX][KEY_ROOM];
    size_t count;
};

static struct key_list lists[LISTS_MAX];
static size_t list_count;

/* Takes the strings of text up to end. */
static void take_list(const char *source, const char *text, const char *end)
{
    struct key_list *list = &lists[list_count];

    assert_true(list_count < LISTS_MAX);
    list_count++;
    (void)snprintf(list->source, sizeof list->source, "%s", source);
    for (const char *at = strchr(text, '"'); at != NULL && at < end;) {
        const char *close = strchr(at + 1, '"');
        assert_non_null(close);
        assert_true(list->count < KEYS_MAX && close - at <= KEY_ROOM);
        (void)snprintf(list->key[list->count++], KEY_ROOM, "%.*s", (int)(close - at - 1), at + 1);
        at = strchr(close + 1, '"');
    }
}

static void take_source(const char *path)
{
    char *text = NULL;
    size_t length = 0;
    mtm_error error;

    assert_int_equal(mtmi_file_read(path, 1 << 20, &text, &length, &error), MTM_OK);
    for (const char *at = strstr(text, "keys[] = {"); at != NULL;
         at = strstr(at + 1, "keys[] = {")) {
        const char *end = strchr(at, '}');
        assert_non_null(end);
        if (end - at > 4 && strncmp(end - 4, "NULL", 4) == 0)
            take_list(path, at, end);
    }
    free(text);
}

static int enter_and_collect(void **state)
{
    glob_t found;

    if (enter_source(state) != 0 || glob("src/*/*.c", 0, NULL, &found) != 0)
        return -1;
    for (size_t i = 0; i < found.gl_pathc; i++)
        take_source(found.gl_pathv[i]);
    globfree(&found);
    return 0;
}

static bool list_has(const struct key_list *list, const char *key)
{
    for (size_t i = 0; i < list->count; i++) {
        if (strcmp(list->key[i], key) == 0)
            return true;
    }
    return false;
}

static size_t key_count(const struct file_object *object)
{
    size_t count = 0;

    while (object->keys[count].name != NULL)
        count++;
    return count;
}

static bool same_keys(const struct key_list *list, const struct file_object *object)
{
    size_t count = key_count(object);

    for (size_t i = 0; i < count; i++) {
        if (!list_has(list, object->keys[i].name))
            return false;
    }
    return list->count == count;
}

/* Objects whose readers have no list of their own; each has a check below. */
static bool without_list(const struct file_object *object)
{
    return strcmp(object->title, "A colour") == 0 || strcmp(object->title, "A curve, by name") == 0;
}

static void test_no_other(void **state)
{
    (void)state;
    for (const struct file_format *f = file_formats; f->name != NULL; f++) {
        for (const struct file_object *object = f->objects; object->title != NULL; object++) {
            bool found = without_list(object);
            for (size_t i = 0; i < list_count; i++)
                found = found || same_keys(&lists[i], object);
            if (!found)
                fail_msg("%s, %s: no reader takes exactly these keys", f->name, object->title);
        }
    }
}

static void test_all(void **state)
{
    (void)state;
    assert_true(list_count >= 20);
    for (size_t i = 0; i < list_count; i++) {
        bool found = false;
        for (const struct file_format *f = file_formats; f->name != NULL; f++) {
            for (const struct file_object *object = f->objects; object->title != NULL; object++)
                found = found || same_keys(&lists[i], object);
        }
        if (!found)
            fail_msg("%s: the page tells of no object with the keys \"%s\", \"%s\", ...",
                     lists[i].source, lists[i].key[0], lists[i].key[1]);
    }
}

static const struct file_format *format_of(const char *kind)
{
    for (const struct file_format *f = file_formats; f->name != NULL; f++) {
        if (strcmp(f->name, kind) == 0)
            return f;
    }
    fail_msg("there is no format %s", kind);
    return NULL;
}

static const struct file_object *object_of(const char *kind, const char *title)
{
    for (const struct file_object *o = format_of(kind)->objects; o->title != NULL; o++) {
        if (strcmp(o->title, title) == 0)
            return o;
    }
    fail_msg("%s has no object %s", kind, title);
    return NULL;
}

/* Reads a show with one colour; text is what stands in its braces. Must fail. */
static mtm_error error_of_colour(const char *text)
{
    char file[400];
    mtm_show *show = NULL;
    mtm_error error = {""};
    int length = snprintf(file, sizeof file,
                          "{\"metamer\":\"show/1\",\"name\":\"s\",\"rig\":\"hall.json\","
                          "\"colours\":{\"c\":{%s}},\"cues\":[]}",
                          text);

    assert_int_not_equal(
        mtm_show_parse(file, (size_t)length, "show", "examples", NULL, &show, &error), MTM_OK);
    return error;
}

/* The sentence about a colour without a form names all forms; no key of the page is unknown. */
static void test_colour(void **state)
{
    const struct file_object *colour = object_of("show/1", "A colour");
    mtm_error error = error_of_colour("");
    const char *forms = strstr(error.text, "wanted: ");
    size_t count = 0;

    (void)state;
    assert_non_null(forms);
    for (const char *at = strchr(forms, '"'); at != NULL;) {
        const char *close = strchr(at + 1, '"');
        bool found = false;
        assert_non_null(close);
        for (const struct file_key *key = colour->keys; key->name != NULL; key++)
            found = found || (strlen(key->name) == (size_t)(close - at - 1) &&
                              strncmp(key->name, at + 1, strlen(key->name)) == 0);
        if (!found)
            fail_msg("the page does not tell of the colour %.*s", (int)(close - at + 1), at);
        count++;
        at = strchr(close + 1, '"');
    }
    assert_true(count >= 9);
    for (const struct file_key *key = colour->keys; key->name != NULL; key++) {
        char text[80];
        (void)snprintf(text, sizeof text, "\"%s\":[]", key->name);
        error = error_of_colour(text);
        if (strstr(error.text, "unknown") != NULL)
            fail_msg("%s: %s", key->name, error.text);
    }
    error = error_of_colour("\"hue\":[]"); /* what the sentence about an unknown key looks like */
    CHECK_HOLDS(error.text, "unknown");
}

static void read_well(mtm_result result, const mtm_error *error)
{
    if (result != MTM_OK)
        fail_msg("%s", error->text);
}

static void test_examples(void **state)
{
    mtm_error error = {""};
    mtm_fixture *fixture = NULL;
    mtm_rig *rig = NULL;
    mtm_rig *hall = NULL;
    mtm_show *show = NULL;
    mtm_readings *readings = NULL;
    mtm_palette *palette = NULL;
    mtm_filter filter;
    mtm_calibration *calibration = NULL;
    mtm_meter_match match;
    const char *text = format_of("fixture/1")->example;

    (void)state;
    read_well(mtm_fixture_parse(text, strlen(text), "fixture", NULL, &fixture, &error), &error);
    text = format_of("rig/1")->example;
    read_well(mtm_rig_parse(text, strlen(text), "rig", "profiles", &rig, &error), &error);
    text = format_of("show/1")->example;
    read_well(mtm_show_parse(text, strlen(text), "show", "examples", NULL, &show, &error), &error);
    read_well(mtm_rig_load("examples/hall.json", &hall, &error), &error);
    text = format_of("readings/1")->example;
    read_well(mtm_readings_parse(text, strlen(text), "readings", hall, &readings, &error), &error);
    assert_int_equal(mtm_readings_count(readings), 2);
    assert_int_equal(mtm_readings_note_count(readings), 0);
    text = format_of("colours/1")->example;
    read_well(mtm_palette_parse(text, strlen(text), "colours", NULL, hall, MTM_OBSERVER_2, &palette,
                                &error),
              &error);
    assert_int_equal(mtm_palette_count(palette), 2);
    text = format_of("filter/1")->example;
    read_well(mtm_filter_parse(text, strlen(text), "filter", NULL, &filter, &error), &error);
    text = format_of("calibration/1")->example;
    read_well(mtm_calibration_parse(text, strlen(text), "calibration", hall, &calibration, &error),
              &error);
    text = format_of("meter/1")->example;
    read_well(mtm_meter_match_parse(text, strlen(text), "meter", &match, &error), &error);
    mtm_calibration_free(calibration);
    mtm_readings_free(readings);
    mtm_palette_free(palette);
    mtm_show_free(show);
    mtm_rig_free(hall);
    mtm_rig_free(rig);
    mtm_fixture_free(fixture);
}

/* The page holds every key of every object. */
static void test_page(void **state)
{
    struct ran page = run_line("help --files");

    (void)state;
    assert_int_equal(page.status, EXIT_DONE);
    for (const struct file_format *f = file_formats; f->name != NULL; f++) {
        CHECK_HOLDS(page.out, f->name);
        for (const struct file_object *object = f->objects; object->title != NULL; object++) {
            CHECK_HOLDS(page.out, object->title);
            for (const struct file_key *key = object->keys; key->name != NULL; key++) {
                assert_true(key->value[0] != '\0' && key->meaning[0] != '\0');
                CHECK_HOLDS(page.out, key->name);
                assert_non_null(key->example);
            }
        }
    }
    ran_free(&page);
}

static bool names_key(const char *page, const char *name)
{
    char line[KEY_ROOM + 8];

    (void)snprintf(line, sizeof line, "\n  %s", name);
    return strstr(page, line) != NULL;
}

static const char *topic_of(const char *format)
{
    for (size_t i = 0; file_topic_at(i) != NULL; i++) {
        size_t length = strlen(file_topic_at(i));
        if (strncmp(format, file_topic_at(i), length) == 0 && format[length] == '/')
            return file_topic_at(i);
    }
    fail_msg("no topic of help tells of %s", format);
    return NULL;
}

static struct ran help_of(const char *topic)
{
    char line[64];

    (void)snprintf(line, sizeof line, "help %s", topic);
    struct ran page = run_line(line);
    assert_int_equal(page.status, EXIT_DONE);
    return page;
}

/* "metamer help rig" holds every key of that kind of file, and every name that belongs to it. */
static void test_topics(void **state)
{
    struct file_name row;

    (void)state;
    for (const struct file_format *f = file_formats; f->name != NULL; f++) {
        struct ran page = help_of(topic_of(f->name));
        for (const struct file_object *object = f->objects; object->title != NULL; object++) {
            CHECK_HOLDS(page.out, object->title);
            for (const struct file_key *key = object->keys; key->name != NULL; key++) {
                if (!names_key(page.out, key->name))
                    fail_msg("help on %s does not tell of %s", f->name, key->name);
            }
        }
        if (f->example != NULL)
            CHECK_HOLDS(page.out, f->example);
        ran_free(&page);
    }
    for (const struct file_names *names = file_names; names->topic != NULL; names++) {
        struct ran page = help_of(names->topic);
        struct ran manual = run_line("help --files");
        CHECK_HOLDS(page.out, names->title);
        CHECK_HOLDS(manual.out, names->title);
        for (size_t i = 0; names->row_at(i, &row); i++) {
            if (!names_key(page.out, row.name))
                fail_msg("help on %s does not tell of %s", names->topic, row.name);
        }
        ran_free(&page);
        ran_free(&manual);
    }
    struct ran colours = help_of("colours");
    for (const struct file_key *key = object_of("show/1", "A colour")->keys; key->name != NULL;
         key++)
        assert_true(names_key(colours.out, key->name));
    ran_free(&colours);
    expect_failure("help rigs", EXIT_USAGE, "there is no command and no kind of file \"rigs\"");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_no_other), cmocka_unit_test(test_all),  cmocka_unit_test(test_colour),
        cmocka_unit_test(test_examples), cmocka_unit_test(test_page), cmocka_unit_test(test_topics),
    };

    return cmocka_run_group_tests_name("file formats", tests, enter_and_collect, NULL);
}
