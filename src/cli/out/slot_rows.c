/* SPDX-License-Identifier: MIT */
/* Slot rows: units brought together by fixture kind and mode, and columns of CSV. */
#include "cli/out/slot_rows.h"

#include "cli/out/text.h"

#include "base/error.h"
#include "base/grow.h"
#include "fixture/limits.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Slots that carry the same under the same name, in modes of any fixtures. */
static bool same_slot(const struct slot_column *a_column, const struct slot_column *b_column)
{
    const mtm_slot *a = a_column->slot, *b = b_column->slot;
    char names[2][SLOT_NAME_ROOM];

    if (a->role != b->role)
        return false;
    if (a == b || !slot_has_channel(a))
        return true;
    slot_name(a_column->fixture, a_column->mode, a, ' ', names[0], sizeof names[0]);
    slot_name(b_column->fixture, b_column->mode, b, ' ', names[1], sizeof names[1]);
    return strcmp(names[0], names[1]) == 0;
}

/* One fixture of a name and one mode of it; measured units have fixtures of their own. */
static bool same_kind(const mtm_unit *a, const mtm_unit *b)
{
    if (a->fixture == b->fixture && a->mode == b->mode)
        return true;
    if (strcmp(mtm_fixture_name(a->fixture), mtm_fixture_name(b->fixture)) != 0 ||
        strcmp(a->mode->name, b->mode->name) != 0 || a->mode->slot_count != b->mode->slot_count)
        return false;
    for (size_t k = 0; k < a->mode->slot_count; k++) {
        const struct slot_column x = {a->fixture, a->mode, &a->mode->slots[k]};
        const struct slot_column y = {b->fixture, b->mode, &b->mode->slots[k]};
        if (!same_slot(&x, &y))
            return false;
    }
    return true;
}

/* Of one kind; and where one line stands for a kind, under the same limits. */
static bool same_row(const struct slot_source *source, const mtm_unit *a, const mtm_unit *b)
{
    return same_kind(a, b) &&
           (!source->by_kind ||
            mtmi_limits_equal(mtm_fixture_limits(a->fixture), mtm_fixture_limits(b->fixture)));
}

static mtm_result add_column(struct slot_kinds *kinds, struct slot_column column, mtm_error *error)
{
    for (size_t i = 0; i < kinds->column_count; i++) {
        if (same_slot(&kinds->column[i], &column))
            return MTM_OK;
    }
    struct slot_column *grown =
        mtmi_grown(kinds->column, kinds->column_count, &kinds->column_room, sizeof *kinds->column);
    if (grown == NULL)
        return mtmi_fail_memory(error);
    kinds->column = grown;
    grown[kinds->column_count++] = column;
    return MTM_OK;
}

static mtm_result add_emitter(struct slot_kinds *kinds, const char *name, mtm_error *error)
{
    for (size_t i = 0; i < kinds->emitter_count; i++) {
        if (strcmp(kinds->emitter[i], name) == 0)
            return MTM_OK;
    }
    const char **grown = mtmi_grown((void *)kinds->emitter, kinds->emitter_count,
                                    &kinds->emitter_room, sizeof *kinds->emitter);
    if (grown == NULL)
        return mtmi_fail_memory(error);
    kinds->emitter = grown;
    grown[kinds->emitter_count++] = name;
    return MTM_OK;
}

/* The kind whose first unit this is, with the names that it brings in. */
static mtm_result add_kind(struct slot_kinds *kinds, size_t row, const mtm_unit *unit,
                           mtm_error *error)
{
    size_t *grown = mtmi_grown(kinds->first, kinds->count, &kinds->room, sizeof *kinds->first);
    mtm_result result = MTM_OK;

    if (grown == NULL)
        return mtmi_fail_memory(error);
    kinds->first = grown;
    grown[kinds->count++] = row;
    for (size_t k = 0; result == MTM_OK && k < unit->mode->slot_count; k++) {
        const mtm_slot *slot = &unit->mode->slots[k];
        if (slot_has_channel(slot) && slot_is_shown(kinds->view, slot))
            result =
                add_column(kinds, (struct slot_column){unit->fixture, unit->mode, slot}, error);
    }
    const bool mixes = mtm_fixture_mixes(unit->fixture); /* then levels are not known */
    for (size_t i = 0; result == MTM_OK && !mixes && i < mtm_fixture_emitter_count(unit->fixture);
         i++)
        result = add_emitter(kinds, mtm_fixture_emitter(unit->fixture, i)->name, error);
    return result;
}

