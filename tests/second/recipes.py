"""Random papers of an invented mill, by seed: script text, many papers to a script.

Every paper has its own fibres, additions, mould, mill and order, all called after its number. What they hold is rarely wise, but
each procedure can be done: the steps stand in an order that the language lets pass, with numbers that a mill might type.
"""
import random


class Dice:
    """Chances that are the same for one seed wherever they are drawn."""
    def __init__(self, seed):
        self.random = random.Random(seed).random

    def below(self, most):
        return int(self.random() * most)

    def one_in(self, most):
        return self.below(most) == 0

    def of(self, several):
        return several[self.below(len(several))]

    def whole(self, low, high):
        return low + self.below(high - low + 1)

    def number(self, low, high, decimals=2):
        """As it is typed."""
        typed = '%.*f' % (decimals, low + self.random() * (high - low))
        return typed.rstrip('0').rstrip('.') if '.' in typed else typed

    def share(self, low, high, basis='%', decimals=2):
        return self.number(low, high, decimals) + ' ' + basis


# Own steps and things that all papers of a script share. Strewing is a step of this mill's alone: a share of the dry sheet.
SHARED = """waterleaf 1

# Papers made by chance for a comparison, of an invented mill. Nobody should make them.

material lye-of-all:
  class     alkali
  moisture  1.5 %
  marks     soluble
end

material bleach-of-all:
  class   bleach
  solids  12.5 %
  marks   soluble
end

material antichlor-of-all:
  class   antichlor
  solids  96 %
end

material size-of-all:
  class     surface-size
  moisture  12 %
end

material hardener-of-all:
  class               hardener
  solids              95.5 %
  uses-up-carbonate   0.505
end

step strew:
  role     finishing
  takes    what as material
  takes    amount as sheet-share
  takes    spoiling spoilt as share = 0 %
  needs    sheet is dry   else "dry it first"
  adds     what to sheet, amount
  spoils   spoilt
end
"""


