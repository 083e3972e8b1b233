/* SPDX-License-Identifier: MIT */
/* Selection: units gathered term by term. Each unit has a mark, so that a list takes as long as it
 * is, however large the rig. */
#include "rig/selection.h"

#include "rig/pattern.h"
#include "rig/rig.h"

#include "base/error.h"
#include "base/name.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define KIND_WORD "kind:"
#define WORK_MAX 400000000 /* parts of patterns held to names: about a second */

enum { MARK_CHOSEN = 1, MARK_NAMED = 2, MARK_LEFT_OUT = 4 };

/* What a term does to the units that it meets. */
struct term {
    const char *text; /* without its "!" */
    bool leaves;
};

mtm_result mtmi_selection_begin(mtmi_selection *selection, const mtm_rig *rig,
                                const mtmi_groups *groups, size_t *work, mtm_error *error)
{
    *selection = (mtmi_selection){.rig = rig, .groups = groups, .work = work};
    selection->mark = calloc(rig->unit_count + 1, sizeof *selection->mark);
    selection->unit = malloc((rig->unit_count + 1) * sizeof *selection->unit);
    return selection->mark == NULL || selection->unit == NULL ? mtmi_fail_memory(error) : MTM_OK;
}

void mtmi_selection_free(mtmi_selection *selection)
{
    free(selection->mark);
    free(selection->unit);
    selection->mark = NULL;
    selection->unit = NULL;
}

size_t *mtmi_selection_take(mtmi_selection *selection, size_t *count)
{
    size_t *unit = selection->unit;
    size_t *trimmed = realloc(unit, (selection->count + 1) * sizeof *trimmed);

    *count = selection->count;
    selection->unit = NULL;
    return trimmed != NULL ? trimmed : unit;
}

static void meet(mtmi_selection *selection, const struct term *term, size_t unit)
{
    unsigned char *mark = &selection->mark[unit];

    if (term->leaves) {
        *mark |= MARK_LEFT_OUT;
    } else if ((*mark & MARK_CHOSEN) == 0) {
        *mark |= MARK_CHOSEN;
        selection->unit[selection->count++] = unit;
    }
}

/* All names that a plain term may be, for the nearest. */
static const char *name_at(const void *list, size_t index)
{
    const mtmi_selection *selection = list;

    if (index-- == 0)
        return "all";
    for (const mtmi_groups *groups = selection->groups; groups != NULL; groups = groups->outer) {
        if (index < groups->count)
            return groups->group[index].name;
        index -= groups->count;
    }
    return index < selection->rig->unit_count ? selection->rig->units[index].name : NULL;
}

static const char *kind_at(const void *list, size_t index)
{
    const mtm_rig *rig = list;

    return index < rig->unit_count ? mtm_fixture_name(rig->units[index].fixture) : NULL;
}

static mtm_result fail_unknown(const char *what, const char *name, const char *nearest,
                               mtm_error *error)
{
    return mtmi_fail(error, MTM_NOT_FOUND, "the rig has no %s \"%.60s\"%s%.60s%s", what, name,
                     nearest != NULL ? "; the nearest is \"" : "", nearest != NULL ? nearest : "",
                     nearest != NULL ? "\"" : "");
}

/* Takes a name of a unit or group; false where it is none. */
static mtm_result take_name(mtmi_selection *selection, const struct term *term, bool *found,
                            mtm_error *error)
{
    const mtm_rig *rig = selection->rig;
    const mtmi_named *unit = mtmi_names_find(rig->unit_names, rig->unit_count, term->text);
    const mtmi_group *group = NULL;

    *found = true;
    if (unit != NULL) {
        if (!term->leaves && (selection->mark[unit->index] & MARK_NAMED) != 0)
            return mtmi_fail(error, MTM_PARSE, "\"%.60s\" stands twice", term->text);
        meet(selection, term, unit->index);
        selection->mark[unit->index] |= term->leaves ? 0 : MARK_NAMED;
        return MTM_OK;
    }
    group = mtmi_groups_find(selection->groups, term->text);
    if (group != NULL) {
        for (size_t i = 0; i < group->unit_count; i++)
            meet(selection, term, group->unit[i]);
        return MTM_OK;
    }
    *found = strcmp(term->text, "all") == 0;
    for (size_t i = 0; *found && i < rig->unit_count; i++)
        meet(selection, term, i);
    return MTM_OK;
}

