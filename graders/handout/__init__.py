"""Handing out: a cohort's folder is made, and every learner's exercises in own numbers."""
