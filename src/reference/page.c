/* The HTML form: one page that needs nothing from outside, in the look of the batch sheets. */
#include "reference/forms.h"

#include "render/html_parts.h"

#include <string.h>

static const char style[] =
    "body{max-width:54em}h3{display:block;font-size:1.05em;margin:1.2em 0 .3em;border-bottom:1px solid #888}\n"
    ".entry{margin:.2em 0;padding:.5em 0 .3em;border-top:1px solid #ccc}.entry:target{background:#f4ecdb}\n"
    ".entry h3,.entry h4{font-size:1em;margin:0;border:none;display:block}.entry h3 a,.entry h4 a{color:#000;text-decoration:none}.entry h3 a:hover,.entry h4 a:hover{text-decoration:underline}\n"
    ".entry p,.entry pre,.entry ul{margin:.3em 0 .3em 1.4em}.entry .scroll{margin-left:1.4em}\n"
    ".aside{float:none;margin:0;font-weight:normal;font-style:italic}\n"
    "pre{overflow-x:auto;background:#f6f6f6;border-left:3px solid #888;padding:.3em .6em;overflow-wrap:normal}\n"
    "pre,code{font:.86em/1.35 'DejaVu Sans Mono',Menlo,Consolas,monospace}pre code{font-size:1em}\n"
    "a{color:#00457c}nav ul{padding-left:1.2em}nav>ul{columns:2 18em;padding:0;list-style:none}nav>ul>li{break-inside:avoid}nav a{display:inline-block;padding:.1em 0}\n"
    ".pair a,.entry h3 a,.entry h4 a{display:inline-block;min-width:1.7em;min-height:1.7em}.pair a{text-align:center}\n" /* to be hit by a finger */
    "#search{position:sticky;top:0;background:#fff;padding:.5em 0;border-bottom:1px solid #000}#search[hidden]{display:none}\n"
    "#search input{font:inherit;padding:.25em .4em;border:1.5px solid #000;max-width:100%;width:18em;box-sizing:border-box}#search output{font-style:italic}\n"
    ".out{display:none!important}.chapter{scroll-margin-top:4em}.part,.entry{scroll-margin-top:4em}\n"
    "@media print{#search,nav{display:none}}\n";

/* Without it the field is not there and the whole page is. What is looked for may be several words, which must all stand in an entry. */
static const char program[] =
    "(function () {\n"
    "  const entries = [...document.querySelectorAll('.entry')].map(at => ({at, words: at.textContent.toLowerCase()}));\n"
    "  const parts = [...document.querySelectorAll('.part,.chapter')];\n"
    "  const other = [...document.querySelectorAll('nav,.part>:not(.entry):not(h3),.chapter>:not(.part):not(.entry):not(h2)')];\n"
    "  const field = document.getElementById('find'), told = document.getElementById('told');\n"
    "  document.getElementById('search').hidden = false;\n"
    "  field.addEventListener('input', () => {\n"
    "    const wanted = field.value.toLowerCase().split(/\\s+/).filter(Boolean);\n"
    "    let count = 0;\n"
    "    for (const entry of entries) {\n"
    "      const found = wanted.every(word => entry.words.includes(word));\n"
    "      entry.at.classList.toggle('out', !found);\n"
    "      count += found;\n"
    "    }\n"
    "    for (const at of other) at.classList.toggle('out', wanted.length > 0);\n"
    "    for (const at of parts) at.classList.toggle('out', wanted.length > 0 && !at.querySelector('.entry:not(.out)'));\n"
    "    told.textContent = wanted.length > 0 ? count + (count === 1 ? ' entry' : ' entries') : '';\n"
    "  });\n"
    "  addEventListener('hashchange', () => {\n"
    "    const at = document.getElementById(location.hash.slice(1));\n"
    "    if (at && at.closest('.out')) { field.value = ''; field.dispatchEvent(new Event('input')); at.scrollIntoView(); }\n"
    "  });\n"
    "})();\n";

void page_head(Text *page)
{
    text_put(page, "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n"
                   "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>Waterleaf: the reference</title>\n<style>\n");
    Page batch_sheet = {.out = page};
    html_style(&batch_sheet);
    text_put(page, style);
    text_put(page, "</style>\n</head>\n<body>\n<main>\n<h1>Waterleaf: the reference</h1>\n"
                   "<p>Every word, kind, unit, step, figure, rule and message that the program knows, as the program itself tells it. "
                   "That no rule speaks is no clearance: the supplier’s safety data sheet, local codes and licensed practice come first.</p>\n"
                   "<div id=\"search\" role=\"search\" hidden><label for=\"find\">Look for </label>"
                   "<input id=\"find\" type=\"search\" autocomplete=\"off\"> <output id=\"told\" for=\"find\"></output></div>\n");
}

void page_foot(Text *page)
{
    text_print(page, "</main>\n<script>\n%s</script>\n</body>\n</html>\n", program);
}

static void put_sign(Text *page, char sign)
{
    switch (sign) {
    case '&': text_put(page, "&amp;"); break;
    case '<': text_put(page, "&lt;"); break;
    case '>': text_put(page, "&gt;"); break;
    case '"': text_put(page, "&quot;"); break;
    case '\x01': text_put(page, "␁"); break; /* the example of bytes that are no text */
    default: text_char(page, sign);
    }
}

void page_words(Text *page, const char *words)
{
    for (; *words != 0; words++) {
        put_sign(page, *words);
    }
}

void page_text(Text *page, const char *text)
{
    bool code = false;
    for (; *text != 0; text++) {
        const char *link = *text == '[' && !code ? strstr(text, "](#") : NULL;
        const char *end = link == NULL ? NULL : strchr(link, ')');
        if (end != NULL && memchr(text + 1, '[', (size_t)(link - text - 1)) == NULL) {
            text_print(page, "<a href=\"%.*s\">", (int)(end - link - 2), link + 2);
            for (const char *at = text + 1; at < link; at++) {
                put_sign(page, *at);
            }
            text_put(page, "</a>");
            text = end;
        } else if (*text == '`') {
            code = !code;
            text_put(page, code ? "<code>" : "</code>");
        } else {
            put_sign(page, *text);
        }
    }
    text_put(page, code ? "</code>" : "");
}
