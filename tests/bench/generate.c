/* Makes what is measured: a library of papers as the examples have them, and the same papers as Lua, as JSON, and as a
 * jsonnet program that works out the closed chain of a plain paper. The same numbers come out on every machine.
 *
 *   generate library|lua|json BYTES     as many papers as fill so many bytes
 *   generate papers|jsonnet COUNT       so many papers; they are those with which a library begins
 *   generate variants COUNT             one paper of so many variants
 */
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct Dice { uint64_t state; } Dice;

static uint64_t roll(Dice *dice)
{
    uint64_t z = dice->state += 0x9E3779B97F4A7C15u;
    z = (z ^ z >> 30) * 0xBF58476D1CE4E5B9u;
    z = (z ^ z >> 27) * 0x94D049BB133111EBu;
    return z ^ z >> 31;
}

static unsigned below(Dice *dice, unsigned most) { return (unsigned)(roll(dice) % most); }

#define ONE_OF(dice, list) ((list)[below((dice), sizeof (list) / sizeof *(list))])

static const char *const fibres[] = {"cotton-linters", "cotton-half-stuff", "linen-half-stuff", "abaca", "cotton-linters-first-cut"};
static const char *const purposes[] = {"watercolour", "printmaking", "drawing", "writing", "binding"};
static const char *const adjectives[] = {"River", "Hill", "Autumn", "Harbour", "Chapel", "Meadow", "Quarry", "Winter", "Orchard", "Heron"};
static const char *const nouns[] = {"Wove", "Laid", "Folio", "Sheet", "Text", "Cover", "Drawing", "Album", "Letter", "Block"};
static const char *const sayings[] = {
    "Take the pick-up of the first five sheets of every lot.",
    "The linters only want to be brushed out: beaten longer they cut, and the sheet goes hard.",
    "Hold each sheet to the light before it is laid on the pile.",
    "Wash the felts before this one; the last was coloured.",
    "Ask the loft for the warm side in winter, and for the shaded one in June.",
    "If it shows the felt after damping, press it once more on the next lot.",
};

enum { MOST_FIBRES = 3, MOST_WEIGHTS = 4 };

typedef struct Paper {
    unsigned number, fibre_count, weight_count;
    const char *fibre[MOST_FIBRES], *purpose, *adjective, *noun, *saying, *remark;
    unsigned share[MOST_FIBRES], minutes[MOST_FIBRES], freeness[MOST_FIBRES], weight[MOST_WEIGHTS];
    unsigned chalk, starch, vat, posts, pressure, days, pick_up, strength, sheets, sure, keeping;
    bool two_finishes, sized, batch, own_fibre, own_mould;
} Paper;

static Paper paper_of(unsigned number)
{
    Dice dice = {number * 2654435761u + 17};
    Paper paper = {.number = number, .fibre_count = 1 + below(&dice, MOST_FIBRES), .weight_count = 1 + below(&dice, MOST_WEIGHTS)};
    unsigned left = 100, first = below(&dice, 5);
    for (unsigned i = 0; i < paper.fibre_count; i++) {
        paper.fibre[i] = fibres[(first + i) % 5];
        paper.share[i] = i + 1 == paper.fibre_count ? left : 5 * (1 + below(&dice, left / 5 - (paper.fibre_count - i)));
        left -= paper.share[i];
        paper.minutes[i] = 10 + 5 * below(&dice, 60);
        paper.freeness[i] = 20 + below(&dice, 25);
    }
    for (unsigned i = 0; i < paper.weight_count; i++)
        paper.weight[i] = 90 + 70 * i + 5 * below(&dice, 10);
    paper.purpose = ONE_OF(&dice, purposes);
    paper.adjective = ONE_OF(&dice, adjectives);
    paper.noun = ONE_OF(&dice, nouns);
    paper.saying = ONE_OF(&dice, sayings);
    paper.remark = ONE_OF(&dice, sayings);
    paper.chalk = 30 + below(&dice, 30);
    paper.starch = 4 + below(&dice, 8);
    paper.vat = 7 + below(&dice, 6);
    paper.posts = 12 + below(&dice, 20);
    paper.pressure = 300 + 10 * below(&dice, 40);
    paper.days = 1 + below(&dice, 4);
    paper.pick_up = 40 + below(&dice, 40);
    paper.strength = 20 + below(&dice, 30);
    paper.sheets = 10 + below(&dice, 90);
    paper.sure = 80 + below(&dice, 19);
    paper.keeping = 65 + below(&dice, 25);
    paper.two_finishes = below(&dice, 2) != 0;
    paper.sized = below(&dice, 2) != 0;
    paper.batch = below(&dice, 3) == 0;
    paper.own_fibre = below(&dice, 40) == 0 && paper.share[0] > 5;
    paper.own_mould = below(&dice, 60) == 0;
    return paper;
}

