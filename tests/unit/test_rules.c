/* Rules and claims where stdlib's own do not lead: what they say, where they point, what they propose. Each case is a rule or
 * claim on one small paper; all that is said by what is called `our-…`, and every error, must be as it is told. A sheet of a square metre of
 * fibre without water weighs what it holds. */
#include "cases.h"

#include "waterleaf.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct Case {
    const char *what;
    const char *lines;  /* rules, and what they ask for */
    const char *paper;  /* further lines of the paper; its title and grammage, where it tells them itself */
    const char *steps;  /* in its procedure, on the stuff */
    const char *behind; /* behind the paper */
    const char *said;   /* a line a message: its name, severity and words; then `proposes`; then each place as it was typed */
} Case;

static const char script[] =
    "waterleaf 1\n"
    "material plain-fibre:\n  class fibre\n  moisture 0 %%\nend\n"
    "mould square:\n  opening 1 m by 1 m\nend\n"
    "mill here:\n  vat of 100 L\nend\n"
    "step lose:\n  role losing\n  takes share as share\n  loses share from stuff\nend\n"
    "step turn:\n  role turning\n  takes turns as count\n  takes at bath as temperature = none\nend\n"
    "%s\n"
    "paper plain:\n%s  mould square\n  moisture 0 %%\n%s\n  furnish:\n    plain-fibre 100 %%\n  end\n"
    "  procedure:\n    blend\n%s\n    form-by-measure losing 0 %%\n  end\nend\n"
    "%s\n";

