"""What is worth looking at next."""
