"""The firm's desk: intake in a browser, photos, a register of houses, confirmed outcomes."""
