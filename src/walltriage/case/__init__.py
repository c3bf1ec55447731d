"""A case: one house, its walls, and what somebody saw; read from and written to files."""
