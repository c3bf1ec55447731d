"""Small faults put into the rules on purpose, to see whether the checks notice."""
