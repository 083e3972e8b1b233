/* SPDX-License-Identifier: MIT */
/* CSV reader: rows of wavelength and values, as spreadsheets and instruments write them. */
#include "spectrum/set.h"

#include "base/csv.h"
#include "base/error.h"
#include "base/number.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define ROWS_MAX 100000
#define COLUMNS_MAX (MTMI_SPECTRA_MAX + 1)
#define NUMBER_MAX 60 /* characters of one number */

struct reader {
    const mtmi_source *source;
    char *next;             /* behind the current line; NULL at the end */
    size_t line;            /* number of the current line, from 1 */
    char separator;         /* known from the first row on */
    char *heading;          /* last line before the rows; NULL if there is none */
    size_t comma_line;      /* where a decimal comma was first seen; 0: nowhere */
    size_t point_line;      /* the same for a decimal point */
    char **field;           /* COLUMNS_MAX places, pointing into the current line */
    size_t fields, columns; /* of the current line; values of each row */
    double *nm;             /* rows */
    double *value;          /* rows * columns, row by row */
    size_t rows, room;
};

/* True for "380,5 0,1": blanks between characters that are no commas. */
static bool blanks_separate(const char *line)
{
    for (const char *at = line + strspn(line, " "); *at != '\0'; at++) {
        size_t blanks = strspn(at, " ");

        if (blanks > 0 && at[-1] != ',' && at[blanks] != ',' && at[blanks] != '\0')
            return true;
    }
    return false;
}

/* The first row decides. A comma separates only where nothing stronger does. */
static char find_separator(const char *line)
{
    static const char strong[] = {';', '\t', '|'};

    for (size_t i = 0; i < sizeof strong; i++) {
        if (strchr(line, strong[i]) != NULL)
            return strong[i];
    }
    return strchr(line, ',') != NULL && !blanks_separate(line) ? ',' : MTMI_CSV_BLANK;
}

/* Cuts a line into fields; empty ones at its end do not count. False if there are too many. */
static bool split(struct reader *reader, char *line)
{
    size_t count = 0;

    reader->fields = 0;
    while (line != NULL) {
        char *field = mtmi_csv_field(&line, reader->separator);

        if (reader->separator == MTMI_CSV_BLANK && *field == '\0')
            continue;
        if (count == COLUMNS_MAX) {
            reader->fields = COLUMNS_MAX + 1;
            return false;
        }
        reader->field[count++] = field;
        if (*field != '\0')
            reader->fields = count;
    }
    return true;
}

/* A number with a point or a comma; a file keeps to one of them. */
static mtm_result read_number(struct reader *reader, const char *field, double *value,
                              mtm_error *error)
{
    char plain[NUMBER_MAX + 1];
    const char *file = reader->source->file;

    if (*field == '\0')
        return mtmi_fail(error, MTM_PARSE, "%s: line %zu: a cell is empty", file, reader->line);
    size_t length = strnlen(field, NUMBER_MAX);
    memcpy(plain, field, length);
    plain[length] = '\0';
    char *comma = strchr(plain, ',');
    if (comma != NULL) {
        *comma = '.';
        reader->comma_line = reader->comma_line == 0 ? reader->line : reader->comma_line;
    } else if (strchr(plain, '.') != NULL) {
        reader->point_line = reader->point_line == 0 ? reader->line : reader->point_line;
    }
    if (field[length] != '\0' || !mtmi_number_whole(plain, value))
        return mtmi_fail(error, MTM_PARSE, "%s: line %zu: \"%.40s\" is not a number", file,
                         reader->line, field);
    if (reader->comma_line > 0 && reader->point_line > 0)
        return mtmi_fail(error, MTM_PARSE,
                         "%s: line %zu: numbers with a decimal comma (line %zu) and with a decimal "
                         "point (line %zu); use one of them",
                         file, reader->line, reader->comma_line, reader->point_line);
    return MTM_OK;
}

static mtm_result grow(struct reader *reader, mtm_error *error)
{
    size_t room = reader->room == 0 ? 512 : 2 * reader->room;
    double *nm = realloc(reader->nm, room * sizeof *nm);

    if (nm == NULL)
        return mtmi_fail_memory(error);
    reader->nm = nm;
    double *value = realloc(reader->value, room * reader->columns * sizeof *value);
    if (value == NULL)
        return mtmi_fail_memory(error);
    reader->value = value;
    reader->room = room;
    return MTM_OK;
}

/* The fields of the current line become the numbers of the row at the end. */
static mtm_result read_fields(struct reader *reader, mtm_error *error)
{
    double *value = reader->value + reader->rows * reader->columns;
    mtm_result result = read_number(reader, reader->field[0], &reader->nm[reader->rows], error);

    for (size_t i = 0; result == MTM_OK && i < reader->columns; i++)
        result = read_number(reader, reader->field[i + 1], &value[i], error);
    return result;
}

/* Most rows are bare numbers with a point, split by one separator: read where they stand. False
 * leaves the line to the careful way; what was written into the row does not count then. */
static bool read_bare(struct reader *reader, const char *line)
{
    double *value = reader->value + reader->rows * reader->columns;

    if (reader->columns == 0 || reader->separator == MTMI_CSV_BLANK || reader->comma_line > 0 ||
        reader->rows == reader->room || reader->rows == ROWS_MAX)
        return false;
    for (size_t i = 0; i <= reader->columns; i++) {
        size_t used = mtmi_number_read(line, i == 0 ? &reader->nm[reader->rows] : &value[i - 1]);
        char behind = i < reader->columns ? reader->separator : '\0';
        if (used == 0 || used > NUMBER_MAX || line[used] != behind)
            return false;
        if (reader->point_line == 0 && memchr(line, '.', used) != NULL)
            reader->point_line = reader->line;
        line += used + 1;
    }
    return true;
}

