"""Pages for the learner (feedback) and the instructor (cohort): plain records in, one self-contained HTML text out."""
