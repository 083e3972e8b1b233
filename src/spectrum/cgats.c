/* SPDX-License-Identifier: MIT */
/* CGATS.17 / ISO 28178 reader: LittleCMS reads the tables, this finds the spectra in them. */
#include "spectrum/set.h"

#include "base/error.h"
#include "base/number.h"
#include "spectrum/cgats_amend.h"

#include <lcms2.h>
#include <lcms2_plugin.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* Memory that LittleCMS may ask for: it believes the counts of the file before it has seen the
 * data. A cell of two characters takes it some 32 bytes. */
#define MEMORY_BASE ((size_t)32 * 1024 * 1024)
#define MEMORY_PER_BYTE 16

/* Words of headings: LittleCMS walks the list of all keywords for each. */
#define HEADING_WORDS_MAX 10000

/* What LittleCMS's callbacks see. Its memory comes from one block, had beforehand, since it does
 * not look everywhere whether it was given any: nothing is given back before the end. */
struct session {
    const char *file;
    bool amended; /* the reader counts other lines than the user */
    bool failed;
    mtm_error *error;
    char *memory;
    size_t used, most;
};

/* Before each piece stands its size. */
#define PIECE_HEAD 16

static void *allocate(cmsContext context, cmsUInt32Number size)
{
    struct session *session = cmsGetContextUserData(context);

    if (session == NULL) /* while the context is made */
        return malloc(size);
    size_t taken = PIECE_HEAD + ((size_t)size + PIECE_HEAD - 1) / PIECE_HEAD * PIECE_HEAD;
    if (taken > session->most - session->used)
        return NULL;
    char *piece = session->memory + session->used;
    session->used += taken;
    memcpy(piece, &size, sizeof size);
    return piece + PIECE_HEAD;
}

static bool is_piece(const struct session *session, const char *block)
{
    return session != NULL && block >= session->memory && block < session->memory + session->most;
}

static void release(cmsContext context, void *block)
{
    if (!is_piece(cmsGetContextUserData(context), block))
        free(block);
}

static void *reallocate(cmsContext context, void *block, cmsUInt32Number size)
{
    cmsUInt32Number held = 0;
    void *grown = allocate(context, size);

    if (block == NULL || grown == NULL)
        return grown;
    memcpy(&held, (char *)block - PIECE_HEAD, sizeof held);
    memcpy(grown, block, held < size ? held : size);
    return grown;
}

/* "...: Line 12, Count mismatch..." becomes our sentence; the first one counts. */
static void log_error(cmsContext context, cmsUInt32Number code, const char *text)
{
    struct session *session = cmsGetContextUserData(context);
    const char *line = strstr(text, "Line ");
    const char *comma = line == NULL ? NULL : strchr(line, ',');

    (void)code;
    if (session == NULL || session->failed)
        return;
    session->failed = true;
    const char *what = comma == NULL ? text : comma + 1 + strspn(comma + 1, " ");
    int length = (int)strcspn(what, "\r\n");
    if (comma == NULL || session->amended)
        (void)mtmi_fail(session->error, MTM_PARSE, "%s: %.*s", session->file, length, what);
    else
        (void)mtmi_fail(session->error, MTM_PARSE, "%s: near line %.*s: %.*s", session->file,
                        (int)strspn(line + 5, "0123456789"), line + 5, length, what);
}

/* One table of the file. */
struct table {
    const mtmi_source *source;
    mtm_spectrum_set *set;
    cmsHANDLE it8;
    char **column; /* names; borrowed from it8 */
    int columns, rows;
    int name_column; /* -1: the samples have no name */
    mtm_quantity quantity;
    double *nm; /* room for the larger of columns and rows */
    double *value;
};

/* The wavelength in a column's name: SPEC_400, SPECTRAL_NM_380.5, nm400, R_400, and SPEC_300000 for
 * 300.000 nm. */
