"""The physics of the bench: pure functions, SI in and SI out (names ending ``_c`` are in degrees Celsius)."""
