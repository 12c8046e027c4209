// The grammar of Waterleaf for tree-sitter: lines, blocks from `:` to `end`, and what stands in a line. What the arguments of a line mean depends on
// its first word and is no business of this file, as it is none of grammar/parser.y. The precedences are those of that file.

const prepositions = ['at', 'for', 'to', 'with', 'of', 'on', 'into', 'until', 'per', 'within', 'after', 'before', 'over', 'under', 'one-of']; // prepositions, from grammar/words.def by editors/words.sh
const origins = ['source', 'practice', 'memory', 'supplier', 'measured']; // origins, from there too
const binders = ['let', 'reckon', 'takes', 'has', 'sets', 'gives', 'solve', 'replace']; // binders, from there too: in lines that begin with these the first `=` binds

// Any letter: all but the signs and blanks of ASCII and Latin 1, and the blocks of punctuation, raised digits, money and signs beyond.
const notLetters = '\\u0001-\\u0040\\u005b-\\u0060\\u007b-\\u00a9\\u00ab-\\u00b4\\u00b6-\\u00bf\\u00d7\\u00f7\\u1680\\u2000-\\u2bff\\u3000-\\u303f\\ufeff\\ufffe\\uffff';
const letter = `[^${notLetters}]`;
const more = `([0-9]|[^${notLetters}])`;
const name = `${letter}${more}*(-${more}+)*`;
const raised = '[\\u00b2\\u00b3\\u00b9\\u2070\\u2074-\\u2079\\u207b]';
const exponent = `(${raised}+|\\^(-?[0-9]+|${raised}+))`;
const degrees = `([\\u00b0\\u00ba\\u02da]${name}|[\\u2103\\u2109$\\u00a2-\\u00a5\\u20a0-\\u20c0])`;
const joined = `([/*\\u00b7\\u22c5](${degrees}|${name})${exponent}?)`;
const digits = '[0-9](_?[0-9])*';

const level = {or: 1, and: 2, not: 3, compare: 4, about: 5, range: 6, by: 7, plus: 8, times: 9, power: 10, part: 11};
const operators = [
  ['left', level.or, ['or']],
  ['left', level.and, ['and']],
  ['left', level.compare, ['<>', '≠', '<', '<=', '≤', '>', '>=', '≥', 'is']],
  ['left', level.range, ['..', '…', '±', '+-', '+/-']],
  ['left', level.by, ['by']],
  ['left', level.plus, ['+', '-', '−']],
  ['left', level.times, ['*', '×', '·', '/', '÷']],
  ['right', level.power, ['^']],
];

// Two values with a sign or word between them. In front of the `=` that binds there is none that compares.
const binary = (value, compares) =>
  choice(
    ...operators.map(([side, at, signs]) =>
      prec[side](at, seq(field('left', value), field('operator', choice(...signs, ...(compares && at === level.compare ? ['='] : []))), field('right', value)))),
    prec.left(level.compare, seq(field('left', value), field('operator', seq('is', 'not')), field('right', value))));

// What is not well known. Behind it, and a comma, `between` begins its range; elsewhere that word is one like any.
const about = (value, comma) =>
  prec(level.about, seq('about', value, optional(prec.dynamic(1, seq(optional(comma), 'between', field('between', value))))));

const items = ($, item) => seq(item, repeat(seq(optional($._comma), item)));
const pieces = ($, plain) => repeat(choice(plain, $.escape, $.fill));

