"""Exercises as notebooks and back, as plain dicts: printing, reading with suspicion, making harmless."""
