#!/usr/bin/python3
"""Sheets in a real browser and on paper.

    check_sheets.py --program PATH --source DIR [--keep DIR]

Each sheet of the demo rods: tidy has nothing to say; on a phone 390 CSS pixels wide and on a
wide screen the console stays silent, nothing is asked for, the page is not wider than the
screen; ticks and entries are there again after the page was opened anew; printed on A4 and
Letter it has as many pages as it should, every setting of the CSV files stands on it,
nothing runs over the paper's edge, and the rules are as long as they say. --keep leaves
pictures and PDFs there to be looked at.
"""

import argparse
import csv
import decimal
import html
import pathlib
import re
import subprocess
import sys
import tempfile

import browser as browsers
import printed
import sheets

SKIPPED = 77
MOST_BYTES = 400_000
RULE_MILLIMETRES = {("100", "mm"): 100.0, ("4", "in"): 101.6}
RULE_MAY_BE_OFF = 0.3
BENCH_DECIMALS = {"in": 4, "mm": 3}
SETTINGS = ("gauge", "dial", "pattern", "opening")


class Wrong(Exception):
    """Something a sheet does that it should not."""


def require(held, what):
    if not held:
        raise Wrong(what)


def check_markup(sheet):
    done = subprocess.run(["tidy", "-q", "-e", str(sheet.path)], check=False, capture_output=True,
                          text=True)
    require(done.returncode == 0 and not done.stderr.strip(), f"tidy: {done.stderr}")
    require(sheet.path.stat().st_size < MOST_BYTES, f"{sheet.path.stat().st_size} bytes")
    require("://" not in sheet.text(), "an address stands in the sheet")


def check_screen(sheet, browser, keep):
    for pixels, name in ((browsers.PHONE, "phone"), (1000, "desk")):
        browser.width(pixels)
        console, asked = browser.open(sheet.path)
        require(not console, f"the console says {console}")
        others = [url for url in asked if url not in (sheet.path.resolve().as_uri(), "data:,")]
        require(not others, f"asks for {others}")
        wide = browser.run("return document.documentElement.scrollWidth")
        require(wide <= pixels, f"{wide} pixels wide on a screen of {pixels}")
        if keep:
            browser.picture(keep / f"{sheet.name}-{name}.png")


def check_kept(sheet, browser):
    """What is ticked and written stays."""
    browser.width(browsers.PHONE)
    browser.open(sheet.path)
    count = browser.run("""
        const fields = document.querySelectorAll('main input');
        fields.forEach(function (field, i) {
          if (field.type === 'checkbox') { if (i % 3 === 0) field.click(); return; }
          field.value = 'read ' + i;
          field.dispatchEvent(new Event('input'));
        });
        return fields.length;""")
    require(count > 0, "there is nothing to tick")
    browser.open(sheet.path)
    lost = browser.run("""
        let lost = 0;
        document.querySelectorAll('main input').forEach(function (field, i) {
          const kept = field.type === 'checkbox' ? field.checked === (i % 3 === 0)
                                                 : field.value === 'read ' + i;
          if (!kept) lost += 1;
        });
        return lost;""")
    require(lost == 0, f"{lost} of {count} fields were not kept")
    browser.run("localStorage.clear()")
    browser.open(sheet.path)


def bench_forms(text, unit):
    """How a number from a CSV file may read at the bench. Where what was cut off in the file
    decides between two (its further digits are 50), either will do."""
    value = decimal.Decimal(text)
    step = decimal.Decimal(1).scaleb(-BENCH_DECIMALS[unit])
    forms = set()
    for nudge in (decimal.Decimal("1e-6"), decimal.Decimal("-1e-6")):
        rounded = (value + nudge).quantize(step, rounding=decimal.ROUND_HALF_UP)
        forms.add(f"{rounded:f}".replace("-0.0000", "0.0000") if rounded == 0 else f"{rounded:f}")
    return forms


