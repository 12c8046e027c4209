#!/usr/bin/env python3
"""Whether a slip in the numeric core is noticed. Each operator and each constant of src/reckoning/*.c and of the formulas in
stdlib/figures/*.wleaf is changed, one at a time, in a copy; the tests are run with it, the quickest first, until one fails.
What no test notices is a failure, but for changes that change nothing, which equivalent.tsv lists with the reason; one of
those that is noticed all the same is a failure, too.

    mutate.py --compile COMMAND --checked COMMAND [--quick] [--plain] [--sample COUNT] [--seed N] [--jobs N] [--list] [WORD ...]

What no quick test notices is built once more under the sanitizers, by the other COMMAND, for the goldens and the solves: one place too far is noticed there.

--quick leaves out the tests that take long: all is noticed by the others (`make mutate-core`). --plain leaves
out the sanitizers, for a first look: what survives is to be tried with them. --list only shows the changes; WORD: only files whose name
holds one of these, or `name:first-last`, those lines of them. `make mutate` builds what it needs. What came of each is kept in
build/mutation/noticed.tsv, where a longer run goes on; a change of the sources begins it anew, and what survived is tried again.

Left out, as it is no arithmetic: with how many decimals a figure of stdlib is shown, what it is called, where it has its value from.
"""
import concurrent.futures, glob, hashlib, os, random, re, shutil, subprocess, sys, threading

BUILT = 'build/mutation'
SWAPS = {'+': '-', '-': '+', '*': '/', '/': '*', '%': '*', '<': '<=', '<=': '<', '>': '>=', '>=': '>', '==': '!=', '!=': '==', '&&': '||', '||': '&&',
         '&': '|', '|': '&', '<<': '>>', '>>': '<<', '+=': '-=', '-=': '+=', '*=': '/=', '/=': '*=', '|=': '&=', '&=': '|=', '++': '--', '--': '++'}
C_TOKEN = re.compile(r'''/\*.*?\*/|//[^\n]*|"(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])*'|^[ \t]*\#(?:\\\n|[^\n])*|(?P<number>\b(?:0x[0-9A-Fa-f]+|\d+(?:\.\d+)?(?:[eE][-+]?\d+)?)[uUlLfF]*)
    |(?P<word>[A-Za-z_]\w*)|(?P<sign>->|\+\+|--|<<=|>>=|<<|>>|[<>=!+\-*/%&|^]=|&&|\|\||[-+*/%&|<>!~?:=.,;()\[\]{}^])|\s+''', re.S | re.M | re.X)
W_TOKEN = re.compile(r'''\#[^\n]*|"(?:\\.|[^"\\\n])*"|(?P<number>(?<![\w.-])\d[\d_]*(?:\.\d+)?)|(?P<word>[^\W\d][\w-]*)
    |(?P<sign><>|<=|>=|\.\.|(?<=\s)[-+*/<>](?=\s)|\^)|\s+|.''', re.S | re.X)
W_SWAPS = {'+': '-', '-': '+', '*': '/', '/': '*', '<': '<=', '<=': '<', '>': '>=', '>=': '>', '<>': '=', '^': '*'}


class Change:
    """One change of one file: at START, what stands there, and what stands there instead."""

    def __init__(self, path, text, start, old, new):
        self.path, self.start, self.old, self.new = path, start, old, new
        head = text.rfind('\n', 0, start) + 1
        tail = text.find('\n', start)
        line = text[head:tail if tail >= 0 else len(text)]
        self.line = text.count('\n', 0, start) + 1
        # which it is, whatever stands above it: the line with the place in it marked
        self.shown = (line[:start - head] + '«' + old + '»' + line[start - head + len(old):]).strip()
        self.key = '\t'.join((path, self.shown, new))

    def changed(self):
        text = open(self.path, encoding='utf-8').read()
        assert text.startswith(self.old, self.start)
        return text[:self.start] + self.new + text[self.start + len(self.old):]

    def __str__(self):
        return '%s:%d: %s, changed to %s' % (self.path, self.line, self.shown, self.new)


def larger(number):
    """NUMBER and one more; where that is the same double, twice the number."""
    digits = number.rstrip('uUlLfF')
    suffix = number[len(digits):]
    if digits.startswith('0x'):
        return '0x%X%s' % (int(digits, 16) + 1, suffix)
    plain = digits.replace('_', '')
    if plain.isdigit():
        return str(int(plain) + 1) + suffix
    value = float(plain)
    return '%r%s' % (value + 1 if value + 1 != value else value * 2, suffix)


