; What is coloured, by the names that editors have in common. No two fit the same place, of which editors would take one or the other.

(comment) @comment

[(head) (binding_head) (unit_head) "end"] @keyword
[(preposition) (origin)] @keyword
[(condition "when" @keyword)
 (otherwise "else" @keyword)
 (each ["each" "from"] @keyword)
 (each_of ["each" "from"] @keyword)
 (about ["about" "between"] @keyword)
 (shown ["shown" "in"] @keyword)
 (narrowed "as" @keyword)
 (converted "in" @keyword)]
["and" "or" "not" "is" "by"] @keyword.operator

(name) @variable
(property) @property
(function) @function
(absent) @constant.builtin

[(number) (date) (time)] @number
[(unit) (unit_sign)] @type
(basis) @property

(text) @string
(escape) @string.escape
(fill ["{" "}"] @punctuation.special)

["+" "-" "−" "*" "×" "·" "/" "÷" "^" "=" "<>" "≠" "<" "<=" "≤" ">" ">=" "≥" ".." "…" "±" "+-" "+/-"] @operator
["(" ")" "[" "]"] @punctuation.bracket
["," "." ":"] @punctuation.delimiter
