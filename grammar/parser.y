/* The grammar of one line, behind its first word.
 *
 * A script is a list of lines, and each is read by itself: a mistake cannot
 * spill over into the next. The first word, the `:` at the end and the blocks
 * between `:` and `end` are no business of this grammar (src/syntax/parse.c and
 * blocks.c). Each action is one call into src/syntax/build.c.
 */
%name Grammar
%token_prefix TOKEN_
%token_type {Token}
%default_type {NodeId}
%extra_context {Build *build}
%start_symbol line
%stack_size 1600

%include {
#include "syntax/build.h"
#include "syntax/grammar.h"

#include <stdio.h>

#define Grammar_ENGINEALWAYSONSTACK 1
#define YYNOERRORRECOVERY 1

/* The parser is used in this file only. */
#ifndef NDEBUG
static void GrammarTrace(FILE *stream, char *prompt);
#endif
static void GrammarInit(void *parser, Build *build);
static void GrammarFinalize(void *parser);
static int GrammarFallback(int token);
static void Grammar(void *parser, int kind, Token token);
}

%syntax_error {
    (void)yymajor, (void)yyminor;
    build->failed = true;
}
%stack_overflow { build->failed = build->too_deep = true; }

/* Tokens that fit nowhere in a line; the lexer has its own words for them. */
%token COLON.

/* What holds less comes first. */
%nonassoc ALONE.
%nonassoc TEXT TEXT_OPEN.
%left OR.
%left AND.
%right NOT.
%nonassoc EQUAL UNEQUAL LESS LESS_EQUAL MORE MORE_EQUAL IS IS_NOT.
%nonassoc ABOUT.
%nonassoc ABOUT_BETWEEN.
%nonassoc RANGE TOLERANCE.
%nonassoc BY.
%left PLUS MINUS.
%left TIMES OVER.
%right POWER.
%left DOT.

/* ---- The line ------------------------------------------------------------ */

/* An argument is an expression, or a preposition and an expression, or one of
 * the rarer items. The two former are spelled out here rather than made items:
 * each saves the parser a step for every argument there is. */

line ::= .
line ::= items.
line ::= condition.
line ::= items condition.
line ::= items COMMA condition.

condition ::= WHEN expression(E).                   { build_condition(build, E); }

items ::= expression(E).                            { build_argument(build, E, 0); }
items ::= items expression(E).                      { build_argument(build, E, 0); }
items ::= items COMMA expression(E).                { build_argument(build, E, NODE_BEHIND_COMMA); }
items ::= PREPOSITION|FROM(T) expression(E).        { build_phrase(build, T, E, 0); }
items ::= items PREPOSITION|FROM(T) expression(E).  { build_phrase(build, T, E, 0); }
items ::= items COMMA PREPOSITION|FROM(T) expression(E).
                                                    { build_phrase(build, T, E, NODE_BEHIND_COMMA); }
items ::= item(I).                                  { build_argument(build, I, 0); }
items ::= items item(I).                            { build_argument(build, I, 0); }
items ::= items COMMA item(I).                      { build_argument(build, I, NODE_BEHIND_COMMA); }
items ::= items BIND(T) expression(E).              { build_bind(build, T, E); }

item(A) ::= ORIGIN(T). [ALONE]                      { A = build_over(build, NODE_PROVENANCE, T, 0); }
item(A) ::= ORIGIN(T) text(X).                      { A = build_over(build, NODE_PROVENANCE, T, X); }
item(A) ::= SHOWN(T) CONVERT UNIT(U).               { A = build_over(build, NODE_SHOWN, T, build_word(build, NODE_UNIT, U)); }
item(A) ::= ELSE(T) text(X).                        { A = build_over(build, NODE_ELSE, T, X); }
item(A) ::= UNIT_NAME(T).                           { A = build_word(build, NODE_UNIT, T); }
item(A) ::= BETWEEN(T).                             { A = build_word(build, NODE_NAME, T); }
item(A) ::= EACH(T) NAME(N) FROM expression(S).     { A = build_each(build, T, N, S, 0); }

/* ---- Expressions ----------------------------------------------------------- */

expression(A) ::= expression(L) OR(O) expression(R).              { A = build_binary(build, L, O, R); }
expression(A) ::= expression(L) AND(O) expression(R).             { A = build_binary(build, L, O, R); }
expression(A) ::= NOT(T) expression(E).                           { A = build_not(build, T, E); }
expression(A) ::= expression(L) EQUAL|UNEQUAL|LESS|LESS_EQUAL|MORE|MORE_EQUAL|IS|IS_NOT(O) expression(R).
                                                                  { A = build_binary(build, L, O, R); }