/* ---- as a script ---- */

static void begin_library(void)
{
    puts("waterleaf 1\n\n"
         "# A library of papers that nobody makes: every number in it is drawn by lot.\n\n"
         "# The mould that most of them come from.\nmould plain-wove:\n  title    \"Plain, wove\"\n  opening  575 mm by 783 mm\n"
         "  wires    wove\n  mass     3.2 kg                  measured\n  lifted-by  2 times             practice\nend\n\n"
         "mill of-the-lot:\n  title    \"The mill of the lot\"\n  beater   hollander     of 60 L, at-least 1 L\n  chest    of 3_000 L\n  vat      of 400 L\n"
         "  deckle   80 mm\n  lifts    80 kg\n  moulds   plain-wove\n  felts    52\n  press    of 60 t, on 24 in by 32 in, opening 500 mm\n  loft     of 320 sheets\n"
         "  tub      of 60 L, needing 25 L\n  hands    2\n  forms    18 sheets/h\n  parcel   140 sheets\n"
         "  extraction  yes\n  post-moved  on-rollers\nend\n\n"
         "machine the-beater:\n  works-as       beater\n  guarded        yes\n  trained        \"both hands\"\n  dated          2026-09-14\n"
         "  switch-tested  2027-01-04\n  water-proof    \"IPX5\"\nend\n\n"
         "machine the-press:\n  works-as       press\n  guarded        yes\n  trained        \"both hands\"\n  dated          2026-09-14\nend");
    static const char *const recorded[] = {"chalk", "gelatine", "cationic-starch"};
    for (int i = 0; i < 3; i++)
        printf("\nsafety-sheet %s-sheet:\n  material  %s\n  sheet     \"invented %d\"\n  dated     2026-02-20\n  signal    no-signal\n"
               "  hazards   \"not classified\"\n  quartz    0.2 %%\nend\n", recorded[i], recorded[i], i);
}

static void write_things(const Paper *paper)
{
    if (paper->own_fibre)
        printf("\n# Bought once, for this paper alone: strong, and slow to drain.\nmaterial fibre-%u:\n  class      fibre\n"
               "  moisture   9.5 %%                            supplier\n  shrink     about 5 %%, between 3 %%..8 %%       practice\n"
               "  dyed       no\nend\n", paper->number);
    if (paper->own_mould)
        printf("\nmould mould-%u:\n  opening  %u mm by %u mm\n  wires    laid\nend\n", paper->number, 300 + paper->chalk, 420 + paper->pressure / 5);
}

static void write_furnish(const Paper *paper)
{
    puts("\n  furnish:");
    for (unsigned i = 0; i < paper->fibre_count; i++)
        printf("    %-20s %u %%\n", paper->fibre[i], paper->share[i] - (i == 0 && paper->own_fibre ? 5 : 0));
    if (paper->own_fibre)
        printf("    fibre-%-14u 5 %%, as strengthening\n", paper->number);
    puts("  end");
}

static void write_procedure(const Paper *paper)
{
    puts("\n  procedure:");
    for (unsigned i = 0; i < paper->fibre_count; i++)
        printf("    soak         %-20s for %u h\n    beat         %-20s at 2.%u %%, for %u min, to %u °SR\n", paper->fibre[i], 4 + i,
               paper->fibre[i], i, paper->minutes[i], paper->freeness[i]);
    if (paper->own_fibre)
        printf("    beat         strengthening        at 1.8 %%, for 3 h, to 45 °SR\n");
    printf("    blend        into chest\n    # %s\n", paper->remark);
    printf("    add          chalk                %u.%u %% on fibre, as slurry of 20 %% w/w\n", paper->chalk / 10, paper->chalk % 10);
    printf("    add          cationic-starch      %u.%u %% on fibre, cooked at 3 %% w/w\n", paper->starch / 10, paper->starch % 10);
    printf("    add          akd-emulsion         0.6 %% on fibre\n    charge-vat   to %u.%u %%\n", paper->vat / 10, paper->vat % 10);
    printf("    form         into posts of %u, surplus to beater\n    press        at %u kPa, for 20 min\n", paper->posts, paper->pressure);
    if (paper->two_finishes)
        puts("    when finish is cold-pressed:\n      part\n      exchange-press at 250 kPa, 2 times\n    end");
    printf("    loft-dry     for %u d\n    heat-set     at 80 °C, for 30 min\n", paper->days);
    if (paper->sized)
        printf("    tub-size     with gelatine, at %u.%u %% w/v dry, 43 °C, taking-up %u %% of sheet-as-it-is\n    loft-dry     for %u d\n",
               paper->strength / 10, paper->strength % 10, paper->pick_up, paper->days);
    printf("    mature       for 14 d\n    sort         keeping %u %%\n  end\n", paper->keeping);
}

