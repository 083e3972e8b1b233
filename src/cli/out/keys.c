/* SPDX-License-Identifier: MIT */
/* Keys: a terminal that gives each key as it is pressed, and is put back on any end. */
#include "cli/out/keys.h"

#include "cli/out/screen.h"

#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

/* A signal handler can reach nothing but what is static. */
static struct termios before;

static const int fatal[KEYS_SIGNALS - 1] = {SIGQUIT, SIGABRT, SIGSEGV, SIGBUS, SIGFPE, SIGILL};

bool keys_usable(FILE *err)
{
    const char *term = getenv("TERM");

    return isatty(STDIN_FILENO) == 1 && isatty(fileno(err)) == 1 &&
           tcgetpgrp(STDIN_FILENO) == getpgrp() && term != NULL && strcmp(term, "dumb") != 0;
}

/* Only calls that a handler may make. */
static void put_back_and_die(int signal_number)
{
    (void)tcsetattr(STDIN_FILENO, TCSANOW, &before);
    ssize_t written = write(STDERR_FILENO, SCREEN_LEAVE, sizeof SCREEN_LEAVE - 1);
    (void)written;
    (void)signal(signal_number, SIG_DFL);
    (void)raise(signal_number);
}

bool keys_open(struct keys *keys)
{
    struct sigaction die = {.sa_handler = put_back_and_die};
    struct sigaction ignore = {.sa_handler = SIG_IGN};

    if (tcgetattr(STDIN_FILENO, &before) != 0)
        return false;
    struct termios single = before;
    single.c_lflag &= ~(tcflag_t)(ICANON | ECHO);
    single.c_iflag &= ~(tcflag_t)IXON; /* Ctrl-S would stop the screen */
    single.c_cc[VMIN] = 0;
    single.c_cc[VTIME] = 0;
    single.c_cc[VSUSP] = _POSIX_VDISABLE; /* a show that is suspended sends nothing */
    single.c_cc[VQUIT] = _POSIX_VDISABLE;
    if (tcsetattr(STDIN_FILENO, TCSANOW, &single) != 0)
        return false;
    (void)sigemptyset(&die.sa_mask);
    (void)sigemptyset(&ignore.sa_mask);
    for (size_t i = 0; i < KEYS_SIGNALS - 1; i++)
        (void)sigaction(fatal[i], &die, &keys->before[i]);
    (void)sigaction(SIGTSTP, &ignore, &keys->before[KEYS_SIGNALS - 1]);
    return true;
}

void keys_close(const struct keys *keys)
{
    (void)tcsetattr(STDIN_FILENO, TCSANOW, &before);
    for (size_t i = 0; i < KEYS_SIGNALS - 1; i++)
        (void)sigaction(fatal[i], &keys->before[i], NULL);
    (void)sigaction(SIGTSTP, &keys->before[KEYS_SIGNALS - 1], NULL);
}

char keys_read(int timeout_ms)
{
    struct pollfd input = {.fd = STDIN_FILENO, .events = POLLIN};
    char key = 0;

    if (poll(&input, 1, timeout_ms) > 0 && read(STDIN_FILENO, &key, 1) != 1) {
        /* the terminal is gone, and says so at once each time */
        (void)nanosleep(&(struct timespec){0, timeout_ms * 1000000L}, NULL);
        key = 0;
    }
    return key;
}
