/* SPDX-License-Identifier: MIT */
/* Stop: a flag that Ctrl-C and a polite kill set, for commands that run until told to stop. */
#include "cli/out/stop.h"

#include <stddef.h>

/* A signal handler can reach nothing but what is static. */
static volatile sig_atomic_t told;

static void tell(int signal_number)
{
    (void)signal_number;
    told = 1;
}

void stop_begin(struct stop *stop)
{
    struct sigaction action = {.sa_handler = tell}; /* no SA_RESTART: waits must end */

    told = 0;
    (void)sigemptyset(&action.sa_mask);
    (void)sigaction(SIGINT, &action, &stop->interrupt);
    (void)sigaction(SIGTERM, &action, &stop->terminate);
    (void)sigaction(SIGHUP, &action, &stop->hangup);
}

void stop_end(const struct stop *stop)
{
    (void)sigaction(SIGINT, &stop->interrupt, NULL);
    (void)sigaction(SIGTERM, &stop->terminate, NULL);
    (void)sigaction(SIGHUP, &stop->hangup, NULL);
}

void stop_now(void)
{
    told = 1;
}

const volatile sig_atomic_t *stop_flag(void)
{
    return &told;
}
