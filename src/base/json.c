/* SPDX-License-Identifier: MIT */
/* JSON: values with their path, so that every error says where. Parsing is cJSON's. */
#include "base/json.h"

#include "base/error.h"
#include "base/json_fault.h"
#include "base/name.h"
#include "base/names.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define KEYS_FEW 64 /* more need memory while they are compared */

const char *mtmi_json_type(const cJSON *item)
{
    if (cJSON_IsNumber(item))
        return "a number";
    if (cJSON_IsString(item))
        return "text";
    if (cJSON_IsArray(item))
        return "a list";
    if (cJSON_IsObject(item))
        return "an object";
    if (cJSON_IsBool(item))
        return "true or false";
    return "null";
}

mtmi_node mtmi_json_root(const cJSON *root, const char *file)
{
    return (mtmi_node){.item = root, .file = file};
}

/* Writes the path of node ("units[3].address") and returns its length. */
static size_t write_path(const mtmi_node *node, char *path, size_t room)
{
    if (node->parent == NULL || room < 8)
        return 0;
    size_t used = write_path(node->parent, path, room);
    int count;

    if (node->key != NULL)
        count = snprintf(path + used, room - used, "%s%.60s", used > 0 ? "." : "", node->key);
    else
        count = snprintf(path + used, room - used, "[%zu]", node->index);
    if (count < 0 || (size_t)count >= room - used)
        return used;
    return used + (size_t)count;
}

mtm_result mtmi_json_fail(const mtmi_node *node, mtm_error *error, const char *format, ...)
{
    char path[200] = "";
    char sentence[400];
    va_list arguments;

    va_start(arguments, format);
    (void)vsnprintf(sentence, sizeof sentence, format, arguments);
    va_end(arguments);
    (void)write_path(node, path, sizeof path);
    if (path[0] == '\0')
        return mtmi_fail(error, MTM_PARSE, "%s: %s", node->file, sentence);
    return mtmi_fail(error, MTM_PARSE, "%s: %s: %s", node->file, path, sentence);
}

mtm_result mtmi_json_fail_as(const mtmi_node *node, mtm_result result, const mtm_error *inner,
                             mtm_error *error)
{
    (void)mtmi_json_fail(node, error, "%s", inner->text);
    return result == MTM_INVALID ? MTM_PARSE : result;
}

bool mtmi_json_child(const mtmi_node *parent, const char *key, mtmi_node *child)
{
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(parent->item, key);

    if (item == NULL)
        return false;
    *child = (mtmi_node){.item = item, .file = parent->file, .parent = parent, .key = key};
    return true;
}

bool mtmi_json_first(const mtmi_node *parent, mtmi_node *child)
{
    /* a node is set by what found it, or its failure went on before */
    // NOLINTNEXTLINE(clang-analyzer-core.NullDereference)
    if (parent->item->child == NULL)
        return false;
    *child = (mtmi_node){.item = parent->item->child,
                         .file = parent->file,
                         .parent = parent,
                         .key = parent->item->child->string};
    return true;
}

bool mtmi_json_next(mtmi_node *child)
{
    if (child->item->next == NULL)
        return false;
    child->item = child->item->next;
    child->key = child->item->string;
    child->index++;
    return true;
}

static mtm_result check_object(const mtmi_node *node, mtm_error *error)
{
    mtmi_named few[KEYS_FEW];
    size_t count = (size_t)cJSON_GetArraySize(node->item);
    size_t at = 0;

    if (count > MTMI_JSON_KEYS_MAX)
        return mtmi_json_fail(node, error, "has more than %d keys", MTMI_JSON_KEYS_MAX);
    mtmi_named *names = count <= KEYS_FEW ? few : malloc(count * sizeof *names);
    if (names == NULL)
        return mtmi_fail_memory(error);
    for (const cJSON *item = node->item->child; item != NULL; item = item->next, at++)
        names[at] = (mtmi_named){item->string, at};
    mtmi_names_sort(names, count);
    mtm_result result = MTM_OK;
    if (mtmi_names_repeat(names, count, &at))
        result = mtmi_json_fail(node, error, "key \"%.60s\" stands twice", names[at].name);
    if (names != few)
        free(names);
    return result;
}

