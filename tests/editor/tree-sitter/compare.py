"""Trees that the program made of scripts against those of tree-sitter, written in the same way (tests/unit/tree_dump.h).

    compare.py PROGRAM'S SITTER'S

PROGRAM'S is what `trees` prints. SITTER'S has a line "= FILE" for each script, then its tree as XML. A script in which the program finds no mistake must
come out as the same tree, without an error node; any other must give a tree too.
"""
import datetime
import decimal
import re
import sys
import xml.etree.ElementTree as elements

OPERATIONS = {'=': '=', '<>': '<>', '≠': '<>', '<': '<', '<=': '<=', '≤': '<=', '>': '>', '>=': '>=', '≥': '>=', '+': '+', '-': '-', '−': '-', '*': '*',
              '×': '*', '·': '*', '/': '/', '÷': '/', '^': '^', 'is': 'is', 'is not': 'is-not', 'and': 'and', 'or': 'or'}
PAIRS = {'..': 'range', '…': 'range', '±': 'tolerance', '+-': 'tolerance', '+/-': 'tolerance', 'by': 'size'}
RAISED = str.maketrans('-0123456789', '⁻⁰¹²³⁴⁵⁶⁷⁸⁹')


def unit_spelled(text):
    """The one spelling of a unit, by the table in grammar/README.md."""
    if text.startswith('%') and not re.match('%[/*·⋅]', text):
        return re.sub(r'^% ?(?=.)', '% ', ' '.join(re.sub('[()]', ' ', text).split()))
    atoms = re.split('([/*·⋅])', text)
    for place, atom in enumerate(atoms):
        if atom in ('*', '⋅'):
            atoms[place] = '·'
            continue
        base, _, exponent = atom.partition('^')
        plain = re.fullmatch('([^0-9-]+)([23])', base)
        if plain and not exponent:
            base, exponent = plain.groups()
        base = re.sub('^([dD]eg|[º˚])(?=[CF]$)', '°', base)
        base = {'℃': '°C', '℉': '°F', 'SR': '°SR'}.get(base, base)
        base = re.sub('^u(?=(m|g|l|L|mol|s|S|M|N|Pa|A|V)$)|^μ', 'µ', base)
        atoms[place] = base + exponent.translate(RAISED)
    return ''.join(atoms)


def number_written(text):
    """A number with the decimals that were typed; of more digits than the program keeps, those that it keeps."""
    if sum(sign.isdigit() for sign in text) <= 15:
        return text
    return f'{decimal.Decimal(repr(float(text))):.{len(text.partition(".")[2])}f}'


