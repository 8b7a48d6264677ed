"""A maker's folder with a server on it, and a browser that looks at it."""

import pathlib
import tempfile

import hand
import served


class Visit(hand.Hand):
    def __init__(self, program, browser, top):
        super().__init__(browser.driver)
        self.program = program
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

    def stations(self):
        """The table: pairs of texts as they stand in their fields."""
        return [tuple(row) for row in self.run(
            "return [...document.querySelectorAll('#taper-table tr[data-row]')].map("
            "r => [r.querySelector('.station').value, r.querySelector('.flats').value]);")]

    def field_of(self, station):
        keys = [key for key, _ in self.stations()]
        hand.require(station in keys, f"no station {station} in {keys}")
        return f"#flats-{keys.index(station)}"
