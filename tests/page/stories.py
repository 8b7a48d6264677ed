#!/usr/bin/python3
"""The pages in a real browser, as someone at the bench would use them.

    stories.py --server STRIPWRIGHT-PAGE [--keep DIR] [--only WORD]

From a new taper to a printed sheet; arrows and a finger on the curve; a file that is changed by
others meanwhile; two tabs; the server gone and back while something is not saved; the choice of
units; all by the keyboard. And of every page at three widths: nothing to touch is smaller than 48
CSS pixels, the page does not scroll sideways, the console stays silent, axe-core (where it is to be
had) finds nothing serious or critical. --keep leaves pictures of the pages there.
"""

import argparse
import pathlib
import re
import signal
import sys
import tempfile
import time
import traceback

import served

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "browser"))
import browser as browsers  # noqa: E402
import check_axe  # noqa: E402

SKIPPED = 77
WIDTHS = (browsers.PHONE, 820, 1440)
# Pages that are not there yet are passed over.
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


WIDE = """
return [...document.querySelectorAll('main *, header *')].filter(
  e => e.getBoundingClientRect().right > arguments[0] + 1 && !e.closest('.wide, table .unseen')).slice(0, 4)
  .map(e => e.outerHTML.slice(0, 100));
"""


class Wrong(Exception):
    """Something the pages do that they should not."""


def require(held, what):
    if not held:
        raise Wrong(what)


class Visit:
    """A folder with a server on it, and a browser that looks at it."""

    def __init__(self, program, browser, top):
        self.program = program
        self.driver = browser.driver
        self.lane = pathlib.Path(tempfile.mkdtemp(dir=top), "lane")
        served.fill(self.lane)
        self.server = served.Server(program, self.lane)
        self.driver.get("about:blank")
        self.driver.get_log("browser")

    def close(self):
        while len(self.driver.window_handles) > 1:
            self.driver.switch_to.window(self.driver.window_handles[-1])
            self.driver.close()
        self.driver.switch_to.window(self.driver.window_handles[0])
        self.driver.get("about:blank")
        self.server.end()

    def file(self, name):
        return self.lane / name

    def go(self, path):
        self.driver.get(self.server.address + path)

    def one(self, selector):
        from selenium.webdriver.common.by import By
        return self.driver.find_element(By.CSS_SELECTOR, selector)

    def all(self, selector):
        from selenium.webdriver.common.by import By
        return self.driver.find_elements(By.CSS_SELECTOR, selector)

    def run(self, script, *arguments):
        return self.driver.execute_script(script, *arguments)

    def text(self, selector):
        return self.run("const e = document.querySelector(arguments[0]); return e ? e.textContent : '';", selector)

    def value(self, selector):
        return self.run("const e = document.querySelector(arguments[0]); return e ? e.value : null;", selector)

    def click(self, selector):
        """By a finger: what lies over it would get it instead. Between the look and the touch the
        page may make the element anew; a hand would find it where it was."""
        from selenium.common.exceptions import StaleElementReferenceException
        for again in range(5):
            try:
                element = self.one(selector)
                self.run("arguments[0].scrollIntoView({block: 'center'});", element)
                element.click()
                return
            except StaleElementReferenceException:
                if again == 4:
                    raise

    def write(self, selector, text):
        """Into a field, over what stands there; the keys go to what has the keyboard."""
        from selenium.webdriver.common.keys import Keys
        self.click(selector)
        self.chord("a", Keys.CONTROL)
        self.keys(text)

    def keys(self, *keys):
        from selenium.webdriver.common.action_chains import ActionChains
        ActionChains(self.driver).send_keys(*keys).perform()

    def chord(self, key, *held):
        from selenium.webdriver.common.action_chains import ActionChains
        chain = ActionChains(self.driver)
        for each in held:
            chain.key_down(each)
        chain.send_keys(key)
        for each in held:
            chain.key_up(each)
        chain.perform()

    def until(self, held, what, seconds=20):
        """Waits until something holds."""
        last = time.monotonic() + seconds
        while time.monotonic() < last:
            if held():
                return
            time.sleep(0.05)
        raise Wrong(f"{what}: not within {seconds} s; the page says '{self.text('#say')}' and '{self.text('#problems')}'")

    def stations(self):
        """The table: pairs of texts as they stand in their fields."""
        return [tuple(row) for row in self.run(
            "return [...document.querySelectorAll('#taper-table tbody tr')].map("
            "r => [r.querySelector('.station').value, r.querySelector('.flats').value]);")]

    def field_of(self, station):
        keys = [key for key, _ in self.stations()]
        require(station in keys, f"no station {station} in {keys}")
        return f"#flats-{keys.index(station)}"

    def console(self):
        """What it says, but for the browser's own note that an answer was a refusal."""
        return [entry["message"] for entry in self.driver.get_log("browser")
                if not re.search(r"status of (404|409|422)", entry["message"])]


