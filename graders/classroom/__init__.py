"""A room with a lab: a hub keeps learners apart, a service of ours hands out, takes hand-ins and gives feedback."""
