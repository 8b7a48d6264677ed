"""What a case was made of, to see that the random cases reach every corner."""

from strip import FLOOR


def features(setup, tables):
    """Short names of what this set-up has in it; `tables` are the expected cutter tables."""
    yield from _ledger(setup)
    yield from _machine(setup.machine)
    for section in setup.sections:
        yield from _rows(setup, section, tables[section["name"]])


def _ledger(setup):
    ledger, taper = setup.ledger, setup.taper
    count = min(len(taper.stations), 4)
    shape = "smooth" if taper.smooth else "linear"
    yield f"taper {shape}, {count} stations" + (" or more" if count == 4 else "")
    yield f"enamel off {ledger.off}, face {'round' if ledger.round else 'flat'}"
    yield f"sections {len(setup.sections)}"
    if ledger.varnish:
        yield "varnish taken off"
    if ledger.swell != 1:
        yield "moisture"
    if ledger.relief:
        yield "apex relief"
    if any(after[1] < before[1] for before, after in zip(taper.stations, taper.stations[1:])):
        yield "taper falls somewhere"


def _machine(machine):
    kind = machine["kind"]
    yield kind
    yield f"feeds {machine['feeds']}"
    if machine["serves"]:
        yield "for some sections only"
    if machine["fit"] == "best":
        yield f"{kind}, fit best"
    if machine["passes"]:
        plan = machine["passes"]
        yield f"{kind}, passes from " + (
            "stages" if "stages" in plan else "over" if plan["over"] is not None
            else "a height" if plan["height"] is not None else "a plain strip")
    if kind == "planing-form":
        gauge = machine["gauge"]
        yield "gauge " + (gauge["tip"] if gauge else "none given")
        yield "closed depth " + ("known" if machine["closed"] else "unknown")
    if kind == "screw-mill":
        yield "dial counts " + ("up" if machine["dial"]["sense"] > 0 else "down")
        yield "dial " + ("with" if machine["dial"]["division"] else "without") + " division"
    if kind == "screw-mill" and not machine["cutter_radius"]:
        yield "sharp edge"


def _rows(setup, section, table):
    strip = setup.strips[section["name"]]
    reach = setup.machine_reach(section)
    if "screws" not in setup.machine:
        return
    if reach[0] < setup.machine["screws"][0] or reach[1] > setup.machine["screws"][-1]:
        yield "strip beyond the screws"
    for row in table:
        first = row[0]
        at, x = first["machine_at_U"].value, first["taper_at_U"].value
        within = "within" if reach[0] <= at <= reach[1] else "beyond"
        glued = strip.glued(x)
        if not section["from"] <= x <= section["to"] and glued <= FLOOR:
            end = "tip" if x < section["from"] else "butt"
            yield f"row: least height at the {end} end, {within} the strip"
        if "gauge_on" in first:
            depth, milled = first["cutter_offset_U"].value, first["strip_milled_U"].value
            if first["opening_U"] is None and setup.machine["closed"]:
                yield "row: cannot close so far, within the strip"
            elif within == "beyond" and setup.machine["closed"] and depth > milled and not setup.machine["passes"]:
                yield "row: closed, beyond the strip"
            if first["gauge_on"]:
                yield f"row: gauge {setup.machine['gauge']['tip']} on {first['gauge_on']}, {within} the strip"
        elif first["dial_U"] is None:
            yield f"row: dial out of range, {within} the strip"
