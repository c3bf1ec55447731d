"""How good interviews are, measured on simulated people: ``python -m tests.measure_interview``."""
