"""Proofs over all answer combinations, not samples; needs the extra ``verify`` (z3)."""