class Paper:
    """One paper: its script is in `text`."""

    def __init__(self, dice, number):
        self.dice = dice
        self.number = number
        self.things = []          # blocks in front of the paper
        self.steps = []
        self.by_measure = dice.one_in(8)
        self.dips = not self.by_measure and dice.one_in(6)
        self.furnish()
        for name in self.fibres:
            self.stream(name)
        self.step('blend', *([] if dice.one_in(2) else ['into chest']))
        self.stuff()
        self.make_mould()
        self.form()
        self.sheets()
        self.make_mill()
        self.text = '\n'.join(self.things) + self.paper() + self.order()

    def step(self, head, *arguments):
        separator = ', ' if self.dice.one_in(2) else '  '
        first, rest = arguments[:1], arguments[1:]
        line = head + (' ' + first[0] if first else '')
        for argument in rest:
            line += (',\n        ' if self.dice.one_in(12) else ', ' if separator == ', ' or argument[0].isdigit() or line[-1].isdigit() else ' ') + argument
        self.steps.append('    ' + line)

    def material(self, name, *lines):
        self.things.append('material %s:\n%send\n' % (name, ''.join('  %s\n' % line for line in lines)))
        return name

    # ---- furnish and streams ----

    def furnish(self):
        dice = self.dice
        count = dice.of([1, 1, 2, 2, 3])
        left, self.fibres, self.furnished = 100, [], []
        for i in range(count):
            share = left if i + 1 == count else dice.whole(1, left - (count - 1 - i))
            left -= share
            name = self.material('fibre-%d-%d' % (self.number, i), 'class fibre', 'moisture ' + dice.share(2, 14),
                                 'shrink ' + dice.share(0.5, 7))
            self.fibres.append(name)
            self.furnished.append('    %s %d %%' % (name, share))

    def losing(self, low, high):
        return 'losing ' + self.dice.share(low, high)

    def stream(self, name):
        dice = self.dice
        if dice.one_in(4):
            self.step('sort-rag', name, self.losing(1, 9))
        if dice.one_in(5):
            self.step('dust', name, '%d times' % dice.whole(1, 4), self.losing(0.5, 3))
        if dice.one_in(6):
            self.step('cut', name, 'to %s mm' % dice.number(20, 60, 0), self.losing(0.2, 2))
        wet = cooked = bleached = False
        if dice.one_in(3):
            self.step('soak', name, 'for %s h' % dice.number(2, 24, 1))
            wet = True
        elif dice.one_in(6):
            self.step('pulp-broke', name, 'for %s h' % dice.number(2, 24, 1), self.losing(0.5, 5))
            wet = True
        if wet and dice.one_in(6):
            self.step('ret', name, 'for %s d' % dice.number(2, 9, 1), self.losing(1, 14))
        if wet and dice.one_in(4):
            self.step('cook', name, 'with lye-of-all', 'at ' + dice.share(1, 16, '% on fibre'), '%s °C' % dice.number(90, 99, 0),
                      'for %s h' % dice.number(1, 5, 1), 'liquor %s L/kg' % dice.number(8, 25, 1), self.losing(2, 45))
            cooked = True
        if cooked or (wet and dice.one_in(6)):
            self.wash(name)
        if wet and dice.one_in(6):
            self.step('bleach', name, 'with bleach-of-all', 'at %s g/L' % dice.number(0.5, 3), dice.share(2, 6), 'for %s h' % dice.number(1, 4, 1),
                      'in chest')
            bleached = True
            if not dice.one_in(5):
                self.step('clear', name, 'with antichlor-of-all', 'at ' + dice.share(0.2, 1, '% on fibre'), 'in chest')
            if not dice.one_in(4):
                self.wash(name)
        if wet and dice.one_in(9):
            dye = self.addition('dye', 'dye')
            arguments = [name, 'with ' + dye, 'at ' + dice.share(0.1, 4, '% on fibre')]
            if dice.one_in(2):
                arguments += ['fixed with ' + self.addition('fixative', 'fixative'), dice.share(0.1, 2, '% on fibre')]
            self.step('dye', *arguments)
        if bleached and dice.one_in(3):
            return
        if dice.one_in(9):
            self.step('hand-beat', name, 'to ' + dice.share(3, 8), 'for 2 h', self.losing(0, 3))
        else:
            arguments = [name, 'at ' + dice.share(1.5, 4), 'for %s' % dice.of(['%s h' % dice.number(0.5, 6), '%d min' % dice.whole(10, 90)])]
            if dice.one_in(2):
                arguments.append('to %d °SR' % dice.whole(18, 60))
            self.step('beat', *(arguments + ['losing ' + (dice.share(0, 6) if dice.one_in(2) else '0 %')]))

    def wash(self, name):
        self.step('wash', name, '%d times' % self.dice.whole(1, 6), 'rinsing ' + self.dice.number(2, 9, 1), 'drained-to ' + self.dice.share(6, 20),
                  self.losing(0, 3))

    # ---- stuff ----

    def addition(self, word, kind):
        dice = self.dice
        lines = ['class ' + kind, dice.of(['solids ' + dice.share(5, 100), 'moisture ' + dice.share(0, 15)])]
        if not dice.one_in(6):
            lines.append('retention ' + dice.share(20, 100))
        if dice.one_in(2):
            lines.append('first-pass ' + dice.share(15, 99))
        if kind == 'carbonate':
            lines.append('counts-as-carbonate ' + dice.of(['1', '1', '1.187', '0.9']))
        return self.material('%s-%d-%d' % (word, self.number, len(self.things)), *lines)

    def stuff(self):
        dice, added = self.dice, []
        for _ in range(dice.of([0, 1, 1, 2, 2, 3, 4])):
            if dice.one_in(7):
                self.step('strain', 'losing ' + dice.share(0.1, 3))
            if dice.one_in(6):
                arguments = ['with ' + self.addition('colour', 'pigment'), dice.share(0.05, 6, '% on fibre')]
                if dice.one_in(2):
                    arguments += ['fixed with ' + self.addition('fixative', 'fixative'), dice.share(0.1, 2, '% on fibre')]
                self.step('colour', *arguments)
                continue
            if added and dice.one_in(8):
                name, kind = dice.of(added)
            else:
                kind = dice.of(['carbonate', 'carbonate', 'filler', 'internal-size', 'retention-aid'])
                name = self.addition({'carbonate': 'chalk', 'filler': 'clay', 'internal-size': 'emulsion', 'retention-aid': 'starch'}[kind], kind)
                added.append((name, kind))
            arguments = [name, dice.share(0.05, 12, '% on fibre')]
            way = dice.below(3)
            if way == 0:
                arguments.append('as slurry of ' + dice.share(3, 25, '% w/w'))
            elif way == 1:
                arguments.append('cooked at ' + dice.share(1, 5, '% w/w'))
            self.step('add', *arguments)
        if dice.one_in(7):
            self.step('strain', 'losing ' + dice.share(0.1, 3))
        if not self.by_measure:
            low, high = (0.1, 0.6) if self.dips else (0.5, 1.4)
            self.step('charge-vat', 'to ' + dice.share(low, high))

    # ---- mould, mill ----

    def make_mould(self):
        dice = self.dice
        if dice.one_in(4):
            opening = '%s in by %s in' % (dice.number(8, 28), dice.number(10, 40))
        elif dice.one_in(4):
            opening = '%s cm by %s cm' % (dice.number(15, 70), dice.number(20, 110))
        else:
            opening = '%s mm by %s mm' % (dice.number(150, 700, 1), dice.number(200, 1100, 1))
        lines = ['opening  ' + opening]
        if dice.one_in(2):
            lines.append('mass     %s kg' % dice.number(0.5, 6))
        self.things.append('mould mould-%d:\n%send\n' % (self.number, ''.join('  %s\n' % line for line in lines)))

    def make_mill(self):
        dice = self.dice
        lines = []
        if not dice.one_in(12):
            lines.append('beater   %sof %s L%s' % (dice.of(['', 'trough ']), dice.number(15, 600, 0), ', at-least %d L' % dice.whole(5, 15) if dice.one_in(4) else ''))
        lines.append('chest    of %s L' % dice.of(['1_200', '2_500', '800']))
        lines.append('vat      of %s L' % dice.number(300, 900, 1))
        lines.append('pot      of 200 L')
        if not dice.one_in(10):
            lines.append('press    of 40 t, on %s' % dice.of(['24 in by 32 in', '%s cm by 90 cm' % dice.number(40, 80)]))
        if not dice.one_in(8):
            lines.append('loft     of %d sheets' % dice.whole(20, 500))
        if not dice.one_in(8):
            lines.append('tub      of 60 L%s' % (', needing %s L' % dice.number(5, 30, 1) if dice.one_in(2) else ''))
        if dice.one_in(2):
            lines.append('parcel   %d sheets' % dice.whole(20, 220))
        self.things.append('mill mill-%d:\n%send\n' % (self.number, ''.join('  %s\n' % line for line in lines)))

    # ---- forming ----

    def form(self):
        dice = self.dice
        common = ['into posts of %d' % dice.whole(5, 60)]
        rest = [self.losing(0, 6), 'couched at ' + dice.share(8, 15), 'trial at ' + dice.share(4, 9)]
        if self.by_measure:
            self.step('form-by-measure', *(rest[:2] + common + rest[2:]))
            return
        heel = [] if dice.one_in(3) else ['heel to ' + dice.of(['next-parcel', 'other-recipe', 'drain'])]
        if self.dips:
            self.step('form-dips', '%d dips' % dice.whole(2, 9), *(common + heel + ['throwing-back ' + dice.share(20, 70), 'retaining ' + dice.share(96, 99.8)] + rest))
            return
        surplus = dice.of(['surplus to beater', 'surplus to beater', 'surplus to chest', 'surplus to drain', 'surplus as mould-drainage', None])
        arguments = common + ([surplus] if surplus else []) + heel + rest + ['retaining ' + dice.share(94, 99.5), 'topped-up at ' + dice.share(2, 3)]
        self.step('form', *arguments)

    # ---- sheets ----

    def spoiling(self, low, high):
        return 'spoiling ' + (self.dice.share(low, high) if not self.dice.one_in(4) else '0 %')

    def dry(self, board=True):
        dice = self.dice
        head = dice.of(['loft-dry', 'loft-dry', 'board-dry' if board else 'loft-dry', 'restrain-dry'])
        arguments = ['for ' + dice.of(['%d d' % dice.whole(1, 5), '%s h' % dice.number(10, 90, 1)]), 'to ' + dice.share(4, 9)]
        if head != 'loft-dry' or not dice.one_in(2):
            arguments.append('shrinking ' + dice.share(0, 4))
        self.step(head, *(arguments + [self.spoiling(0.5, 5)]))

    def pressure(self, low, high):
        pascals = self.dice.number(low, high, 0)
        return self.dice.of([pascals + ' kPa', '%s MPa' % (float(pascals) / 1000), '%s bar' % (float(pascals) / 100)])

    def sheets(self):
        dice = self.dice
        if dice.one_in(6):
            self.step('couch', 'onto "damp cloth"', self.spoiling(0, 4))
        self.step('press', 'at ' + self.pressure(80, 2500), 'for %d min' % dice.whole(5, 40), 'reaching ' + dice.share(32, 45), 'gaining ' + dice.share(5, 14),
                  self.spoiling(0.5, 4))
        if not dice.one_in(4):
            self.step('part', self.spoiling(0, 2))
            if dice.one_in(3):
                arguments = ['at ' + self.pressure(80, 900), '%d times' % dice.whole(1, 5)]
                if dice.one_in(2):
                    arguments.append('reaching ' + dice.share(46, 60))
                self.step('exchange-press', *(arguments + [self.spoiling(0, 1)]))
        self.dry()
        if dice.one_in(4):
            self.step('heat-set', 'at %d °C' % dice.whole(40, 90), 'for 30 min')
        if dice.one_in(6):
            self.step('rest', 'for %d d' % dice.whole(2, 20))
        trimmed = dice.one_in(9)
        if trimmed:
            self.trim()
        if dice.one_in(6):
            name = self.addition('strewn', dice.of(['filler', 'carbonate', 'surface-size']))
            self.step('strew', name, dice.share(0.1, 5, '% of sheet'), self.spoiling(0, 2))
        self.size()
        if dice.one_in(8):
            self.size()           # again, in another bath
        if dice.one_in(3):
            self.step('mature', 'for %d d' % dice.whole(5, 20))
        if dice.one_in(5):
            self.step('plate-press', 'at ' + self.pressure(300, 3000), 'for 10 min', self.spoiling(0, 2))
        if not trimmed and dice.one_in(6):
            self.trim()
        if not dice.one_in(5):
            self.step('sort', 'keeping ' + dice.share(55, 100))
            if dice.one_in(2):
                self.step('count-out', 'into packs of %d' % dice.whole(5, 50))
        if dice.one_in(3):
            self.step('pack')

    def size(self):
        dice = self.dice
        way = dice.below(8)
        if way < 4:
            self.tub_size()
        elif way == 4:
            self.step('brush-size', 'with size-of-all', 'at ' + dice.share(1, 6, '% w/v dry'), 'taking-up %s g/m²' % dice.number(20, 80, 1),
                      *(['weighing %s kg/L' % dice.number(0.97, 1.04)] if dice.one_in(2) else []),
                      *(['%d coats' % dice.whole(1, 2)] if dice.one_in(2) else []),
                      self.spoiling(0, 3), 'leaving-over ' + dice.share(5, 40))
            self.dry(board=False)

    def trim(self):
        """To less than the smallest opening can have become."""
        self.step('trim', 'to %s mm by %s mm' % (self.dice.number(60, 110, 1), self.dice.number(80, 140, 1)), *(['cut'] if self.dice.one_in(2) else ['torn']))

    def tub_size(self):
        dice = self.dice
        arguments = ['with size-of-all', 'at ' + dice.share(0.5, 7, '% w/v dry'), '%d °C' % dice.whole(38, 44),
                     'taking-up ' + dice.share(20, 110, '% of sheet-as-it-is')]
        if dice.one_in(2):
            arguments += ['hardened with hardener-of-all', dice.share(1, 20, '% of size')]
        if dice.one_in(2):
            arguments.append('weighing %s kg/L' % dice.number(0.97, 1.04))
        if dice.one_in(5):
            arguments.append('fresh %d times' % dice.whole(2, 4))
        self.step('tub-size', *(arguments + ['sizing %d sheets/h' % dice.whole(20, 120), self.spoiling(1, 7)]))
        self.dry(board=False)

    # ---- paper, order ----

    def paper(self):
        dice, number = self.dice, self.number
        low, high = (8, 40) if self.dips else (60, 440)
        weight = dice.number(low, high, dice.below(3))
        tolerance = ', mean within 5 %, sheets within ' + dice.of(['10 %', '8 %', '12.5 %']) if dice.one_in(2) else ''
        self.varied = dice.one_in(8)
        self.weight = weight
        lines = ['paper paper-%d:' % number, '  title "Paper %d%s"' % (number, ' {weight in g/m²}' if self.varied else '')]
        if self.varied:
            lines.append('  vary weight over %s g/m², %s g/m²' % (weight, float(weight) + 7))
        lines += ['  mould mould-%d' % number, '  grammage %s%s' % ('weight' if self.varied else weight + ' g/m²', tolerance),
                  '  moisture ' + dice.share(4, 9), '  furnish:'] + self.furnished
        lines += ['  end', '  procedure:'] + self.steps + ['  end', 'end', '']
        return '\n'.join(lines)

    def order(self):
        dice, number = self.dice, self.number
        sure = '' if dice.one_in(5) else ', sure %s %%' % dice.number(50, 99, dice.below(2))
        varied = ', with weight %s g/m²' % self.weight if self.varied else ''
        return 'batch "batch-%d":\n  paper paper-%d%s\n  mill mill-%d\n  sheets %d%s\nend\n' % (number, number, varied, number, dice.whole(1, 300), sure)


def script(seed, count, first=0):
    """COUNT papers, numbered from FIRST. Each has dice of its own, so that any can be made again alone."""
    return SHARED + ''.join(Paper(Dice('%s/%d' % (seed, number)), number).text for number in range(first, first + count))
