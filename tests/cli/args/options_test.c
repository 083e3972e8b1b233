/* SPDX-License-Identifier: MIT */
/* Options: in the tables of every command, what goes with what, and what excludes what. */
#include "support/command.h"

#include "cli/args/args.h"

#define WORDS_MAX 16

/* A command line on its way. */
struct line {
    char text[WORDS_MAX][80];
    char *word[WORDS_MAX];
    int count;
};

static void add_word(struct line *line, const char *word)
{
    assert_true(line->count < WORDS_MAX);
    (void)snprintf(line->text[line->count], sizeof line->text[0], "%s", word);
    line->word[line->count] = line->text[line->count];
    line->count++;
}

static const struct option_spec *find(const struct command *command, const char *name,
                                      const struct option_group **in)
{
    for (const struct option_group *group = command->groups; group->title != NULL; group++) {
        for (const struct option_spec *option = group->options; option->name != NULL; option++) {
            if (strcmp(option->name, name) == 0) {
                *in = group;
                return option;
            }
        }
    }
    fail_msg("%s has no option --%s that its tables name", command->name, name);
    return NULL;
}

static const char *value_of(const struct option_spec *option, char text[40])
{
    if (option->type == VALUE_NUMBER || option->type == VALUE_INTEGER)
        (void)snprintf(text, 40, "%.10g", option->least);
    else
        (void)snprintf(text, 40, "%s",
                       option->type == VALUE_CHOICE ? choice_name(&option->choices, 0)
                                                    : "something");
    return text;
}

static void add_option(struct line *line, const struct option_spec *option, const char *value)
{
    char text[80];
    char usual[40];

    for (int i = 0; i < line->count; i++) {
        size_t length = strcspn(line->word[i], "=");
        if (length == strlen(option->name) + 2 &&
            strncmp(line->word[i] + 2, option->name, length - 2) == 0)
            return;
    }
    if (option->type == VALUE_NONE)
        (void)snprintf(text, sizeof text, "--%s", option->name);
    else
        (void)snprintf(text, sizeof text, "--%s=%s", option->name,
                       value != NULL ? value : value_of(option, usual));
    add_word(line, text);
}

/* The name at the head of a list ("goal=rendering index": goal), its value, and what follows. */
static const char *next_of(const char *list, char name[40], const char **value)
{
    size_t length = strcspn(list, " ");

    assert_true(length > 0 && length < 40);
    (void)snprintf(name, 40, "%.*s", (int)length, list);
    char *equals = strchr(name, '=');
    *value = equals != NULL ? equals + 1 : NULL;
    if (equals != NULL)
        *equals = '\0';
    return list + length + strspn(list + length, " ");
}

static void add_with(struct line *line, const struct command *command, const char *list);

/* An option with all that it needs. */
static void add_whole(struct line *line, const struct command *command, const char *name,
                      const char *value)
{
    const struct option_group *group = NULL;
    const struct option_spec *option = find(command, name, &group);
    int before = line->count;

    add_option(line, option, value);
    if (line->count == before)
        return;
    add_with(line, command, group->with);
    add_with(line, command, option->with);
}

static void add_with(struct line *line, const struct command *command, const char *list)
{
    char name[40];
    const char *value = NULL;

    if (list == NULL)
        return;
    (void)next_of(list, name, &value);
    add_whole(line, command, name, value);
}

static void parse(const struct command *command, struct line *line, mtm_result wanted,
                  const char *part)
{
    struct args args;
    mtm_error error = {""};

    for (size_t i = 0; i < command->words_least; i++)
        add_word(line, "word");
    mtm_result result = args_parse(command, line->count, line->word, &args, &error);
    if (result != wanted || strstr(error.text, part) == NULL)
        fail_msg("%s %s: %s", command->name, line->word[0], error.text);
    args_free(&args);
}

static void check_with(const struct command *command, const struct option_spec *option,
                       const char *list)
{
    char part[120];
    char name[40];
    const char *value = NULL;

    struct line alone = {.count = 0};
    add_option(&alone, option, NULL);
    (void)snprintf(part, sizeof part, "--%s goes with --", option->name);
    parse(command, &alone, MTM_PARSE, part);
    while (*list != '\0') { /* any one of them will do */
        struct line both = {.count = 0};
        list = next_of(list, name, &value);
        add_whole(&both, command, name, value);
        add_whole(&both, command, option->name, NULL);
        parse(command, &both, MTM_OK, "");
    }
}

