"""Checks that a mix of units does not compile, and that its legal twin does.

    check.py --compiler g++ --include src FILE

The twin is the file as it stands. With MIX defined it must be refused, by errors on
the line marked `// refused` and on no other: a snippet that fails for another
reason, a misspelt name elsewhere, proves nothing.
"""

import argparse
import os
import pathlib
import re
import subprocess
import sys


def compile_errors(compiler, include, path, definitions):
    """The status, the lines of the file that errors name, the places in other files
    that they name, and all that was printed."""
    done = subprocess.run(
        [compiler, "-std=c++20", "-fsyntax-only", f"-I{include}", *definitions, str(path)],
        env={**os.environ, "LC_ALL": "C"},
        capture_output=True,
        text=True,
        check=False,
    )
    lines = re.findall(rf"^{re.escape(str(path))}:(\d+):\d+: (?:fatal )?error:", done.stderr, re.M)
    elsewhere = [
        line for line in re.findall(r"^(.+?:\d+):\d+: (?:fatal )?error:", done.stderr, re.M)
        if not line.startswith(f"{path}:")
    ]
    return done.returncode, {int(line) for line in lines}, elsewhere, done.stderr


def main():
    parser = argparse.ArgumentParser(description="Checks that a mix of units is refused.")
    parser.add_argument("--compiler", required=True)
    parser.add_argument("--include", required=True, help="the folder that includes start from")
    parser.add_argument("file", type=pathlib.Path)
    options = parser.parse_args()

    source = options.file.read_text(encoding="utf-8").splitlines()
    marked = {number for number, line in enumerate(source, 1) if line.endswith("// refused")}
    if len(marked) != 1:
        print(f"{options.file}: one line ends with `// refused`, here are {len(marked)}")
        return 1

    status, _, _, printed = compile_errors(options.compiler, options.include, options.file, [])
    if status != 0:
        print(f"{options.file}: the legal twin does not compile:\n{printed}")
        return 1
    status, lines, elsewhere, printed = compile_errors(
        options.compiler, options.include, options.file, ["-DMIX"]
    )
    if status == 0:
        print(f"{options.file}: the mix compiles")
        return 1
    if lines != marked or elsewhere:
        print(f"{options.file}: the mix is refused, but not on line {min(marked)}:\n{printed}")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
