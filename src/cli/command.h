/* SPDX-License-Identifier: MIT */
/* Command: what a command is; its options are a table from which parsing, help, the manual page and
 * completion are made. To add one: write cmd_NAME.c with one const struct command, list it in
 * commands.c and meson.build, add tests under tests/cli. */
#ifndef METAMER_CLI_COMMAND_H
#define METAMER_CLI_COMMAND_H

#include <metamer/base.h>

#include <stddef.h>
#include <stdio.h>

/** Exit statuses of every command. */
enum {
    EXIT_DONE = 0,   /**< done */
    EXIT_MISSED = 1, /**< done, but a stated tolerance was missed */
    EXIT_USAGE = 2,  /**< bad input or usage */
    EXIT_SYSTEM = 3  /**< the system failed: disk, network, memory */
};

/** What an option's value is. */
enum value_type {
    VALUE_NONE = 0, /**< a flag */
    VALUE_TEXT,     /**< anything not empty */
    VALUE_WRITTEN,  /**< a file that is written: none that the command line names beside it */
    VALUE_NUMBER,   /**< a number from least to most */
    VALUE_INTEGER,  /**< a whole number from least to most */
    VALUE_CHOICE    /**< one of choices */
};

/**
 * What a choice may be: rows of a table, each with its name, which is what the user says, and with
 * what it stands for. The first row is taken where the option is not given; a NULL name ends the
 * table. Parsing, help, completion and args_choice all go by it.
 */
struct choices {
    const void *rows;
    size_t size;                         /**< of a row */
    size_t name_at;                      /**< where its name stands in it */
    const void *(*row_at)(size_t index); /**< in place of rows: NULL past the last */
};
#define CHOICES(type, table)                                                                       \
    {                                                                                              \
        (table), sizeof(type), offsetof(type, name), NULL                                          \
    }
/** Rows of a table of the library. */
#define CHOICES_AT(type, row_at)                                                                   \
    {                                                                                              \
        NULL, sizeof(type), offsetof(type, name), (row_at)                                         \
    }

/** A row; index at most that of the end. */
const void *choice_row(const struct choices *choices, size_t index);
/** Name of a row; NULL past the last. */
const char *choice_name(const struct choices *choices, size_t index);

/** One option: --name METAVAR. */
struct option_spec {
    const char *name;    /**< without the dashes; NULL ends a table */
    const char *metavar; /**< NULL for a flag */
    const char *help;    /**< a sentence without a full stop */
    enum value_type type;
    char letter;            /**< that stands for it behind one dash, as in -o; 0: none */
    bool repeats;           /**< may be given more than once */
    bool goes_on;           /**< a file that may be written again: all it holds is taken over */
    double least, most;     /**< for numbers */
    struct choices choices; /**< for VALUE_CHOICE */
    /** Options without which it would do nothing: one of them must be given. Split by blanks;
     *  "goal=rendering" is that value of --goal. NULL: none. */
    const char *with;
    /** Options beside which it makes no sense, written likewise; stated by one of the two. */
    const char *against;
};

/*
 * Rows of an option table, by what the value is. The help stands last, and behind it, where they
 * apply, .with, .against, .repeats and .goes_on.
 */
#define OPTION_FLAG(name_, ...)                                                                    \
    {                                                                                              \
        .name = (name_), .help = __VA_ARGS__                                                       \
    }
#define OPTION_OF(type_, name_, metavar_, ...)                                                     \
    {                                                                                              \
        .type = (type_), .name = (name_), .metavar = (metavar_), .help = __VA_ARGS__               \
    }
#define OPTION_TEXT(name_, metavar_, ...) OPTION_OF(VALUE_TEXT, name_, metavar_, __VA_ARGS__)
#define OPTION_WRITTEN(name_, metavar_, ...) OPTION_OF(VALUE_WRITTEN, name_, metavar_, __VA_ARGS__)
#define OPTION_NUMBER(name_, metavar_, least_, most_, ...)                                         \
    OPTION_OF(VALUE_NUMBER, name_, metavar_, __VA_ARGS__, .least = (least_), .most = (most_))
#define OPTION_WHOLE(name_, metavar_, least_, most_, ...)                                          \
    OPTION_OF(VALUE_INTEGER, name_, metavar_, __VA_ARGS__, .least = (least_), .most = (most_))
/** table: an array of type, ended by a row without a name; see struct choices. */
#define OPTION_CHOICE(name_, metavar_, type, table, ...)                                           \
    OPTION_OF(VALUE_CHOICE, name_, metavar_, __VA_ARGS__, .choices = CHOICES(type, table))
#define OPTION_CHOICE_AT(name_, metavar_, type, row_at_, ...)                                      \
    OPTION_OF(VALUE_CHOICE, name_, metavar_, __VA_ARGS__, .choices = CHOICES_AT(type, row_at_))

/** Options under a heading; a NULL title ends a list of groups; "" goes on with the one before. */
struct option_group {
    const char *title;
    const struct option_spec *options;
    const char *with, *against; /**< of all its options, as in option_spec */
};

struct args;

/** Where a run writes, and what it leaves. */
struct outlet {
    FILE *out, *err;
    int status; /**< of a run that did what it was asked; EXIT_DONE unless it says otherwise */
};

/** One command. */
struct command {
    const char *name;
    const char *summary; /**< one line */
    const char *usage;   /**< the words it takes: "RIG" */
    const char *details; /**< paragraphs for help and the manual page, split by blank lines */
    const char *const
        *examples; /**< command lines that work in the source folder; ends with NULL */
    size_t words_least, words_most;
    const struct option_group *groups;
    mtm_result (*run)(const struct args *args, struct outlet *to, mtm_error *error);
};

/** An option of a command, over all its groups; NULL past the last. */
const struct option_spec *command_option(const struct command *command, size_t index);

/** Every command; ends with NULL. */
extern const struct command *const commands[];

/** A command by name; NULL if there is none. */
const struct command *command_find(const char *name);

/** Runs the program: argv[0] is its own name. Returns the exit status. */
int command_main(int argc, char **argv, FILE *out, FILE *err);

#endif
