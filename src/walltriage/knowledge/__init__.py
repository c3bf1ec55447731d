"""The knowledge base: read, check and describe the YAML in ``rules/``."""
