"""Judging, pure: what a number is worth, and what a wrong one may come from."""
