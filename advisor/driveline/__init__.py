"""Driveline engineering as pure functions: SI numbers in, SI numbers out, nothing remembered."""
