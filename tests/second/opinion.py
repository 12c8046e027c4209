"""The second opinion: works a batch out from its order, backwards, in exact fractions.

What the program finds by walking a procedure forwards, again and again, until the sheet weighs what it shall and the charge
makes as many sheets as it must, stands here as closed sums. They are written from the formulas of the trade and of the
design: a sheet's dry mass from its grammage, back over what was laid on it and cut off it, gives the fibre in a couched
sheet; the order, back over what is spoiled, the sheets to form; these, back over the vat, the chest and what the beaters
lose, the fibre to take from the store. Masses are in kg, volumes in L, lengths in m, times in h.

Every formula has a name, and `wronged` makes one of them a millionth too large: a comparison that does not notice it is worth
nothing. What acts through whole numbers alone (so many sheets to a pack) is made twice too large.
"""
import decimal
from decimal import Decimal
from fractions import Fraction

from reader import Quantity, read

ONE = Fraction(1)
NONE = Fraction(0)
WRONG = 1 + Fraction(1, 10 ** 6)
NEAR_WHOLE = Fraction(1, 10 ** 12)    # numbers nearer than this to each other are the same number
decimal.getcontext().prec = 45        # for logarithms, long powers and chances, which fractions cannot hold

THROUGH_WHOLES = {'form: drift', 'grammage: told sheets within share'}
DRYING = {'loft-dry', 'board-dry', 'restrain-dry'}


class NoOpinion(Exception):
    """The procedure is beyond the subset, or asks for what cannot be."""


class NoAnswer(NoOpinion):
    """No fibre at all is too much already: the program must refuse it as well."""


def power(base, exponent):
    if exponent < 8:
        return base ** exponent
    return Fraction((Decimal(base.numerator) / Decimal(base.denominator)) ** exponent)


def round_up(value):
    whole = value.numerator // value.denominator
    return whole if value - whole <= value * NEAR_WHOLE else whole + 1


def round_down(value):
    whole = value.numerator // value.denominator
    return whole + 1 if whole + 1 - value <= value * NEAR_WHOLE else whole


def ten_log(value):
    return Fraction((Decimal(value.numerator) / Decimal(value.denominator)).log10())


def fewest(good, survival, sure):
    """The fewest sheets of which GOOD are left with the chance SURE: the good one that completes the order is the last
    one of so many, and these chances add up."""
    if survival == 1:
        return good
    keeps = Decimal(survival.numerator) / Decimal(survival.denominator)
    wanted = Decimal(sure.numerator) / Decimal(sure.denominator) * (1 - Decimal('1e-12'))
    formed, chance, spoils = good, keeps ** good, 1 - keeps
    total = chance
    while total < wanted:
        formed += 1
        chance = chance * (formed - 1) / (formed - good) * spoils
        total += chance
        if formed > 200000:
            raise NoOpinion('no end of sheets')
    return formed


class Material:
    def __init__(self, block):
        self.name = block.name
        self.numbers = {}
        self.kind, self.soluble = 'other', False
        for line in block.lines:
            for value in line.values.get('', ()):
                if isinstance(value, Quantity):
                    self.numbers[line.head] = value.number
                elif line.head == 'class':
                    self.kind = value
                elif line.head == 'marks':
                    self.soluble = self.soluble or value == 'soluble'
        self.solids = self.numbers.get('solids', 1 - self.numbers.get('moisture', NONE))
        self.retention = self.numbers.get('retention', ONE)
        self.first_pass = self.numbers.get('first-pass')


class Stream:
    """A furnish line. All masses in it but its water are told on its fibre, which the losses of its steps share with them."""
    def __init__(self, material, share):
        self.material = material
        self.share = share
        self.steps = []
        self.left = ONE           # of the fibre that it begins with, at the chest
        self.beside = {}          # at the chest, on its fibre
        self.before = []          # dry matter on its fibre, in front of each step
        self.after = []           # and behind it
        self.given = []           # (material, on its fibre) that each step adds


class Script:
    def __init__(self, text):
        self.blocks = {}
        for block in read(text):
            self.blocks[(block.head, block.name)] = block
        self.materials = {name: Material(block) for (head, name), block in self.blocks.items() if head == 'material'}

    def batches(self):
        return [name for head, name in self.blocks if head == 'batch']


