/* SPDX-License-Identifier: MIT */
/* metamer: finds the command and runs it. */
#include "cli/command.h"

#include <signal.h>

int main(int argc, char **argv)
{
    (void)signal(SIGPIPE, SIG_IGN); /* a closed pipe is reported, not fatal */
    return command_main(argc, argv, stdout, stderr);
}
