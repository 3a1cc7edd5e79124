"""The cautions that stand at the head of the exercises: long where something is heated, short where only a sum is done."""

HOT = (
    "Hot plates and hot air burn and can start a fire; hot flux fumes. Work with extraction, eye protection and clear "
    "space around the board, and follow your shop's rules and the local codes. Only a board that is unplugged and "
    "discharged is heated. Batteries, supercapacitors and electrolytic cans come off it first, or are shielded where the "
    "maker's papers allow it: heated, they burst, burn or spray."
)

LEAD = "Molten tin-lead gives lead to skin and bench: gloves, no food, wash your hands, and its waste goes apart."

READING = "At the bench: extraction, eye protection, and a board that is unplugged and discharged before it is heated."
"""For exercises that only read numbers; what heat asks for stands in those that heat, and in the lesson."""
