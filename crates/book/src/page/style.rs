//! How the page looks: black on white in the sun, white on black at night, plain when printed.

/// The style sheet.
pub(super) const CSS: &str = "
:root { color-scheme: light dark; --paper: #fff; --ink: #111; --soft: #555; --rule: #bbb; --warn: #a00000; }
@media (prefers-color-scheme: dark) { :root { --paper: #141414; --ink: #eee; --soft: #aaa; --rule: #555; --warn: #ff8080; } }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 1.0625rem/1.5 Scantling, sans-serif; font-variant-numeric: tabular-nums; }
main { max-width: 62rem; margin: 0 auto; padding: 1rem; }
h1 { font-size: 1.75rem; line-height: 1.2; margin: 1rem 0 .5rem; }
h2 { font-size: 1.25rem; border-bottom: .0625rem solid var(--rule); margin: 2.5rem 0 1rem; }
h3 { font-size: 1.0625rem; margin: 1.5rem 0 .5rem; }
.line { font-size: 1.25rem; font-weight: 600; margin: .5rem 0; }
.proven, .what, .source { color: var(--soft); }
.walk { list-style: none; display: flex; flex-wrap: wrap; gap: .25rem 1.5rem; margin: 1rem 0; padding: .5rem 0; border-block: .0625rem solid var(--rule); }
.walk li { margin: 0; }
.walk a { display: inline-block; padding: .375rem 0; font-weight: 600; }
.sign { font-size: 1.5rem; line-height: 1.2; font-weight: 600; border-top: .25rem solid var(--ink); margin: 3.5rem 0 0; padding-top: .5rem; }
.sign .what { font-size: 1.0625rem; font-weight: 400; }
.stamp { border: .125rem solid var(--ink); display: inline-block; padding: .25rem .75rem; }
.stamp.failed { border-color: var(--warn); color: var(--warn); }
.table { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; }
caption { text-align: left; color: var(--soft); padding: .25rem 0; }
th, td { text-align: left; vertical-align: top; padding: .375rem .75rem .375rem 0; border-bottom: .0625rem solid var(--rule); }
a { color: inherit; }
a.n { text-decoration-style: dotted; text-underline-offset: .2em; }
a:focus-visible, summary:focus-visible, .table:focus-visible { outline: .1875rem solid; outline-offset: .125rem; }
details { border-bottom: .0625rem solid var(--rule); padding: .25rem 0; }
summary { padding: .375rem 0; cursor: pointer; }
code { font-family: inherit; }
figure { margin: 1.5rem 0; overflow-x: auto; }
figure svg { max-width: 100%; height: auto; }
.care { border-left: .25rem solid var(--ink); padding-left: .75rem; }
ol > li { margin-bottom: .75rem; }
.card { border: .125rem solid var(--ink); padding: 0 1rem .75rem; margin: 1.5rem 0; max-width: 42rem; overflow-wrap: anywhere; }
.card h3 { margin: .75rem 0 0; }
.card p { margin: .25rem 0; }
.card figure { margin: .5rem 0; }
.card .stop strong { font-size: 13mm; line-height: 1.15; }
.card .stays { border: .125rem solid var(--ink); padding: 0 .375rem; white-space: nowrap; }
.readings, .tally { list-style: none; margin: 0 0 .5rem; padding: 0; display: grid; grid-template-columns: repeat(auto-fill, minmax(8.5rem, 1fr)); }
.readings span { color: var(--soft); }
.tally { grid-template-columns: repeat(auto-fill, minmax(4.75rem, 1fr)); gap: .25rem; border-top: .0625rem solid var(--rule); padding-top: .5rem; }
.tally label { display: flex; align-items: center; gap: .375rem; min-height: 1.75rem; }
.tally input { width: 1.5rem; height: 1.5rem; margin: 0; flex: none; }
.yard-sheet { border: .125rem solid var(--ink); padding: 0 1rem .75rem; margin: 1.5rem 0; overflow-x: auto; }
.yard-sheet .title { font-weight: 600; }
.yard-sheet input { width: 1.5rem; height: 1.5rem; margin: 0 .25rem 0 0; vertical-align: middle; }
.yard-sheet .first { list-style: none; padding: 0; }
.labels { list-style: none; margin: .75rem 0; padding: 0; display: grid; grid-template-columns: repeat(auto-fill, minmax(9rem, 1fr)); }
.labels li { border: .0625rem dashed var(--rule); margin: 0; padding: .25rem .5rem; font-size: .9375rem; line-height: 1.3; overflow-wrap: anywhere; }
.labels strong { font-size: 1.75rem; line-height: 1.1; }
.hidden { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
figure.narrow { display: none; }
@media screen and (max-width: 44rem) {
  figure.wide { display: none; }
  figure.narrow { display: block; }
  figure.plain svg { max-width: none; }
  th, td { padding-right: .5rem; font-size: .9375rem; }
  #ways table { min-width: 40rem; }
}
@media print {
  :root { --paper: #fff; --ink: #000; --soft: #333; --rule: #999; }
  @page { size: A4; margin: 15mm; }
  body { font-size: 10pt; }
  main { max-width: none; padding: 0; }
  figure, tr, li { break-inside: avoid; }
  h2, h3 { break-after: avoid; }
  nav, details:not([open]), #why:not(:has(details[open])), #labels:not(:has(details[open])) { display: none; }
  a.n { text-decoration: none; }
  .table, figure { overflow: visible; }
  caption { break-after: avoid; }
  .sign { break-after: avoid; }
  #yard-sheet h2, .label-sheets summary { display: none; }
  #labels { break-before: page; }
  #labels h2 { margin: 0 0 3mm; border: 0; }
  .labels { break-after: page; margin: 0; grid-template-columns: repeat(4, 45mm); grid-auto-rows: 24mm; }
  .labels li { border: .2mm dashed #999; overflow: hidden; font-size: 9pt; }
  .labels strong { font-size: 22pt; }
  @page card { size: A5; margin: 7mm; }
  .card { page: card; break-after: page; break-inside: avoid; border: 0; padding: 0; margin: 0; max-width: none; }
  .card h3 { font-size: 12pt; margin: 0; }
  .card p { font-size: 9pt; line-height: 1.3; }
  .card .stop, .card .ends { font-size: 10pt; }
  .card figure { margin: 1mm 0; }
  .card figure svg { max-height: 32mm; }
  .readings { font-size: 8.5pt; line-height: 1.25; grid-template-columns: repeat(auto-fill, minmax(40mm, 1fr)); margin: 0; }
  .tally { grid-template-columns: repeat(auto-fill, minmax(15mm, 1fr)); gap: 0 1mm; }
  .tally label { min-height: 7mm; gap: 1mm; }
  @page yard { size: A4; margin: 12mm; }
  .yard-sheet { page: yard; break-before: page; break-after: page; break-inside: avoid; border: 0; padding: 0; margin: 0; overflow: visible; font-size: 10pt; line-height: 1.25; }
  .yard-sheet.close { font-size: 8pt; }
  .yard-sheet.dense { font-size: 6.5pt; line-height: 1.15; }
  .yard-sheet th, .yard-sheet td { font-size: inherit; padding-top: .2em; padding-bottom: .2em; }
  .yard-sheet p { margin: .4em 0; }
  .yard-sheet input { appearance: none; border: .3mm solid #000; width: 4.5mm; height: 4.5mm; }
  .yard-sheet.dense input { width: 3mm; height: 3mm; }
  .tally input { appearance: none; border: .3mm solid #000; width: 6mm; height: 6mm; }
}
";
