"""How HTML pages begin, and the looks of the report: light and dark, phone and paper.

Colors are those of Okabe and Ito, which color-blind people tell apart; words say the same. In print all is set in
columns, in no type below 8.5 points.
"""

__all__ = ["HEAD", "STYLE"]

HEAD = """<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>{title}</title>
<style>
{style}</style>
</head>
<body>
"""
"""How a page begins: nothing is fetched, and no script runs."""

STYLE = """\
:root { --ink: #1a1a1a; --soft: #595959; --paper: #fff; --rule: #c8c8c8; --bar: #0072b2; --below: #d55e00; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #ececec; --soft: #ababab; --paper: #161616; --rule: #4a4a4a; --bar: #56b4e9; --below: #e69f00; }
}
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 16px/1.4 system-ui, sans-serif; }
.sheet { max-width: 46rem; margin: 0 auto; padding: 1rem; overflow-wrap: anywhere; }
h1 { font-size: 1.2rem; margin: 0; }
h2 { font-size: 1rem; margin: 1.2rem 0 .3rem; border-bottom: 1px solid var(--rule); break-after: avoid; }
p { margin: .3rem 0; }
.by, small, footer { color: var(--soft); }
.verdict { font-size: 1.25rem; margin: .8rem 0; padding-left: .6rem; border-left: .35rem solid #0072b2; }
.verdict.renegotiate { border-color: #e69f00; }
.verdict.pass { border-color: #d55e00; }
.verdict.unsettled { border-color: #cc79a7; }
ul { margin: 0; padding-left: 1.1rem; }
li { margin: .2rem 0; }
dl { margin: 0; }
dl > div { display: flex; flex-wrap: wrap; justify-content: space-between; gap: 0 1rem;
  border-bottom: 1px dotted var(--rule); break-inside: avoid; }
dt { flex: 1 1 55%; }
dd { margin: 0; font-weight: 600; font-variant-numeric: tabular-nums; text-align: right; }
.track { flex: 0 0 100%; height: .6rem; margin: .1rem 0 .3rem; position: relative; }
.line { border-bottom: 1px solid var(--soft); }
.bar { display: block; height: 100%; min-width: 1px; background: var(--bar);
  print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.below { background: var(--below); }
.mark { position: absolute; bottom: -.3rem; width: .6rem; height: .6rem; margin-left: -.3rem; border-radius: 50%;
  background: var(--bar); print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.drawn { padding: 0 .3rem; }
.drawn dt { flex: 1 1 0; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; font-size: .88rem; width: 100%; }
th, td { text-align: right; padding: .15rem .3rem; vertical-align: top; font-variant-numeric: tabular-nums;
  overflow-wrap: normal; white-space: nowrap; }
th { font-weight: 400; }
thead th { color: var(--soft); }
th:first-child { text-align: left; padding-left: 0; white-space: normal; min-width: 9rem; }
thead th { white-space: normal; }
tbody tr { border-top: 1px dotted var(--rule); break-inside: avoid; }
.marked { font-weight: 600; outline: 1px solid var(--bar); }
footer { margin-top: 1rem; }
.print { display: none; }
@media print {
  @page { margin: 9mm; }
  :root { --ink: #000; --soft: #333; --paper: #fff; --rule: #999; --bar: #0072b2; --below: #d55e00; }
  body { font-size: 8.5pt; line-height: 1.18; }
  small { font-size: inherit; }
  .screen { display: none; }
  .print { display: block; }
  .sheet { max-width: none; padding: 0; }
  .two { line-height: 1.05; margin-top: 3mm; }
  .parts { columns: 2; column-gap: 7mm; }
  h1 { font-size: 11pt; }
  h2 { font-size: 9pt; margin: 1.6mm 0 .6mm; }
  .verdict { font-size: 11pt; margin: 1.5mm 0; }
  p, li { margin: .2mm 0; }
  dl > div { border: 0; }
  dl + p { break-before: avoid; }
  .wide { overflow: visible; }
  .across { column-span: all; }
  table { font-size: 8.5pt; }
  th, td { padding: 0 .6mm; }
  th:first-child { min-width: 0; width: auto; }
  .track { height: 1.6mm; margin: 0 0 .6mm; }
  footer { margin-top: 2mm; }
}
"""
