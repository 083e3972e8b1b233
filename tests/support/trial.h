/* SPDX-License-Identifier: MIT */
/* Rigs and shows of tests: units and supplies as rows, JSON written with ' for ", which C strings
 * hold as it is. */
#ifndef METAMER_TESTS_TRIAL_H
#define METAMER_TESTS_TRIAL_H

#include "support/check.h"

#include <metamer/rig.h>
#include <metamer/show.h>

/** The name of every rig, unless the program has said another before. */
#ifndef TRIAL_NAME
#define TRIAL_NAME "trial"
#endif

/* Rows end where a unit has no more to say. */
#pragma GCC diagnostic ignored "-Wmissing-field-initializers"

/** One supply; zeroed members are left out. */
struct trial_supply {
    const char *name;
    int ports;
    double port_w, total_w;
};

/** One unit; zeroed members are left out. */
struct trial_unit {
    const char *name, *fixture, *mode;
    int universe, address;
    const char *supply;
    int port;
    const char *follows;
};

struct trial_text {
    char data[16384];
    size_t length;
};

/** JSON written with ' for "; free() it. */
static inline char *trial_json(const char *text)
{
    char *json = strdup(text);

    assert_non_null(json);
    for (char *at = json; (at = strchr(at, '\'')) != NULL;)
        *at = '"';
    return json;
}

/** Fails with the sentence unless all went well. */
static inline void trial_must(mtm_result result, const mtm_error *error)
{
    if (result != MTM_OK)
        fail_msg("%s", error->text);
}

static inline void trial_add_list(struct trial_text *text, const char *format, va_list arguments)
{
    char *at = text->data + text->length;
    int count = vsnprintf(at, sizeof text->data - text->length, format, arguments);

    assert_true(count >= 0 && (size_t)count < sizeof text->data - text->length);
    text->length += (size_t)count;
    while ((at = strchr(at, '\'')) != NULL)
        *at = '"';
}

/** Adds JSON, with ' for ". */
__attribute__((format(printf, 2, 3))) static inline void trial_add(struct trial_text *text,
                                                                   const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    trial_add_list(text, format, arguments);
    va_end(arguments);
}

static inline void trial_add_word(struct trial_text *text, const char *key, const char *word)
{
    if (word != NULL)
        trial_add(text, ", '%s': '%s'", key, word);
}

static inline void trial_add_integer(struct trial_text *text, const char *key, int number)
{
    if (number != 0)
        trial_add(text, ", '%s': %d", key, number);
}

static inline void trial_add_units(struct trial_text *text, const struct trial_unit *units,
                                   size_t count)
{
    trial_add(text, "'units': [");
    for (const struct trial_unit *unit = units; unit < units + count; unit++) {
        trial_add(text, "%s{'name': '%s'", unit > units ? ", " : "", unit->name);
        trial_add_word(text, "fixture", unit->fixture);
        trial_add_word(text, "mode", unit->mode);
        trial_add_integer(text, "universe", unit->universe);
        trial_add_integer(text, "address", unit->address);
        trial_add_word(text, "supply", unit->supply);
        trial_add_integer(text, "port", unit->port);
        trial_add_word(text, "follows", unit->follows);
        trial_add(text, "}");
    }
    trial_add(text, "]");
}

/** A rig of these keys of "rig/1" beside "metamer" and "name", with ' for ". Relative paths start
 * at the top of the source. The caller frees it. */
__attribute__((format(printf, 1, 2))) static inline mtm_rig *trial_rig_of(const char *format, ...)
{
    struct trial_text text = {.length = 0};
    mtm_rig *rig = NULL;
    mtm_error error = {""};
    va_list arguments;

    trial_add(&text, "{'metamer': 'rig/1', 'name': '" TRIAL_NAME "', ");
    va_start(arguments, format);
    trial_add_list(&text, format, arguments);
    va_end(arguments);
    trial_add(&text, "}");
    trial_must(mtm_rig_parse(text.data, text.length, "rig", getenv("METAMER_SOURCE"), &rig, &error),
               &error);
    return rig;
}

/** A rig of these units on these supplies (perhaps none). The caller frees it. */
static inline mtm_rig *trial_rig_on(const struct trial_supply *supplies, size_t supply_count,
                                    const struct trial_unit *units, size_t unit_count)
{
    struct trial_text text = {.length = 0};

    for (size_t i = 0; i < supply_count; i++)
        trial_add(&text, "%s{'name': '%s', 'ports': %d, 'port_w': %g, 'total_w': %g}%s",
                  i == 0 ? "'supplies': [" : ", ", supplies[i].name, supplies[i].ports,
                  supplies[i].port_w, supplies[i].total_w, i + 1 == supply_count ? "], " : "");
    trial_add_units(&text, units, unit_count);
    return trial_rig_of("%s", text.data);
}

/** A rig of these units. The caller frees it. */
static inline mtm_rig *trial_rig(const struct trial_unit *units, size_t count)
{
    return trial_rig_on(NULL, 0, units, count);
}

/** A show of these keys of "show/1" beside "metamer" and "name", with ' for ". The caller frees it.
 */
__attribute__((format(printf, 2, 3))) static inline mtm_show *trial_show(const mtm_rig *rig,
                                                                         const char *format, ...)
{
    struct trial_text text = {.length = 0};
    mtm_show *show = NULL;
    mtm_error error = {""};
    va_list arguments;

    trial_add(&text, "{'metamer': 'show/1', 'name': 'trial', ");
    va_start(arguments, format);
    trial_add_list(&text, format, arguments);
    va_end(arguments);
    trial_add(&text, "}");
    trial_must(mtm_show_parse(text.data, text.length, "show", NULL, rig, &show, &error), &error);
    return show;
}

#endif
