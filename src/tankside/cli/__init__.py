"""The command line: read input, call one service, show the result."""
