"""Holds the program against the second opinion: random papers, worked out by both.

    second.py COUNT SEED [--first NUMBER] [--command PROGRAM] [--amounts PROGRAM] [--wrong] [FILE ...]

COUNT papers are made from SEED, from the one of that NUMBER on, and FILEs are compared, too. One script in SCRIPTS_A_COMMAND goes through the command line
(`weigh --json`, rules and all), the others through `amounts`, which gives all digits and passes over the rules. With --wrong each
formula of the second opinion is made a millionth too large in turn, and that must be noticed.

Counts must be the same number. All else must agree to a part in 10^9 of itself; where it is a difference of larger terms
(level-rise, water-pressed, precharge and the like) of the largest of them. What is not compared stands in NOT_COMPARED.
"""
import collections
import json
import os
import re
import subprocess
import sys
import tempfile
import time

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

import opinion as opinions  # noqa: E402
import reader               # noqa: E402
import recipes              # noqa: E402

PAPERS_A_SCRIPT = 100
SCRIPTS_A_COMMAND = 10
PAPERS_A_COMMAND = 20         # of a script that goes through the command line, where every rule speaks
TOLERANCE = 1e-9
MOST_SHOWN = 5

# Told by tables of the trade, or of materials that these papers have not; or rounded to a scale.
NOT_COMPARED = frozenset('''crowding scale-step lignin-estimate kappa-estimate cotton-share linter-share rag-share linen-share hemp-share
    other-fibre-share tear-limit tear-limit-by-index thickness'''.split())
COUNTS = frozenset('sheets-good sheets-formed parcels loads posts loft-loads packs sheets-per-top-up sheets-a-post'.split())
OWN_FIGURES = re.compile(r'^reckon ([a-z0-9-]+)', re.MULTILINE)
FACTORS = {unit: float(factor) for unit, (dimension, factor) in reader.UNITS.items()}
FACTORS.update({'': 1.0, None: 1.0})


class Found:
    """What the program made of one batch: like `figures` of an opinion."""
    def __init__(self):
        self.figures = {}
        self.steps = []

    def put(self, name, of, number, unit):
        if name in NOT_COMPARED:
            return
        self.figures[(name, of)] = None if number is None else number * FACTORS.get(unit, 1.0)


def from_lines(text):
    batches, found = {}, None
    for line in text.splitlines():
        part = line.split('\t')
        if part[0] == 'B':
            found = batches[part[1]] = Found()
        elif part[0] == 'S':
            found.steps.append(part[1])
        elif part[0] == 'W':
            found.put('dry', part[1], float(part[2]), part[3])
            found.put('weighed', part[1], float(part[4]), part[5])
        else:
            of = len(found.steps) - 1 if part[0] == 'G' else part[2]
            found.put(part[1], of, None if part[3] == 'none' else float(part[3]), part[4])
    return batches


def from_json(text):
    batches = {}
    for paper in json.loads(text)['papers']:
        found = batches[paper['batch']] = Found()

        def put(name, of, quantity):
            found.put(name, of, quantity and quantity['value'], quantity and quantity['unit'])
        for name, figure in paper['figures'].items():
            if figure and 'values' in figure:
                for of, quantity in figure['values'].items():
                    put(name, of, quantity)
            else:
                put(name, '', figure)
        for number, step in enumerate(paper['steps']):
            found.steps.append(step['step'])
            for name, quantity in step['figures'].items():
                put(name, number, quantity)
        for line in paper['weigh']:
            put('dry', line['material'], line['dry'])
            put('weighed', line['material'], line['weigh-out'])
    return batches


def differs(name, wanted, found):
    """Why FOUND is not WANTED, a (value, largest term); '' where it is."""
    value, largest = wanted
    if value is None or found is None:
        return '' if value is found else 'one of them is not told'
    if name in COUNTS:
        return '' if found == value else 'they must be the same number'
    number = float(value)
    size = max(abs(number), abs(float(largest)) if largest is not None else 0.0)
    return '' if abs(found - number) <= TOLERANCE * size else 'off by %.3g of it' % (abs(found - number) / size if size else float('inf'))