/* Units whose name, or whose kind's, is like a pattern; with a term they are taken. */
static size_t count_like(mtmi_selection *selection, const mtmi_pattern *pattern, bool of_kind,
                         const struct term *term)
{
    size_t count = 0;

    *selection->work += selection->rig->unit_count * (pattern->count + 8);
    for (size_t i = 0; i < selection->rig->unit_count; i++) {
        const mtm_unit *unit = &selection->rig->units[i];
        if (!mtmi_pattern_meets(pattern, of_kind ? mtm_fixture_name(unit->fixture) : unit->name))
            continue;
        count++;
        if (term != NULL)
            meet(selection, term, i);
    }
    return count;
}

/* Of a range, what stands at both ends must be there. */
static mtm_result check_ends(mtmi_selection *selection, const mtmi_pattern *pattern, size_t part,
                             bool of_kind, const char *text, mtm_error *error)
{
    const mtmi_pattern_part range = pattern->part[part];

    if (range.first > range.last)
        return mtmi_fail(error, MTM_PARSE, "\"%.60s\" runs down; wanted is %u..%u", text,
                         range.last, range.first);
    for (int i = 0; i < 2; i++) {
        mtmi_pattern end = *pattern;
        unsigned number = i == 0 ? range.first : range.last;
        end.part[part].first = end.part[part].last = number;
        if (count_like(selection, &end, of_kind, NULL) == 0)
            return mtmi_fail(error, MTM_NOT_FOUND, "\"%.60s\": the rig has no %s like \"%.*s%u%s\"",
                             text, of_kind ? "kind" : "unit", (int)range.from, text, number,
                             text + range.to);
    }
    return MTM_OK;
}

static mtm_result take_pattern(mtmi_selection *selection, const struct term *term, mtm_error *error)
{
    bool of_kind = strncmp(term->text, KIND_WORD, strlen(KIND_WORD)) == 0;
    const char *text = term->text + (of_kind ? strlen(KIND_WORD) : 0);
    mtmi_pattern pattern;
    mtm_result result = MTM_OK;

    text += strspn(text, " ");
    mtmi_pattern_read(text, &pattern);
    if (pattern.plain && !of_kind)
        return fail_unknown("unit or group", text, mtmi_name_nearest(text, selection, name_at),
                            error);
    if (*selection->work > WORK_MAX)
        return mtmi_fail(error, MTM_LIMIT,
                         "\"%.60s\" is one pattern too many for a rig of %zu units; make groups of "
                         "them and name those",
                         term->text, selection->rig->unit_count);
    for (size_t i = 0; i < pattern.count && result == MTM_OK; i++) {
        if (pattern.part[i].kind == MTMI_PART_NUMBER)
            result = check_ends(selection, &pattern, i, of_kind, text, error);
    }
    if (result != MTM_OK || count_like(selection, &pattern, of_kind, term) > 0)
        return result;
    if (of_kind && pattern.plain)
        return fail_unknown("kind", text, mtmi_name_nearest(text, selection->rig, kind_at), error);
    return fail_unknown(of_kind ? "kind like" : "unit like", text, NULL, error);
}

mtm_result mtmi_selection_add(mtmi_selection *selection, const char *text, mtm_error *error)
{
    struct term term = {.text = text};
    bool found = false;

    if (strlen(text) > MTMI_PATTERN_MAX)
        return mtmi_fail(error, MTM_PARSE, "\"%.20s...\" has %zu bytes, allowed are at most %d",
                         text, strlen(text), MTMI_PATTERN_MAX);
    mtm_result result = take_name(selection, &term, &found, error);
    if (!found && text[0] == '!') {
        term.text = text + 1 + strspn(text + 1, " ");
        term.leaves = true;
        result = take_name(selection, &term, &found, error);
    }
    selection->leaves = selection->leaves || term.leaves;
    selection->takes = selection->takes || !term.leaves;
    if (result != MTM_OK || found)
        return result;
    if (term.text[0] == '\0')
        return mtmi_fail(error, MTM_PARSE, "a name of a unit or group is missing");
    return take_pattern(selection, &term, error);
}