def rod(visit, name="yarrow.yaml", machine="copier"):
    visit.go(f"/rod?file={name}&shop=saltmarsh-lane.yaml&machine={machine}")
    require(visit.text("#figures table"), "there are no figures")


def new_taper_to_sheet(visit):
    from selenium.webdriver.common.keys import Keys
    visit.go("/")
    for summary in visit.all("summary"):
        if summary.text == "A new taper":
            visit.run("arguments[0].scrollIntoView({block: 'center'});", summary)
            summary.click()
    for field, text in (("#name", "Bryony"), ("#to", "7 ft"), ("#step", "6 in"), ("#thin", "0.07"), ("#thick", "0.3")):
        visit.write(field, text)
    visit.click("form[data-send='/rods/new'] button")
    visit.until(lambda: "/rod?" in visit.driver.current_url, "the new rod's page")
    visit.until(lambda: visit.stations(), "the taper's table")
    file = visit.file("bryony.yaml")
    require(file.exists(), "no bryony.yaml was made")
    require(len(visit.stations()) == 15, f"{len(visit.stations())} stations, not one each 6 in of 84")
    before, fresh = visit.text("#figures"), file.read_bytes()
    # A keystroke's figures, before anything is saved.
    visit.write(visit.field_of("6"), "0.095")
    visit.until(lambda: visit.text("#figures") != before, "figures of the new flats")
    require(file.read_bytes() == fresh, "written before it was saved")
    # One more station, one less.
    visit.write("#new-station", "9")
    visit.write("#new-flats", "0.105")
    visit.click("#put-in")
    visit.until(lambda: ("9", "0.105") in visit.stations(), "station 9")
    # Once more at the same place is no second station.
    visit.write("#new-station", "9")
    visit.write("#new-flats", "0.2")
    visit.click("#put-in")
    visit.until(lambda: "already" in visit.text("#say"), "word that station 9 is there")
    visit.write("#new-station", Keys.BACKSPACE)
    visit.write("#new-flats", Keys.BACKSPACE)
    keys = [float(key) for key, _ in visit.stations()]
    require(keys == sorted(keys), f"stations out of order: {keys}")
    visit.click("button[aria-label='take out station 12']")
    visit.until(lambda: "12" not in dict(visit.stations()), "station 12 taken out")
    visit.click("#undo")
    visit.until(lambda: "12" in dict(visit.stations()), "station 12 again, by undo")
    visit.click("#redo")
    visit.until(lambda: "12" not in dict(visit.stations()), "station 12 gone again, by redo")
    for _ in range(3):
        visit.click("#undo")
    visit.until(lambda: dict(visit.stations()).get("6") != "0.095", "flats as they were, by undo")
    require("9" not in dict(visit.stations()), "station 9 is still there")
    visit.until(lambda: visit.text("#figures").strip() == before.strip(), "figures as they were, by undo")
    require(not visit.one("#save").is_enabled(), "there is something to save where nothing is changed")
    for _ in range(3):
        visit.click("#redo")
    visit.until(lambda: ("6", "0.095") in visit.stations(), "flats by redo")
    visit.click("#save")
    visit.until(lambda: "9: 0.105" in file.read_text(), "saved")
    visit.until(lambda: not visit.one("#save").is_enabled(), "nothing left to save")
    written = file.read_text()
    require("0.095" in written and "\n  12:" not in written, written)
    require(list(visit.file(".stripwright/before/bryony.yaml").iterdir())[0].read_bytes() == fresh,
            "what was there before is not kept")
    # The sheet, in a tab of its own.
    visit.click("#sheet")
    visit.until(lambda: len(visit.driver.window_handles) == 2, "the sheet's tab")
    visit.driver.switch_to.window(visit.driver.window_handles[1])
    visit.until(lambda: "Bryony" in visit.text("body"), "the sheet")
    require(visit.text("body").count("0.105") or "0.1050" in visit.text("body"), "the new station is not on the sheet")
    require("dust" in visit.text("body"), "the sheet has no cautions")
    require(visit.run("return getComputedStyle(document.querySelector('table')).borderCollapse") == "collapse",
            "the sheet's style was refused")


