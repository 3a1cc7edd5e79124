"""An invented cohort and a tour of it. Every learner in it is made up."""