def settings_of(sheet):
    """(section file, the forms in which a setting may read) for each setting in CSV files;
    of a way only its points at stations are on the sheet."""
    stations = set()
    if not (sheet.folder / "stations.csv").exists():
        return
    with open(sheet.folder / "stations.csv", newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            stations.add(next(value for name, value in row.items() if name.startswith("at_")))
    for path in sorted(sheet.folder.glob("cutter-*.csv")):
        with open(path, newline="", encoding="utf-8") as file:
            rows = list(csv.DictReader(file))
        last = max((row.get("pass") or "1" for row in rows), key=int)
        for row in rows:
            unit = next(name[-2:] for name in row if name.startswith("taper_at_"))
            names = {name.removesuffix("_" + unit): name for name in row}
            of_screws = "screw" in row
            if not of_screws and (row[names["taper_at"]] not in stations
                                  or row.get("pass", last) != last):
                continue
            shown = [name for name in SETTINGS if row.get(names.get(name, ""))]
            if not of_screws:
                shown.append("cutter_offset")
            for name in shown:
                yield path.name, name, bench_forms(row[names[name]], unit)
            if row.get("turns"):
                rest = row.get(names.get("residual", ""))
                offset = decimal.Decimal(row[names["cutter_offset"]])
                yield path.name, "turns", turns_forms(row["turns"], rest, offset)


def turns_forms(text, rest, offset):
    """Turns as whole ones and degrees; the file's digits leave a degree open now and then.

    A mill's are those to the figure on its dial: so much less as the rest is of the offset."""
    turns, off = decimal.Decimal(text), decimal.Decimal("0.0001")
    if rest and offset:
        turns *= (offset - decimal.Decimal(rest)) / offset
    return {turns_words(turns + nudge) for nudge in (-off, 0, off)}


def turns_words(turns):
    degrees = int((abs(turns) * 360).quantize(decimal.Decimal(1), rounding=decimal.ROUND_HALF_UP))
    sign = "-" if turns < 0 and degrees else ""
    return f"{sign}{degrees // 360} + {degrees % 360}°"


def check_rows_to_fill(sheet, paper, pdf):
    """What is asked for and what is expected stand in one line, though there is room to write
    beside it."""
    words = printed.words_of(pdf)
    filled = re.search(r'<table class="plain to-fill">(.*?)</table>', sheet.text(), re.DOTALL)
    for row in re.findall(r"<tr>\s*<th scope=\"row\">(.*?)</tr>", filled[1] if filled else "", re.DOTALL):
        target, first = re.findall(r"<td>\s*([\d.]+)", row)[:2]
        places = [[(page, top) for page, _, top, word in words if word == wanted]
                  for wanted in (target, first)]
        require(any(a[0] == b[0] and abs(a[1] - b[1]) < 1 for a in places[0] for b in places[1]),
                f"{paper}: {target} and {first} do not stand in a line")


def check_heads(sheet, paper, pages):
    """Each page of a part says whose it is: any of them may be handed on alone."""
    parts = re.findall(r'<p class="whose">(.*?)</p>\s*<p>(.*?)</p>', sheet.text())
    if not parts:
        return
    heads = [re.sub(r"\s+", "", html.unescape("".join(part))) for part in parts]
    firsts = [re.sub(r"\s+", "", page) for page in pages]
    found = [next((i for i, head in enumerate(heads) if page.startswith(head)), None)
             for page in firsts]
    begins = found.index(0) if 0 in found else len(pages)
    require(begins <= 2 and None not in found[begins:] and found[begins:] == sorted(found[begins:])
            and set(found[begins:]) == set(range(len(heads))),
            f"{paper}: the heads of pages are {found}")


def check_paper(sheet, browser, here):
    for paper in browsers.PAPERS:
        pdf = here / f"{sheet.name}-{paper}.pdf"
        browser.pdf(paper, pdf)
        pages = printed.pages_of(pdf)
        text = re.sub(r"\s+", " ", " ".join(pages))
        sections = sheet.text().count('<section id="')
        pieces = sheet.text().count('class="piece"')
        require(1 + sections <= len(pages) <= 2 + 7 * sections + 3 * (pieces > 0) + pieces / 3,
                f"{paper}: {len(pages)} pages")
        check_heads(sheet, paper, pages)
        check_rows_to_fill(sheet, paper, pdf)
        numbers = set(re.findall(r"-?\d+(?:\.\d+)?", text))
        for file, name, forms in settings_of(sheet):
            found = any(form in text for form in forms) if name == "turns" else forms & numbers
            require(found, f"{paper}: {name} {sorted(forms)} of {file} is not printed")
        for (number, unit), wanted in RULE_MILLIMETRES.items() if sections else ():
            lengths = printed.rule_lengths(pdf, number, unit)
            require(lengths, f"{paper}: no rule of {number} {unit} is printed")
            for length in lengths:
                require(abs(length - wanted) <= RULE_MAY_BE_OFF,
                        f"{paper}: the rule of {number} {unit} is {length:.2f} mm long")
        width = browsers.PAPERS[paper][0] * printed.POINTS_PER_INCH
        for page, left, _, word in printed.words_of(pdf):
            require(20 <= left <= width - 20, f"{paper}: page {page}: '{word}' at the paper's edge")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--program", required=True)
    parser.add_argument("--source", required=True)
    parser.add_argument("--keep", type=pathlib.Path)
    arguments = parser.parse_args()
    if absent := browsers.missing():
        print(f"skipped: without {', '.join(absent)} (see .ci/install) no sheet can be opened")
        return SKIPPED
    failures = 0
    with tempfile.TemporaryDirectory(prefix="stripwright-") as top, browsers.Browser() as browser:
        here = pathlib.Path(top)
        keep = arguments.keep
        if keep:
            keep.mkdir(parents=True, exist_ok=True)
        made = sheets.make_all(arguments.program, arguments.source, here)
        for number, sheet in enumerate(made):
            try:
                check_markup(sheet)
                check_screen(sheet, browser, keep)
                if number % 4 == 0 and "<input" in sheet.text():
                    check_kept(sheet, browser)
                check_paper(sheet, browser, keep or here)
            except Wrong as wrong:
                failures += 1
                print(f"{sheet.name}: {wrong}")
        print(f"{len(made)} sheets, {failures} with faults")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
