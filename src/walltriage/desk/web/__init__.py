"""The desk in a browser: requests in, pages out."""
