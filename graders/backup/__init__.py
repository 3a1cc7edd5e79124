"""Backup and restore: one file that brings a term's work back, and never over what is fuller."""