mtm_result slot_kinds_create(const struct slot_source *source, const struct slot_view *view,
                             struct slot_kinds *kinds, mtm_error *error)
{
    *kinds = (struct slot_kinds){.view = view};
    kinds->of_row = calloc(source->rows + 1, sizeof *kinds->of_row);
    if (kinds->of_row == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < source->rows; i++) {
        const mtm_unit *unit = source->unit(source->context, i);
        size_t kind = 0;
        while (kind < kinds->count &&
               !same_row(source, source->unit(source->context, kinds->first[kind]), unit))
            kind++;
        kinds->of_row[i] = kind;
        if (kind < kinds->count)
            continue;
        mtm_result result = add_kind(kinds, i, unit, error);
        if (result != MTM_OK)
            return result;
    }
    return MTM_OK;
}

void slot_kinds_free(struct slot_kinds *kinds)
{
    free(kinds->of_row);
    free(kinds->first);
    free(kinds->column);
    free((void *)kinds->emitter);
    *kinds = (struct slot_kinds){0};
}

void put_csv_channel_heads(const struct slot_kinds *kinds, bool levels, FILE *out)
{
    char text[SLOT_NAME_ROOM + 16];

    for (size_t i = 0; levels && i < kinds->emitter_count; i++) {
        (void)snprintf(text, sizeof text, "level %s", kinds->emitter[i]);
        (void)fputc(',', out);
        text_put_csv(text, out);
    }
    for (size_t i = 0; i < kinds->column_count; i++) {
        char name[SLOT_NAME_ROOM];
        slot_name(kinds->column[i].fixture, kinds->column[i].mode, kinds->column[i].slot, ' ', name,
                  sizeof name);
        (void)snprintf(text, sizeof text, "%s %s", kinds->view->key, name);
        (void)fputc(',', out);
        text_put_csv(text, out);
    }
}

static void put_csv_levels(const struct slot_kinds *kinds, const mtm_fixture *fixture,
                           const double *level, FILE *out)
{
    for (size_t i = 0; i < kinds->emitter_count; i++) {
        double value = (double)NAN;
        for (size_t k = 0; !mtm_fixture_mixes(fixture) && k < mtm_fixture_emitter_count(fixture);
             k++) {
            if (strcmp(mtm_fixture_emitter(fixture, k)->name, kinds->emitter[i]) == 0)
                value = level[k];
        }
        text_put_csv_number(value, 6, out);
    }
}

void put_csv_channels(const struct slot_kinds *kinds, const mtm_unit *unit, const mtm_codes *codes,
                      const double *level, FILE *out)
{
    if (level != NULL)
        put_csv_levels(kinds, unit->fixture, level, out);
    for (size_t i = 0; i < kinds->column_count; i++) {
        const struct slot_column *column = &kinds->column[i];
        struct slot_column own = {unit->fixture, unit->mode, unit->mode->slots};
        size_t k = 0;
        for (; k < unit->mode->slot_count; k++) {
            own.slot = &unit->mode->slots[k];
            if (same_slot(column, &own))
                break;
        }
        (void)fputc(',', out);
        if (k == unit->mode->slot_count ||
            (kinds->dimmer_apart && slot_is_dimmer(&unit->mode->slots[k])))
            continue;
        char cell[SLOT_CELL_ROOM];
        slot_cell(kinds->view, unit->mode, codes, k, cell);
        (void)fputs(cell, out);
    }
}

/* Where the number at the end of a name begins. */
static size_t number_at(const char *name)
{
    size_t at = strlen(name);

    while (at > 0 && isdigit((unsigned char)name[at - 1]))
        at--;
    return at;
}

bool names_follow(const char *a, const char *b)
{
    size_t at = number_at(a);

    if (at != number_at(b) || strncmp(a, b, at) != 0 || a[at] == '\0' || b[at] == '\0' ||
        strlen(a + at) > 9 || strlen(b + at) > 9)
        return false;
    return strtol(a + at, NULL, 10) + 1 == strtol(b + at, NULL, 10);
}

void put_run_name(const char *first, const char *last, char *text, size_t room)
{
    if (first == last)
        (void)snprintf(text, room, "%s", first);
    else
        (void)snprintf(text, room, "%s to %s", first, last);
}
