/* SPDX-License-Identifier: MIT */
/* Digest of a build without GLib: there is none. */
#include <metamer/report.h>

#include "base/error.h"

mtm_result mtm_file_sha256(const char *path, char text[MTM_SHA256_ROOM], size_t *bytes,
                           mtm_error *error)
{
    (void)bytes;
    if (path == NULL || text == NULL)
        return mtmi_fail(error, MTM_INVALID, "a path, and a place for its SHA-256, are needed");
    return mtmi_fail(error, MTM_UNSUPPORTED,
                     "the checksum of a file cannot be made: this program was built without GLib");
}
