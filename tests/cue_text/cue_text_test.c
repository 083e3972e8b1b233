/* SPDX-License-Identifier: MIT */
/* Cue text: one row a rule of USITT ASCII text 3.0. [V] and [L] rules were seen in the standard's
 * contents list, an annotated sample or a syntax listing that quotes its clauses; [M] rules are
 * from memory; [R] rules are this project's own where the standard could not be read. */
#include "support/check.h"

#include <metamer/cue_text.h>

#include <stdlib.h>

/* A row's text between IDENT 3:0 (line 1) and ENDDATA; what it reads as, written again, lines split
 * by '|' without indentation, head and ENDDATA; and the remarks as "line:code". */
static const struct rule_row {
    const char *name;
    const char *text;
    const char *reads_as;
    const char *remarks;
} rule_rows[] = {
    /* lines and characters, clause 5 */
    {"5 blank lines mean nothing [V]", "\n\nCUE 1\n\n  CHAN 1@H10\n\n", "CUE 1|CHAN 1@H10",
     "4:default-time-used"},
    {"5 letter case means nothing [V]", "cue 1\nUp 5\ndOWN 5\nchan 1@hff",
     "CUE 1|UP 5|DOWN 5|CHAN 1@HFF", ""},
    {"5 over 80 characters, read whole [V][R]",
     "CUE 1\nUP 1\nDOWN 1\n"
     "CHAN 1@H01 2@H02 3@H03 4@H04 5@H05 6@H06 7@H07 8@H08 9@H09 10@H0A 11@H0B 12@H0C 13@H0D",
     "CUE 1|UP 1|DOWN 1|CHAN 1@H01 2@H02 3@H03 4@H04 5@H05 6@H06 7@H07 8@H08 9@H09 10@H0A "
     "11@H0B|CHAN 12@H0C 13@H0D",
     "5:line-too-long"},
    {"5.4 every delimiter, and runs of them [L]",
     "CUE=1\nUP,,5\nDOWN\t;5\nCHAN/1<>H10@@2=H20;,3 H30",
     "CUE 1|UP 5|DOWN 5|CHAN 1@H10 2@H20 3@H30", ""},
    {"5.4 delimiters before the keyword [L]", " \t,CUE 1\n@UP 1\n<DOWN 1", "CUE 1|UP 1|DOWN 1", ""},
    {"5.5 comments [V]", "! all of it\nCUE 1 ! the rest\nUP 1!\nDOWN 1!x\nTEXT in ! out",
     "CUE 1|TEXT in|UP 1|DOWN 1", ""},
    {"5.6 one maker's block is skipped [V][M]", "$LOOK 7\nCHAN 1@H10\nUP 3\nCUE 1\nUP 1\nDOWN 1",
     "CUE 1|UP 1|DOWN 1", "2:manufacturer-skipped"},
    {"5.8 one maker's line is skipped where it stands [V][M]",
     "CUE 1\n$$GEL anything\nUP 1\n$$GEL\nDOWN 1", "CUE 1|UP 1|DOWN 1", "3:manufacturer-skipped"},
    {"5.6 a block of one maker closes a cue [M]", "CUE 1\nUP 1\nDOWN 1\n$X\nCHAN 1@H10",
     "CUE 1|UP 1|DOWN 1", "5:manufacturer-skipped"},
    {"characters beyond ASCII [R]", "CUE 1\nUP 1\nDOWN 1\nTEXT caf\xc3\xa9\nCHAN 1\xa0H10",
     "CUE 1|TEXT caf??|UP 1|DOWN 1|CHAN 1@H10", "5:non-ascii 6:non-ascii"},
    {"control characters [R]", "CUE 1\nUP\0011\nDOWN 1", "CUE 1|UP 1|DOWN 1", "3:non-ascii"},

    /* organisation, clause 6 */
    {"6.3 secondary outside a block [L][M]", "CHAN 1@H10\nUP 5", "",
     "2:secondary-outside-block 3:secondary-outside-block"},
    {"6.3 a basic keyword closes the block [M]", "CUE 1\nUP 1\nDOWN 1\nSET CHANNELS 5\nCHAN 1@H10",
     "CUE 1|UP 1|DOWN 1", "6:secondary-outside-block"},
    {"6.3 what a group does not have [M]", "GROUP 1\nUP 1\nDOWN 1\nFOLLOWON 1\nLINK 2\nTEXT all",
     "GROUP 1|TEXT all",
     "3:secondary-not-allowed 4:secondary-not-allowed 5:secondary-not-allowed "
     "6:secondary-not-allowed"},
    {"6.3 what a submaster does not have [M]", "SUB 1\nUP 1\nDOWN 2\nPART 1\nFOLLOWON 3\nLINK 1",
     "SUB 1|UP 1|DOWN 2",
     "5:secondary-not-allowed 6:secondary-not-allowed 7:secondary-not-allowed"},
    {"6 the later of two cues counts [M][R]",
     "CUE 1\nUP 1\nDOWN 1\nCHAN 1@H10 2@H20\nCUE 1\nUP 2\nDOWN 2\nCHAN 1@H11 2@H20",
     "CUE 1|UP 2|DOWN 2|CHAN 1@H11 2@H20", "6:repeat"},
    {"6 the later of two levels counts [M][R]", "CUE 1\nUP 1\nDOWN 1\nCHAN 1@H10 1@H11\nCHAN 1@H12",
     "CUE 1|UP 1|DOWN 1|CHAN 1@H12", "5:repeat 6:repeat"},
    {"unknown keyword, and on [M]", "CUE 1\nDATE 2031\nUP 1\nDOWN 1", "CUE 1|UP 1|DOWN 1",
     "3:unknown-keyword"},
    {"a bad pair is dropped, not the line [R]",
     "CUE 1\nUP 1\nDOWN 1\nCHAN 0@H10 2@H20 3@101 4@H40 x@1", "CUE 1|UP 1|DOWN 1|CHAN 2@H20 4@H40",
     "5:bad-number 5:bad-level 5:bad-number"},

    /* data types, clause 7 */
    {"7.2 integers to 65535 [L]", "CUE 1\nUP 1\nDOWN 1\nCHAN 65535@H10\nCHAN 65536@H10",
     "CUE 1|UP 1|DOWN 1|CHAN 65535@H10", "6:bad-number"},
    {"7.4 cue numbers with a tenth [L]", "CUE 9999.9\nUP 1\nDOWN 1\nCUE 0.1\nUP 1\nDOWN 1",
     "CUE 0.1|UP 1|DOWN 1|CUE 9999.9|UP 1|DOWN 1", ""},
    {"7.4 what is no cue number [L]",
     "CUE 0\nUP 1\nCUE 10000\nCUE 1.25\nCUE .5\nCUE x\nCUE\nCUE 1.\nCUE -1", "",
     "2:bad-number 4:bad-number 5:bad-number 6:bad-number 7:bad-number 8:bad-number 9:bad-number "
     "10:bad-number"},
    {"7.5.1 percent [L][R]", "CUE 1\nUP 1\nDOWN 1\nCHAN 1@0 2@1 3@50 4@99 5@100",
     "CUE 1|UP 1|DOWN 1|CHAN 1@H00 2@H03 3@H80 4@HFC 5@HFF", ""},
    {"7.5.1 what is no percent [L]", "CUE 1\nUP 1\nDOWN 1\nCHAN 1@101 2@-1 3@5% 4@1.5",
     "CUE 1|UP 1|DOWN 1", "5:bad-level 5:bad-level 5:bad-level 5:bad-level"},
    {"7.5.2 hex [L]", "CUE 1\nUP 1\nDOWN 1\nCHAN 1@H0 2@HF 3@h0f 4@HFF",
     "CUE 1|UP 1|DOWN 1|CHAN 1@H00 2@H0F 3@H0F 4@HFF", ""},
    {"7.5.2 hex of 16 bits [L][R]", "CUE 1\nUP 1\nDOWN 1\nCHAN 1@HC35A 2@H100 3@H12345",
     "CUE 1|UP 1|DOWN 1|CHAN 1@HC3 2@H01", "5:level-wide-hex 5:level-wide-hex 5:bad-level"},
    {"full as a word [R]", "CUE 1\nUP 1\nDOWN 1\nCHAN 1@FL 2@fl",
     "CUE 1|UP 1|DOWN 1|CHAN 1@HFF 2@HFF", "5:level-word 5:level-word"},
    {"7.7 times [L]", "CUE 1\nUP 05\nDOWN 0:05\nFOLLOWON 1:02:03.4",
     "CUE 1|UP 5|DOWN 5|FOLLOWON 1:02:03.4", ""},
    {"7.7 seconds alone, minutes above 59, more digits [R]",
     "CUE 1\nUP 120\nDOWN 0:90\nFOLLOWON 5.04", "CUE 1|UP 2:00|DOWN 1:30|FOLLOWON 5", ""},
    {"7.7 what is no time [L]",
     "CUE 1\nUP x\nDOWN 1:2:3:4\nFOLLOWON 5.\nUP -1\nUP 100:00\nUP :5\nUP", "CUE 1",
     "2:default-time-used 3:bad-time 4:bad-time 5:bad-time 6:bad-time 7:bad-time 8:bad-time "
     "9:bad-time"},

    /* basic keywords, clause 8 */
    {"8.1 CLEAR of all kinds [M]", "CLEAR ALL\nCLEAR CUES\nCLEAR groups\nCLEAR SUBS\nCLEAR PATCH",
     "", ""},
    {"8.1 CLEAR of something else [R]", "CLEAR EVERYTHING\nCLEAR", "",
     "2:unknown-value 3:unknown-value"},
    {"8.1 CLEAR erases what came before [M]",
     "CUE 1\nUP 1\nDOWN 1\nGROUP 1\nCLEAR CUES\nCUE 2\nUP 1\nDOWN 1", "CUE 2|UP 1|DOWN 1|GROUP 1",
     "6:clear-late"},
    {"8.2 CONSOLE and MANUFACTURER [L]", "MANUFACTURER HALL\nCONSOLE abc123DEF4",
     "MANUFACTURER HALL|CONSOLE abc123DEF4", ""},
    {"8.2 what is no identifier [L]", "MANUFACTURER ELEVENCHARS\nCONSOLE a-b\nCONSOLE", "",
     "2:bad-identifier 3:bad-identifier 4:bad-identifier"},
    {"8.6 PATCH in triples [M]", "PATCH 1 1<101@HFF 2 102 50\nPATCH 1 1<103",
     "PATCH 1 1<101@HFF 2<102@H80", "3:odd-parameters"},
    {"8.6 PATCH with bad triples [R]",
     "PATCH 0 1<1@HFF\nPATCH\nPATCH 1 0<1@HFF 2<2@HFF 3<x@HFF 4<4@H", "PATCH 1 2<2@HFF",
     "2:bad-number 3:odd-parameters 4:bad-number 4:bad-number 4:bad-level"},
    {"8.6 a dimmer has one channel [M]", "PATCH 1 1<5@HFF\nPATCH 1 2<5@HFF 2<6@HFF",
     "PATCH 1 2<5@HFF 2<6@HFF", "3:repeat"},
    {"8.7 SET [M]", "SET CHANNELS 12\nSET PATCH 1\nSET DEFAULT UP 3\nSET DEFAULT DOWN 1:00",
     "SET DEFAULT UP 3|SET DEFAULT DOWN 1:00", ""},
    {"8.7 SET of something else [R]",
     "SET SPEED 5\nSET\nSET DEFAULT LEFT 5\nSET DEFAULT UP x\nSET CHANNELS", "",
     "2:unknown-value 3:unknown-value 4:unknown-value 5:bad-time 6:odd-parameters"},

    /* primary keywords, clause 9, and secondary ones, clause 10 */
    {"9 CUE, GROUP, SUB with pages [M][R]",
     "CUE 1 2\nUP 1\nDOWN 1\nGROUP 1 3\nSUB 1 4\nUP 1\nDOWN 1",
     "CUE 1|UP 1|DOWN 1|GROUP 1|SUB 1|UP 1|DOWN 1", ""},
    {"9 one parameter too many", "CUE 1 2 3\nUP 1\nDOWN 1 2 3\nLINK 2 3\nPART 1 2",
     "CUE 1|UP 1|DOWN 1 2|LINK 2|PART 1",
     "2:odd-parameters 4:odd-parameters 5:odd-parameters "
     "6:odd-parameters"},
    {"10.1 CHAN on several lines [M]", "CUE 1\nUP 1\nDOWN 1\nCHAN 3@H30\nCHAN 1@H10 2@H20",
     "CUE 1|UP 1|DOWN 1|CHAN 1@H10 2@H20 3@H30", ""},
    {"10.1 CHAN not in pairs [R]", "CUE 1\nUP 1\nDOWN 1\nCHAN 1@H10 2\nCHAN",
     "CUE 1|UP 1|DOWN 1|CHAN 1@H10", "5:odd-parameters 6:odd-parameters"},
    {"10.2 10.7 times and waits [M]", "CUE 1\nUP 5 2.5\nDOWN 7 0", "CUE 1|UP 5 2.5|DOWN 7", ""},
    {"10.2 10.7 times given twice [M]", "CUE 1\nUP 5\nUP 6\nDOWN 7\nDOWN x", "CUE 1|UP 6|DOWN 7",
     "4:repeat 6:bad-time"},
    {"10.3 FOLLOWON [M]", "CUE 1\nUP 5\nDOWN 5\nFOLLOWON 2:10", "CUE 1|UP 5|DOWN 5|FOLLOWON 2:10",
     ""},
    {"10.4 LINK [M]", "CUE 1\nUP 5\nDOWN 5\nLINK 2.5\nLINK x\nLINK", "CUE 1|UP 5|DOWN 5|LINK 2.5",
     "6:bad-number 7:bad-number"},
    {"10.5 PART with its own lines [M]",
     "CUE 2\nUP 1:30\nDOWN 2:00\nPART 1\nTEXT sky\nCHAN 11@H20\nPART 2\nUP 10\nDOWN 10\nCHAN 1@H00",
     "CUE 2|UP 1:30|DOWN 2:00|PART 1|TEXT sky|CHAN 11@H20|PART 2|UP 10|DOWN 10|CHAN 1@H00", ""},
    {"10.5 a channel belongs to one part [M]",
     "CUE 1\nUP 1\nDOWN 1\nPART 2\nCHAN 1@H10 2@H20\nPART 1\nCHAN 1@H11\nPART 2\nCHAN 3@H30",
     "CUE 1|UP 1|DOWN 1|PART 1|CHAN 1@H11|PART 2|CHAN 2@H20 3@H30", "8:repeat 9:repeat"},
    {"10.5 what is no part [L]", "CUE 1\nUP 1\nDOWN 1\nPART\nPART 0\nPART x", "CUE 1|UP 1|DOWN 1",
     "5:odd-parameters 6:bad-number 7:bad-number"},
    {"10.6 TEXT is the rest of the line [M]",
     "CUE 1\nTEXT  House down, warm / cold  \nUP 1\nDOWN 1",
     "CUE 1|TEXT House down, warm / cold|UP 1|DOWN 1", ""},
    {"10.6 TEXT given twice [R]", "CUE 1\nTEXT a\nTEXT b\nUP 1\nDOWN 1", "CUE 1|TEXT b|UP 1|DOWN 1",
     "4:repeat"},
    {"6 cues that leave out channels [R]",
     "CUE 1\nUP 1\nDOWN 1\nCHAN 1@H10 2@H20\nCUE 2\nUP 1\nDOWN 1\nCHAN 1@H00",
     "CUE 1|UP 1|DOWN 1|CHAN 1@H10 2@H20|CUE 2|UP 1|DOWN 1|CHAN 1@H00", "6:partial-cue"},
};