def changes_of_c(path):
    text = open(path, encoding='utf-8').read()
    before = ''
    for token in C_TOKEN.finditer(text):
        kind, found = token.lastgroup, token.group()
        if kind is None:
            continue
        spaced = text[token.start() - 1].isspace() and text[token.end()].isspace()
        if kind == 'number':
            yield Change(path, text, token.start(), found, larger(found))
        elif kind == 'word' and found in ('true', 'false'):
            yield Change(path, text, token.start(), found, 'false' if found == 'true' else 'true')
        elif kind == 'sign' and (found in ('++', '--') or (spaced and found in SWAPS)):
            yield Change(path, text, token.start(), found, SWAPS[found])
        elif kind == 'sign' and found == '!' or (found == '-' and not re.match(r'[\w)\]]', before[-1:])):
            yield Change(path, text, token.start(), found, ' ')
        before = found


def changes_of_script(path):
    """The formulas and their limits; not what a line is called, nor where it has its value from."""
    text = open(path, encoding='utf-8').read()
    for token in W_TOKEN.finditer(text):
        kind, found = token.lastgroup, token.group()
        if text[text.rfind('\n', 0, token.start()) + 1:].startswith('waterleaf ') or kind is None:
            continue
        if kind == 'number' and not re.match(r' decimals?\b', text[token.end():]):
            yield Change(path, text, token.start(), found, larger(found))
        elif kind == 'sign' and found in W_SWAPS:
            yield Change(path, text, token.start(), found, W_SWAPS[found])
        elif kind == 'word' and found in ('and', 'or'):
            yield Change(path, text, token.start(), found, 'or' if found == 'and' else 'and')


def is_asked_for(change, word):
    """Whether WORD, `name` or `name:first-last`, asks for it."""
    name, _, lines = word.partition(':')
    first, _, last = lines.partition('-')
    return name in change.path and (not lines or int(first) <= change.line <= int(last or first))


def all_changes(words):
    found = []
    for path in sorted(glob.glob('src/reckoning/*.c') + glob.glob('stdlib/figures/*.wleaf')):
        if not words or any(word.split(':')[0] in path for word in words):
            found += list(changes_of_c(path) if path.endswith('.c') else changes_of_script(path))
    times = {}
    for change in found: # of lines that are the same, which
        times[change.key] = times.get(change.key, 0) + 1
        if times[change.key] > 1:
            change.shown += ' (%d)' % times[change.key]
            change.key = '\t'.join((change.path, change.shown, change.new))
    return [change for change in found if not words or any(is_asked_for(change, word) for word in words)]


SHOWS = 'attributes|calls|result|sets|shown|told|trace|typed|unfold|variant|what_if|why' # what is shown, or told why
SCRIPTS = ['tests/golden/flow', 'tests/golden/language', 'examples']


def tests_of(path, program, quick, checked):
    """The commands that run the tests, those that notice most in a second first; what takes long only for what only it asks for."""
    def own(name, *arguments):
        return ['%s/tests/%s' % (BUILT, name), *arguments]
    def script(name):
        return ['sh', 'tests/commands/%s.sh' % name, program]
    second = ['python3', '-B', 'tests/second/second.py', '60', '1', '--command', program, '--amounts', own('second/amounts')[0],
              'tests/golden/flow/followed.wleaf', 'tests/golden/flow/second.wleaf']
    base = os.path.basename(path)[:-2]
    nearest = [own('unit/test_' + base)] if os.path.exists('tests/unit/test_%s.c' % base) else []
    why = [script(name) for name in ('why', 'why-asked', 'why-flow', 'why-formulas')]
    nearest += why if re.search('why|unfold', path) else []
    golden = own('golden/golden', *SCRIPTS)
    amounts = [own('messages/messages', 'tests/messages'), own('messages/limits'), own('unit/test_solve'), own('unit/test_flow'), own('unit/test_brings'), own('unit/test_subjects'),
               own('unit/test_units'), own('outside/binomial'), own('outside/figures'), own('rules/acceptance'), second]
    shown = [own('unit/test_' + name) for name in ('told', 'typed', 'items', 'why_text', 'shown', 'comparison', 'variant', 'what_if')]
    shown += why + [script('what-if'), own('unit/test_documents')]
    shows = re.search(SHOWS, path)
    first = nearest + [golden] + (shown if shows else []) + amounts
    if checked and path.endswith('.c'):
        first += [[checked + '/golden/golden', *SCRIPTS], [checked + '/unit/test_solve']]
        first += [[checked + '/unit/test_' + base] for one in nearest if '/unit/' in one[0]]
    slow = ([] if shows else shown) + [own('properties/weighing'), own('properties/balance'), own('unit/test_pictures'), own('rules/faults'),
            own('rules/examples'), own('rules/proposals'), own('properties/what_if')] + ([script('why-every'), script('compare')] if shows else [])
    commands = first + ([] if quick else slow)
    return [command for place, command in enumerate(commands) if command not in commands[:place]]


