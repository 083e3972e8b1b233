/* SPDX-License-Identifier: MIT */
/* File keys: what help says of each key is what the readers do. Its example is read; both ends of a
 * range are, and what lies just outside is refused by a sentence that names the range; to write the
 * default changes nothing, and to write the example does. The ranges and defaults are taken from
 * the text that users read. */
#include "support/command.h"

#include "cli/out/file_formats.h"
#include "file_variants.h"

#include <metamer/calibration.h>
#include <metamer/filter.h>
#include <metamer/meter.h>
#include <metamer/palette.h>
#include <metamer/readings.h>
#include <metamer/show.h>

#include <cjson/cJSON.h>
#include <sys/stat.h>

#define LINES_MAX 4

static char root[] = "/tmp/metamer-keys-XXXXXX";
static char folder[64]; /* in root, where the files stand */
static mtm_rig *hall;

/* One key of one object, and the first of its variants in which its example is read. */
struct key {
    const struct file_format *format;
    const struct file_object *object;
    const struct file_key *key;
    const struct variant *home;
};

static size_t faults; /* of the test that runs */

/* Tells what is wrong with a key; the test goes on with the others. */
static void __attribute__((format(printf, 2, 3)))
fault(const struct key *key, const char *format, ...)
{
    char text[800];
    va_list list;

    va_start(list, format);
    (void)vsnprintf(text, sizeof text, format, list);
    va_end(list);
    print_error("%s, %s, \"%s\": %s\n", key->format->name, key->object->title, key->key->name,
                text);
    faults++;
}

static struct key keys[400];
static size_t key_count;

/* What the reader makes of a text, and its sentence. */
static mtm_result read_text(const char *format, const char *text, mtm_error *error)
{
    size_t length = strlen(text);
    mtm_result result = MTM_UNSUPPORTED;
    mtm_fixture *fixture = NULL;
    mtm_rig *rig = NULL;
    mtm_show *show = NULL;
    mtm_palette *palette = NULL;
    mtm_readings *readings = NULL;
    mtm_calibration *calibration = NULL;
    mtm_filter filter;
    mtm_meter_match match;

    error->text[0] = '\0';
    if (strcmp(format, "fixture/1") == 0)
        result = mtm_fixture_parse(text, length, "f", folder, &fixture, error);
    else if (strcmp(format, "rig/1") == 0)
        result = mtm_rig_parse(text, length, "f", folder, &rig, error);
    else if (strcmp(format, "show/1") == 0)
        result = mtm_show_parse(text, length, "f", folder, NULL, &show, error);
    else if (strcmp(format, "colours/1") == 0)
        result =
            mtm_palette_parse(text, length, "f", folder, hall, MTM_OBSERVER_2, &palette, error);
    else if (strcmp(format, "readings/1") == 0)
        result = mtm_readings_parse(text, length, "f", hall, &readings, error);
    else if (strcmp(format, "calibration/1") == 0)
        result = mtm_calibration_parse(text, length, "f", hall, &calibration, error);
    else if (strcmp(format, "filter/1") == 0)
        result = mtm_filter_parse(text, length, "f", folder, &filter, error);
    else if (strcmp(format, "meter/1") == 0)
        result = mtm_meter_match_parse(text, length, "f", &match, error);
    if (result == MTM_OK && readings != NULL && mtm_readings_note_count(readings) > 0) {
        result = MTM_PARSE; /* a reading was left out */
        (void)snprintf(error->text, sizeof error->text, "%s", mtm_readings_note(readings, 0)->text);
    }
    mtm_fixture_free(fixture);
    mtm_rig_free(rig);
    mtm_show_free(show);
    mtm_palette_free(palette);
    mtm_readings_free(readings);
    mtm_calibration_free(calibration);
    return result;
}

/* ' is ", and ` is '. */
static void quote(char *text)
{
    for (; *text != '\0'; text++) {
        if (*text == '\'' || *text == '`')
            *text = *text == '`' ? '\'' : '"';
    }
}

static cJSON *find_object(cJSON *tree, char *path)
{
    char *rest = NULL;

    for (char *step = strtok_r(path, ".", &rest); step != NULL; step = strtok_r(NULL, ".", &rest))
        tree = cJSON_IsArray(tree) ? cJSON_GetArrayItem(tree, (int)strtol(step, NULL, 10))
                                   : cJSON_GetObjectItemCaseSensitive(tree, step);
    assert_non_null(tree);
    return tree;
}

