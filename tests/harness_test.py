"""Tests of run_case.py, run_readme.py and expected.py themselves, with small shell
scripts in the place of the program."""

import pathlib
import subprocess
import sys
import tempfile
import unittest

import expected
import run_case
import run_readme

FOLDER = pathlib.Path(__file__).resolve().parent
PROGRAM = """#!/bin/sh
# Prints its arguments; `write NAME TEXT` writes a file, `fail N` ends with N.
case "$1" in
  write) mkdir -p "$(dirname "$2")" && printf '%s\\n' "$3" > "$2" ;;
  fail) echo "failed as asked" >&2; exit "$2" ;;
  pwd) pwd; echo "$STRIPWRIGHT_PROFILES" ;;
  bare) printf 'no line feed' ;;
  *) echo "$@" ;;
esac
"""


class WithProgram(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)
        self.top = pathlib.Path(self.folder.name)
        self.program = self.top / "program"
        self.program.write_text(PROGRAM, encoding="utf-8")
        self.program.chmod(0o755)


class Matching(unittest.TestCase):
    def test_only_the_same_lines_match(self):
        self.assertTrue(expected.matches(["a", "b"], ["a", "b"]))
        self.assertTrue(expected.matches([], []))
        for actual in (["a"], ["a", "b", "c"], ["b", "a"], [], ["a", "b "]):
            self.assertFalse(expected.matches(["a", "b"], actual), actual)

    def test_dots_stand_for_any_lines(self):
        for actual in (["a", "z"], ["a", "b", "z"], ["a", "z", "z"]):
            self.assertTrue(expected.matches(["a", "...", "z"], actual), actual)
        self.assertFalse(expected.matches(["a", "...", "z"], ["a", "z", "b"]))
        self.assertFalse(expected.matches(["...", "z"], []))
        self.assertTrue(expected.matches(["..."], []))


class Cases(WithProgram):
    def run_text(self, text, accept=False):
        self.path = self.top / "some.case"
        self.path.write_text(text, encoding="utf-8")
        return run_case.run_case(self.path, self.program, FOLDER.parent, accept)

    def test_a_case_that_is_as_expected(self):
        self.assertEqual([], self.run_text(
            "What it is for.\n\n## files\n### in/a.txt\nfirst\n\nthird\n\n### b.txt\nb\n\n"
            "## run\nstripwright hello\ncat in/a.txt b.txt\nstripwright fail 2\n"
            "stripwright write out/x.csv 'a,b'\n\n## status\n0\n0\n2\n0\n\n"
            "## stdout\nhello\nfirst\n\nthird\nb\n\n## stderr\nfailed as asked\n\n"
            "## written\nout/x.csv\n\n### out/x.csv\na,b\n"))

    def test_each_kind_of_difference_is_seen(self):
        for text, word in (
            ("## run\nstripwright hello\n", "+hello"),
            ("## run\nstripwright hello\n\n## stdout\nhallo\n", "-hallo"),
            ("## run\nstripwright fail 1\n\n## stderr\nfailed as asked\n", "+1"),
            ("## run\nstripwright fail 1\n\n## status\n1\n", "+failed as asked"),
            ("## run\nstripwright write x y\n", "+x"),
            ("## run\ntrue\n\n## written\nx\n", "-x"),
            ("## run\nstripwright write x y\n\n## written\nx\n\n### x\nz\n", "-z"),
            ("## files\n### x\ny\n\n## run\nrm x\n", "+x (gone)"),
            ("## files\n### x\ny\n\n## run\nstripwright write x z\n", "+x"),
            ("## run\nstripwright write ../home/x y\n", "+~/x"),
            ("## run\nstripwright bare\n\n## stdout\nno line feed\n", "+\\ no line feed"),
        ):
            self.assertIn(word, "\n".join(self.run_text(text)), text)

    def test_a_case_that_is_not_one(self):
        self.assertIn("no command", self.run_text("## stdout\nx\n")[0])
        self.assertIn("twice", self.run_text("## run\ntrue\n\n## run\ntrue\n")[0])
        self.assertIn("parts of a case", self.run_text("## run\ntrue\n\n## sdtout\nx\n")[0])

    def test_paths_and_settings_are_pinned(self):
        self.assertEqual([], self.run_text(
            "## run\nstripwright pwd\necho $LC_ALL $COLUMNS $SOURCE_DATE_EPOCH\n"
            "env -u STRIPWRIGHT_PROFILES stripwright pwd\n\n"
            "## stdout\n<here>\n../shipped\nC.UTF-8 80 1767225600\n<here>\n\n"))

    def test_blank_last_lines_count(self):
        text = "## run\necho; echo\nstripwright fail 1\n\n## status\n0\n1\n\n## stdout\n{}\n## stderr\nfailed as asked\n"
        self.assertEqual([], self.run_text(text.format("\n\n")))
        self.assertNotEqual([], self.run_text(text.format("\n")))
        self.assertNotEqual([], self.run_text(text.format("\n\n\n")))

    def test_accept_writes_what_was_seen_and_then_it_passes(self):
        self.assertEqual([], self.run_text(
            "About.\n\n## files\n### a\nx\n\n### b\ny\n\n## run\nstripwright one\ncat a b\n"
            "stripwright fail 3\nstripwright write o z\nstripwright bare\n\n"
            "## written\n\n### o\nold\n", accept=True))
        text = self.path.read_text(encoding="utf-8")
        self.assertEqual([], self.run_text(text))
        self.assertTrue(text.startswith("About.\n\n## files\n### a\nx\n\n### b\ny\n\n## run\n"))
        self.assertIn("## status\n0\n0\n3\n0\n0\n\n## stdout\none\nx\ny\nno line feed\n\\ no", text)
        self.assertTrue(text.endswith("## written\no\n\n### o\nz\n"))

    def test_accept_keeps_the_dots_that_match(self):
        self.run_text("## run\necho a; echo b\nstripwright fail 1\n\n## stdout\n...\nb\n",
                      accept=True)
        text = self.path.read_text(encoding="utf-8")
        self.assertIn("## stdout\n...\nb\n\n## stderr\nfailed as asked\n", text)


