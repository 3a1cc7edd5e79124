"""What a cohort is: its folder, its settings, its learners, and the record of what was handed out."""
