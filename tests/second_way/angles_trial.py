"""What `check` says of the angles of one strip."""

from angles import NAMES, Corner, farthest, mean_uncertainty, seam, to_sixty
from judging import probability_within, verdicts
from readings_trial import DEGREES, ODDS

CLOSE_CALL = 1e-7  # degrees


def corners_of(readings, targets):
    """The places where all three heights were read."""
    places = {}
    for reading in readings:
        places.setdefault(reading.place, {})[reading.height] = reading
    radius = targets.ledger.face_radius if targets.round_now else None
    corners = [Corner([heights[h] for h in "abc"], targets.relief, float(targets.swollen),
                      None if radius is None else float(radius))
               for _, heights in sorted(places.items()) if len(heights) == 3]
    # Under a round face angles are looked for up to 90 degrees: what has more was misread, and tells nothing.
    return [corner for corner in corners if radius is None or max(corner.degrees) < 90]


def compare_angles(trial, said, where, readings, targets):
    """`trial` compares and counts; `said` is the program's `angles`. `readings` are all of the
    strip, and the places where one is doubted: those are listed, but nothing rests on them."""
    readings, doubtful = readings
    corners = corners_of(readings, targets)
    if said is None or not corners:
        trial.same(f"{where}: angles", said, None if not corners else "angles")
        return
    for what in _rare(corners, targets):
        trial.outcome.made_of[what] += 1
    gauge, bench = trial.case.gauge, trial.case.bench
    trial.same(f"{where}: places with angles", len(said["places"]), len(corners))
    for place, corner in zip(said["places"], corners):
        trial.length(f"{where}: angles at", place["at"], corner.place)
        for k, (printed, name) in enumerate(zip(place["angles"], NAMES)):
            here = f"{where}: angle {name} at {float(place['at']):.4f}"
            uncertainty = corner.uncertainty(k)
            low, high = 60 - bench.angle, 60 + bench.angle
            trial.same(here, printed["angle"], name)
            trial.number(here, printed["degrees"], corner.degrees[k], DEGREES, CLOSE_CALL)
            trial.number(f"{here} uncertainty", printed["standard_uncertainty"], uncertainty, DEGREES, CLOSE_CALL)
            odds = probability_within(corner.degrees[k], uncertainty, low, high)
            trial.number(f"{here} conforms", printed["conforms"], odds, ODDS, 1e-7)
            words = verdicts(corner.degrees[k], uncertainty, low, high, bench.plain, "wide", "narrow")
            trial.one_of(f"{here} verdict", printed["verdict"], words)
    corners = [corner for corner in corners if corner.place not in doubtful]
    if not corners:
        trial.outcome.counts["angles with nothing but doubted places"] += 1
        return
    for k, (printed, name) in enumerate(zip(said["mean"], NAMES)):
        mean = sum(corner.degrees[k] for corner in corners) / len(corners)
        trial.number(f"{where}: mean angle {name}", printed["degrees"], mean, DEGREES, CLOSE_CALL)
        trial.number(f"{where}: its uncertainty {name}", printed["standard_uncertainty"],
                     mean_uncertainty(corners, k, gauge), DEGREES, CLOSE_CALL)
    _worst(trial, said, where, corners, targets)
    _seam(trial, said["seam"], where, corners)


def _worst(trial, said, where, corners, targets):
    most = max(farthest(corner) for corner in corners)
    worst = [corner for corner in corners if trial.near(said["worst_at"], corner.place)]
    trial.same(f"{where}: worst angles at a place read", len(worst), 1)
    if not worst:
        return
    trial.same(f"{where}: worst angles", farthest(worst[0]) > most - CLOSE_CALL, True)
    after = said["to_60_degrees"]
    of_b, of_c, height = to_sixty(worst[0])
    for name, amounts in (("flank_b", of_b), ("flank_c", of_c)):
        trial.length(f"{where}: {name} at the apex", after[name]["at_apex"], amounts[0])
        trial.length(f"{where}: {name} at its edge", after[name]["at_outer_edge"], amounts[1])
    height -= float(targets.relief)
    trial.length(f"{where}: height after", after["height_after"], height)
    a = worst[0].readings[0]
    words = verdicts(height, a.repeated.uncertainty, a.low, a.high, trial.case.bench.plain)
    trial.one_of(f"{where}: verdict after", after["verdict_after"], words)


def _seam(trial, said, where, corners):
    opening, uncertainty, place, off = seam(corners, trial.case.gauge)
    trial.length(f"{where}: seam", said["opening"], opening)
    trial.length(f"{where}: seam's uncertainty", said["standard_uncertainty"], uncertainty)
    trial.length(f"{where}: seam at", said["at"], place)
    if abs(off) > CLOSE_CALL:
        trial.same(f"{where}: seam open at", said["open_at"], "centre" if off > 0 else "outside")


def _rare(corners, targets):
    yield f"angles on a {'round' if targets.round_now else 'flat'} face, {targets.stage}"
    if targets.relief:
        yield "angles with the apex knocked off"
    if targets.swollen != 1:
        yield "angles of a swollen strip" + (" with a round face" if targets.round_now else "")
    yield f"places with angles: {min(len(corners), 3)}"
