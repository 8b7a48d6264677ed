#!/usr/bin/python3
"""Random tapers and shops, the same for the same seed.

    generate.py --seed S --case N --out DIR     writes one case's files, prints its call

Some cases cannot be set (exit status 1), a few cannot be computed (2).
"""

import argparse
import os
import random
import sys

sys.dont_write_bytecode = True

from amounts import Amounts, yaml_text
from model import SetUp
from random_machine import MachineMaker
from random_shop import ShopMaker
from random_taper import TaperMaker
from reading import load


class Case(TaperMaker, ShopMaker, MachineMaker):
    """One call of the program: two files, a machine, the options."""

    def __init__(self, seed, number, passes=0.12, fitted=0.04, curves=0.0):
        self.rng = random.Random(f"{seed}/{number}")
        self.number = number
        self.share_passes, self.share_fitted, self.share_curves = passes, fitted, curves
        self.hopeless = self.rng.random() < 0.02
        taper_unit = self.rng.choice(("in", "mm"))
        shop_unit = taper_unit if self.rng.random() < 0.8 else self.rng.choice(("in", "mm"))
        self.taper_amounts = Amounts(self.rng, taper_unit)
        self.shop_amounts = Amounts(self.rng, shop_unit)
        self.taper = self._taper()
        self.options = []
        self.sections = None
        self.overrides = {}
        self.shop = self._shop()
        self.taper_text = yaml_text(self.rng, self.taper)
        self.shop_text = yaml_text(self.rng, self.shop)

    def chance(self, share):
        return self.rng.random() < share

    def setup(self):
        return SetUp(load(self.taper_text), load(self.shop_text), self.machine,
                     self.sections, **self.overrides)

    def call(self, taper_path, shop_path, out):
        return ["setup", taper_path, "--shop", shop_path, "--machine", self.machine,
                "--out", out] + self.options


def main():
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seed", default="1")
    options.add_argument("--case", type=int, default=0)
    options.add_argument("--passes", type=float, default=0.12)
    options.add_argument("--fitted", type=float, default=0.04)
    options.add_argument("--curves", type=float, default=0.0)
    options.add_argument("--out", default=".")
    given = options.parse_args()
    case = Case(given.seed, given.case, given.passes, given.fitted, given.curves)
    os.makedirs(given.out, exist_ok=True)
    for name, text in (("taper.yaml", case.taper_text), ("shop.yaml", case.shop_text)):
        with open(os.path.join(given.out, name), "w", encoding="utf-8") as file:
            file.write(text)
    print(" ".join(f"'{a}'" if " " in a else a for a in case.call("taper.yaml", "shop.yaml", "out")))


if __name__ == "__main__":
    main()
