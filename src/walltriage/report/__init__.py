"""One frozen result, told in several ways: terminal and JSON here."""