static cJSON *parse_variant(const struct variant *variant)
{
    char *text = strdup(variant->text);

    assert_non_null(text);
    quote(text);
    cJSON *tree = cJSON_Parse(text);
    if (tree == NULL)
        fail_msg("no JSON: %s", text);
    free(text);
    return tree;
}

static bool holds(const struct variant *variant, const char *key)
{
    cJSON *tree = parse_variant(variant);
    char path[80];

    (void)snprintf(path, sizeof path, "%s", variant->path);
    bool found = cJSON_GetObjectItemCaseSensitive(find_object(tree, path), key) != NULL;
    cJSON_Delete(tree);
    return found;
}

/* The file of a variant, where the object holds the key with a value (JSON), or not (NULL). */
static char *text_with(const struct variant *variant, const char *key, const char *value)
{
    cJSON *tree = parse_variant(variant);
    char path[80];

    (void)snprintf(path, sizeof path, "%s", variant->path);
    if (key[0] == '(') { /* the object itself is the value */
        char *last = strrchr(path, '.');
        *last = '\0';
        key = last + 1;
    }
    cJSON *object = find_object(tree, path);
    cJSON_DeleteItemFromObjectCaseSensitive(object, key);
    if (value != NULL)
        assert_non_null(cJSON_AddRawToObject(object, key, value));
    char *text = cJSON_PrintUnformatted(tree);
    assert_non_null(text);
    cJSON_Delete(tree);
    return text;
}

static bool of_object(const struct variant *variant, const struct key *key)
{
    return strcmp(variant->format, key->format->name) == 0 &&
           strcmp(variant->title, key->object->title) == 0;
}

/* Reads the value in a variant; error holds the sentence. */
static mtm_result read_value(const struct variant *variant, const char *key, const char *value,
                             mtm_error *error)
{
    char *text = text_with(variant, key, value);
    mtm_result result = read_text(variant->format, text, error);

    free(text);
    return result;
}

/* The first variant in which the value is read; of those that hold the key, if any does. NULL, and
 * error of the last that was tried. */
static const struct variant *find_home(const struct key *key, const char *value, mtm_error *error)
{
    for (int holding = 1; holding >= 0; holding--) {
        for (const struct variant *variant = file_variants; variant->format != NULL; variant++) {
            if (of_object(variant, key) && holds(variant, key->key->name) == (holding == 1) &&
                read_value(variant, key->key->name, value, error) == MTM_OK)
                return variant;
        }
    }
    return NULL;
}

static void test_variants(void **state)
{
    mtm_error error;

    (void)state;
    for (const struct variant *variant = file_variants; variant->format != NULL; variant++) {
        if (read_value(variant, "note ", NULL, &error) != MTM_OK)
            fail_msg("%s, %s: %s", variant->format, variant->title, error.text);
    }
}

/* Every key has an example, and some file in which it is read. */
static void test_examples(void **state)
{
    (void)state;
    faults = 0;
    for (size_t i = 0; i < key_count; i++) {
        mtm_error error = {"no file of the test holds such an object"};
        keys[i].home = find_home(&keys[i], keys[i].key->example, &error);
        if (keys[i].home == NULL)
            fault(&keys[i], "%s: %s", keys[i].key->example, error.text);
    }
    assert_int_equal(faults, 0);
}

/* A range as help prints it: "0.5 to 300" and no sum behind it. */
struct range {
    double least, most;
    bool zero; /* or 0 */
};

static const char *find_range(const char *text, struct range *range)
{
    for (const char *to = strstr(text, " to "); to != NULL; to = strstr(to + 1, " to ")) {
        const char *first = to;
        char *end = NULL;
        while (first > text && first[-1] != ' ')
            first--;
        range->least = strtod(first, &end);
        if (end != to || end == first)
            continue;
        range->most = strtod(to + 4, &end);
        if (end == to + 4 || strncmp(end, " - ", 3) == 0)
            continue;
        range->zero = first - text >= 5 && strncmp(first - 5, "0 or ", 5) == 0;
        return end;
    }
    return NULL;
}

static bool names(const char *sentence, double bound)
{
    char text[2][40];

    (void)snprintf(text[0], sizeof text[0], "%.10g", bound);
    (void)snprintf(text[1], sizeof text[1], "%.0f", bound);
    return strstr(sentence, text[0]) != NULL || strstr(sentence, text[1]) != NULL;
}

/* The example with its leaf replaced: the number itself, the first of a list, the last of its first
 * pair. */
