/* SPDX-License-Identifier: MIT */
/* Turns a CSV table (wavelength, columns) into a C array; runs on the building machine.
 * Usage: table_maker NAME IN.csv OUT.c COLUMNS FIRST_NM LAST_NM STEP_NM
 * Refuses a wrong number of columns, a gap, a falling wavelength and anything not a number. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COLUMNS_MAX 128
#define ROWS_MAX 1024

struct table {
    const char *path;
    size_t columns, rows;
    double first_nm, step_nm;
    double value[ROWS_MAX][COLUMNS_MAX];
};

static int fail(const char *path, size_t line, const char *why)
{
    (void)fprintf(stderr, "%s: line %zu: %s\n", path, line, why);
    return -1;
}

/* One number and the comma or line end behind it; NULL if it is malformed. */
static const char *read_cell(const char *text, double *value)
{
    char *end = NULL;

    *value = strtod(text, &end);
    if (end == text || !isfinite(*value))
        return NULL;
    if (*end == ',')
        return end + 1;
    return (*end == '\n' || *end == '\r' || *end == '\0') ? end : NULL;
}

static int read_row(struct table *table, size_t row, const char *text, size_t line)
{
    double wavelength_nm = 0;
    const char *at = read_cell(text, &wavelength_nm);

    if (row >= table->rows)
        return fail(table->path, line, "more rows than expected");
    if (at == NULL || wavelength_nm != table->first_nm + table->step_nm * (double)row)
        return fail(table->path, line, "not the expected wavelength");
    for (size_t i = 0; i < table->columns; i++) {
        at = read_cell(at, &table->value[row][i]);
        if (at == NULL)
            return fail(table->path, line, "a cell is missing or not a number");
    }
    return (*at == '\n' || *at == '\r' || *at == '\0') ? 0
                                                       : fail(table->path, line, "too many cells");
}

static int read_table(struct table *table, FILE *file)
{
    static char text[16384];
    size_t row = 0;
    size_t line = 0;
    int header_seen = 0;

    while (fgets(text, sizeof text, file) != NULL) {
        line++;
        if (text[0] == '#')
            continue;
        if (!header_seen) {
            header_seen = 1;
            continue;
        }
        if (read_row(table, row, text, line) != 0)
            return -1;
        row++;
    }
    if (row != table->rows)
        return fail(table->path, line, "fewer rows than expected");
    return 0;
}

static int write_table(const struct table *table, const char *name, const char *path)
{
    FILE *file = fopen(path, "w");

    if (file == NULL)
        return fail(path, 0, "cannot be written");
    (void)fprintf(file, "/* Made from the CSV table of the same name; do not edit. */\n");
    (void)fprintf(file, "#include \"data/tables.h\"\n\nconst double %s[%zu][%zu] = {\n", name,
                  table->columns, table->rows);
    for (size_t i = 0; i < table->columns; i++) {
        (void)fprintf(file, "{\n");
        for (size_t row = 0; row < table->rows; row++)
            (void)fprintf(file, "%.17g,\n", table->value[row][i]);
        (void)fprintf(file, "},\n");
    }
    (void)fprintf(file, "};\n");
    return fclose(file) == 0 ? 0 : fail(path, 0, "cannot be written");
}

int main(int argc, char **argv)
{
    static struct table table;

    if (argc != 8) {
        (void)fprintf(stderr, "usage: table_maker NAME IN OUT COLUMNS FIRST_NM LAST_NM STEP_NM\n");
        return 1;
    }
    table.path = argv[2];
    table.columns = (size_t)strtoul(argv[4], NULL, 10);
    table.first_nm = strtod(argv[5], NULL);
    table.step_nm = strtod(argv[7], NULL);
    table.rows = (size_t)lround((strtod(argv[6], NULL) - table.first_nm) / table.step_nm) + 1;
    if (table.columns > COLUMNS_MAX || table.rows > ROWS_MAX)
        return 1;

    FILE *file = fopen(table.path, "r");
    if (file == NULL) {
        (void)fail(table.path, 0, "cannot be opened");
        return 1;
    }
    int status = read_table(&table, file);
    (void)fclose(file);
    return status == 0 && write_table(&table, argv[1], argv[3]) == 0 ? 0 : 1;
}
