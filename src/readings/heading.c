/* SPDX-License-Identifier: MIT */
/* Headings of a table of readings: what stands in a column, by the words over it. A heading is
 * words that name a quantity, words that say no more than that ("CIE", "1931"), and perhaps a unit
 * of measure. Anything else in it might mean something else ("x 10°"), so such a column is not
 * used. */
#include "readings/heading.h"

#include "base/number.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

/* A wavelength column reads as a number in this range. */
#define NM_MIN 200.0
#define NM_MAX 1100.0
/* Room for the folded words of a heading; a longer one is none that is known. */
#define WORDS_ROOM 96
#define WORDS_MAX 12

/* One lumen per square foot in lux; the foot is 0.3048 m (international yard and pound, 1959). */
#define LX_PER_FOOT_CANDLE (1 / (0.3048 * 0.3048))
/* 1/pi candela per square foot in cd/m2. */
#define CD_M2_PER_FOOT_LAMBERT (LX_PER_FOOT_CANDLE / 3.14159265358979323846)

enum measure { NO_MEASURE, KELVIN, LUX, LUMINANCE, ANY_LIGHT };

/* Units of measure, folded. */
static const struct unit_word {
    const char *word;
    enum measure measure;
    double scale;
} unit_words[] = {
    {"k", KELVIN, 1},
    {"kelvin", KELVIN, 1},
    {"lx", LUX, 1},
    {"lux", LUX, 1},
    {"lm/m2", LUX, 1},
    {"klx", LUX, 1000},
    {"klux", LUX, 1000},
    {"fc", LUX, LX_PER_FOOT_CANDLE},
    {"ftcd", LUX, LX_PER_FOOT_CANDLE},
    {"footcandle", LUX, LX_PER_FOOT_CANDLE},
    {"footcandles", LUX, LX_PER_FOOT_CANDLE},
    {"cd/m2", LUMINANCE, 1},
    {"kcd/m2", LUMINANCE, 1000},
    {"nit", LUMINANCE, 1},
    {"nits", LUMINANCE, 1},
    {"fl", LUMINANCE, CD_M2_PER_FOOT_LAMBERT},
    {"ftl", LUMINANCE, CD_M2_PER_FOOT_LAMBERT},
    {"footlambert", LUMINANCE, CD_M2_PER_FOOT_LAMBERT},
    {"footlamberts", LUMINANCE, CD_M2_PER_FOOT_LAMBERT},
};

/* Words that say nothing more of a quantity, each within blanks. */
#define OF_1931 " cie 1931 31 cie1931 2deg chromaticity coordinate coordinates tristimulus value "
#define OF_1976 " cie 1976 76 cie1976 ucs chromaticity coordinate coordinates value "
#define OF_WHITE " cie 1960 value "
#define OF_LIGHT " measured value "

/* What a heading may name; the headings are folded, with bars between. */
static const struct quantity {
    mtm_reading_column shown;
    mtmi_column_type type;
    mtmi_field field;
    enum measure measure;
    const char *more;       /* words that may stand beside it */
    const char *needs_unit; /* headings that stand for it only with a unit of measure */
} quantities[] = {
#define SENT(type, name, meaning)                                                                  \
    {                                                                                              \
        {name, name, meaning}, MTMI_COLUMN_##type, 0, NO_MEASURE, "", ""                           \
    }
#define READ(field, measure, more, needs_unit, name, headings, meaning)                            \
    {                                                                                              \
        {name, headings, meaning}, MTMI_COLUMN_FIELD, MTMI_FIELD_##field, measure, more,           \
            needs_unit                                                                             \
    }
    SENT(UNIT, "unit", "name of a unit of the rig; empty for the room"),
    SENT(EMITTER, "emitter", "name of the emitter that is lit alone, \"all\" or \"dark\""),
    SENT(CODE, "code", "the code that it is lit at, or \"full\""),
    SENT(CODES, "codes", "codes that are sent: \"red=255 lime=0\", or in the fixture's order"),
    SENT(SLOTS, "slots", "the values of all slots of the unit, in order"),
    READ(SMALL_X, NO_MEASURE, OF_1931, "", "x", "x", "CIE 1931 chromaticity, with y"),
    READ(SMALL_Y, NO_MEASURE, OF_1931, "", "y", "y", "CIE 1931 chromaticity"),
    READ(X, NO_MEASURE, OF_1931, "", "X", "X", "tristimulus value, with Y and Z"),
    READ(Y, ANY_LIGHT, OF_1931, "", "Y", "Y",
         "tristimulus value: light in whatever the meter counts, or in the unit stated"),
    READ(Z, NO_MEASURE, OF_1931, "", "Z", "Z", "tristimulus value"),
    READ(U, NO_MEASURE, OF_1976, "", "u'", "u'", "CIE 1976 chromaticity, with v'"),
    READ(V, NO_MEASURE, OF_1976, "", "v'", "v'", "CIE 1976 chromaticity"),
    READ(CCT, KELVIN, OF_LIGHT, "", "cct",
         "cct|tcp|colour temperature|color temperature|correlated colour temperature|"
         "correlated color temperature",
         "correlated colour temperature in kelvin, with duv"),
    READ(DUV, NO_MEASURE, OF_WHITE, "", "duv", "duv|delta uv|deltauv|d uv",
         "distance from the Planckian locus"),
    READ(LUX, LUX, OF_LIGHT, "E|EV", "lux", "lux|lx|Ev|ev|illuminance", "illuminance"),
    READ(LUMINANCE, LUMINANCE, OF_LIGHT, "L|LV", "luminance", "luminance|Lv|lv|cd/m2", "luminance"),
};

