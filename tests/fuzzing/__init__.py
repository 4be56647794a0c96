"""Inputs by chance for whatever reads what people write: no traceback, no hang, no growth."""
