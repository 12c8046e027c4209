/* How HTML pages look, on a screen and printed: black on white, legible when photocopied and wet. */
#include "render/html_parts.h"

static const char style[] =
    "html{font:12pt/1.35 Georgia,'Times New Roman',serif;color:#000;background:#fff}\n"
    "body{margin:0 auto;max-width:48em;padding:0 1em 2em;overflow-wrap:anywhere}\n"
    "h1{font-size:1.35em;margin:.6em 0 .4em;border-bottom:3px solid #000}\n"
    "h2{font-size:1.12em;margin:1em 0 .35em;border-bottom:1px solid #000}\n"
    "h3{font-size:1em;margin:0;display:inline}\n"
    "section.part{border-top:4px double #000;margin-top:2em}\n"
    ".keep{margin:.5em 0;padding:.4em 0 .3em;border-top:1px solid #000;break-inside:avoid}\n"
    "h2+.keep{border-top:none;padding-top:0;margin-top:.2em}\n"
    ".tick~p,.tick~.fields,.hold{margin-left:3.6em}\n"
    ".keep>p{margin-top:.2em;margin-bottom:.2em}\n"
    ".tick{display:flex;gap:.6em;align-items:baseline;margin:.2em 0}\n"
    ".box{flex:none;width:1.25em;height:1.25em;border:1.5px solid #000;display:inline-block;vertical-align:-.25em;"
    "align-self:flex-start}\n"
    ".number{flex:none;font-weight:bold;min-width:1.4em;text-align:right}\n"
    ".note{font-size:.92em;font-style:italic;margin:.3em 0}\n"
    ".caution{border:2px solid #000;border-left-width:8px;padding:.1em .5em;margin:.2em 0;break-inside:avoid}\n"
    ".caution+.caution{border-top-width:1px;margin-top:-.2em}\n"
    ".caution b{text-transform:uppercase;letter-spacing:.04em}\n"
    ".hold{border:4px double #000;padding:.3em .6em;margin-top:.4em;margin-bottom:.3em;break-inside:avoid}\n"
    ".hold .fields{margin-left:0}\n"
    ".fields{margin:.2em 0;padding:0;list-style:none}\n"
    ".fields li{display:flex;flex-wrap:wrap;gap:0 .5em;align-items:flex-end;min-height:8mm}\n"
    ".blank{flex:1 1 6em;max-width:13em;min-width:4em;border-bottom:1px solid #000;height:1.15em}\n"
    ".long .blank{max-width:none;flex-basis:16em}\n"
    ".line{display:flex;flex-wrap:wrap;gap:0 1em}.line li{flex:1 1 auto;flex-wrap:nowrap}.line .label{white-space:nowrap}\n"
    "dl.pairs{display:grid;grid-template-columns:max-content 1fr;gap:.1em 1em;margin:.4em 0}\n"
    "dl.pairs dt{font-weight:bold}dl.pairs dd{margin:0}\n"
    "ul.many{columns:2 16em;column-gap:2em}ul.many li{break-inside:avoid}\n"
    ".code{margin:.5em 0;break-inside:avoid}.code svg{display:block;max-width:100%;height:auto;shape-rendering:crispEdges}.code figcaption{font-size:.92em}\n"
    ".aside{float:right;margin:0 0 .5em 1em}.aside figcaption{text-align:center}\n"
    ".scroll{overflow-x:auto}.whole{break-inside:avoid}\n"
    "table{border-collapse:collapse;width:100%;margin:.4em 0;font-size:.95em;overflow-wrap:normal}\n"
    "caption{text-align:left;font-style:italic;padding-bottom:.2em}\n"
    "th,td{border:1px solid #000;padding:.2em .45em;text-align:left;vertical-align:top}\n"
    "th[scope=row]{font-weight:normal}\n"
    ".n{text-align:right;white-space:nowrap}.s{font-weight:bold;font-size:1.08em}\n"
    ".b{height:8mm;min-width:3em}\n"
    "tr.below td{border-top:none;padding-top:0}tbody.kept{break-inside:avoid}\n"
    "thead{display:table-header-group}tr{break-inside:avoid}tr:nth-last-child(-n+2){break-before:avoid}\n"
    "@media(max-width:36em){.tick~p,.tick~.fields,.hold{margin-left:0}dl.pairs{display:block}.line li{flex-basis:100%}}\n"
    "@media print{html{font-size:11pt;line-height:1.28}body{max-width:none;padding:0}section.part{border-top:none;margin-top:0}"
    "section.part+section.part{break-before:page}.scroll{overflow:visible}h1,h2,caption,p:has(+.scroll){break-after:avoid}.scroll+.note{break-before:avoid}"
    "h1{margin-top:0}h2{margin-top:.7em}.keep{margin:.3em 0;padding:.3em 0 .1em}dl.pairs{grid-template-columns:max-content 1fr max-content 1fr}.aside+dl.pairs{grid-template-columns:max-content 1fr}p{margin:.4em 0;orphans:3;widows:3}"
    "td,th{padding-top:.1em;padding-bottom:.1em}.b{height:9mm;padding:0}.box{width:8mm;height:8mm;vertical-align:middle}.tick{gap:.5em}.tick~p,.tick~.fields,.hold{margin-left:4.6em}.fields li{min-height:9.5mm}ul.many{columns:3 12em;font-size:.85em;padding-left:1.4em}}\n";

