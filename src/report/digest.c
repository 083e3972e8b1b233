/* SPDX-License-Identifier: MIT */
/* Digest: the SHA-256 of a file by GLib, which is loaded with Pango anyway. */
#include <metamer/report.h>

#include "base/error.h"
#include "base/file.h"

#include <dlfcn.h>
#include <glib.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LIBRARY "libglib-2.0.so.0"

/* What is called of it. */
struct glib {
    __typeof__(g_compute_checksum_for_data) *digest;
    __typeof__(g_free) *release;
};

static mtm_result load(struct glib *glib, mtm_error *error)
{
    void *file = dlopen(LIBRARY, RTLD_NOW | RTLD_LOCAL);
    void *digest = file != NULL ? dlsym(file, "g_compute_checksum_for_data") : NULL;
    void *release = file != NULL ? dlsym(file, "g_free") : NULL;

    if (digest == NULL || release == NULL)
        return mtmi_fail(error, MTM_UNSUPPORTED,
                         "the checksum of a file cannot be made: %s cannot be loaded", LIBRARY);
    memcpy(&glib->digest, &digest, sizeof digest);
    memcpy(&glib->release, &release, sizeof release);
    return MTM_OK;
}

mtm_result mtm_file_sha256(const char *path, char text[MTM_SHA256_ROOM], size_t *bytes,
                           mtm_error *error)
{
    char *content = NULL;
    size_t length = 0;
    struct glib glib = {NULL, NULL};

    if (path == NULL || text == NULL)
        return mtmi_fail(error, MTM_INVALID, "a path, and a place for its SHA-256, are needed");
    mtm_result result = mtmi_file_read(path, MTMI_RIG_FILE_LIMIT, &content, &length, error);
    if (result == MTM_OK)
        result = load(&glib, error);
    if (result == MTM_OK && glib.digest != NULL && glib.release != NULL) {
        gchar *digest = glib.digest(G_CHECKSUM_SHA256, (const guchar *)content, (gsize)length);
        (void)snprintf(text, MTM_SHA256_ROOM, "%s", digest != NULL ? digest : "");
        glib.release(digest);
        if (bytes != NULL)
            *bytes = length;
    }
    free(content);
    return result;
}