static void check_against(const struct command *command, const struct option_spec *option,
                          const char *list)
{
    char name[40];
    const char *value = NULL;

    while (*list != '\0') {
        struct line both = {.count = 0};
        list = next_of(list, name, &value);
        add_whole(&both, command, option->name, NULL);
        add_whole(&both, command, name, value);
        parse(command, &both, MTM_PARSE, "exclude each other");
    }
}

static size_t check_option(const struct command *command, const struct option_group *group,
                           const struct option_spec *option)
{
    struct line whole = {.count = 0};
    const char *const with[] = {group->with, option->with};
    const char *const against[] = {group->against, option->against};
    size_t stated = 0;

    add_whole(&whole, command, option->name, NULL);
    parse(command, &whole, MTM_OK, "");
    for (size_t i = 0; i < 2; i++) {
        stated += with[i] != NULL || against[i] != NULL;
        if (with[i] != NULL)
            check_with(command, option, with[i]);
        if (against[i] != NULL)
            check_against(command, option, against[i]);
    }
    return stated;
}

static void test_tables(void **state)
{
    size_t stated = 0;

    (void)state;
    for (size_t i = 0; commands[i] != NULL; i++) {
        for (const struct option_group *group = commands[i]->groups; group->title != NULL; group++)
            for (const struct option_spec *option = group->options; option->name != NULL; option++)
                stated += check_option(commands[i], group, option);
    }
    assert_true(stated > 40);
}

/* What was taken in silence and changed nothing. */
static const struct row {
    const char *name; /* the line */
    const char *part;
} bad[] = {
    {"filter --count 3", "--count goes with --nearest or a filter's name"},
    {"filter half-cto --cct 3200", "--cct goes with --nearest, and would do nothing without"},
    {"match examples/hall.json --cct 3200 --agree 0.002", "--agree goes with --quality"},
    {"match examples/hall.json --cct 3200 --apart 0.002", "--apart goes with --quality"},
    {"match examples/hall.json --cct 3200 --least-ssi 70", "--least-ssi goes with --quality"},
    {"play examples/evening.json --to 127.0.0.1 --ttl 3", "--ttl goes with --to multicast"},
    {"watch --once --every 2", "--every and --once exclude each other"},
    {"help --manual --completion bash", "--manual and --completion exclude each other"},
    {"trim a b c --match-meters --write d --cct 3000", "--cct and --match-meters exclude"},
    {"trim a b c --match-meters --write d --meter-xy 0.001", "--meter-xy and --match-meters"},
    {"sheet examples/hall.json --by label --format csv", "--by label is text to be cut out"},
};

static void test_bad(void **state)
{
    const struct row *row = *state;

    expect_failure(row->name, EXIT_USAGE, row->part);
}

/* What depends on the rig is said and not refused. */
static const struct row said[] = {
    {"load tests/data/plain/rig.json --voltage 230", "--voltage changes nothing: the rig has no"},
    {"load tests/data/plain/rig.json --reserve 70", "--reserve changes nothing: the rig has no"},
    {"load tests/data/plain/rig.json --rating 70", "--rating changes nothing: the rig has no"},
    {"load tests/data/plain/rig.json --efficiency 70", "--efficiency changes nothing: the rig has"},
    {"load tests/data/plain/rig.json --power-factor 1", "--power-factor changes nothing: the rig"},
};

static void test_said(void **state)
{
    const struct row *row = *state;
    struct ran ran = run_line(row->name);

    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.err, row->part);
    ran_free(&ran);
}

int main(void)
{
    struct CMUnitTest refused[COUNT(bad)];
    struct CMUnitTest noted[COUNT(said)];
    const struct CMUnitTest tables[] = {cmocka_unit_test(test_tables)};

    ROW_TESTS(refused, bad, test_bad);
    ROW_TESTS(noted, said, test_said);
    int failed = cmocka_run_group_tests_name("refused", refused, enter_source, NULL);
    failed += cmocka_run_group_tests_name("said", noted, enter_source, NULL);
    return failed + cmocka_run_group_tests_name("options", tables, enter_source, NULL);
}
