"""The cautions that stand at the head of the exercises."""

MAINS = (
    "Capacitors in mains supplies can kill long after the plug is out. Nothing here is for a live or plugged-in unit, "
    "and no number here is a permission to touch: unplug, wait, discharge through a rated and insulated resistor, measure, "
    "and only then touch. Your local electrical code decides who may open a supply; it is work for trained or licensed "
    "people."
)

MAINS_ON_PAPER = (
    "Capacitors in mains supplies can kill long after the plug is out. Nothing here is for a live or plugged-in unit, "
    "and no number here is a permission to touch. Your local electrical code decides who may open a supply; it is work for "
    "trained or licensed people."
)
"""Where the next step is what is asked."""

STRAP = (
    "A wrist strap is for boards that are unplugged and discharged. It ties you to earth: none is worn near exposed "
    "circuits of 250 V or more, and none near anything that is plugged in. Your shop's rules win."
)

OVEN = (
    "An oven at 125 °C burns, and trays, labels and connectors may not bear it. The label on the bag, the maker's data "
    "sheet and the oven's own instructions win over any table here."
)

AIR = (
    "Flux fume and solvent vapour harm lungs and skin, lead harms when swallowed, and solvent vapour burns. A number "
    "below a limit is no permission to breathe it: extract at the source, wash your hands, eat elsewhere. The limits of your "
    "own country, the safety data sheet and your site's safety officer decide."
)

WHOLE = (
    "Mains capacitors can kill long after the plug is out; hot air, plates and ovens burn, and heated batteries and "
    "electrolytic cans burst: wear eye protection; flux fume, hot silicone and solvent "
    "vapour harm, and solvent vapour can catch fire. Nothing here is for a live board. Local codes and your site's "
    "safety officer decide who opens a mains supply; it is work for trained or licensed people."
)
