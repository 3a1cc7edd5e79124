"""Thermal paste, gap pads, sinks and solder balls, one subject a module."""
