"""A charged capacitor: its bleeder, the meter that shows whether it is safe, and the strap of the bench."""

from workbook.bench.intake import capacitors
from workbook.drawings import circuit
from workbook.drawings.pen import Drawing, Pen


def bleeder(capacitance=470e-6, voltage=400.0, resistance=22e3, wait=60.0, safe=60.0, tool=5.6e3) -> Drawing:
    """Draw a capacitor with its bleeder, and the same with the bleeder open, and what a meter reads after a wait.

    Capacitance [F], start voltage [V], the bleeder's and the discharge tool's resistance [ohm], the wait [s] and the
    voltage below which the work goes on here, with a meter in hand [V].
    """
    left = float(capacitors.voltage_after(wait, capacitance, resistance, voltage))
    tool_time = float(capacitors.time_to_voltage(safe, capacitance, tool, voltage))
    views = []
    for letter, title, reading, whole in (
        ("a", f"Bleeder whole, after {wait:.0f} s", left, True),
        ("b", f"Bleeder open, after {wait:.0f} s", voltage, False),
    ):
        view = Pen(286)
        view.heading(letter, title)
        view.line([(70, 64), (350, 64)], "thick")
        view.line([(70, 200), (350, 200)], "thick")
        circuit.capacitor(view, (70, 64), (70, 200))
        view.words(94, 116, f"{1e6 * capacitance:.0f} µF\nwas {voltage:.0f} V")
        circuit.resistor(view, (216, 64), (216, 200), broken=not whole)
        view.words(
            236,
            116,
            f"bleeder\n{1e-3 * resistance:.0f} kΩ" if whole else "bleeder\ncracked",
            colour="ink" if whole else "wrong",
        )
        circuit.meter(view, (350, 64), (350, 200), "V")
        view.words(350, 42, f"{reading:.0f} V", "middle", bold=True, size=16)
        good = reading < safe
        view.verdict(24, 226, good)
        if good:
            view.words(42, 226, f"below {safe:.0f} V: go on, and measure again\nbefore each touch", colour="right")
        else:
            view.words(
                42,
                226,
                f"still charged. Drain through {1e-3 * tool:.1f} kΩ in\ninsulated probes for {tool_time:.1f} s "
                "or more,\nthen measure",
                colour="wrong",
            )
        views.append(
            view.view(
                title,
                f"A capacitor of {1e6 * capacitance:.0f} microfarad charged to {voltage:.0f} V, "
                + ("its bleeder resistor" if whole else "its bleeder resistor cracked and open,")
                + f" and a voltmeter side by side. After {wait:.0f} s without mains the meter reads {reading:.0f} V"
                + (
                    ": go on."
                    if good
                    else f": still charged. Drain it to {safe:.0f} V through {1e-3 * tool:.1f} kilohm, "
                    f"{tool_time:.1f} s, then measure."
                ),
            )
        )
    return Drawing("bleeder", "Unplugged is not empty: measure", tuple(views))


def strap(cord=1e6, person=100e-12) -> Drawing:
    """Draw the path from hand to ground at a protected bench: strap, cord with its resistor, mat. Not to scale.

    ``cord`` is the resistor in the cord [ohm], ``person`` the capacitance of a person [F].
    """
    settle = 5 * cord * person
    view = Pen(262)
    view.heading("", "From the hand to ground, through a resistor")
    view.box(40, 150, 210, 12, "glue", weight="thick")
    view.words(50, 138, "bench mat")
    view.line([(20, 162), (300, 162)], "thick")
    view.shape(
        [
            (10, 68),
            (60, 70),
            (96, 74),
            (120, 66),
            (168, 68),
            (214, 78),
            (216, 86),
            (170, 90),
            (124, 102),
            (96, 94),
            (60, 100),
            (10, 102),
        ],
        "package",
        weight="thick",
    )
    view.words(20, 84, "arm", on="package")
    view.words(134, 80, "hand", on="package")
    view.box(90, 66, 14, 34, "metal", weight="thick")
    view.callout("strap on bare skin", (186, 48), (97, 70))
    view.line([(97, 100), (97, 120), (330, 120)], "thick")
    circuit.resistor(view, (330, 120), (330, 196))
    view.words(348, 158, f"{1e-6 * cord:.0f} MΩ")
    view.line([(240, 162), (240, 196), (330, 196)], "thick")
    view.line([(330, 196), (330, 208)], "thick")
    for n, half in enumerate((16, 10, 4)):
        view.line([(330 - half, 208 + 6 * n), (330 + half, 208 + 6 * n)], "thick")
    view.words(300, 214, "ground", "end")
    view.note(f"A person of {1e12 * person:.0f} pF empties in {1e3 * settle:.1f} ms. Never near mains.")
    return Drawing(
        "strap",
        "What a wrist strap does",
        (
            view.view(
                "From the hand to ground",
                f"A strap on bare skin and the mat are joined to ground, the strap through {1e-6 * cord:.0f} "
                "megohm, which "
                f"keeps a current small if something is live. A person of {1e12 * person:.0f} picofarad is empty after "
                f"{1e3 * settle:.1f} ms. No strap is worn near exposed mains.",
            ),
        ),
    )