class Opinion:
    """One batch. `figures` holds what came out: (NAME, OF) or (NAME, NUMBER OF THE STEP) to (VALUE, LARGEST TERM)."""

    def __init__(self, script, batch, wronged=None, sites=None):
        self.script = script
        self.wronged = wronged
        self.sites = sites        # names of the formulas that were used; None: nobody asks
        self.figures = {}
        order = script.blocks[('batch', batch)]
        self.order = order
        self.paper = script.blocks[('paper', order.line('paper').names()[0])]
        self.mill = script.blocks[('mill', order.line('mill').names()[0])]
        self.mould = script.blocks[('mould', self.paper.line('mould').names()[0])]
        self.dry_density = self.f('stuff: density of dry matter', Fraction(155, 100))
        self.work()

    # ---- how numbers are asked for and told ----

    def f(self, name, value):
        """VALUE by the formula NAME."""
        if self.sites is not None:
            self.sites.add(name)
        if name == self.wronged:
            return value * (2 if name.endswith(' count') or name in THROUGH_WHOLES else WRONG)
        return value

    def told(self, step, lead, dimension, otherwise=None):
        """The number that the line says behind LEAD; '': anywhere."""
        if lead:
            several = step.values.get(lead, ())
        else:
            several = [value for values in step.values.values() for value in values]
        for value in several:
            if isinstance(value, Quantity) and value.dimension == dimension:
                return self.f('%s: told %s %s' % (step.head, lead, dimension), value.number)
        if otherwise is None:
            raise NoOpinion('line %d does not tell %s' % (step.place, lead or dimension))
        return otherwise

    def has(self, step, lead, dimension):
        return any(isinstance(value, Quantity) and value.dimension == dimension for value in step.values.get(lead, ()))

    def put(self, name, of, value, largest=None):
        self.figures[(name, of)] = (value, largest)

    def of_mill(self, head, lead, dimension, otherwise=None):
        line = self.mill.line(head)
        if line is None:
            if otherwise is None:
                raise NoOpinion('the mill has no ' + head)
            return otherwise
        return self.told(line, lead, dimension, otherwise)

    def room(self, consistency):
        """Litres that a kilogram of stuff takes up."""
        return consistency / self.dry_density + 1 - consistency

    def volume(self, dry, water):
        return dry / self.dry_density + water

    # ---- the order of things ----

    def work(self):
        self.sort_steps()
        for stream in self.streams:
            self.what_is_beside(stream)
        self.what_stuff_holds()
        self.sheet_sizes()
        self.sheets_to_form()
        self.fibre_in_a_sheet()
        self.fibre_in_stuff()
        self.fibre_in_streams()
        self.water_of_stuff()
        self.at_the_vat()
        self.with_the_sheets()
        self.bill()
        self.sheet_figures()

    def sort_steps(self):
        lines = self.paper.blocks['procedure'].lines
        self.places = {id(line): number for number, line in enumerate(lines)}
        names = [line.head for line in lines]
        blend = names.index('blend')
        self.former = next(line for line in lines if line.head in ('form', 'form-dips', 'form-by-measure'))
        formed = lines.index(self.former)
        self.stuff_steps = lines[blend + 1:formed]
        self.sheet_steps = lines[formed + 1:]
        self.streams = []
        for line in self.paper.blocks['furnish'].lines:
            stream = Stream(self.script.materials[line.head], line.values[''][0].number)
            stream.steps = [step for step in lines[:blend] if step.names()[0] == line.head]
            self.streams.append(stream)

    # ---- streams: what is in them beside their fibre ----

    def loss_of(self, step):
        if step.head in ('soak', 'bleach', 'clear', 'dye'):
            return NONE
        lost = self.told(step, 'losing', 'share')
        if step.head == 'dust':
            return self.f('dust: lost', 1 - (1 - lost) ** int(self.told(step, '', 'count', ONE)))
        return self.f(step.head + ': lost', lost)

    def what_is_beside(self, stream):
        beside = {}
        for step in stream.steps:
            dry = 1 + sum(beside.values())
            given = []
            if step.head == 'cook':
                given = [(step.names('with')[0], self.f('cook: dose', self.told(step, 'at', 'on fibre')))]
            elif step.head in ('clear', 'dye'):
                given = [(step.names('with')[0], self.f(step.head + ': dose', self.told(step, 'at', 'on fibre')))]
                if step.head == 'dye' and 'fixed with' in step.values:
                    given.append((step.names('fixed with')[0], self.f('dye: fixed', self.told(step, 'fixed with', 'on fibre'))))
            elif step.head == 'bleach':
                # so many grams to each litre of what stands in the vessel
                thick = self.told(step, 'at', 'share')
                room = self.volume(dry, dry / thick - dry)
                given = [(step.names('with')[0], self.f('bleach: dose', self.told(step, 'at', 'in volume') * room))]
            for name, share in given:
                beside[name] = beside.get(name, NONE) + share
            if step.head == 'clear':
                for name in beside:
                    if self.script.materials[name].kind == 'bleach':
                        beside[name] = NONE
            if step.head == 'wash':
                left = self.carried_over(step)
                for name in beside:
                    if self.script.materials[name].soluble:
                        beside[name] *= left
            stream.left *= 1 - self.loss_of(step)
            stream.before.append(dry)
            stream.after.append(1 + sum(beside.values()))
            stream.given.append(given)
        stream.beside = beside

    def carried_over(self, step):
        fresh = self.told(step, 'rinsing', 'count')
        return self.f('wash: carried over', (1 / (1 + fresh)) ** int(self.told(step, '', 'count')))

    # ---- the stuff: what is in it on its fibre ----

    def what_stuff_holds(self):
        """On the fibre of the stuff. A loss takes as much of each, so that a dose stays what it was."""
        self.holds = {}
        for stream in self.streams:
            for name, share in stream.beside.items():
                self.holds[name] = self.holds.get(name, NONE) + share * stream.share
        self.doses = []           # (step, material, dose)
        for step in self.stuff_steps:
            if step.head == 'add':
                self.doses.append((step, step.names()[0], self.f('add: dose', self.told(step, '', 'on fibre'))))
            elif step.head == 'colour':
                self.doses.append((step, step.names('with')[0], self.f('colour: dose', self.colour_dose(step))))
                if 'fixed with' in step.values:
                    self.doses.append((step, step.names('fixed with')[0], self.f('colour: fixed', self.told(step, 'fixed with', 'on fibre'))))
        for step, name, dose in self.doses:
            self.holds[name] = self.holds.get(name, NONE) + dose
        self.dry_on_fibre = 1 + sum(self.holds.values())
        self.sheet_on_fibre = self.f('forming: dry sheet on its fibre',
                                     1 + sum(share * self.script.materials[name].retention for name, share in self.holds.items()))

    def colour_dose(self, step):
        """Behind the colour stands its dose; the fixer has its own."""
        return self.told(step, 'with', 'on fibre')

    # ---- the sheet: its size, step by step, and what lies on it ----

    def sheet_sizes(self):
        opening = self.mould.line('opening').size()
        self.opening_area = self.f('forming: opening', opening[0] * opening[1])
        length, width, moisture, shrunk = opening[0], opening[1], None, ONE
        fibres = sum(stream.share for stream in self.streams)
        unspent = sum(stream.share * stream.material.numbers.get('shrink', NONE) for stream in self.streams) / fibres
        unspent = self.f('drying: what the fibres ask for', unspent)
        self.areas, self.kept_of_cut = [], []
        self.moistures = []       # in front of each step, once the sheet was dry
        for step in self.sheet_steps:
            self.areas.append(length * width)
            self.moistures.append(moisture)
            cut = ONE
            if step.head in DRYING:
                draw = self.told(step, 'shrinking', 'share', unspent)
                draw = self.f(step.head + ': drawn together', draw)
                length, width, shrunk, unspent = length * (1 - draw), width * (1 - draw), shrunk * (1 - draw), NONE
                moisture = self.told(step, 'to', 'share')
            elif step.head == 'trim':
                format_ = step.size('to')
                cut = self.f('trim: kept', format_[0] * format_[1] / (length * width))
                length, width = format_
            self.kept_of_cut.append(cut)
        self.length, self.width, self.shrunk = length, width, shrunk
        self.area = length * width

    # ---- the order ----

    def spoils(self, step):
        if step.head in DRYING or step.head in ('press', 'part', 'exchange-press', 'tub-size', 'brush-size', 'plate-press', 'couch', 'strew'):
            return self.f(step.head + ': spoiled', self.told(step, 'spoiling', 'share'))
        if step.head == 'sort':
            return self.f('sort: spoiled', 1 - self.told(step, 'keeping', 'share'))
        return NONE

    def sheets_to_form(self):
        self.survives = []        # in front of each step, of those that were formed
        survival = ONE
        for step in self.sheet_steps:
            self.survives.append(survival)
            survival *= 1 - self.spoils(step)
        self.survival = survival
        line = self.order.line('sheets')
        self.good = int(line.values[''][0].number)
        self.sure = line.values['sure'][0].number if 'sure' in line.values else Fraction(9, 10)
        least = fewest(self.good, survival, self.sure)
        parcel = self.mill.line('parcel')
        most = int(parcel.values[''][0].number) if parcel is not None else least
        self.parcels = -(-least // most)
        self.of_parcel = -(-least // self.parcels)
        self.formed = self.f('order: sheets to form', self.parcels * self.of_parcel)
        self.put('sheets-good', '', self.good)
        self.put('sheets-formed', '', self.formed)
        self.put('parcels', '', self.parcels)
        self.put('survival', '', survival)

    # ---- backwards over the sheet ----

    def liquor_density(self, step, strength):
        if 'weighing' in step.values:
            return self.told(step, 'weighing', 'in volume')
        return self.f(step.head + ': liquor density', Fraction(99, 100) + Fraction(25, 100) * strength)

    def hardened(self, step):
        return self.told(step, 'hardened with', 'of size') if 'hardened with' in step.values else NONE

    def size_on(self, step, number):
        """Dry size on the dry sheet."""
        strength = self.told(step, 'at', 'w/v dry')
        pick_up = self.told(step, 'taking-up', 'of sheet-as-it-is')
        return self.f('tub-size: size on', pick_up * strength / self.liquor_density(step, strength) / (1 - self.moistures[number]))

    def brushed(self, step, number):
        """Liquor on a sheet, in kg, and the dry size in it."""
        strength = self.told(step, 'at', 'w/v dry')
        drunk = self.told(step, 'taking-up', 'on area') * self.areas[number] * self.told(step, 'coats', 'count', self.told(step, '', 'count', ONE))
        return drunk, self.f('brush-size: size', drunk * strength / self.liquor_density(step, strength))

    def fibre_in_a_sheet(self):
        grammage = self.paper.line('grammage')
        weight = grammage.values[''][0]
        if not isinstance(weight, Quantity):
            values = self.order.line('paper').values['with']
            weight = values[values.index(weight) + 1]
        self.aim = weight.number
        self.drift = self.f('form: drift', self.told(grammage, 'sheets within', 'share', Fraction(1, 10)) / 2)
        self.room_moisture = self.paper.line('moisture').values[''][0].number
        self.finished = self.f('paper: dry sheet', self.aim * (1 - self.room_moisture) * self.area)
        dry, behind = self.finished, ONE
        self.dries = [None] * len(self.sheet_steps)   # in front of each step
        self.cut_behind = [ONE] * len(self.sheet_steps)
        for number in range(len(self.sheet_steps) - 1, -1, -1):
            step = self.sheet_steps[number]
            self.cut_behind[number] = behind
            if step.head == 'trim':
                dry /= self.kept_of_cut[number]
                behind *= self.kept_of_cut[number]
            elif step.head == 'tub-size':
                dry /= 1 + self.size_on(step, number) * (1 + self.f('tub-size: hardener', self.hardened(step)))
            elif step.head == 'brush-size':
                dry -= self.brushed(step, number)[1]
            elif step.head == 'strew':
                dry /= 1 + self.f('strew: dose', self.told(step, '', 'of sheet'))
            self.dries[number] = dry
        if dry <= 0:
            raise NoAnswer('the size alone weighs more than the sheet')
        self.as_formed, self.cut_in_all = dry, behind
        self.fibre = self.f('forming: fibre in a sheet', dry / self.sheet_on_fibre)
        self.put('fibre-per-sheet', '', self.fibre)

    # ---- backwards over the vat and the chest ----

    def fibre_in_stuff(self):
        """Of one parcel. A sheet takes its fibre and what is lost beside it from the vat; what is drawn off to hold the level
        takes fibre with it, by the balance of the vat: thick stuff in, sheets and surplus out, at one level."""
        step = self.former
        leaving = self.f(step.head + ': leaving the vat', self.fibre / (1 - self.told(step, 'losing', 'share')))
        wanted = leaving * self.of_parcel
        if step.head != 'form-by-measure':
            charge = next(line for line in self.stuff_steps if line.head == 'charge-vat')
            thin = self.told(charge, 'to', 'share')
            self.thin = thin
            self.in_vat = self.f('charge-vat: concentration', thin / self.room(thin) / self.dry_on_fibre)
            self.heel = self.f('charge-vat: heel', self.in_vat * self.of_mill('vat', 'of', 'volume'))
            heel_to = (step.names('heel to') or ['drain'])[0]
            self.heel_share = Fraction(1, self.parcels) if heel_to == 'next-parcel' else ONE
            self.heel_share = self.f(step.head + ': heel to ' + heel_to, self.heel_share)
            self.pass_once = self.told(step, 'retaining', 'share')
        if step.head == 'form':
            couched = self.told(step, 'couched at', 'share')
            self.couched_room = self.f('form: room of a couched sheet', self.as_formed / couched * self.room(couched))
            self.dip = self.f('form: dip', self.fibre / self.pass_once / self.in_vat)
            surplus = (step.names('surplus to') or step.names('surplus as') or [''])[0]
            self.drawn = NONE
            if surplus == 'drain':
                self.drawn = self.in_vat
            elif surplus == 'mould-drainage':
                self.drawn = (self.dip * self.in_vat - self.fibre) / (self.dip - self.couched_room)
            if self.drawn:
                self.drawn = self.f('form: fibre in the surplus, ' + surplus, self.drawn)
                thick = self.told(step, 'topped-up at', 'share')
                in_thick = thick / self.room(thick) / self.dry_on_fibre
                top_up = self.f('form: top-up reckoned with', (leaving - self.drawn * self.couched_room) / (in_thick - self.drawn))
                if leaving > in_thick * self.couched_room: # else the level falls, and nothing runs over
                    wanted = in_thick * top_up * self.of_parcel
        if step.head != 'form-by-measure':
            wanted += self.heel * self.heel_share
        self.leaving = leaving
        self.fibre_at = {}        # in front of each step between chest and mould
        for line in reversed(self.stuff_steps):
            if line.head == 'strain':
                wanted /= 1 - self.f('strain: lost', self.told(line, 'losing', 'share'))
            self.fibre_at[id(line)] = wanted
        self.charge = self.f('blend: fibre charge', wanted)
        self.put('fibre-charge', '', self.charge)

    # ---- forwards again, with all masses known: water ----

    def fibre_in_streams(self):
        """What is taken from the store, and what each step finds. Water is lost with what holds it."""
        self.billed = {}          # of one parcel, dry
        self.chest_water = NONE
        for stream in self.streams:
            blended = self.charge * stream.share
            fibre = self.f('blend: fibre of a line', blended / stream.left)
            self.add_to_bill(stream.material.name, fibre)
            water = fibre / stream.material.solids - fibre
            for number, step in enumerate(stream.steps):
                for name, share in stream.given[number]:
                    self.add_to_bill(name, share * fibre)
                keeps = 1 - self.loss_of(step)
                dry, later = fibre * stream.before[number], fibre * stream.after[number]
                place = self.places[id(step)]
                if step.head == 'beat':
                    water = self.beat(step, place, dry, water)
                elif step.head == 'hand-beat':
                    water = self.f('hand-beat: water', dry / self.told(step, 'to', 'share') - dry)
                elif step.head == 'bleach':
                    water = self.f('bleach: water', dry / self.told(step, 'at', 'share') - dry)
                if step.head == 'cook':
                    water = self.f('cook: liquor', fibre * self.told(step, 'liquor', 'ratio'))
                    self.put('cooking-liquor', place, water)
                    self.put('alkali-mass', place, fibre * stream.given[number][0][1])
                elif step.head == 'wash':
                    self.put('carried-over', place, self.carried_over(step))
                    water = self.f('wash: water', later * keeps * (1 / self.told(step, 'drained-to', 'share') - 1))
                else:
                    water *= keeps
                fibre *= keeps
            self.chest_water += water

    def beat(self, step, place, dry, water):
        """Loads of one size, and the trough filled to the level at which the roll works. The water of the stuff that leaves it."""
        most = self.told(step, 'at', 'share')
        hours = self.told(step, 'for', 'time')
        trough = self.of_mill('beater', 'of', 'volume', NONE)
        loads = 1
        if trough:
            loads = round_up(dry / (trough * most / self.room(most)))
        loads = self.f('beat: loads', loads)
        load = dry / loads
        thickness = most
        if trough:
            least = self.of_mill('beater', 'at-least', 'volume', trough)
            filled = max(least, min(trough, load / most * self.room(most)))
            # litres of dry matter and of water fill it; a litre of water is a kilogram
            thickness = load / (load + filled - load / self.dry_density)
        thickness = self.f('beat: consistency', thickness)
        self.put('loads', place, loads)
        self.put('load-dry', place, load)
        self.put('load-consistency', place, thickness)
        self.put('load-volume', place, self.f('beat: volume', load / thickness * self.room(thickness)))
        self.put('load-water', place, self.f('beat: water', load / thickness - (dry + water) / loads), load / thickness)
        self.put('beating-time', place, self.f('beat: time', hours * loads))
        return dry / thickness - dry

    def add_to_bill(self, name, mass):
        self.billed[name] = self.billed.get(name, NONE) + mass

    def water_of_stuff(self):
        fibre, water = self.charge, self.chest_water
        # what each line of the furnish brings beside its fibre is in the stuff from the start
        dry = self.charge * (1 + sum(share * stream.share for stream in self.streams for share in stream.beside.values()))
        for step in self.stuff_steps:
            here = self.fibre_at[id(step)]
            place = self.places[id(step)]
            if step.head in ('add', 'colour'):
                for of, name, dose in self.doses:
                    if of is not step:
                        continue
                    added = dose * here
                    self.add_to_bill(name, added)
                    as_bought = added / self.script.materials[name].solids
                    made = as_bought
                    if step.head == 'add':
                        lead = 'as slurry of' if 'as slurry of' in step.values else 'cooked at'
                        mixed = lead in step.values
                        if mixed:
                            made = self.f('add: ' + lead, added / self.told(step, lead, 'share'))
                        self.put('slurry-water', place, made - as_bought if mixed else None, made)
                    water += self.f(step.head + ': water', made - added)
                    dry += added
            elif step.head == 'strain':
                keeps = 1 - self.told(step, 'losing', 'share')
                water, dry = water * keeps, dry * keeps
            elif step.head == 'charge-vat':
                self.charge_vat(place, here, dry, water)
        self.last_stuff = (self.charge, dry, water)

    def charge_vat(self, place, fibre, dry, water):
        volume = self.f('charge-vat: chest', self.volume(dry, water))
        vat = self.of_mill('vat', 'of', 'volume')
        self.in_chest = fibre / volume
        drawn = self.f('charge-vat: from the chest', self.heel / self.in_chest)
        self.put('chest-consistency', place, self.f('charge-vat: chest consistency', dry / (dry + water)))
        self.put('chest-volume', place, volume)
        self.put('chest-concentration', place, self.in_chest)
        self.put('vat-consistency', place, self.thin)
        self.put('vat-concentration', place, self.in_vat)
        self.put('vat-heel', place, self.heel)
        self.put('vat-from-chest', place, drawn)
        self.put('vat-water', place, self.f('charge-vat: water', vat - drawn), vat)

    def between_top_ups(self, depletion):
        """The most sheets of which the last holds no less than the lightest that may be, when the first holds the heaviest."""
        span, left, sheets = (1 - self.drift) / (1 + self.drift), 1 - depletion, 1
        if left <= 0:
            raise NoOpinion('the vat is emptied by one sheet')
        span, left = Decimal(span.numerator) / Decimal(span.denominator), Decimal(left.numerator) / Decimal(left.denominator)
        sheets = int(span.ln() / left.ln() * (1 + Decimal('1e-12'))) + 1
        return sheets

    def at_the_vat(self):
        step, place = self.former, self.places[id(self.former)]
        head = step.head
        self.post = self.told(step, 'into posts of', 'count')
        trial = self.told(step, 'trial at', 'share')
        self.couched = self.told(step, 'couched at', 'share')
        self.put('sheets-a-post', place, self.post)
        self.put('trial-sheet-dry', place, self.as_formed)
        self.trial_dry_share = 1 - trial
        self.put('trial-sheet-as-it-is', place, self.f(head + ': trial sheet', self.as_formed / (1 - trial)))
        self.put('couched-mass', place, self.f(head + ': couched sheet', self.as_formed / self.couched))
        if head == 'form-by-measure':
            fibre, dry, water = self.last_stuff
            fibre = self.leaving * self.of_parcel
            self.put('jug', place, self.f(head + ': jug', self.fibre / (fibre / self.volume(dry, water))))
            return
        depletion = self.f(head + ': depletion', self.leaving / self.heel)
        sheets = self.f(head + ': sheets between top-ups', self.between_top_ups(depletion))
        mould = self.mould.line('mass')
        if head == 'form':
            dip = self.dip
        else:
            dips = self.told(step, '', 'count')
            self.put('fibre-a-dip', place, self.f(head + ': fibre a dip', self.fibre / dips))
            dip = self.f(head + ': dip', self.fibre / dips / self.pass_once / self.in_vat / (1 - self.told(step, 'throwing-back', 'share')))
        self.put('dip-volume', place, dip)
        self.put('lifted-mass', place, self.f(head + ': lifted', dip / self.room(self.thin) + (mould.values[''][0].number if mould else 0)))
        self.put('depletion', place, depletion)
        self.put('sheets-per-top-up', place, sheets)
        if head == 'form-dips':
            self.put('top-up', place, self.f(head + ': top-up', self.leaving / self.in_chest))
            return
        self.put('pool-depth', place, self.f('form: pool', dip / self.opening_area / 1000))
        self.put('starting-concentration', place,
                 self.f('form: starting concentration', 2 * self.in_vat / (1 + power(1 - depletion, int(sheets) - 1))))
        top_up = self.f('form: top-up', (self.leaving - self.drawn * self.couched_room) / (self.in_chest - self.drawn))
        rise = self.f('form: rise', top_up - self.couched_room)
        surplus = self.f('form: surplus', rise * self.of_parcel)
        largest = max(abs(top_up), self.couched_room)
        self.put('top-up', place, top_up, largest)
        self.put('level-rise', place, rise, largest)
        self.put('surplus', place, surplus, largest * self.of_parcel)
        self.put('surplus-fibre', place, self.f('form: fibre of the surplus', surplus * self.drawn), largest * self.of_parcel * self.drawn)

    # ---- forwards over the sheet ----

    def press_force(self, step, place):
        line = self.mill.line('press')
        if line is None:
            self.put('press-force', place, None)
            return
        bed = line.size('on')
        force = self.told(step, 'at', 'pressure') * bed[0] * bed[1] / Fraction('9.80665')
        self.put('press-force', place, self.f(step.head + ': force', force))

    def with_the_sheets(self):
        self.lying = {}           # in one finished sheet, kg
        self.sheet_bill = {}      # of the whole batch, kg
        for name, share in self.holds.items():
            self.lying[name] = self.f('forming: in a sheet', self.fibre * share * self.script.materials[name].retention) * self.cut_in_all
        mass = self.as_formed / self.couched
        for number, step in enumerate(self.sheet_steps):
            dry, place = self.dries[number], self.places[id(step)]
            entering = self.formed * self.survives[number]
            if step.head == 'press':
                solids = self.told(step, 'reaching', 'share') + self.told(step, 'gaining', 'share') * ten_log(self.told(step, 'at', 'pressure') / 10 ** 6)
                solids = self.f('press: solids', solids)
                self.put('posts', place, self.f('press: posts', round_up(entering / self.post)))
                self.put('post-mass', place, self.f('press: post', mass * self.post))
                self.put('pressed-solids', place, solids)
                self.put('water-pressed', place, self.f('press: water', mass - dry / solids), mass)
                self.press_force(step, place)
                mass = dry / solids
            elif step.head == 'exchange-press':
                solids = self.f('exchange-press: solids', self.told(step, 'reaching', 'share', dry / mass))
                self.put('pressed-solids', place, solids)
                self.put('water-pressed', place, self.f('exchange-press: water', mass - dry / solids), mass)
                self.press_force(step, place)
                mass = dry / solids
            elif step.head in DRYING:
                mass = self.dry_sheet(step, place, dry, mass, entering)
            elif step.head == 'tub-size':
                mass = self.tub_size(step, number, place, dry, mass, entering)
            elif step.head == 'brush-size':
                mass = self.brush_size(step, number, place, mass, entering)
            elif step.head == 'strew':
                share = self.told(step, '', 'of sheet')
                name = step.names()[0]
                self.lie_on(name, share * dry, number)
                self.sheet_bill[name] = self.sheet_bill.get(name, NONE) + self.f('strew: bill', entering * share * dry)
                mass *= 1 + share
            elif step.head == 'trim':
                mass *= self.kept_of_cut[number]
            elif step.head == 'plate-press':
                self.press_force(step, place)
            elif step.head == 'count-out':
                self.put('packs', place, self.f('count-out: packs', round_down(entering / self.told(step, 'into packs of', 'count'))))

    def dry_sheet(self, step, place, dry, mass, entering):
        moisture = self.told(step, 'to', 'share')
        left = dry / (1 - moisture)
        self.put('drying-time', place, self.f(step.head + ': time', self.told(step, 'for', 'time')))
        self.put('water-dried', place, self.f(step.head + ': water', mass - left), mass)
        if step.head == 'loft-dry':
            room = self.of_mill('loft', 'of', 'count', NONE)
            self.put('loft-loads', place, self.f('loft-dry: loads', round_up(entering / room)) if room else None)
        return left

    def lie_on(self, name, mass, number):
        self.lying[name] = self.lying.get(name, NONE) + mass * self.cut_behind[number]

    def tub_size(self, step, number, place, dry, mass, entering):
        strength = self.told(step, 'at', 'w/v dry')
        density = self.liquor_density(step, strength)
        size_on, hardener = self.size_on(step, number), self.hardened(step)
        drunk = self.told(step, 'taking-up', 'of sheet-as-it-is') * mass
        sheet = self.f('tub-size: liquor a sheet', drunk / density)
        baths = self.told(step, 'fresh', 'count', ONE)
        liquor = self.f('tub-size: liquor', round_up(entering) * sheet + baths * self.of_mill('tub', 'needing', 'volume', NONE))
        self.put('sheets-entering', place, self.f('tub-size: sheets', entering))
        self.put('liquor-a-sheet', place, sheet)
        self.put('sheets-per-litre', place, self.f('tub-size: sheets a litre', 1 / sheet))
        self.put('liquor-volume', place, liquor)
        self.put('size-mass', place, self.f('tub-size: size', strength * liquor))
        self.put('size-on', place, size_on)
        self.put('bath-hours', place, self.f('tub-size: hours', round_up(entering) / self.told(step, 'sizing', 'rate')))
        names = step.names('with')
        self.lie_on(names[0], size_on * dry, number)
        self.sheet_bill[names[0]] = self.sheet_bill.get(names[0], NONE) + self.f('tub-size: bill', strength * liquor)
        if hardener:
            alum = step.names('hardened with')[0]
            self.lie_on(alum, size_on * hardener * dry, number)
            self.sheet_bill[alum] = self.sheet_bill.get(alum, NONE) + self.f('tub-size: bill of hardener', hardener * strength * liquor)
        # The water of the sheet as drawn: what it weighed and drank. What is weighed out for the hardener is told dry.
        return mass + drunk

    def brush_size(self, step, number, place, mass, entering):
        strength = self.told(step, 'at', 'w/v dry')
        drunk, size = self.brushed(step, number)
        sheet = self.f('brush-size: liquor a sheet', drunk / self.liquor_density(step, strength))
        liquor = self.f('brush-size: liquor', round_up(entering) * sheet * (1 + self.told(step, 'leaving-over', 'share')))
        self.put('sheets-entering', place, self.f('brush-size: sheets', entering))
        self.put('liquor-a-sheet', place, sheet)
        self.put('liquor-volume', place, liquor)
        self.put('size-mass', place, self.f('brush-size: size in all', strength * liquor))
        self.put('size-on', place, self.f('brush-size: size on', size / self.dries[number]))
        name = step.names('with')[0]
        self.lie_on(name, size, number)
        self.sheet_bill[name] = self.sheet_bill.get(name, NONE) + self.f('brush-size: bill', strength * liquor)
        return mass + drunk

    # ---- what is told in the end ----

    def bill(self):
        whole = {name: mass * self.parcels for name, mass in self.billed.items()}
        for name, mass in self.sheet_bill.items():
            whole[name] = whole.get(name, NONE) + mass
        for name, mass in whole.items():
            self.put('dry-mass', name, self.f('bill: dry', mass))
            self.put('weigh-out', name, self.f('bill: weigh out', mass / self.script.materials[name].solids))

    def sheet_figures(self):
        kept = self.cut_in_all
        fibre = self.fibre * kept
        for stream in self.streams:
            name = stream.material.name
            self.lying[name] = self.lying.get(name, NONE) + fibre * stream.share
        dry = self.finished
        for name, mass in self.lying.items():
            self.put('in-a-sheet', name, mass)
            self.put('share', name, self.f('sheet: share', mass / dry))
        materials = self.script.materials
        given = sum(mass * materials[name].numbers.get('counts-as-carbonate', NONE) for name, mass in self.lying.items())
        used = sum(mass * materials[name].numbers.get('uses-up-carbonate', NONE) for name, mass in self.lying.items())
        given, used = self.f('sheet: carbonate given', given), self.f('sheet: carbonate used up', used)
        largest = max(given, used)
        self.put('carbonate-given', '', given)
        self.put('carbonate-used-up', '', used)
        self.put('carbonate-left', '', given - used, largest)
        self.put('carbonate-given-grammage', '', given / self.area)
        self.put('carbonate-left-grammage', '', (given - used) / self.area, largest / self.area)
        self.put('carbonate-share', '', (given - used) / dry, largest / dry)
        self.put('alkaline-reserve', '', self.f('sheet: alkaline reserve', (given - used) / dry / Fraction(50, 1000)), largest / dry * 20)
        self.put('reserve-used-up', '', used / dry * 20)
        self.put('size-share', '', self.sum_of('surface-size') / dry)
        self.put('internal-size-retained', '', self.f('sheet: internal size', self.sum_of('internal-size') / fibre))
        self.put('finished-moisture', '', self.room_moisture)
        self.put('finished-grammage', '', self.aim)
        self.put('dry-grammage', '', self.f('sheet: dry grammage', self.aim * (1 - self.room_moisture)))
        before = self.f('sheet: before sizing', self.as_formed * kept / self.area)
        self.put('grammage-before-sizing', '', before)
        self.put('waterleaf-grammage', '', self.f('sheet: waterleaf', before / self.trial_dry_share))
        self.put('fibre-grammage', '', self.f('sheet: fibre grammage', fibre / self.area))
        self.put('sheet-length', '', self.length)
        self.put('sheet-width', '', self.width)
        self.put('sheet-area', '', self.area)
        self.put('sheet-mass', '', self.f('sheet: mass', self.aim * self.area))
        self.put('shrinkage', '', 1 - self.shrunk)
        self.put('pounds-per-ream', '', self.f('sheet: pounds', self.aim * Fraction('0.5588') * Fraction('0.762') * 500))
        self.put('reconciled', '', ONE)
        for stream in self.streams:
            self.put('in-stuff', stream.material.name, stream.share)
        for name, share in self.holds.items():
            self.put('in-stuff', name, self.f('forming: in the stuff', share))
        if self.former.head != 'form-by-measure':
            self.precharges()

    def precharges(self):
        """The vat holds of each material what the stuff holds of it, on its fibre. One passage keeps the share FIRST-PASS of it, the
        whole run the share RETENTION: so much more must stand in the vat for the first sheet to be like the others."""
        for name, share in self.holds.items():
            material = self.script.materials[name]
            if material.first_pass is not None:
                more = material.retention / material.first_pass - 1
                self.put('precharge', name, self.f('charge-vat: precharge', self.heel * share * more), self.heel * share)

    def sum_of(self, kind):
        return sum((mass for name, mass in self.lying.items() if self.script.materials[name].kind == kind), NONE)
