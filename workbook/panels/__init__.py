"""Explorers: for each topic a pure ``picture(settings)`` and a thin widget around it."""
