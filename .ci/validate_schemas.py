#!/usr/bin/env python3
"""Holds every shipped YAML file against the JSON Schema that its modeline names.

    validate_schemas.py PROFILES

A file under PROFILES names its schema in a comment at its top, relative to itself,
as editors read it: `# yaml-language-server: $schema=schema/taper.json`. The schema
must be a valid one (draft-07) and accept the file. Then the file is broken in ways
that a maker might break it, one at a time, and the schema must refuse each: a
schema that accepts everything would prove nothing.
"""

import copy
import json
import pathlib
import re
import sys

import jsonschema
import yaml

MODELINE = re.compile(r"^# yaml-language-server: \$schema=(\S+)$", re.M)


class CoreLoader(yaml.SafeLoader):
    """YAML 1.2's core schema, which editors and the program go by: `off` and `no` are
    words, `1:30` and `010` are no sexagesimal or octal numbers. Keys are text, as JSON
    has them."""

    def construct_mapping(self, node, deep=False):
        return {key.value: self.construct_object(value, deep=deep) for key, value in node.value}


def construct_map(loader, node):
    return loader.construct_mapping(node, deep=True)


CoreLoader.yaml_implicit_resolvers = {}
CoreLoader.add_constructor("tag:yaml.org,2002:map", construct_map)
for tag, pattern, first in (
    ("null", r"^(?:~|null|Null|NULL|)$", ["~", "n", "N", ""]),
    ("bool", r"^(?:true|True|TRUE|false|False|FALSE)$", list("tTfF")),
    ("int", r"^[-+]?(?:0|[1-9][0-9]*)$", list("-+0123456789")),
    ("float", r"^[-+]?(?:\.[0-9]+|[0-9]+\.[0-9]*)$", list("-+.0123456789")),
):
    CoreLoader.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(pattern), first)


def first_machine(shop):
    return next(iter(shop["machines"].values()))


# What is broken: a name, and what it does to the loaded file. A break that does not
# apply to a file (a taper has no machines) is left out by `broken_copies`.
BREAKS = (
    ("an unknown key", lambda f: f.update(colour="green")),
    ("no format", lambda f: f.pop("format")),
    ("another format", lambda f: f.update(format="stripwright-nonesuch-1")),
    ("an unknown unit", lambda f: f.update(unit="furlong")),
    ("a list for the name", lambda f: f.update(name=["a", "b"])),
    ("a number for the taper", lambda f: "taper" in f and f.update(taper=0.068)),
    ("words for a distance across flats", lambda f: f["taper"].update({"0": "thin"})),
    ("an unknown key in a section", lambda f: f["sections"]["tip"].update(make_of=2)),
    ("a section without an end", lambda f: f["sections"]["tip"].pop("to")),
    ("half a strip to make", lambda f: f["sections"]["tip"].update(make=0.5)),
    ("an unknown way between stations", lambda f: "taper" in f and f.update(between="wavy")),
    ("an unknown allowance", lambda f: f["allowances"].update(gluee_line=0.001)),
    ("an unknown time for the enamel", lambda f: f["allowances"]["enamel"].update(off="never")),
    ("a number for the tolerances", lambda f: "tolerances" in f and f.update(tolerances=0.001)),
    ("an unknown kind of machine", lambda f: first_machine(f).update(kind="whittling")),
    ("a machine without a kind", lambda f: first_machine(f).pop("kind")),
    ("an unknown key in a machine", lambda f: first_machine(f).update(screwlead=1)),
)


def broken_copies(loaded):
    """Each (name of the break, broken copy) that applies to the file."""
    for name, break_it in BREAKS:
        broken = copy.deepcopy(loaded)
        try:
            break_it(broken)
        except KeyError:
            continue
        if broken != loaded:
            yield name, broken


def faults_of(path):
    """What is wrong with a shipped file or its schema."""
    text = path.read_text(encoding="utf-8")
    modeline = MODELINE.search(text)
    if not modeline:
        return ["no `# yaml-language-server: $schema=...` line"]
    schema_path = path.parent / modeline[1]
    if not schema_path.is_file():
        return [f"there is no {modeline[1]}"]
    schema = json.loads(schema_path.read_text(encoding="utf-8"))
    try:
        jsonschema.Draft7Validator.check_schema(schema)
    except jsonschema.SchemaError as error:
        return [f"{modeline[1]} is no draft-07 schema: {error.message}"]
    validator = jsonschema.Draft7Validator(schema)
    loaded = yaml.load(text, CoreLoader)  # a SafeLoader
    faults = [
        f"{'.'.join(map(str, error.absolute_path)) or 'top'}: {error.message}"
        for error in validator.iter_errors(loaded)
    ]
    broken = list(broken_copies(loaded))
    if len(broken) < 5:
        faults.append("fewer than five ways to break it: is it a file of a new kind?")
    faults += [f"accepts {name}" for name, copied in broken if validator.is_valid(copied)]
    return faults


def main():
    if len(sys.argv) != 2:
        print(__doc__, file=sys.stderr)
        return 2
    paths = sorted(pathlib.Path(sys.argv[1]).rglob("*.yaml"))
    failed = not paths
    for path in paths:
        faults = faults_of(path)
        failed = failed or bool(faults)
        print("\n  ".join([f"{path}:", *(faults or ["as its schema says"])]))
    if not paths:
        print(f"no YAML file under {sys.argv[1]}", file=sys.stderr)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
