"""Compares what is generated from the tables of keys with what is in the repository.

    check_generated.py --keytables PROGRAM --source DIR [--write]

The JSON Schemas in profiles/schema are generated whole; in docs/file-formats.md the
key tables are, between `<!-- keys: taper -->`, `shop`, `ring`, `correction` or `culms` and `<!-- /keys -->`. Links
within that document must lead to one heading each. --write puts the generated text
in its place.
"""

import argparse
import difflib
import pathlib
import re
import subprocess
import sys

DOCUMENT = "docs/file-formats.md"
FILES = ("taper", "shop", "ring", "correction", "culms")
START, END = "<!-- keys: {} -->\n", "<!-- /keys -->"


def generated(program, what, name):
    done = subprocess.run([program, what, name], capture_output=True, text=True, check=True)
    return done.stdout


def with_tables(text, program):
    """The document with its key tables generated anew."""
    for name in FILES:
        start = START.format(name)
        if text.count(start) != 1 or END not in text.split(start)[1]:
            raise ValueError(f"{DOCUMENT}: needs one {start.strip()} and {END} behind it")
        before, after = text.split(start)
        behind = after[after.index(END) :]
        text = f"{before}{start}\n{generated(program, 'docs', name)}\n{behind}"
    return text


def anchor(heading):
    """What a heading is called in a link: lower case, hyphens for blanks, no marks."""
    return re.sub(r"[^a-z0-9 _-]", "", heading.lower()).replace(" ", "-")


def bad_links(text):
    """Links within the document that lead nowhere or to two headings."""
    headings = [anchor(h) for h in re.findall(r"^#+ (.+)$", text, re.M)]
    links = set(re.findall(r"\]\(#([^)]+)\)", text))
    return sorted(link for link in links if headings.count(link) != 1)


def expected_files(program, source):
    """Each file that is generated, whole or in part, and what it should hold."""
    for name in FILES:
        yield source / f"profiles/schema/{name}.json", generated(program, "schema", name)
    document = source / DOCUMENT
    yield document, with_tables(document.read_text(encoding="utf-8"), program)


def main():
    parser = argparse.ArgumentParser(description="Checks generated schemas and key tables.")
    parser.add_argument("--keytables", required=True, help="the program stripwright-keytables")
    parser.add_argument("--source", required=True, type=pathlib.Path)
    parser.add_argument("--write", action="store_true", help="write what is generated")
    options = parser.parse_args()
    complaints = []
    for path, expected in expected_files(options.keytables, options.source):
        found = path.read_text(encoding="utf-8") if path.exists() else ""
        if options.write and found != expected:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(expected, encoding="utf-8")
            print(f"{path}: written")
        elif found != expected:
            lines = difflib.unified_diff(
                found.splitlines(), expected.splitlines(), str(path), "generated", lineterm=""
            )
            complaints += list(lines)[:40] + [f"{path}: not as generated; see --write"]
        if path.suffix == ".md":
            complaints += [f"{path}: no single heading for #{link}" for link in bad_links(expected)]
    print("\n".join(complaints) if complaints else "all as generated")
    return 1 if complaints else 0


if __name__ == "__main__":
    sys.exit(main())
