"""A hostile or broken file is refused in under a second and 200 MB, with a sentence.

Each is read in a process of its own that may take no more than 200 MB of address space beyond what it held before
reading. The time asked for here is loose, so that a busy machine does not fail the test.
"""

import subprocess
import sys

import pytest

MOST_SECONDS = 5.0
MOST_MEGABYTES = 200

CHILD = """
import sys, time
from oktocover.reading import InputProblems, read_yaml, read_yaml_file
text = eval(sys.argv[1])
try:
    import resource
    held = int(open("/proc/self/statm").read().split()[0]) * resource.getpagesize()
    most = held + {megabytes} * 1_000_000
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
except (ImportError, OSError):
    pass  # no such limit on this system: only time and outcome are checked
begun = time.perf_counter()
try:
    read_yaml(text, "s.yaml")
    said = "accepted"
except InputProblems as refused:
    said = str(refused)
print(round(time.perf_counter() - begun, 3))
print(said.splitlines()[0])
""".replace("{megabytes}", str(MOST_MEGABYTES))

HOSTILE = {
    "a million [": ("'[' * 10**6", "nested"),
    "a million {": ("'{' * 10**6", "nested"),
    "a million list dashes": ("'- ' * 10**6", "nested"),
    "a million question marks": ("'? ' * 10**6", "nested"),
    "a million open mappings": ("'{a: ' * 10**6", "nested"),
    "brackets on their own lines": ("'[\\n' * 10**5", "nested"),
    "deep block mapping": ("''.join(' ' * n + 'a:\\n' for n in range(3900))", "nested"),
    "alias bomb": (
        "'a0: &a0 x\\n' + ''.join(f'a{n+1}: &a{n+1} [' + ', '.join([f'*a{n}'] * 9) + ']\\n' for n in range(20))",
        "anchors are not used",
    ),
    "ten megabytes": ("'a: b\\n' * 2_000_000", "larger than 8 MB"),
    "too many lines": ("'# b\\n' * 1_900_000", "more than 200,000 lines"),
    "too many values": ("'[' + 'a,' * 3_000_000", "more than 200,000 values"),
    "too many empty lists": ("'[' + '[],' * 2_000_000", "more than 200,000 values"),
    "too many small mappings": ("'[' + '{a: },' * 1_000_000", "more than 200,000 values"),
    "zero bytes": ("'\\0' * 7_000_000", "zero byte"),
    "one name again and again": ("'k:\\n' * 190_000", "already on line"),
    "one name again and again on one line": ("'{' + 'k: ,' * 1_900_000", "twice on this line"),
    "directives": ("''.join(f'%TAG !a{n}! !b\\n' for n in range(190_000))", "directive"),
    "a line that never ends its quote": ("'a: \"' + 'b' * 7_900_000", "cannot be read"),
    "quotes without end": ("'a: \"b\" c ' * 800_000", "cannot be read"),
    "colons without end": ("'a: b: ' + 'c: ' * 2_600_000", "cannot be read"),
    "tabs": ("'\\t' * 7_900_000", "cannot be read"),
    "a tab on every line": ("'\\ta: 1\\n' * 190_000", "begins with a tab"),
    "mistakes on every line": ("'x: y: z\\n' * 190_000", "two colons"),
    "mistakes on many lines": ("'x: y: z\\n' * 20_000", "two colons"),
    "open brackets on many lines": ("'x: {a: b\\n' * 190_000", "not closed"),
    "open parentheses": ("'[' + '(,' * 3_900_000", "comma"),
    "typographic quotes": ("'[' + '\\u201c,' * 2_500_000", "comma"),
    "thousands": ("'{a: 1' + ',000' * 1_900_000 + '}'", "more than 200,000 values"),
    "comments that eat values": ("'a: b #1\\n' * 190_000", "is lost"),
    "blanks": ("' ' * 7_900_000", "empty"),
    "many documents": ("'---\\na\\n' * 190_000", "second document"),
    "anchors": ("'&a ' * 2_600_000", "anchors are not used"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_text_is_refused_soon_and_small(name: str) -> None:
    text, said = HOSTILE[name]
    done = subprocess.run(
        [sys.executable, "-c", CHILD, text], capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 0, done.stderr[-500:]
    seconds, first_line = done.stdout.splitlines()
    assert float(seconds) < MOST_SECONDS
    assert said in first_line


def test_the_memory_limit_of_these_tests_bites() -> None:
    text = "(globals().__setitem__('read_yaml', lambda *_: bytearray(300_000_000)), '')[1]"
    done = subprocess.run(
        [sys.executable, "-c", CHILD, text], capture_output=True, text=True, timeout=60, check=False
    )
    if sys.platform == "linux":
        assert "MemoryError" in done.stderr