static mtm_cue_sheet *read_text(const char *text, size_t length)
{
    mtm_cue_sheet *sheet = NULL;
    mtm_error error = {""};

    if (mtm_cue_text_read(text, length, NULL, &sheet, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return sheet;
}

static void list_remarks(const mtm_cue_sheet *sheet, char *list, size_t room)
{
    size_t used = 0;

    list[0] = '\0';
    for (size_t i = 0; i < mtm_cue_sheet_remark_count(sheet); i++) {
        mtm_cue_remark remark = mtm_cue_sheet_remark(sheet, i);
        assert_true(remark.text[0] != '\0');
        used += (size_t)snprintf(list + used, room - used, "%s%zu:%s", used > 0 ? " " : "",
                                 remark.line, remark.code);
        assert_true(used < room);
    }
}

static char *write_sheet(const mtm_cue_sheet *sheet, mtm_cue_write_options options)
{
    char *text = NULL;
    size_t length = 0;

    assert_int_equal(mtm_cue_text_write(sheet, &options, &text, &length, NULL, NULL), MTM_OK);
    assert_int_equal(strlen(text), length);
    return text;
}

/* Lines without indentation, split by '|', without head and end; every line is checked. */
static void body_of(const char *text, char *body)
{
    *body = '\0';
    for (const char *line = text; *line != '\0';) {
        const char *end = strstr(line, "\r\n");
        assert_non_null(end);
        assert_true(end - line <= 80);
        for (const char *c = line; c < end; c++)
            assert_in_range(*c, 0x20, 0x7e);
        const char *first = line + strspn(line, " ");
        size_t count = (size_t)(end - first);
        line = end + 2;
        if (count == 0 || strncmp(first, "IDENT", 5) == 0 || strncmp(first, "ENDDATA", 7) == 0 ||
            strncmp(first, "SET CHANNELS", 12) == 0)
            continue;
        if (*body != '\0')
            strcat(body, "|"); /* NOLINT(clang-analyzer-security.insecureAPI.strcpy) */
        strncat(body, first, count);
    }
}

static void test_rule(void **state)
{
    const struct rule_row *row = *state;
    char text[2048];
    char remarks[1024];
    char body[4096];

    int length = snprintf(text, sizeof text, "IDENT 3:0\n%s\nENDDATA\n", row->text);
    mtm_cue_sheet *sheet = read_text(text, (size_t)length);
    list_remarks(sheet, remarks, sizeof remarks);
    assert_string_equal(remarks, row->remarks);
    char *written = write_sheet(sheet, (mtm_cue_write_options){.as_given = true});
    body_of(written, body);
    assert_string_equal(body, row->reads_as);
    free(written);
    mtm_cue_sheet_free(sheet);
}

/* Whole texts, for what depends on how they begin and end. */
static const struct whole_row {
    const char *name;
    const char *text;
    const char *remarks;
} whole_rows[] = {
    {"6 IDENT is optional [V]", "CUE 1\nUP 1\nDOWN 1\nENDDATA", "1:ident-missing"},
    {"6 IDENT comes first [V]", "SET CHANNELS 1\nIDENT 3:0\nENDDATA", "2:ident-late"},
    {"8.4 another version [V]", "IDENT 2:0\nENDDATA", "1:ident-version"},
    {"8.4 minor versions are taken", "IDENT 3:7\nENDDATA", ""},
    {"8.4 no version", "IDENT three\nENDDATA", "1:bad-number"},
    {"8.3 no ENDDATA [R]", "IDENT 3:0\nCUE 1\nUP 1\nDOWN 1", "4:no-enddata"},
    {"8.3 nothing is read after ENDDATA [M]", "IDENT 3:0\nENDDATA\n\n! a comment\nCUE 1\nCUE 2",
     "5:after-enddata"},
    {"an empty text", "", "0:no-enddata 1:ident-missing"},
    {"a byte order mark [R]", "\xef\xbb\xbfIDENT 3:0\nENDDATA", ""},
    {"CR [M]", "IDENT 3:0\rCUE 1\rUP x\rUP 1\rDOWN 1\rENDDATA", "3:bad-time"},
    {"CR LF [M]", "IDENT 3:0\r\nCUE 1\r\nUP x\r\nUP 1\r\nDOWN 1\r\nENDDATA\r\n", "3:bad-time"},
    {"all line ends mixed [R]", "IDENT 3:0\r\nCUE 1\nUP x\rUP 1\n\rDOWN x\r\nDOWN 1\nENDDATA",
     "3:bad-time 6:bad-time"},
};

static void test_whole(void **state)
{
    const struct whole_row *row = *state;
    char remarks[1024];
    mtm_cue_sheet *sheet = read_text(row->text, strlen(row->text));

    list_remarks(sheet, remarks, sizeof remarks);
    assert_string_equal(remarks, row->remarks);
    mtm_cue_sheet_free(sheet);
}

/* A show of two fixtures of three emitters, 16-bit (channels 11 to 16) and 8-bit (21 to 23). */
static const char *const example[] = {
    "IDENT 3:0",
    "! Channels 11/12, 13/14, 15/16 are coarse/fine pairs.",
    "MANUFACTURER EXAMPLEMFR",
    "CONSOLE EXAMPLE1",
    "CLEAR ALL",
    "SET CHANNELS 23",
    "SET DEFAULT UP 3",
    "SET DEFAULT DOWN 3",
    "PATCH 1 1<101@HFF",
    "PATCH 1 11<1@HFF 12<2@HFF 13<3@HFF 14<4@HFF 15<5@HFF 16<6@HFF",
    "PATCH 1 21<7@HFF 22<8@HFF 23<9@H80",
    "",
    "CUE 1",
    "  TEXT House down, warm wash",
    "  UP 5",
    "  DOWN 7.5",
    "  CHAN 1@H40",
    "  CHAN 11@HC3 12@H5A 13@H4E 14@H07 15@H02 16@HF0",
    "  CHAN 21@HC3 22@H4E 23@H03",
    "",
    "CUE 2",
    "  TEXT Dawn",
    "  UP 1:30",
    "  DOWN 2:00",
    "  FOLLOWON 2:10",
    "  PART 1",
    "    TEXT sky",
    "    CHAN 11@H20 12@H00 13@H31 14@H80 15@H8F 16@H11",
    "  PART 2",
    "    TEXT floor",
    "    UP 10",
    "    DOWN 10",
    "    CHAN 1@H00 21@H18 22@H30 23@H90",
    "",
    "CUE 2.5",
    "  TEXT Out",
    "  UP 0",
    "  DOWN 2",
    "  LINK 1",
    "  CHAN 1@H00 11@H00 12@H00 13@H00 14@H00 15@H00 16@H00",
    "  CHAN 21@H00 22@H00 23@H00",
    "",
    "GROUP 1",
    "  TEXT All colour",
    "  CHAN 11@HFF 13@HFF 15@HFF 21@HFF 22@HFF 23@HFF",
    "",
    "SUB 1",
    "  TEXT Floor blue",
    "  UP 0",
    "  DOWN 0",
    "  CHAN 23@HFF",
    "",
    "ENDDATA",
};

/* The example with each line changed in some way. */
static size_t example_text(char *text, const char *line_end, char delimiter, bool lower,
                           const char *before_each)
{
    size_t used = 0;

    for (size_t i = 0; i < COUNT(example); i++) {
        bool is_text = strstr(example[i], "TEXT") != NULL;
        if (i > 0)
            used += (size_t)sprintf(text + used, "%s", before_each);
        for (const char *c = example[i]; *c != '\0' && !(delimiter != 0 && *c == '!'); c++) {
            bool swap = delimiter != 0 && !is_text && strchr(" <@", *c) != NULL;
            text[used++] = swap ? delimiter : *c;
            if (lower && !is_text && *c >= 'A' && *c <= 'Z')
                text[used - 1] = (char)(*c - 'A' + 'a');
        }
        used += (size_t)sprintf(text + used, "%s", line_end);
    }
    return used;
}

static void check_example(const mtm_cue_sheet *sheet)
{
    static uint8_t level[MTM_CUE_CHANNEL_MAX + 1];
    uint8_t slot[512] = {0};

    assert_int_equal(mtm_cue_sheet_count(sheet), 5);
    assert_int_equal(mtm_cue_sheet_patch_count(sheet), 10);
    const mtm_cue_entry *first = mtm_cue_sheet_at(sheet, 0);
    const mtm_cue_entry *second = mtm_cue_sheet_at(sheet, 1);
    const mtm_cue_entry *third = mtm_cue_sheet_at(sheet, 2);
    assert_string_equal(first->part[0].text, "House down, warm wash");
    CHECK_NEAR("up", first->part[0].up_s, 5, 0);
    CHECK_NEAR("down", first->part[0].down_s, 7.5, 1e-9);
    assert_int_equal(second->part_count, 3);
    CHECK_NEAR("up of the cue, in its part", second->part[1].up_s, 90, 0);
    CHECK_NEAR("up of the part", second->part[2].up_s, 10, 0);
    assert_true(second->has_follow);
    CHECK_NEAR("follow-on", second->follow_s, 130, 0);
    assert_int_equal(third->number_tenths, 25);
    assert_int_equal(third->link_tenths, 10);
    assert_int_equal(mtm_cue_sheet_at(sheet, 3)->type, MTM_CUE_GROUP);
    assert_int_equal(mtm_cue_sheet_at(sheet, 4)->type, MTM_CUE_SUB);

    assert_int_equal(mtm_cue_sheet_levels(sheet, 0, MTM_CUE_UNCHANGED, level, NULL), MTM_OK);
    assert_int_equal(mtm_cue_pair_value(level, 11), 0xc35a);
    mtm_cue_sheet_slots(sheet, level, 1, slot);
    assert_int_equal(slot[100], 0x40);
    assert_int_equal(slot[0], 0xc3);
    assert_int_equal(slot[1], 0x5a);
    assert_int_equal(slot[8], (3 * 128 + 127) / 255); /* scaled to H80 */
    assert_int_equal(mtm_cue_sheet_levels(sheet, 1, MTM_CUE_UNCHANGED, level, NULL), MTM_OK);
    assert_int_equal(mtm_cue_pair_value(level, 15), 36625);
}

static void test_example(void **state)
{
    static const struct {
        const char *line_end;
        char delimiter;
        bool lower;
        const char *before_each;
    } ways[] = {
        {"\n", 0, false, ""},           {"\r\n", 0, false, ""}, {"\r", 0, false, ""},
        {"\n", '=', false, ""},         {"\n", ',', false, ""}, {"\n", ';', false, ""},
        {"\n", '\t', true, ""},         {"\n", 0, true, ""},    {"\n", 0, false, "$$X 1 2\n"},
        {"\n", 0, false, "! note\n\n"},
    };
    static char text[8192];

    (void)state;
    for (size_t i = 0; i < COUNT(ways); i++) {
        size_t length = example_text(text, ways[i].line_end, ways[i].delimiter, ways[i].lower,
                                     ways[i].before_each);
        mtm_cue_sheet *sheet = read_text(text, length);
        check_example(sheet);
        assert_int_equal(mtm_cue_sheet_remarks_of(sheet, MTM_CUE_ERROR), 0);
        assert_int_equal(mtm_cue_sheet_remarks_of(sheet, MTM_CUE_WARN), 0);
        mtm_cue_sheet_free(sheet);
    }
}

/* What is written says the same to a reader that keeps levels and to one that clears them. */
static void test_full_cues(void **state)
{
    static const char text[] = "IDENT 3:0\nPATCH 1 9<1@HFF\nCUE 1\nUP 1\nDOWN 1\nCHAN 1@H10 2@H20\n"
                               "CUE 3\nUP 1\nDOWN 1\nPART 1\nCHAN 1@H00\nCUE 2\nUP 1\nDOWN 1\n"
                               "CHAN 2@H30\nENDDATA\n";
    char body[1024];

    (void)state;
    mtm_cue_sheet *sheet = read_text(text, strlen(text));
    char *written = write_sheet(sheet, (mtm_cue_write_options){0});
    body_of(written, body);
    assert_string_equal(body, "PATCH 1 9<1@HFF|CUE 1|UP 1|DOWN 1|CHAN 1@H10 2@H20 9@H00|CUE 2|UP "
                              "1|DOWN 1|CHAN 1@H10 2@H30 9@H00|CUE 3|UP 1|DOWN 1|CHAN 2@H30 "
                              "9@H00|PART 1|CHAN 1@H00");
    free(written);
    written = write_sheet(sheet, (mtm_cue_write_options){.missing = MTM_CUE_ZERO});
    body_of(written, body);
    CHECK_HOLDS(body, "CUE 2|UP 1|DOWN 1|CHAN 1@H00 2@H30 9@H00");
    free(written);
    mtm_cue_sheet_free(sheet);
}

static mtm_cue_sheet *new_sheet(void)
{
    mtm_cue_sheet *sheet = NULL;

    assert_int_equal(mtm_cue_sheet_create(&sheet, NULL), MTM_OK);
    return sheet;
}

static void test_write_pairs(void **state)
{
    mtm_cue_level level[3] = {{1, 9}};
    mtm_cue_part part = {.text = "\t Warm! caf\xc3\xa9 ",
                         .has_up = true,
                         .up_s = 3725.04,
                         .up_wait_s = 0.5,
                         .level = level,
                         .level_count = 3};
    mtm_cue_entry cue = {.number_tenths = 15, .part = &part, .part_count = 1, .has_follow = true};
    mtm_cue_write_report report = {0};
    mtm_cue_write_options options = {.note = "Small hall", .clear_all = true};
    char *text = NULL;
    size_t length = 0;

    (void)state;
    mtm_cue_sheet *sheet = new_sheet();
    mtm_cue_level_pair(11, 0xc35a, level + 1);
    assert_int_equal(mtm_cue_sheet_add(sheet, &cue, NULL), MTM_OK);
    assert_int_equal(mtm_cue_sheet_pair(sheet, 11, NULL), MTM_OK);
    assert_int_equal(mtm_cue_sheet_patch(sheet, (mtm_cue_patch){11, 513, 255}, NULL), MTM_OK);
    assert_int_equal(mtm_cue_sheet_set_maker(sheet, "METAMER", NULL, NULL), MTM_OK);
    assert_int_equal(mtm_cue_sheet_set_defaults(sheet, 3, 4.5, NULL), MTM_OK);
    assert_int_equal(mtm_cue_text_write(sheet, &options, &text, &length, &report, NULL), MTM_OK);
    assert_string_equal(text, "IDENT 3:0\r\n"
                              "! Small hall\r\n"
                              "! Coarse and fine: 11/12\r\n"
                              "MANUFACTURER METAMER\r\n"
                              "CLEAR ALL\r\n"
                              "SET CHANNELS 12\r\n"
                              "SET DEFAULT UP 3\r\n"
                              "SET DEFAULT DOWN 4.5\r\n"
                              "PATCH 1 11<513@HFF\r\n"
                              "\r\n"
                              "CUE 1.5\r\n"
                              "  TEXT Warm. caf?\r\n"
                              "  UP 1:02:05 0.5\r\n"
                              "  FOLLOWON 0\r\n"
                              "  CHAN 1@H09 11@HC3 12@H5A\r\n"
                              "\r\n"
                              "ENDDATA\r\n");
    assert_int_equal(report.texts_changed, 1);
    assert_int_equal(report.times_rounded, 1);
    free(text);
    options = (mtm_cue_write_options){.coarse_only = true};
    assert_int_equal(mtm_cue_text_write(sheet, &options, &text, &length, NULL, NULL), MTM_OK);
    CHECK_HOLDS(text, "CHAN 1@H09 11@HC3 12@H00\r\n");
    free(text);
    mtm_cue_sheet_free(sheet);
}

/* A text and many levels fill their lines to 80 characters and no further. */
static void test_write_long(void **state)
{
    static mtm_cue_level level[600];
    char label[201];
    mtm_cue_part part = {.text = label, .level = level, .level_count = COUNT(level)};
    mtm_cue_entry cue = {.number_tenths = 10, .part = &part, .part_count = 1};
    char *body = calloc(1, 32768);
    mtm_cue_sheet *sheet = new_sheet();

    (void)state;
    assert_non_null(body);
    memset(label, 'x', 200);
    label[200] = '\0';
    for (size_t i = 0; i < COUNT(level); i++) {
        level[i] = (mtm_cue_level){(uint16_t)(64000 + i), (uint8_t)i};
        assert_int_equal(
            mtm_cue_sheet_patch(sheet, (mtm_cue_patch){level[i].channel, (uint16_t)(i + 1), 255},
                                NULL),
            MTM_OK);
        if (i % 2 == 0)
            assert_int_equal(mtm_cue_sheet_pair(sheet, level[i].channel, NULL), MTM_OK);
    }
    assert_int_equal(mtm_cue_sheet_add(sheet, &cue, NULL), MTM_OK);
    char *text = write_sheet(sheet, (mtm_cue_write_options){.note = label});
    body_of(text, body);
    mtm_cue_sheet *again = read_text(text, strlen(text));
    assert_int_equal(mtm_cue_sheet_remarks_of(again, MTM_CUE_WARN), 0);
    assert_int_equal(mtm_cue_sheet_remarks_of(again, MTM_CUE_ERROR), 0);
    assert_int_equal(mtm_cue_sheet_patch_count(again), COUNT(level));
    assert_int_equal(mtm_cue_sheet_patch_of(again, 600).channel, 64599);
    assert_int_equal(mtm_cue_sheet_at(again, 0)->part[0].level_count, COUNT(level));
    assert_memory_equal(mtm_cue_sheet_at(again, 0)->part[0].level, level, sizeof level);
    assert_int_equal(strlen(mtm_cue_sheet_at(again, 0)->part[0].text), 73);
    mtm_cue_sheet_free(again);
    mtm_cue_sheet_free(sheet);
    free(text);
    free(body);
}

/* Reading what was written gives the same cues, whatever the times. */
static void test_times_again(void **state)
{
    mtm_cue_sheet *sheet = new_sheet();

    (void)state;
    for (unsigned i = 0; i < 400; i++) {
        double seconds = i < 200 ? i * 0.7 : MTM_CUE_TIME_MAX_S * (i - 200) / 199;
        mtm_cue_part part = {
            .has_up = true, .up_s = seconds, .has_down = true, .down_s = seconds / 2};
        mtm_cue_entry cue = {.number_tenths = 1 + i, .part = &part, .part_count = 1};
        assert_int_equal(mtm_cue_sheet_add(sheet, &cue, NULL), MTM_OK);
    }
    char *text = write_sheet(sheet, (mtm_cue_write_options){0});
    mtm_cue_sheet *again = read_text(text, strlen(text));
    assert_int_equal(mtm_cue_sheet_remark_count(again), 0);
    for (size_t i = 0; i < 400; i++) {
        const mtm_cue_part *a = mtm_cue_sheet_at(sheet, i)->part;
        const mtm_cue_part *b = mtm_cue_sheet_at(again, i)->part;
        CHECK_NEAR("up", b->up_s, a->up_s, 0.0500001);
        CHECK_NEAR("down", b->down_s, a->down_s, 0.0500001);
    }
    mtm_cue_sheet_free(again);
    mtm_cue_sheet_free(sheet);
    free(text);
}

static void test_pair_incomplete(void **state)
{
    static const uint16_t pairs[] = {11, 13};
    static const char text[] = "IDENT 3:0\nCUE 1\nUP 1\nDOWN 1\nCHAN 11@HC3 14@H07\nENDDATA\n";
    mtm_cue_read_options options = {pairs, COUNT(pairs)};
    mtm_cue_sheet *sheet = NULL;
    char remarks[200];
    char body[200];

    (void)state;
    assert_int_equal(mtm_cue_text_read(text, strlen(text), &options, &sheet, NULL), MTM_OK);
    list_remarks(sheet, remarks, sizeof remarks);
    assert_string_equal(remarks, "2:pair-incomplete 2:pair-incomplete");
    char *written = write_sheet(sheet, (mtm_cue_write_options){0});
    body_of(written, body);
    assert_string_equal(body, "CUE 1|UP 1|DOWN 1|CHAN 11@HC3 12@H00");
    free(written);
    mtm_cue_sheet_free(sheet);
}

static void expect_not_added(mtm_cue_entry cue, mtm_cue_part part, const char *what)
{
    mtm_cue_sheet *sheet = new_sheet();
    mtm_error error = {""};

    cue.part = &part;
    cue.part_count = cue.part_count > 0 ? cue.part_count : 1;
    assert_int_equal(mtm_cue_sheet_add(sheet, &cue, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, what);
    assert_int_equal(mtm_cue_sheet_count(sheet), 0);
    mtm_cue_sheet_free(sheet);
}

static void test_refused(void **state)
{
    static const mtm_cue_level zero[] = {{0, 1}};
    static const mtm_cue_level twice[] = {{2, 1}, {2, 1}};
    mtm_cue_sheet *sheet = new_sheet();
    static uint8_t level[MTM_CUE_CHANNEL_MAX + 1];
    mtm_error error = {""};

    (void)state;
    expect_not_added((mtm_cue_entry){0}, (mtm_cue_part){0}, "0.1 to 9999.9");
    expect_not_added((mtm_cue_entry){.number_tenths = 100000}, (mtm_cue_part){0}, "0.1 to 9999.9");
    expect_not_added((mtm_cue_entry){.number_tenths = 1, .link_tenths = 100000}, (mtm_cue_part){0},
                     "link");
    expect_not_added((mtm_cue_entry){.number_tenths = 1, .type = (mtm_cue_type)7},
                     (mtm_cue_part){0}, "kind");
    expect_not_added((mtm_cue_entry){.number_tenths = 1, .has_follow = true, .follow_s = -1},
                     (mtm_cue_part){0}, "follow-on");
    expect_not_added((mtm_cue_entry){.number_tenths = 1, .type = MTM_CUE_SUB, .has_follow = true},
                     (mtm_cue_part){0}, "follow-on");
    expect_not_added((mtm_cue_entry){.number_tenths = 1, .type = MTM_CUE_SUB, .part_count = 2},
                     (mtm_cue_part){0}, "2 parts");
    expect_not_added((mtm_cue_entry){.number_tenths = 1}, (mtm_cue_part){.number = 1}, "part 1");
    expect_not_added((mtm_cue_entry){.number_tenths = 1}, (mtm_cue_part){.up_s = NAN}, "time");
    expect_not_added((mtm_cue_entry){.number_tenths = 1}, (mtm_cue_part){.down_s = 362440}, "time");
    expect_not_added((mtm_cue_entry){.number_tenths = 1},
                     (mtm_cue_part){.level = zero, .level_count = 1}, "channel 0");
    expect_not_added((mtm_cue_entry){.number_tenths = 1},
                     (mtm_cue_part){.level = twice, .level_count = 2}, "must rise");
    assert_int_equal(mtm_cue_sheet_patch(sheet, (mtm_cue_patch){0, 1, 255}, &error), MTM_INVALID);
    assert_int_equal(mtm_cue_sheet_patch(sheet, (mtm_cue_patch){1, 0, 255}, &error), MTM_INVALID);
    assert_int_equal(mtm_cue_sheet_pair(sheet, 0, &error), MTM_INVALID);
    assert_int_equal(mtm_cue_sheet_pair(sheet, 65535, &error), MTM_INVALID);
    assert_int_equal(mtm_cue_sheet_pair(sheet, 5, &error), MTM_OK);
    assert_int_equal(mtm_cue_sheet_pair(sheet, 6, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "overlaps");
    assert_int_equal(mtm_cue_sheet_set_maker(sheet, "a b", NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_cue_sheet_set_defaults(sheet, -1, 0, &error), MTM_INVALID);
    assert_int_equal(mtm_cue_sheet_levels(sheet, 0, MTM_CUE_ZERO, level, &error), MTM_INVALID);
    mtm_cue_sheet_free(sheet);
}

/* Every remark is of a known kind, and a flood of them is counted, not kept. */
static void test_flood(void **state)
{
    size_t lines = MTM_CUE_REMARKS_MAX + 500;
    char *text = malloc(lines * 2 + 1);

    (void)state;
    assert_non_null(text);
    for (size_t i = 0; i < 2 * lines; i++)
        text[i] = i % 2 == 0 ? 'x' : '\n';
    mtm_cue_sheet *sheet = read_text(text, 2 * lines);
    assert_int_equal(mtm_cue_sheet_remark_count(sheet), MTM_CUE_REMARKS_MAX);
    assert_int_equal(mtm_cue_sheet_remarks_of(sheet, MTM_CUE_ERROR), lines);
    assert_string_equal(mtm_cue_severity_name(mtm_cue_sheet_remark(sheet, 0).severity), "error");
    mtm_cue_sheet_free(sheet);
    free(text);
}

static void test_too_many(void **state)
{
    char *text = malloc(16 * (MTM_CUE_COUNT_MAX + 10));
    size_t used = 0;

    (void)state;
    assert_non_null(text);
    for (unsigned i = 0; i < MTM_CUE_COUNT_MAX + 10; i++)
        used += (size_t)sprintf(text + used, "CUE %u.%u\n", (99999 - i) / 10, (99999 - i) % 10);
    mtm_cue_sheet *sheet = read_text(text, used);
    assert_int_equal(mtm_cue_sheet_count(sheet), MTM_CUE_COUNT_MAX);
    assert_int_equal(mtm_cue_sheet_remarks_of(sheet, MTM_CUE_ERROR), 10);
    mtm_cue_sheet_free(sheet);
    free(text);
}

static void test_limit(void **state)
{
    mtm_cue_sheet *sheet = NULL;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_cue_text_read("", MTM_CUE_TEXT_MAX + 1, NULL, &sheet, &error), MTM_LIMIT);
    CHECK_HOLDS(error.text, "at most");
    assert_null(sheet);
}

int main(void)
{
    static const struct CMUnitTest single[] = {
        cmocka_unit_test(test_example),     cmocka_unit_test(test_full_cues),
        cmocka_unit_test(test_write_pairs), cmocka_unit_test(test_write_long),
        cmocka_unit_test(test_times_again), cmocka_unit_test(test_pair_incomplete),
        cmocka_unit_test(test_refused),     cmocka_unit_test(test_flood),
        cmocka_unit_test(test_too_many),    cmocka_unit_test(test_limit),
    };
    struct CMUnitTest tests[COUNT(rule_rows) + COUNT(whole_rows) + COUNT(single)];

    ROW_TESTS(tests, rule_rows, test_rule);
    ROW_TESTS(tests + COUNT(rule_rows), whole_rows, test_whole);
    memcpy(tests + COUNT(rule_rows) + COUNT(whole_rows), single, sizeof single);
    return cmocka_run_group_tests_name("cue text", tests, NULL, NULL);
}
