/* SPDX-License-Identifier: MIT */
/* Choice of codes. Each rounded alone, the channels of a unit step one after the other, and its
 * colour with them. So the codes below and above each channel's position are tried in all
 * combinations; behind each code of the dimmer that is tried, the emitters make up for what it is
 * off, and its steps are not seen. */
#include "fade/choose.h"

#include "base/number.h"

#include <math.h>
#include <string.h>

/* Most channels that are tried both ways; those beyond go to the nearest code. */
#define FREE_MAX 8
/* Levels that change by less from frame to frame stand still. */
#define STILL 1e-12

/* What a unit may send behind one code of its dimmer: of each emitter the lower and, where that is
 * free, the upper code. */
struct choice {
    const mtmi_kind *kind;
    double light; /* of the dimmer */
    uint32_t code[2][MTM_EMITTERS_MAX];
    size_t free_count;
    size_t free[FREE_MAX];
    double more[FREE_MAX][3]; /* X, Y, Z that the upper code adds */
    double base[3];           /* X, Y, Z of the lower codes */
    struct mtmi_cost_basis basis;
    bool has_before;
    struct mtmi_off before; /* of what was sent a frame ago, from what was wanted then */
};

void mtmi_limit_direction(double direction, uint32_t before, uint32_t *low, uint32_t *high)
{
    if (fabs(direction) <= STILL)
        direction = 0;
    if (direction >= 0 && before > *low)
        *low = before < *high ? before : *high;
    if (direction <= 0 && before < *high)
        *high = before > *low ? before : *low;
}

uint32_t mtmi_codes_about(const mtmi_kind *kind, size_t channel, double level, double same,
                          uint32_t *low, uint32_t *high)
{
    const double *light = kind->light[channel];
    uint32_t at = level > same ? mtmi_code_table_at(kind->codes[channel], level) : 0;
    uint32_t nearest = (uint32_t)((at + MTMI_HALF_CODE) >> 16);

    *low = (uint32_t)(at >> 16);
    *high = (at & 0xffff) != 0 ? (uint32_t)(*low + 1) : *low;
    if (light != NULL && fabs(level - light[nearest]) <= same)
        *low = *high = nearest;
    return at;
}

/* 16 bits are as good as exact, as far as the dimmer lets them. */
static double light_of(const struct choice *choice, size_t emitter, uint32_t code, double exact)
{
    const double *light = choice->kind->light[emitter];

    return light != NULL ? choice->light * light[code] : fmin(exact, choice->light);
}

/* The code of a channel of more than 8 bits that is nearest to a level. */
static uint32_t nearest_code(const mtmi_kind *kind, size_t channel, double level)
{
    if (kind->careful[channel])
        return mtmi_code_near(kind, channel, mtmi_code_for(kind, channel, level));
    return (mtmi_code_table_at(kind->codes[channel], level) + MTMI_HALF_CODE) >> 16;
}

/* Finds the codes of an emitter; bound: it may not go back. */
static void add_emitter(struct choice *choice, const mtmi_wish *wish, size_t i, bool bound)
{
    const mtmi_kind *kind = choice->kind;
    uint32_t low = 0;
    uint32_t high = 0;
    double same = mtmi_same_behind(choice->light);
    uint32_t at = mtmi_codes_about(kind, i, wish->level[i] / choice->light, same, &low, &high);
    bool wide = kind->light[i] == NULL;

    if (bound && !wide)
        mtmi_limit_direction(wish->direction[i], wish->before[i], &low, &high);
    if (wide && kind->careful[i])
        low = high = nearest_code(kind, i, wish->level[i] / choice->light);
    if (low != high && (wide || choice->free_count == FREE_MAX))
        low = high = (at + MTMI_HALF_CODE) >> 16;
    double lower = light_of(choice, i, low, wish->level[i]);
    double upper = light_of(choice, i, high, wish->level[i]);
    for (size_t k = 0; k < 3; k++)
        choice->base[k] += lower * kind->emitters.xyz[k][i];
    choice->code[0][i] = low;
    choice->code[1][i] = high;
    if (low == high)
        return;
    for (size_t k = 0; k < 3; k++)
        choice->more[choice->free_count][k] = (upper - lower) * kind->emitters.xyz[k][i];
    choice->free[choice->free_count++] = i;
}

static double jump_between(struct mtmi_off a, struct mtmi_off b)
{
    return mtmi_off_squared((struct mtmi_off){a.u - b.u, a.v - b.v, a.output - b.output});
}

/* How far a light is from what is wanted, in squared steps, and how far it steps from what was sent
 * before, other than the transition does: two small steps are better than one that comes later. */
static double cost_of(const struct choice *choice, const double *xyz)
{
    struct mtmi_sums light = mtmi_sums_of((mtm_xyz){xyz[0], xyz[1], xyz[2]}, 0);

    if (mtmi_is_black(&choice->basis, light))
        return MTMI_COST_BLACK;
    struct mtmi_off off = mtmi_off_by(&choice->basis, light);
    return mtmi_off_squared(off) + (choice->has_before ? jump_between(off, choice->before) : 0);
}

/* How far codes behind a level of the dimmer are off levels; false where one of the two is dark. */
static bool find_off(const mtmi_kind *kind, const mtm_codes *codes, double dimmer,
                     const double *wanted_level, struct mtmi_off *off)
{
    const size_t at = kind->emitters.count;
    double level[MTM_EMITTERS_MAX] = {0};

    for (size_t i = 0; i < at; i++)
        level[i] = dimmer * (kind->light[i] != NULL ? kind->light[i][codes->emitter[i]]
                                                    : mtmi_level_of(kind, i, codes->emitter[i]));
    mtm_xyz sent = mtmi_mix_xyz(&kind->emitters, level);
    mtm_xyz wanted = mtmi_mix_xyz(&kind->emitters, wanted_level);
    if (!(sent.y > 0 && wanted.y > 0))
        return false;
    struct mtmi_cost_basis basis = mtmi_cost_basis_of(mtmi_sums_of(wanted, 0), INFINITY);
    *off = mtmi_off_by(&basis, mtmi_sums_of(sent, 0));
    return true;
}

