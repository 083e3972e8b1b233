/* SPDX-License-Identifier: MIT */
/* Quality body: the kernel's loops, compiled once for every processor and once for AVX2.
 * The includer defines KERNEL (attributes of each function), struct nodes and block_sums. Loops
 * hold no branch and no call that is not inlined, so that a compiler can work on several samples at
 * once; the twins round alike, to the last bit. */
#include "colour/radiator.h"
#include "quality/kernel.h"

#include <string.h>

/* Smallest argument of a logarithm or power; black comes out as nothing all the same. */
#define FLOOR 1e-150

/* sum + a b, each rounded: not every processor can fuse them. */
KERNEL static inline double add_product(double sum, double a, double b)
{
    return sum + (a * b);
}

KERNEL static inline double from_bits(uint64_t bits)
{
    double value;

    memcpy(&value, &bits, sizeof value);
    return value;
}

KERNEL static inline uint64_t to_bits(double value)
{
    uint64_t bits;

    memcpy(&bits, &value, sizeof bits);
    return bits;
}

/* e^x for |x| < 700 to 2 units of the last place: x = k ln 2 + r, Taylor's series for r. */
KERNEL static inline double exp_plain(double x)
{
    const double round = 6755399441055744.0; /* 1.5 * 2^52: adding it rounds to whole numbers */
    double shifted = add_product(round, x, 1.4426950408889634);
    double k = shifted - round;
    double r =
        add_product(add_product(x, k, -6.93147180369123816490e-01), k, -1.90821492927058770002e-10);
    double r2 = r * r;
    double r4 = r2 * r2;
    double low = add_product(1 + r, r2, add_product(0.5, r, 1.0 / 6));
    double middle =
        add_product(add_product(1.0 / 24, r, 1.0 / 120), r2, add_product(1.0 / 720, r, 1.0 / 5040));
    double high = add_product(add_product(1.0 / 40320, r, 1.0 / 362880), r2,
                              add_product(1.0 / 3628800, r, 1.0 / 39916800));
    double tail = add_product(1.0 / 479001600, r, 1.0 / 6227020800);
    double sum = add_product(low, r4, add_product(middle, r4, add_product(high, r4, tail)));

    /* the low bits of shifted hold k; shifted up they add to the exponent */
    return sum * from_bits((to_bits(shifted) << 52) + 0x3ff0000000000000U);
}

/* ln x for normal x > 0 to 2 units of the last place: x = 2^k m, m within sqrt(1/2)..sqrt(2);
 * ln m = 2 atanh((m - 1) / (m + 1)), with the minimax series of the freely distributable libm (Sun
 * Microsystems, 1993). */
KERNEL static inline double log_plain(double x)
{
    uint64_t bits = to_bits(x);
    uint64_t biased = (bits - 0x3fe6a09e667f3bcdU + 0x3ff0000000000000U) >> 52; /* k + 1023 */
    double k = from_bits(biased | 0x4330000000000000U) - (4503599627370496.0 + 1023);
    double f = from_bits(bits - ((biased - 1023) << 52)) - 1;
    double s = f / (2 + f);
    double z = s * s;
    double w = z * z;
    double even =
        w * add_product(3.999999999940941908e-01, w,
                        add_product(2.222219843214978396e-01, w, 1.531383769920937332e-01));
    double odd = add_product(1.818357216161805012e-01, w, 1.479819860511658591e-01);
    double half = 0.5 * f * f;

    odd = add_product(2.857142874366239149e-01, w, odd);
    odd = z * add_product(6.666666666666735130e-01, w, odd);
    double rest = add_product(k * 1.90821492927058770002e-10, s, half + even + odd);
    return add_product(f - (half - rest), k, 6.93147180369123816490e-01);
}

KERNEL static inline double magnitude(double value)
{
    return from_bits(to_bits(value) & 0x7fffffffffffffffU);
}

KERNEL static inline double with_sign_of(double size, double sign)
{
    return from_bits(to_bits(size) | (to_bits(sign) & 0x8000000000000000U));
}

/* value where it is above zero, nothing elsewhere; a comparison would be a branch. */
KERNEL static inline double above_zero(double value)
{
    return (0.5 * (value + magnitude(value))) + FLOOR;
}

/* Room before and behind the nodes for Sprague's reach. */
#define REACH 4
#define ROOM (REACH + MTMI_NODES_PADDED + REACH)