#define QUANTITY_COUNT (sizeof quantities / sizeof quantities[0])

const mtm_reading_column *mtm_reading_column_at(size_t index)
{
    return index < QUANTITY_COUNT ? &quantities[index].shown : NULL;
}

/* What is written in more than one way: primes, a raised 2, a degree sign, a delta; with the octets
 * of Windows-1252, which is no UTF-8, last. */
static const struct spelling {
    const char *from, *to;
} spellings[] = {
    {"\xe2\x80\xb2", "'"},
    {"\xe2\x80\x99", "'"},
    {"\xe2\x80\x98", "'"},
    {"\xc2\xb4", "'"},
    {"`", "'"},
    {"\xc2\xb2", "2"},
    {"^2", "2"},
    {"\xc2\xb0", "deg"},
    {"\xce\x94", "delta"},
    {"\xe2\x88\x86", "delta"},
    {"\xb2", "2"},
    {"\xb4", "'"},
    {"\x92", "'"},
    {"\xb0", "deg"},
};

/* Copies one character as it is spelt here; returns how far text goes on. */
static size_t respell(const char *text, char *to)
{
    for (size_t i = 0; i < sizeof spellings / sizeof spellings[0]; i++) {
        size_t length = strlen(spellings[i].from);
        if (strncmp(text, spellings[i].from, length) == 0) {
            memcpy(to, spellings[i].to, strlen(spellings[i].to) + 1);
            return length;
        }
    }
    to[0] = strchr("_()[]{}:;,", *text) != NULL ? ' ' : *text;
    to[1] = '\0';
    return 1;
}

/* Lower case, but for "Ev" and what is one letter, with or without a prime: they differ by case. */
static void fold_case(char *word)
{
    size_t length = strlen(word);

    if (length == 1 || strcasecmp(word, "ev") == 0 || strcasecmp(word, "lv") == 0)
        return;
    for (; *word != '\0'; word++)
        *word = (char)tolower((unsigned char)*word);
}

/* The words of a heading, folded. */
struct words {
    char text[WORDS_ROOM];
    char *word[WORDS_MAX];
    size_t count;
};

/* False where there are more than a known heading has. */
static bool split(const char *heading, struct words *words)
{
    size_t used = 0;
    char *rest = NULL;

    while (*heading != '\0') {
        char letters[8];
        heading += respell(heading, letters);
        size_t length = strlen(letters);
        if (used + length >= WORDS_ROOM)
            return false;
        memcpy(words->text + used, letters, length);
        used += length;
    }
    words->text[used] = '\0';
    words->count = 0;
    for (char *word = strtok_r(words->text, " \t", &rest); word != NULL;
         word = strtok_r(NULL, " \t", &rest)) {
        if (words->count == WORDS_MAX)
            return false;
        fold_case(word);
        words->word[words->count++] = word;
    }
    return words->count > 0;
}

static const struct unit_word *find_unit(const char *word)
{
    for (size_t i = 0; i < sizeof unit_words / sizeof unit_words[0]; i++) {
        if (strcasecmp(word, unit_words[i].word) == 0)
            return &unit_words[i];
    }
    return NULL;
}

