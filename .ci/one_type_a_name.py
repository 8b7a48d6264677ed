#!/usr/bin/python3
"""No two types of one name in one namespace: the linker would take one of them for both.

    one_type_a_name.py FILE...

Types in unnamed namespaces do not count, nor does one within another.
"""

import collections
import re
import sys

UNNAMED = re.compile(r"^namespace \{\n.*?^\}  // namespace\n", re.M | re.S)
NAMESPACE = re.compile(r"^namespace ([\w:]+) \{", re.M)
TYPE = re.compile(r"^(?:struct|class|enum class|union) (\w+)\b(?!::)[^;{]*\{", re.M)


def main():
    places = collections.defaultdict(set)
    for path in sys.argv[1:]:
        with open(path, encoding="utf-8") as file:
            text = UNNAMED.sub("", file.read())
        namespace = NAMESPACE.search(text)
        for found in TYPE.finditer(text):
            places[f"{namespace[1] if namespace else ''}::{found[1]}"].add(path)
    twice = {name: sorted(paths) for name, paths in places.items() if len(paths) > 1}
    for name, paths in sorted(twice.items()):
        print(f"{name}: in {' and in '.join(paths)}")
    return 1 if twice else 0


if __name__ == "__main__":
    sys.exit(main())
