"""Many walls at once: columns, simulated houses, measuring, proving."""
