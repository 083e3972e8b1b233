/* SPDX-License-Identifier: MIT */
/* Quality indices: against other programs' figures, against the standards' plain loops, and the
 * kernels against one another. */
#include "support/check.h"
#include "support/plain_quality.h"

#include "quality/kernel.h"

#include <metamer/colour.h>
#include <metamer/spectrum_file.h>

/* Synthetic LED mixtures (tests/data/led-mixtures.csv). Ra, R9: numpy after CIE 13.3 at 1 nm; Ra
 * also by colour-science 0.4.6 and by argyll 2.3.1's specplot. Rf, Rg: colour-science 0.4.6 and
 * luxpy 1.12.5. Tolerance: 0.1 K; Ra 0.3 between programs (0.01 to the one that interpolates the
 * samples as we do), R9 1.5; Rf, Rg 0.005. */
static const struct mixture_row {
    const char *name;
    size_t column;
    double cct_k, duv, ra, ra_same, ra_third, r9, rf, rg, rf_other, rg_other;
} mixture_rows[] = {
    {"three-line-warm", 0, 3546.24, 0.01784, 83.91, 83.86, 83.8, 39.0, 81.336, 99.367, 81.336,
     99.367},
    {"three-line-cool", 1, 9375.11, 0.02699, 75.20, 75.14, 75.3, 2.8, 76.706, 105.922, 76.704,
     105.921},
    {"five-line-neutral", 2, 4395.47, 0.00314, 88.19, 88.15, 88.2, 68.2, 90.881, 107.288, 90.880,
     107.288},
    {"phosphor-warm", 3, 2493.37, -0.00077, 68.82, 68.80, 68.9, -36.8, 73.817, 92.552, 73.817,
     92.552},
    {"phosphor-cool", 4, 5877.73, 0.01936, 57.60, 57.56, 57.7, -119.9, 64.769, 81.412, 64.765,
     81.411},
    {"warm-plus-red", 5, 3282.49, 0.01370, 70.48, 70.46, 70.6, 2.8, 76.880, 89.554, 76.880, 89.554},
};

static mtm_spectrum_set *mixtures;

static void test_mixture(void **state)
{
    const struct mixture_row *row = *state;
    const mtm_spectrum *spectrum = mtm_spectrum_set_at(mixtures, row->column);
    mtm_quality quality;

    assert_string_equal(mtm_spectrum_set_name(mixtures, row->column), row->name);
    assert_int_equal(mtm_quality_from_spectrum(spectrum, &quality, NULL), MTM_OK);
    CHECK_NEAR("cct", quality.white.cct_k, row->cct_k, 0.1);
    CHECK_NEAR("duv", quality.white.duv, row->duv, 1e-5);
    CHECK_NEAR("Ra", quality.cri.ra, row->ra, 0.3);
    CHECK_NEAR("Ra, same interpolation", quality.cri.ra, row->ra_same, 0.01);
    CHECK_NEAR("Ra, third", quality.cri.ra, row->ra_third, 0.3);
    CHECK_NEAR("R9", quality.cri.r[8], row->r9, 1.5);
    CHECK_NEAR("Rf", quality.fidelity.rf, row->rf, 0.005);
    CHECK_NEAR("Rg", quality.fidelity.rg, row->rg, 0.005);
    CHECK_NEAR("Rf, other", quality.fidelity.rf, row->rf_other, 0.005);
    CHECK_NEAR("Rg, other", quality.fidelity.rg, row->rg_other, 0.005);
    /* CIE 13.3-1995, 5.3: all but the two near the locus are too far from their reference */
    assert_true(quality.cri.far == (row->duv > 0.006));
    assert_true(quality.cri.far == (quality.cri.distance > 0.0054));
}

/* The prepared sums are those of the standards' own loops. */
static void test_plain(void **state)
{
    static struct plain_samples samples;

    (void)state;
    plain_fill(&samples);
    for (size_t i = 0; i < mtm_spectrum_set_count(mixtures); i++) {
        const mtm_spectrum *spectrum = mtm_spectrum_set_at(mixtures, i);
        mtm_quality quality;

        assert_int_equal(mtm_quality_from_spectrum(spectrum, &quality, NULL), MTM_OK);
        struct plain_quality plain = plain_quality(&samples, spectrum, quality.white.cct_k);
        CHECK_NEAR("Ra", quality.cri.ra, plain.ra, 1e-9);
        CHECK_NEAR("Rf", quality.fidelity.rf, plain.rf, 1e-9);
        CHECK_NEAR("Rg", quality.fidelity.rg, plain.rg, 1e-9);
        CHECK_NEAR("SSI", quality.ssi, plain.ssi, 1e-9);
    }
}

