"""A hand on a page in the browser: what it touches and types, and what an eye sees there."""

import re
import time


class Wrong(Exception):
    """Something the pages do that they should not."""


def require(held, *what):
    if not held:
        raise Wrong(": ".join(str(each) for each in what))


def of_id(name):
    """A selector for an element whose id may have dots, as those of a form's fields."""
    return f"[id='{name}']"


class Hand:
    """Selectors are those of CSS; texts are those of elements shown or not, each stretch of blanks one."""

    def __init__(self, driver):
        from selenium.webdriver.common.by import By
        from selenium.webdriver.common.keys import Keys

        self.driver, self.key = driver, Keys
        self._css = By.CSS_SELECTOR

    # --- what is seen

    def one(self, selector):
        return self.driver.find_element(self._css, selector)

    def all(self, selector):
        return self.driver.find_elements(self._css, selector)

    def run(self, script, *arguments):
        return self.driver.execute_script(script, *arguments)

    def text(self, selector):
        """Empty where there is no such element."""
        return " ".join(self.run(
            "const e = document.querySelector(arguments[0]); return e ? e.textContent : '';", selector).split())

    def value(self, selector):
        """What stands in a field; None where there is no such element."""
        return self.run("const e = document.querySelector(arguments[0]); return e ? e.value : null;", selector)

    def focused(self):
        return self.driver.switch_to.active_element

    def cells(self, table):
        """The texts of a table element's body, row by row."""
        return [[cell.text for cell in row.find_elements(self._css, "th, td")]
                for row in table.find_elements(self._css, "tbody tr")]

    def until(self, what, condition, seconds=20):
        """Waits for what a page does by itself."""
        from selenium.common.exceptions import WebDriverException

        told, ends = "", time.monotonic() + seconds
        while time.monotonic() < ends:
            try:
                if condition():
                    return
            except WebDriverException as fault:  # an element that is just being replaced
                told = f"; {fault!r}"
            time.sleep(0.02)
        seen = ", ".join(f"{each} '{self.text('#' + each)}'"
                         for each in ("say", "problems", "verdict", "prompt") if self.all("#" + each))
        raise Wrong(f"not within {seconds} seconds: {what}; the page has {seen}{told}")

    def console(self):
        """What the page said there, but for the browser's own note that an answer was a refusal."""
        return [entry["message"] for entry in self.driver.get_log("browser")
                if not re.search(r"status of (404|409|422)", entry["message"])]

    # --- what is done

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

    def click_words(self, selector, words):
        """The button with these words within an element."""
        for button in self.all(f"{selector} button"):
            if button.text == words:
                self.run("arguments[0].scrollIntoView({block: 'center'});", button)
                button.click()
                return
        raise Wrong(f"no button '{words}' in {selector}")

    def pick(self, selector, words):
        """One of a field's choices, by the words that stand there."""
        from selenium.webdriver.support.ui import Select

        Select(self.one(selector)).select_by_visible_text(words)

    def keys(self, *keys):
        """To whatever has the keyboard, as a caliper types."""
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

    def write(self, selector, text):
        """Into a field, over what stands there."""
        self.click(selector)
        self.chord("a", self.key.CONTROL)
        self.keys(text or self.key.BACKSPACE)
