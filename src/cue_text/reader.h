/* SPDX-License-Identifier: MIT */
/* Cue text: what the parts of the reader share. */
#ifndef METAMER_CUE_TEXT_READER_H
#define METAMER_CUE_TEXT_READER_H

#include "cue_text/cue_text.h"
#include "cue_text/draft.h"

/* What the lines that follow belong to. */
typedef enum mtmi_cue_block {
    MTMI_BLOCK_NONE = 0,
    MTMI_BLOCK_CUE,
    MTMI_BLOCK_GROUP,
    MTMI_BLOCK_SUB,
    MTMI_BLOCK_FOREIGN, /* one maker's own */
    MTMI_BLOCK_DROPPED  /* opened with a number that is none */
} mtmi_cue_block;

/** A text being read. Large, so keep it on the heap. */
typedef struct mtmi_cue_reader {
    mtm_cue_sheet *sheet;
    const mtm_cue_read_options *options;
    size_t line;
    mtmi_cue_block block;
    bool done;       /* past ENDDATA */
    bool told_after; /* that something follows it */
    bool failed;     /* out of memory */
    size_t instructions;
    size_t ident_line; /* of the first instruction, for what misses an IDENT */
    bool has_ident;
    size_t foreign_lines;
    size_t foreign_first;
    bool told_default;
    bool seen[MTM_CUE_CHANNEL_MAX + 1]; /* channels of any cue */
    size_t seen_count;
    size_t fewest; /* channels of a cue, and where that was */
    size_t fewest_line;
    bool any_cue;
    mtmi_draft draft;
} mtmi_cue_reader;

/** Remarks on the line being read; a failed allocation is remembered. */
#define MTMI_CUE_REMARK(read, code, ...)                                                           \
    do {                                                                                           \
        if (!mtmi_cue_remark_add((read)->sheet, (read)->line, (code), __VA_ARGS__))                \
            (read)->failed = true;                                                                 \
    } while (0)

/** The next word at *at, which is ended with a NUL; NULL at the end of the line. */
char *mtmi_cue_next_word(char **at);
/** Remarks where words are left: more than an instruction takes are passed over. */
void mtmi_cue_expect_end(mtmi_cue_reader *read, char *rest);
/** Case aside. */
bool mtmi_cue_same_word(const char *a, const char *b);

/* Values; each remarks where the word is none, and says so. */
bool mtmi_cue_take_level(mtmi_cue_reader *read, const char *word, uint8_t *level);
/** A channel, dimmer, page or part: 1 to 65535. */
bool mtmi_cue_take_count(mtmi_cue_reader *read, const char *word, const char *what,
                         uint16_t *number);
/** word may be NULL, which is none. */
bool mtmi_cue_take_time(mtmi_cue_reader *read, const char *word, const char *what, double *seconds);

/** Which secondary keyword fits which block; bits. */
enum { MTMI_IN_CUE = 1, MTMI_IN_GROUP = 2, MTMI_IN_SUB = 4 };

/** A keyword and what takes the rest of its line. */
typedef struct mtmi_cue_keyword {
    const char *name;
    void (*take)(mtmi_cue_reader *read, char *rest);
    int blocks; /* 0: basic or primary, which closes the open block */
} mtmi_cue_keyword;

/** Basic keywords (clause 8); ends with a NULL name. */
extern const mtmi_cue_keyword mtmi_cue_basic[];
/** Primary and secondary keywords (clauses 9 and 10); ends with a NULL name. */
extern const mtmi_cue_keyword mtmi_cue_blocks[];

/** Ends the open block, and keeps what it holds. */
void mtmi_cue_close_block(mtmi_cue_reader *read);

#endif
