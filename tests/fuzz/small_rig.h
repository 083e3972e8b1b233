/* SPDX-License-Identifier: MIT */
/* A rig of two units for fuzz targets that need one; its fixtures lie in a folder of its own. */
#ifndef METAMER_TESTS_FUZZ_SMALL_RIG_H
#define METAMER_TESTS_FUZZ_SMALL_RIG_H

#include "input.h"

#include <metamer/rig.h>

#include <stdio.h>
#include <unistd.h>

static inline void small_rig_write(const char *folder, const char *name, const char *text)
{
    char path[300];

    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    hold(file != NULL && fputs(text, file) >= 0 && fclose(file) == 0);
}

/** Made once, kept until the program ends. */
static inline mtm_rig *small_rig(void)
{
    static mtm_rig *rig;
    char folder[] = "/tmp/metamer-fuzz-XXXXXX";
    char path[300];
    static const char text[] = "{\"metamer\": \"rig/1\", \"name\": \"small\", \"units\": ["
                               "{\"name\": \"a\", \"fixture\": \"f.json\", \"mode\": \"16\"},"
                               "{\"name\": \"b\", \"fixture\": \"f.json\", \"mode\": \"8\"}]}";

    if (rig != NULL)
        return rig;
    hold(mkdtemp(folder) != NULL);
    small_rig_write(
        folder, "f.json",
        "{\"metamer\": \"fixture/1\", \"name\": \"f\", \"emitters\": ["
        "{\"name\": \"warm\", \"x\": 0.5018, \"y\": 0.4153, \"flux_lm\": 1000, \"watts\": 12},"
        "{\"name\": \"cool\", \"x\": 0.3287, \"y\": 0.3426, \"flux_lm\": 1200, \"watts\": 12}],"
        "\"modes\": [{\"name\": \"8\", \"slots\": [\"dimmer\", \"warm\", \"cool\"]},"
        "{\"name\": \"16\", \"slots\": [\"warm\", \"warm.fine\", \"cool\", \"cool.fine\"]}]}");
    hold(mtm_rig_parse(text, strlen(text), "rig", folder, &rig, NULL) == MTM_OK);
    (void)snprintf(path, sizeof path, "%s/f.json", folder);
    (void)unlink(path);
    (void)rmdir(folder);
    return rig;
}

#endif
