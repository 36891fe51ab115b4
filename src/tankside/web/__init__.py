"""The workbench pages: read input, call one service, show the result."""