module.exports = grammar({
  name: 'waterleaf',

  word: $ => $._word,

  extras: $ => [/[ \t\u00a0\u1680\u2000-\u200b\u202f\u205f\u3000\ufeff]/, $.comment],

  conflicts: $ => [[$._percent], [$.about], [$._about_in_front]],

  rules: {
    script: $ => seq(repeat($._closed), optional($._statement)),

    // ---- lines and blocks ----

    _closed: $ => choice($._newline, seq($._statement, $._newline)),
    _statement: $ => choice($.block, $.line),
    block: $ => seq($._contents, ':', $._newline, repeat($._closed), $.end),
    line: $ => $._contents,
    end: $ => seq('end', optional(seq($.name, optional($.name)))),

    _contents: $ => choice(
      seq($.head, optional($._arguments)),
      seq($.binding_head, optional($._bound)),
      seq(alias('when', $.head), alias($._bare_condition, $.condition)),
      seq($.unit_head, $.unit, optional(seq(optional($._comma), $._bound)))),
    head: $ => $._word,
    binding_head: $ => choice(...binders),
    unit_head: $ => 'unit',

    // ---- arguments ----

    _arguments: $ => choice($.condition, seq(items($, $._item), optional($._last))),
    _bound: $ => choice(
      $.condition,
      seq(items($, $._item_in_front), optional($._last)),
      seq(optional(items($, $._item_in_front)), $.binding, repeat(seq(optional($._comma), $._item)), optional($._last))),
    _last: $ => seq(optional($._comma), $.condition),
    condition: $ => seq('when', $._expression),
    _bare_condition: $ => $._expression,
    binding: $ => seq('=', $._expression),

    _item: $ => choice($._expression, $.phrase, $.each, $._rarer),
    _item_in_front: $ => choice($._in_front, alias($._phrase_in_front, $.phrase), $._rarer),
    _rarer: $ => choice($.provenance, $.shown, $.otherwise, $.unit_sign, alias('between', $.name)),
    phrase: $ => seq($.preposition, $._expression),
    _phrase_in_front: $ => seq($.preposition, $._in_front),
    preposition: $ => choice(...prepositions, 'from', 'as', 'in'),
    provenance: $ => prec.right(seq($.origin, optional($.text))),
    origin: $ => choice(...origins),
    shown: $ => seq('shown', 'in', $.unit),
    otherwise: $ => seq('else', $.text),
    each: $ => seq('each', $.name, 'from', $._expression),

    // ---- expressions ----

    _expression: $ => choice($.not, $.about, $.binary, $._operand),
    not: $ => prec.right(level.not, seq('not', $._expression)),
    about: $ => about($._expression, $._comma),
    binary: $ => binary($._expression, true),

    _in_front: $ => choice(alias($._not_in_front, $.not), alias($._about_in_front, $.about), alias($._binary_in_front, $.binary), $._operand),
    _not_in_front: $ => prec.right(level.not, seq('not', $._in_front)),
    _about_in_front: $ => about($._in_front, $._comma),
    _binary_in_front: $ => binary($._in_front, false),

    _operand: $ => choice($._thing, $.number, $.quantity, $.date, $.time, $.absent, $.text),
    _thing: $ => choice($.name, $.part, $.call, $.bracket, $.list),
    name: $ => $._word,
    absent: $ => 'none',
    part: $ => prec.left(level.part, seq($._thing, '.', $.property)),
    property: $ => $._word,
    call: $ => seq($.function, token.immediate(prec(1, '(')), optional(seq($._argument, repeat(seq($._comma, $._argument)))), ')'),
    function: $ => $._word,
    _argument: $ => choice($._inner, $.each_of),
    each_of: $ => seq('each', $.name, 'from', $._expression, optional($.condition)),
    bracket: $ => seq('(', $._inner, ')'),
    _inner: $ => choice($._expression, $.narrowed, $.converted),
    narrowed: $ => seq($._expression, 'as', $.name),
    converted: $ => seq($._expression, 'in', $.unit),
    list: $ => prec.right(seq('[', optional(seq($._expression, repeat(seq($._comma, $._expression)))), ']', optional($.unit))),

    // ---- numbers and units ----

    quantity: $ => prec(1, seq($.number, $.unit)),
    number: $ => new RegExp(`[-\\u2212]?${digits}(\\.${digits})?`),
    date: $ => /[0-9]{4}-[0-9]{2}-[0-9]{2}/,
    time: $ => /[0-9]{1,2}:[0-9]{2}/,
    unit: $ => choice($._word, $._compound, $._sign, 'in'),
    unit_sign: $ => $._sign, // one that stands by itself, and cannot be a name
    _compound: $ => new RegExp(`${name}(${exponent}${joined}*|${joined}+)`),
    _sign: $ => choice(new RegExp(`${degrees}${exponent}?${joined}*`), $._percent),
    _percent: $ => choice(
      seq(/[%\u2030]/, optional(prec.dynamic(1, seq(choice('on', 'of'), $.basis)))),
      /%[ ]*(w[/][vw]|[(]w[/][vw][)])([ ]+(dry|as-weighed))?/,
      new RegExp(`%${joined}+`)),
    basis: $ => $._word,

    // ---- texts ----

    text: $ => choice(
      seq('"', pieces($, $._plain), token.immediate(prec(1, '"'))),
      seq(/[“”„‟]/, pieces($, $._plain_in_curly), token.immediate(prec(1, /["“”„‟]/)))),
    _plain: $ => token.immediate(prec(1, /[^"\\{}\r\n]+|[\\}]/)),
    _plain_in_curly: $ => token.immediate(prec(1, /[^"“”„‟\\{}\r\n]+|[\\}]/)),
    escape: $ => token.immediate(prec(1, choice('{{', '}}', '\\\\', '\\"'))),
    fill: $ => seq(token.immediate(prec(1, '{')), $._inner, optional(seq(',', $.number, $.unit)), '}'),

    // ---- what parts them ----

    _comma: $ => seq(',', repeat($._newline)),
    _newline: $ => /\r?\n|\r/,
    comment: $ => /#[^\r\n]*/,
    _word: $ => new RegExp(name),
  },
});
