"""The engineer's arithmetic: spans, bearing lines, loads, members and the load path to ground.

Units inside are inches, feet, pounds, psi, psf and plf, and names carry them.
Every value comes from ``rules/members/`` and ``rules/loads.yaml`` through
:func:`walltriage.structure.tables.load_tables`.  Results are preliminary: for an
engineer to check, not for construction.
"""
