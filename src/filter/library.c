/* SPDX-License-Identifier: MIT */
/* Libraries of filters: a folder becomes names that can be asked for and stacked. */
#include "filter/read.h"

#include "base/error.h"
#include "base/file.h"
#include "base/folder.h"
#include "base/grow.h"
#include "base/name.h"

#include <ctype.h>
#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#define FILES_MAX 4096

struct mtm_filters {
    mtm_filter *filter; /* sorted by name, as compare has it */
    size_t count, room;
};

/* Case aside, and the marks that file names have for a blank. */
static int folded(char c)
{
    return c == '-' || c == '_' ? ' ' : tolower((unsigned char)c);
}

static int compare(const char *a, const char *b)
{
    while (*a != '\0' && folded(*a) == folded(*b)) {
        a++;
        b++;
    }
    return folded(*a) - folded(*b);
}

static int by_name(const void *left, const void *right)
{
    return compare(((const mtm_filter *)left)->name, ((const mtm_filter *)right)->name);
}

static mtm_result add(mtm_filters *filters, const mtm_filter *filter, mtm_error *error)
{
    if (filters->count == MTM_FILTERS_MAX)
        return mtmi_fail(error, MTM_LIMIT,
                         "holds more than %d filters; use several folders with --filters",
                         MTM_FILTERS_MAX);
    mtm_filter *larger =
        mtmi_grown(filters->filter, filters->count, &filters->room, sizeof *larger);
    if (larger == NULL)
        return mtmi_fail_memory(error);
    filters->filter = larger;
    filters->filter[filters->count++] = *filter;
    return MTM_OK;
}

static mtm_result add_curves(mtm_filters *filters, const char *path, mtm_error *error)
{
    mtm_spectrum_set *set = NULL;
    mtm_result result = mtm_spectrum_set_load(path, MTM_ENDS_HOLD, &set, error);

    if (result != MTM_OK)
        return result;
    for (size_t i = 0; result == MTM_OK && i < mtm_spectrum_set_count(set); i++) {
        mtm_filter filter;
        result = mtmi_filter_from_set(set, i, &filter, error);
        if (result == MTM_OK)
            result = add(filters, &filter, error);
        if (result != MTM_OK) {
            mtmi_error_prefix(error, mtm_spectrum_set_name(set, i));
            mtmi_error_prefix(error, path);
        }
    }
    mtm_spectrum_set_free(set);
    return result;
}

static mtm_result add_file(mtm_filters *filters, const char *path, mtm_error *error)
{
    mtm_filter filter;

    if (!mtmi_is_filter_json(path))
        return add_curves(filters, path, error);
    mtm_result result = mtm_filter_load(path, &filter, error);
    if (result != MTM_OK)
        return result;
    return add(filters, &filter, error);
}

static bool is_passed_over(const char *name, const char *path)
{
    struct stat info;
    const char *suffix = strrchr(name, '.');

    return name[0] == '.' || (suffix != NULL && strcmp(suffix, ".md") == 0) ||
           (stat(path, &info) == 0 && S_ISDIR(info.st_mode));
}

