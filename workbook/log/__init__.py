"""A thermocouple log from one's own bench: read, looked over, and held to limits."""
