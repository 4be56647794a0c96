"""Our engine beside general rule engines, on work that all of them can express."""
