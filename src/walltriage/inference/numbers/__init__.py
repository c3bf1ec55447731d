"""The arithmetic asked for one wall and for a house, from answers and plan."""