static const Case cases[] = {
    {"what is held at a limit is felt at the other end, too",
     "rule our-best:\n  require fibre-charge < 104 g, severity warning, judged at best\n  says \"best {found}\"\nend\n"
     "rule our-held:\n  require most(fibre-charge, 112 g) < 120 g, severity warning, judged at worst\n  says \"held {found}\"\nend\n",
     "", "lose about 10 %, between 5 %..20 %", "",
     "our-best warning: best 105.3 g @paper plain @require fibre-charge < 104 g, severity warning, judged at best\n"
     "our-held warning: held 125 g @paper plain @require most(fibre-charge, 112 g) < 120 g, severity warning, judged at worst\n"},
    {"a number at the limit itself",
     "rule our-bath:\n  each s from steps(turning)\n  require s.bath < 45 °C, severity warning\n  says \"{found}, {limit}\"\nend\n",
     "", "turn 9 times, at 45 °C", "",
     "our-bath warning: 45 °C, 45 °C @turn 9 times, at 45 °C @require s.bath < 45 °C, severity warning\n"},
    {"a count is told in the unit in which it was typed",
     "rule our-turns:\n  each s from steps(turning)\n  require s.turns < 5 times, severity warning\n  says \"{found}, {limit}\"\nend",
     "", "turn 9 times", "",
     "our-turns warning: 9 times, 5 times @turn 9 times @require s.turns < 5 times, severity warning\n"},
    {"a count that nobody typed is told in the unit of its limit",
     "rule our-turns:\n  let all = count(each s from steps(turning))\n  require all < 2 times, severity warning\n  says \"{found}, {limit}\"\nend",
     "", "turn 9 times\nturn 8 times", "",
     "our-turns warning: 2 times, 2 times @paper plain @require all < 2 times, severity warning\n"},
    {"a step within a step: the number is that of the outer one's line",
     "step both:\n  role pairing\n  takes first as share\n  takes at heat as temperature\n  takes turning much as count\n  lose first\n  turn much, at heat\nend\n"
     "rule our-turns:\n  each s from steps(turning)\n  require s.turns <= 5 times, severity warning\n  change turns of s, within 1 times..9 times\n  says \"{found}, {limit}\"\n  mend \"Turn {change.needed}, not {change.now}; {change.step}.\"\nend\n"
     "rule our-bath:\n  each s from steps(turning)\n  require s.bath <= 40 °C, severity warning\n  change bath of s, within 20 °C..90 °C\n  says \"{found}, {limit}\"\n  mend \"Make it {change.needed}.\"\nend\n",
     "", "both 2 %, at 50 °C, turning 9 times", "",
     "our-bath warning: 50 °C, 40 °C Make it 40 °C. proposes 40 °C @50 °C @50 °C @require s.bath <= 40 °C, severity warning\n"
     "our-turns warning: 9 times, 5 times Turn 5 times, not 9 times; turn. proposes 5 times @9 times @9 times @require s.turns <= 5 times, severity warning\n"},
    {"a claim of which nothing is there",
     "claim our-dyed:\n  each a from additions\n  needs a.mass > 0 g else \"it is dyed\"\n  wording \"Dyed\"\nend\n", "  claims our-dyed", "", "",
     "our-dyed error: The label may not say our-dyed: nothing is in this recipe that it could be said of. Bring what is missing, or take the claim out. @our-dyed\n"},
    {"a claim that lacks more than is told at once, without other words, advice or reason",
     "claim our-heavy:\n  needs fibre-charge > 1 kg\n  needs fibre-charge > 2 kg\n  needs fibre-charge > 3 kg\n  needs fibre-charge > 4 kg\n"
     "  needs fibre-charge > 5 kg\n  needs fibre-charge > 6 kg\n  needs fibre-charge > 7 kg\n  needs fibre-charge > 50 g\n  wording \"Heavy\"\nend\n"
     "claim our-light:\n  needs fibre-charge < 1 kg\n  wording \"Light\"\nend\n",
     "  claims our-heavy, our-light", "", "",
     "our-heavy error: The label may not say our-heavy: fibre-charge > 1 kg; fibre-charge > 2 kg; fibre-charge > 3 kg; fibre-charge > 4 kg; fibre-charge > 5 kg; fibre-charge > 6 kg. Bring what is missing, or take the claim out. @our-heavy\n"},
    {"claims in brackets are asked for",
     "claim our-heavy:\n  needs fibre-charge > 1 kg else \"it is heavy\"\n  wording \"Heavy\"\nend\n", "  claims [our-heavy]", "", "",
     "our-heavy error: The label may not say our-heavy: it is heavy. Bring what is missing, or take the claim out. @our-heavy\n"},
    {"what is not told is no matter of a rule, and refuses a claim",
     "claim our-cold:\n  each s from steps(turning)\n  needs s.bath < 40 °C else \"it is cold\"\n  wording \"Cold\"\nend\n"
     "rule our-bath:\n  each s from steps(turning)\n  require s.bath < 40 °C, severity warning\n  says \"hot\"\nend\n", "  claims our-cold", "turn 9 times", "",
     "our-cold error: The label may not say our-cold: it is cold. Bring what is missing, or take the claim out. @our-cold\n"},
    {"texts and words are compared, too",
     "rule our-title:\n  require paper.title = \"Other\", severity note\n  says \"Another title.\"\n  practice\nend\n"
     "rule our-class:\n  each m from all(material) when m is plain-fibre\n  require m.class is not fibre, severity note\n  says \"{m} is a fibre.\"\n  memory\nend\n",
     "", "", "",
     "our-title note: Another title. | common practice @paper plain @require paper.title = \"Other\", severity note\n"
     "our-class note: plain-fibre is a fibre. | from memory @plain-fibre 100 % @require m.class is not fibre, severity note\n"},
    {"as many as must be, and not so many",
     "rule our-two:\n  require count(each s from steps(turning)) = 2 times, severity note\n  says \"{found} of {limit}\"\n  source \"the book of the mill\"\nend\n"
     "rule our-three:\n  require count(each s from steps(turning)) <> 3 times, severity note\n  says \"{found}\"\nend\n",
     "", "turn 9 times\nturn 8 times\nturn 7 times", "",
     "our-two note: 3 times of 2 times | the book of the mill @paper plain @require count(each s from steps(turning)) = 2 times, severity note\n"
     "our-three note: 3 times @paper plain @require count(each s from steps(turning)) <> 3 times, severity note\n"},
    {"what is nearly its limit is told with more decimals",
     "let most-warm = 45.00004 °C\nlet hair-less = 45.000040001 °C\n"
     "rule our-hair:\n  each s from steps(turning)\n  require hair-less < s.bath, severity note\n  says \"{found}, {limit}\"\nend\n"
     "rule our-bath:\n  each s from steps(turning)\n  require s.bath < most-warm, severity note\n  says \"{found}, {limit}\"\nend\n"
     "rule our-near:\n  each s from steps(turning)\n  require s.bath < 45.0000399999 °C, severity note\n  says \"{found}, {limit}\"\nend\n"
     "rule our-charge:\n  require 99.999 g > fibre-charge, severity note\n  says \"{found}, {limit}\"\nend\n"
     "rule our-ratio:\n  require fibre-charge / 100 g < 0.99999 g/g, severity note\n  says \"{found}, {limit}\"\nend\n",
     "", "turn 9 times, at 45.00004 °C", "",
     "our-charge note: 99.999 g, 100 g @paper plain @require 99.999 g > fibre-charge, severity note\n"
     "our-ratio note: 1 g/g, 0.99999 g/g @paper plain @require fibre-charge / 100 g < 0.99999 g/g, severity note\n"
     "our-hair note: 45.00004000 °C, 45.00004000 °C @turn 9 times, at 45.00004 °C @require hair-less < s.bath, severity note\n"
     "our-bath note: 45 °C, 45 °C @turn 9 times, at 45.00004 °C @require s.bath < most-warm, severity note\n"
     "our-near note: 45 °C, 45.0000399999 °C @turn 9 times, at 45.00004 °C @require s.bath < 45.0000399999 °C, severity note\n"},
    {"with the worse end there is no such paper: it is judged as it usually is",
     "rule our-charge:\n  require fibre-charge < 110 g, severity warning, judged at worst\n  says \"{found}\"\nend\n",
     "", "lose about 10 %, between 5 %..100 %", "",
     "our-charge warning: 111.1 g @paper plain @require fibre-charge < 110 g, severity warning, judged at worst\n"},
    {"with the lower end there is no such paper",
     "step keep:\n  takes share as share\n  loses 1 - share from stuff\nend\n"
     "rule our-charge:\n  require fibre-charge < 110 g, severity warning, judged at worst\n  says \"{found}\"\nend\n"
     "rule our-sum:\n  require fibre-charge > 106 g, severity warning, judged at best\n  says \"{found}\"\nend\n",
     "", "keep about 90 %, between 0 %..95 %", "",
     "our-charge warning: 111.1 g @paper plain @require fibre-charge < 110 g, severity warning, judged at worst\n"},
    {"of all that a rule binds the last is marked, and what it marks in its place; no more than four places",
     "step stir:\n  role turning\nend\n"
     "rule our-met:\n  each s from steps(losing)\n  each c from contents(s)\n  require c.mass > 1 kg, severity note\n  says \"{c}\"\nend\n"
     "rule our-bill:\n  each b from bill\n  require b.mass > 1 kg, severity note\n  says \"{b}\"\nend\n"
     "rule our-stream:\n  require fibre-charge > 1 kg, severity note\n  marks fibre-charge, plain-fibre, plain-fibre, stuff\n  says \"all of it\"\nend\n"
     "rule our-mould:\n  each m from all(mould) when m is square\n  require m.opening.length > 2 m, severity note\n  says \"{m}\"\nend\n"
     "rule our-parcels:\n  each p from parcels\n  require p.number > 1 times, severity note\n  says \"{p.number}\"\nend\n"
     "rule our-others:\n  each m from all(material) when m is chalk\n  require m.moisture > 99 %, severity note\n  says \"{m}\"\nend\n"
     "rule our-many:\n  each a from steps(stir)\n  each b from steps(turn) when b.number = a.number + 1 times\n  each c from steps(turn) when c.number = b.number + 1 times\n"
     "  each d from steps(turn) when d.number = c.number + 1 times\n  require fibre-charge > 1 kg, severity note\n  marks square, a, b, c, d, plain-fibre\n  says \"many\"\nend\n"
     "rule our-bath:\n  each s from steps(turning)\n  require s.number < 2 times, severity note\n  marks s.vessel\n  says \"no vessel\"\nend\n",
     "", "stir\nturn 9 times\nturn 8 times\nturn 7 times\nlose 1 %", "",
     "our-mould note: square @mould square @require m.opening.length > 2 m, severity note\n"
     "our-many note: many @mould square @stir @turn 9 times @turn 8 times\n"
     "our-parcels note: 1 sheets @paper plain @require p.number > 1 times, severity note\n"
     "our-others note: chalk @paper plain @require m.moisture > 99 %, severity note\n"
     "our-met note: plain-fibre @plain-fibre 100 % @require c.mass > 1 kg, severity note\n"
     "our-bill note: plain-fibre @plain-fibre 100 % @require b.mass > 1 kg, severity note\n"
     "our-stream note: all of it @plain-fibre 100 % @require fibre-charge > 1 kg, severity note\n"
     "our-bath note: no vessel @stir @require s.number < 2 times, severity note\n"
     "our-bath note: no vessel @turn 9 times @require s.number < 2 times, severity note\n"
     "our-bath note: no vessel @turn 8 times @require s.number < 2 times, severity note\n"
     "our-bath note: no vessel @turn 7 times @require s.number < 2 times, severity note\n"},
    {"two claims of which one asks for the other's rule",
     "claim our-light:\n  needs fibre-charge < 1 kg\n  wording \"Light\"\nend\nclaim our-white:\n  needs fibre-charge < 1 kg\n  wording \"White\"\nend\n"
     "rule our-pair:\n  each one from claims\n  each other from claims when other is not one\n  require fibre-charge > 1 kg, severity note\n  says \"{one}, {other}\"\nend\n"
     "rule our-claim:\n  require fibre-charge > 1 kg, severity note\n  marks our-white\n  says \"white\"\nend\n",
     "  claims our-light, our-white  practice", "turn 9 times", "",
     "our-pair note: our-light, our-white @our-light @our-white\n"
     "our-pair note: our-white, our-light @our-white @our-light\n"
     "our-claim note: white @our-white @require fibre-charge > 1 kg, severity note\n"},
    {"a number that stands behind names",
     "let loss-of-all = loss-again\nlet loss-again = about 20 % on fibre\n""step shed:\n  role shedding\n  takes much as dose\n  lose (much as share)\nend\n""rule our-loss:\n  each s from steps(shedding)\n  require s.much <= 3 % on fibre, severity warning\n  change much of s, within 1 % on fibre..50 % on fibre\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "shed loss-of-all", "",
     "our-loss warning: 20 % on fibre 3.0 % on fibre proposes 3.0 % on fibre @20 % on fibre @20 % on fibre @require s.much <= 3 % on fibre, severity warning\n"},
    {"a number within an own step",
     "step shed:\n  role shedding\n  takes much as dose\n  lose (much as share)\nend\n""rule our-loss:\n  each s from steps(shedding)\n  require s.much <= 3 % on fibre, severity warning\n  change much of s, within 1 % on fibre..50 % on fibre\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n""step shed-all:\n  shed 5 % on fibre\nend\n",
     "", "shed-all", "",
     "our-loss warning: 5 % on fibre 3.0 % on fibre proposes 3.0 % on fibre @5 % on fibre @5 % on fibre @require s.much <= 3 % on fibre, severity warning\n"},
    {"a number that is worked out within an own step",
     "step shed:\n  role shedding\n  takes much as dose\n  lose (much as share)\nend\n""rule our-loss:\n  each s from steps(shedding)\n  require s.much <= 3 % on fibre, severity warning\n  change much of s, within 1 % on fibre..50 % on fibre\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n""step shed-twice:\n  takes much as dose\n  let twice = 2 * much\n  shed twice\nend\n",
     "", "shed-twice 7 % on fibre", "",
     "our-loss warning: 14 % on fibre nothing does @shed-twice 7 % on fibre @require s.much <= 3 % on fibre, severity warning\n"},
    {"a number of a variant",
     "step shed:\n  role shedding\n  takes much as dose\n  lose (much as share)\nend\n""rule our-loss:\n  each s from steps(shedding)\n  require s.much <= 3 % on fibre, severity warning\n  change much of s, within 1 % on fibre..50 % on fibre\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "  title \"Plain {much}\"\n  grammage 100 g/m²\n  vary much over 10 % on fibre, 20 % on fibre", "shed much", "",
     "our-loss warning: 10 % on fibre nothing does @shed much @require s.much <= 3 % on fibre, severity warning\n"},
    {"doses told, by default, and by the step itself",
     "material mine:\n  class filler\nend\n""step mix-in:\n  role mixing\n  takes agent as material\n  takes part as dose = 1 % on fibre\n  adds agent to stuff, part\nend\n""step mix-some:\n  role mixing\n  takes agent as material\n  adds agent to stuff, 1 % on fibre\nend\n""rule our-dose:\n  each a from additions\n  require a.mass < (0.5 g as material-mass), severity warning\n  change dose of a, within 0.001..0.5\n  says \"{found}\"\n  mend \"{needed} {change.material}, {change.step}\" else \"nothing does\"\nend\n""rule our-number:\n  each a from additions\n  require a.dose < 1 % on fibre, severity warning\n  change part of a.step, within 0.1 % on fibre..50 % on fibre\n  says \"{found}, {limit}\"\n  mend \"{needed} {change.material}, {change.step}\" else \"nothing does\"\nend\n",
     "", "mix-in mine, 2 % on fibre", "",
     "our-dose warning: 1.961 g 0.50 % on fibre mine, mix-in proposes 0.50 % on fibre @2 % on fibre @2 % on fibre @require a.mass < (0.5 g as material-mass), severity warning\n"
     "our-number warning: 2 % on fibre, 1 % on fibre 0.99 % on fibre mix-in, mix-in proposes 0.99 % on fibre @2 % on fibre @2 % on fibre @require a.dose < 1 % on fibre, severity warning\n"},
    {"doses by default and by the step itself",
     "material mine:\n  class filler\nend\n""step mix-in:\n  role mixing\n  takes agent as material\n  takes part as dose = 1 % on fibre\n  adds agent to stuff, part\nend\n""step mix-some:\n  role mixing\n  takes agent as material\n  adds agent to stuff, 1 % on fibre\nend\n""rule our-dose:\n  each a from additions\n  require a.dose < 1 % on fibre, severity warning\n  change dose of a, within 0.001..0.5\n  says \"{found}\"\n  mend \"{needed} {change.material}, {change.step}\" else \"nothing does\"\nend\n",
     "", "mix-in mine\nmix-some mine", "",
     "our-dose warning: 1 % on fibre nothing does @1 % on fibre @require a.dose < 1 % on fibre, severity warning\n"
     "our-dose warning: 1 % on fibre nothing does @mix-in mine @require a.dose < 1 % on fibre, severity warning\n"},
    {"numbers of things",
     "material mine:\n  class filler\n  moisture 60 %\nend\nmaterial yours:\n  class filler\nend\n""rule our-wet:\n  require mine.moisture < 50 %, severity warning\n  change moisture of mine, within 0..1\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n""rule our-dry:\n  require yours.moisture > 50 %, severity warning\n  change moisture of yours, within 0..1\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n""rule our-odd:\n  require mine.moisture < 50 %, severity warning\n  change wetness of mine, within 0..1\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n""table pair:\n  columns name as text, most as share\n  row \"one\"  0.2\n  row \"two\" 0.1\nend\n""rule our-pair:\n  each p from pair\n  require p.most > 0.15, severity warning\n  change most of pair, within 0..1\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n""rule our-vessel:\n  each s from steps(turning)\n  require s.turns > 9 times, severity warning\n  change volume of s.vessel, within 0 L..100 L\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n""rule our-bill:\n  each b from bill\n  require b.mass > 1 kg, severity warning\n  change mass of b, within 0 kg..100 kg\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n""rule our-part:\n  each s from steps(turning)\n  require s.turns > 9 times, severity warning\n  change number of s, within 1 times..9 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n""rule our-stdlib:\n  require chalk.moisture > 50 %, severity warning\n  change moisture of chalk, within 0..1\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 9 times", "",
     "our-wet warning: 60 % 49 % proposes 49 % @60 % @60 % @require mine.moisture < 50 %, severity warning\n"
     "our-pair warning: 10 % nothing does @0.2 @require p.most > 0.15, severity warning\n"
     "our-dry warning: 0 % nothing does @paper plain @require yours.moisture > 50 %, severity warning\n"
     "our-odd warning: 60 % nothing does @paper plain @require mine.moisture < 50 %, severity warning\n"
     "our-stdlib warning: 0.2 % nothing does @paper plain @require chalk.moisture > 50 %, severity warning\n"
     "our-bill warning: 100 g nothing does @plain-fibre 100 % @require b.mass > 1 kg, severity warning\n"
     "our-vessel warning: 9 times nothing does @turn 9 times @require s.turns > 9 times, severity warning\n"
     "our-part warning: 9 times nothing does @turn 9 times @require s.turns > 9 times, severity warning\n"},
    {"a value that breaks what the paper expects is none",
     "rule our-loss:\n  each s from steps(losing)\n  require s.share <= 0.05, severity warning\n  change share of s, within 0.01..0.5\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "  expect fibre-charge, within 120 g..126 g", "lose 20 %", "",
     "our-loss warning: 20 % nothing does @20 % @require s.share <= 0.05, severity warning\n"},
    {"a value outside of what it may be",
     "rule our-turns:\n  each s from steps(turning)\n  require s.turns <= 5 times, severity warning\n  change turns of s, within 6 times..9 times\n  says \"{found}, {limit}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n""rule our-loss:\n  each s from steps(losing)\n  require s.share <= 0.05, severity warning\n  change share of s, within 0.001..0.1\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 9 times\nlose 20 %", "",
     "our-turns warning: 9 times, 5 times nothing does @9 times @require s.turns <= 5 times, severity warning\n"
     "our-loss warning: 20 % nothing does @20 % @require s.share <= 0.05, severity warning\n"},
    {"a requirement that compares nothing",
     "rule our-turns:\n  each s from steps(turning)\n  require s.bath is none, severity warning\n  change turns of s, within 1 times..9 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 9 times, at 40 °C", "",
     "our-turns warning: ____ nothing does @9 times @require s.bath is none, severity warning\n"},
    {"a range that is not told",
     "rule our-turns:\n  each s from steps(turning)\n  require s.turns < 5 times, severity warning\n  change turns of s, within 1 times..mine.turns\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\nmaterial mine:\n  class filler\nend\nfields material:\n  has turns as count = none\nend\n",
     "", "turn 9 times", "",
     "our-turns warning: 9 times nothing does @9 times @require s.turns < 5 times, severity warning\n"},
    {"the nearer of two ends",
     "rule our-turns:\n  each s from steps(turning)\n  require most(s.turns - 40 times, 40 times - s.turns) >= 15.5 times, severity warning\n  change turns of s, within 1 times..99 times\n  says \"{found}, {limit}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 35 times", "",
     "our-turns warning: 5 times, 15.5 times 24 times proposes 24 times @35 times @35 times @require most(s.turns - 40 times, 40 times - s.turns) >= 15.5 times, severity warning\n"},
    {"the nearer of two ends is the upper one",
     "rule our-turns:\n  each s from steps(turning)\n  require most(s.turns - 40 times, 40 times - s.turns) >= 15.5 times, severity warning\n  change turns of s, within 1 times..60 times\n  says \"{found}, {limit}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 45 times", "",
     "our-turns warning: 5 times, 15.5 times 56 times proposes 56 times @45 times @45 times @require most(s.turns - 40 times, 40 times - s.turns) >= 15.5 times, severity warning\n"},
    {"no more asked at an end is not mended there",
     "rule our-turns:\n  each s from steps(turning)\n  require most(s.turns - 40 times, 40 times - s.turns) >= 15.5 times, severity warning when s.turns < 58 times\n  change turns of s, within 1 times..60 times\n  says \"{found}, {limit}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 45 times", "",
     "our-turns warning: 5 times, 15.5 times 24 times proposes 24 times @45 times @45 times @require most(s.turns - 40 times, 40 times - s.turns) >= 15.5 times, severity warning when s.turns < 58 times\n"},
    {"no more asked at the lower end is not mended there",
     "rule our-turns:\n  each s from steps(turning)\n  require most(s.turns - 40 times, 40 times - s.turns) >= 15.5 times, severity warning when s.turns > 2 times\n  change turns of s, within 1 times..60 times\n  says \"{found}, {limit}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 30 times", "",
     "our-turns warning: 10 times, 15.5 times 56 times proposes 56 times @30 times @30 times @require most(s.turns - 40 times, 40 times - s.turns) >= 15.5 times, severity warning when s.turns > 2 times\n"},
    {"a number of many decimals",
     "rule our-bath:\n  each s from steps(turning)\n  require s.bath < 40.00000000055 °C, severity warning\n  change bath of s, within 20 °C..90 °C\n  says \"{found}\"\n  mend \"{needed}, not {change.now}\" else \"nothing does\"\nend\n",
     "", "turn 9 times, at 45.00000000123 °C", "",
     "our-bath warning: 45 °C 39.999998808 °C, not 45.000000001 °C proposes 39.999998808 °C @45.00000000123 °C @45.00000000123 °C @require s.bath < 40.00000000055 °C, severity warning\n"},
    {"the batches of the paper are worked out, too, and no others",
     "rule our-loss:\n  each s from steps(losing)\n  require s.share <= 0.05, severity warning\n  change share of s, within 0.01..1\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "lose 20 %", "paper second:\n  title \"Second\"\n  grammage 100 g/m²\n  mould square\n  moisture 0 %\n  furnish:\n    plain-fibre 100 %\n  end\n  procedure:\n    blend\n    form-by-measure losing 0 %\n  end\nend\nbatch \"S\":\n  paper second\n  sheets 10\nend\nbatch \"P\":\n  paper plain\n  sheets 10\nend\nbatch \"Q\":\n  paper plain\n  sheets 20\nend",
     "our-loss warning: 20 % 5.0 % proposes 5.0 % @20 % @20 % @require s.share <= 0.05, severity warning\n"},
    {"a batch that does not say which variant it orders is passed over",
     "rule our-few:\n  each s from steps(turning)\n  require s.turns >= 5 times, severity warning\n  change turns of s, within 1 times..20 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n"
     "rule our-more:\n  each s from steps(turning)\n  require fibre-charge > 1 g, severity warning\n  require s.turns >= 7 times, severity warning when s.turns >= 5 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "  title \"Plain {weight}\"\n  grammage weight\n  vary weight over 100 g/m², 110 g/m²", "turn 2 times", "batch \"P\":\n  paper plain\n  sheets 10\nend",
     "our-few warning: 2 times 7 times proposes 7 times @2 times @2 times @require s.turns >= 5 times, severity warning\n"
     "vary-not-chosen error: This batch does not say which weight. Add it behind `with`. @paper plain\n"},
    {"of a paper with many variants the first ones are tried",
     "rule our-few:\n  each s from steps(turning)\n  require s.turns >= 5 times, severity warning\n  change turns of s, within 1 times..20 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "  title \"Plain {weight}\"\n  grammage weight\n  vary weight over 100 g/m², 101 g/m², 102 g/m², 103 g/m², 104 g/m², 105 g/m², 106 g/m², 107 g/m², 108 g/m², 109 g/m², 110 g/m², 111 g/m², 112 g/m², 113 g/m², 114 g/m², 115 g/m², 116 g/m², 117 g/m², 118 g/m², 119 g/m², 120 g/m², 121 g/m², 122 g/m², 123 g/m², 124 g/m², 125 g/m², 126 g/m², 127 g/m², 128 g/m², 129 g/m², 130 g/m², 131 g/m², 132 g/m², 133 g/m², 134 g/m², 135 g/m², 136 g/m², 137 g/m², 138 g/m², 139 g/m², 140 g/m²", "turn 2 times", "",
     "our-few warning: 2 times 5 times proposes 5 times @2 times @2 times @require s.turns >= 5 times, severity warning\n"},
    {"the value that does for all variants, downwards",
     "rule our-few:\n  each s from steps(turning)\n  require s.turns <= 5 times * (paper.grammage.aim / 100 g/m²), severity warning\n  change turns of s, within 1 times..20 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "  title \"Plain {weight}\"\n  grammage weight\n  vary weight over 100 g/m², 120 g/m², 80 g/m²", "turn 9 times", "",
     "our-few warning: 9 times 4 times proposes 4 times @9 times @9 times @require s.turns <= 5 times * (paper.grammage.aim / 100 g/m²), severity warning\n"},
    {"the value that does for all variants, upwards",
     "rule our-few:\n  each s from steps(turning)\n  require s.turns >= 5 times * (paper.grammage.aim / 100 g/m²), severity warning\n  change turns of s, within 1 times..20 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "  title \"Plain {weight}\"\n  grammage weight\n  vary weight over 100 g/m², 120 g/m², 80 g/m²", "turn 2 times", "",
     "our-few warning: 2 times 6 times proposes 6 times @2 times @2 times @require s.turns >= 5 times * (paper.grammage.aim / 100 g/m²), severity warning\n"},
    {"a value that does for one variant alone",
     "rule our-few:\n  each s from steps(turning)\n  require s.turns <= 5 times * (paper.grammage.aim / 100 g/m²), severity warning\n  change turns of s, within 5 times..20 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "  title \"Plain {weight}\"\n  grammage weight\n  vary weight over 100 g/m², 80 g/m²", "turn 9 times", "",
     "our-few warning: 9 times nothing does @9 times @require s.turns <= 5 times * (paper.grammage.aim / 100 g/m²), severity warning\n"},
    {"what is rounded lies below what it may be",
     "rule our-few:\n  each s from steps(turning)\n  require s.turns <= 4.5 times, severity warning\n  change turns of s, within 4.2 times..9 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 9 times", "",
     "our-few warning: 9 times nothing does @9 times @require s.turns <= 4.5 times, severity warning\n"},
    {"what is rounded lies above what it may be",
     "rule our-few:\n  each s from steps(turning)\n  require s.turns >= 5.5 times, severity warning\n  change turns of s, within 1 times..5.8 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 2 times", "",
     "our-few warning: 2 times nothing does @2 times @require s.turns >= 5.5 times, severity warning\n"},
    {"what was typed lies below what it may be",
     "rule our-few:\n  each s from steps(turning)\n  require s.turns >= 5.5 times, severity warning\n  change turns of s, within 4 times..9 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 2 times", "",
     "our-few warning: 2 times nothing does @2 times @require s.turns >= 5.5 times, severity warning\n"},
    {"one rule behind the other, to the third",
     "rule our-few:\n  each s from steps(turning)\n  require s.turns >= 5 times, severity warning\n  change turns of s, within 1 times..20 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n"
     "rule our-seven:\n  each s from steps(turning)\n  require s.turns >= 7 times, severity warning when s.turns >= 5 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n"
     "rule our-nine:\n  each s from steps(turning)\n  require s.turns >= 9 times, severity warning when s.turns >= 7 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n"
     "rule our-eleven:\n  each s from steps(turning)\n  require s.turns >= 11 times, severity warning when s.turns >= 9 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 2 times", "",
     "our-few warning: 2 times nothing does @2 times @require s.turns >= 5 times, severity warning\n"},
    {"another rule that nothing mends",
     "rule our-few:\n  each s from steps(turning)\n  require s.turns >= 5 times, severity warning\n  change turns of s, within 1 times..20 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n"
     "rule our-thirty:\n  each s from steps(turning)\n  require s.turns >= 30 times, severity warning when s.turns >= 5 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 2 times", "",
     "our-few warning: 2 times nothing does @2 times @require s.turns >= 5 times, severity warning\n"},
    {"where the number ends there is no such paper",
     "rule our-loss:\n  each s from steps(losing)\n  require s.share <= 0.05, severity warning\n  change share of s, within 0.01..1\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "lose 20 %", "",
     "our-loss warning: 20 % 5.0 % proposes 5.0 % @20 % @20 % @require s.share <= 0.05, severity warning\n"},
    {"with the value there is no such paper in another variant",
     "step turn-much:\n  role turning\n  takes turns as count\n  loses choose(turns > 4 times and paper.grammage.aim > 105 g/m², 100 %, 1 %) from stuff\nend\n"
     "rule our-few:\n  each s from steps(turning)\n  require s.turns >= 5 times, severity warning when paper.grammage.aim < 105 g/m²\n  change turns of s, within 1 times..20 times\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "  title \"Plain {weight}\"\n  grammage weight\n  vary weight over 100 g/m², 110 g/m²", "turn-much 2 times", "",
     "our-few warning: 2 times nothing does @2 times @require s.turns >= 5 times, severity warning when paper.grammage.aim < 105 g/m²\n"},
    {"what is at its limit but for rounding holds",
     "rule our-loss:\n  each s from steps(losing)\n  require 3 * s.share <= 0.3, severity warning\n  change share of s, within 0.01..0.5\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n"
     "rule our-dup:\n  each a from steps(losing)\n  each b from steps(turning)\n  require fibre-charge > 1 kg, severity warning\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "lose 10 %\nlose 20 %\nturn 9 times", "",
     "our-loss warning: 0.6 10.0 % proposes 10.0 % @20 % @20 % @require 3 * s.share <= 0.3, severity warning\n"
     "our-dup warning: 138.9 g ____ @turn 9 times @require fibre-charge > 1 kg, severity warning\n"},
    {"another rule that is mended where the first speaks again",
     "rule our-warm:\n  each s from steps(turning)\n  require most(least(s.bath - 50 °C, 60 °C - s.bath), s.bath - 75 °C) >= 0 K, severity warning\n  change bath of s, within 10 °C..80 °C\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n"
     "rule our-hot:\n  each s from steps(turning)\n  require s.bath >= 70 °C, severity warning when s.bath >= 50 °C\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 2 times, at 20.0 °C", "",
     "our-warm warning: -30 K nothing does @20.0 °C @require most(least(s.bath - 50 °C, 60 °C - s.bath), s.bath - 75 °C) >= 0 K, severity warning\n"},
    {"parts of a step, and severities that are worked out",
     "rule our-parts:\n  each     s from steps(turning)\n  let      most as count = 1 times\n  require  s.number < most, severity note\n  says     \"{s.role} {s.begins} {s.ends}\" when s.vessel is none\nend\n"
     "rule our-none:\n  each     s from steps(turning)\n  require  count(each a from s.additions) > 0 times, severity choose(s.role is turning, warning, error)\n  says     \"{found}\" when s is turn\n  mend     \"It is {s.turns}.\"\nend\n",
     "", "turn 9 times", "",
     "our-parts note: turning 0 h 0 h @turn 9 times @require  s.number < most, severity note\n"
     "our-none warning: 0 times It is 9 times. @turn 9 times @require  count(each a from s.additions) > 0 times, severity choose(s.role is turning, warning, error)\n"},
    {"two lines that are both wrong each have their own value",
     "rule our-bath:\n  each s from steps(turning)\n  require s.bath <= 40 °C, severity warning\n  change bath of s, within 20 °C..90 °C\n  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n",
     "", "turn 9 times, at 50 °C\nturn 8 times, at 60.0 °C", "",
     "our-bath warning: 50 °C 40 °C proposes 40 °C @50 °C @50 °C @require s.bath <= 40 °C, severity warning\n"
     "our-bath warning: 60 °C 40.0 °C proposes 40.0 °C @60.0 °C @60.0 °C @require s.bath <= 40 °C, severity warning\n"},
};