/* cJSON nests at most CJSON_NESTING_LIMIT deep, so this recursion is bounded. */
static mtm_result check_no_repeats(const mtmi_node *node,
                                   mtm_error *error) // NOLINT(misc-no-recursion)
{
    mtmi_node child;

    if (cJSON_IsObject(node->item)) {
        mtm_result result = check_object(node, error);
        if (result != MTM_OK)
            return result;
    }
    for (bool more = mtmi_json_first(node, &child); more; more = mtmi_json_next(&child)) {
        mtm_result result = check_no_repeats(&child, error);
        if (result != MTM_OK)
            return result;
    }
    return MTM_OK;
}

static mtm_result fail_at(const char *text, const char *at, const char *file, mtm_error *error)
{
    size_t line = 1;
    size_t column = 1;

    for (const char *c = text; c < at; c++) {
        column++;
        if (*c == '\n') {
            line++;
            column = 1;
        }
    }
    return mtmi_fail(error, MTM_PARSE,
                     "%s: line %zu, column %zu: is not JSON from here on (no comments, no trailing "
                     "commas, plain decimal numbers)",
                     file, line, column);
}

static mtm_result check_format(const mtmi_node *root, const char *format, mtm_error *error)
{
    mtmi_node node;

    if (!cJSON_IsObject(root->item))
        return mtmi_json_fail(root, error, "holds %s; an object with \"metamer\": \"%s\" is wanted",
                              mtmi_json_type(root->item), format);
    if (!mtmi_json_child(root, "metamer", &node))
        return mtmi_json_fail(root, error, "has no key \"metamer\"; \"metamer\": \"%s\" is wanted",
                              format);
    if (!cJSON_IsString(node.item))
        return mtmi_json_fail(&node, error, "found %s, allowed is \"%s\"",
                              mtmi_json_type(node.item), format);
    if (strcmp(node.item->valuestring, format) != 0)
        return mtmi_json_fail(&node, error, "found \"%.60s\", allowed is \"%s\"",
                              node.item->valuestring, format);
    return MTM_OK;
}

/* At least as many as there are values: each but the first follows a comma or an opening mark. */
static size_t bound_values(const char *text, size_t length)
{
    size_t count = 1;

    for (size_t i = 0; i < length; i++)
        count += text[i] == ',' || text[i] == '[' || text[i] == '{';
    return count;
}

/* The tree of all of text: behind the value only white space may stand; else NULL. cJSON itself
 * wants a NUL behind the text to look so far. */
static cJSON *parse_whole(const char *text, size_t length)
{
    const char *end = text;
    cJSON *tree = cJSON_ParseWithLengthOpts(text, length, &end, 0);

    while (tree != NULL && end < text + length && strchr(" \t\r\n", *end) != NULL)
        end++;
    if (end == text + length)
        return tree;
    cJSON_Delete(tree);
    return NULL;
}

mtm_result mtmi_json_open(const char *text, size_t length, const char *file, const char *format,
                          cJSON **root, mtm_error *error)
{
    const char *zero = memchr(text, '\0', length);

    if (zero != NULL)
        return mtmi_fail(error, MTM_PARSE, "%s: holds a zero byte at %td, so it is not JSON text",
                         file, zero - text);
    if (bound_values(text, length) > MTMI_JSON_VALUES_MAX)
        return mtmi_fail(error, MTM_LIMIT, "%s: has more than %d values: split it", file,
                         MTMI_JSON_VALUES_MAX);
    cJSON *tree = parse_whole(text, length);
    const char *fault = tree == NULL ? mtmi_json_fault(text, length) : NULL;
    if (tree == NULL)
        return fault == NULL ? mtmi_fail_memory(error) : fail_at(text, fault, file, error);
    mtmi_node node = mtmi_json_root(tree, file);
    mtm_result result = check_no_repeats(&node, error);
    if (result == MTM_OK)
        result = check_format(&node, format, error);
    if (result != MTM_OK) {
        cJSON_Delete(tree);
        return result;
    }
    *root = tree;
    return MTM_OK;
}

