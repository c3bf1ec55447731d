"""Many cases at once: files in, columns, files out, on one machine or a cluster."""
