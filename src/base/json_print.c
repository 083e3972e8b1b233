/* SPDX-License-Identifier: MIT */
/* JSON out: as a person would lay it out, short lists and objects on one line. */
#include "base/json_print.h"

#include "base/error.h"
#include "base/file.h"

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COLUMNS 100
#define INDENT 2

static bool is_container(const cJSON *item)
{
    return cJSON_IsArray(item) || cJSON_IsObject(item);
}

/* The fewest digits that read back alike; cJSON is content with nearly alike. */
static void add_number(double value, mtmi_text *text)
{
    char digits[40] = "";
    const char *point = localeconv()->decimal_point;

    for (int precision = 15; precision <= 17; precision++) {
        (void)snprintf(digits, sizeof digits, "%.*g", precision, value);
        if (strtod(digits, NULL) == value)
            break;
    }
    char *mark = strstr(digits, point);
    if (mark != NULL && strcmp(point, ".") != 0) {
        *mark = '.';
        memmove(mark + 1, mark + strlen(point), strlen(mark + strlen(point)) + 1);
    }
    mtmi_text_add_bytes(text, digits, strlen(digits));
}

/* Strings are cJSON's business, for their escapes. */
static void add_scalar(const cJSON *item, mtmi_text *text)
{
    if (cJSON_IsNumber(item) && isfinite(item->valuedouble)) {
        add_number(item->valuedouble, text);
        return;
    }
    char *printed = cJSON_PrintUnformatted(item);

    if (printed == NULL)
        text->failed = true;
    else
        mtmi_text_add_bytes(text, printed, strlen(printed));
    cJSON_free(printed);
}

static void add_key(const cJSON *item, mtmi_text *text)
{
    cJSON *key = item->string != NULL ? cJSON_CreateStringReference(item->string) : NULL;

    if (key != NULL) {
        add_scalar(key, text);
        mtmi_text_add_bytes(text, ": ", 2);
    } else if (item->string != NULL) {
        text->failed = true;
    }
    cJSON_Delete(key);
}

/* Depth is bounded by what cJSON reads. */
static void add_flat(const cJSON *item, mtmi_text *text) // NOLINT(misc-no-recursion)
{
    if (!is_container(item)) {
        add_scalar(item, text);
        return;
    }
    bool object = cJSON_IsObject(item);
    mtmi_text_add_bytes(text, object ? "{" : "[", 1);
    for (const cJSON *child = item->child; child != NULL; child = child->next) {
        if (object)
            mtmi_text_add_bytes(text, child == item->child ? " " : "", child == item->child);
        add_key(child, text);
        add_flat(child, text);
        if (child->next != NULL)
            mtmi_text_add_bytes(text, ", ", 2);
    }
    mtmi_text_add_bytes(text,
                        object && item->child != NULL ? " }"
                        : object                      ? "}"
                                                      : "]",
                        object && item->child != NULL ? 2 : 1);
}

/* A bound from below on the width of a value; stops counting where it is too wide, so that asking
 * at every depth costs little. */
static size_t least_width(const cJSON *item) // NOLINT(misc-no-recursion)
{
    size_t width = cJSON_IsString(item) ? strlen(item->valuestring) + 2 : 1;

    if (!is_container(item))
        return width;
    for (const cJSON *child = item->child; child != NULL && width <= COLUMNS; child = child->next)
        width += least_width(child) + (child->string != NULL ? strlen(child->string) + 4 : 0) + 1;
    return width;
}

static bool add_if_it_fits(const cJSON *item, size_t used, mtmi_text *text)
{
    mtmi_text line = {0};

    if (used + least_width(item) > COLUMNS)
        return false;
    add_flat(item, &line);
    bool fits = line.failed || used + line.length <= COLUMNS;
    if (line.failed)
        text->failed = true;
    else if (fits)
        mtmi_text_add_bytes(text, line.data, line.length);
    mtmi_text_free(&line);
    return fits;
}

static void add_line(size_t depth, mtmi_text *text)
{
    mtmi_text_add(text, "\n%*s", (int)(depth * INDENT), "");
}

/* used: columns taken on this line before the value. */
static void add_value(const cJSON *item, size_t depth, size_t used, // NOLINT(misc-no-recursion)
                      mtmi_text *text)
{
    if (text->failed)
        return;
    if (!is_container(item)) {
        add_scalar(item, text);
        return;
    }
    if (depth > 0 && add_if_it_fits(item, used, text))
        return;
    bool object = cJSON_IsObject(item);
    mtmi_text_add_bytes(text, object ? "{" : "[", 1);
    for (const cJSON *child = item->child; child != NULL; child = child->next) {
        add_line(depth + 1, text);
        size_t start = text->length;
        add_key(child, text);
        add_value(child, depth + 1, (depth + 1) * INDENT + (text->length - start) + 1, text);
        if (child->next != NULL)
            mtmi_text_add_bytes(text, ",", 1);
    }
    if (item->child != NULL)
        add_line(depth, text);
    mtmi_text_add_bytes(text, object ? "}" : "]", 1);
}

bool mtmi_json_append(cJSON *list, cJSON *item)
{
    bool good = item != NULL && cJSON_AddItemToArray(list, item);

    if (!good)
        cJSON_Delete(item);
    return good;
}

bool mtmi_json_put(cJSON *object, const char *key, cJSON *item)
{
    bool good = item != NULL && cJSON_AddItemToObject(object, key, item);

    if (!good)
        cJSON_Delete(item);
    return good;
}

bool mtmi_json_put_pairs(cJSON *object, const char *key, const double *first, const double *second,
                         size_t count)
{
    cJSON *list = cJSON_AddArrayToObject(object, key);
    bool good = list != NULL;

    for (size_t i = 0; i < count && good; i++) {
        const double pair[2] = {first[i], second[i]};
        good = mtmi_json_append(list, cJSON_CreateDoubleArray(pair, 2));
    }
    return good;
}

void mtmi_json_print(const cJSON *root, mtmi_text *text)
{
    add_value(root, 0, 0, text);
    mtmi_text_add_bytes(text, "\n", 1);
}

mtm_result mtmi_json_text(cJSON *root, bool made, char **text, size_t *length, mtm_error *error)
{
    mtmi_text printed = {.failed = !made};

    if (made)
        mtmi_json_print(root, &printed);
    cJSON_Delete(root);
    if (printed.failed || printed.data == NULL) {
        mtmi_text_free(&printed);
        return mtmi_fail_memory(error);
    }
    *text = printed.data; /* the caller's now */
    *length = printed.length;
    return MTM_OK;
}

mtm_result mtmi_json_save(const char *path, char *text, size_t length, mtm_error *error)
{
    mtm_result result = mtmi_file_write(path, text, length, error);

    free(text);
    return result;
}