/* Beside each temperature where a standard changes its reference, the plain loops' is taken. */
static void test_references(void **state)
{
    static const double cct_k[] = {3950, 3999, 4001, 4050, 4500, 4950, 4999, 5001, 5050};
    static struct plain_samples samples;

    (void)state;
    plain_fill(&samples);
    for (size_t i = 0; i < COUNT(cct_k); i++) {
        mtm_spectrum spectrum;
        mtm_quality quality;

        assert_int_equal(mtm_spectrum_planck(cct_k[i], &spectrum, NULL), MTM_OK);
        assert_int_equal(mtm_quality_from_spectrum(&spectrum, &quality, NULL), MTM_OK);
        struct plain_quality plain = plain_quality(&samples, &spectrum, quality.white.cct_k);
        CHECK_NEAR("Ra", quality.cri.ra, plain.ra, 1e-9);
        CHECK_NEAR("Rf", quality.fidelity.rf, plain.rf, 1e-9);
        CHECK_NEAR("SSI", quality.ssi, plain.ssi, 1e-9);
    }
}

static void check_same_quality(const mtm_quality *a, const mtm_quality *b, double within)
{
    CHECK_NEAR("Ra", a->cri.ra, b->cri.ra, within);
    CHECK_NEAR("Rf", a->fidelity.rf, b->fidelity.rf, within);
    CHECK_NEAR("Rg", a->fidelity.rg, b->fidelity.rg, within);
    CHECK_NEAR("SSI", a->ssi, b->ssi, within);
    for (size_t i = 0; i < MTM_TCS_COUNT; i++)
        CHECK_NEAR("Ri", a->cri.r[i], b->cri.r[i], within);
    for (size_t i = 0; i < MTM_CES_COUNT; i++)
        CHECK_NEAR("Rf,i", a->fidelity.sample[i], b->fidelity.sample[i], within);
    for (size_t i = 0; i < MTM_HUE_BINS; i++) {
        CHECK_NEAR("Rf,h", a->fidelity.bin_rf[i], b->fidelity.bin_rf[i], within);
        CHECK_NEAR("chroma", a->fidelity.chroma_shift[i], b->fidelity.chroma_shift[i], within);
        CHECK_NEAR("hue", a->fidelity.hue_shift[i], b->fidelity.hue_shift[i], within);
    }
}

static double scattered(uint64_t *state)
{
    *state = (*state * 6364136223846793005U) + 1442695040888963407U;
    return (double)(*state >> 11) / 9007199254740992.0;
}

/* A random mixture of lines and bands, and its emitters' lights. */
static void random_mixture(uint64_t *random, mtm_spectrum *sum)
{
    *sum = (mtm_spectrum){{0}};
    for (int e = 0; e < 6; e++) {
        mtm_spectrum led;
        double level = scattered(random);

        assert_int_equal(mtm_spectrum_led(400 + (300 * scattered(random)),
                                          5 + (120 * scattered(random)), &led, NULL),
                         MTM_OK);
        for (int i = 0; i < MTM_SPECTRUM_COUNT; i++)
            sum->value[i] += level * led.value[i];
    }
}

/* The kernel of this processor and the portable one agree to the last bit in every index. */
static void test_twins(void **state)
{
    uint64_t random = 13319951;
    int answered = 0;

    (void)state;
    for (int i = 0; i < 200; i++) {
        mtm_spectrum spectrum;
        mtmi_quality_light light[2];
        mtm_quality quality[2];

        random_mixture(&random, &spectrum);
        mtmi_quality_light_from_spectrum(mtmi_quality_best(), &spectrum, &light[0]);
        mtmi_quality_light_from_spectrum(&mtmi_quality_portable, &spectrum, &light[1]);
        if (mtmi_quality_from_light(mtmi_quality_best(), &light[0], &quality[0], NULL) != MTM_OK)
            continue;
        assert_int_equal(
            mtmi_quality_from_light(&mtmi_quality_portable, &light[1], &quality[1], NULL), MTM_OK);
        check_same_quality(&quality[0], &quality[1], 0);
        answered++;
    }
    assert_true(answered > 40);
}

