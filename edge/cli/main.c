#include <signal.h>

#include "edge/cli/cli.h"

int main(int argc, char **argv)
{
    signal(SIGXFSZ, SIG_IGN); /* a limit on the size of files is then a failed write, told like a full disk */
    return cli_main(argc, argv, stdin, stdout, stderr);
}
