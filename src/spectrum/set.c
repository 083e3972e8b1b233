/* SPDX-License-Identifier: MIT */
/* Spectrum set: storage, and what must hold for every spectrum of a file. */
#include "spectrum/set.h"

#include "base/error.h"
#include "base/grow.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define VISIBLE_FIRST_NM 380.0
#define VISIBLE_LAST_NM 780.0
/* A filter or surface must be known over what matters to the eye; a line of light need not. */
#define NEEDED_FIRST_NM 400.0
#define NEEDED_LAST_NM 700.0
#define MICROMETRES_BELOW 10.0
#define NAME_LENGTH_MAX 200

struct member {
    char *name;
    mtm_quantity quantity;
    double first_nm, last_nm;
    double spacing_nm;
    double least, most;              /* of the samples */
    mtm_spectrum spectrum, straight; /* by polynomials, and by straight lines */
};

struct mtm_spectrum_set {
    struct member *member;
    size_t count, capacity;
};

mtm_spectrum_set *mtmi_spectrum_set_create(void)
{
    return calloc(1, sizeof(mtm_spectrum_set));
}

void mtm_spectrum_set_free(mtm_spectrum_set *set)
{
    if (set == NULL)
        return;
    for (size_t i = 0; i < set->count; i++)
        free(set->member[i].name);
    free(set->member);
    free(set);
}

size_t mtm_spectrum_set_count(const mtm_spectrum_set *set)
{
    return set != NULL ? set->count : 0;
}

const mtm_spectrum *mtm_spectrum_set_at(const mtm_spectrum_set *set, size_t index)
{
    return set != NULL && index < set->count ? &set->member[index].spectrum : NULL;
}

const mtm_spectrum *mtm_spectrum_set_straight(const mtm_spectrum_set *set, size_t index)
{
    return set != NULL && index < set->count ? &set->member[index].straight : NULL;
}

double mtm_spectrum_set_spacing_nm(const mtm_spectrum_set *set, size_t index)
{
    return set != NULL && index < set->count ? set->member[index].spacing_nm : NAN;
}

const char *mtm_spectrum_set_name(const mtm_spectrum_set *set, size_t index)
{
    return set != NULL && index < set->count ? set->member[index].name : NULL;
}

mtm_quantity mtm_spectrum_set_quantity(const mtm_spectrum_set *set, size_t index)
{
    return set != NULL && index < set->count ? set->member[index].quantity : MTM_QUANTITY_UNSTATED;
}

void mtm_spectrum_set_range(const mtm_spectrum_set *set, size_t index, double *first_nm,
                            double *last_nm)
{
    if (set == NULL || first_nm == NULL || last_nm == NULL || index >= set->count)
        return;
    *first_nm = set->member[index].first_nm;
    *last_nm = set->member[index].last_nm;
}

void mtm_spectrum_set_extremes(const mtm_spectrum_set *set, size_t index, double *least,
                               double *most)
{
    if (set == NULL || least == NULL || most == NULL || index >= set->count)
        return;
    *least = set->member[index].least;
    *most = set->member[index].most;
}

static char *clean_name(const char *name)
{
    char *clean = malloc(NAME_LENGTH_MAX + 1);
    size_t used = 0;

    if (clean == NULL)
        return NULL;
    for (const char *at = name; *at != '\0' && used + 4 <= NAME_LENGTH_MAX;) {
        size_t length = mtmi_utf8_length(at);

        if (length == 0 || (unsigned char)*at < 0x20 || *at == 0x7f) {
            clean[used++] = '?';
            at++;
            continue;
        }
        memcpy(clean + used, at, length);
        used += length;
        at += length;
    }
    clean[used] = '\0';
    return clean;
}

void mtmi_name_from_file(const char *file, char *name, size_t room)
{
    const char *slash = strrchr(file, '/');
    const char *base = slash == NULL ? file : slash + 1;
    const char *dot = strrchr(base, '.');
    size_t length = dot == NULL || dot == base ? strlen(base) : (size_t)(dot - base);

    (void)snprintf(name, room, "%.*s", (int)(length < room ? length : room - 1), base);
}

static mtm_result check_order(const char *where, const double *nm, size_t count, mtm_error *error)
{
    for (size_t i = 1; i < count; i++) {
        if (nm[i] == nm[i - 1])
            return mtmi_fail(error, MTM_PARSE, "%s: wavelength %g nm stands there twice", where,
                             nm[i]);
        if (!(nm[i] > nm[i - 1]))
            return mtmi_fail(error, MTM_PARSE,
                             "%s: wavelength %g nm follows %g nm; wavelengths must rise", where,
                             nm[i], nm[i - 1]);
    }
    return MTM_OK;
}

