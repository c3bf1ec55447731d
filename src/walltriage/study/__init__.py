"""How often is it wrong?  Simulated houses, measuring, proving."""
