"""One module a command: parse, call, print; its click object is named ``command``."""