static char *with_leaf(const char *example, double value)
{
    char number[40];
    cJSON *tree = cJSON_Parse(example);
    cJSON *parent = NULL;
    int at = 0;

    assert_non_null(tree);
    (void)snprintf(number, sizeof number, "%.17g", value);
    cJSON *leaf = tree;
    while (leaf->child != NULL) {
        parent = leaf;
        at = parent != tree && cJSON_IsArray(parent) ? cJSON_GetArraySize(parent) - 1 : 0;
        leaf = cJSON_GetArrayItem(parent, at);
    }
    cJSON *raw = cJSON_CreateRaw(number);
    char *name = leaf->string != NULL ? strdup(leaf->string) : NULL;
    if (parent == NULL) {
        cJSON_Delete(tree);
        tree = raw;
    } else if (name != NULL)
        assert_true(cJSON_ReplaceItemInObjectCaseSensitive(parent, name, raw) != 0);
    else
        assert_true(cJSON_ReplaceItemInArray(parent, at, raw) != 0);
    free(name);
    char *text = cJSON_PrintUnformatted(tree);
    cJSON_Delete(tree);
    return text;
}

static void expect_read(const struct key *key, const char *example, double value)
{
    char *text = with_leaf(example, value);
    mtm_error error = {""};

    if (find_home(key, text, &error) == NULL) {
        (void)read_value(key->home, key->key->name, text, &error);
        fault(key, "%s is refused: %s", text, error.text);
    }
    free(text);
}

/* Refused by a sentence that names what is allowed. */
static void expect_refused(const struct key *key, double value, const struct stated *stated,
                           const char *words)
{
    char *text = with_leaf(stated->example, value);
    mtm_error error = {""};

    if (read_value(key->home, key->key->name, text, &error) == MTM_OK)
        fault(key, "%s is read", text);
    else if (words != NULL ? strstr(error.text, words) == NULL
                           : !names(error.text, stated->least) || !names(error.text, stated->most))
        fault(key, "%s does not tell what is allowed: %s", text, error.text);
    free(text);
}

static void check_bounds(const struct key *key, const struct stated *stated, bool zero)
{
    struct stated range = *stated;
    bool whole = strstr(key->key->value, "whole number") != NULL;

    if (range.example == NULL)
        range.example = key->key->example;
    expect_read(key, range.example, range.least);
    expect_read(key, range.example, range.most);
    expect_refused(key, range.below, &range, range.words_below);
    expect_refused(key, range.above, &range, range.words_above);
    if (whole)
        expect_refused(key, range.most - 0.5, &range, range.words_above);
    if (zero) {
        expect_read(key, range.example, 0);
        expect_refused(key, -range.least, &range, NULL);
    }
}

/* Ranges that help states in words, with those of the file in which the example stands. */
static const struct stated *find_stated(const struct key *key)
{
    for (const struct stated *stated = file_stated; stated->title != NULL; stated++) {
        if (strcmp(stated->title, key->object->title) == 0 &&
            strcmp(stated->format, key->format->name) == 0 &&
            strcmp(stated->key, key->key->name) == 0)
            return stated;
    }
    return NULL;
}

/* Text behind a beginning; NULL where it begins otherwise. */
static const char *behind(const char *text, const char *beginning)
{
    size_t length = strlen(beginning);

    return strncmp(text, beginning, length) == 0 ? text + length : NULL;
}

/* "list of 1 to 16 ...", "list of at most 64 ...": the counts, and what stands behind them. */
static const char *find_counts(const char *value, size_t *least, size_t *most)
{
    const char *text = behind(value, "list of ");
    const char *bound = NULL;
    char *end = NULL;

    text = text != NULL ? text : behind(value, "object of ");
    if (text == NULL)
        return NULL;
    *least = 0;
    bound = behind(text, "at most ");
    if (bound == NULL) {
        *least = strtoul(text, &end, 10);
        bound = end != text ? behind(end, " to ") : NULL;
    }
    if (bound == NULL)
        return NULL;
    *most = strtoul(bound, &end, 10);
    return end != bound ? end : NULL;
}

static void test_ranges(void **state)
{
    size_t count = 0;

    (void)state;
    faults = 0;
    for (size_t i = 0; i < key_count; i++) {
        size_t least = 0;
        size_t most = 0;
        const char *rest = find_counts(keys[i].key->value, &least, &most);
        const char *value = rest != NULL ? rest : keys[i].key->value;
        const struct stated *stated = find_stated(&keys[i]);
        bool whole = strstr(value, "whole number") != NULL;
        struct range range = {0};
        if (stated != NULL)
            check_bounds(&keys[i], stated, false);
        else if (find_range(value, &range) != NULL)
            check_bounds(&keys[i],
                         &(struct stated){
                             .least = range.least,
                             .most = range.most,
                             .below = whole ? range.least - 1 : nextafter(range.least, -INFINITY),
                             .above = whole ? range.most + 1 : nextafter(range.most, INFINITY),
                         },
                         range.zero);
        else if (strncmp(value, "number", 6) == 0 || whole)
            fault(&keys[i], "%s states no range", value);
        else
            continue;
        count++;
    }
    assert_int_equal(faults, 0);
    assert_true(count >= 80);
}

