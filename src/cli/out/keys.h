/* SPDX-License-Identifier: MIT */
/* Keys: a terminal that gives each key as it is pressed, and is put back on any end. */
#ifndef METAMER_CLI_OUT_KEYS_H
#define METAMER_CLI_OUT_KEYS_H

#include <signal.h>
#include <stdbool.h>
#include <stdio.h>

/** Signals that end a program or stop it at once: a terminal must be put back before. */
#define KEYS_SIGNALS 7

/** What was before. Made by keys_open. */
struct keys {
    struct sigaction before[KEYS_SIGNALS];
};

/** Whether keys can be read and answered: standard input and err are a terminal that draws, and
 *  this program runs in its foreground. */
bool keys_usable(FILE *err);

/** From here on keys come one by one, are not shown and do not stop the program or the output; but
 *  Ctrl-C interrupts. One command at a time. False where the terminal refuses. */
bool keys_open(struct keys *keys);
/** Puts the terminal back. */
void keys_close(const struct keys *keys);

/** Waits for a key for at most so many milliseconds: 0 if none came, or the terminal is gone. */
char keys_read(int timeout_ms);

#endif