/* Names the nearest key where one is near, else all that are allowed. */
static mtm_result fail_key(const mtmi_node *node, const char *key, const char *const *allowed,
                           mtm_error *error)
{
    const char *nearest = mtmi_name_nearest(key, allowed, mtmi_name_in_array);
    char list[300] = "";
    size_t used = 0;

    if (nearest != NULL)
        return mtmi_json_fail(node, error, "unknown key \"%.60s\"; the nearest known one is \"%s\"",
                              key, nearest);
    for (size_t i = 0; allowed[i] != NULL && used < sizeof list; i++)
        used += (size_t)snprintf(list + used, sizeof list - used, "%s%s", i > 0 ? ", " : "",
                                 allowed[i]);
    return mtmi_json_fail(node, error, "unknown key \"%.60s\"; allowed are %s", key, list);
}

mtm_result mtmi_json_keys(const mtmi_node *node, const char *const *allowed, mtm_error *error)
{
    mtmi_node child;

    if (!cJSON_IsObject(node->item))
        return mtmi_json_fail(node, error, "found %s, allowed is an object",
                              mtmi_json_type(node->item));
    for (bool more = mtmi_json_first(node, &child); more; more = mtmi_json_next(&child)) {
        size_t i = 0;
        while (allowed[i] != NULL && strcmp(allowed[i], child.key) != 0)
            i++;
        if (allowed[i] != NULL)
            continue;
        return fail_key(node, child.key, allowed, error);
    }
    return MTM_OK;
}

mtm_result mtmi_json_as_number(const mtmi_node *node, double least, double most, double *value,
                               mtm_error *error)
{
    if (!cJSON_IsNumber(node->item))
        return mtmi_json_fail(node, error, "found %s, allowed is a number from %.10g to %.10g",
                              mtmi_json_type(node->item), least, most);
    double number = node->item->valuedouble;
    if (!isfinite(number) || number < least || number > most)
        return mtmi_json_fail(node, error, "found %.10g, allowed is a number from %.10g to %.10g",
                              number, least, most);
    *value = number;
    return MTM_OK;
}

mtm_result mtmi_json_as_integer(const mtmi_node *node, int least, int most, int *value,
                                mtm_error *error)
{
    if (!cJSON_IsNumber(node->item))
        return mtmi_json_fail(node, error, "found %s, allowed is a whole number from %d to %d",
                              mtmi_json_type(node->item), least, most);
    double number = node->item->valuedouble;
    if (!isfinite(number) || number != floor(number) || number < least || number > most)
        return mtmi_json_fail(node, error, "found %.10g, allowed is a whole number from %d to %d",
                              number, least, most);
    *value = (int)number;
    return MTM_OK;
}

mtm_result mtmi_json_as_string(const mtmi_node *node, const char **value, mtm_error *error)
{
    if (!cJSON_IsString(node->item))
        return mtmi_json_fail(node, error, "found %s, allowed is text", mtmi_json_type(node->item));
    const char *string = node->item->valuestring;
    size_t length = strlen(string);
    if (length == 0 || length > MTMI_JSON_STRING_MAX)
        return mtmi_json_fail(node, error, "found text of %zu bytes, allowed are 1 to %d", length,
                              MTMI_JSON_STRING_MAX);
    for (size_t i = 0; i < length; i++) {
        if ((unsigned char)string[i] < 0x20 || string[i] == 0x7f)
            return mtmi_json_fail(node, error, "found a control character in the text");
    }
    *value = string;
    return MTM_OK;
}

static mtm_result missing(const mtmi_node *parent, const char *key, mtm_error *error)
{
    return mtmi_json_fail(parent, error, "key \"%s\" is missing", key);
}

