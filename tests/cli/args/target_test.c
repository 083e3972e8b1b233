/* SPDX-License-Identifier: MIT */
/* Forms of a colour: every row of the one table, spelled as options and as a JSON object, is the
 * same colour; every member has its option and its key, with the bounds of the table. */
#include "support/command.h"

#include "cli/args/target.h"
#include "cli/out/file_formats.h"
#include "target/form.h"
#include "target/json.h"

#define RIG "examples/hall.json"

static mtm_rig *rig;

/* Samples, each of all members of its form that may stand together. */
static const struct sample {
    const char *key; /* of the form */
    const char *line, *json;
    bool has_spectrum;
    double luminance; /* Y that is stated; 0: none */
} samples[] = {
    {"xy", "--xy 0.31,0.33", "\"xy\": [0.31, 0.33]", false, 0},
    {"uv", "--uv 0.21,0.48", "\"uv\": [0.21, 0.48]", false, 0},
    {"xyz", "--xyz 40,50,60", "\"xyz\": [40, 50, 60]", false, 50},
    {"cct_k", "--cct 3200 --duv 0.002", "\"cct_k\": 3200, \"duv\": 0.002", false, 0},
    {"cct_k", "--cct 5600", "\"cct_k\": 5600", false, 0},
    {"daylight_k", "--daylight 6504", "\"daylight_k\": 6504", true, 0},
    {"lamp", "--lamp 3200@30%", "\"lamp\": \"3200@30%\"", true, 0},
    /* sRGB white is D65 at Y = 100: IEC 61966-2-1:1999, 5.2 */
    {"rgb", "--rgb 255,255,255", "\"rgb\": [255, 255, 255]", false, 100},
    {"rgb", "--rgb 1,1,1 --space rec2020", "\"rgb\": [1, 1, 1], \"space\": \"rec2020\"", false,
     100},
    {"spectrum", "--spectrum profiles/warm-white.csv", "\"spectrum\": \"warm-white.csv\"", true, 0},
    {"filter", "--filter amber --over 3200", "\"filter\": \"amber\", \"over\": \"3200\"", true, 0},
    {"like", "--like front-left-wash=100%,50%,20%,70%,0%,30%",
     "\"like\": \"front-left-wash\", \"percent\": [100, 50, 20, 70, 0, 30]", true, 0},
};

static int load_rig(void **state)
{
    mtm_error error = {""};

    if (enter_source(state) != 0)
        return -1;
    if (mtm_rig_load(RIG, &rig, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return 0;
}

static int free_rig(void **state)
{
    (void)state;
    mtm_rig_free(rig);
    return 0;
}

/* As "metamer match RIG LINE" reads it. */
static mtm_target read_line(const char *line, double *luminance)
{
    char copy[120];
    char *argv[8] = {(char *)(uintptr_t)RIG};
    char *rest = NULL;
    int argc = 1;
    struct args args;
    mtm_target target = {.cct_k = 0};
    mtm_error error = {""};

    (void)snprintf(copy, sizeof copy, "%s", line);
    for (char *word = strtok_r(copy, " ", &rest); word != NULL; word = strtok_r(NULL, " ", &rest))
        argv[argc++] = word;
    if (args_parse(command_find("match"), argc, argv, &args, &error) != MTM_OK ||
        target_from_args(&args, rig, &target, &error) != MTM_OK)
        fail_msg("%s: %s", line, error.text);
    *luminance = target_luminance(&args);
    args_free(&args);
    return target;
}

static mtm_target read_json(const char *json)
{
    char text[200];
    cJSON *root = NULL;
    struct mtmi_target_place place = {.rig = rig};
    mtm_target target = {.cct_k = 0};
    mtm_error error = {""};

    (void)snprintf(text, sizeof text, "{ \"metamer\": \"trial/1\", \"colour\": { %s } }", json);
    assert_int_equal(mtmi_json_open(text, strlen(text), "trial", "trial/1", &root, &error), MTM_OK);
    mtmi_node node = mtmi_json_root(root, "trial");
    mtmi_node colour;
    assert_true(mtmi_json_child(&node, "colour", &colour));
    if (mtmi_target_from_json(&colour, &place, &target, &error) != MTM_OK)
        fail_msg("%s", error.text);
    cJSON_Delete(root);
    mtm_filters_free(place.filters);
    return target;
}

static void test_sample(void **state)
{
    const struct sample *sample = *state;
    double luminance = 0;
    mtm_target said = read_line(sample->line, &luminance);
    mtm_target written = read_json(sample->json);

    assert_string_equal(said.description, written.description);
    assert_true(said.xy.x == written.xy.x && said.xy.y == written.xy.y);
    assert_true(said.cct_k == written.cct_k && said.observer == written.observer);
    assert_int_equal(said.has_spectrum, sample->has_spectrum);
    assert_int_equal(written.has_spectrum, sample->has_spectrum);
    if (said.has_spectrum)
        assert_memory_equal(&said.spectrum, &written.spectrum, sizeof said.spectrum);
    CHECK_NEAR("Y", luminance, sample->luminance, 0.01); /* the matrices are rounded */
}

static void test_every_form_has_a_sample(void **state)
{
    (void)state;
    for (const struct mtmi_form *form = mtmi_forms; form->member[0].key != NULL; form++) {
        bool found = false;
        for (size_t i = 0; i < COUNT(samples); i++)
            found = found || strcmp(samples[i].key, form->member[0].key) == 0;
        if (!found)
            fail_msg("no sample of the form %s", form->member[0].key);
    }
}

static const struct option_spec *find_option(const char *name)
{
    const struct option_spec *const tables[] = {target_options, over_options, like_options};

    for (size_t i = 0; i < COUNT(tables); i++) {
        for (const struct option_spec *option = tables[i]; option->name != NULL; option++) {
            if (strcmp(option->name, name) == 0)
                return option;
        }
    }
    fail_msg("there is no option --%s", name);
    return NULL;
}

static void find_key(const char *name)
{
    for (const struct file_object *object = file_show_objects; object->title != NULL; object++) {
        if (strcmp(object->title, "A colour") != 0)
            continue;
        for (const struct file_key *key = object->keys; key->name != NULL; key++) {
            if (strcmp(key->name, name) == 0)
                return;
        }
    }
    fail_msg("the page of files does not tell of the key %s", name);
}

static void test_members(void **state)
{
    size_t walked = 0;

    (void)state;
    for (const struct mtmi_form *form = mtmi_forms; form->member[0].key != NULL; form++) {
        for (const struct mtmi_member *member = form->member; member->key != NULL; member++) {
            walked++;
            find_key(member->key);
            if (member->option == NULL)
                continue;
            const struct option_spec *option = find_option(member->option);
            if (option->type != VALUE_NUMBER) /* a list is bounded by the colour that it makes */
                continue;
            assert_int_equal(member->count, 1);
            assert_true(option->least == member->least && option->most == member->most);
        }
    }
    assert_true(walked >= 15);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(samples) + 2] = {
        cmocka_unit_test(test_every_form_has_a_sample),
        cmocka_unit_test(test_members),
    };

    for (size_t i = 0; i < COUNT(samples); i++)
        tests[2 + i] = (struct CMUnitTest){.name = samples[i].line,
                                           .test_func = test_sample,
                                           .initial_state = (void *)(uintptr_t)&samples[i]};
    return cmocka_run_group_tests_name("forms of a colour", tests, load_rig, free_rig);
}
