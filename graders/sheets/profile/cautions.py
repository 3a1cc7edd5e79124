"""The cautions that stand at the head of the exercises."""

HOT = (
    "Hot plates and hot air burn and can start a fire; hot flux fumes. Work with extraction, eye protection and clear "
    "space around the board, and follow your shop's rules. Only a board that is unplugged and discharged is heated."
)