/* The kernels mix the samples as the whole light is mixed, to the last bit. */
static void test_mix_of_samples(void **state)
{
    const mtmi_quality_kernel *kernels[] = {mtmi_quality_best(), &mtmi_quality_portable};
    const double level[3] = {0.3, 0, 0.71};
    uint64_t random = 20051129;
    mtmi_quality_light light[3], whole;
    mtmi_ces ces;

    (void)state;
    for (size_t i = 0; i < 3; i++) {
        mtm_spectrum spectrum;
        random_mixture(&random, &spectrum);
        mtmi_quality_light_from_spectrum(kernels[0], &spectrum, &light[i]);
    }
    const mtmi_quality_light *lights[3] = {&light[0], &light[1], &light[2]};
    mtmi_quality_light_mix(lights, level, 3, &whole);
    for (size_t n = 0; n < COUNT(kernels); n++) {
        kernels[n]->mix(lights, level, 3, MTMI_BLOCKS_ALL, &ces);
        assert_memory_equal(&ces, &whole.ces, sizeof ces);
        memset(&ces, 0, sizeof ces);
        for (size_t block = 0; block < MTMI_CES_BLOCKS; block++)
            kernels[n]->mix(lights, level, 3, (struct mtmi_blocks){block, block + 1}, &ces);
        assert_memory_equal(&ces, &whole.ces, sizeof ces);
    }
}

/* The kernels' appearance is that of the model itself, whatever the colour. */
static void test_appearance(void **state)
{
    const mtmi_quality_kernel *kernels[] = {mtmi_quality_best(), &mtmi_quality_portable};
    mtm_viewing viewing = {.white = {95.05, 100, 108.88},
                           .luminance_cd_m2 = 100,
                           .background_y = 20,
                           .discount = true};
    uint64_t random = 15920040;
    mtm_viewer viewer;
    mtmi_ces xyz;

    (void)state;
    assert_int_equal(mtm_viewer_create(MTM_CIECAM02, &viewing, &viewer, NULL), MTM_OK);
    for (size_t i = 0; i < MTMI_CES_PADDED; i++)
        for (size_t k = 0; k < 3; k++)
            xyz.at[k][i] = i < 4 ? 0 : 0.5 * pow(10, -3 + (5 * scattered(&random)));
    for (size_t n = 0; n < COUNT(kernels); n++) {
        mtmi_ces jab, parts;

        kernels[n]->appearance(&viewer, 2, &xyz, MTMI_BLOCKS_ALL, &jab);
        for (size_t block = 0; block < MTMI_CES_BLOCKS; block += 2) {
            size_t last = block + 2 < MTMI_CES_BLOCKS ? block + 2 : MTMI_CES_BLOCKS;
            kernels[n]->appearance(&viewer, 2, &xyz, (struct mtmi_blocks){block, last}, &parts);
        }
        assert_memory_equal(&parts, &jab, sizeof jab);
        for (size_t i = 0; i < MTMI_CES_PADDED; i++) {
            mtm_ucs wanted = mtm_ucs_from_xyz(
                &viewer, (mtm_xyz){2 * xyz.at[0][i], 2 * xyz.at[1][i], 2 * xyz.at[2][i]});

            CHECK_NEAR("J'", jab.at[0][i], wanted.j, 1e-10);
            CHECK_NEAR("a'", jab.at[1][i], wanted.a, 1e-10);
            CHECK_NEAR("b'", jab.at[2][i], wanted.b, 1e-10);
        }
    }
}

/* Rounding does not decide between Planckian and daylight where the one gives way to the other. */
static void test_bounds_of_daylight(void **state)
{
    static const double bounds_k[] = {4000, 5000}; /* SSI; CIE 13.3-1995, 5.2 */

    (void)state;
    for (size_t i = 0; i < COUNT(bounds_k); i++) {
        mtmi_quality_reference at, below, clearly_below;

        assert_int_equal(mtmi_quality_reference_at(mtmi_quality_best(), bounds_k[i], &at, NULL),
                         MTM_OK);
        assert_int_equal(
            mtmi_quality_reference_at(mtmi_quality_best(), bounds_k[i] - 1e-9, &below, NULL),
            MTM_OK);
        assert_int_equal(mtmi_quality_reference_at(mtmi_quality_best(), bounds_k[i] - 1e-3,
                                                   &clearly_below, NULL),
                         MTM_OK);
        assert_memory_equal(at.ssi, below.ssi, sizeof at.ssi);
        assert_memory_equal(at.tcs, below.tcs, sizeof at.tcs);
        assert_true(fabs((i == 0 ? at.ssi[0] - clearly_below.ssi[0]
                                 : at.tcs[0].u - clearly_below.tcs[0].u)) > 1e-4);
    }
}