/* Adds what a value of a file says; what it names must be there. */
static mtm_result add_value(const mtmi_node *node, mtmi_selection *selection,
                            mtm_result (*add)(mtmi_selection *, const char *, mtm_error *),
                            mtm_error *error)
{
    const char *text = NULL;
    mtm_error inner = {""};
    mtm_result result = mtmi_json_as_string(node, &text, error);

    if (result != MTM_OK)
        return result;
    result = add(selection, text, &inner);
    if (result == MTM_OK)
        return MTM_OK;
    return mtmi_json_fail_as(node, result == MTM_NOT_FOUND ? MTM_PARSE : result, &inner, error);
}

/* Whether a text is a name as a whole, so that its commas split nothing. */
static bool is_name(const mtmi_selection *selection, const char *text)
{
    return mtmi_names_find(selection->rig->unit_names, selection->rig->unit_count, text) != NULL ||
           mtmi_groups_find(selection->groups, text) != NULL;
}

mtm_result mtmi_selection_add_text(mtmi_selection *selection, const char *text, mtm_error *error)
{
    char term[MTMI_PATTERN_MAX + 2];

    if (is_name(selection, text))
        return mtmi_selection_add(selection, text, error);
    while (text != NULL) {
        const char *comma = text + strcspn(text, ",");
        const char *end = comma;

        text += strspn(text, " ");
        while (end > text && end[-1] == ' ')
            end--;
        int length = end > text ? (int)(end - text) : 0;
        (void)snprintf(term, sizeof term, "%.*s", length, text);
        mtm_result result = mtmi_selection_add(selection, term, error);
        if (result != MTM_OK)
            return result;
        text = *comma != '\0' ? comma + 1 : NULL;
    }
    return MTM_OK;
}

mtm_result mtmi_selection_end(mtmi_selection *selection, mtm_error *error)
{
    size_t kept = 0;

    if (!selection->takes) {
        for (size_t i = 0; i < selection->rig->unit_count; i++)
            meet(selection, &(struct term){.leaves = false}, i);
    }
    for (size_t i = 0; i < selection->count; i++) {
        if ((selection->mark[selection->unit[i]] & MARK_LEFT_OUT) == 0)
            selection->unit[kept++] = selection->unit[i];
    }
    selection->count = kept;
    return kept > 0 ? MTM_OK : mtmi_fail(error, MTM_PARSE, "no unit is left");
}

mtm_result mtmi_selection_read(const mtmi_node *node, mtmi_selection *selection, mtm_error *error)
{
    mtmi_node child;
    mtm_result result = MTM_OK;

    if (!cJSON_IsArray(node->item))
        return add_value(node, selection, mtmi_selection_add_text, error);
    if (node->item->child == NULL)
        return mtmi_json_fail(node, error, "wanted is at least one unit, group or pattern");
    for (bool more = mtmi_json_first(node, &child); more && result == MTM_OK;
         more = mtmi_json_next(&child))
        result = add_value(&child, selection, mtmi_selection_add, error);
    return result;
}

mtm_result mtmi_select(const mtm_rig *rig, const mtmi_groups *groups, const char *text,
                       size_t *unit, size_t *unit_count, mtm_error *error)
{
    mtmi_selection selection;
    size_t work = 0;
    mtm_result result = mtmi_selection_begin(&selection, rig, groups, &work, error);

    if (result == MTM_OK && text != NULL)
        result = mtmi_selection_add_text(&selection, text, error);
    if (result == MTM_OK)
        result = mtmi_selection_end(&selection, error);
    if (result == MTM_OK) {
        memcpy(unit, selection.unit, selection.count * sizeof *unit);
        *unit_count = selection.count;
    }
    mtmi_selection_free(&selection);
    return result;
}

mtm_result mtm_rig_select(const mtm_rig *rig, const char *text, size_t *unit, size_t *unit_count,
                          mtm_error *error)
{
    if (rig == NULL || unit == NULL || unit_count == NULL)
        return mtmi_fail(error, MTM_INVALID, "a rig and room for units are needed");
    return mtmi_select(rig, &rig->groups, text, unit, unit_count, error);
}
