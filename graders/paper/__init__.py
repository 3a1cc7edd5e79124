"""Exercises on paper: sheets to print, the instructor's key, and answers typed in from the sheets."""