/* Pictures, whose lengths are millimetres, and labels. */
static const char style_of_pictures[] =
    ".picture{margin:.8em 0;padding:1px;break-inside:avoid;overflow-x:auto}.picture figcaption{font-style:italic;padding-bottom:.3em}\n"
    ".picture svg{display:block;width:100%;height:auto;min-width:26em;overflow:visible}\n"
    ".line{fill:none;stroke:#000;stroke-width:.2;stroke-linejoin:round}.heavy{stroke-width:.5}.dashed{stroke-dasharray:1.6 1}\n"
    ".white{fill:#fff}.paper{fill:#f4ecdb}.dark{fill:#404040}.hatch{fill:none;stroke:#000;stroke-width:.16}\n"
    ".dot{stroke:#000;stroke-width:.48;stroke-linecap:round}.words{fill:#000}.bright{fill:#fff}\n"
    ".freed{paint-order:stroke;stroke:#fff;stroke-width:1.1;stroke-linejoin:round}\n"
    ".mark{margin:0 0 .5em}.mark img{display:block;object-fit:contain;object-position:0 0}\n"
    ".labels{display:grid;grid-template-columns:repeat(auto-fill,min(100%,var(--wide,70mm)));gap:3mm;margin:1em 0}\n"
    ".labels>article{box-sizing:border-box;width:var(--wide,70mm);max-width:100%;min-height:var(--high,35mm);padding:3mm;border:1px solid #000;"
    "border-radius:1.5mm;font-size:9.5pt;line-height:1.25;break-inside:avoid}\n"
    ".labels>article h1{font-size:1.3em;border:none;margin:0 0 .1em}.labels>article h2,.labels>article h3{font-size:1.05em;border:none;margin:.3em 0 .1em;display:block}\n"
    ".labels>article p,.labels>article dl.pairs,.labels>article table,.labels>article ul{margin:.15em 0}.labels>article dl.pairs{gap:0 .7em;grid-template-columns:max-content 1fr}\n"
    ".labels>article .mark{float:left;margin:0 .6em 0 0}.labels>article .mark img{width:auto!important;max-width:30mm;max-height:9mm}.labels>article dl.pairs{clear:left}\n"
    ".labels>article .code{margin:.3em 0}.labels>article .aside{margin:0 0 .3em .5em}.labels>article .blank{min-width:3em;flex-basis:4em}.labels>article .fields li{flex-wrap:wrap}.labels>article .fields li{min-height:6mm}\n"
    "@media print{.paper{fill:#e6e6e6}.picture{overflow:visible}.picture svg{min-width:0}}\n";

void html_style(Page *page)
{
    text_put(page->out, style);
    text_put(page->out, style_of_pictures);
}
