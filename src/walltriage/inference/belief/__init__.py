"""From evidence to chances: conditions, load paths, intervals."""
