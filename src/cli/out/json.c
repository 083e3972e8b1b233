/* SPDX-License-Identifier: MIT */
/* JSON output: numbers with stated decimals on a cJSON tree, and the printing of it. */
#include "cli/out/json.h"

#include "cli/out/text.h"

#include "base/error.h"
#include "base/json_print.h"

#include <math.h>
#include <string.h>

/* JSON's decimal sign is a point in every locale. */
static cJSON *make_number(double value, int decimals)
{
    char text[64];

    if (!isfinite(value))
        return cJSON_CreateNull();
    (void)snprintf(text, sizeof text, "%.*f", decimals, text_clean(value, decimals));
    for (char *c = text; *c != '\0'; c++) {
        if (*c == ',')
            *c = '.';
    }
    return cJSON_CreateRaw(text);
}

/* A container that could not take an item is marked where cJSON keeps nothing for containers;
 * json_print looks for the mark. An item that was never made (NULL) marks it too. */
static void mark(cJSON *container)
{
    if (container != NULL)
        container->valueint = 1;
}

static bool is_whole(const cJSON *item) // NOLINT(misc-no-recursion): as deep as the output
{
    bool whole = !(cJSON_IsObject(item) || cJSON_IsArray(item)) || item->valueint == 0;

    for (const cJSON *child = item->child; child != NULL && whole; child = child->next)
        whole = is_whole(child);
    return whole;
}

/* Takes the item; NULL if there was no memory for it. */
static cJSON *append(cJSON *array, cJSON *item)
{
    if (cJSON_AddItemToArray(array, item))
        return item;
    cJSON_Delete(item);
    mark(array);
    return NULL;
}

static cJSON *add(cJSON *object, const char *key, cJSON *item)
{
    if (cJSON_AddItemToObject(object, key, item))
        return item;
    cJSON_Delete(item);
    mark(object);
    return NULL;
}

void json_append(cJSON *array, cJSON *item)
{
    (void)append(array, item);
}

cJSON *json_append_object(cJSON *array)
{
    return append(array, cJSON_CreateObject());
}

cJSON *json_add_array(cJSON *object, const char *key)
{
    return add(object, key, cJSON_CreateArray());
}

cJSON *json_add_object(cJSON *object, const char *key)
{
    return add(object, key, cJSON_CreateObject());
}

void json_add_bool(cJSON *object, const char *key, bool value)
{
    (void)add(object, key, cJSON_CreateBool(value));
}

void json_add_number(cJSON *object, const char *key, double value, int decimals)
{
    (void)add(object, key, make_number(value, decimals));
}

void json_append_number(cJSON *array, double value, int decimals)
{
    json_append(array, make_number(value, decimals));
}

void json_add_xy(cJSON *object, mtm_xy xy, int decimals)
{
    json_add_number(object, "x", xy.x, decimals);
    json_add_number(object, "y", xy.y, decimals);
}

void json_add_uv(cJSON *object, mtm_uv uv, int decimals)
{
    json_add_number(object, "u_prime", uv.u, decimals);
    json_add_number(object, "v_prime", uv.v, decimals);
}

cJSON *json_add_target(cJSON *object, const mtm_target *target)
{
    cJSON *made = json_add_object(object, "target");

    json_add_text(made, "description", target->description);
    json_add_xy(made, target->xy, 6);
    json_add_uv(made, mtm_uv_from_xy(target->xy), 6);
    return made;
}

void json_add_pair(cJSON *object, const char *key, double a, double b, int decimals)
{
    cJSON *array = json_add_array(object, key);

    json_append_number(array, a, decimals);
    json_append_number(array, b, decimals);
}

void json_add_text(cJSON *object, const char *key, const char *text)
{
    (void)add(object, key, text != NULL ? cJSON_CreateString(text) : cJSON_CreateNull());
}

void json_append_text(cJSON *array, const char *text)
{
    json_append(array, cJSON_CreateString(text));
}

mtm_result json_print(cJSON *root, FILE *out, mtm_error *error)
{
    mtmi_text text = {0};

    if (root == NULL || !is_whole(root))
        text.failed = true;
    else
        mtmi_json_print(root, &text);
    cJSON_Delete(root);
    bool failed = text.failed;
    if (!failed)
        (void)fwrite(text.data, 1, text.length, out);
    mtmi_text_free(&text);
    return failed ? mtmi_fail_memory(error) : MTM_OK;
}

mtm_result json_print_line(cJSON *root, FILE *out, mtm_error *error)
{
    char *text = root != NULL && is_whole(root) ? cJSON_PrintUnformatted(root) : NULL;

    cJSON_Delete(root);
    if (text == NULL)
        return mtmi_fail_memory(error);
    (void)fprintf(out, "%s\n", text);
    cJSON_free(text);
    return MTM_OK;
}
