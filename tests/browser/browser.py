"""Debian's Chromium without a window, by its own driver."""

import base64
import json
import pathlib
import shutil
import tempfile

PHONE = 390  # CSS pixels across
SCRIPT_SECONDS = 120  # a long page, looked at by axe-core on a busy machine
# Width and height in inches.
PAPERS = {"A4": (210 / 25.4, 297 / 25.4), "Letter": (8.5, 11)}
FLAGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--window-size=1000,1000",
]


def missing():
    """What is not there to drive a browser with; empty if all is."""
    out = [name for name in ("chromium", "chromedriver") if not shutil.which(name)]
    try:
        import selenium  # noqa: F401
    except ImportError:
        out.append("python3-selenium")
    return out


class Browser:
    """A fresh browser that notes what pages say and ask for."""

    def __init__(self):
        from selenium import webdriver
        from selenium.webdriver.chrome.service import Service

        self._home = tempfile.TemporaryDirectory(prefix="stripwright-browser-")
        options = webdriver.ChromeOptions()
        options.binary_location = shutil.which("chromium")
        for flag in [*FLAGS, f"--user-data-dir={self._home.name}"]:
            options.add_argument(flag)
        options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
        self._driver = webdriver.Chrome(options=options,
                                        service=Service(shutil.which("chromedriver")))
        self._driver.set_script_timeout(SCRIPT_SECONDS)
        self._driver.set_page_load_timeout(SCRIPT_SECONDS)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self._driver.quit()
        self._home.cleanup()

    @property
    def driver(self):
        """Selenium's own, for what is done by hand."""
        return self._driver

    def width(self, pixels):
        """A screen so many CSS pixels wide; a phone below 600."""
        self._driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {
            "width": pixels, "height": 844, "deviceScaleFactor": 1, "mobile": pixels < 600})

    def open(self, path):
        """Opens a file; gives what the console said and which addresses were asked for."""
        self._driver.get_log("browser")
        self._driver.get_log("performance")
        self._driver.get(pathlib.Path(path).resolve().as_uri())
        asked = []
        for entry in self._driver.get_log("performance"):
            message = json.loads(entry["message"])["message"]
            if message["method"] == "Network.requestWillBeSent":
                asked.append(message["params"]["request"]["url"])
        return [entry["message"] for entry in self._driver.get_log("browser")], asked

    def run(self, script, *arguments):
        """What a script returns."""
        return self._driver.execute_script(script, *arguments)

    def run_and_wait(self, script):
        """What a script hands to its last argument."""
        return self._driver.execute_async_script(script)

    def pdf(self, paper, path):
        """Prints to a file, as `Print to PDF` would with its default margins."""
        self._driver.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
        width, height = PAPERS[paper]
        done = self._driver.execute_cdp_cmd("Page.printToPDF", {
            "paperWidth": width, "paperHeight": height, "preferCSSPageSize": False,
            "printBackground": False})
        pathlib.Path(path).write_bytes(base64.b64decode(done["data"]))

    def picture(self, path):
        """The page as it is now, whole, as a PNG."""
        size = self.run("const d = document.documentElement;"
                        "return [d.scrollWidth, d.scrollHeight];")
        done = self._driver.execute_cdp_cmd("Page.captureScreenshot", {
            "captureBeyondViewport": True,
            "clip": {"x": 0, "y": 0, "width": size[0], "height": size[1], "scale": 1}})
        pathlib.Path(path).write_bytes(base64.b64decode(done["data"]))
