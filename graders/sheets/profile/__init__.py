"""Exercises on heating a board so that every joint melts and nothing is cooked.

In the order of the lesson: the log, the thermocouple, the board, the heaters, and at last the programme.
"""

from graders.sheets.profile import boards, fixing, heaters, logs, own_board, pair, programme, seats, sensors

EXERCISES = (
    logs.READ_THE_LOG,
    sensors.COLD_JUNCTION,
    sensors.CALIBRATION,
    sensors.BEAD_LAG,
    heaters.SETPOINT,
    logs.NEAR_THE_PEAK,
    logs.PACKAGE_RATING,
    logs.CORNER_AND_CENTRE,
    sensors.BEAD_SETTLES,
    seats.SEATS,
    fixing.BEAD_SEAT,
    sensors.DOUBT,
    boards.ON_A_HEATER,
    boards.THROUGH_THE_BOARD,
    boards.COPPER_PLANES,
    boards.THICK_BOARD,
    heaters.GLOW,
    heaters.JET,
    heaters.HEAT_TO_MELT,
    heaters.TUNING,
    boards.BOW_AND_TWIST,
    fixing.SAG,
    fixing.HEATS,
    programme.CHOOSE,
    pair.TWO_PACKAGES,
    programme.FROM_BELOW,
    own_board.LOG_TELLS,
    own_board.NEXT_TRIAL,
)