def typing_is_undone_in_the_field(visit):
    from selenium.webdriver.common.keys import Keys
    rod(visit)
    visit.write("#flats-1", "0.0822")
    visit.until(lambda: visit.one("#undo").is_enabled(), "something to undo")
    visit.chord("z", Keys.CONTROL)
    visit.until(lambda: visit.value("#flats-1") == "0.0810", "the field as it was")
    require(not visit.one("#save").is_enabled(), "something to save after undo")
    # And once more in the same field, without leaving it.
    visit.write("#flats-1", "0.0833")
    visit.until(lambda: visit.one("#save").is_enabled(), "something to save")
    visit.chord("z", Keys.CONTROL)
    visit.until(lambda: visit.value("#flats-1") == "0.0810", "the field as it was, the second time")
    visit.chord("z", Keys.CONTROL, Keys.SHIFT)
    visit.until(lambda: visit.value("#flats-1") == "0.0833", "by redo")


def arrows_and_finger(visit):
    from selenium.webdriver.common.action_chains import ActionChains
    from selenium.webdriver.common.keys import Keys
    rod(visit)
    first = visit.stations()
    field = visit.field_of("20")
    visit.click(field)
    visit.keys(Keys.ARROW_UP)
    visit.until(lambda: float(visit.value(field)) == 0.128, "a thousandth more")
    visit.keys(Keys.ARROW_DOWN)
    visit.until(lambda: float(visit.value(field)) == 0.127, "a thousandth less")
    visit.until(lambda: "20" in visit.text("#ledger h3"), "the ledger of station 20")
    # A finger that takes the curve at station 45 and draws it up.
    visit.run("document.getElementById('curve').scrollIntoView({block: 'center'});")
    curve = visit.one("#curve")  # the drawing in it is made anew now and then
    box = curve.rect
    before = dict(visit.stations())
    chain = ActionChains(visit.driver, duration=60)
    chain.move_to_element_with_offset(curve, 0, 0).click_and_hold()
    for _ in range(6):
        chain.move_by_offset(0, -int(box["height"] / 40)).pause(0.15)
    chain.release().perform()

    def drawn():
        return [key for key, value in visit.stations() if float(value) != float(before[key])]
    visit.until(drawn, "a station drawn by the finger")
    require(len(drawn()) == 1, f"several stations were drawn: {drawn()}")
    require(drawn()[0] in visit.text("#ledger h3"), "the ledger is of another station")
    for _ in range(40):
        if not visit.one("#undo").is_enabled():
            break
        visit.click("#undo")
    visit.until(lambda: [(key, float(value)) for key, value in visit.stations()] ==
                [(key, float(value)) for key, value in first], "all undone")


