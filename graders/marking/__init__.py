"""Marking a cohort: what is new or changed is planned, shared out, marked and written down."""
