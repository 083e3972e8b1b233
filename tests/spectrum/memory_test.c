/* SPDX-License-Identifier: MIT */
/* Failing memory where files become spectra, each kind of file. */
#include "support/failing.h"

#include <metamer/spectrum_file.h>

static mtm_result parse(const char *text, const char *name, mtm_error *error)
{
    mtm_spectrum_set *set = NULL;
    mtm_result result =
        mtm_spectrum_set_parse(text, strlen(text), name, MTM_ENDS_ZERO, &set, error);

    if (result != MTM_OK) {
        assert_null(set);
        return result;
    }
    for (size_t i = 0; i < mtm_spectrum_set_count(set); i++) {
        failing_tell_text(mtm_spectrum_set_name(set, i));
        failing_tell(mtm_spectrum_set_at(set, i), sizeof(mtm_spectrum));
    }
    mtm_spectrum_set_free(set);
    return MTM_OK;
}

static mtm_result parse_csv(mtm_error *error)
{
    return parse("nm,dawn,\"noon, clear\"\n400,0.1,0.2\n500,0.2,0.4\n600,0.3,0.3\n700,0.4,0.1\n",
                 "sky.csv", error);
}

/* Rows as spectra, columns named by their wavelengths; LittleCMS reads it. */
static mtm_result parse_cgats(mtm_error *error)
{
    return parse("CGATS.17\nORIGINATOR \"bench\"\nKEYWORD \"SPEC_400\"\nKEYWORD \"SPEC_500\"\n"
                 "KEYWORD \"SPEC_600\"\nNUMBER_OF_FIELDS 4\nBEGIN_DATA_FORMAT\n"
                 "SAMPLE_NAME SPEC_400 SPEC_500 SPEC_600\nEND_DATA_FORMAT\nNUMBER_OF_SETS 2\n"
                 "BEGIN_DATA\nfirst 0.1 0.2 0.3\nsecond 0.4 0.5 0.6\nEND_DATA\n",
                 "patch.txt", error);
}

static const failing_row rows[] = {
    {"parse CSV", parse_csv},
    {"parse CGATS", parse_cgats},
};

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, failing_test);
    return cmocka_run_group_tests_name("spectrum_memory", tests, NULL, NULL);
}
