/* SPDX-License-Identifier: MIT */
/* Screen: on a terminal of any width a number stands whole or not at all. */
#include "support/check.h"

#include "cli/out/screen.h"

static char *draw(int width)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);

    assert_non_null(out);
    struct screen screen = {.out = out, .width = width, .height = 100};
    screen_begin(&screen);
    screen_put(&screen, "  ");
    screen_cell(&screen, "apron", 8);
    screen_put(&screen, " %4d  %7.1f  %.4f ", 123, 4567.8, 0.3127);
    screen_put(&screen, "red %u  lime %u", 65535U, 40962U);
    screen_end_line(&screen);
    screen_end(&screen);
    (void)fclose(out);
    return text;
}

static void test_every_width(void **state)
{
    static const char *const whole[] = {"apron", "123",   "4567.8", "0.3127",
                                        "red",   "65535", "lime",   "40962"};

    (void)state;
    for (int width = 1; width <= 80; width++) {
        char *text = draw(width);
        size_t at = 0;
        int letters = 0;
        for (const char *c = text; *c != '\n'; c++)
            letters += ((unsigned char)*c & 0xc0) != 0x80;
        assert_true(letters <= width);
        for (char *word = strtok(text, " \n"); word != NULL; word = strtok(NULL, " \n"), at++) {
            char *dropped = strstr(word, "…");
            if (dropped != NULL)
                *dropped = '\0';
            assert_true(at < COUNT(whole) || *word == '\0');
            if (*word != '\0' && strcmp(word, whole[at]) != 0)
                fail_msg("%d columns: \"%s\" for \"%s\"", width, word, whole[at]);
        }
        assert_true(width < 60 || at == COUNT(whole));
        free(text);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_every_width)};

    return cmocka_run_group_tests_name("screen", tests, NULL, NULL);
}