static bool column_wavelength(const char *name, double *nm, bool *percent)
{
    static const char *const prefixes[] = {
        "SPECTRAL_NM", "SPECTRAL_PCT", "SPECTRAL_DEC", "SPECTRAL", "SPEC", "NM", "R"};

    for (size_t i = 0; i < sizeof prefixes / sizeof prefixes[0]; i++) {
        size_t length = strlen(prefixes[i]);

        if (strncasecmp(name, prefixes[i], length) != 0)
            continue;
        const char *digits = name + length + (name[length] == '_' ? 1 : 0);
        if (!mtmi_number_whole(digits, nm))
            continue;
        if (*nm >= 100000)
            *nm /= 1000;
        *percent = strcasecmp(prefixes[i], "SPECTRAL_PCT") == 0;
        return *nm >= 100 && *nm <= 10000;
    }
    return false;
}

static double property(const struct table *table, const char *name)
{
    const char *text = cmsIT8GetProperty(table->it8, name);
    double value = 0;

    return text != NULL && mtmi_number_whole(text, &value) ? value : 0;
}

/* Names round to whole nanometres what the heading states exactly (3.33 nm steps, say); it is
 * believed where it agrees with all of them. */
static void refine_wavelengths(const struct table *table, size_t count)
{
    double first = property(table, "SPECTRAL_START_NM");
    double last = property(table, "SPECTRAL_END_NM");

    if (property(table, "SPECTRAL_BANDS") != (double)count || count < 2)
        return;
    double step = (last - first) / (double)(count - 1);
    for (size_t i = 0; i < count; i++) {
        if (!(fabs(first + step * (double)i - table->nm[i]) <= 0.51))
            return;
    }
    for (size_t i = 0; i < count; i++)
        table->nm[i] = first + step * (double)i;
}

static mtm_result cell_number(const struct table *table, int row, int column, double *value,
                              mtm_error *error)
{
    const char *text = cmsIT8GetDataRowCol(table->it8, row, column);

    if (text == NULL || !mtmi_number_whole(text, value))
        return mtmi_fail(error, MTM_PARSE, "%s: set %d, %.40s: \"%.40s\" is not a number",
                         table->source->file, row + 1,
                         table->column[column] == NULL ? "" : table->column[column],
                         text == NULL ? "" : text);
    return MTM_OK;
}

static void sample_name(const struct table *table, int row, char *name, size_t room)
{
    const char *text =
        table->name_column < 0 ? NULL : cmsIT8GetDataRowCol(table->it8, row, table->name_column);

    if (text != NULL && *text != '\0')
        (void)snprintf(name, room, "%s", text);
    else if (table->rows == 1)
        mtmi_name_from_file(table->source->file, name, room);
    else
        (void)snprintf(name, room, "set %d", row + 1);
}

/* Numbers in the heading's unit: a reflectance of 35 under SPECTRAL_NORM 100 is 0.35. */
static double scale(const struct table *table, bool percent)
{
    double norm = property(table, "SPECTRAL_NORM");
    bool light = table->quantity == MTM_QUANTITY_LIGHT ||
                 (table->quantity == MTM_QUANTITY_UNSTATED && table->source->ends == MTM_ENDS_ZERO);

    if (percent)
        return 0.01;
    return !light && norm > 0 ? 1 / norm : 1;
}

static mtm_result add_spectrum(const struct table *table, int row, size_t count, mtm_error *error)
{
    char name[256];
    char where[512];

    sample_name(table, row, name, sizeof name);
    (void)snprintf(where, sizeof where, "%.300s: set %d", table->source->file, row + 1);
    return mtmi_spectrum_set_add(table->set, where, name, table->quantity, table->source->ends,
                                 table->nm, table->value, count, error);
}

/* Each set is a spectrum, its wavelengths are the columns' names. */
static mtm_result read_rows(struct table *table, const int *at, size_t count, bool percent,
                            mtm_error *error)
{
    mtm_result result = MTM_OK;

    const double factor = scale(table, percent);

    refine_wavelengths(table, count);
    for (int row = 0; result == MTM_OK && row < table->rows; row++) {
        for (size_t i = 0; result == MTM_OK && i < count; i++) {
            result = cell_number(table, row, at[i], &table->value[i], error);
            table->value[i] *= factor;
        }
        if (result == MTM_OK)
            result = add_spectrum(table, row, count, error);
    }
    return result;
}