def compare(opinion, found, own=()):
    """What differs, in words. OWN: figures that the script declares itself, of which the second opinion knows nothing."""
    said, figures = [], dict(opinion.figures)
    for material in [of for name, of in figures if name == 'weigh-out']:
        figures[('dry', material)] = figures[('dry-mass', material)]
        figures[('weighed', material)] = figures[('weigh-out', material)]
    for key, wanted in figures.items():
        if key not in found.figures:
            if wanted[0] is not None:
                said.append('%s (%s): the program does not tell it' % key)
            continue
        why = differs(key[0], wanted, found.figures[key])
        if why:
            said.append('%s (%s): the program has %s, the second opinion %s: %s' %
                        (key + (found.figures[key], wanted[0] if wanted[0] is None else '%.15g' % float(wanted[0]), why)))
    for key, number in found.figures.items():
        if key not in figures and number and key[0] not in own and not (key[0] in ('share', 'in-a-sheet') and number == 0):
            said.append('%s (%s): the second opinion does not have it; the program tells %.15g' % (key + (number,)))
    return said


class Test:
    def __init__(self, seed, command, amounts):
        self.seed, self.command, self.amounts = seed, command, amounts
        self.passed = self.failed = 0
        self.by_command = self.figures = self.without_answer = 0
        self.steps = collections.Counter()
        self.kept = []            # (text, batch, what the program found), for `wrong`
        self.sites = set()
        self.folder = tempfile.TemporaryDirectory()

    def fail(self, text):
        self.failed += 1
        if self.failed <= MOST_SHOWN:
            print(text, flush=True)

    def start(self, text, by_command):
        """The program, begun: it works while the second opinion does."""
        handle, path = tempfile.mkstemp('.wleaf', dir=self.folder.name)
        with os.fdopen(handle, 'w', encoding='utf-8') as file:
            file.write(text)
        words = [self.command, 'weigh', path, '--json'] if by_command else [self.amounts, path]
        said = open(path + '.said', 'w+', encoding='utf-8')
        return path, subprocess.Popen(words, stdout=said, stderr=subprocess.PIPE, stdin=subprocess.DEVNULL), said

    def end(self, started, by_command):
        path, process, said = started
        trouble = process.communicate()[1].decode('utf-8', 'replace')
        said.seek(0)
        text = said.read()
        said.close()
        os.unlink(path)
        os.unlink(path + '.said')
        # by the command line rules speak of what nobody would do: that is no trouble here, and the amounts stand beside it
        if process.returncode not in ((0, 1) if by_command else (0,)):
            return {}, trouble
        return (from_json if by_command else from_lines)(text), trouble

    def one_script(self, name, text, by_command, keep):
        started = self.start(text, by_command)
        script, worked = opinions.Script(text), {}
        for batch in script.batches():
            try:
                worked[batch] = opinions.Opinion(script, batch, sites=self.sites if keep else None)
            except opinions.NoAnswer:
                worked[batch] = None
            except Exception as why:                # noqa: BLE001: whatever it is, it is told with its script
                worked[batch] = '%s: %s' % (type(why).__name__, why)
        found, trouble = self.end(started, by_command)
        if not found and len(worked) > 1 and None in worked.values(): # one that cannot be made takes the others with it: each alone
            for batch in worked:
                number = int(batch.rsplit('-', 1)[-1])
                self.one_script('seed %s, paper %d' % (self.seed, number), recipes.script(self.seed, 1, number), False, False)
            return
        for batch, opinion in worked.items():
            self.one_batch(name, text, batch, opinion, found.get(batch), trouble)
            if keep and batch in found and isinstance(opinion, opinions.Opinion):
                self.kept.append((script, batch, found[batch]))
        self.by_command += len(worked) if by_command else 0

    def one_batch(self, name, text, batch, opinion, found, trouble):
        if opinion is None:
            said = [] if found is None and 'No amount of fibre makes' in trouble else ['the second opinion has no answer, the program has: ' + trouble.strip()[:500]]
            self.without_answer += not said
        elif isinstance(opinion, str):
            said = ['the second opinion has none: ' + opinion]
        elif found is None:
            said = ['the program did not work it out: ' + trouble.strip()[:500]]
        else:
            said = compare(opinion, found, OWN_FIGURES.findall(text))
            self.figures += len(opinion.figures)
            self.steps.update(found.steps)
        if not said:
            self.passed += 1
            return
        number = batch.rsplit('-', 1)[-1]   # of a paper made by chance, which is made again alone
        alone = recipes.script(self.seed, 1, int(number)) if name.startswith('seed ') else ''
        self.fail('%s, %s:\n  %s\n%s' % (name, batch, '\n  '.join(said[:12]), alone))

    def wrong(self):
        """Each formula in turn a millionth too large: some batch must then come out otherwise."""
        proved = set()
        for site in sorted(self.sites):
            for script, batch, found in self.kept:
                try:
                    noticed = compare(opinions.Opinion(script, batch, wronged=site), found)
                except opinions.NoOpinion:
                    noticed = True
                if noticed:
                    self.passed += 1
                    proved.add(site.split(':')[0])
                    break
            else:
                self.fail('the formula "%s", made wrong, is not noticed in %d papers' % (site, len(self.kept)))
        for step in sorted(STEPS - WITHOUT_AMOUNTS - proved):
            self.fail('no formula of %s was made wrong' % step)


