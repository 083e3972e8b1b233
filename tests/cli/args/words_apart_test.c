/* SPDX-License-Identifier: MIT */
/* The words of pictures: no run of them comes over another, as the outlines of their letters lie.
 */
#include "support/check.h"
#include "support/command.h"

#include "base/xml.h"

#include <math.h>

/* Px by which outlines may meet: they are rounded to hundredths. */
#define TOUCH 0.5
#define LETTERS_MAX 2048
#define RUNS_MAX 2048

struct box {
    double left, top, right, bottom;
};

/* The letters of the fonts that a picture has, and its words. */
struct words {
    struct letter {
        const char *name;
        struct box box;
    } letter[LETTERS_MAX];
    size_t letter_count;
    struct box run[RUNS_MAX];
    size_t run_count;
};

static const struct box nothing = {INFINITY, INFINITY, -INFINITY, -INFINITY};

static void grow(struct box *box, double x, double y)
{
    box->left = fmin(box->left, x);
    box->right = fmax(box->right, x);
    box->top = fmin(box->top, y);
    box->bottom = fmax(box->bottom, y);
}

/* Points of a path, the ones beside curves too. */
static void grow_by_path(struct box *box, const char *data)
{
    for (const char *at = data; *at != '\0';) {
        char *end;
        double x = strtod(at, &end);
        if (end == at) {
            at++;
            continue;
        }
        double y = strtod(end, &end);
        grow(box, x, y);
        at = end;
    }
}

static void read_letter(const mtmi_xml_node *symbol, struct words *words)
{
    struct box box = nothing;

    for (const mtmi_xml_node *node = mtmi_xml_first(symbol); node != NULL;
         node = mtmi_xml_next(node)) {
        const char *data = mtmi_xml_attribute(node, "d");
        if (data != NULL)
            grow_by_path(&box, data);
    }
    assert_true(words->letter_count < LETTERS_MAX);
    words->letter[words->letter_count++] = (struct letter){mtmi_xml_attribute(symbol, "id"), box};
}

static const struct box *letter_of(const struct words *words, const char *reference)
{
    for (size_t i = 0; reference != NULL && i < words->letter_count; i++) {
        if (strcmp(words->letter[i].name, reference + 1) == 0)
            return &words->letter[i].box;
    }
    return &nothing;
}

/* The letters that stand side by side in a group are a run. */
static void read_run(const mtmi_xml_node *group, struct words *words)
{
    struct box box = nothing;

    for (const mtmi_xml_node *node = mtmi_xml_first(group); node != NULL;
         node = mtmi_xml_next(node)) {
        const char *x = mtmi_xml_attribute(node, "x"), *y = mtmi_xml_attribute(node, "y");
        if (strcmp(mtmi_xml_name(node), "use") != 0 || x == NULL || y == NULL)
            continue;
        const struct box *letter = letter_of(words, mtmi_xml_attribute(node, "href"));
        if (!(letter->right > letter->left))
            continue; /* a blank */
        grow(&box, strtod(x, NULL) + letter->left, strtod(y, NULL) + letter->top);
        grow(&box, strtod(x, NULL) + letter->right, strtod(y, NULL) + letter->bottom);
    }
    if (!(box.right > box.left))
        return;
    assert_true(words->run_count < RUNS_MAX);
    words->run[words->run_count++] = box;
}

static void walk(const mtmi_xml_node *node, struct words *words)
{
    for (; node != NULL; node = mtmi_xml_next(node)) {
        if (strcmp(mtmi_xml_name(node), "symbol") == 0)
            read_letter(node, words);
        if (strcmp(mtmi_xml_name(node), "g") == 0)
            read_run(node, words);
        walk(mtmi_xml_first(node), words);
    }
}

static const struct row {
    const char *name, *line;
    size_t least; /* runs that it has at least: a picture without words would pass */
} rows[] = {
    {"rendering", "match examples/hall.json --cct 3200 --quality", 200},
    {"rendering, narrow", "match examples/hall.json --cct 4500 --quality --width 600", 200},
    {"rendering, low", "match examples/hall.json --cct 4500 --quality --height 600", 50},
    {"spectrum", "spectrum profiles/warm-white.csv", 50},
    {"spectra", "spectrum profiles/warm-white.csv profiles/cool-white.csv profiles/lime.csv", 80},
    {"choices", "choices examples/hall.json front-left-wash --cct 3200", 80},
    {"choices, narrow", "choices examples/hall.json side-left-batten --cct 5600 --width 600", 50},
    {"one choice", "choices examples/hall.json hall-left --cct 3200 --dark", 20},
    {"rig", "rig examples/hall.json", 30},
    {"rig, narrow", "rig examples/hall.json --width 600 --dark", 30},
    {"rig of one unit, low", "rig examples/hall.json --units hall-left --height 300", 10},
    {"wash", "fixture profiles/five-colour-wash.json", 60},
    {"wash, narrow", "fixture profiles/five-colour-wash.json --width 600", 60},
    {"batten", "fixture profiles/five-colour-batten.json --diagram xy", 60},
    {"spot, narrow", "fixture profiles/five-colour-spot.json --width 480", 60},
    {"tunable white", "fixture profiles/tunable-white.json", 60},
    {"tungsten", "fixture profiles/tungsten-spot.json", 40},
    {"ember", "fixture profiles/ember-downlight.json --width 600", 40},
    {"plain white", "fixture profiles/plain-white.json", 60},
    {"panel", "fixture profiles/studio-panel.json", 60},
    {"spot, upright", "fixture profiles/five-colour-spot.json --width 700 --height 1000", 60},
    {"strip", "fixture profiles/three-colour-strip.json --width 700", 60},
};

static void test_apart(void **state)
{
    static struct words words;
    const struct row *row = *state;
    char line[256];
    mtm_error error = {""};
    mtmi_xml *xml = NULL;

    (void)snprintf(line, sizeof line, "%s --picture -", row->line);
    struct ran ran = run_line(line);
    if (strstr(ran.err, "pictures cannot be drawn") != NULL) {
        print_message("skipped: %s", ran.err);
        skip();
    }
    if (mtmi_xml_parse(ran.out, strlen(ran.out), "picture", &xml, &error) != MTM_OK)
        fail_msg("%s%s", ran.err, error.text);
    words.letter_count = words.run_count = 0;
    walk(mtmi_xml_root(xml), &words);
    if (words.run_count < row->least)
        fail_msg("only %zu runs of words were found", words.run_count);
    for (size_t i = 0; i < words.run_count; i++) {
        for (size_t k = 0; k < i; k++) {
            const struct box *a = &words.run[i], *b = &words.run[k];
            double across = fmin(a->right, b->right) - fmax(a->left, b->left);
            double down = fmin(a->bottom, b->bottom) - fmax(a->top, b->top);
            if (across > TOUCH && down > TOUCH)
                fail_msg("words about %.0f, %.0f and about %.0f, %.0f come over each other",
                         a->left, a->top, b->left, b->top);
        }
    }
    mtmi_xml_free(xml);
    ran_free(&ran);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, test_apart);
    return cmocka_run_group_tests_name("words of pictures", tests, enter_source, NULL);
}