/* The rules that are told are those that are computed by; bounds as in their standards: CIE
 * 13.3-1995, 5.2; CIE 224:2017; SMPTE ST 2122 as the open library colorSpec for R has it. */
static void test_rules_of_references(void **state)
{
    static const struct {
        double cct_k;
        mtm_reference ra, rf, ssi;
    } rule[] = {
        {2700, MTM_REFERENCE_PLANCK, MTM_REFERENCE_PLANCK, MTM_REFERENCE_PLANCK},
        {3999, MTM_REFERENCE_PLANCK, MTM_REFERENCE_PLANCK, MTM_REFERENCE_PLANCK},
        {4000, MTM_REFERENCE_PLANCK, MTM_REFERENCE_PLANCK, MTM_REFERENCE_DAYLIGHT},
        {4000 + 1e-9, MTM_REFERENCE_PLANCK, MTM_REFERENCE_PLANCK, MTM_REFERENCE_DAYLIGHT},
        {4001, MTM_REFERENCE_PLANCK, MTM_REFERENCE_MIXTURE, MTM_REFERENCE_DAYLIGHT},
        {4999, MTM_REFERENCE_PLANCK, MTM_REFERENCE_MIXTURE, MTM_REFERENCE_DAYLIGHT},
        {5000 - 1e-9, MTM_REFERENCE_DAYLIGHT, MTM_REFERENCE_DAYLIGHT, MTM_REFERENCE_DAYLIGHT},
        {5000, MTM_REFERENCE_DAYLIGHT, MTM_REFERENCE_DAYLIGHT, MTM_REFERENCE_DAYLIGHT},
        {NAN, MTM_REFERENCE_NONE, MTM_REFERENCE_NONE, MTM_REFERENCE_NONE},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rule); i++) {
        assert_int_equal(mtm_ra_reference(rule[i].cct_k), rule[i].ra);
        assert_int_equal(mtm_rf_reference(rule[i].cct_k), rule[i].rf);
        assert_int_equal(mtm_ssi_reference(rule[i].cct_k), rule[i].ssi);
    }
    /* 50 K to either side (common practice, no source), or one on each side */
    assert_false(mtm_ra_jumps(2700, 4949));
    assert_true(mtm_ra_jumps(2700, 4950));
    assert_true(mtm_ra_jumps(5050, 6500));
    assert_false(mtm_ra_jumps(5051, 6500));
    assert_true(mtm_ra_jumps(3000, 6500));
    assert_false(mtm_ra_jumps(NAN, NAN));
}

/* The kernels' Planckian is that of the formula. */
static void test_planck(void **state)
{
    (void)state;
    for (int cct_k = 1000; cct_k <= 25000; cct_k += 500) {
        mtm_spectrum wanted;
        double value[MTM_SPECTRUM_COUNT];

        assert_int_equal(mtm_spectrum_planck(cct_k, &wanted, NULL), MTM_OK);
        mtmi_quality_best()->planck(cct_k, value);
        for (int i = 0; i < MTM_SPECTRUM_COUNT; i++)
            CHECK_NEAR("planck", value[i] / wanted.value[i], 1, 1e-13);
    }
}

/* By definition every reference has 100 throughout. */
static void test_reference(void **state)
{
    static const double cct_k[] = {1200, 2000, 2856, 3500, 3999, 5001, 6500, 9300, 20000};

    (void)state;
    for (size_t i = 0; i < COUNT(cct_k); i++) {
        mtm_spectrum spectrum;
        mtm_quality quality;

        if (cct_k[i] < 4000)
            assert_int_equal(mtm_spectrum_planck(cct_k[i], &spectrum, NULL), MTM_OK);
        else
            assert_int_equal(mtm_spectrum_daylight(cct_k[i], &spectrum, NULL), MTM_OK);
        assert_int_equal(mtm_quality_from_spectrum(&spectrum, &quality, NULL), MTM_OK);
        /* a daylight's nearest temperature is not quite its own, at 20000 K by 30 K */
        double tolerance = cct_k[i] < 4000 ? 1e-6 : cct_k[i] < 10000 ? 0.02 : 0.2;
        CHECK_NEAR("Ra", quality.cri.ra, 100, tolerance);
        CHECK_NEAR("Rf", quality.fidelity.rf, 100, tolerance + 0.0005); /* the softened end */
        CHECK_NEAR("Rg", quality.fidelity.rg, 100, tolerance);
        CHECK_NEAR("SSI", quality.ssi, 100, 10 * tolerance);
        assert_false(quality.cri.far);
    }
}