/* The numbers behind the last row become the next one. */
static mtm_result take_row(struct reader *reader, mtm_error *error)
{
    double nm = reader->nm[reader->rows];

    if (reader->rows > 0 && !(nm > reader->nm[reader->rows - 1]))
        return mtmi_fail(error, MTM_PARSE,
                         "%s: line %zu: wavelength %g nm follows %g nm; wavelengths must rise, "
                         "each once",
                         reader->source->file, reader->line, nm, reader->nm[reader->rows - 1]);
    reader->rows++;
    return MTM_OK;
}

/* The current line's fields become a row. */
static mtm_result add_row(struct reader *reader, mtm_error *error)
{
    const char *file = reader->source->file;
    mtm_result result = MTM_OK;

    if (reader->fields != reader->columns + 1)
        return mtmi_fail(error, MTM_PARSE, "%s: line %zu: %zu cells where the first row has %zu",
                         file, reader->line, reader->fields, reader->columns + 1);
    if (reader->rows == ROWS_MAX)
        return mtmi_fail(error, MTM_LIMIT, "%s: line %zu: more than %d rows; leave wavelengths out",
                         file, reader->line, ROWS_MAX);
    if (reader->rows == reader->room)
        result = grow(reader, error);
    if (result == MTM_OK)
        result = read_fields(reader, error);
    return result == MTM_OK ? take_row(reader, error) : result;
}

/* True if a line begins with a number and not with a date, a range or a word. */
static bool begins_row(const char *line)
{
    double value = 0;
    const char *at = line + strspn(line, " \t\"");
    size_t used = mtmi_number_read(at, &value);

    return used > 0 && (at[used] == '\0' || strchr(" \t,;|\"", at[used]) != NULL);
}

static mtm_result read_first_row(struct reader *reader, char *line, mtm_error *error)
{
    const char *file = reader->source->file;

    reader->separator = find_separator(line);
    if (!split(reader, line))
        return mtmi_fail(error, MTM_LIMIT,
                         "%s: line %zu: more than %d columns; split the file by columns", file,
                         reader->line, COLUMNS_MAX);
    if (reader->fields < 2)
        return mtmi_fail(error, MTM_PARSE,
                         "%s: line %zu: \"%.40s\" stands alone; a row is a wavelength and at least "
                         "one value",
                         file, reader->line, reader->fields == 0 ? "" : reader->field[0]);
    reader->columns = reader->fields - 1;
    return add_row(reader, error);
}

static mtm_result read_rows(struct reader *reader, mtm_error *error)
{
    char *line = NULL;
    mtm_result result = MTM_OK;

    while (result == MTM_OK && mtmi_csv_line(&reader->next, &line)) {
        const char *content = line + strspn(line, " \t");

        reader->line++;
        if (*content == '\0' || *content == '#')
            continue;
        if (reader->columns == 0 && !begins_row(line))
            reader->heading = line;
        else if (reader->columns == 0)
            result = read_first_row(reader, line, error);
        else if (read_bare(reader, line))
            result = take_row(reader, error);
        else if (!split(reader, line) || reader->fields > 0)
            result = add_row(reader, error);
    }
    return result;
}

/* One column is named by the file, for its heading is mostly "value" or a unit. */
static mtm_result add_columns(struct reader *reader, mtm_spectrum_set *set, mtm_error *error)
{
    if (reader->rows == 0)
        return mtmi_fail(error, MTM_PARSE,
                         "%s: no line begins with a wavelength; a spectrum is rows of wavelength "
                         "and value, or CGATS text, or TM-27 XML",
                         reader->source->file);
    double *value = malloc(reader->rows * sizeof *value);
    if (value == NULL)
        return mtmi_fail_memory(error);

    bool named = reader->heading != NULL && split(reader, reader->heading) &&
                 reader->fields == reader->columns + 1;
    mtm_result result = MTM_OK;
    for (size_t column = 0; result == MTM_OK && column < reader->columns; column++) {
        char name[64];

        if (reader->columns == 1)
            mtmi_name_from_file(reader->source->file, name, sizeof name);
        else
            (void)snprintf(name, sizeof name, "column %zu", column + 2);
        for (size_t row = 0; row < reader->rows; row++)
            value[row] = reader->value[row * reader->columns + column];
        result = mtmi_spectrum_set_add(
            set, reader->source->file,
            named && reader->columns > 1 && *reader->field[column + 1] != '\0'
                ? reader->field[column + 1]
                : name,
            MTM_QUANTITY_UNSTATED, reader->source->ends, reader->nm, value, reader->rows, error);
    }
    free(value);
    return result;
}

mtm_result mtmi_spectrum_read_csv(const mtmi_source *source, mtm_spectrum_set *set,
                                  mtm_error *error)
{
    struct reader reader = {.source = source, .next = source->text};

    reader.field = malloc(COLUMNS_MAX * sizeof *reader.field);
    if (reader.field == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = read_rows(&reader, error);
    if (result == MTM_OK)
        result = add_columns(&reader, set, error);
    free(reader.value);
    free(reader.nm);
    free(reader.field);
    return result;
}