static void write_paper(const Paper *paper)
{
    write_things(paper);
    printf("\n# %s\n# %s\npaper paper-%u:\n  title      \"%s %s %u {weight in g/m²}%s\"\n  vary       weight   over %u g/m²", paper->saying, paper->remark,
           paper->number, paper->adjective, paper->noun, paper->number, paper->two_finishes ? " {finish}" : "", paper->weight[0]);
    for (unsigned i = 1; i < paper->weight_count; i++)
        printf(", %u g/m²", paper->weight[i]);
    if (paper->two_finishes)
        printf("\n  vary       finish   over rough, cold-pressed");
    printf("\n  purpose    %s\n  mould      ", paper->purpose);
    printf(paper->own_mould ? "mould-%u" : "plain-wove", paper->number);
    printf("\n  grammage   weight, mean within 5 %%, sheets within 10 %%\n  surface    %s\n  claims     acid-free\n",
           paper->two_finishes ? "finish" : "rough");
    write_furnish(paper);
    write_procedure(paper);
    printf("\n  note  \"%s\"\nend\n", paper->saying);
    if (paper->batch)
        printf("\nbatch \"L-%u\":\n  paper   paper-%u, with weight %u g/m²%s\n  mill    of-the-lot\n  sheets  %u, sure %u %%\n  start   2027-%02u-%02u\nend\n",
               paper->number, paper->number, paper->weight[0], paper->two_finishes ? ", finish rough" : "", paper->sheets, paper->sure,
               1 + paper->number % 12, 1 + paper->number % 28);
}

/* ---- as Lua: what a mill would write that kept its papers as a program ---- */

static void begin_lua(void) { puts("local papers = {}\nlocal h, min, d, kPa = 3600, 60, 86400, 1000"); }

static void lua_paper(const Paper *paper)
{
    printf("\n-- %s\n-- %s\npapers[\"paper-%u\"] = {\n  title = function(v) return \"%s %s %u \" .. v.weight end,\n  weights = {", paper->saying, paper->remark,
           paper->number, paper->adjective, paper->noun, paper->number);
    for (unsigned i = 0; i < paper->weight_count; i++)
        printf("%s%u", i == 0 ? "" : ", ", paper->weight[i]);
    printf("},\n  finishes = {\"rough\"%s},\n  purpose = \"%s\", mould = \"plain-wove\", mean_within = 0.05, sheets_within = 0.10,\n  furnish = {\n",
           paper->two_finishes ? ", \"cold-pressed\"" : "", paper->purpose);
    for (unsigned i = 0; i < paper->fibre_count; i++)
        printf("    {material = \"%s\", share = %.2f},\n", paper->fibre[i], paper->share[i] / 100.0);
    puts("  },\n  procedure = function(p, v)");
    for (unsigned i = 0; i < paper->fibre_count; i++)
        printf("    p:soak(\"%s\", {time = %u * h})\n    p:beat(\"%s\", {consistency = 0.02%u, time = %u * min, to = %u})\n", paper->fibre[i], 4 + i,
               paper->fibre[i], i, paper->minutes[i], paper->freeness[i]);
    printf("    p:blend(\"chest\")\n    -- %s\n    p:add(\"chalk\", {dose = 0.0%u, slurry = 0.20})\n    p:add(\"cationic-starch\", {dose = %.4f, paste = 0.03})\n"
           "    p:add(\"akd-emulsion\", {dose = 0.006})\n    p:charge_vat({consistency = 0.0%02u})\n    p:form({posts = %u, surplus = \"beater\"})\n"
           "    p:press({pressure = %u * kPa, time = 20 * min})\n",
           paper->remark, paper->chalk, paper->starch / 1000.0, paper->vat, paper->posts, paper->pressure);
    if (paper->two_finishes)
        puts("    if v.finish == \"cold-pressed\" then\n      p:part()\n      p:exchange_press({pressure = 250 * kPa, times = 2})\n    end");
    printf("    p:loft_dry({time = %u * d})\n    p:heat_set({temperature = 80, time = 30 * min})\n", paper->days);
    if (paper->sized)
        printf("    p:tub_size(\"gelatine\", {strength = 0.0%u, bath = 43, pick_up = 0.%u})\n    p:loft_dry({time = %u * d})\n", paper->strength,
               paper->pick_up, paper->days);
    printf("    p:mature({time = 14 * d})\n    p:sort({keeping = 0.%u})\n  end,\n  note = \"%s\",\n}\n", paper->keeping, paper->saying);
}

