#!/usr/bin/python3
"""The pages in a real browser, as someone at the bench would use them.

    stories.py --server STRIPWRIGHT-PAGE [--keep DIR] [--only WORD]

From a new taper to a printed sheet; arrows and a finger on the curve; a file that is changed by
others meanwhile; two tabs; the server gone and back while something is not saved; the choice of
units; all by the keyboard. --keep leaves a picture of the end of each story there.
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
from hand import Wrong, require
from visit import Visit

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "browser"))
import browser as browsers  # noqa: E402

SKIPPED = 77


def rod(visit, name="yarrow.yaml", machine="copier"):
    visit.go(f"/rod?file={name}&shop=saltmarsh-lane.yaml&machine={machine}")
    require(visit.text("#figures table"), "there are no figures")


def new_taper_to_sheet(visit):
    visit.go("/")
    for summary in visit.all("summary"):
        if summary.text == "A new taper":
            visit.run("arguments[0].scrollIntoView({block: 'center'});", summary)
            summary.click()
    for field, text in (("#name", "Bryony"), ("#to", "7 ft"), ("#step", "6 in"), ("#thin", "0.07"), ("#thick", "0.3")):
        visit.write(field, text)
    visit.click("form[data-send='/rods/new'] button")
    visit.until("the new rod's page", lambda: "/rod?" in visit.driver.current_url)
    visit.until("the taper's table", lambda: visit.stations())
    file = visit.file("bryony.yaml")
    require(file.exists(), "no bryony.yaml was made")
    require(len(visit.stations()) == 15, f"{len(visit.stations())} stations, not one each 6 in of 84")
    before, fresh = visit.text("#figures"), file.read_bytes()
    # A keystroke's figures, before anything is saved.
    visit.write(visit.field_of("6"), "0.095")
    visit.until("figures of the new flats", lambda: visit.text("#figures") != before)
    require(file.read_bytes() == fresh, "written before it was saved")
    # One more station, one less.
    visit.write("#new-station", "9")
    visit.write("#new-flats", "0.105")
    visit.click("#put-in")
    visit.until("station 9", lambda: ("9", "0.105") in visit.stations())
    # Once more at the same place is no second station.
    visit.write("#new-station", "9")
    visit.write("#new-flats", "0.2")
    visit.click("#put-in")
    visit.until("word that station 9 is there", lambda: "already" in visit.text("#say"))
    visit.write("#new-station", visit.key.BACKSPACE)
    visit.write("#new-flats", visit.key.BACKSPACE)
    keys = [float(key) for key, _ in visit.stations()]
    require(keys == sorted(keys), f"stations out of order: {keys}")
    visit.click("button[aria-label='take out station 12']")
    visit.until("station 12 taken out", lambda: "12" not in dict(visit.stations()))
    visit.click("#undo")
    visit.until("station 12 again, by undo", lambda: "12" in dict(visit.stations()))
    visit.click("#redo")
    visit.until("station 12 gone again, by redo", lambda: "12" not in dict(visit.stations()))
    for _ in range(3):
        visit.click("#undo")
    visit.until("flats as they were, by undo", lambda: dict(visit.stations()).get("6") != "0.095")
    require("9" not in dict(visit.stations()), "station 9 is still there")
    visit.until("figures as they were, by undo", lambda: visit.text("#figures").strip() == before.strip())
    require(not visit.one("#save").is_enabled(), "there is something to save where nothing is changed")
    for _ in range(3):
        visit.click("#redo")
    visit.until("flats by redo", lambda: ("6", "0.095") in visit.stations())
    visit.click("#save")
    visit.until("saved", lambda: "9: 0.105" in file.read_text())
    visit.until("nothing left to save", lambda: not visit.one("#save").is_enabled())
    written = file.read_text()
    require("0.095" in written and "\n  12:" not in written, written)
    require(list(visit.file(".stripwright/before/bryony.yaml").iterdir())[0].read_bytes() == fresh,
            "what was there before is not kept")
    # The sheet, in a tab of its own.
    visit.click("#sheet")
    visit.until("the sheet's tab", lambda: len(visit.driver.window_handles) == 2)
    visit.driver.switch_to.window(visit.driver.window_handles[1])
    visit.until("the sheet", lambda: "Bryony" in visit.text("body"))
    require(visit.text("body").count("0.105") or "0.1050" in visit.text("body"), "the new station is not on the sheet")
    require("dust" in visit.text("body"), "the sheet has no cautions")
    require(visit.run("return getComputedStyle(document.querySelector('table')).borderCollapse") == "collapse",
            "the sheet's style was refused")


def typing_is_undone_in_the_field(visit):
    rod(visit)
    visit.write("#flats-1", "0.0822")
    visit.until("something to undo", lambda: visit.one("#undo").is_enabled())
    visit.chord("z", visit.key.CONTROL)
    visit.until("the field as it was", lambda: visit.value("#flats-1") == "0.0810")
    require(not visit.one("#save").is_enabled(), "something to save after undo")
    # And once more in the same field, without leaving it.
    visit.write("#flats-1", "0.0833")
    visit.until("something to save", lambda: visit.one("#save").is_enabled())
    visit.chord("z", visit.key.CONTROL)
    visit.until("the field as it was, the second time", lambda: visit.value("#flats-1") == "0.0810")
    visit.chord("z", visit.key.CONTROL, visit.key.SHIFT)
    visit.until("by redo", lambda: visit.value("#flats-1") == "0.0833")


def arrows_and_finger(visit):
    from selenium.webdriver.common.action_chains import ActionChains
    rod(visit)
    first = visit.stations()
    field = visit.field_of("20")
    visit.click(field)
    visit.keys(visit.key.ARROW_UP)
    visit.until("a thousandth more", lambda: float(visit.value(field)) == 0.128)
    visit.keys(visit.key.ARROW_DOWN)
    visit.until("a thousandth less", lambda: float(visit.value(field)) == 0.127)
    visit.until("the ledger of station 20", lambda: "20" in visit.text("#ledger h3"))
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
    visit.until("a station drawn by the finger", drawn)
    require(len(drawn()) == 1, f"several stations were drawn: {drawn()}")
    require(drawn()[0] in visit.text("#ledger h3"), "the ledger is of another station")
    for _ in range(40):
        if not visit.one("#undo").is_enabled():
            break
        visit.click("#undo")
    visit.until("all undone", lambda: [(key, float(value)) for key, value in visit.stations()] ==
                [(key, float(value)) for key, value in first])


def changed_outside(visit):
    file = visit.file("yarrow.yaml")
    rod(visit)
    visit.write("#flats-1", "0.0830")
    file.write_text(file.read_text().replace("0.0955", "0.0966").replace("# distance", "# by hand: distance"))
    visit.until("what was written outside", lambda: ("10", "0.0966") in visit.stations())
    require(("5", "0.0830") in visit.stations(), "what was written here is gone")
    visit.click("#save")
    visit.until("both saved", lambda: "0.0830" in file.read_text())
    require("0.0966" in file.read_text() and "# by hand:" in file.read_text(), "the other's change is lost")
    visit.until("nothing left to save", lambda: not visit.one("#save").is_enabled())
    # The same station, both ways.
    for answer, mine, wanted in (("keep", "0.0844", "0.0844"), ("take", "0.0855", "0.0811")):
        visit.write("#flats-1", mine)
        now = re.search(r"\n  5:\s+(\S+)", file.read_text())[1]
        file.write_text(file.read_text().replace(f"5:  {now}", "5:  0.0811"))
        visit.until("the question which shall stand", lambda: visit.all("#clashes button[data-keep]"))
        require("0.0811" in visit.text("#clashes") and mine in visit.text("#clashes"), visit.text("#clashes"))
        visit.click(f"#clashes button[data-{answer}]")
        visit.until("the question answered", lambda: not visit.text("#clashes"))
        visit.until(f"{wanted} stands", lambda: ("5", wanted) in visit.stations())
        if answer == "keep":
            visit.click("#save")
            visit.until("mine saved", lambda: mine in file.read_text())
            visit.until("nothing left to save", lambda: not visit.one("#save").is_enabled())
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
    visit.until("the first tab's saved", lambda: "0.1122" in visit.file("yarrow.yaml").read_text())
    visit.driver.switch_to.window(second)
    visit.until("the first tab's change in the second", lambda: ("15", "0.1122") in visit.stations())
    require(("10", "0.0970") in visit.stations(), "the second tab's own change is gone")
    visit.click("#save")
    visit.until("the second tab's saved", lambda: "0.0970" in visit.file("yarrow.yaml").read_text())
    require("0.1122" in visit.file("yarrow.yaml").read_text(), "the first tab's was written over")


def server_gone_and_back(visit):
    rod(visit)
    before = visit.text("#figures")
    visit.write("#flats-1", "0.0830")
    visit.until("figures", lambda: visit.text("#figures") != before)
    changed = visit.text("#figures")
    port = visit.server.port
    visit.server.end(signal.SIGKILL)
    visit.write("#flats-2", "0.0980")
    visit.until("word of it", lambda: "does not answer" in visit.text("#say"))
    require(visit.run("return document.body.classList.contains('cut-off')"), "no lasting sign of it")
    visit.click("#save")
    require(visit.value("#flats-1") == "0.0830" and visit.value("#flats-2") == "0.0980", "what was written is gone")
    visit.server = served.Server(visit.program, visit.lane, port)
    visit.until("back again", lambda: not visit.run("return document.body.classList.contains('cut-off')"))
    visit.until("figures of what was written meanwhile", lambda: visit.text("#figures") not in (before, changed))
    require(visit.value("#flats-1") == "0.0830" and visit.value("#flats-2") == "0.0980", "what was written is gone")
    visit.click("#save")
    visit.until("saved after all", lambda: "0.0980" in visit.file("yarrow.yaml").read_text())
    require("0.0830" in visit.file("yarrow.yaml").read_text(), "the first change is lost")
    visit.console()  # it told of the calls that failed, as it should


# The answer to the first call for a path with some words in what is sent.
CUT_OFF = """
const [to, words] = arguments;
const whole = window.fetch;
window.fetch = async (path, call) => {
  if (path !== to || !(call.body || '').includes(words)) return whole(path, call);
  window.fetch = whole;
  const { ok, status, headers } = await whole(path, call);
  const cut = () => Promise.reject(new TypeError('network error'));
  return { ok, status, headers, json: cut, text: cut };
};
"""


def answer_cut_off(visit):
    """The program stops, or the network does, in the middle of an answer."""
    rod(visit)
    before = visit.text("#figures")
    visit.run(CUT_OFF, "/rod/figures", "0.0830")
    visit.write("#flats-1", "0.0830")
    visit.until("word of it", lambda: "does not answer" in visit.text("#say"))
    visit.write("#flats-2", "0.0980")
    visit.until("figures after it", lambda: visit.text("#figures") != before)
    visit.run(CUT_OFF, "/file/save", "0.0980")
    visit.click("#save")
    visit.until("saved, though nobody was told", lambda: "0.0980" in visit.file("yarrow.yaml").read_text())
    visit.until("the page finds the file changed", lambda: "changed outside" in visit.text("#say"))
    require(visit.value("#flats-2") == "0.0980", "what was written is gone")
    visit.click("#save")
    visit.until("it is as it shall be", lambda: "Nothing to save" in visit.text("#say"))


def units(visit):
    rod(visit)
    require(", in" in visit.text("#figures thead"), "figures in the file's inches")
    pressed = "return document.querySelector('[data-units][aria-pressed=true]').dataset.units"
    require(visit.run(pressed) == "", "the file's unit at first")
    stations = visit.stations()
    visit.click("button[data-units=mm]")
    visit.until("millimetres", lambda: ", mm" in visit.text("#figures thead"))
    require(visit.run(pressed) == "mm", "the button is not pressed")
    require(visit.stations() == stations, "the file's own numbers were changed")
    rod(visit, "teasel.yaml")
    require(", mm" in visit.text("#figures thead"), "millimetres are forgotten")
    # What is not saved outlives the choice.
    field = visit.field_of("20")
    visit.write(field, "0.1281")
    visit.until("something to save", lambda: visit.one("#save").is_enabled())
    visit.click("button[data-units='']")
    visit.until("the file's unit again", lambda: ", in" in visit.text("#figures thead"))
    require(visit.run(pressed) == "", "the button is not pressed")
    require(visit.value(field) == "0.1281" and visit.one("#save").is_enabled(), "what was typed is gone")
    visit.click("#undo")


def keyboard_alone(visit):
    def tab_until(held, most=80):
        for _ in range(most):
            visit.keys(visit.key.TAB)
            look = visit.run(
                "const e = document.activeElement, s = getComputedStyle(e);"
                "return [e.tagName, s.outlineStyle, parseFloat(s.outlineWidth), e.outerHTML.slice(0, 80)];")
            require(look[0] == "BODY" or (look[1] != "none" and look[2] >= 2), f"no mark on what has the keyboard: {look}")
            if held():
                return
        raise Wrong(f"not reached by {most} tabs")

    visit.go("/")
    tab_until(lambda: visit.run("return document.activeElement.classList.contains('skip')"), 1)
    visit.keys(visit.key.ENTER)
    tab_until(lambda: "yarrow" in (visit.run("return document.activeElement.href || ''")))
    visit.keys(visit.key.ENTER)
    visit.until("the rod", lambda: "/rod?" in visit.driver.current_url and visit.stations())
    tab_until(lambda: visit.run("return document.activeElement.id") == "flats-1")
    visit.chord("a", visit.key.CONTROL)
    visit.keys("0.0825")
    visit.keys(visit.key.ENTER)
    require(visit.run("return document.activeElement.id") == "flats-2", "Enter does not go on to the next station")
    visit.chord("a", visit.key.CONTROL)
    visit.keys("0.0975")
    visit.chord("s", visit.key.CONTROL)
    file = visit.file("yarrow.yaml")
    visit.until("saved by the keyboard", lambda: "0.0975" in file.read_text() and "0.0825" in file.read_text())
    visit.until("nothing left to save", lambda: not visit.one("#save").is_enabled())
    require(visit.run("return document.activeElement.id") == "flats-2", "the keyboard was taken away by the saving")
    tab_until(lambda: visit.run("return document.activeElement.id") == "new-station")
    visit.keys("7", visit.key.TAB, "0.088", visit.key.ENTER)
    visit.until("a station put in by the keyboard", lambda: ("7", "0.088") in visit.stations())
    tab_until(lambda: visit.run("return document.activeElement.id") == "machine")
    visit.keys("router")
    visit.until("another machine", lambda: "router" in visit.driver.current_url or visit.value("#machine") == "router")


def mistakes_are_told(visit):
    rod(visit)
    visit.write("#flats-1", "thick")
    visit.until("word of the mistake", lambda: "Wrong" in visit.text("#problems"))
    require("yarrow.yaml" in visit.text("#problems"), "where the mistake is")
    require("no figures" in visit.text("#figures"), "figures of before stand on")
    visit.until("word of it at the field", lambda: visit.one("#flats-1-wrong").is_displayed())
    require(visit.one("#flats-1").get_attribute("aria-invalid") == "true", "the field is not marked")
    require(not visit.one("#flats-2-wrong").is_displayed(), "a row without a mistake has room for one")
    before = visit.file("yarrow.yaml").read_bytes()
    visit.click("#save")
    visit.until("word that it is not saved", lambda: visit.text("#say"))
    require(visit.file("yarrow.yaml").read_bytes() == before, "a mistake was saved")
    visit.write("#flats-1", "0.081")
    visit.until("figures again", lambda: visit.text("#figures table"))
    require(not visit.text("#problems"), "the mistake is still told")
    require(not visit.text("#flats-1-wrong"), "the mistake is still told at the field")


STORIES = (new_taper_to_sheet, typing_is_undone_in_the_field, arrows_and_finger, changed_outside, two_tabs,
           server_gone_and_back, answer_cut_off, units, keyboard_alone, mistakes_are_told)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--server", required=True)
    parser.add_argument("--keep", type=pathlib.Path)
    parser.add_argument("--only", default="", help="stories whose name holds this")
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
    print(f"{failures} faults")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
