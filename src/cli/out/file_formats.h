/* SPDX-License-Identifier: MIT */
/* File formats: every key of the files that users write, as tables from which the manual page of
 * section 5 is made. tests/cli/out/file_formats_test.c compares them with the keys that the readers
 * take. */
#ifndef METAMER_CLI_OUT_FILE_FORMATS_H
#define METAMER_CLI_OUT_FILE_FORMATS_H

#include <stdbool.h>
#include <stddef.h>

/** One key of an object. */
struct file_key {
    const char *name;    /**< NULL ends a table */
    const char *value;   /**< what it holds: type, unit, range */
    const char *missing; /**< what holds where it is missing; NULL: it must be there */
    const char *meaning; /**< a sentence without a full stop */
    /** names of the values that are allowed, then NULL; NULL where value says all */
    const char *(*choice_at)(size_t index);
    const char *example; /**< a value, as JSON */
};

/** One object of a file: the root, or what stands in it. */
struct file_object {
    const char *title; /**< NULL ends a table */
    const char *about; /**< sentences; "" for none */
    const struct file_key *keys;
};

/** One format of files. */
struct file_format {
    const char *name;    /**< value of the key "metamer": "rig/1"; NULL ends a table */
    const char *about;   /**< sentences */
    const char *example; /**< a whole file, or NULL */
    const struct file_object *objects;
};

/** One name that files use, with what it stands for. */
struct file_name {
    const char *name;
    char value[64];      /**< range and default of a number; "" for none */
    const char *meaning; /**< a sentence without a full stop */
    const char *more;    /**< other ways to write the name, with bars between; or NULL */
};

/** Names that are made from the library's own tables. */
struct file_names {
    const char *topic; /**< "readings": what they belong to; NULL ends a table */
    const char *title;
    const char *about;                                   /**< sentences */
    bool (*row_at)(size_t index, struct file_name *row); /**< false past the last */
};

/** All of them, topic by topic; ends with a NULL topic. */
extern const struct file_names file_names[];

/** The grammar of readings as a table, in paragraphs. */
extern const char file_about_tables[];

/** True if a format is what a topic is about: "rig" of "rig/1". */
bool file_format_is(const struct file_format *format, const char *topic);
/** The example of a key as it stands in a file: "peak_nm": 630. */
void file_example(const struct file_key *key, char *text, size_t room);
/** A topic of "metamer help": the formats' names without their version, and "colours"; NULL past
 *  the last. */
const char *file_topic_at(size_t index);

/** A limit of the reader, as text: a constant that is a whole number. */
#define FILE_LIMIT(constant) FILE_LIMIT_TEXT(constant)
#define FILE_LIMIT_TEXT(number) #number

/* What every file, and nearly every object, may hold. */
#define FILE_KEY_FORMAT(format)                                                                    \
    {                                                                                              \
        "metamer", "\"" format "\"", NULL, "the kind of file and its version", NULL,               \
            "\"" format "\""                                                                       \
    }
#define FILE_KEY_NOTE                                                                              \
    {                                                                                              \
        "note", "anything", "none", "free text; nothing reads it", NULL, "\"hung in May\""         \
    }

/* Parts of the table that stand in files of their own. */
extern const struct file_object file_show_objects[], file_palette_objects[],
    file_readings_objects[], file_calibration_objects[], file_meter_objects[];

/** Every format of files that is JSON; ends with a NULL name. */
extern const struct file_format file_formats[];

#endif