/* ---- as JSON: the same steps as in the script ---- */

static void json_quantity(const char *word, double value, const char *unit)
{
    printf(", \"%s\": {\"value\": %g, \"unit\": \"%s\"}", word, value, unit);
}

static void json_step(const char *step, const char *what)
{
    printf("}, {\"step\": \"%s\"", step);
    if (what != NULL)
        printf(", \"what\": \"%s\"", what);
}

static void json_stuff(const Paper *paper)
{
    for (unsigned i = 0; i < paper->fibre_count; i++) {
        printf(i == 0 ? "{\"step\": \"soak\", \"what\": \"%s\"" : "}, {\"step\": \"soak\", \"what\": \"%s\"", paper->fibre[i]);
        json_quantity("for", 4 + i, "h");
        json_step("beat", paper->fibre[i]);
        json_quantity("at", 2 + i / 10.0, "%");
        json_quantity("for", paper->minutes[i], "min");
        json_quantity("to", paper->freeness[i], "°SR");
    }
    json_step("blend", NULL);
    printf(", \"into\": \"chest\"");
    json_step("add", "chalk");
    json_quantity("dose", paper->chalk / 10.0, "% on fibre");
    json_quantity("slurry", 20, "% w/w");
    json_step("add", "cationic-starch");
    json_quantity("dose", paper->starch / 10.0, "% on fibre");
    json_quantity("cooked-at", 3, "% w/w");
    json_step("add", "akd-emulsion");
    json_quantity("dose", 0.6, "% on fibre");
}

static void json_sheets(const Paper *paper)
{
    json_step("charge-vat", NULL);
    json_quantity("to", paper->vat / 10.0, "%");
    json_step("form", NULL);
    printf(", \"posts\": %u, \"surplus\": \"beater\"", paper->posts);
    json_step("press", NULL);
    json_quantity("at", paper->pressure, "kPa");
    json_quantity("for", 20, "min");
    if (paper->two_finishes) {
        json_step("part", NULL);
        printf(", \"when\": {\"finish\": \"cold-pressed\"}");
        json_step("exchange-press", NULL);
        json_quantity("at", 250, "kPa");
        printf(", \"times\": 2, \"when\": {\"finish\": \"cold-pressed\"}");
    }
    json_step("loft-dry", NULL);
    json_quantity("for", paper->days, "d");
    json_step("heat-set", NULL);
    json_quantity("at", 80, "°C");
    json_quantity("for", 30, "min");
    if (paper->sized) {
        json_step("tub-size", "gelatine");
        json_quantity("strength", paper->strength / 10.0, "% w/v dry");
        json_quantity("bath", 43, "°C");
        json_quantity("taking-up", paper->pick_up, "% of sheet-as-it-is");
        json_step("loft-dry", NULL);
        json_quantity("for", paper->days, "d");
    }
    json_step("mature", NULL);
    json_quantity("for", 14, "d");
    json_step("sort", NULL);
    json_quantity("keeping", paper->keeping, "%");
}

static void json_paper(const Paper *paper)
{
    printf("%s{\"paper\": \"paper-%u\", \"title\": \"%s %s %u\", \"remarks\": [\"%s\", \"%s\"], \"purpose\": \"%s\", \"weights\": [", paper->number == 0 ? "[" : ",\n",
           paper->number, paper->adjective, paper->noun, paper->number, paper->saying, paper->remark, paper->purpose);
    for (unsigned i = 0; i < paper->weight_count; i++)
        printf("%s{\"value\": %u, \"unit\": \"g/m²\"}", i == 0 ? "" : ", ", paper->weight[i]);
    printf("], \"finishes\": [\"rough\"%s], \"furnish\": [", paper->two_finishes ? ", \"cold-pressed\"" : "");
    for (unsigned i = 0; i < paper->fibre_count; i++)
        printf("%s{\"material\": \"%s\", \"share\": {\"value\": %u, \"unit\": \"%%\"}}", i == 0 ? "" : ", ", paper->fibre[i], paper->share[i]);
    printf("], \"procedure\": [");
    json_stuff(paper);
    json_sheets(paper);
    printf("}], \"note\": \"%s\"}", paper->saying);
}

/* ---- as jsonnet: the closed chain of a plain paper, once for each variant ---- */