static void put(char *out, size_t room, const char *text, int length)
{
    size_t used = strlen(out);
    snprintf(out + used, room - used, "%.*s", length, text);
}

/* What is typed at AT, to the end of its line. */
static void put_place(char *out, size_t room, const Workshop *workshop, Span at)
{
    const char *text = sources_bytes(&workshop_world(workshop)->sources, at.start);
    size_t line = strcspn(text, "\n"), length = at.end - at.start;
    put(out, room, " @", 2);
    put(out, room, text, (int)(length < line ? length : line));
}

static void put_message(char *out, size_t room, const Workshop *workshop, const Message *message)
{
    static const char *const severities[] = {"note", "warning", "error"};
    put(out, room, message->name, 100);
    put(out, room, " ", 1);
    put(out, room, severities[message->severity], 100);
    put(out, room, ": ", 2);
    put(out, room, message->says, 400);
    if (message->mend[0] != '\0') {
        put(out, room, " ", 1);
        put(out, room, message->mend, 400);
    }
    if (message->source != NULL) {
        put(out, room, " | ", 3);
        put(out, room, message->source, 100);
    }
    if (message->edit_text != NULL) {
        put(out, room, " proposes ", 10);
        put(out, room, message->edit_text, 100);
        put_place(out, room, workshop, message->edit);
    }
    put_place(out, room, workshop, message->at);
    for (uint32_t i = 0; i < message->other_count; i++)
        put_place(out, room, workshop, message->others[i].at);
    put(out, room, "\n", 1);
}