class Mutation:
    def __init__(self, compile_command, checked, quick, plain):
        self.compile, self.checked, self.quick, self.plain = compile_command.split(), checked.split(), quick, plain
        self.objects = subprocess.run(['find', BUILT + '/obj', '-name', '*.o', '-not', '-path', '*/commands/*', '-not', '-path', '*/editor/*'],
                                      capture_output=True, text=True).stdout.split()
        self.guard = threading.Lock()
        self.limits = {} # of each test, the seconds of work after which it does not end: five times what it takes of itself

    def build(self, change, place):
        """The library with the change in it, in the folder PLACE; False: it cannot be built, and so is noticed."""
        if change.path.endswith('.c'):
            source, part = os.path.join(place, 'changed.c'), change.path[len('src/'):-2]
            open(source, 'w', encoding='utf-8').write(change.changed())
            built = [self.compile + ['-w', '-c', '-o', place + '/changed.o', source]]
        else:
            part = 'workshop_image'
            shutil.copytree('stdlib', place + '/stdlib')
            open(os.path.join(place, change.path), 'w', encoding='utf-8').write(change.changed())
            os.makedirs(place + '/build/gen')
            root = os.getcwd()
            built = [['build/make-image', place + '/stdlib', place + '/build/gen/stdlib.image', place + '/build/gen/start.texts'],
                     ['sh', '-c', 'cd "$1" && shift && exec "$@"', 'sh', place] + [word.replace('-Isrc', '-I%s/src' % root) for word in self.compile]
                     + ['-c', '-o', 'changed.o', root + '/src/workshop_image.c']]
        own = '%s/obj/%s.o' % (BUILT, part)
        built.append([self.compile[0], '-shared', '-o', place + '/libwaterleaf.so', place + '/changed.o']
                     + [one for one in self.objects if one != own] + ['-lm'])
        return all(subprocess.run(command, capture_output=True, stdin=subprocess.DEVNULL).returncode == 0 for command in built)

    def build_checked(self, place, test):
        """The TEST under the sanitizers, with the changed source that build has left in PLACE."""
        made = place + '/checked/changed.o'
        os.makedirs(os.path.dirname(test), exist_ok=True)
        if not os.path.exists(made):
            subprocess.run(self.checked + ['-w', '-c', '-o', made, place + '/changed.c'], check=True, capture_output=True)
        own = test.replace(place, BUILT) + '.o'
        subprocess.run(self.checked + ['-o', test, own, made, 'build/checked/library.a', '-lcmocka', '-lm'], check=True, capture_output=True)

    def noticed_by(self, change, number):
        """The name of the test that notices; None: none does."""
        place = os.path.abspath('%s/changed-%d-%d' % (BUILT, os.getpid(), number)) # two may run side by side
        shutil.rmtree(place, ignore_errors=True)
        os.makedirs(place)
        try:
            if not self.build(change, place):
                return 'the compiler'
            environment = dict(os.environ, LD_LIBRARY_PATH=place, WATERLEAF_FULL='', WATERLEAF_FIRST='1', LC_ALL='C.UTF-8',
                               ASAN_OPTIONS='hard_rss_limit_mb=2000:allocator_may_return_null=1')
            for command in tests_of(change.path, os.path.abspath(BUILT + '/waterleaf'), self.quick, '' if self.plain else place + '/checked'):
                name = next(word for word in command if '/' in word).replace(BUILT + '/tests/', '').replace(place + '/', '')
                roomy = name.startswith('checked/') # the sanitizers want more room than there is
                if roomy:
                    self.build_checked(place, command[0])
                try:
                    before = os.times()
                    ended = subprocess.run(['sh', '-c', '%sulimit -t %d; exec "$@"' % ('' if roomy else 'ulimit -v 4000000; ', self.limits.get(name, 60)), 'sh'] + command,
                                           capture_output=True, env=environment, stdin=subprocess.DEVNULL, timeout=300)
                    self.limits.setdefault(name, 2 + int(5 * (os.times().children_user - before.children_user)))
                except subprocess.TimeoutExpired:
                    return name + ', which does not end'
                if ended.returncode != 0:
                    return name
            return None
        finally:
            shutil.rmtree(place, ignore_errors=True)


