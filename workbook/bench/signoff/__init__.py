"""Signing a board off: uncertainty of readings, conformity decisions, refit temperatures, and what may be promised."""
