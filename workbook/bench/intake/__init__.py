"""Taking a board in: stored charge, moisture, air, static, and what the evidence of earlier work supports."""
