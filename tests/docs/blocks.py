"""The fenced blocks of a Markdown document, and the folder in which its examples are tried."""

import pathlib
import shlex
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent


def documents():
    return [ROOT / "README.md", ROOT / "DEVELOPERS.md"] + sorted((ROOT / "docs").rglob("*.md"))


class Block:
    """```LANGUAGE flag key=value …, with the numbers of its first and last line of content."""

    def __init__(self, document, info, begin):
        words = shlex.split(info)
        self.document = document
        self.language = words[0] if words else ""
        self.options = dict(word.partition("=")[::2] for word in words[1:])
        self.begin = begin
        self.lines = []

    @property
    def text(self):
        return "".join(line + "\n" for line in self.lines)

    @property
    def place(self):
        return f"{self.document.relative_to(ROOT)}, line {self.begin}"


def blocks(document):
    found = []
    block = None
    for number, line in enumerate(document.read_text(encoding="utf-8").split("\n"), 1):
        if block is None and line.startswith("```"):
            block = Block(document, line[3:], number)
        elif block is not None and line == "```":
            found.append(block)
            block = None
        elif block is not None:
            block.lines.append(line)
    return found


def working_folder():
    """A folder that looks like the top of the project to a command of the documentation."""
    folder = tempfile.TemporaryDirectory(prefix="fettle_docs_")
    for name in ("examples", "docs", "stdlib", "README.md"):
        (pathlib.Path(folder.name) / name).symlink_to(ROOT / name)
    return folder