/* A list of count zeros, or an object of them. */
static char *zeros(size_t count, bool object)
{
    size_t room = count * 14 + 3;
    char *text = malloc(room);
    size_t used = 1;

    assert_non_null(text);
    text[0] = object ? '{' : '[';
    for (size_t i = 0; i < count; i++) {
        if (object)
            used += (size_t)sprintf(text + used, "%s\"k%zu\":0", i > 0 ? "," : "", i);
        else
            used += (size_t)sprintf(text + used, "%s0", i > 0 ? "," : "");
    }
    text[used++] = object ? '}' : ']';
    text[used] = '\0';
    return text;
}

/* True if the reader refuses so many for their count. */
static bool too_many(const struct key *key, size_t count, size_t limit)
{
    char *text = zeros(count, strncmp(key->key->value, "object", 6) == 0);
    char found[3][60];
    mtm_error error = {""};

    (void)read_value(key->home, key->key->name, text, &error);
    free(text);
    (void)snprintf(found[0], sizeof found[0], "to %zu", limit);
    (void)snprintf(found[1], sizeof found[1], "allowed are %zu", limit);
    (void)snprintf(found[2], sizeof found[2], "found a list of %zu,", count);
    return strstr(error.text, found[0]) != NULL || strstr(error.text, found[1]) != NULL ||
           strstr(error.text, found[2]) != NULL;
}

static void check_count(const struct key *key, size_t least, size_t most)
{
    if (too_many(key, most, most))
        fault(key, "%zu are refused", most);
    if (!too_many(key, most + 1, most))
        fault(key, "%zu are not refused", most + 1);
    if (least > 0 && !too_many(key, least - 1, most))
        fault(key, "%zu are not refused", least - 1);
}

static void test_counts(void **state)
{
    size_t count = 0;

    (void)state;
    faults = 0;
    for (size_t i = 0; i < key_count; i++) {
        size_t most = 0;
        size_t least = 0;
        if (keys[i].home == NULL || find_counts(keys[i].key->value, &least, &most) == NULL)
            continue;
        check_count(&keys[i], least, most);
        count++;
    }
    assert_int_equal(faults, 0);
    assert_true(count >= 12);
}

static void test_texts(void **state)
{
    size_t count = 0;

    (void)state;
    faults = 0;
    for (size_t i = 0; i < key_count; i++) {
        size_t most = 0;
        char text[500] = "";
        mtm_error error;
        const char *bound = behind(keys[i].key->value, "text of at most ");
        if (bound == NULL)
            continue;
        most = strtoul(bound, NULL, 10);
        assert_true(most < sizeof text - 4);
        memset(text, 'a', most + 2);
        text[0] = text[most + 1] = '"';
        text[most + 2] = '\0';
        assert_int_equal(read_value(keys[i].home, keys[i].key->name, text, &error), MTM_OK);
        memset(text, 'a', most + 3);
        text[0] = text[most + 2] = '"';
        text[most + 3] = '\0';
        assert_int_not_equal(read_value(keys[i].home, keys[i].key->name, text, &error), MTM_OK);
        assert_true(names(error.text, (double)most));
        count++;
    }
    assert_int_equal(count, 5);
}

static void write_file(const char *name, const char *text)
{
    char path[128];

    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    (void)fputs(text, file);
    assert_int_equal(fclose(file), 0);
}

/* What the commands say of a file, sentences too: all their outputs, one behind the other. */
static char *outputs_of(const struct key *key, const struct variant *variant, const char *value)
{
    char *text = text_with(variant, key->key->name, value);
    char *all = strdup("");

    assert_non_null(all);
    write_file("f.json", text);
    for (const struct observed *line = file_observed; line->format != NULL; line++) {
        if (strcmp(line->format, key->format->name) != 0)
            continue;
        struct ran ran = run_line(line->line);
        size_t length = strlen(all);
        size_t room = length + strlen(ran.out) + strlen(ran.err) + 1;
        char *more = realloc(all, room);
        assert_non_null(more);
        all = more;
        (void)snprintf(all + length, room - length, "%s%s", ran.out, ran.err);
        ran_free(&ran);
    }
    free(text);
    return all;
}