static bool is_case(Workshop *workshop, const void *one)
{
    const Case *at = one;
    static char text[65536];
    int length = snprintf(text, sizeof text, script, at->lines,
                          strstr(at->paper, "grammage") == NULL ? "  title \"Plain\"\n  grammage 100 g/m²\n" : "", at->paper, at->steps, at->behind);
    assert_true(length < (int)sizeof text);
    assert_int_equal(workshop_clear(workshop), WATERLEAF_FINE);
    workshop_read_text(workshop, "ruled.wleaf", text, (size_t)length);
    assert_int_equal(workshop_check(workshop), WATERLEAF_FINE);
    char said[16384] = "";
    const Messages *messages = workshop_messages(workshop);
    for (uint32_t i = 0; i < messages->list.count; i++)
        if (messages->list.at[i].severity == SEVERITY_ERROR || strncmp(messages->list.at[i].name, "our-", 4) == 0)
            put_message(said, sizeof said, workshop, &messages->list.at[i]);
    if (strcmp(said, at->said) != 0)
        fprintf(stderr, "%s: it says\n%sand not\n%s", at->what, said, at->said);
    return strcmp(said, at->said) == 0;
}

static void rules_say_what_they_must(void **state)
{
    (void)state;
    cases_hold(false, is_case, cases);
}

