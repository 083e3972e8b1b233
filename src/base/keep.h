/* SPDX-License-Identifier: MIT */
/* Keeping: a copy of a file under a name that was free. */
#ifndef METAMER_BASE_KEEP_H
#define METAMER_BASE_KEEP_H

#include <metamer/base.h>

/**
 * Copies a file of at most limit bytes to path.bak, or to path.2.bak and so on where that is taken;
 * nothing is ever overwritten. The copy is on the disk on return. *kept is its name; the caller
 * frees it.
 */
MTM_CHECKED mtm_result mtmi_file_keep(const char *path, size_t limit, char **kept,
                                      mtm_error *error);

#endif
