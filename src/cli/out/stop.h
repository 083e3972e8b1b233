/* SPDX-License-Identifier: MIT */
/* Stop: a flag that Ctrl-C and a polite kill set, for commands that run until told to stop. */
#ifndef METAMER_CLI_OUT_STOP_H
#define METAMER_CLI_OUT_STOP_H

#include <signal.h>

/** What the signals did before. */
struct stop {
    struct sigaction interrupt, terminate, hangup;
};

/** From here on SIGINT, SIGTERM and SIGHUP set the flag. One command at a time. */
void stop_begin(struct stop *stop);
/** Puts the signals back. */
void stop_end(const struct stop *stop);
/** Sets the flag, as a signal does. */
void stop_now(void);
/** 0 until told to stop. */
const volatile sig_atomic_t *stop_flag(void);

#endif