expression(A) ::= ABOUT(T) expression(E).                         { A = build_about(build, T, E); }
expression(A) ::= ABOUT(T) expression(E) ABOUT_BETWEEN(B) expression(R).
                                                                  { A = build_about_between(build, T, E, B, R); }
expression(A) ::= expression(L) RANGE expression(R).              { A = build_pair(build, NODE_RANGE, L, R); }
expression(A) ::= expression(L) TOLERANCE expression(R).          { A = build_tolerance(build, L, R); }
expression(A) ::= expression(L) BY expression(R).                 { A = build_pair(build, NODE_SIZE, L, R); }

expression(A) ::= expression(L) PLUS|MINUS(O) expression(R).      { A = build_binary(build, L, O, R); }
expression(A) ::= expression(L) TIMES|OVER(O) expression(R).      { A = build_binary(build, L, O, R); }
expression(A) ::= expression(L) POWER(O) expression(R).           { A = build_binary(build, L, O, R); }
expression(A) ::= expression(P) DOT NAME(T).                      { A = build_part(build, P, T); }

/* ---- Names, numbers, brackets ---------------------------------------------- */

expression(A) ::= NAME(T).                          { A = build_word(build, NODE_NAME, T); }
expression(A) ::= NUMBER(T).                        { A = build_number(build, T); }
expression(A) ::= NUMBER(T) UNIT(U).                { A = build_quantity(build, T, U); }
expression(A) ::= BAD(T).                           { A = build_bad(build, T, T); }
expression(A) ::= BAD(T) UNIT(U).                   { A = build_bad(build, T, U); }
expression(A) ::= DATE(T).                          { A = build_word(build, NODE_DATE, T); }
expression(A) ::= CLOCK(T).                         { A = build_word(build, NODE_CLOCK, T); }
expression(A) ::= ABSENT(T).                        { A = build_word(build, NODE_ABSENT, T); }
expression ::= text.

expression(A) ::= CALL(T) ROUND_CLOSE(E).           { A = build_call(build, T, (Chain){0, 0}, E); }
expression(A) ::= CALL(T) arguments(X) ROUND_CLOSE(E).
                                                    { A = build_call(build, T, X, E); }
expression(A) ::= ROUND_OPEN(T) inner(E) ROUND_CLOSE(U).
                                                    { A = build_bracket(build, T, E, U); }
expression(A) ::= SQUARE_OPEN(T) SQUARE_CLOSE(E).   { A = build_list(build, T, (Chain){0, 0}, E); }
expression(A) ::= SQUARE_OPEN(T) listed(X) SQUARE_CLOSE(E).
                                                    { A = build_list(build, T, X, E); }
expression(A) ::= SQUARE_OPEN(T) listed(X) SQUARE_CLOSE UNIT(U).
                                                    { A = build_list_of_unit(build, T, X, U); }

%type listed {Chain}
listed(A) ::= expression(E).                        { A = build_one(E); }
listed(A) ::= listed(L) COMMA expression(E).        { A = build_more(build, L, E); }

%type arguments {Chain}
arguments(A) ::= argument(E).                       { A = build_one(E); }
arguments(A) ::= arguments(L) COMMA argument(E).    { A = build_more(build, L, E); }

argument ::= inner.
argument(A) ::= EACH(T) NAME(N) FROM expression(S). { A = build_each(build, T, N, S, 0); }
argument(A) ::= EACH(T) NAME(N) FROM expression(S) WHEN expression(C).
                                                    { A = build_each(build, T, N, S, C); }

/* In brackets and braces `as` narrows and `in` converts. */
inner ::= expression.
inner(A) ::= expression(E) NARROW NAME(T).          { A = build_narrow(build, E, T); }
inner(A) ::= expression(E) CONVERT UNIT(U).         { A = build_convert(build, E, U); }

/* ---- Texts, with values in braces ------------------------------------------ */

text(A) ::= TEXT(T).                                { A = build_text(build, T); }
text(A) ::= pieces(P) TEXT_CLOSE(T).                { A = build_text_end(build, P, T); }

%type pieces {Chain}
pieces(A) ::= TEXT_OPEN(T) fill(F).                 { A = build_text_start(build, T, F); }
pieces(A) ::= pieces(P) TEXT_MIDDLE(T) fill(F).     { A = build_text_more(build, P, T, F); }

fill(A) ::= inner(E).                               { A = build_fill(build, E); }
fill(A) ::= inner(E) COMMA NUMBER(T) UNIT(U).       { A = build_fill_decimals(build, E, T, U); }

%code {
#include "syntax/grammar.inc"
}
