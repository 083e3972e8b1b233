/* SPDX-License-Identifier: MIT */
/* Failing memory where libxml2 reads a TM-27 spectrum: its allocations come by here too. */
#include "support/failing.h"

#include <metamer/spectrum_file.h>

#include <libxml/xmlmemory.h>
#include <libxml/xmlversion.h>

#include <dlfcn.h>

static const char text[] =
    "<?xml version=\"1.0\"?>\n<IESTM2714 xmlns=\"iestm2714\" version=\"1.0\">\n"
    "<Header><Description> hall lamp </Description></Header>"
    "<SpectralDistribution><SpectralQuantity>relative</SpectralQuantity>"
    "<SpectralData wavelength=\"400\">0.25</SpectralData>"
    "<SpectralData wavelength=\"550\">0.5</SpectralData>"
    "<SpectralData wavelength=\"700\">0.75</SpectralData></SpectralDistribution></IESTM2714>\n";

static void (*forget_error)(void); /* libxml2 keeps a copy of the last one for each thread */

static mtm_result parse_tm27(mtm_error *error)
{
    mtm_spectrum_set *set = NULL;
    mtm_result result =
        mtm_spectrum_set_parse(text, strlen(text), "lamp.spdx", MTM_ENDS_ZERO, &set, error);

    forget_error();
    if (result != MTM_OK) {
        assert_null(set);
        return result;
    }
    failing_tell_text(mtm_spectrum_set_name(set, 0));
    failing_tell(mtm_spectrum_set_at(set, 0), sizeof(mtm_spectrum));
    mtm_spectrum_set_free(set);
    return MTM_OK;
}

static const failing_row rows[] = {{"parse TM-27 XML", parse_tm27}};

static bool find(void *library, const char *name, void *function)
{
    void *symbol = library == NULL ? NULL : dlsym(library, name);

    memcpy(function, &symbol, sizeof symbol);
    return symbol != NULL;
}

static int enter(void **state)
{
    int (*setup)(xmlFreeFunc, xmlMallocFunc, xmlReallocFunc, xmlStrdupFunc) = NULL;
    void *library =
        dlopen(LIBXML_VERSION >= 21400 ? "libxml2.so.16" : "libxml2.so.2", RTLD_NOW | RTLD_LOCAL);

    (void)state;
    if (!find(library, "xmlMemSetup", &setup) || !find(library, "xmlResetLastError", &forget_error))
        return -1;
    return setup(__wrap_free, __wrap_malloc, __wrap_realloc, __wrap_strdup);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, failing_test);
    return cmocka_run_group_tests_name("tm27_memory", tests, enter, NULL);
}
