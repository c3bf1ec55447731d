"""What a plan and the other walls of a house say about one wall."""