def changed_outside(visit):
    file = visit.file("yarrow.yaml")
    rod(visit)
    visit.write("#flats-1", "0.0830")
    file.write_text(file.read_text().replace("0.0955", "0.0966").replace("# distance", "# by hand: distance"))
    visit.until(lambda: ("10", "0.0966") in visit.stations(), "what was written outside")
    require(("5", "0.0830") in visit.stations(), "what was written here is gone")
    visit.click("#save")
    visit.until(lambda: "0.0830" in file.read_text(), "both saved")
    require("0.0966" in file.read_text() and "# by hand:" in file.read_text(), "the other's change is lost")
    visit.until(lambda: not visit.one("#save").is_enabled(), "nothing left to save")
    # The same station, both ways.
    for answer, mine, wanted in (("keep", "0.0844", "0.0844"), ("take", "0.0855", "0.0811")):
        visit.write("#flats-1", mine)
        now = re.search(r"\n  5:\s+(\S+)", file.read_text())[1]
        file.write_text(file.read_text().replace(f"5:  {now}", "5:  0.0811"))
        visit.until(lambda: visit.all("#clashes button[data-keep]"), "the question which shall stand")
        require("0.0811" in visit.text("#clashes") and mine in visit.text("#clashes"), visit.text("#clashes"))
        visit.click(f"#clashes button[data-{answer}]")
        visit.until(lambda: not visit.text("#clashes"), "the question answered")
        visit.until(lambda: ("5", wanted) in visit.stations(), f"{wanted} stands")
        if answer == "keep":
            visit.click("#save")
            visit.until(lambda: mine in file.read_text(), "mine saved")
            visit.until(lambda: not visit.one("#save").is_enabled(), "nothing left to save")
        else:
            require("0.0811" in file.read_text(), "theirs was written over")


def two_tabs(visit):
    rod(visit)
    first = visit.driver.current_window_handle
    visit.driver.switch_to.new_window("tab")
    rod(visit)
    second = visit.driver.current_window_handle
    visit.write("#flats-2", "0.0970")
    visit.driver.switch_to.window(first)
    visit.write("#flats-3", "0.1122")
    visit.click("#save")
    visit.until(lambda: "0.1122" in visit.file("yarrow.yaml").read_text(), "the first tab's saved")
    visit.driver.switch_to.window(second)
    visit.until(lambda: ("15", "0.1122") in visit.stations(), "the first tab's change in the second")
    require(("10", "0.0970") in visit.stations(), "the second tab's own change is gone")
    visit.click("#save")
    visit.until(lambda: "0.0970" in visit.file("yarrow.yaml").read_text(), "the second tab's saved")
    require("0.1122" in visit.file("yarrow.yaml").read_text(), "the first tab's was written over")


def server_gone_and_back(visit):
    rod(visit)
    before = visit.text("#figures")
    visit.write("#flats-1", "0.0830")
    visit.until(lambda: visit.text("#figures") != before, "figures")
    changed = visit.text("#figures")
    port = visit.server.port
    visit.server.end(signal.SIGKILL)
    visit.write("#flats-2", "0.0980")
    visit.until(lambda: "does not answer" in visit.text("#say"), "word of it")
    require(visit.run("return document.body.classList.contains('cut-off')"), "no lasting sign of it")
    visit.click("#save")
    require(visit.value("#flats-1") == "0.0830" and visit.value("#flats-2") == "0.0980", "what was written is gone")
    visit.server = served.Server(visit.program, visit.lane, port)
    visit.until(lambda: not visit.run("return document.body.classList.contains('cut-off')"), "back again")
    visit.until(lambda: visit.text("#figures") not in (before, changed), "figures of what was written meanwhile")
    require(visit.value("#flats-1") == "0.0830" and visit.value("#flats-2") == "0.0980", "what was written is gone")
    visit.click("#save")
    visit.until(lambda: "0.0980" in visit.file("yarrow.yaml").read_text(), "saved after all")
    require("0.0830" in visit.file("yarrow.yaml").read_text(), "the first change is lost")
    visit.console()  # it told of the calls that failed, as it should


CUT_OFF = """
const whole = window.fetch;
window.fetch = async (...call) => {
  window.fetch = whole;
  const { ok, status, headers } = await whole(...call);
  const cut = () => Promise.reject(new TypeError('network error'));
  return { ok, status, headers, json: cut, text: cut };
};
"""