static void begin_jsonnet(void)
{
    puts("local chain(p, grammage) = {\n"
         "  local size_on = if p.sized then p.pick_up * p.strength / 1.0 / (1 - 0.06) else 0,\n"
         "  local area = 0.575 * 0.783 * (1 - p.shrink) * (1 - p.shrink),\n"
         "  local heel = 400 * p.vat / (p.vat / 1.55 + 1 - p.vat) / (1 + p.chalk + p.starch + 0.006),\n"
         "  dry_grammage: grammage * (1 - 0.065),\n  grammage_before_sizing: self.dry_grammage / (1 + size_on),\n"
         "  fibre_grammage: self.grammage_before_sizing / (1 + p.chalk * 0.65 + p.starch * 0.9 + 0.006 * 0.8),\n"
         "  sheet_area: area,\n  fibre_per_sheet: self.fibre_grammage * area,\n  fibre_formed: p.sheets * self.fibre_per_sheet,\n"
         "  fibre_charge: (self.fibre_formed / (1 - 0.03) + heel) / (1 - 0.01),\n"
         "  local charge = self.fibre_charge,\n"
         "  weigh_out: { [f.material]: charge * f.share / (1 - f.moisture) for f in p.furnish },\n"
         "};\nlocal papers = [");
}

static void jsonnet_paper(const Paper *paper)
{
    printf("  { sized: %s, pick_up: 0.%u, strength: 0.0%u, shrink: 0.024, vat: 0.0%02u, chalk: 0.0%u, starch: %.4f, sheets: %u, weights: [",
           paper->sized ? "true" : "false", paper->pick_up, paper->strength, paper->vat, paper->chalk, paper->starch / 1000.0, paper->sheets);
    for (unsigned i = 0; i < paper->weight_count * (paper->two_finishes ? 2 : 1); i++)
        printf("%s%u", i == 0 ? "" : ", ", paper->weight[i % paper->weight_count]);
    printf("], furnish: [");
    for (unsigned i = 0; i < paper->fibre_count; i++)
        printf("%s{ material: '%s', share: %.2f, moisture: 0.08 }", i == 0 ? "" : ", ", paper->fibre[i], paper->share[i] / 100.0);
    puts("] },");
}

static void end_jsonnet(void) { puts("];\n[chain(p, grammage) for p in papers for grammage in p.weights]"); }

/* ---- one paper of many variants ---- */

static void write_variants(unsigned count)
{
    begin_library();
    printf("\npaper many:\n  title      \"Many {weight in g/m²}\"\n  vary       weight   over 100 g/m²");
    for (unsigned i = 1; i < count; i++)
        printf(", %u.%u g/m²", 100 + i / 5, i % 5 * 2);
    Paper paper = paper_of(0);
    paper.two_finishes = paper.own_fibre = paper.own_mould = false;
    puts("\n  mould      plain-wove\n  grammage   weight, mean within 5 %, sheets within 10 %");
    write_furnish(&paper);
    write_procedure(&paper);
    puts("end");
}

typedef struct Form { const char *name; void (*begin)(void), (*one)(const Paper *paper), (*end)(void); bool counted; } Form;

static void nothing(void) {}
static void end_json(void) { puts("]"); }
static void end_lua(void) { puts("\nreturn papers"); }

static const Form forms[] = {
    {"library", begin_library, write_paper, nothing, false}, {"papers", begin_library, write_paper, nothing, true},
    {"lua", begin_lua, lua_paper, end_lua, false},           {"json", nothing, json_paper, end_json, false},
    {"jsonnet", begin_jsonnet, jsonnet_paper, end_jsonnet, true},
};

int main(int count, char **arguments)
{
    unsigned long most = count == 3 ? strtoul(arguments[2], NULL, 10) : 0;
    if (count == 3 && strcmp(arguments[1], "variants") == 0) {
        write_variants((unsigned)most);
        return ferror(stdout) || fflush(stdout) != 0;
    }
    for (size_t i = 0; i < sizeof forms / sizeof *forms && count == 3; i++) {
        if (strcmp(forms[i].name, arguments[1]) != 0)
            continue;
        if (!forms[i].counted && ftell(stdout) < 0) {
            fputs("generate: where it ends by bytes, it writes to a file\n", stderr);
            return 2;
        }
        forms[i].begin();
        for (unsigned number = 0; forms[i].counted ? number < most : (unsigned long)ftell(stdout) < most; number++) {
            Paper paper = paper_of(number);
            forms[i].one(&paper);
        }
        forms[i].end();
        return ferror(stdout) || fflush(stdout) != 0;
    }
    fputs("usage: generate library|lua|json BYTES >FILE; generate papers|jsonnet|variants COUNT >FILE\n", stderr);
    return 2;
}
