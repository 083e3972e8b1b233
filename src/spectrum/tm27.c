/* SPDX-License-Identifier: MIT */
/* ANSI/IES TM-27 reader: spectral data in XML. */
#include "spectrum/set.h"

#include "base/error.h"
#include "base/number.h"
#include "base/xml.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define SAMPLES_MAX 100000
#define NUMBER_MAX 60

/* The standard's words for what is measured. */
static const struct quantity {
    const char *word;
    mtm_quantity quantity;
} quantities[] = {
    {"flux", MTM_QUANTITY_LIGHT},
    {"intensity", MTM_QUANTITY_LIGHT},
    {"irradiance", MTM_QUANTITY_LIGHT},
    {"radiance", MTM_QUANTITY_LIGHT},
    {"exitance", MTM_QUANTITY_LIGHT},
    {"relative", MTM_QUANTITY_LIGHT},
    {"transmittance", MTM_QUANTITY_TRANSMITTANCE},
    {"T-Factor", MTM_QUANTITY_TRANSMITTANCE},
    {"reflectance", MTM_QUANTITY_REFLECTANCE},
    {"R-Factor", MTM_QUANTITY_REFLECTANCE},
    {"other", MTM_QUANTITY_UNSTATED},
};

/* Text without the blanks around it. */
static void trim(const char *text, char *to, size_t room)
{
    const char *begin = text + strspn(text, " \t\r\n");
    size_t length = strlen(begin);

    while (length > 0 && strchr(" \t\r\n", begin[length - 1]) != NULL)
        length--;
    (void)snprintf(to, room, "%.*s", (int)(length < room ? length : room - 1), begin);
}

static bool is(const mtmi_xml_node *node, const char *name)
{
    return strcmp(mtmi_xml_name(node), name) == 0;
}

/* The element of this name inside node; NULL if there is none. */
static const mtmi_xml_node *child(const mtmi_xml_node *node, const char *name)
{
    const mtmi_xml_node *at = mtmi_xml_first(node);

    while (at != NULL && !is(at, name))
        at = mtmi_xml_next(at);
    return at;
}

static mtm_result read_quantity(const mtmi_xml_node *distribution, const char *file,
                                mtm_quantity *quantity, mtm_error *error)
{
    const mtmi_xml_node *node = child(distribution, "SpectralQuantity");
    char word[NUMBER_MAX];

    *quantity = MTM_QUANTITY_UNSTATED;
    if (node == NULL)
        return MTM_OK;
    trim(mtmi_xml_text(node), word, sizeof word);
    for (size_t i = 0; i < sizeof quantities / sizeof quantities[0]; i++) {
        if (strcasecmp(word, quantities[i].word) == 0) {
            *quantity = quantities[i].quantity;
            return MTM_OK;
        }
    }
    return mtmi_fail(error, MTM_PARSE,
                     "%s: line %ld: the quantity is \"%.40s\"; allowed are flux, intensity, "
                     "irradiance, radiance, exitance, relative, transmittance, T-Factor, "
                     "reflectance, R-Factor and other",
                     file, mtmi_xml_line(node), word);
}

static bool read_number(const char *text, double *value)
{
    char plain[NUMBER_MAX];

    trim(text == NULL ? "" : text, plain, sizeof plain);
    return mtmi_number_whole(plain, value);
}

/* Samples of one distribution; room is their number. */
static mtm_result read_samples(const mtmi_xml_node *distribution, const char *file, double *nm,
                               double *value, mtm_error *error)
{
    size_t count = 0;

    for (const mtmi_xml_node *at = mtmi_xml_first(distribution); at != NULL;
         at = mtmi_xml_next(at)) {
        if (!is(at, "SpectralData"))
            continue;
        if (!read_number(mtmi_xml_attribute(at, "wavelength"), &nm[count]))
            return mtmi_fail(error, MTM_PARSE,
                             "%s: line %ld: SpectralData without a wavelength that is a number",
                             file, mtmi_xml_line(at));
        if (!read_number(mtmi_xml_text(at), &value[count]))
            return mtmi_fail(error, MTM_PARSE, "%s: line %ld: \"%.40s\" is not a number", file,
                             mtmi_xml_line(at), mtmi_xml_text(at));
        count++;
    }
    return MTM_OK;
}

static size_t count_samples(const mtmi_xml_node *distribution)
{
    size_t count = 0;

    for (const mtmi_xml_node *at = mtmi_xml_first(distribution); at != NULL; at = mtmi_xml_next(at))
        count += is(at, "SpectralData") ? 1 : 0;
    return count;
}

static mtm_result read_distribution(const mtmi_xml_node *node, const char *name,
                                    const mtmi_source *source, mtm_spectrum_set *set,
                                    mtm_error *error)
{
    size_t count = count_samples(node);
    mtm_quantity quantity = MTM_QUANTITY_UNSTATED;
    mtm_result result = read_quantity(node, source->file, &quantity, error);

    if (result != MTM_OK)
        return result;
    if (count == 0 || count > SAMPLES_MAX)
        return mtmi_fail(error, count == 0 ? MTM_PARSE : MTM_LIMIT,
                         "%s: line %ld: %zu elements SpectralData; allowed are 2 to %d",
                         source->file, mtmi_xml_line(node), count, SAMPLES_MAX);
    double *nm = malloc(count * sizeof *nm);
    double *value = malloc(count * sizeof *value);
    if (nm == NULL || value == NULL)
        result = mtmi_fail_memory(error);
    else
        result = read_samples(node, source->file, nm, value, error);
    if (result == MTM_OK)
        result = mtmi_spectrum_set_add(set, source->file, name, quantity, source->ends, nm, value,
                                       count, error);
    free(value);
    free(nm);
    return result;
}

static mtm_result read_document(const mtmi_xml_node *root, const mtmi_source *source,
                                mtm_spectrum_set *set, mtm_error *error)
{
    const mtmi_xml_node *header = child(root, "Header");
    const mtmi_xml_node *description = header == NULL ? NULL : child(header, "Description");
    char name[256];
    mtm_result result = MTM_OK;

    if (strncasecmp(mtmi_xml_name(root), "IESTM27", 7) != 0)
        return mtmi_fail(error, MTM_PARSE,
                         "%s: the outermost element is %.40s; the XML of spectra is IES TM-27",
                         source->file, mtmi_xml_name(root));
    trim(description == NULL ? "" : mtmi_xml_text(description), name, sizeof name);
    if (name[0] == '\0')
        mtmi_name_from_file(source->file, name, sizeof name);
    for (const mtmi_xml_node *at = mtmi_xml_first(root); at != NULL && result == MTM_OK;
         at = mtmi_xml_next(at)) {
        if (is(at, "SpectralDistribution"))
            result = read_distribution(at, name, source, set, error);
    }
    if (result == MTM_OK && mtm_spectrum_set_count(set) == 0)
        return mtmi_fail(error, MTM_PARSE, "%s: describes no spectrum: no SpectralDistribution",
                         source->file);
    return result;
}

mtm_result mtmi_spectrum_read_tm27(const mtmi_source *source, mtm_spectrum_set *set,
                                   mtm_error *error)
{
    mtmi_xml *xml = NULL;
    mtm_result result = mtmi_xml_parse(source->text, source->length, source->file, &xml, error);

    if (result != MTM_OK)
        return result;
    result = read_document(mtmi_xml_root(xml), source, set, error);
    mtmi_xml_free(xml);
    return result;
}
