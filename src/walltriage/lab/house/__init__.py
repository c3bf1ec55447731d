"""Houses drawn as geometry, framed as their time did, with the truth worked out by statics."""
