#!/usr/bin/python3
"""Every page in a real browser, at three widths: can it be read and touched?

    looks.py --server STRIPWRIGHT-PAGE [--keep DIR]

Nothing to touch is smaller than 48 CSS pixels, the page does not scroll sideways, the console stays
silent, axe-core (where it is to be had) finds nothing serious or critical.
"""

import argparse
import pathlib
import sys
import tempfile
import time

from visit import Visit

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "browser"))
import browser as browsers  # noqa: E402
import check_axe  # noqa: E402

SKIPPED = 77
WIDTHS = (browsers.PHONE, 820, 1440)
PAGES = {
    "folder": "/",
    "rod": "/rod?file=yarrow.yaml&shop=saltmarsh-lane.yaml&machine=steel%20form",
    "rod-wrong": "/rod?file=broken.yaml&shop=saltmarsh-lane.yaml",
    "nowhere": "/rod?file=not-there.yaml",
    "shop": "/shop?file=saltmarsh-lane.yaml",
    "measure": "/measure",
    "measure-strips": "/measure?file=yarrow.yaml&shop=saltmarsh-lane.yaml&stage=milled&section=tip&strips=2&heights=a"
                      "&readings=new.csv",
    "choose": "/choose",
    "choose-strips": "/choose?file=yarrow.yaml&shop=saltmarsh-lane.yaml&readings=strips.csv&section=tip",
    "learn": "/learn",
}
BROKEN = "format: stripwright-taper-1\nname: Broken\nunit: in\ntaper: {0: 0.07, 5: x}\n"
# WCAG 2.2, 2.5.8 lets links in a sentence be as small as its letters; all else here is for thick
# fingers: 2.5.5 wants 44 CSS pixels, these pages promise 48.
TARGETS = """
const small = [];
for (const each of document.querySelectorAll('a[href], button, input, select, textarea, summary')) {
  const box = each.getBoundingClientRect();
  if (box.width === 0 || box.height === 0 || each.closest('.skip, details:not([open]) > :not(summary)')) continue;
  const words = each.parentElement.textContent.trim().length - each.textContent.trim().length;
  if (each.tagName === 'A' && words > 10 && getComputedStyle(each).display === 'inline') continue;
  if (box.height < 47.5 || box.width < 47.5)
    small.push(`${each.outerHTML.slice(0, 90)} ${box.width.toFixed(0)}x${box.height.toFixed(0)}`);
}
return small;
"""
# What reaches beyond the screen.
WIDE = """
return [...document.querySelectorAll('main *, header *')].filter(
  e => e.getBoundingClientRect().right > arguments[0] + 1 && !e.closest('.wide, table .unseen')).slice(0, 4)
  .map(e => e.outerHTML.slice(0, 100));
"""


def check_page(visit, browser, name, path, axe, keep):
    faults = []
    for pixels in WIDTHS:
        browser.width(pixels)
        visit.go(path)
        if "no page at this address" in visit.text("main"):
            return [f"{name}: is not there"]
        # What opens is looked at as well.
        visit.run("document.querySelectorAll('details').forEach(d => { d.open = true; });")
        if console := visit.console():
            faults.append(f"{pixels}: the console says {console}")
        wide = visit.run("return document.documentElement.scrollWidth")
        if wide > pixels:
            faults.append(f"{pixels}: {wide} pixels wide by {visit.run(WIDE, pixels)}")
        faults += [f"{pixels}: small: {each}" for each in visit.run(TARGETS)[:6]]
        if axe and pixels != WIDTHS[1]:
            visit.run(axe)
            faults += [f"{pixels}: {each}" for each in browser.run_and_wait(check_axe.RUN)]
        if keep:
            browser.picture(keep / f"{name}-{pixels}.png")
    return [f"{name} at {each}" for each in faults]


def strips():
    """Readings of nine strips of Yarrow's tip, each off by its own amount."""
    heights = (0.0378, 0.0444, 0.0518, 0.0597, 0.0679, 0.0761, 0.0843, 0.0925, 0.1005, 0.1082)
    rows = ["strip,at_in,a_in,b_in,c_in"]
    for strip in range(9):
        for i, height in enumerate(heights):
            a, b, c = (height + 0.0005 * ((strip * 7 + i * 3 + k * 5) % 4 - 1.5) for k in range(3))
            rows.append(f"tip {strip + 1},{5 * i},{a:.4f},{b:.4f},{c:.4f}")
    return "\n".join(rows) + "\n"


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--server", required=True)
    parser.add_argument("--keep", type=pathlib.Path, help="leave pictures of the pages in this folder")
    arguments = parser.parse_args()
    if absent := browsers.missing():
        print(f"skipped: without {', '.join(absent)} (see .ci/install) no page can be opened")
        return SKIPPED
    if arguments.keep:
        arguments.keep.mkdir(parents=True, exist_ok=True)
    failures = 0
    with tempfile.TemporaryDirectory(prefix="stripwright-") as top, browsers.Browser() as browser:
        axe = check_axe.axe_source(top)
        if axe is None:
            print("axe-core is not to be had from npm here: pages are looked at without it")
        visit = Visit(arguments.server, browser, top)
        visit.file("strips.csv").write_text(strips())
        visit.file("broken.yaml").write_text(BROKEN)
        for name, path in PAGES.items():
            begun = time.monotonic()
            faults = check_page(visit, browser, name, path, axe, arguments.keep)
            print(f"{name}: {time.monotonic() - begun:.1f} s")
            failures += len(faults)
            for fault in faults:
                print(fault)
        visit.close()
    print(f"{len(PAGES)} pages looked at, {failures} faults")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