def main(words):
    options = {'--first': '0', '--command': 'build/waterleaf', '--amounts': 'build/tests/second/amounts'}
    plain, wrong = [], False
    while words:
        word = words.pop(0)
        if word in options:
            options[word] = words.pop(0)
        elif word == '--wrong':
            wrong = True
        else:
            plain.append(word)
    count, seed, files = int(plain[0]), plain[1], plain[2:]
    test = Test(seed, options['--command'], options['--amounts'])
    began = time.monotonic()
    for file in files:
        with open(file, encoding='utf-8') as opened:
            test.one_script(file, opened.read(), True, False)
    first, number = int(options['--first']), 0
    end = first + count
    while first < end:
        by_command = number % SCRIPTS_A_COMMAND == SCRIPTS_A_COMMAND - 1
        papers = min(PAPERS_A_COMMAND if by_command else PAPERS_A_SCRIPT, end - first)
        test.one_script('seed %s, papers %d to %d' % (seed, first, first + papers - 1), recipes.script(seed, papers, first), by_command, wrong and number < 3)
        first += papers
        number += 1
    agreed, formulas = test.passed, 0
    if wrong:
        test.wrong()
        formulas = len(test.sites)
    missing = sorted(STEPS - set(test.steps)) if count >= 1000 else []
    if missing:
        test.fail('no paper had these steps: ' + ' '.join(missing))
    print('seed %s, from paper %s on: %d papers agree, %d of them that there is no answer, %d by the command line, %d figures in all, %.1f s; %d formulas wronged' %
          (seed, options['--first'], agreed, test.without_answer, test.by_command, test.figures, time.monotonic() - began, formulas))
    print('second: %d passed, %d failed' % (test.passed, test.failed))
    return 1 if test.failed else 0


# All that must have come up among some thousand papers.
STEPS = frozenset('''sort-rag dust cut soak pulp-broke ret cook wash bleach clear dye hand-beat beat blend strain add colour charge-vat form form-dips
    form-by-measure couch press part exchange-press loft-dry board-dry restrain-dry heat-set rest trim strew tub-size brush-size mature
    plate-press sort count-out pack'''.split())

# They change no amount: what they do to a sheet is asked by steps behind them.
WITHOUT_AMOUNTS = frozenset('soak heat-set rest mature pack'.split())

if __name__ == '__main__':
    sys.exit(main(sys.argv[1:]))
