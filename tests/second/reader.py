"""Reads a script: as much of the language as a plain paper, its mill and its order need.

Nothing is looked up here and no kind is checked: a line becomes its first word and, behind each word that
leads an argument, the values that stand there. Whatever the second opinion does not know stays unread.
"""
import functools
import re
from fractions import Fraction

TOKEN = re.compile(r'[^\s,"%0-9][^\s,]*|[0-9][0-9_]*(?:\.[0-9]+)?|,'
                   r'|%(?: w/v dry| w/w| on fibre| of sheet-as-it-is| of sheet| on unsized-sheet| of size)?|"[^"]*"')
ABOUT = re.compile(r'about ([^,]+), between [^,]*?\.\.[0-9.]+(?: %)?')

# What an argument may be led by; words that follow one another lead together ("surplus to", "as slurry of").
LEADS = frozenset('''at for to with of on from into as within sure mean sheets posts packs slurry cooked losing retaining couched
    trial surplus heel topped-up every hardened fixed taking-up weighing spoiling sizing fresh coats leaving-over reaching gaining
    shrinking keeping sorting drained-to rinsing liquor throwing-back needing opening at-least in spreading through'''.split())

# A unit is so much of a base: kilograms, metres, litres, hours, pascals; a share is told apart by what it is of.
UNITS = {
    'kg': ('mass', Fraction(1)), 'g': ('mass', Fraction(1, 1000)), 't': ('mass', Fraction(1000)), 'lb': ('mass', Fraction('0.45359237')),
    'm': ('length', Fraction(1)), 'cm': ('length', Fraction(1, 100)), 'mm': ('length', Fraction(1, 1000)), 'in': ('length', Fraction('0.0254')),
    'm²': ('area', Fraction(1)), 'L': ('volume', Fraction(1)), 'mL': ('volume', Fraction(1, 1000)),
    'h': ('time', Fraction(1)), 'min': ('time', Fraction(1, 60)), 'd': ('time', Fraction(24)),
    'Pa': ('pressure', Fraction(1)), 'kPa': ('pressure', Fraction(1000)), 'MPa': ('pressure', Fraction(10) ** 6), 'bar': ('pressure', Fraction(10) ** 5),
    'g/m²': ('on area', Fraction(1, 1000)), 'g/L': ('in volume', Fraction(1, 1000)), 'kg/L': ('in volume', Fraction(1)), 'L/kg': ('ratio', Fraction(1)),
    'sheets/h': ('rate', Fraction(1)), 'sheets/L': ('rate', Fraction(1)), 'mol/kg': ('amount', Fraction(1)),
    'sheets': ('count', Fraction(1)), 'sheet': ('count', Fraction(1)), 'times': ('count', Fraction(1)), 'dips': ('count', Fraction(1)),
    'loads': ('count', Fraction(1)), 'posts': ('count', Fraction(1)), 'packs': ('count', Fraction(1)), 'coats': ('count', Fraction(1)),
    'layers': ('count', Fraction(1)), '°C': ('warmth', Fraction(1)), '°SR': ('freeness', Fraction(1)),
    '%': ('share', Fraction(1, 100)), '% w/w': ('share', Fraction(1, 100)), '% on fibre': ('on fibre', Fraction(1, 100)),
    '% of sheet': ('of sheet', Fraction(1, 100)), '% of sheet-as-it-is': ('of sheet-as-it-is', Fraction(1, 100)),
    '% on unsized-sheet': ('share', Fraction(1, 100)), '% of size': ('of size', Fraction(1, 100)), '% w/v dry': ('w/v dry', Fraction(1, 100)),
}


class Quantity:
    """A number with its unit: DIMENSION says which kind of thing it is, NUMBER how much in base units."""
    __slots__ = ('dimension', 'number')

    def __init__(self, dimension, number):
        self.dimension = dimension
        self.number = number


class Line:
    """A line: its first word, and of each leading phrase the values behind it ('': behind none)."""
    __slots__ = ('head', 'values', 'place')

    def __init__(self, head, values, place):
        self.head = head
        self.values = values
        self.place = place

    def names(self, lead=''):
        return [value for value in self.values.get(lead, ()) if isinstance(value, str)]

    def size(self, lead=''):
        for value in self.values.get(lead, ()):
            if isinstance(value, tuple):
                return value
        return None


class Block:
    """A block: its head and name, its lines, and the blocks in it by their heads."""
    __slots__ = ('head', 'name', 'lines', 'blocks')

    def __init__(self, head, name):
        self.head = head
        self.name = name
        self.lines = []
        self.blocks = {}

    def line(self, head):
        for line in self.lines:
            if line.head == head:
                return line
        return None


def tokens_of(text):
    return TOKEN.findall(ABOUT.sub(r'\1', text) if 'about' in text else text)


@functools.lru_cache(maxsize=100000)
def quantity_of(typed, unit):
    dimension, factor = UNITS[unit] if unit else ('count', 1)
    return Quantity(dimension, Fraction(typed.replace('_', '')) * factor)


def value_at(tokens, at):
    """The value that begins at a token, and where the next one stands."""
    token = tokens[at]
    if not token[0].isdigit():
        return token.strip('"'), at + 1
    at += 1
    unit = tokens[at] if at < len(tokens) and tokens[at] in UNITS else ''
    quantity = quantity_of(token, unit)
    if unit:
        at += 1
    if at < len(tokens) and tokens[at] == 'by':
        other, at = value_at(tokens, at + 1)
        return (quantity.number, other.number), at
    return quantity, at


def line_of(tokens, place):
    values, lead, at = {}, '', 1
    while at < len(tokens):
        if tokens[at] == ',':
            at += 1
            continue
        if tokens[at] in ('practice', 'memory', 'measured', 'supplier'):
            at += 1
            continue
        if tokens[at] in LEADS:
            first = at
            while at < len(tokens) and tokens[at] in LEADS:
                at += 1
            lead = ' '.join(tokens[first:at])
            values.setdefault(lead, [])
            continue
        value, at = value_at(tokens, at)
        values.setdefault(lead, []).append(value)
    return Line(tokens[0], values, place)


def without_comment(text):
    return text.split('#', 1)[0].strip()


def read(text):
    """All blocks of a script in their order; those whose head nobody asks for are read like any."""
    found, open_blocks, held = [], [], ''
    for place, raw in enumerate(text.split('\n'), 1):
        written = without_comment(raw)
        if not written:
            continue
        written = held + written
        held = ''
        if written.endswith(','):
            held = written + ' '
            continue
        if written.endswith(':'):
            words = tokens_of(written[:-1])
            block = Block(words[0], words[1].strip('"') if len(words) > 1 else '')
            (open_blocks[-1].blocks.__setitem__(block.head, block) if open_blocks else found.append(block))
            open_blocks.append(block)
        elif written == 'end' or written.startswith('end '):
            open_blocks.pop()
        elif open_blocks and open_blocks[0].head in ('material', 'mould', 'mill', 'paper', 'batch'):
            open_blocks[-1].lines.append(line_of(tokens_of(written), place))
    return found