/* True if word (length bytes) stands in a list with a separator between. */
static bool in_list(const char *list, const char *word, size_t length, char separator)
{
    const char stop[] = {separator, '\0'};

    for (;;) {
        size_t here = strcspn(list, stop);
        if (here == length && strncmp(list, word, length) == 0)
            return length > 0;
        if (list[here] == '\0')
            return false;
        list += here + 1;
    }
}

/* The unit of measure that the last word is, where the quantity is measured in it; NULL for none. A
 * heading that begins with another unit ("Lux (fc)") says two things. */
static const struct unit_word *unit_of(const struct words *words, const struct quantity *quantity)
{
    const struct unit_word *unit = find_unit(words->word[words->count - 1]);
    const struct unit_word *first = find_unit(words->word[0]);
    enum measure measure = quantity->measure;

    if (unit == NULL || (first != NULL && first->scale != unit->scale))
        return NULL;
    bool fits = measure == unit->measure ||
                (measure == ANY_LIGHT && (unit->measure == LUX || unit->measure == LUMINANCE));
    return fits ? unit : NULL;
}

static mtmi_column column_of(const struct quantity *quantity, const struct unit_word *unit)
{
    mtmi_column column = {.type = quantity->type, .field = quantity->field, .scale = 1};

    if (unit == NULL)
        return column;
    column.scale = unit->scale;
    if (quantity->measure == ANY_LIGHT)
        column.field = unit->measure == LUX ? MTMI_FIELD_LUX : MTMI_FIELD_LUMINANCE;
    return column;
}

/* True if words [0, count) are this quantity's: its name, and beside it nothing that counts. */
static bool names(const struct quantity *quantity, const struct words *words, size_t count,
                  bool has_unit)
{
    char name[WORDS_ROOM + 1]; /* the words and a blank behind each are no longer than they were */
    size_t used = 0;

    for (size_t i = 0; i < count; i++) {
        size_t length = strlen(words->word[i]);
        if (in_list(quantity->more, words->word[i], length, ' '))
            continue;
        memcpy(name + used, words->word[i], length);
        used += length;
        name[used++] = ' ';
    }
    size_t length = used > 0 ? used - 1 : 0;
    return in_list(quantity->shown.headings, name, length, '|') ||
           (has_unit && in_list(quantity->needs_unit, name, length, '|'));
}

/* "380", "380nm", "380 nm", "380 [nm]", "SPEC_380", "spectral 380 nm". */
static bool wavelength(const struct words *words, double *value)
{
    static const char lead[] = "spec|spectral|spectrum|spd|wl|wavelength|lambda|\xce\xbb";
    size_t first = in_list(lead, words->word[0], strlen(words->word[0]), '|') ? 1 : 0;

    if (first == words->count)
        return false;
    size_t used = mtmi_number_read(words->word[first], value);
    if (used == 0 || !(*value >= NM_MIN && *value <= NM_MAX))
        return false;
    const char *behind = words->word[first] + used;
    if (*behind == '\0' && first + 1 < words->count)
        behind = words->word[++first];
    return first + 1 == words->count && (*behind == '\0' || strcasecmp(behind, "nm") == 0);
}

mtmi_column mtmi_heading_read(const char *heading)
{
    struct words words;
    mtmi_column none = {.scale = 1};

    if (!split(heading, &words))
        return none;
    for (size_t i = 0; i < QUANTITY_COUNT; i++) {
        const struct quantity *quantity = &quantities[i];
        const struct unit_word *unit = unit_of(&words, quantity);
        /* a unit of measure alone names what it measures, "lx" or "fc" */
        bool alone = unit != NULL && words.count == 1 && quantity->measure == unit->measure &&
                     unit->measure != KELVIN;
        if (alone || (unit != NULL && names(quantity, &words, words.count - 1, true)))
            return column_of(quantity, unit);
        if (names(quantity, &words, words.count, false))
            return column_of(quantity, NULL);
    }
    if (wavelength(&words, &none.wavelength_nm))
        none.type = MTMI_COLUMN_SPECTRUM;
    return none;
}

mtmi_column mtmi_heading_named(const char *name, const char *heading)
{
    struct words words;
    bool read = split(heading, &words);

    for (size_t i = 0; i < QUANTITY_COUNT; i++) {
        if (strcmp(name, quantities[i].shown.name) != 0)
            continue;
        mtmi_column column =
            column_of(&quantities[i], read ? unit_of(&words, &quantities[i]) : NULL);
        column.chosen = quantities[i].shown.name;
        return column;
    }
    return (mtmi_column){.scale = 1};
}
