"""The grammar in docs/language.md: read from the page, used to make programs and to read them."""

import re

from blocks import ROOT, blocks

REFERENCE = ROOT / "docs/language.md"
CLASSES = {"NAME", "WORD", "TEXT", "NUMBER", "QUANTITY", "CLOCK", "CONE", "VERSION", "END"}
RESERVED = set(
    "to at over by of and or not is within when otherwise between from".split()
)

# --- reading the grammar ---------------------------------------------------------------------

# A rule's right side: ("word", text) | ("class", name) | ("rule", name) | ("all", [...])
# | ("any", [...]) | ("maybe", x) | ("repeat", x)


def rules():
    """Right sides by the name of the rule, in the order of the page."""
    (block,) = [b for b in blocks(REFERENCE) if b.language == "ebnf"]
    tokens = re.findall(r'"[^"]+"|\w+|[=;|{}\[\]()]', block.text)
    found = {}
    at = 0

    def alternatives():
        nonlocal at
        options = [sequence()]
        while tokens[at] == "|":
            at += 1
            options.append(sequence())
        return options[0] if len(options) == 1 else ("any", options)

    def sequence():
        nonlocal at
        parts = []
        while tokens[at] not in "|;)]}":
            token = tokens[at]
            at += 1
            if token in "({[":
                inner = alternatives()
                at += 1
                kind = {"(": None, "{": "repeat", "[": "maybe"}[token]
                parts.append((kind, inner) if kind else inner)
            elif token[0] == '"':
                parts.append(("word", token[1:-1]))
            else:
                parts.append(("class" if token in CLASSES else "rule", token))
        return ("all", parts)

    while at < len(tokens):
        name = tokens[at]
        assert tokens[at + 1] == "=", name
        at += 2
        found[name] = alternatives()
        assert tokens[at] == ";", name
        at += 1
    return found


def inside(side):
    """All words, classes and rules that a right side names."""
    if side[0] in ("word", "class", "rule"):
        yield side
    else:
        for part in side[1] if side[0] in ("all", "any") else [side[1]]:
            yield from inside(part)


# --- making programs -------------------------------------------------------------------------

SAMPLES = {
    "NAME": ["heron", "drying_slow", "top_2", "held", "glaze_a"],
    "WORD": ["damper", "half", "gentle", "to", "ramp"],
    "TEXT": ['"Bone dry"', '"to {600C}"', '"""two\nlines"""'],
    "NUMBER": ["3", "0.5"],
    "QUANTITY": ["600C", "20dC", "1h30m", "1.2%", "0.31/kWh", "2600kg/metre3"],
    "CLOCK": ["22:30"],
    "CONE": ["cone 6", "cone 06", "cone 5½"],
    "VERSION": ["1.2.0", "2.0.0-beta.1"],
    "END": ["\n", ";"],
}


def depths(grammar):
    """The least depth of derivation of each rule."""
    depth = {}

    def of(side):
        kind, inner = side
        if kind in ("word", "class"):
            return 0
        if kind == "rule":
            return depth.get(inner, 1000) + 1
        if kind == "all":
            return max((of(part) for part in inner), default=0)
        return min(of(option) for option in inner) if kind == "any" else 0

    for _ in grammar:
        for name, side in grammar.items():
            depth[name] = of(side)
    return depth, of


def sentence(grammar, start, random, most=16):
    """A text of the language, at random."""
    _, depth_of = depths(grammar)
    out = []

    def make(side, left):
        kind, inner = side
        if kind == "word":
            out.append(inner)
        elif kind == "class":
            out.append(random.choice(SAMPLES[inner]))
        elif kind == "rule":
            make(grammar[inner], left - 1)
        elif kind == "all":
            for part in inner:
                make(part, left)
        elif kind == "any":
            short = [option for option in inner if depth_of(option) <= left]
            make(random.choice(short or [min(inner, key=depth_of)]), left)
        elif left > 0 and depth_of(inner) <= left:
            for _ in range(random.choice([0, 1, 1, 2] if kind == "repeat" else [0, 1])):
                make(inner, left)

    make(("rule", start), most)
    return " ".join(out)


# --- reading programs ------------------------------------------------------------------------