def answer_cut_off(visit):
    """The program stops, or the network does, in the middle of an answer."""
    rod(visit)
    before = visit.text("#figures")
    visit.run(CUT_OFF)
    visit.write("#flats-1", "0.0830")
    visit.until(lambda: "does not answer" in visit.text("#say"), "word of it")
    visit.write("#flats-2", "0.0980")
    visit.until(lambda: visit.text("#figures") != before, "figures after it")
    visit.run(CUT_OFF)
    visit.click("#save")
    visit.until(lambda: "0.0980" in visit.file("yarrow.yaml").read_text(), "saved, though nobody was told")
    visit.until(lambda: "changed outside" in visit.text("#say"), "the page finds the file changed")
    require(visit.value("#flats-2") == "0.0980", "what was written is gone")
    visit.click("#save")
    visit.until(lambda: "Nothing to save" in visit.text("#say"), "it is as it shall be")


def units(visit):
    rod(visit)
    require(", in" in visit.text("#figures thead"), "figures in the file's inches")
    pressed = "return document.querySelector('[data-units][aria-pressed=true]').dataset.units"
    require(visit.run(pressed) == "", "the file's unit at first")
    stations = visit.stations()
    visit.click("button[data-units=mm]")
    visit.until(lambda: ", mm" in visit.text("#figures thead"), "millimetres")
    require(visit.run(pressed) == "mm", "the button is not pressed")
    require(visit.stations() == stations, "the file's own numbers were changed")
    rod(visit, "teasel.yaml")
    require(", mm" in visit.text("#figures thead"), "millimetres are forgotten")
    # What is not saved outlives the choice.
    field = visit.field_of("20")
    visit.write(field, "0.1281")
    visit.until(lambda: visit.one("#save").is_enabled(), "something to save")
    visit.click("button[data-units='']")
    visit.until(lambda: ", in" in visit.text("#figures thead"), "the file's unit again")
    require(visit.run(pressed) == "", "the button is not pressed")
    require(visit.value(field) == "0.1281" and visit.one("#save").is_enabled(), "what was typed is gone")
    visit.click("#undo")


def keyboard_alone(visit):
    from selenium.webdriver.common.keys import Keys

    def tab_until(held, most=80):
        for _ in range(most):
            visit.keys(Keys.TAB)
            look = visit.run(
                "const e = document.activeElement, s = getComputedStyle(e);"
                "return [e.tagName, s.outlineStyle, parseFloat(s.outlineWidth), e.outerHTML.slice(0, 80)];")
            require(look[0] == "BODY" or (look[1] != "none" and look[2] >= 2), f"no mark on what has the keyboard: {look}")
            if held():
                return
        raise Wrong(f"not reached by {most} tabs")

    visit.go("/")
    tab_until(lambda: visit.run("return document.activeElement.classList.contains('skip')"), 1)
    visit.keys(Keys.ENTER)
    tab_until(lambda: "yarrow" in (visit.run("return document.activeElement.href || ''")))
    visit.keys(Keys.ENTER)
    visit.until(lambda: "/rod?" in visit.driver.current_url and visit.stations(), "the rod")
    tab_until(lambda: visit.run("return document.activeElement.id") == "flats-1")
    visit.chord("a", Keys.CONTROL)
    visit.keys("0.0825")
    visit.keys(Keys.ENTER)
    require(visit.run("return document.activeElement.id") == "flats-2", "Enter does not go on to the next station")
    visit.chord("a", Keys.CONTROL)
    visit.keys("0.0975")
    visit.chord("s", Keys.CONTROL)
    file = visit.file("yarrow.yaml")
    visit.until(lambda: "0.0975" in file.read_text() and "0.0825" in file.read_text(), "saved by the keyboard")
    visit.until(lambda: not visit.one("#save").is_enabled(), "nothing left to save")
    require(visit.run("return document.activeElement.id") == "flats-2", "the keyboard was taken away by the saving")
    tab_until(lambda: visit.run("return document.activeElement.id") == "new-station")
    visit.keys("7", Keys.TAB, "0.088", Keys.ENTER)
    visit.until(lambda: ("7", "0.088") in visit.stations(), "a station put in by the keyboard")
    tab_until(lambda: visit.run("return document.activeElement.id") == "machine")
    visit.keys("router")
    visit.until(lambda: "router" in visit.driver.current_url or visit.value("#machine") == "router", "another machine")