/* Behind more rules that speak anyway than anyone counts on, what a value would bring is still seen. */
static void many_rules_are_all_seen(void **state)
{
    (void)state;
    static char lines[60000];
    static const char said[] = "our-few error: 9 times nothing does @9 times @require s.turns <= 5 times, severity error\n";
    size_t length = 0;
    for (int i = 0; i < 520; i++)
        length += (size_t)snprintf(lines + length, sizeof lines - length, "rule more-%d:\n  require fibre-charge > 1 kg, severity note\n  says \"x\"\nend\n", i);
    length += (size_t)snprintf(lines + length, sizeof lines - length, "%s%s",
        "rule our-many:\n  each s from steps(turning)\n  require s.turns >= 6 times, severity note when s.turns < 9 times\n  says \"few\"\nend\n",
        "rule our-few:\n  each s from steps(turning)\n  require s.turns <= 5 times, severity error\n  change turns of s, within 1 times..9 times\n"
        "  says \"{found}\"\n  mend \"{needed}\" else \"nothing does\"\nend\n");
    assert_true(length < sizeof lines);
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    assert_non_null(workshop);
    assert_true(is_case(workshop, &(Case){"many rules", lines, "", "turn 9 times", "", said}));
    workshop_close(workshop);
}

/* Without a stdlib: steps are numbered without a unit, and begin and end at no time, since no time has a unit. */
static const char bare[] =
    "waterleaf 1\n"
    "kind mass shown in kg\nunit kg of mass\n"
    "fields content:\n  has material as material\n  has mass as mass\nend\n"
    "fields material:\n  has class one-of fibre, other = fibre\nend\n"
    "fields stream:\nend\nfields stuff within stream:\nend\nfields sheet:\nend\nfields mill:\nend\n"
    "fields paper:\n  has title as text\nend\n"
    "step join:\n  joins streams into stuff\nend\n"
    "step form:\n  makes sheet from stuff, of 2 kg\nend\n"
    "material pulp:\nend\n"
    "rule our-number:\n  each s from steps(form)\n  require s.%s < 2, severity note\n  says \"{found}\"\nend\n"
    "paper plain:\n  title \"Plain\"\n  furnish:\n    pulp 100 %%\n  end\n  procedure:\n    join\n    form\n  end\nend\n";

static void rules_stand_alone(void **state)
{
    (void)state;
    static const struct { const char *part, *said, *says; } parts[] = {{"number", "our-number", "2"}, {"begins", "no-such-part", NULL}};
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = "tests/unit/bare"});
    assert_non_null(workshop);
    for (size_t i = 0; i < 2; i++) {
        char text[2048];
        int length = snprintf(text, sizeof text, bare, parts[i].part);
        assert_int_equal(workshop_clear(workshop), WATERLEAF_FINE);
        assert_int_equal(workshop_read_text(workshop, "bare.wleaf", text, (size_t)length), WATERLEAF_FINE);
        assert_int_equal(workshop_check(workshop), WATERLEAF_FINE);
        const Messages *messages = workshop_messages(workshop);
        assert_int_equal(messages->list.count, 1);
        assert_string_equal(messages->list.at[0].name, parts[i].said);
        if (parts[i].says != NULL)
            assert_string_equal(messages->list.at[0].says, parts[i].says);
    }
    workshop_close(workshop);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rules_say_what_they_must),
        cmocka_unit_test(many_rules_are_all_seen),
        cmocka_unit_test(rules_stand_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
