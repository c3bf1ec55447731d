"""The interview: which question next, the session, and the terminal it runs in."""
