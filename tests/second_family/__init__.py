"""A second family of invented houses and people: simpler, drawn otherwise, with known truth.

Marks are chosen on both families, so that they fit neither alone.  It tests no truth.
"""
