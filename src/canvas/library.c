/* SPDX-License-Identifier: MIT */
/* Library: what is called of cairo and Pango, found by name when the first canvas is made. */
#include "canvas/library.h"

#include "base/error.h"

#include <dlfcn.h>
#include <string.h>

/* A function's name, and where its pointer stands in mtmi_library. */
struct place {
    const char *name;
    size_t at;
};

#define PLACE(name) {#name, offsetof(mtmi_library, name)},

static const struct place of_cairo[] = {MTMI_CAIRO_FUNCTIONS(PLACE){NULL, 0}};
static const struct place of_pango[] = {MTMI_PANGO_FUNCTIONS(PLACE){NULL, 0}};
static const struct place of_pangocairo[] = {MTMI_PANGOCAIRO_FUNCTIONS(PLACE){NULL, 0}};
static const struct place of_gobject[] = {MTMI_GOBJECT_FUNCTIONS(PLACE){NULL, 0}};

static const struct file {
    const char *name;
    const struct place *places;
} files[] = {
    {"libcairo.so.2", of_cairo},
    {"libpango-1.0.so.0", of_pango},
    {"libpangocairo-1.0.so.0", of_pangocairo},
    {"libgobject-2.0.so.0", of_gobject},
};

mtm_result mtmi_library_load(mtmi_library *library, mtm_error *error)
{
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
        void *file = dlopen(files[i].name, RTLD_NOW | RTLD_LOCAL);
        if (file == NULL)
            return mtmi_fail(error, MTM_UNSUPPORTED,
                             "pictures cannot be drawn: %s cannot be loaded", files[i].name);
        for (const struct place *place = files[i].places; place->name != NULL; place++) {
            void *symbol = dlsym(file, place->name);
            if (symbol == NULL)
                return mtmi_fail(error, MTM_UNSUPPORTED,
                                 "pictures cannot be drawn: %s of this system has no %s",
                                 files[i].name, place->name);
            memcpy((char *)library + place->at, &symbol, sizeof symbol);
        }
    }
    return MTM_OK;
}
