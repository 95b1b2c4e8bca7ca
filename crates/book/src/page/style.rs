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
figure.narrow { display: none; }
@media screen and (max-width: 44rem) {
  figure.wide { display: none; }
  figure.narrow { display: block; }
  figure.plain svg { max-width: none; }
  th, td { padding-right: .5rem; font-size: .9375rem; }
}
@media print {
  :root { --paper: #fff; --ink: #000; --soft: #333; --rule: #999; }
  @page { size: A4; margin: 15mm; }
  body { font-size: 10pt; }
  main { max-width: none; padding: 0; }
  figure, tr, li { break-inside: avoid; }
  h2, h3 { break-after: avoid; }
  details:not([open]) > :not(summary) { display: none; }
}
";
