/* SPDX-License-Identifier: MIT */
/* Spectrum shelf: files that several fixtures of a rig name are read once. */
#include "spectrum/cache.h"

#include <stdlib.h>
#include <string.h>

#define SHELVED_MOST 64 /* a list is walked; beyond this, reading again is as good */

struct mtmi_shelved {
    struct mtmi_shelved *next;
    mtm_spectrum spectrum;
    char path[];
};

/* A shelf that cannot be filled costs time, not the answer. */
static void put(mtmi_shelf *shelf, const char *path, const mtm_spectrum *spectrum)
{
    size_t length = strlen(path) + 1;
    struct mtmi_shelved *shelved =
        shelf->count < SHELVED_MOST ? malloc(sizeof *shelved + length) : NULL;

    if (shelved == NULL)
        return;
    shelved->next = shelf->first;
    shelved->spectrum = *spectrum;
    memcpy(shelved->path, path, length);
    shelf->first = shelved;
    shelf->count++;
}

mtm_result mtmi_shelf_load(mtmi_shelf *shelf, const char *path, mtm_spectrum *spectrum,
                           mtm_error *error)
{
    for (const struct mtmi_shelved *at = shelf->first; at != NULL; at = at->next) {
        if (strcmp(at->path, path) == 0) {
            *spectrum = at->spectrum;
            return MTM_OK;
        }
    }
    mtm_result result = mtm_spectrum_load(path, MTM_ENDS_ZERO, spectrum, error);
    if (result == MTM_OK)
        put(shelf, path, spectrum);
    return result;
}

void mtmi_shelf_clear(mtmi_shelf *shelf)
{
    while (shelf->first != NULL) {
        struct mtmi_shelved *next = shelf->first->next;
        free(shelf->first);
        shelf->first = next;
    }
    shelf->count = 0;
}
