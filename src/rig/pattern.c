/* SPDX-License-Identifier: MIT */
/* Pattern: names with * for any characters, ? for one and 1..4 for a number. */
#include "rig/pattern.h"

#include <string.h>

#define DIGITS_MAX 9 /* of a number that fits into 32 bits */

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Takes the digits at *at; false where there are none, or too many for a number. */
static bool take_number(const char **at, unsigned *number)
{
    const char *begin = *at;

    *number = 0;
    for (; is_digit(**at); ++*at) {
        if (*at - begin < DIGITS_MAX)
            *number = *number * 10 + (unsigned)(**at - '0');
    }
    return *at > begin && *at - begin <= DIGITS_MAX;
}

/* "1..4" at a place of the text; false where there is no such thing. */
static bool read_range(const char *text, size_t from, mtmi_pattern_part *part)
{
    const char *at = text + from;

    *part = (mtmi_pattern_part){.kind = MTMI_PART_NUMBER, .from = from};
    if (!take_number(&at, &part->first) || strncmp(at, "..", 2) != 0)
        return false;
    at += 2;
    if (!take_number(&at, &part->last))
        return false;
    part->to = (size_t)(at - text);
    return true;
}

void mtmi_pattern_read(const char *text, mtmi_pattern *pattern)
{
    pattern->count = 0;
    pattern->plain = true;
    for (size_t at = 0; text[at] != '\0' && pattern->count < MTMI_PATTERN_MAX;) {
        mtmi_pattern_part *part = &pattern->part[pattern->count++];
        bool begins = is_digit(text[at]) && (at == 0 || !is_digit(text[at - 1]));
        if (begins && read_range(text, at, part)) {
            at = part->to;
        } else {
            *part = (mtmi_pattern_part){.kind = text[at] == '*'   ? MTMI_PART_ANY
                                                : text[at] == '?' ? MTMI_PART_ONE
                                                                  : MTMI_PART_BYTE,
                                        .byte = text[at]};
            at++;
        }
        pattern->plain = pattern->plain && part->kind == MTMI_PART_BYTE;
    }
}

/* Takes what a part wants from a name at *at; not for MTMI_PART_ANY. */
static bool take_part(const mtmi_pattern_part *part, const char *name, const char **at)
{
    unsigned number = 0;

    if (part->kind == MTMI_PART_NUMBER)
        return (*at == name || !is_digit((*at)[-1])) && take_number(at, &number) &&
               number >= part->first && number <= part->last;
    if (**at == '\0' || (part->kind == MTMI_PART_BYTE && **at != part->byte))
        return false;
    ++*at;
    while (part->kind == MTMI_PART_ONE && ((unsigned char)**at & 0xc0U) == 0x80U)
        ++*at; /* the rest of a character in UTF-8 */
    return true;
}

/* What stands behind a * is taken where it is met first: further right there is only less room for
 * what follows, so only the last * is ever moved. */
bool mtmi_pattern_meets(const mtmi_pattern *pattern, const char *name)
{
    const char *at = name;
    const char *star_at = NULL; /* up to where the last * reaches */
    size_t behind_star = 0;
    size_t i = 0;

    for (;;) {
        if (i < pattern->count && pattern->part[i].kind == MTMI_PART_ANY) {
            behind_star = ++i;
            star_at = at;
            continue;
        }
        if (i == pattern->count && *at == '\0')
            return true;
        const char *next = at;
        if (i < pattern->count && take_part(&pattern->part[i], name, &next)) {
            at = next;
            i++;
            continue;
        }
        if (star_at == NULL || *star_at == '\0')
            return false;
        at = ++star_at;
        i = behind_star;
    }
}
