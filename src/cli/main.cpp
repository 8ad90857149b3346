#include "command.h"

int main(int argc, char** argv) { return platemark::cli::run(argc, argv); }
