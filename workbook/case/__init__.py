"""A board on your bench: one invented job from intake to return, played act by act.

What is hidden (`board.Board`) is drawn from a seed: what is wrong, the rail, moisture, earlier work, copper, a sink
held fast, a station that heats less than it says. What has been done (`acts.Done`) is known to everybody. An act is a
line of plain words out of a closed list (`acts.WORDS`), some with numbers: ``"look top"``, ``"heat U1 320 300 90"``.

One function says what an act may bring: `acts.outcomes` returns every outcome with its chance, what is told, and the
board and the bench after it. All else is built on it:

- `playing.play` takes one outcome of each act, by a stream of the seed named after the act and how often it was done:
  so the same list of acts gives the same job on every machine, and another order of looks gives the same readings;
- `belief` follows all boards that could still be the one on the bench (Bayes' rule), and says what a decision
  was worth on what could be known;
- `search` finds the best job at every point of a smaller model; `ways` works real cases by it, and by simple habits,
  and says what each is worth;
- `sums` are what the gates ask one to work out, on one's own draining, reading and test;
- `afterwards` is the page after a case, and `shown` what a page or a panel shows of one under way.

The numbers of the outcomes come from the bench: two packages on a heated board (`heating`, a table made by the quick
model), the ohmmeter's limits, the warm rail, the bake table, the charge left on a capacitor, the paste under a tilted
sink, clean starts. What has no bench behind it is invented, and says so: `workbook/references/signoff.toml`, the
entries that begin with ``case_``.

Unsafe acts stop the case with the reason. An act that cannot be done now is refused: it costs nothing and changes
nothing. Nothing here asks for work on live or mains-connected equipment: a test runs the set closed, and nobody
touches it.
"""