/* A spectrum by phase. */
struct phased {
    double at[MTMI_PHASES][MTMI_NODES_PADDED];
};

/* Sums of spectrum times one observer function times the interpolation's weight, by node. */
KERNEL static void node_sums(const struct phased *value,
                             const double observer[MTMI_PHASES][MTMI_NODES_PADDED],
                             double sum[MTMI_NODES_PADDED])
{
    double product[ROOM] = {0};

    for (size_t node = 0; node < MTMI_NODES_PADDED; node++)
        sum[node] = value->at[0][node] * observer[0][node]; /* phase 0 lies on the nodes */
    for (size_t phase = 1; phase < MTMI_PHASES; phase++) {
        const double *w = mtmi_quality_sprague[phase];

        for (size_t node = 0; node < MTMI_NODES_PADDED; node++)
            product[REACH + node] = value->at[phase][node] * observer[phase][node];
        for (size_t node = 0; node < MTMI_NODES_PADDED; node++) {
            const double *p = &product[REACH + node];

            double fore = add_product(add_product(w[0] * p[2], w[1], p[1]), w[2], p[0]);
            double back = add_product(add_product(w[3] * p[-1], w[4], p[-2]), w[5], p[-3]);

            sum[node] += fore + back;
        }
    }
}

KERNEL static void ssi_sums(const double value[MTM_SPECTRUM_COUNT], double bin[MTMI_SSI_BINS])
{
    for (size_t b = 0; b < MTMI_SSI_BINS; b++) {
        const double *v = &value[375 - MTM_SPECTRUM_FIRST_NM + (10 * b)];
        double sum = 0.5 * (v[0] + v[10]);

        for (size_t k = 1; k < 10; k++)
            sum += v[k];
        bin[b] = sum;
    }
}

KERNEL static void kernel_sums(const double value[MTM_SPECTRUM_COUNT], mtmi_quality_light *light)
{
    struct phased phased = {{{0}}};
    struct nodes node;

    for (size_t i = 0; i < MTMI_NODES; i++)
        for (size_t phase = 0; phase < MTMI_PHASES; phase++)
            phased.at[phase][i] =
                value[MTMI_NODE_FIRST_NM - MTM_SPECTRUM_FIRST_NM + (MTMI_PHASES * i) + phase];
    for (size_t k = 0; k < 3; k++)
        node_sums(&phased, mtmi_quality_observer[MTM_OBSERVER_10][k], node.at[k]);
    for (size_t b = 0; b < MTMI_CES_BLOCKS; b++)
        block_sums(&node, mtmi_quality_ces[b], &light->ces.at[0][MTMI_BLOCK * b],
                   &light->ces.at[1][MTMI_BLOCK * b], &light->ces.at[2][MTMI_BLOCK * b]);
    for (size_t k = 0; k < 3; k++)
        node_sums(&phased, mtmi_quality_observer[MTM_OBSERVER_2][k], node.at[k]);
    for (size_t b = 0; b < MTMI_TCS_BLOCKS; b++)
        block_sums(&node, mtmi_quality_tcs[b], &light->tcs.at[0][MTMI_BLOCK * b],
                   &light->tcs.at[1][MTMI_BLOCK * b], &light->tcs.at[2][MTMI_BLOCK * b]);
    ssi_sums(value, light->ssi);
}

KERNEL static void kernel_planck(double cct_k, double value[MTM_SPECTRUM_COUNT])
{
    double at_normal = exp_plain(MTMI_C2_NM_K / (560 * cct_k)) - 1;

    for (int i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        double inverse = 1 / (double)(MTM_SPECTRUM_FIRST_NM + i);
        double ratio = 560 * inverse;
        double square = ratio * ratio;

        value[i] =
            ratio * square * square * at_normal / (exp_plain((MTMI_C2_NM_K / cct_k) * inverse) - 1);
    }
}

KERNEL static void kernel_mix(const mtmi_quality_light *const *lights, const double *level,
                              size_t count, struct mtmi_blocks blocks, mtmi_ces *out)
{
    for (size_t n = blocks.first * MTMI_BLOCK; n < blocks.last * MTMI_BLOCK; n += MTMI_BLOCK)
        for (size_t k = 0; k < 3; k++) {
            double sum[MTMI_BLOCK] = {0};

            for (size_t i = 0; i < count; i++)
                for (size_t j = 0; j < MTMI_BLOCK; j++)
                    sum[j] = add_product(sum[j], level[i], lights[i]->ces.at[k][n + j]);
            memcpy(&out->at[k][n], sum, sizeof sum);
        }
}

