/* SPDX-License-Identifier: MIT */
/* Keeping: a copy of a file under a name that was free. */
#ifndef METAMER_BASE_BACKUP_H
#define METAMER_BASE_BACKUP_H

#include <metamer/base.h>

/**
 * Copies the file at path to path.bak, or to path.2.bak and so on where that is taken; nothing is
 * ever overwritten. The copy is on the disk on return. *backup is its name, which the caller frees;
 * NULL where nothing is to be kept: there is no file, it is empty, or it is a device or a pipe.
 * What mtmi_file_may_replace refuses is refused here too: no copy of what will stay.
 */
MTM_CHECKED mtm_result mtmi_file_back_up(const char *path, char **backup, mtm_error *error);

#endif
