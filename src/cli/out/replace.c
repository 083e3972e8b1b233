/* SPDX-License-Identifier: MIT */
/* Replacing: what stood where a command writes is kept, and no other format is replaced. */
#include "cli/out/replace.h"

#include "base/backup.h"
#include "base/error.h"
#include "base/file.h"
#include "base/json.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

/* Most bytes of a file that is looked into: as much as the largest format may have. */
#define LOOKED_INTO ((size_t)64 * 1024 * 1024)

bool replace_holds(const char *path)
{
    struct stat found;

    return stat(path, &found) == 0 && S_ISREG(found.st_mode) && found.st_size > 0;
}

static bool is_of_format(const char *text, size_t length, const char *path, const char *format)
{
    cJSON *root = NULL;

    if (format == NULL)
        return text[strspn(text, " \t\r\n")] != '{';
    bool right = mtmi_json_open(text, length, path, format, &root, NULL) == MTM_OK;
    cJSON_Delete(root);
    return right;
}

mtm_result replace_check(const char *option, const char *path, const char *format, mtm_error *error)
{
    char *text = NULL;
    size_t length = 0;

    if (!replace_holds(path))
        return MTM_OK;
    mtm_result result = mtmi_file_may_replace(path, error);
    if (result == MTM_OK)
        result = mtmi_file_read(path, LOOKED_INTO, &text, &length, error);
    if (result == MTM_OK && !is_of_format(text, length, path, format))
        result = mtmi_fail(error, MTM_PARSE,
                           "--%s: what stands in %s is not %s%s%s and is not replaced; name "
                           "another file",
                           option, path, format != NULL ? "a \"" : "cue text",
                           format != NULL ? format : "", format != NULL ? "\" file" : "");
    free(text);
    return result;
}

mtm_result replace_keep(const char *path, FILE *err, mtm_error *error)
{
    char *backup = NULL;
    mtm_result result = mtmi_file_back_up(path, &backup, error);

    if (backup != NULL)
        (void)fprintf(err, "%s: the file as it was is kept: %s\n", path, backup);
    free(backup);
    return result;
}
