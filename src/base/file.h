/* SPDX-License-Identifier: MIT */
/* Files: read whole with a limit, written beside and renamed. */
#ifndef METAMER_BASE_FILE_H
#define METAMER_BASE_FILE_H

#include <metamer/base.h>

/** Most bytes of a file that a person writes: fixtures, rigs, shows, spectra. */
#define MTMI_FILE_LIMIT ((size_t)16 * 1024 * 1024)
/** Most bytes of a rig file: a hundred thousand units with all their places are 20 MB and more. */
#define MTMI_RIG_FILE_LIMIT ((size_t)64 * 1024 * 1024)

/**
 * Reads a regular file of at most limit bytes. *text gets length bytes and a NUL; the caller frees
 * it. Refuses directories, devices and empty files with a sentence that names the path.
 */
MTM_CHECKED mtm_result mtmi_file_read(const char *path, size_t limit, char **text, size_t *length,
                                      mtm_error *error);

/** Writes bytes beside path, flushes them to the disk and renames: whole or not at all. A link is
 *  followed; a device or a pipe is written to as it is; what mtmi_file_may_replace refuses
 *  stays. */
MTM_CHECKED mtm_result mtmi_file_write(const char *path, const void *bytes, size_t count,
                                       mtm_error *error);

/** MTM_IO for a file that is read-only: nobody may write it (root neither), or not this user. */
MTM_CHECKED mtm_result mtmi_file_may_replace(const char *path, mtm_error *error);

/** True if both paths lead to one file that exists, however they are spelt. */
bool mtmi_file_same(const char *a, const char *b);

/** directory/name, or name alone where it is absolute or directory is NULL or empty; caller frees;
 *  NULL if out of memory. */
char *mtmi_path_join(const char *directory, const char *name);

/** What stands before the last slash of path ("" where there is none); caller frees; NULL if out
 *  of memory. */
char *mtmi_path_directory(const char *path);

/** What stands behind the last dot of a path's name ("" where there is none): part of path. */
const char *mtmi_path_ending(const char *path);

#endif
