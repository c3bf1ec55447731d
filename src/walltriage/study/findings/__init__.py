"""What a perfect observer would find at a wall, question by question, from geometry alone."""
