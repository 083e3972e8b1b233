/* SPDX-License-Identifier: MIT */
/* Folders: where a file named in another file is looked for. */
#include "base/folder.h"

#include "base/error.h"
#include "base/file.h"
#include "base/installed.h"

#include <stdlib.h>
#include <sys/stat.h>

static bool exists(const char *path)
{
    struct stat info;

    return stat(path, &info) == 0;
}

const char *mtmi_profile_folder(void)
{
    const char *folder = getenv("METAMER_PROFILES");

    if (folder != NULL && folder[0] != '\0')
        return folder;
    /* not installed: the source folder, where a newcomer tries the examples */
    if (!exists(METAMER_PROFILE_FOLDER) && exists("profiles"))
        return "profiles";
    return METAMER_PROFILE_FOLDER;
}

mtm_result mtmi_find_file(const char *directory, const char *name, char **path, mtm_error *error)
{
    const char *folders[] = {directory, mtmi_profile_folder()};

    for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++) {
        char *candidate = mtmi_path_join(folders[i], name);
        if (candidate == NULL)
            return mtmi_fail_memory(error);
        if (exists(candidate)) {
            *path = candidate;
            return MTM_OK;
        }
        free(candidate);
    }
    if (name[0] == '/')
        return mtmi_fail(error, MTM_NOT_FOUND, "there is no file \"%.200s\"", name);
    return mtmi_fail(error, MTM_NOT_FOUND,
                     "there is no file \"%.120s\" in \"%.100s\" nor among the profiles in "
                     "\"%.100s\"",
                     name, directory != NULL && directory[0] != '\0' ? directory : ".",
                     mtmi_profile_folder());
}
