"""Thermal profiles: reading a log, heat into a board, and the limits a profile is held to."""
