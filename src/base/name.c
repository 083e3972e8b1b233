/* SPDX-License-Identifier: MIT */
/* Names: found in a list; and those allowed, for a sentence that helps. */
#include "base/name.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#define NAME_LENGTH_MAX 64

static size_t smaller(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Levenshtein distance, one row at a time; names longer than the row are cut. */
static size_t edit_distance(const char *a, const char *b)
{
    size_t a_length = smaller(strlen(a), NAME_LENGTH_MAX);
    size_t b_length = smaller(strlen(b), NAME_LENGTH_MAX);
    size_t row[NAME_LENGTH_MAX + 1];

    for (size_t j = 0; j <= b_length; j++)
        row[j] = j;
    for (size_t i = 1; i <= a_length; i++) {
        size_t diagonal = row[0];
        row[0] = i;
        for (size_t j = 1; j <= b_length; j++) {
            int same = tolower((unsigned char)a[i - 1]) == tolower((unsigned char)b[j - 1]);
            size_t replace = diagonal + (same ? 0 : 1);
            diagonal = row[j];
            row[j] = smaller(replace, smaller(row[j], row[j - 1]) + 1);
        }
    }
    return row[b_length];
}

/* At most half of the longer name's letters may differ. */
static bool is_near(const char *a, const char *b, size_t distance)
{
    size_t a_length = strlen(a);
    size_t b_length = strlen(b);

    return 2 * distance <= (a_length > b_length ? a_length : b_length) + 1;
}

size_t mtmi_name_find(const char *name, const void *list, mtmi_name_at at)
{
    const char *candidate = NULL;

    for (size_t i = 0; (candidate = at(list, i)) != NULL; i++) {
        if (strcmp(candidate, name) == 0)
            return i;
    }
    return SIZE_MAX;
}

const char *mtmi_name_all(const void *list, mtmi_name_at at, char *text, size_t room)
{
    const char *name = NULL;
    size_t used = 0;

    text[0] = '\0';
    for (size_t i = 0; (name = at(list, i)) != NULL && used < room; i++) {
        int more = snprintf(text + used, room - used, "%s%s", i > 0 ? ", " : "", name);
        used += more > 0 ? (size_t)more : 0;
    }
    return text;
}

const char *mtmi_name_nearest(const char *name, const void *list, mtmi_name_at at)
{
    const char *nearest = NULL;
    size_t least = NAME_LENGTH_MAX + 1;

    for (size_t i = 0;; i++) {
        const char *candidate = at(list, i);
        if (candidate == NULL)
            return nearest;
        size_t distance = edit_distance(name, candidate);
        if (distance < least && is_near(name, candidate, distance)) {
            least = distance;
            nearest = candidate;
        }
    }
}

const char *mtmi_name_in_array(const void *list, size_t index)
{
    return ((const char *const *)list)[index];
}