/* The default as JSON: what help says, where that is JSON, or what it says in words. NULL where
 * there is none. */
static const char *default_of(const struct key *key, char room[80])
{
    const char *missing = key->key->missing;
    const char *end = NULL;

    for (const struct meant *meant = file_meant; meant->title != NULL; meant++) {
        if (strcmp(meant->title, key->object->title) == 0 &&
            strcmp(meant->key, key->key->name) == 0)
            return meant->json;
    }
    if (missing == NULL)
        return NULL;
    cJSON *tree = cJSON_ParseWithOpts(missing, &end, 0);
    bool said = tree != NULL && (*end == '\0' || *end == ',');
    cJSON_Delete(tree);
    if (!said)
        return NULL;
    (void)snprintf(room, 80, "%.*s", (int)(end - missing), missing);
    return room;
}

/* In one variant: to write the default changes nothing. True if to write the example does. */
static bool check_default(const struct key *key, const struct variant *variant, const char *json)
{
    char *without = outputs_of(key, variant, NULL);
    char *with = outputs_of(key, variant, json);
    char *other = outputs_of(key, variant, key->key->example);
    bool told = strcmp(without, other) != 0;

    if (strcmp(without, with) != 0)
        fault(key, "without is not the same as with %s", json);
    free(without);
    free(with);
    free(other);
    return told;
}

static void check_defaults(const struct key *key, const char *json)
{
    bool told = false;
    mtm_error error;

    for (const struct variant *variant = file_variants; variant->format != NULL; variant++) {
        if (of_object(variant, key) &&
            read_value(variant, key->key->name, NULL, &error) == MTM_OK &&
            read_value(variant, key->key->name, key->key->example, &error) == MTM_OK)
            told = check_default(key, variant, json) || told;
    }
    if (!told)
        fault(key, "no command tells %s from none", key->key->example);
}

static void test_defaults(void **state)
{
    size_t count = 0;

    (void)state;
    faults = 0;
    assert_int_equal(chdir(folder), 0);
    for (size_t i = 0; i < key_count; i++) {
        char room[80];
        const char *json = default_of(&keys[i], room);
        if (json == NULL)
            continue;
        check_defaults(&keys[i], json);
        count++;
    }
    assert_int_equal(faults, 0);
    assert_true(count >= 25);
}

static void write_beside(void)
{
    for (const struct beside *file = file_beside; file->name != NULL; file++) {
        char *text = strdup(file->text);
        assert_non_null(text);
        quote(text);
        write_file(file->name, text);
        free(text);
    }
}

/* A folder with the example hall and what the examples name. */
static int enter(void **state)
{
    char from[400];
    char to[200];

    if (enter_source(state) != 0 || getcwd(from, sizeof from - 40) == NULL || mkdtemp(root) == NULL)
        return -1;
    (void)snprintf(folder, sizeof folder, "%s/files", root);
    (void)snprintf(to, sizeof to, "%s/profiles", root);
    size_t length = strlen(from);
    (void)snprintf(from + length, 40, "/profiles");
    if (symlink(from, to) != 0 || mkdir(folder, 0777) != 0)
        return -1;
    (void)snprintf(from + length, 40, "/examples/hall.json");
    (void)snprintf(to, sizeof to, "%s/hall.json", folder);
    if (symlink(from, to) != 0 || mtm_rig_load("examples/hall.json", &hall, NULL) != MTM_OK)
        return -1;
    write_beside();
    for (const struct file_format *f = file_formats; f->name != NULL; f++) {
        if (strcmp(f->name, "calibration/1") == 0)
            write_file("hall-calibration.json", f->example);
        for (const struct file_object *object = f->objects; object->title != NULL; object++) {
            for (const struct file_key *key = object->keys; key->name != NULL; key++)
                keys[key_count++] = (struct key){f, object, key, NULL};
        }
    }
    return 0;
}

static int leave(void **state)
{
    char line[100];

    (void)state;
    mtm_rig_free(hall);
    (void)snprintf(line, sizeof line, "rm -r %s", root);
    return chdir("/") == 0 && system(line) == 0 ? 0 : -1;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_variants), cmocka_unit_test(test_examples),
        cmocka_unit_test(test_ranges),   cmocka_unit_test(test_counts),
        cmocka_unit_test(test_texts),    cmocka_unit_test(test_defaults),
    };

    return cmocka_run_group_tests_name("file keys", tests, enter, leave);
}
