/* SPDX-License-Identifier: MIT */
/* metamer: finds the command and runs it. */
#include <metamer/base.h>

#include <stdio.h>

int main(void)
{
    printf("metamer %s\n", mtm_version());
    return 0;
}
