#include "cli/cli.h"

int main(int argc, char **argv)
{
    return sg_cli_main(argc, argv);
}
