/* SPDX-License-Identifier: MIT */
/* TM-27 spectra: the document of the standard in its variants, hostile XML, and what is wrong;
 * libxml2 is loaded for none but these. Layout: ANSI/IES TM-27-14, sample and list of elements. */
#include "support/check.h"

#include <metamer/colour.h>
#include <metamer/spectrum_file.h>

#include <pthread.h>

#define HEADER                                                                                     \
    "<Header><Manufacturer/><Description> hall lamp </Description><DocumentCreator>bench"          \
    "</DocumentCreator><DocumentCreationDate>2031-04-02</DocumentCreationDate></Header>"
#define SAMPLES                                                                                    \
    "<SpectralData wavelength=\"400.0\">0.25</SpectralData>"                                       \
    "<SpectralData wavelength=\"550\"> 5e-1\n</SpectralData>"                                      \
    "<SpectralData wavelength=\"700\">0.75</SpectralData>"
#define DISTRIBUTION(quantity)                                                                     \
    "<SpectralDistribution><SpectralQuantity>" quantity "</SpectralQuantity>"                      \
    "<BandwidthFWHM>2.0</BandwidthFWHM>" SAMPLES "</SpectralDistribution>"
#define DOCUMENT(quantity)                                                                         \
    "<?xml version=\"1.0\"?>\n<IESTM2714 xmlns=\"iestm2714\" version=\"1.0\">\n" HEADER            \
    DISTRIBUTION(quantity) "</IESTM2714>\n"

static const struct good_row {
    const char *name;
    const char *text;
    const char *spectrum;
    mtm_quantity quantity;
} good_rows[] = {
    {"relative", DOCUMENT("relative"), "hall lamp", MTM_QUANTITY_LIGHT},
    {"irradiance", DOCUMENT(" Irradiance "), "hall lamp", MTM_QUANTITY_LIGHT},
    {"transmittance", DOCUMENT("transmittance"), "hall lamp", MTM_QUANTITY_TRANSMITTANCE},
    {"reflectance factor", DOCUMENT("R-Factor"), "hall lamp", MTM_QUANTITY_REFLECTANCE},
    {"other", DOCUMENT("other"), "hall lamp", MTM_QUANTITY_UNSTATED},
    {"edition of 2020, prefix, distribution first",
     "<t:IESTM2720 xmlns:t=\"urn:x/iestm2720\"><t:SpectralDistribution>"
     "<t:SpectralData wavelength=\"400\">0.25</t:SpectralData>"
     "<t:SpectralData wavelength=\"550\"><![CDATA[0.5]]></t:SpectralData>"
     "<t:SpectralData wavelength=\"700\">0.75</t:SpectralData></t:SpectralDistribution>"
     "<t:Header/></t:IESTM2720>",
     "x", MTM_QUANTITY_UNSTATED},
    {"byte order mark, blanks, CR LF",
     "\xef\xbb\xbf<IESTM2714>\r\n<SpectralDistribution>" SAMPLES
     "\r\n</SpectralDistribution></IESTM2714>\r\n",
     "x", MTM_QUANTITY_UNSTATED},
};