/* Signed compressed response of a cone (CIE 159:2004): 400 s / (s + 27.13), s = (fl |q| / 100)^.42
 */
KERNEL static inline double respond(double fl, double cone)
{
    double s = exp_plain(0.42 * log_plain((fl * 0.01 * magnitude(cone)) + FLOOR));

    return with_sign_of(400 * s / (s + 27.13), cone);
}

/* CAT02, the viewer's gains, then Hunt-Pointer-Estevez; see appearance.c, whose twin this is. */
KERNEL static void cone_responses(const mtm_viewer *viewer, double scale, const mtmi_ces *xyz,
                                  struct mtmi_blocks blocks, mtmi_ces *out)
{
    double red = viewer->gain[0] * scale;
    double green = viewer->gain[1] * scale;
    double blue = viewer->gain[2] * scale;
    double fl = viewer->fl;

    for (size_t i = blocks.first * MTMI_BLOCK; i < blocks.last * MTMI_BLOCK; i++) {
        double x = xyz->at[0][i];
        double y = xyz->at[1][i];
        double z = xyz->at[2][i];
        double r = red * ((0.7328 * x) + (0.4296 * y) - (0.1624 * z));
        double g = green * ((-0.7036 * x) + (1.6975 * y) + (0.0061 * z));
        double b = blue * ((0.0030 * x) + (0.0136 * y) + (0.9834 * z));

        out->at[0][i] = respond(fl, (0.7409790970135308 * r) + (0.2180251556757356 * g) +
                                        (0.0410057473107336 * b));
        out->at[1][i] = respond(fl, (0.2853532916858801 * r) + (0.6242015741188158 * g) +
                                        (0.0904451341953042 * b));
        out->at[2][i] = respond(fl, (-0.0096276087384294 * r) - (0.0056980312161134 * g) +
                                        (1.0153256399545427 * b));
    }
}

/* What of the model does not depend on the sample. */
struct constants {
    double nbb, aw, cz, t_factor, m_factor;
};

KERNEL static struct constants constants_of(const mtm_viewer *v)
{
    return (struct constants){
        .nbb = v->nbb,
        .aw = v->aw,
        .cz = v->c * v->z,
        .t_factor = 50000.0 / 13 * v->nc * v->nbb,
        .m_factor = exp_plain(0.73 * log_plain(1.64 - exp_plain(v->n * log_plain(0.29)))) *
                    exp_plain(0.25 * log_plain(v->fl)),
    };
}

KERNEL static void kernel_appearance(const mtm_viewer *viewer, double scale, const mtmi_ces *xyz,
                                     struct mtmi_blocks blocks, mtmi_ces *jab)
{
    const double cos_2 = -0.41614683654714241; /* of 2 radians, for the eccentricity */
    const double sin_2 = 0.90929742682568171;
    struct constants m = constants_of(viewer);
    mtmi_ces response;

    cone_responses(viewer, scale, xyz, blocks, &response);
    for (size_t i = blocks.first * MTMI_BLOCK; i < blocks.last * MTMI_BLOCK; i++) {
        double r = response.at[0][i];
        double g = response.at[1][i];
        double s = response.at[2][i];
        double a = r - (g * (12.0 / 11)) + (s * (1.0 / 11));
        double b = (r + g - (2 * s)) * (1.0 / 9);
        double achromatic = ((2 * r) + g + (s * 0.05)) * m.nbb;
        double log_length = 0.5 * log_plain((a * a) + (b * b) + FLOOR);
        double inverse = exp_plain(-log_length);
        double eccentricity = ((((a * cos_2) - (b * sin_2)) * inverse) + 3.8) * 0.25;
        double t = m.t_factor * eccentricity / (r + g + (1.05 * s) + 0.305);
        double log_light = m.cz * log_plain(above_zero(achromatic / m.aw)); /* of J / 100 */
        double j = 100 * exp_plain(log_light);
        double colourful = m.m_factor * exp_plain((0.9 * (log_plain(above_zero(t)) + log_length)) +
                                                  (0.5 * log_light));
        double length = log_plain(1 + (0.0228 * colourful)) * (inverse / 0.0228);

        jab->at[0][i] = 1.7 * j / (1 + (0.007 * j));
        jab->at[1][i] = a * length;
        jab->at[2][i] = b * length;
    }
}