/* Every sample is in one bin, whatever the reference; shifts of a far white are still finite. */
static void test_bins(void **state)
{
    (void)state;
    for (int step = 0; step < 66; step++) {
        double cct_k = 1000 * pow(1.05, step);
        mtmi_quality_reference reference;
        size_t sum = 0;

        assert_int_equal(mtmi_quality_reference_at(mtmi_quality_best(), cct_k, &reference, NULL),
                         MTM_OK);
        for (size_t i = 0; i < MTM_HUE_BINS; i++)
            sum += reference.bin_count[i];
        assert_int_equal(sum, MTM_CES_COUNT);
        for (size_t i = 0; i < MTM_CES_COUNT; i++) {
            double hue = atan2(reference.jab.at[2][i], reference.jab.at[1][i]) * 180 /
                         3.14159265358979323846;

            assert_int_equal((int)floor((hue < 0 ? hue + 360 : hue) / 22.5), reference.bin[i]);
        }
        assert_true(reference.area > 0);
    }
}

/* Light adds: a mixture of prepared lights is the light of the mixed spectrum. */
static void test_mix(void **state)
{
    uint64_t random = 20201;
    mtm_spectrum sum = {{0}};
    mtmi_quality_light part[3];
    const mtmi_quality_light *parts[3] = {&part[0], &part[1], &part[2]};
    double level[3] = {0.2, 1, 0.7};
    mtmi_quality_light mixed;
    mtmi_quality_light whole;

    (void)state;
    for (int e = 0; e < 3; e++) {
        mtm_spectrum spectrum;

        random_mixture(&random, &spectrum);
        mtmi_quality_light_from_spectrum(mtmi_quality_best(), &spectrum, &part[e]);
        for (int i = 0; i < MTM_SPECTRUM_COUNT; i++)
            sum.value[i] += level[e] * spectrum.value[i];
    }
    mtmi_quality_light_mix(parts, level, 3, &mixed);
    mtmi_quality_light_from_spectrum(mtmi_quality_best(), &sum, &whole);
    for (size_t k = 0; k < 3; k++) {
        CHECK_NEAR("xyz", mixed.xyz[k] / whole.xyz[k], 1, 1e-12);
        for (size_t i = 0; i <= MTMI_CES_WHITE; i++)
            CHECK_NEAR("ces", mixed.ces.at[k][i] / whole.ces.at[k][i], 1, 1e-12);
        for (size_t i = 0; i <= MTMI_TCS_WHITE; i++)
            CHECK_NEAR("tcs", mixed.tcs.at[k][i] / whole.tcs.at[k][i], 1, 1e-12);
    }
    mtm_quality quality;
    mtmi_quality_reference reference;
    assert_int_equal(mtmi_quality_from_light(mtmi_quality_best(), &mixed, &quality, NULL), MTM_OK);
    assert_int_equal(
        mtmi_quality_reference_at(mtmi_quality_best(), quality.white.cct_k, &reference, NULL),
        MTM_OK);
    CHECK_NEAR("Rf", mtmi_rf_from_light(mtmi_quality_best(), &mixed, &reference),
               quality.fidelity.rf, 1e-12);
}

/* Nothing depends on the unit of the spectrum; the calls for one index give what the whole gives.
 */
static void test_separate_calls(void **state)
{
    mtm_spectrum spectrum = *mtm_spectrum_set_at(mixtures, 2);
    mtm_spectrum planck;
    mtm_quality whole;
    mtm_quality scaled;
    mtm_cri cri;
    mtm_fidelity fidelity;
    double ssi = 0;

    (void)state;
    assert_int_equal(mtm_quality_from_spectrum(&spectrum, &whole, NULL), MTM_OK);
    assert_int_equal(mtm_cri_from_spectrum(&spectrum, &cri, NULL), MTM_OK);
    assert_int_equal(mtm_fidelity_from_spectrum(&spectrum, &fidelity, NULL), MTM_OK);
    assert_int_equal(mtm_ssi_from_spectrum(&spectrum, NULL, &ssi, NULL), MTM_OK);
    CHECK_NEAR("Ra", cri.ra, whole.cri.ra, 0);
    CHECK_NEAR("Rf", fidelity.rf, whole.fidelity.rf, 0);
    CHECK_NEAR("SSI", ssi, whole.ssi, 0);
    assert_int_equal(mtm_ssi_from_spectrum(&spectrum, &spectrum, &ssi, NULL), MTM_OK);
    CHECK_NEAR("SSI to itself", ssi, 100, 1e-12);
    assert_int_equal(mtm_spectrum_planck(3200, &planck, NULL), MTM_OK);
    assert_int_equal(mtm_ssi_from_spectrum(&spectrum, &planck, &ssi, NULL), MTM_OK);
    CHECK_NEAR("SSI[P3200]", ssi, plain_ssi(&spectrum, &planck), 1e-10);
    for (int i = 0; i < MTM_SPECTRUM_COUNT; i++)
        spectrum.value[i] *= 1e-9;
    assert_int_equal(mtm_quality_from_spectrum(&spectrum, &scaled, NULL), MTM_OK);
    check_same_quality(&scaled, &whole, 1e-9);
}