static void test_good(void **state)
{
    const struct good_row *row = *state;
    mtm_spectrum_set *set = NULL;
    mtm_error error = {""};
    bool light = row->quantity == MTM_QUANTITY_LIGHT || row->quantity == MTM_QUANTITY_UNSTATED;

    if (mtm_spectrum_set_parse(row->text, strlen(row->text), "x.spdx", MTM_ENDS_ZERO, &set,
                               &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_int_equal(mtm_spectrum_set_count(set), 1);
    assert_string_equal(mtm_spectrum_set_name(set, 0), row->spectrum);
    assert_int_equal(mtm_spectrum_set_quantity(set, 0), row->quantity);
    const double *value = mtm_spectrum_set_at(set, 0)->value;
    CHECK_NEAR("360", value[0], light ? 0 : 0.25, 0);
    CHECK_NEAR("400", value[40], 0.25, 1e-15);
    CHECK_NEAR("550", value[190], 0.5, 1e-15);
    CHECK_NEAR("700", value[340], 0.75, 1e-15);
    mtm_spectrum_set_free(set);
}

#define ONE(samples)                                                                               \
    "<IESTM2714><SpectralDistribution>" samples "</SpectralDistribution></IESTM2714>"

static const struct bad_row {
    const char *name;
    const char *text;
    const char *sentence;
} bad_rows[] = {
    {"not closed", "<IESTM2714>\n<Header>\n", "x.spdx: line 3: "},
    {"another document", "<html></html>", "the outermost element is html; the XML of spectra is"},
    {"no distribution", "<IESTM2714><Header/></IESTM2714>", "x.spdx: describes no spectrum"},
    {"no data", ONE(""), "0 elements SpectralData; allowed are 2 to 100000"},
    {"one sample", ONE("<SpectralData wavelength='500'>1</SpectralData>"), "1 samples"},
    {"no wavelength", ONE("\n<SpectralData>1</SpectralData>"),
     "line 2: SpectralData without a wavelength that is a number"},
    {"wavelength in words", ONE("<SpectralData wavelength='red'>1</SpectralData>"),
     "without a wavelength that is a number"},
    {"value in words", ONE("<SpectralData wavelength='500'>much</SpectralData>"),
     "\"much\" is not a number"},
    {"an element for a value", ONE("<SpectralData wavelength='500'><b>1</b></SpectralData>"),
     "\"\" is not a number"},
    {"falling",
     ONE("<SpectralData wavelength='500'>1</SpectralData><SpectralData wavelength='400'>1"
         "</SpectralData>"),
     "wavelength 400 nm follows 500 nm"},
    {"unknown quantity", DOCUMENT("loudness"), "the quantity is \"loudness\"; allowed are flux"},
    {"absorptance", DOCUMENT("absorptance"), "the quantity is \"absorptance\""},
    {"an entity bomb",
     "<?xml version=\"1.0\"?><!DOCTYPE IESTM2714 [<!ENTITY a \"aaaaaaaaaaaaaaaaaaaaaaaaa\">"
     "<!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;\"><!ENTITY c \"&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;\">"
     "<!ENTITY d \"&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;\"><!ENTITY e \"&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;\">"
     "]><IESTM2714>&e;</IESTM2714>",
     "x.spdx: has a document type declaration, which is not allowed"},
    {"another file as an entity",
     "<!DOCTYPE IESTM2714 [<!ENTITY x SYSTEM \"file:///etc/passwd\">]><IESTM2714>&x;</IESTM2714>",
     "has a document type declaration"},
    {"a document type from elsewhere",
     "<!DOCTYPE IESTM2714 SYSTEM \"http://127.0.0.1:9/x.dtd\"><IESTM2714/>",
     "has a document type declaration"},
    {"an undeclared entity", "<IESTM2714>&x;</IESTM2714>", "x.spdx: line 1: "},
};

static void test_bad(void **state)
{
    const struct bad_row *row = *state;
    mtm_spectrum_set *set = NULL;
    mtm_error error = {""};

    assert_int_equal(
        mtm_spectrum_set_parse(row->text, strlen(row->text), "x.spdx", MTM_ENDS_ZERO, &set, &error),
        MTM_PARSE);
    CHECK_HOLDS(error.text, row->sentence);
    assert_null(strchr(error.text, '\n'));
    assert_null(set);
}

/* Depth and size: refused at once. */
static void test_bombs(void **state)
{
    size_t room = (size_t)5 * 1024 * 1024;
    char *text = malloc(room);
    size_t used = 0;
    mtm_spectrum_set *set = NULL;
    mtm_error error = {""};

    (void)state;
    assert_non_null(text);
    for (int i = 0; i < 100000; i++)
        used += (size_t)snprintf(text + used, room - used, "<IESTM2714>");
    assert_int_equal(mtm_spectrum_set_parse(text, used, "x.spdx", MTM_ENDS_ZERO, &set, &error),
                     MTM_PARSE);
    memset(text, ' ', room);
    text[0] = '<';
    assert_int_equal(mtm_spectrum_set_parse(text, room, "x.spdx", MTM_ENDS_ZERO, &set, &error),
                     MTM_LIMIT);
    CHECK_HOLDS(error.text, "x.spdx: 5242880 bytes of XML; at most 4194304 are read");
    free(text);
}

static bool libxml2_is_loaded(void)
{
    FILE *maps = fopen("/proc/self/maps", "r");
    char line[4096];
    bool loaded = false;

    assert_non_null(maps);
    while (fgets(line, sizeof line, maps) != NULL)
        loaded = loaded || strstr(line, "libxml2") != NULL;
    assert_int_equal(fclose(maps), 0);
    return loaded;
}

/* First of all tests: other formats do not load libxml2. */
static void test_loads_late(void **state)
{
    mtm_spectrum_set *set = NULL;

    (void)state;
    assert_int_equal(mtm_spectrum_set_parse("400,1\n700,1\n", 12, "x", MTM_ENDS_ZERO, &set, NULL),
                     MTM_OK);
    mtm_spectrum_set_free(set);
    assert_int_equal(
        mtm_spectrum_set_load("/usr/share/colord/illuminant/CIE-D65.sp", MTM_ENDS_ZERO, &set, NULL),
        MTM_OK);
    mtm_spectrum_set_free(set);
    assert_false(libxml2_is_loaded());
    assert_int_equal(mtm_spectrum_set_parse(good_rows[0].text, strlen(good_rows[0].text), "x",
                                            MTM_ENDS_ZERO, &set, NULL),
                     MTM_OK);
    mtm_spectrum_set_free(set);
    assert_true(libxml2_is_loaded());
}

static void *read_one(void *context)
{
    mtm_spectrum_set *set = NULL;
    const struct good_row *row = &good_rows[0];

    *(mtm_result *)context =
        mtm_spectrum_set_parse(row->text, strlen(row->text), "x", MTM_ENDS_ZERO, &set, NULL);
    mtm_spectrum_set_free(set);
    return NULL;
}

/* The first documents of a program, read at once: the thread sanitizer looks at what they share. */
static void test_threads(void **state)
{
    enum { threads = 4 };
    pthread_t thread[threads];
    mtm_result result[threads];

    (void)state;
    for (size_t i = 0; i < threads; i++)
        assert_int_equal(pthread_create(&thread[i], NULL, read_one, &result[i]), 0);
    for (size_t i = 0; i < threads; i++)
        assert_int_equal(pthread_join(thread[i], NULL), 0);
    for (size_t i = 0; i < threads; i++)
        assert_int_equal(result[i], result[0]); /* MTM_OK, or no XML in this library */
}

int main(void)
{
    struct CMUnitTest tests[1 + COUNT(good_rows) + COUNT(bad_rows) + 2];
    struct CMUnitTest *next = tests;

    *next++ = (struct CMUnitTest)cmocka_unit_test(test_loads_late);
    ROW_TESTS(next, good_rows, test_good);
    next += COUNT(good_rows);
    ROW_TESTS(next, bad_rows, test_bad);
    next += COUNT(bad_rows);
    *next++ = (struct CMUnitTest)cmocka_unit_test(test_bombs);
    *next = (struct CMUnitTest)cmocka_unit_test(test_threads);
    return cmocka_run_group_tests_name("TM-27 spectra", tests, NULL, NULL);
}
