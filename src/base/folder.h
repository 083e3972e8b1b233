/* SPDX-License-Identifier: MIT */
/* Folders: where a file named in another file is looked for. */
#ifndef METAMER_BASE_FOLDER_H
#define METAMER_BASE_FOLDER_H

#include <metamer/base.h>

/** The folder of profiles: METAMER_PROFILES of the environment, or else the installed one, or,
 * where nothing is installed, "profiles" where the program runs. */
const char *mtmi_profile_folder(void);

/**
 * Finds a file: name in directory (NULL or "": where the program runs), then in the profile folder.
 * An absolute name stands for itself.
 * @param path set on MTM_OK, freed by the caller
 * @return MTM_OK; MTM_NOT_FOUND with a sentence that names both places; MTM_MEMORY
 */
MTM_CHECKED mtm_result mtmi_find_file(const char *directory, const char *name, char **path,
                                      mtm_error *error);

#endif