/* True if columns i and i + 1 are the standard's own: a wavelength and its value. */
static bool is_pair(const struct table *table, int i, bool *percent)
{
    if (i + 1 >= table->columns || table->column[i] == NULL || table->column[i + 1] == NULL ||
        strcasecmp(table->column[i], "SPECTRAL_NM") != 0)
        return false;
    *percent = strcasecmp(table->column[i + 1], "SPECTRAL_PCT") == 0;
    return *percent || strcasecmp(table->column[i + 1], "SPECTRAL_DEC") == 0;
}

/* Pairs of columns: many in a set are one spectrum a set, one is one spectrum for all sets. */
static mtm_result read_pairs(struct table *table, size_t pairs, mtm_error *error)
{
    mtm_result result = MTM_OK;
    size_t count = 0;

    for (int row = 0; result == MTM_OK && row < table->rows; row++) {
        if (pairs > 1)
            count = 0;
        for (int i = 0; result == MTM_OK && i < table->columns; i++) {
            bool percent = false;

            if (!is_pair(table, i, &percent))
                continue;
            result = cell_number(table, row, i, &table->nm[count], error);
            if (result == MTM_OK)
                result = cell_number(table, row, i + 1, &table->value[count], error);
            table->value[count] *= percent ? 0.01 : 1;
            count++;
        }
        if (result == MTM_OK && (pairs > 1 || row == table->rows - 1))
            result = add_spectrum(table, pairs > 1 ? row : 0, count, error);
    }
    return result;
}

static mtm_quantity stated_quantity(cmsHANDLE it8)
{
    static const struct {
        const char *text;
        mtm_quantity quantity;
    } quantities[] = {{"EMISSION", MTM_QUANTITY_LIGHT},
                      {"AMBIENT", MTM_QUANTITY_LIGHT},
                      {"REFLECTIVE", MTM_QUANTITY_REFLECTANCE},
                      {"TRANSMISSIVE", MTM_QUANTITY_TRANSMITTANCE}};
    const char *text = cmsIT8GetProperty(it8, "MEAS_TYPE");

    for (size_t i = 0; text != NULL && i < sizeof quantities / sizeof quantities[0]; i++) {
        if (strcasecmp(text, quantities[i].text) == 0)
            return quantities[i].quantity;
    }
    return MTM_QUANTITY_UNSTATED;
}

static int find_column(const struct table *table, const char *name)
{
    for (int i = 0; i < table->columns; i++) {
        if (table->column[i] != NULL && strcasecmp(table->column[i], name) == 0)
            return i;
    }
    return -1;
}

/* Finds the table's wavelengths; a table without any adds nothing. */
static mtm_result read_columns(struct table *table, int *at, mtm_error *error)
{
    size_t count = 0;
    size_t pairs = 0;
    bool percent = false;

    for (int i = 0; i < table->columns; i++) {
        bool pair_percent = false;

        if (table->column[i] != NULL &&
            column_wavelength(table->column[i], &table->nm[count], &percent))
            at[count++] = i;
        pairs += is_pair(table, i, &pair_percent) ? 1 : 0;
    }
    if (count >= 2)
        return read_rows(table, at, count, percent, error);
    return pairs > 0 ? read_pairs(table, pairs, error) : MTM_OK;
}