class Documents(WithProgram):
    def check(self, text, accept=False):
        self.path = self.top / "doc.md"
        self.path.write_text(text, encoding="utf-8")
        return run_readme.check_document(self.path, self.program, FOLDER.parent, accept)

    def test_a_document_that_tells_the_truth(self):
        complaints, count = self.check(
            "# Title\n```console\n$ .ci/install run && cmake --workflow --preset demo\nanything\n"
            "$ stripwright a b\na b\n```\n```yaml file=x/y.yaml\nk: v\n```\n"
            "```yaml\nnot: run\n```\n```console\n$ cat x/y.yaml\nk: v\n"
            "$ build/release/stripwright \\\n> two lines\ntwo lines\n"
            "$ stripwright fail 2\nfailed as asked\n$ echo $?\n2\n"
            "$ ls profiles/yarrow.yaml\nprofiles/yarrow.yaml\n$ seq 9\n1\n...\n9\n```\n")
        self.assertEqual([], complaints)
        self.assertEqual(8, count)

    def test_each_kind_of_untruth_is_seen(self):
        for body, word in (
            ("$ stripwright a\nb", "+a"),
            ("$ stripwright a", "+a"),
            ("$ true\nb", "-b"),
            ("$ stripwright fail 1\nfailed as asked", "unsaid"),
            ("$ stripwright fail 1\nfailed as asked\n$ true", "unsaid"),
            ("$ .ci/no-such-script", "there is no .ci/no-such-script"),
            ("$ cmake --workflow --preset nonesuch", "there is no nonesuch"),
            ("$ cmake --workflow --preset=use", "there is no use"),
            ("$ .ci/install run && cmake --preset nonesuch", "there is no nonesuch"),
            ("stripwright a", "starts with"),
        ):
            self.assertIn(word, "\n".join(self.check(f"```console\n{body}\n```\n")[0]), body)
        self.assertIn("console", self.check("```sh\nstripwright\n```\n")[0][0])
        self.assertIn("without an end", self.check("```console\n$ true\n")[0][0])

    def test_accept_writes_what_was_seen_and_then_it_passes(self):
        self.check("a\n```console\n$ stripwright 1\nx\ny\n$ seq 3\n1\n...\n$ stripwright 2\n"
                   "```\nb\n```console\n$ stripwright 3\n4\n```\n", accept=True)
        text = self.path.read_text(encoding="utf-8")
        self.assertEqual("a\n```console\n$ stripwright 1\n1\n$ seq 3\n1\n...\n$ stripwright 2\n2\n"
                         "```\nb\n```console\n$ stripwright 3\n3\n```\n", text)
        self.assertEqual([], self.check(text)[0])

    def test_a_document_without_examples_is_a_fault_of_the_whole_run(self):
        path = self.top / "empty.md"
        path.write_text("nothing\n", encoding="utf-8")
        done = subprocess.run(
            [sys.executable, FOLDER / "run_readme.py", "--program", self.program,
             "--source", FOLDER.parent, path], capture_output=True, text=True, check=False)
        self.assertEqual(1, done.returncode)
        self.assertIn("no example found", done.stdout)


if __name__ == "__main__":
    unittest.main()
