/* SPDX-License-Identifier: MIT */
/* Replacing: what stood where a command writes is kept, and nothing of another kind is replaced. */
#include "cli/out/replace.h"

#include "base/backup.h"
#include "base/error.h"
#include "base/file.h"
#include "base/json.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

/* Most bytes of a file that is looked into: as much as the largest kind may have. */
#define LOOKED_INTO ((size_t)64 * 1024 * 1024)

bool replace_holds(const char *path)
{
    struct stat found;

    return stat(path, &found) == 0 && S_ISREG(found.st_mode) && found.st_size > 0;
}

static bool is_of_kind(const char *text, size_t length, const char *path, const char *kind)
{
    cJSON *root = NULL;

    if (kind == NULL)
        return text[strspn(text, " \t\r\n")] != '{';
    bool right = mtmi_json_open(text, length, path, kind, &root, NULL) == MTM_OK;
    cJSON_Delete(root);
    return right;
}

mtm_result replace_check(const char *option, const char *path, const char *kind, mtm_error *error)
{
    char *text = NULL;
    size_t length = 0;

    if (!replace_holds(path))
        return MTM_OK;
    mtm_result result = mtmi_file_may_replace(path, error);
    if (result == MTM_OK)
        result = mtmi_file_read(path, LOOKED_INTO, &text, &length, error);
    if (result == MTM_OK && !is_of_kind(text, length, path, kind))
        result = mtmi_fail(error, MTM_PARSE,
                           "--%s: what stands in %s is not %s%s%s and is not replaced; name "
                           "another file",
                           option, path, kind != NULL ? "a \"" : "cue text",
                           kind != NULL ? kind : "", kind != NULL ? "\" file" : "");
    free(text);
    return result;
}

mtm_result replace_keep(const char *path, FILE *err, mtm_error *error)
{
    char *kept = NULL;
    mtm_result result = mtmi_file_back_up(path, &kept, error);

    if (kept != NULL)
        (void)fprintf(err, "%s: the file as it was is kept: %s\n", path, kept);
    free(kept);
    return result;
}