static mtm_result read_table(struct table *table, mtm_error *error)
{
    int *at = NULL;
    mtm_result result = MTM_OK;

    table->column = NULL;
    table->columns = cmsIT8EnumDataFormat(table->it8, &table->column);
    table->rows = (int)property(table, "NUMBER_OF_SETS");
    if (table->column == NULL || table->columns <= 0 || table->rows <= 0)
        return MTM_OK;
    table->name_column = find_column(table, "SAMPLE_NAME");
    if (table->name_column < 0)
        table->name_column = find_column(table, "SAMPLE_ID");
    table->quantity = stated_quantity(table->it8);

    size_t room = (size_t)table->columns + (size_t)table->rows;
    at = malloc(room * sizeof *at);
    table->nm = malloc(room * sizeof *table->nm);
    table->value = calloc(room, sizeof *table->value);
    if (at == NULL || table->nm == NULL || table->value == NULL)
        result = mtmi_fail_memory(error);
    else
        result = read_columns(table, at, error);
    free(table->value);
    free(table->nm);
    free(at);
    return result;
}

static mtm_result read_tables(cmsHANDLE it8, const mtmi_source *source, mtm_spectrum_set *set,
                              mtm_error *error)
{
    struct table table = {.source = source, .set = set, .it8 = it8};
    cmsUInt32Number count = cmsIT8TableCount(it8);
    mtm_result result = MTM_OK;

    for (cmsUInt32Number i = 0; result == MTM_OK && i < count; i++) {
        if (cmsIT8SetTable(it8, i) >= 0)
            result = read_table(&table, error);
    }
    if (result == MTM_OK && mtm_spectrum_set_count(set) == 0)
        return mtmi_fail(error, MTM_PARSE,
                         "%s: describes no spectrum: no column is named after a wavelength "
                         "(SPEC_400, SPECTRAL_NM_400) or holds one (SPECTRAL_NM)",
                         source->file);
    return result;
}

/* LittleCMS with its errors and its hunger in our hands. */
static mtm_result read_text(const mtmi_text *text, bool amended, const mtmi_source *source,
                            mtm_spectrum_set *set, mtm_error *error)
{
    struct session session = {
        .file = source->file,
        .amended = amended,
        .error = error,
        .most = MEMORY_BASE + MEMORY_PER_BYTE * text->length,
    };
    cmsPluginMemHandler memory = {
        .base = {cmsPluginMagicNumber, LCMS_VERSION, cmsPluginMemHandlerSig, NULL},
        .MallocPtr = allocate,
        .FreePtr = release,
        .ReallocPtr = reallocate,
    };
    mtm_result result = MTM_OK;

    session.memory = malloc(session.most);
    cmsContext context = session.memory == NULL ? NULL : cmsCreateContext(&memory, &session);
    if (context == NULL) {
        free(session.memory);
        return mtmi_fail_memory(error);
    }
    cmsSetLogErrorHandlerTHR(context, log_error);
    cmsHANDLE it8 = cmsIT8LoadFromMem(context, text->data, (cmsUInt32Number)text->length);
    if (it8 != NULL)
        result = read_tables(it8, source, set, error);
    else if (session.failed)
        result = MTM_PARSE;
    else
        result = mtmi_fail(error, MTM_PARSE, "%s: this CGATS text cannot be read", source->file);
    if (it8 != NULL)
        cmsIT8Free(it8);
    cmsDeleteContext(context);
    free(session.memory);
    return result;
}

mtm_result mtmi_spectrum_read_cgats(const mtmi_source *source, mtm_spectrum_set *set,
                                    mtm_error *error)
{
    mtmi_text text = {0};

    if (mtmi_cgats_includes(source->text))
        return mtmi_fail(error, MTM_PARSE,
                         "%s: asks for another file to be included, which is not allowed",
                         source->file);
    mtmi_cgats_amended found = mtmi_cgats_amend(source->text, &text);
    mtm_result result = MTM_OK;
    if (text.failed)
        result = mtmi_fail_memory(error);
    else if (found.heading_words > HEADING_WORDS_MAX)
        result = mtmi_fail(error, MTM_LIMIT,
                           "%s: %zu words outside of data; at most %d are read: take remarks and "
                           "unused fields out",
                           source->file, found.heading_words, HEADING_WORDS_MAX);
    else
        result = read_text(&text, found.line_inserted, source, set, error);
    mtmi_text_free(&text);
    return result;
}
