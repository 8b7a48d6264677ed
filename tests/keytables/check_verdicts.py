"""Holds the JSON Schemas against the files of verdicts.yaml, with python3-jsonschema.

    check_verdicts.py --source DIR

A schema must say of each file what stands there. It must not refuse what the reader
accepts, unless a reason is given.
"""

import argparse
import json
import pathlib
import sys

import jsonschema
import yaml

HERE = pathlib.Path(__file__).resolve().parent


def core_loader(source):
    """The loader by YAML 1.2's rules that the check of the shipped files uses."""
    sys.path.insert(0, str(source / ".ci"))
    from validate_schemas import CoreLoader

    return CoreLoader


def schema(source, name):
    path = source / "profiles/schema" / f"{name}.json"
    loaded = json.loads(path.read_text(encoding="utf-8"))
    jsonschema.Draft7Validator.check_schema(loaded)
    return jsonschema.Draft7Validator(loaded)


def complaints_about(verdict, validators, loader):
    loaded = yaml.load(verdict["text"], loader)  # a SafeLoader
    faults = list(validators[verdict["of"]].iter_errors(loaded))
    found = "refuses" if faults else "accepts"
    said = [fault.message for fault in faults]
    if found != verdict["schema"]:
        yield f"{verdict['what']}: the schema {found} it {said}"
    if found == "refuses" and verdict["reader"] == "accepts" and "but" not in verdict:
        yield f"{verdict['what']}: refused, though the reader accepts it {said}"


def main():
    parser = argparse.ArgumentParser(description="Holds the schemas against verdicts.yaml.")
    parser.add_argument("--source", required=True, type=pathlib.Path)
    source = parser.parse_args().source
    loader = core_loader(source)
    names = ("taper", "shop", "ring", "correction", "culms")
    validators = {name: schema(source, name) for name in names}
    verdicts = yaml.safe_load((HERE / "verdicts.yaml").read_text(encoding="utf-8"))
    complaints = [c for v in verdicts for c in complaints_about(v, validators, loader)]
    print("\n".join(complaints) if complaints else f"{len(verdicts)} files as expected")
    return 1 if complaints or not verdicts else 0


if __name__ == "__main__":
    sys.exit(main())
