"""Taper and shop files into plain dictionaries, every length a Fraction of mm.

Every scalar is taken as text (yaml.BaseLoader) and read by the length grammar
alone. The files are taken to be well formed; refusing bad ones is not this
program's work.
"""

from fractions import Fraction

import yaml

from lengths import parse, plain

ZERO = Fraction(0)


# The same loader, in C where libyaml is there.
_LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


def load(text):
    return yaml.load(text, Loader=_LOADER)


def load_file(path):
    with open(path, encoding="utf-8") as file:
        return load(file.read())


def taper_of(raw):
    unit = raw["unit"]
    stations = sorted((parse(x, unit), parse(d, unit)) for x, d in raw["taper"].items())
    sections = [
        {"name": name, "from": parse(s["from"], unit), "to": parse(s["to"], unit)}
        for name, s in raw["sections"].items()
    ]
    return {
        "unit": unit,
        "measured": raw.get("measured", "bare"),
        "between": raw.get("between", "linear"),
        "stations": stations,
        "sections": sections,
    }


def _allowances(raw, unit):
    enamel = raw.get("enamel", {})
    moisture = raw.get("moisture", {})
    culm = enamel.get("culm_diameter")
    return {
        "varnish": parse(raw.get("varnish", "0"), unit),
        "cleanup": parse(raw.get("cleanup", "0"), unit),
        "glue_line": parse(raw.get("glue_line", "0"), unit),
        "enamel": parse(enamel.get("thickness", "0"), unit),
        "enamel_off": enamel.get("off", "before-gluing"),
        "face": enamel.get("face"),
        "culm_diameter": None if culm is None else parse(culm, unit),
        "apex_relief": parse(raw.get("apex_relief", "0"), unit),
        "swell": plain(moisture.get("per_percent", "0")),
        "at_milling": plain(moisture.get("at_milling", "0")),
        "in_service": plain(moisture.get("in_service", "0")),
    }


def _strip_tolerance(raw, unit):
    strip = raw.get("strip", "0.001 in")
    if isinstance(strip, dict):
        return parse(strip["over"], unit), parse(strip["under"], unit)
    return parse(strip, unit), parse(strip, unit)


def _screws(raw, unit):
    if isinstance(raw, list):
        return [parse(text, unit) for text in raw]
    first, pitch = parse(raw.get("first", "0"), unit), parse(raw["pitch"], unit)
    return [first + pitch * i for i in range(int(raw["count"]))]


def _maybe(raw, key, unit):
    return parse(raw[key], unit) if key in raw else None


def _passes(raw, unit, plain_over):
    """`plain_over`: so much over a section's highest place where the passes name no rough strip."""
    if raw is None:
        return None
    if "over" in raw:
        return {"stages": [parse(text, unit) for text in raw["over"]]}
    rough = raw.get("rough", {})
    return {
        "height": _maybe(rough, "height", unit),
        "over": _maybe(rough, "over", unit),
        "plain_over": None if rough else plain_over,
        "max_cut": parse(raw["max_cut"], unit),
        "last_cut": parse(raw["last_cut"], unit),
    }


def _dial(raw, unit):
    """Without a dial in the file the dial shows the offset itself."""
    low, high = raw.get("range", (None, None))
    return {
        "zero": parse(raw.get("zero", "0"), unit),
        "sense": -1 if raw.get("counts", "up") == "down" else 1,
        "per_offset": plain(raw.get("dial_per_offset", "1")),
        "division": _maybe(raw, "division", unit),
        "screw_lead": _maybe(raw, "screw_lead", unit),
        "low": None if low is None else parse(low, unit),
        "high": None if high is None else parse(high, unit),
    }


def _machine(raw, unit, plain_over):
    machine = {
        "kind": raw["kind"],
        "strip_at": parse(raw.get("strip_at", "0"), unit),
        "feeds": raw.get("feeds", "tip-first"),
        "serves": raw.get("for"),
        "fit": raw.get("fit", "at-screws"),
        "bar": raw.get("bar", "spring"),
        "passes": _passes(raw.get("passes"), unit, plain_over),
    }
    if "screws" in raw:
        machine["screws"] = _screws(raw["screws"], unit)
    radius = _maybe(raw, "cutter_radius", unit)
    if "cutter_diameter" in raw:
        radius = parse(raw["cutter_diameter"], unit) / 2
    machine["cutter_radius"] = radius
    if raw["kind"] == "planing-form":
        closed = raw.get("closed_depth")
        machine["closed"] = closed and (
            parse(closed["thin_end"], unit), parse(closed["thick_end"], unit))
        machine["screw_lead"] = _maybe(raw, "screw_lead", unit)
        gauge = raw.get("depth_gauge")
        machine["gauge"] = gauge and {
            "tip": gauge["tip"], "diameter": _maybe(gauge, "diameter", unit)}
    if raw["kind"] == "screw-mill":
        machine["dial"] = _dial(raw.get("dial", {}), unit)
    if raw["kind"] == "pattern-mill":
        machine["follower_radius"] = parse(raw["follower_radius"], unit)
        machine["pattern_per_cutter"] = plain(raw.get("pattern_per_cutter", "1"))
        machine["base"] = parse(raw.get("base", "0"), unit)
    return machine


def shop_of(raw):
    unit = raw["unit"]
    spare = raw.get("spare", {})
    plain_over = parse(raw.get("rough", {}).get("over", "0.03 in"), unit)
    return {
        "unit": unit,
        "allowances": _allowances(raw.get("allowances", {}), unit),
        "spare": tuple(parse(spare.get(end, "1.5 in"), unit) for end in ("tip_end", "butt_end")),
        "rough_over": plain_over,
        "tolerance": _strip_tolerance(raw.get("tolerances", {}), unit),
        "machines": {name: _machine(m, unit, plain_over) for name, m in raw["machines"].items()},
    }