def read_table(path):
    rows = {}
    if os.path.exists(path):
        for line in open(path, encoding='utf-8'):
            if not line.startswith('#') and line.strip():
                parts = line.rstrip('\n').split('\t')
                rows['\t'.join(parts[:3])] = parts[3]
    return rows


def mark_of_all():
    """Of all that decides whether a change is noticed."""
    mark = hashlib.sha256()
    for path in sorted(glob.glob('src/**/*.[ch]', recursive=True) + glob.glob('stdlib/**/*.wleaf', recursive=True)):
        mark.update(open(path, 'rb').read())
    return mark.hexdigest()


def main():
    os.chdir(os.path.join(os.path.dirname(os.path.abspath(__file__)), '..', '..'))
    options, words, only_list, quick, plain = {'--compile': 'gcc', '--checked': 'gcc', '--sample': '0', '--seed': os.environ.get('WATERLEAF_SEED', '1'), '--jobs': '1'}, [], False, False, False
    left = sys.argv[1:]
    while left:
        word = left.pop(0)
        if word in options:
            options[word] = left.pop(0)
        elif word == '--list':
            only_list = True
        elif word == '--quick':
            quick = True
        elif word == '--plain':
            plain = True
        else:
            words.append(word)
    changes = all_changes(words)
    keys = [change.key for change in changes]
    equivalent = read_table('tests/mutation/equivalent.tsv')
    bad = ['equivalent.tsv has a line for what is no change: ' + key for key in equivalent
           if key not in keys and (not words or any(word in key.split('\t')[0] for word in words))] # of a whole file only
    if int(options['--sample']) > 0:
        changes = random.Random(int(options['--seed'])).sample(changes, min(int(options['--sample']), len(changes)))
    if only_list:
        for change in changes:
            print(change)
        print('%d changes' % len(changes))
        return
    mutation = Mutation(options['--compile'], options['--checked'], quick, plain)
    kept_at, mark = BUILT + '/noticed.tsv', mark_of_all()
    kept = read_table(kept_at)
    if kept.get('mark\t\t') != mark:
        kept = {}
        open(kept_at, 'w', encoding='utf-8').write('mark\t\t\t%s\n' % mark)

    def judge(numbered):
        number, change = numbered
        by = kept.get(change.key)
        if by is None:
            by = mutation.noticed_by(change, number) or ''
            with mutation.guard, open(kept_at, 'a', encoding='utf-8') as file:
                if by != '': # one that survived is tried again
                    file.write('%s\t%s\n' % (change.key, by))
        return change, by

    # What fails without any change would notice all of them.
    for path in {os.path.dirname(change.path): change.path for change in changes}.values():
        by = mutation.noticed_by(Change(path, open(path, encoding='utf-8').read(), 0, '', ''), 0)
        if by is not None:
            sys.exit('mutation: %s fails, or does not end, with %s as it is' % (by, path))

    noticed, survived = {}, []
    with concurrent.futures.ThreadPoolExecutor(int(options['--jobs'])) as pool:
        for change, by in pool.map(judge, enumerate(changes)):
            if by == '' and change.key not in equivalent:
                survived.append(change)
                print('survives: %s' % change, flush=True)
            elif by != '' and change.key in equivalent:
                bad.append('said to change nothing, but %s notices it: %s' % (by, change))
            noticed[by] = noticed.get(by, 0) + 1
    for line in bad:
        print('  ' + line)
    for by, count in sorted(noticed.items(), key=lambda item: -item[1]):
        print('%6d %s' % (count, 'noticed by ' + by if by else 'not noticed'))
    print('mutation: %d passed, %d failed' % (len(changes) - len(survived), len(survived) + len(bad)))
    sys.exit(1 if survived or bad else 0)


main()