static mtm_result check_range(const char *where, double first_nm, double last_nm, mtm_ends ends,
                              mtm_error *error)
{
    if (first_nm <= 0)
        return mtmi_fail(error, MTM_PARSE, "%s: wavelength %g nm; it must be above 0", where,
                         first_nm);
    if (last_nm < MICROMETRES_BELOW)
        return mtmi_fail(error, MTM_PARSE,
                         "%s: wavelengths run from %g to %g, which looks like micrometres; "
                         "nanometres are wanted",
                         where, first_nm, last_nm);
    if (last_nm < VISIBLE_FIRST_NM || first_nm > VISIBLE_LAST_NM)
        return mtmi_fail(error, MTM_PARSE,
                         "%s: wavelengths run from %g to %g nm and miss the visible range "
                         "(380..780 nm)",
                         where, first_nm, last_nm);
    if (ends == MTM_ENDS_HOLD && (first_nm > NEEDED_FIRST_NM || last_nm < NEEDED_LAST_NM))
        return mtmi_fail(error, MTM_PARSE,
                         "%s: wavelengths run from %g to %g nm; a transmittance or reflectance "
                         "must reach from 400 to 700 nm",
                         where, first_nm, last_nm);
    return MTM_OK;
}

static mtm_result make_room(mtm_spectrum_set *set, const char *where, mtm_error *error)
{
    if (set->count >= MTMI_SPECTRA_MAX)
        return mtmi_fail(error, MTM_LIMIT, "%s: more than %d spectra in one file; split it", where,
                         MTMI_SPECTRA_MAX);
    struct member *member = mtmi_grown(set->member, set->count, &set->capacity, sizeof *member);
    if (member == NULL)
        return mtmi_fail_memory(error);
    set->member = member;
    return MTM_OK;
}

static double widest_interval(const double *nm, size_t count)
{
    double widest = 0;

    for (size_t i = 1; i < count; i++) {
        if (nm[i] > NEEDED_FIRST_NM && nm[i - 1] < NEEDED_LAST_NM)
            widest = fmax(widest, nm[i] - nm[i - 1]);
    }
    return widest;
}

static void find_extremes(const double *value, size_t count, struct member *member)
{
    member->least = value[0];
    member->most = value[0];
    for (size_t i = 1; i < count; i++) {
        member->least = value[i] < member->least ? value[i] : member->least;
        member->most = value[i] > member->most ? value[i] : member->most;
    }
}

mtm_result mtmi_spectrum_set_add(mtm_spectrum_set *set, const char *where, const char *name,
                                 mtm_quantity quantity, mtm_ends ends, const double *wavelength_nm,
                                 const double *value, size_t count, mtm_error *error)
{
    if (quantity != MTM_QUANTITY_UNSTATED)
        ends = quantity == MTM_QUANTITY_LIGHT ? MTM_ENDS_ZERO : MTM_ENDS_HOLD;
    if (count < 2)
        return mtmi_fail(error, MTM_PARSE, "%s: %zu samples; a spectrum needs at least 2", where,
                         count);
    mtm_result result = check_order(where, wavelength_nm, count, error);
    if (result == MTM_OK)
        result = check_range(where, wavelength_nm[0], wavelength_nm[count - 1], ends, error);
    if (result == MTM_OK)
        result = make_room(set, where, error);
    if (result != MTM_OK)
        return result;

    struct member *member = &set->member[set->count];
    result = mtm_spectrum_from_samples(wavelength_nm, value, count, ends, &member->spectrum, error);
    if (result == MTM_OK)
        result = mtm_spectrum_straight_from_samples(wavelength_nm, value, count, ends,
                                                    &member->straight, error);
    if (result != MTM_OK) {
        mtmi_error_prefix(error, where);
        return result;
    }
    member->name = clean_name(name);
    if (member->name == NULL)
        return mtmi_fail_memory(error);
    member->quantity = quantity;
    member->first_nm = wavelength_nm[0];
    member->last_nm = wavelength_nm[count - 1];
    member->spacing_nm = widest_interval(wavelength_nm, count);
    find_extremes(value, count, member);
    set->count++;
    return MTM_OK;
}
