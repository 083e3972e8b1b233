/* SPDX-License-Identifier: MIT */
/* CSV: lines and fields of a table in memory, cut up in place. */
#include "base/csv.h"

#include <stddef.h>
#include <string.h>

bool mtmi_csv_line(char **next, char **line)
{
    char *begin = *next;

    if (begin == NULL || *begin == '\0')
        return false;
    char *end = begin + strcspn(begin, "\r\n");
    *next = *end == '\0' ? NULL : end + (end[0] == '\r' && end[1] == '\n' ? 2 : 1);
    *end = '\0';
    *line = begin;
    return true;
}

/* Takes the quotes off in place, doubled quotes become one. Returns what lies behind. */
static char *unquote(char *at)
{
    char *to = at;
    char *from = at + 1;

    while (*from != '\0' && (from[0] != '"' || from[1] == '"')) {
        from += *from == '"' ? 1 : 0;
        *to++ = *from++;
    }
    char *behind = *from == '"' ? from + 1 : from;
    *to = '\0';
    return behind;
}

char *mtmi_csv_field(char **at, char separator)
{
    const char stop[] = {separator, separator == MTMI_CSV_BLANK ? '\t' : separator, '\0'};
    char *begin = *at + strspn(*at, separator == '\t' ? " " : " \t");
    char *end = *begin == '"' ? unquote(begin) : begin;

    end += strcspn(end, stop);
    *at = *end == '\0' ? NULL : end + 1;
    *end = '\0';
    begin += strspn(begin, " \t");
    for (char *last = begin + strlen(begin); last > begin && (last[-1] == ' ' || last[-1] == '\t');)
        *--last = '\0';
    return begin;
}
