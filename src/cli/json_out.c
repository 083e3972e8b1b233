/* SPDX-License-Identifier: MIT */
/* JSON output: numbers with stated decimals on a cJSON tree, and the printing of it. */
#include "cli/json_out.h"

#include "cli/text_out.h"

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

void json_add_number(cJSON *object, const char *key, double value, int decimals)
{
    (void)cJSON_AddItemToObject(object, key, make_number(value, decimals));
}

void json_append_number(cJSON *array, double value, int decimals)
{
    (void)cJSON_AddItemToArray(array, make_number(value, decimals));
}

void json_add_pair(cJSON *object, const char *key, double a, double b, int decimals)
{
    cJSON *array = cJSON_AddArrayToObject(object, key);

    json_append_number(array, a, decimals);
    json_append_number(array, b, decimals);
}

void json_add_text(cJSON *object, const char *key, const char *text)
{
    if (text != NULL)
        (void)cJSON_AddStringToObject(object, key, text);
    else
        (void)cJSON_AddNullToObject(object, key);
}

mtm_result json_print(cJSON *root, FILE *out, mtm_error *error)
{
    mtmi_text text = {0};

    if (root == NULL)
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