def mistakes_are_told(visit):
    rod(visit)
    visit.write("#flats-1", "thick")
    visit.until(lambda: "Wrong" in visit.text("#problems"), "word of the mistake")
    require("yarrow.yaml" in visit.text("#problems"), "where the mistake is")
    require("no figures" in visit.text("#figures"), "figures of before stand on")
    before = visit.file("yarrow.yaml").read_bytes()
    visit.click("#save")
    visit.until(lambda: visit.text("#say"), "word that it is not saved")
    require(visit.file("yarrow.yaml").read_bytes() == before, "a mistake was saved")
    visit.write("#flats-1", "0.081")
    visit.until(lambda: visit.text("#figures table"), "figures again")
    require(not visit.text("#problems"), "the mistake is still told")


STORIES = (new_taper_to_sheet, typing_is_undone_in_the_field, arrows_and_finger, changed_outside, two_tabs,
           server_gone_and_back, answer_cut_off, units, keyboard_alone, mistakes_are_told)


def check_page(visit, browser, name, path, axe, keep):
    faults = []
    for pixels in WIDTHS:
        browser.width(pixels)
        visit.go(path)
        if "no page at this address" in visit.text("main"):
            return None
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


def check_pages(visit, browser, axe, keep):
    visit.file("strips.csv").write_text(strips())
    visit.file("broken.yaml").write_text("format: stripwright-taper-1\nname: Broken\nunit: in\ntaper: {0: 0.07, 5: x}\n")
    absent = []
    failures = 0
    for name, path in PAGES.items():
        begun = time.monotonic()
        faults = check_page(visit, browser, name, path, axe, keep)
        if faults is None:
            absent.append(name)
            continue
        print(f"page {name}: {time.monotonic() - begun:.1f} s")
        failures += len(faults)
        for fault in faults:
            print(fault)
    print(f"{len(PAGES) - len(absent)} pages looked at; not there yet: {', '.join(absent) or 'none'}")
    return failures


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--server", required=True)
    parser.add_argument("--keep", type=pathlib.Path)
    parser.add_argument("--only", default="", help="stories whose name holds this; `pages` for the pages")
    arguments = parser.parse_args()
    if absent := browsers.missing():
        print(f"skipped: without {', '.join(absent)} (see .ci/install) no page can be opened")
        return SKIPPED
    if arguments.keep:
        arguments.keep.mkdir(parents=True, exist_ok=True)
    failures = 0
    with tempfile.TemporaryDirectory(prefix="stripwright-") as top, browsers.Browser() as browser:
        for story in STORIES:
            if arguments.only not in story.__name__:
                continue
            begun = time.monotonic()
            browser.width(1280)
            visit = Visit(arguments.server, browser, top)
            try:
                story(visit)
                if console := visit.console():
                    raise Wrong(f"the console says {console}")
                print(f"{story.__name__}: {time.monotonic() - begun:.1f} s")
            except Wrong as wrong:
                failures += 1
                print(f"{story.__name__}: {wrong}")
            except Exception:  # what the driver throws tells the place in the story
                failures += 1
                print(f"{story.__name__}: {traceback.format_exc(limit=-3)}")
            if arguments.keep:
                browser.picture(arguments.keep / f"{story.__name__}.png")
            visit.close()
        if arguments.only in "pages":
            axe = check_axe.axe_source(top)
            if axe is None:
                print("axe-core is not to be had from npm here: pages are looked at without it")
            visit = Visit(arguments.server, browser, top)
            failures += check_pages(visit, browser, axe, arguments.keep)
            visit.close()
    print(f"{failures} faults")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