static mtm_result add_entry(mtm_filters *filters, const char *folder, const char *name,
                            mtm_error *error)
{
    char *path = mtmi_path_join(folder, name);

    if (path == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = MTM_OK;
    if (!is_passed_over(name, path))
        result = add_file(filters, path, error);
    free(path);
    return result;
}

static mtm_result add_folder(mtm_filters *filters, const char *folder, mtm_error *error)
{
    DIR *opened = opendir(folder);
    mtm_result result = MTM_OK;
    size_t files = 0;

    if (opened == NULL)
        return mtmi_fail(error, errno == ENOENT ? MTM_NOT_FOUND : MTM_IO,
                         "%s: the folder of filters cannot be opened: %s", folder, strerror(errno));
    for (const struct dirent *entry = readdir(opened); entry != NULL && result == MTM_OK;
         entry = readdir(opened)) {
        if (++files > FILES_MAX)
            result = mtmi_fail(error, MTM_LIMIT,
                               "%s: holds more than %d files; use several folders with --filters",
                               folder, FILES_MAX);
        else
            result = add_entry(filters, folder, entry->d_name, error);
    }
    (void)closedir(opened);
    return result;
}

static mtm_result sort(mtm_filters *filters, const char *folder, mtm_error *error)
{
    if (filters->count == 0)
        return mtmi_fail(error, MTM_NOT_FOUND, "%s: holds no filter", folder);
    qsort(filters->filter, filters->count, sizeof *filters->filter, by_name);
    for (size_t i = 1; i < filters->count; i++) {
        if (by_name(&filters->filter[i - 1], &filters->filter[i]) == 0)
            return mtmi_fail(error, MTM_PARSE,
                             "%s: two filters are called \"%.60s\"; each needs a name of its own",
                             folder, filters->filter[i].name);
    }
    return MTM_OK;
}

static mtm_result load(const char *folder, mtm_filters **out, mtm_error *error)
{
    mtm_filters *filters = calloc(1, sizeof *filters);

    if (filters == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = add_folder(filters, folder, error);
    if (result == MTM_OK)
        result = sort(filters, folder, error);
    if (result != MTM_OK) {
        mtm_filters_free(filters);
        return result;
    }
    *out = filters;
    return MTM_OK;
}

mtm_result mtm_filters_load(const char *folder, mtm_filters **out, mtm_error *error)
{
    if (out == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the filters was given");
    if (folder != NULL)
        return load(folder, out, error);
    char *delivered = mtmi_path_join(mtmi_profile_folder(), "filters");
    if (delivered == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = load(delivered, out, error);
    free(delivered);
    return result;
}

void mtm_filters_free(mtm_filters *filters)
{
    if (filters == NULL)
        return;
    free(filters->filter);
    free(filters);
}

size_t mtm_filters_count(const mtm_filters *filters)
{
    return filters != NULL ? filters->count : 0;
}

const mtm_filter *mtm_filters_at(const mtm_filters *filters, size_t index)
{
    return filters != NULL && index < filters->count ? &filters->filter[index] : NULL;
}

static const char *name_at(const void *list, size_t index)
{
    const mtm_filters *filters = list;

    return index < filters->count ? filters->filter[index].name : NULL;
}

static const mtm_filter *find_name(const mtm_filters *filters, const char *name)
{
    size_t low = 0;
    size_t high = filters->count;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (compare(filters->filter[middle].name, name) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low < filters->count && compare(filters->filter[low].name, name) == 0
               ? &filters->filter[low]
               : NULL;
}

static mtm_result fail_unknown(const mtm_filters *filters, const char *name, mtm_error *error)
{
    const char *nearest = mtmi_name_nearest(name, filters, name_at);

    if (nearest == NULL)
        return mtmi_fail(error, MTM_NOT_FOUND,
                         "there is no filter \"%.60s\", neither by name nor as a file", name);
    return mtmi_fail(error, MTM_NOT_FOUND, "there is no filter \"%.60s\"; the nearest is \"%.60s\"",
                     name, nearest);
}

static mtm_result find_one(const mtm_filters *filters, const char *name, const char *base_dir,
                           mtm_filter *filter, mtm_error *error)
{
    char *path = NULL;
    const mtm_filter *found = find_name(filters, name);

    if (found != NULL) {
        *filter = *found;
        return MTM_OK;
    }
    mtm_result result = mtmi_find_file(base_dir, name, &path, NULL);
    if (result == MTM_NOT_FOUND)
        return fail_unknown(filters, name, error);
    if (result != MTM_OK)
        return mtmi_fail_memory(error);
    result = mtm_filter_load(path, filter, error);
    free(path);
    return result;
}

/* Copies the part of text up to the next "+" without blanks around it; returns what is behind. */
static const char *next_part(const char *text, char *part)
{
    const char *end = text + strcspn(text, "+");
    const char *behind = *end == '+' ? end + 1 : NULL;

    while (text < end && *text == ' ')
        text++;
    while (end > text && end[-1] == ' ')
        end--;
    memcpy(part, text, (size_t)(end - text));
    part[end - text] = '\0';
    return behind;
}

static mtm_result find_stack(const mtm_filters *filters, const char *text, const char *base_dir,
                             char *part, mtm_filter *filter, mtm_error *error)
{
    bool first = true;

    for (const char *rest = text; rest != NULL; first = false) {
        mtm_filter one = {.name = ""};
        rest = next_part(rest, part);
        if (part[0] == '\0')
            return mtmi_fail(error, MTM_PARSE, "found \"%.60s\"; a name is missing beside a \"+\"",
                             text);
        mtm_result result = find_one(filters, part, base_dir, &one, error);
        if (result != MTM_OK)
            return result;
        *filter = first ? one : mtm_filter_stack(filter, &one);
    }
    return MTM_OK;
}

mtm_result mtmi_filters_find(const mtm_filters *filters, const char *text, const char *base_dir,
                             mtm_filter *filter, mtm_error *error)
{
    if (filters == NULL || text == NULL || filter == NULL)
        return mtmi_fail(error, MTM_INVALID, "a library, a name and a place are needed");
    char *part = malloc(strlen(text) + 1);
    mtm_filter found = {.name = ""};
    if (part == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = find_stack(filters, text, base_dir, part, &found, error);
    free(part);
    if (result == MTM_OK)
        *filter = found;
    return result;
}

mtm_result mtm_filters_find(const mtm_filters *filters, const char *text, mtm_filter *filter,
                            mtm_error *error)
{
    return mtmi_filters_find(filters, text, NULL, filter, error);
}