mtm_result mtmi_json_number(const mtmi_node *parent, const char *key, double least, double most,
                            double *value, mtm_error *error)
{
    mtmi_node child;

    if (!mtmi_json_child(parent, key, &child))
        return missing(parent, key, error);
    return mtmi_json_as_number(&child, least, most, value, error);
}

mtm_result mtmi_json_integer(const mtmi_node *parent, const char *key, int least, int most,
                             int *value, mtm_error *error)
{
    mtmi_node child;

    if (!mtmi_json_child(parent, key, &child))
        return missing(parent, key, error);
    return mtmi_json_as_integer(&child, least, most, value, error);
}

mtm_result mtmi_json_string(const mtmi_node *parent, const char *key, const char **value,
                            mtm_error *error)
{
    mtmi_node child;

    if (!mtmi_json_child(parent, key, &child))
        return missing(parent, key, error);
    return mtmi_json_as_string(&child, value, error);
}

mtm_result mtmi_json_optional_string(const mtmi_node *parent, const char *key, const char **value,
                                     mtm_error *error)
{
    mtmi_node child;
    bool there = mtmi_json_child(parent, key, &child);

    return there ? mtmi_json_as_string(&child, value, error) : MTM_OK;
}

mtm_result mtmi_json_optional_number(const mtmi_node *parent, const char *key, double least,
                                     double most, double *value, mtm_error *error)
{
    mtmi_node child;
    bool there = mtmi_json_child(parent, key, &child);

    return there ? mtmi_json_as_number(&child, least, most, value, error) : MTM_OK;
}

mtm_result mtmi_json_optional_integer(const mtmi_node *parent, const char *key, int least, int most,
                                      int *value, mtm_error *error)
{
    mtmi_node child;
    bool there = mtmi_json_child(parent, key, &child);

    return there ? mtmi_json_as_integer(&child, least, most, value, error) : MTM_OK;
}

mtm_result mtmi_json_optional_bool(const mtmi_node *parent, const char *key, bool *value,
                                   mtm_error *error)
{
    mtmi_node child;

    if (!mtmi_json_child(parent, key, &child))
        return MTM_OK;
    if (!cJSON_IsBool(child.item))
        return mtmi_json_fail(&child, error, "found %s, allowed is true or false",
                              mtmi_json_type(child.item));
    *value = cJSON_IsTrue(child.item) != 0;
    return MTM_OK;
}

mtm_result mtmi_json_array(const mtmi_node *parent, const char *key, size_t least, size_t most,
                           mtmi_node *array, size_t *count, mtm_error *error)
{
    mtmi_node child;

    if (!mtmi_json_child(parent, key, &child))
        return missing(parent, key, error);
    if (!cJSON_IsArray(child.item))
        return mtmi_json_fail(&child, error, "found %s, allowed is a list",
                              mtmi_json_type(child.item));
    size_t found = 0;
    for (const cJSON *item = child.item->child; item != NULL; item = item->next)
        found++;
    if (found < least || found > most)
        return mtmi_json_fail(&child, error, "found a list of %zu, allowed are %zu to %zu", found,
                              least, most);
    *array = child;
    *count = found;
    return MTM_OK;
}

mtm_result mtmi_json_as_numbers(const mtmi_node *array, double least, double most, double *value,
                                mtm_error *error)
{
    mtmi_node node;
    mtm_result result = MTM_OK;

    for (bool more = mtmi_json_first(array, &node); more && result == MTM_OK;
         more = mtmi_json_next(&node))
        result = mtmi_json_as_number(&node, least, most, value++, error);
    return result;
}

mtm_result mtmi_json_numbers(const mtmi_node *parent, const char *key, size_t count, double least,
                             double most, double *value, mtm_error *error)
{
    mtmi_node list;
    size_t found = 0;
    mtm_result result = mtmi_json_array(parent, key, count, count, &list, &found, error);

    return result == MTM_OK ? mtmi_json_as_numbers(&list, least, most, value, error) : result;
}
