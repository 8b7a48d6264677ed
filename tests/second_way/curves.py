"""Tables of a curve (pattern-mill, cnc-mill): any points will do, if they lie on the exact
curve and the straight lines between them within 0.0001 mm of it, over strip and spare."""

from pattern import pattern_height

CHORD = 1e-4  # mm
LOOKED_AT = 24  # rows of a table that are computed again, spread over it
STEEP = 0.2  # no profile is steeper; what half a digit of the place makes of the height


def curve_differences(setup, section, rows, half, number_of):
    """What is wrong with a table, line by line. `half` is half the last printed digit in mm;
    `number_of` gives a row's cell in mm."""
    machine = setup.machine
    numbered = machine["kind"] == "cnc-mill" or machine["passes"] is not None
    _, passes = setup.passes(section)
    tables = {}
    for row in rows:
        tables.setdefault(row["pass"] if numbered else "1", []).append(row)
    if list(tables) != [str(n) for n in range(1, len(passes) + 1)]:
        yield f"passes {', '.join(tables)}, expected 1 to {len(passes)}"
        return
    for (number, table), one_pass in zip(tables.items(), passes):
        for what in _one(setup, section, table, one_pass, half, number_of):
            yield f"pass {number}: {what}"


def _one(setup, section, table, one_pass, half, number_of):
    places = [number_of(row, "machine_at") for row in table]
    if any(b <= a for a, b in zip(places, places[1:])):
        yield "machine positions do not increase"
        return
    reach = setup.machine_reach(section)
    if places[0] > reach[0] + half + 1e-9 or places[-1] < reach[1] - half - 1e-9:
        yield f"from {places[0]} to {places[-1]} mm, the strip from {float(reach[0])} to {float(reach[1])}"
    known = {}

    def offset(x):
        if x not in known:
            known[x] = setup.offset(section, x, one_pass)
        return known[x]

    wanted = {"cutter_offset": offset}
    strip = setup.strips[section["name"]]
    if setup.machine["kind"] == "pattern-mill":
        machine = setup.machine
        corners = [x for x, _ in setup.taper.stations] + [strip.low, strip.high]
        wanted["pattern"] = lambda x: pattern_height(
            offset, x, machine["follower_radius"], machine["pattern_per_cutter"], machine["base"],
            corners, machine["cutter_radius"])
    stride = max(1, len(table) // LOOKED_AT)
    for k in sorted({0, len(table) - 1} | set(range(0, len(table), stride))):
        row = table[k]
        x = number_of(row, "taper_at")
        if abs(x - float(setup.taper_at(section, places[k]))) > 2 * half + 1e-9:
            yield f"row {k + 1}: taper_at is not the place of machine_at"
        exact = {"strip_milled": strip.fast(x), **{c: f(x) for c, f in wanted.items()}}
        for column, value in exact.items():
            got = number_of(row, column)
            if abs(got - value) > half * (1 + STEEP * _rate(setup, column)) + 1e-9:
                yield f"row {k + 1} {column}: {got:.7f} mm, expected {value:.9f} mm"
        if k + 1 < len(table):
            yield from _between(row, table[k + 1], k, wanted, half, number_of)


def _rate(setup, column):
    return max(1.0, abs(float(setup.machine["pattern_per_cutter"]))) if column == "pattern" else 1.0


def _between(row, after, k, wanted, half, number_of):
    x0, x1 = number_of(row, "taper_at"), number_of(after, "taper_at")
    for column, exact in wanted.items():
        y0, y1 = number_of(row, column), number_of(after, column)
        for t in (0.25, 0.5):
            off = y0 + (y1 - y0) * t - exact(x0 + (x1 - x0) * t)
            if abs(off) > CHORD + 2 * half + 1e-9:
                yield f"between rows {k + 1} and {k + 2} {column} is off by {off:.7f} mm"
                break
