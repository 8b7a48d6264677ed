"""What a printed page says and how long its rules are, by Debian's poppler."""

import re
import subprocess

DOTS_PER_INCH = 600
MILLIMETRES_PER_DOT = 25.4 / DOTS_PER_INCH
POINTS_PER_INCH = 72
DARK = 128


def text_of(pdf):
    """All text, its layout kept."""
    done = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], check=True,
                          capture_output=True, text=True)
    return done.stdout


def pages_of(pdf):
    """The text of each page."""
    return text_of(pdf).split("\f")[:-1]


def words_of(pdf):
    """Each word as (page from 1, left, top, the word), in points."""
    done = subprocess.run(["pdftotext", "-bbox", str(pdf), "-"], check=True,
                          capture_output=True, text=True)
    page, out = 0, []
    for line in done.stdout.splitlines():
        page += line.strip().startswith("<page ")
        word = re.search(r'xMin="([\d.]+)" yMin="([\d.]+)".*>(.*)</word>', line)
        if word:
            out.append((page, float(word[1]), float(word[2]), word[3]))
    return out


def rows_of(pdf, page, left, top, width, height):
    """Rows of dark dots of a part of a page, given in points."""
    dots = [str(round(value * DOTS_PER_INCH / POINTS_PER_INCH)) for value in (left, top, width, height)]
    done = subprocess.run(
        ["pdftoppm", "-r", str(DOTS_PER_INCH), "-gray", "-f", str(page), "-l", str(page),
         "-x", dots[0], "-y", dots[1], "-W", dots[2], "-H", dots[3], str(pdf)],
        check=True, capture_output=True)
    magic, size, depth, raw = done.stdout.split(b"\n", 3)
    if magic != b"P5" or depth != b"255":
        raise ValueError("pdftoppm gave no grey picture")
    across = int(size.split()[0])
    for start in range(0, len(raw) - across + 1, across):
        yield [i for i, value in enumerate(raw[start:start + across]) if value < DARK]


def middles(dark):
    """The middle of each run of neighbouring dots."""
    runs = []
    for at in dark:
        if runs and at == runs[-1][1] + 1:
            runs[-1][1] = at
        else:
            runs.append([at, at])
    return [(first + last) / 2 for first, last in runs]


def rule_lengths(pdf, number, unit):
    """The lengths in millimetres of the rules that have these words under their left end. The
    two end marks of a rule are longer than all others: in the rows where there are two dark
    runs only, they are these."""
    words = words_of(pdf)
    out = []
    for (page, left, top, word), following in zip(words, words[1:]):
        if word != number or following[3] != unit or abs(following[2] - top) > 1:
            continue
        apart = set()
        for dark in rows_of(pdf, page, left - 6, top - 17, 310, 17):
            found = middles(dark)
            if len(found) == 2:
                apart.add(found[1] - found[0])
        if apart:
            out.append(max(apart) * MILLIMETRES_PER_DOT)
    return out