/* Finds how far off the unit was a frame ago. */
static void find_before(struct choice *choice, const mtmi_wish *wish)
{
    const mtmi_kind *kind = choice->kind;
    mtm_codes before = {0};

    for (size_t i = 0; i < kind->channel_count && wish->before != NULL; i++)
        mtmi_codes_set_channel(kind, &before, i, wish->before[i]);
    double dimmer =
        wish->guided ? mtmi_level_of(kind, kind->emitters.count, before.dimmer) : wish->last_dimmer;
    choice->has_before =
        wish->before != NULL && find_off(kind, &before, dimmer, wish->last, &choice->before);
}

/* The best combination: which of the free ones are up. Each differs from the one tried before in
 * one emitter (Gray's code), so that its light takes three additions. */
static unsigned find_best(const struct choice *choice, double *least)
{
    double xyz[3] = {choice->base[0], choice->base[1], choice->base[2]};
    unsigned best = 0;
    unsigned up = 0;

    *least = cost_of(choice, xyz);
    for (unsigned i = 1; i < 1u << choice->free_count; i++) {
        size_t turned = 0;
        while ((i >> turned & 1) == 0)
            turned++;
        up ^= 1u << turned;
        double sign = (up >> turned & 1) != 0 ? 1 : -1;
        for (size_t k = 0; k < 3; k++)
            xyz[k] += sign * choice->more[turned][k];
        double cost = cost_of(choice, xyz);
        if (mtmi_exceeds(*least, cost)) {
            *least = cost;
            best = up;
        }
    }
    return best;
}

/* Chooses the emitters' codes behind light of the dimmer, and tells what they cost. */
static double choose_emitters(struct choice *choice, const mtmi_wish *wish, bool bound,
                              uint32_t *code)
{
    double least = 0;

    choice->free_count = 0;
    memset(choice->base, 0, sizeof choice->base);
    for (size_t i = 0; i < choice->kind->emitters.count; i++)
        add_emitter(choice, wish, i, bound);
    unsigned best = find_best(choice, &least);
    memcpy(code, choice->code[0], choice->kind->emitters.count * sizeof *code);
    for (size_t i = 0; i < choice->free_count; i++)
        if ((best >> i & 1) != 0)
            code[choice->free[i]] = choice->code[1][choice->free[i]];
    return least;
}

/* Behind a dimmer that is shut the emitters wait where they would be behind its position. */
static double wait_in_the_dark(struct choice *choice, const mtmi_wish *wish, uint32_t *code)
{
    double none[3] = {0, 0, 0};

    choice->light = wish->dimmer;
    (void)choose_emitters(choice, wish, wish->before != NULL, code);
    return cost_of(choice, none);
}

/* Tries the codes of an 8-bit dimmer about its position. */
static void choose_dimmer(struct choice *choice, const mtmi_wish *wish, uint32_t *code)
{
    const mtmi_kind *kind = choice->kind;
    const size_t at = kind->emitters.count;
    double least = INFINITY;
    uint32_t low = 0;
    uint32_t high = 0;

    (void)mtmi_codes_about(kind, at, wish->dimmer, MTMI_SAME_LEVEL, &low, &high);
    if (wish->before != NULL)
        mtmi_limit_direction(wish->direction[at], wish->before[at], &low, &high);
    for (uint32_t dimmer = low; dimmer <= high; dimmer++) {
        uint32_t tried[MTMI_CHANNELS_MAX] = {0};
        bool stays = wish->before != NULL && wish->before[at] == dimmer;

        choice->light = kind->light[at][dimmer];
        double cost = choice->light > 0 ? choose_emitters(choice, wish, stays, tried)
                                        : wait_in_the_dark(choice, wish, tried);
        if (mtmi_exceeds(least, cost)) {
            least = cost;
            tried[at] = dimmer;
            memcpy(code, tried, kind->channel_count * sizeof *code);
        }
    }
}

static void choose(const mtmi_kind *kind, const mtmi_wish *wish, uint32_t *code)
{
    struct choice choice = {.kind = kind, .light = wish->dimmer};
    mtm_xyz wanted = mtmi_mix_xyz(&kind->emitters, wish->level);
    const size_t at = kind->emitters.count;

    if (!(wanted.y > 0) || !(wish->dimmer > 0)) {
        for (size_t i = 0; i < kind->channel_count; i++)
            code[i] = wish->before != NULL && i < at && kind->has_dimmer ? wish->before[i] : 0;
        return;
    }
    /* in the unit of the emitters: the full light is 1 */
    double scale = 1 / kind->emitters.full_y;
    choice.basis = mtmi_cost_basis_of(
        mtmi_sums_of((mtm_xyz){scale * wanted.x, scale * wanted.y, scale * wanted.z}, 0), INFINITY);
    find_before(&choice, wish);
    if (wish->guided) {
        choose_dimmer(&choice, wish, code);
        return;
    }
    (void)choose_emitters(&choice, wish, wish->before != NULL, code);
    if (kind->has_dimmer)
        code[at] = nearest_code(kind, at, wish->dimmer);
}

void mtmi_choose_codes(const mtmi_kind *kind, const mtmi_wish *wish, uint32_t *code)
{
    choose(kind, wish, code);
    for (size_t i = 0; i < kind->channel_count; i++)
        if (kind->careful[i])
            code[i] = mtmi_table_allowed(&kind->table[i], code[i]);
}
