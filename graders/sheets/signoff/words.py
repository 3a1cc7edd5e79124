"""What all exercises share: the board, where the numbers come from, and the cautions at their heads."""


def story(place: str, told: str) -> str:
    """Return a setup: the board, where in the job the exercise stands, and what is told of it."""
    return (
        "*Job 117: an invented TV main board with a lead-free ball-array processor, a sink, and its mains supply on the "
        "same board. Shop and figures are invented. The limits and the rules of the job are the same on every page; the "
        f"figures are your own, and what one page finds the next pages take. {place}*\n\n{told}"
    )


MAINS = (
    "A mains capacitor can kill long after the plug is out. Nothing here is for a plugged-in board, and no number here "
    "allows anybody to touch it: unplug, wait, drain through a rated and insulated resistor, measure, and only then touch. Your "
    "local electrical code decides who may open a mains supply; it is work for trained or licensed people."
)

ON_PAPER = "On paper here. At the bench: extraction, eye protection, and only a board that is unplugged and discharged is heated."

DEAD = (
    "Resistance is measured on a dead board only: unplugged, capacitors drained and measured empty. A meter in its ohms "
    "range on a charged board can burst, and the board can hurt you. Follow your shop's rules and your local code."
)

RUNNING = (
    "A running sink can burn you, and a supply with its cover off can kill. Sensors are fixed while the set is unplugged, "
    "discharged and cold; it runs closed, and is read from outside. Nothing is touched or loosened while it runs. Your "
    "local code decides who may run an opened set."
)

WHOLE = (
    "Mains capacitors can kill long after the plug is out, hot air and running sinks burn, and flux fumes. Nothing here "
    "is for work on a live board. No figure of this sheet stands in for the safety test your local code asks for before a "
    "mains set goes back to its owner: that is done by people who may."
)
