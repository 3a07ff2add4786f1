"""How the page looks, on a screen and on paper; nothing is fetched."""

STYLE = """\
:root { --ink: #1b1f23; --quiet: #50575e; --rule: #b9c0c6; --tint: #f3f4f1; --mark: #24495c; }
* { box-sizing: border-box; }
html { font: 100%/1.45 ui-serif, Georgia, serif; }
body { margin: 0 auto; max-width: 47rem; padding: 1.5rem 1.25rem 4rem; color: var(--ink); background: #fff;
  overflow-wrap: anywhere; }
h1, h2, h3, dt, th, caption, figcaption, nav, .caution, .skip { font-family: Arial, sans-serif; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: 0 0 .6rem; color: var(--mark); }
h2 { font-size: 1.15rem; margin: 1.9rem 0 .5rem; padding-top: .45rem; border-top: 2px solid var(--mark);
  color: var(--mark); }
h3 { font-size: 1rem; margin: 1.2rem 0 .35rem; }
p, ul, ol, dl { margin: .45rem 0; }
ul, ol { padding-left: 1.35rem; }
li { margin: .28rem 0; }
blockquote { margin: .5rem 0; padding: .1rem 0 .1rem .9rem; border-left: 3px solid var(--rule);
  white-space: pre-line; }
dl { display: grid; gap: .15rem 1.2rem; grid-template-columns: repeat(auto-fit, minmax(19rem, 1fr)); }
dl div { display: flex; gap: .6rem; }
dt { flex: 0 0 7.2rem; color: var(--quiet); font-size: .9rem; padding-top: .1rem; }
dd { margin: 0; }
.table { overflow-x: auto; margin: .7rem 0 1rem; }
table { border-collapse: collapse; width: 100%; font-size: .88rem; line-height: 1.3; }
caption { text-align: left; font-weight: 600; padding: .2rem 0 .35rem; }
th, td { min-width: 4.6rem; text-align: left; vertical-align: top; padding: .22rem .6rem .22rem 0;
  border-bottom: 1px solid var(--rule); }
thead th { border-bottom: 2px solid var(--ink); vertical-align: bottom; }
tbody th { font-weight: 400; min-width: 7rem; }
figure { margin: 1rem 0; }
figure svg { display: block; width: 100%; height: auto; }
figcaption { font-size: .88rem; line-height: 1.35; color: var(--quiet); margin-top: .3rem; }
.caution { border: 2px solid var(--ink); border-left-width: .7rem; background: var(--tint);
  padding: .35rem .9rem;
  margin: .8rem 0; font-size: .95rem; }
.tag { border: 2px dashed var(--ink); padding: .5rem .9rem; margin: 1rem 0; max-width: 34rem; }
.tag dl { display: block; }
.tag dd { flex: 1; }
.tag dd:empty { border-bottom: 1px solid var(--ink); min-height: 1.5em; }
nav { background: var(--tint); padding: .6rem 1rem; margin-bottom: 1.6rem; font-size: .9rem; }
nav ol { margin: 0; columns: 2; column-gap: 2rem; }
nav a { color: var(--mark); }
a:focus-visible, .table:focus-visible { outline: 3px solid var(--mark); outline-offset: 2px; }
main:focus { outline: none; }
.skip { position: absolute; left: -100rem; }
.skip:focus { position: static; }
@media (max-width: 40rem) { nav ol { columns: 1; } }
@page { margin: 11mm 14mm 12mm; @bottom-right { content: counter(page) " / " counter(pages);
  font: 8pt Arial, sans-serif; color: #50575e; } }
@media print {
  html { font-size: 9.3pt; line-height: 1.3; }
  body { max-width: none; padding: 0; }
  nav, .skip { display: none; }
  h1 { font-size: 17pt; }
  h2 { font-size: 11pt; margin: 6.5pt 0 2pt; padding-top: 2pt; border-top-width: 1.2pt; }
  h3 { margin: 8pt 0 2pt; }
  p, ul, ol, dl { margin: 3pt 0; }
  li { margin: 1.6pt 0; }
  h1, h2, h3, caption, p:has(+ ul), p:has(+ ol) { break-after: avoid; }
  p, li { orphans: 2; widows: 2; }
  figure, .caution, .tag, tr, dl div, blockquote { break-inside: avoid; }
  figure { margin: 5pt 0; }
  .table { overflow: visible; margin: 4pt 0 7pt; }
  table { font-size: 8.6pt; }
  thead { display: table-header-group; }
  .caution { background: none; border-width: 1.2pt; border-left-width: 6pt; margin: 4pt 0; }
}
"""
