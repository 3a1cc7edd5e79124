"""Sentences that several exercises on resistance checks share."""

DEAD = (
    "Only a board that is unplugged, discharged and checked with a voltmeter is measured; nothing here is for a live "
    "board. Mains capacitors can kill long after the plug is out: whether and how you may work on mains equipment is "
    "decided by your local codes, and it is work for trained or licensed people."
)

ON_PAPER = "On paper here; at the bench only on a board that is unplugged, discharged and measured to be empty."

INJECT = (
    "Current is fed only into a dead board: unplugged, discharged, checked. Set the voltage limit first, at most the "
    "rail's own voltage; start with little current. Parts that carry the current burn fingers and can smoke: eye "
    "protection, extraction, look but do not touch. Follow your shop's rules."
)

HEAT = (
    "A board fresh from reflow burns fingers and still fumes: let it cool under extraction. Only a board that is "
    "unplugged, discharged and checked with a voltmeter is measured. Follow your shop's rules."
)
