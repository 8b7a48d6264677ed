#!/usr/bin/python3
"""Sheets for those who read them in other ways: axe-core finds nothing serious or critical.

    check_axe.py --program PATH --source DIR

axe-core comes from the npm registry, by the lock file beside this script, into a folder
that is gone afterwards; where it is not to be had this test is skipped. Its rule for
contrast is set to 7 to 1 (WCAG 2.2, 1.4.6).
"""

import argparse
import pathlib
import shutil
import subprocess
import sys
import tempfile

import browser as browsers
import sheets

SKIPPED = 77
RUN = """
const done = arguments[arguments.length - 1];
axe.run(document, {resultTypes: ['violations'], rules: {'color-contrast-enhanced': {enabled: true}}})
   .then(function (found) {
     done(found.violations.filter(v => v.impact === 'serious' || v.impact === 'critical')
       .map(v => v.id + ': ' + v.help + ': ' + v.nodes.slice(0, 3).map(n => n.html).join(' ')));
   }, function (fault) { done(['axe itself: ' + fault]); });
"""


def axe_source(here):
    """The text of axe-core, or nothing where it is not to be had."""
    for name in ("package.json", "package-lock.json"):
        shutil.copy(pathlib.Path(__file__).parent / name, here)
    if not shutil.which("npm"):
        return None
    done = subprocess.run(["npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund"], cwd=here,
                          check=False, capture_output=True, text=True, timeout=300)
    source = pathlib.Path(here, "node_modules", "axe-core", "axe.min.js")
    if done.returncode != 0 or not source.exists():
        return None
    return source.read_text(encoding="utf-8")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--program", required=True)
    parser.add_argument("--source", required=True)
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="stripwright-") as top:
        if absent := browsers.missing():
            print(f"skipped: without {', '.join(absent)} (see .ci/install) no sheet can be opened")
            return SKIPPED
        axe = axe_source(top)
        if axe is None:
            print("skipped: axe-core is not to be had from npm here")
            return SKIPPED
        failures = 0
        with browsers.Browser() as browser:
            made = sheets.make_all(arguments.program, arguments.source, pathlib.Path(top))
            for sheet in made:
                for pixels in (browsers.PHONE, 1000):
                    browser.width(pixels)
                    browser.open(sheet.path)
                    browser.run(axe)
                    for fault in browser.run_and_wait(RUN):
                        failures += 1
                        print(f"{sheet.name} at {pixels}: {fault}")
        print(f"{len(made)} sheets, {failures} faults")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
