/* SPDX-License-Identifier: MIT */
/* metamer: finds the command and runs it. */
#include "cli/command.h"

#include <signal.h>

int main(int argc, char **argv)
{
    (void)signal(SIGPIPE, SIG_IGN); /* a reader who leaves must not end a stream in its middle */
    return command_main(argc, argv, stdout, stderr);
}
