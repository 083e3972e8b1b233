/* SPDX-License-Identifier: MIT */
/* A colour as a JSON object: { "cct_k": 3200 } and every other form. */
#include "target/json.h"

#include "base/error.h"
#include "base/folder.h"
#include "target/form.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define KEYS_MAX 40

struct source {
    const mtmi_node *node;
    const char *base_dir;
    char **path; /* of the file that is named; one form names one */
};

static bool has_member(const void *source, const struct mtmi_member *member)
{
    mtmi_node child;

    return mtmi_json_child(((const struct source *)source)->node, member->key, &child);
}

static mtm_result read_numbers(const mtmi_node *node, const struct mtmi_member *member,
                               double *number, mtm_error *error)
{
    if (member->count == 1)
        return mtmi_json_number(node, member->key, member->least, member->most, number, error);
    return mtmi_json_numbers(node, member->key, member->count, member->least, member->most, number,
                             error);
}

static mtm_result read_values(const mtmi_node *node, const struct mtmi_member *member,
                              struct mtmi_stated *stated, mtm_error *error)
{
    mtmi_node list;
    mtm_result result =
        mtmi_json_array(node, member->key, 1, MTM_SLOTS_MAX, &list, &stated->value_count, error);

    if (stated->values != NULL)
        return mtmi_fail(error, MTM_PARSE,
                         "\"%s\" and \"%s\" both state values; one of them is wanted",
                         stated->values->key, member->key);
    stated->values = member;
    return result != MTM_OK
               ? result
               : mtmi_json_as_numbers(&list, member->least, member->most, stated->value, error);
}

static mtm_result read_member(const void *source, size_t index, struct mtmi_stated *stated,
                              mtm_error *error)
{
    const struct source *from = source;
    const struct mtmi_member *member = &stated->form->member[index];
    struct mtmi_stated_member *read = &stated->member[index];

    if (member->type == MTMI_MEMBER_NUMBERS)
        return read_numbers(from->node, member, read->number, error);
    if (member->type == MTMI_MEMBER_VALUES)
        return read_values(from->node, member, stated, error);
    mtm_result result = mtmi_json_string(from->node, member->key, &read->text, error);
    if (result != MTM_OK || member->type == MTMI_MEMBER_TEXT)
        return result;
    result = mtmi_find_file(from->base_dir, read->text, from->path, error);
    read->path = *from->path;
    return result;
}

static mtm_result check_keys(const mtmi_node *node, mtm_error *error)
{
    const char *keys[KEYS_MAX];
    size_t count = 0;

    for (const struct mtmi_form *form = mtmi_forms; form->member[0].key != NULL; form++) {
        for (const struct mtmi_member *m = form->member; m->key != NULL && count < KEYS_MAX - 2;)
            keys[count++] = (m++)->key;
    }
    keys[count++] = "note";
    keys[count] = NULL;
    return mtmi_json_keys(node, keys, error);
}

/* No member of another form stands beside. */
static mtm_result check_others(const mtmi_node *node, const struct mtmi_form *found,
                               mtm_error *error)
{
    mtmi_node child;

    for (const struct mtmi_form *form = mtmi_forms; form->member[0].key != NULL; form++) {
        for (const struct mtmi_member *m = &form->member[1]; m->key != NULL; m++) {
            if (form != found && mtmi_json_child(node, m->key, &child))
                return mtmi_fail(error, MTM_PARSE, "\"%s\" goes with \"%s\", not with \"%s\"",
                                 m->key, form->member[0].key, found->member[0].key);
        }
    }
    return MTM_OK;
}

/* "file: path: sentence"; sentences that name the file already stay as they are. */
static mtm_result fail_at(const mtmi_node *node, const struct mtmi_member *at, mtm_result result,
                          const mtm_error *inner, mtm_error *error)
{
    mtmi_node child;

    if (strncmp(inner->text, node->file, strlen(node->file)) == 0)
        return mtmi_fail(error, result, "%s", inner->text);
    bool inside =
        at != NULL && at->type == MTMI_MEMBER_VALUES && mtmi_json_child(node, at->key, &child);
    return mtmi_json_fail_as(inside ? &child : node, result, inner, error);
}

mtm_result mtmi_target_from_json(const mtmi_node *node, struct mtmi_target_place *place,
                                 mtm_target *target, mtm_error *error)
{
    static const struct mtmi_spelling spelling = {has_member, read_member, false};
    char *path = NULL;
    const struct source source = {node, place->base_dir, &path};
    struct mtmi_stated stated = {.place = place};
    mtm_error inner = {""};
    mtm_result result = check_keys(node, error);

    if (result != MTM_OK)
        return result;
    result = mtmi_form_read(&spelling, &source, &stated, &inner);
    if (result == MTM_OK)
        result = check_others(node, stated.form, &inner);
    if (result == MTM_OK)
        result = stated.form->make(&stated, target, &inner);
    free(path);
    return result == MTM_OK ? MTM_OK : fail_at(node, stated.at, result, &inner, error);
}
