"""Exercises on signing a board off: one invented board through the whole job.

In the order of the job: it comes in, the thermometer and the log, the rail, the junction, the verdict and its risks,
what steps and returns leave of a promise, and at last the signature. Then another board, whole, with acts of one's own.
"""

from graders.sheets.signoff import (
    arrival,
    bench,
    choosing,
    job,
    junction,
    promises,
    rail,
    signed,
    thermometer,
    verdicts,
)

EXERCISES = job.chained(
    (
        arrival.ARRIVAL,
        choosing.CHOICES,
        choosing.REFUSE,
        thermometer.LIMITS,
        thermometer.FACTOR,
        thermometer.HOLD_THE_LOG,
        rail.RAIL,
        junction.BARE_TOP,
        junction.JUNCTION,
        verdicts.CONFORMITY,
        verdicts.RISKS,
        promises.CHAIN,
        promises.RETURNS,
        promises.WARRANTY,
        choosing.STARTS,
        signed.SIGN,
    )
) + (bench.BENCH,)