LEXEMES = re.compile(
    r"""(?P<comment>\#[^\n]*)|(?P<newline>\n)|(?P<blank>[ \t\r]+)
    |(?P<TEXT>\"\"\".*?\"\"\"|"(?:\\.|[^"\\\n])*")
    |(?P<CONE>\bcone[ ]+\d+(?:\.\d+)?½?)
    |(?P<CLOCK>-?\d{1,2}:\d\d)
    |(?P<VERSION>\d+\.\d+\.\d+(?:[-+][0-9A-Za-z.-]+)*)
    |(?P<QUANTITY>-?\d+(?:\.\d+)?(?:(?:[A-Za-z%°][\w°%]*)(?:/[A-Za-z]\w*)*|(?:/[A-Za-z]\w*)+))
    |(?P<NUMBER>-?\d+(?:\.\d+)?)
    |(?P<WORD>[^\W\d_]\w*)
    |(?P<sign>->|<=|>=|[-+*/<>=.,:;(){}\[\]])""",
    re.X | re.S,
)


def tokens_of(text):
    found = []
    at = 0
    while at < len(text):
        match = LEXEMES.match(text, at)
        if match is None:
            raise ValueError(f"what is this: {text[at:at + 20]!r}")
        kind, lexeme = match.lastgroup, match.group()
        if kind not in ("comment", "blank"):
            # A minus behind a value is an operator, not the sign of a literal.
            if lexeme[0] == "-" and len(lexeme) > 1 and kind != "sign" and found:
                before = found[-1]
                if before[0] not in ("sign", "newline") or before[1] in (")", "]"):
                    if before[1] not in RESERVED:
                        found.append(("sign", "-", at))
                        at += 1
                        continue
            found.append((kind, lexeme, at))
        at = match.end()
    return found


class Reader:
    """Recognises a text; line ends may stand anywhere, but END needs one (or `;`, or `}` next)."""

    def __init__(self, grammar, tokens):
        self.grammar, self.tokens, self.memo, self.furthest = grammar, tokens, {}, 0

    def past_newlines(self, at):
        while at < len(self.tokens) and self.tokens[at][0] == "newline":
            at += 1
        return at

    def terminal(self, matches, at):
        at = self.past_newlines(at)
        self.furthest = max(self.furthest, at)
        return {at + 1} if at < len(self.tokens) and matches(*self.tokens[at][:2]) else set()

    def end(self, at):
        after = self.past_newlines(at)
        if after == len(self.tokens) or self.tokens[after][1] == "}":
            return {after}
        if self.tokens[after][1] == ";":
            while after < len(self.tokens) and self.tokens[after][1] in (";", "\n"):
                after += 1
            return {after}
        return {after} if after > at else set()

    def read(self, side, at):
        kind, inner = side
        if kind == "word":
            return self.terminal(lambda _, lexeme: lexeme == inner, at)
        if kind == "class":
            if inner == "END":
                return self.end(at)
            if inner == "NAME":
                return self.terminal(lambda k, lexeme: k == "WORD" and lexeme not in RESERVED, at)
            return self.terminal(lambda k, _: k == inner, at)
        if kind == "rule":
            if (inner, at) not in self.memo:
                self.memo[inner, at] = self.read(self.grammar[inner], at)
            return self.memo[inner, at]
        if kind == "all":
            places = {at}
            for part in inner:
                places = set().union(*(self.read(part, place) for place in places))
            return places
        if kind == "any":
            return set().union(*(self.read(option, at) for option in inner))
        places, new = {at}, {at}
        while new:
            new = set().union(*(self.read(inner, place) for place in new)) - places
            places |= new
            if kind == "maybe":
                break
        return places


def unreadable(grammar, text):
    """Where the grammar can't read the text on: the words there. Nothing if it can."""
    tokens = tokens_of(text)
    reader = Reader(grammar, tokens)
    start = reader.past_newlines(0)
    if start == len(tokens) or len(tokens) in reader.read(("rule", "file"), start):
        return None
    at = tokens[min(reader.furthest, len(tokens) - 1)][2]
    return f"line {text.count(chr(10), 0, at) + 1}: {text[at:at + 40].splitlines()[0]}"
