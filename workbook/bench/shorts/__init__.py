"""Resistance checks on a de-energised board: the meter, the decision on a reading, and the search for the shorted part.

Nothing here is for a live board: the supply is off and unplugged, the capacitors are discharged and checked, and only
then is a resistance read or a small limited current injected. Numbers of one board family are never physics: limits
that belong to a rail, a meter or a shop are parameters.
"""