class Script:
    """One script and its nodes."""

    def __init__(self, path):
        with open(path, 'rb') as file:
            data = file.read()
        self.bytes = data
        self.starts = [0] + [match.end() for match in re.finditer(b'\n', data)]

    def place(self, node, end=False):
        return self.starts[int(node.get('erow' if end else 'srow'))] + int(node.get('ecol' if end else 'scol'))

    def text(self, node):
        return self.bytes[self.place(node):self.place(node, True)].decode()

    def lines(self, nodes, depth):
        return ''.join(self.line(node, depth) for node in nodes if node.tag in ('line', 'block'))

    def line(self, line, depth):
        """A line, and the block that it opens."""
        out, comma = '  ' * depth, False
        for node in line:
            if node.tag in ('head', 'binding_head', 'unit_head'):
                out += self.text(node)
            elif node.tag == 'end':
                out += '  ' * depth + 'end' + ''.join(' ' + self.text(name) for name in node[:1])
            elif node.tag not in ('line', 'block', 'comment'):
                out += (', ' if comma and node.tag not in ('condition', 'binding') else ' ') + self.value(node)
            comma = ',' in (node.tail or '') or (comma and node.tag == 'comment')
            if ':' in (node.tail or '') and line.tag == 'block' and node.tag not in ('line', 'block'):
                within = self.lines(line, depth + 1)
                out += ' :' + ('\n' + within if within else '')
                if not within:
                    depth = 0
        return out + '\n'

    def value(self, node):
        """An argument or an expression."""
        parts = [part for part in node if part.tag != 'comment']
        values = [self.value(part) for part in parts] if node.tag not in ('text', 'unit') else []
        match node.tag:
            case 'name' | 'property' | 'function' | 'absent' | 'origin' | 'preposition' | 'escape':
                return self.text(node)
            case 'number':
                return number_written(self.text(node).replace('_', '').replace('−', '-'))
            case 'unit' | 'unit_sign':
                return f'[{unit_spelled(self.text(node))}]'
            case 'quantity' | 'bracket':
                return ''.join(values)
            case 'date':
                return f'day:{datetime.date.fromisoformat(self.text(node)).toordinal() - datetime.date(1970, 1, 1).toordinal()}'
            case 'time':
                hours, minutes = self.text(node).split(':')
                return f'minute:{int(hours) * 60 + int(minutes)}'
            case 'phrase':
                return f'{values[0]}> {values[1]}'
            case 'condition':
                return f'when {values[0]}'
            case 'binding':
                return f'= {values[0]}'
            case 'provenance':
                return f"<{' '.join(values)}>"
            case 'shown' | 'otherwise':
                return ('shown:' if node.tag == 'shown' else 'else:') + values[0]
            case 'each' | 'each_of':
                return f'each {values[0]} from ' + ' '.join(values[1:])
            case 'not':
                return f'(not {values[0]})'
            case 'about':
                return f"about({' '.join(values)})"
            case 'binary':
                sign = ' '.join((parts[0].tail or '').split())
                return f'{PAIRS[sign]}({values[0]} {values[1]})' if sign in PAIRS else f'({OPERATIONS[sign]} {values[0]} {values[1]})'
            case 'part':
                return f'{values[0]}.{values[1]}'
            case 'call':
                return f"{values[0]}({', '.join(values[1:])})"
            case 'narrowed':
                return f'({values[0]} as {values[1]})'
            case 'converted':
                return f'convert({values[0]} {values[1]})'
            case 'list':
                return f"list({' '.join(values)})"
            case 'fill':
                return '{' + ', '.join(values[:2]) + '}'
            case 'text':
                return self.pieces(node)
        raise ValueError(f'a node {node.tag}')

    def pieces(self, node):
        """A text, with its escapes resolved."""
        inner, at = '', self.place(node)
        for part in node:
            inner += self.bytes[at:self.place(part)].decode() + (self.text(part)[1:] if part.tag == 'escape' else self.value(part))
            at = self.place(part, True)
        inner += self.bytes[at:self.place(node, True)].decode()
        return f'"{inner[1:-1]}"'


def parted(path, marks):
    """What stands behind each line that begins with one of MARKS, by the rest of that line; and the mark."""
    found = {}
    with open(path, encoding='utf-8', newline='\n') as file:
        for part in re.split(f'^(?=[{marks}] /)', file.read(), flags=re.M)[1:]:
            head, _, body = part.partition('\n')
            found[head[2:]] = head[0], body
    return found


def trouble(path, mark, wanted, xml):
    """What is wrong with the tree of one script, or None."""
    said = xml.find('<?xml')
    end = xml.rfind('>\n') + 1
    if said < 0 or end == 0:
        return 'there is no tree'
    document = xml[said:end]
    if mark == '!':
        return None
    if '<ERROR' in document or 'MISSING' in xml[end:]:
        return f'there is a mistake: {xml[end:].strip()[-80:]}'
    script = Script(path)
    got = script.lines(elements.fromstring(document), 0)
    if got == wanted:
        return None
    for number, (one, other) in enumerate(zip(got.split('\n'), wanted.split('\n')), 1):
        if one != other:
            return f'line {number} of the tree is\n    {one}\n    not\n    {other}'
    return 'it ends otherwise'


def main(program, sitter):
    wanted, got = parted(program, '=!'), parted(sitter, '=')
    passed = failed = 0
    if sum(mark == '=' for mark, _ in wanted.values()) < 100:
        print('  too few scripts are without a mistake')
        failed += 1
    for path, (mark, tree) in wanted.items():
        wrong = trouble(path, mark, tree, got.get(path, ('', ''))[1])
        passed, failed = passed + (wrong is None), failed + (wrong is not None)
        if wrong is not None:
            print(f'  {path}: {wrong}')
    print(f'compared: {passed} passed, {failed} failed')
    return 1 if failed else 0


if __name__ == '__main__':
    sys.exit(main(*sys.argv[1:]))