static void test_refused(void **state)
{
    mtm_spectrum dark = {{0}};
    mtm_spectrum broken = {{0}};
    mtm_spectrum red;
    mtm_spectrum violet = {{0}};
    mtm_quality quality = {.ssi = -1};
    mtm_cri cri = {.ra = -1};
    mtm_fidelity fidelity = {.rf = -1};
    mtm_error error = {""};
    double ssi = -1;

    (void)state;
    broken.value[0] = INFINITY;
    violet.value[0] = 1; /* 360 nm only */
    assert_int_equal(mtm_spectrum_led(640, 18, &red, NULL), MTM_OK);
    assert_int_equal(mtm_quality_from_spectrum(NULL, &quality, &error), MTM_INVALID);
    assert_int_equal(mtm_quality_from_spectrum(&red, NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_quality_from_spectrum(&broken, &quality, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "360 nm");
    assert_int_equal(mtm_quality_from_spectrum(&dark, &quality, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "no light");
    assert_int_equal(mtm_quality_from_spectrum(&violet, &quality, &error), MTM_RANGE);
    assert_int_equal(mtm_quality_from_spectrum(&red, &quality, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "Planckian");
    assert_int_equal(mtm_cri_from_spectrum(&red, &cri, &error), MTM_RANGE);
    assert_int_equal(mtm_cri_from_spectrum(&red, NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_fidelity_from_spectrum(&red, &fidelity, &error), MTM_RANGE);
    assert_int_equal(mtm_fidelity_from_spectrum(&red, NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_ssi_from_spectrum(&red, NULL, &ssi, &error), MTM_RANGE);
    assert_int_equal(mtm_ssi_from_spectrum(&red, &red, NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_ssi_from_spectrum(&dark, &red, &ssi, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "test spectrum");
    assert_int_equal(mtm_ssi_from_spectrum(&red, &violet, &ssi, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "reference spectrum");
    assert_int_equal(mtm_ssi_from_spectrum(&red, &broken, &ssi, &error), MTM_INVALID);
    assert_true(quality.ssi == -1 && cri.ra == -1 && fidelity.rf == -1 && ssi == -1);
}

static int load_mixtures(void **state)
{
    char path[1024];
    mtm_error error = {""};

    (void)state;
    (void)snprintf(path, sizeof path, "%s/led-mixtures.csv", getenv("METAMER_TEST_DATA"));
    if (mtm_spectrum_set_load(path, MTM_ENDS_ZERO, &mixtures, &error) != MTM_OK) {
        print_error("%s\n", error.text);
        return -1;
    }
    return 0;
}

static int free_mixtures(void **state)
{
    (void)state;
    mtm_spectrum_set_free(mixtures);
    return 0;
}

static const struct CMUnitTest single_tests[] = {
    cmocka_unit_test(test_plain),
    cmocka_unit_test(test_references),
    cmocka_unit_test(test_twins),
    cmocka_unit_test(test_bounds_of_daylight),
    cmocka_unit_test(test_mix_of_samples),
    cmocka_unit_test(test_appearance),
    cmocka_unit_test(test_planck),
    cmocka_unit_test(test_reference),
    cmocka_unit_test(test_bins),
    cmocka_unit_test(test_mix),
    cmocka_unit_test(test_separate_calls),
    cmocka_unit_test(test_refused),
    cmocka_unit_test(test_rules_of_references),
};

int main(void)
{
    static struct CMUnitTest tests[COUNT(mixture_rows) + COUNT(single_tests)];

    ROW_TESTS(tests, mixture_rows, test_mixture);
    memcpy(tests + COUNT(mixture_rows), single_tests, sizeof single_tests);
    return cmocka_run_group_tests_name("quality", tests, load_mixtures, free_mixtures);
}
