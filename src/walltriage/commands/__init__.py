"""One module a command: parse, call, print."""
