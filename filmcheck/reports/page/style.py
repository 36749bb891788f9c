"""How the page looks: light and dark, wide and narrow, on paper. Its hash stands in the page's own policy."""

from __future__ import annotations

STYLE = """
:root{color-scheme:light dark;--paper:#fbfaf6;--sheet:#fff;--ink:#1c2430;--soft:#4d5866;--rule:#c9cdd3;--link:#0a5560;
--bad:#a01c14;--warn:#7a4700;--open:#4a3f8f;--good:#1c5e36;--band:#cfe3e6;--curve:#0a5560;
--mark:#fdf0c4;--cell:#dcebd9;--hatch:#f3d9d5}
@media screen and (prefers-color-scheme:dark){
:root{--paper:#14181d;--sheet:#1c2229;--ink:#e8e6df;--soft:#a9b2bd;--rule:#414b57;
--link:#7cc7d3;--bad:#ff9b8f;--warn:#f0b860;--open:#b9b1ff;--good:#8fd6a4;--band:#24434a;
--curve:#7cc7d3;--mark:#4a4220;--cell:#254030;--hatch:#4d2a27}}
*{box-sizing:border-box}
html{scroll-padding-top:1rem}
body{margin:0 auto;max-width:74rem;padding:1rem;font:16px/1.5 system-ui,sans-serif;
background:var(--paper);color:var(--ink)}
h1{font-size:1.6rem;line-height:1.2;margin:.2rem 0}
h2{font-size:1.2rem;margin:2rem 0 .5rem;border-bottom:2px solid var(--ink)}
h3{font-size:1rem;margin:.3rem 0}
.job h3{margin:1rem 0 .3rem}
h1,h2,h3,summary,li,th,td,dd,p{overflow-wrap:anywhere}
a{color:var(--link)}
:focus-visible{outline:3px solid var(--link);outline-offset:2px}
.heard{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.skip{position:absolute;left:-99rem}.skip:focus{position:static}
nav ul,.counts,.board ul,.legend{list-style:none;margin:0;padding:0}
nav ul,.counts{display:flex;flex-wrap:wrap;gap:.3rem 1.2rem}
.counts{margin:1rem 0;font-size:1.05rem}
.sign{font-weight:700;white-space:nowrap;margin-right:.25em}
.error{color:var(--bad)}.warning{color:var(--warn)}.open,.borderline{color:var(--open)}.sound,.accepted{color:var(--good)}
.note,.none{color:var(--soft)}
.board{display:grid;grid-template-columns:repeat(auto-fit,minmax(12.5rem,1fr));gap:.8rem;align-items:start}
.board section{background:var(--sheet);border:1px solid var(--rule);border-radius:4px;padding:.4rem .7rem .6rem}
.board li{padding:.15rem 0;border-top:1px solid var(--rule);display:flex;justify-content:space-between;gap:.5rem}
.board p{margin:0;color:var(--soft)}
.badge{white-space:nowrap;font-size:.85rem}
table{border-collapse:collapse;width:100%}
th,td{text-align:left;vertical-align:top;padding:.2rem .7rem .2rem 0;font-weight:400;
border-bottom:1px solid var(--rule)}
thead th{color:var(--soft);font-size:.85rem;white-space:nowrap}
td{white-space:nowrap}
code,pre{font-family:ui-monospace,Consolas,monospace;font-size:.85em}
code{color:var(--soft)}
details>summary{cursor:pointer;padding:.25rem 0}
.job{background:var(--sheet);border:1px solid var(--rule);border-radius:4px;margin:.5rem 0;padding:.2rem .8rem}
.job>summary{font-weight:600}
.job>summary .badge{float:right;font-weight:400}
.job .facts{color:var(--soft);margin:.2rem 0 .6rem}
.finding{border-left:4px solid currentColor;padding-left:.6rem;margin:.35rem 0}
.finding>*{color:var(--ink)}
.finding>summary .sign{color:inherit}
.finding.error>summary .sign{color:var(--bad)}.finding.warning>summary .sign{color:var(--warn)}
dl{display:grid;grid-template-columns:5rem 1fr;gap:.15rem .6rem;margin:.2rem 0 .6rem}
dt{color:var(--soft)}dd{margin:0;white-space:pre-line;min-width:0}
.wide{overflow-x:auto;max-width:100%}
.pair{display:flex;flex-wrap:wrap;gap:1rem 2.5rem;align-items:flex-start}
.pair>div{max-width:100%}
.legend{font-size:.85rem;max-width:34rem}
.sheet{background:var(--paper);border:1px solid var(--rule);padding:.5rem;overflow-x:auto}
.sheet{line-height:1.45;margin:.3rem 0}
.at{color:var(--soft);user-select:none}
mark{background:var(--mark);color:inherit}
mark .at{color:inherit}
svg{display:block;max-width:none;font-family:system-ui,sans-serif}
svg text{fill:var(--ink);font-size:11px}svg .tiny{font-size:9.5px}svg .small{font-size:11px}
.web{stroke:var(--curve);stroke-width:3}
.station{fill:var(--sheet);stroke:var(--ink);stroke-width:1}.after{stroke-dasharray:4 2}
.grid{stroke:var(--rule)}.zero{stroke:var(--ink)}.band{fill:var(--band)}.curve{stroke:var(--curve);stroke-width:2;fill:none}
.limit{stroke:var(--bad);stroke-width:1.5;stroke-dasharray:6 3}.bar{fill:var(--curve)}
.core{fill:var(--sheet);stroke:var(--ink);stroke-width:3}.paper{fill:var(--sheet)}
.ring{fill:var(--curve);stroke:var(--sheet);stroke-width:1}
.cell{stroke:var(--rule)}.holds{fill:var(--cell)}.bad{fill:var(--hatch)}
.pin rect{fill:var(--sheet);stroke:currentColor;stroke-width:1.5}.pin text{fill:currentColor;font-weight:700}
footer{margin-top:2rem;border-top:1px solid var(--rule);color:var(--soft);font-size:.9rem}
@media(max-width:40rem){body{padding:.6rem}.job>summary .badge{float:none;margin-right:.6em}
dl{grid-template-columns:1fr}
dt{margin-top:.3rem}td{white-space:normal}}
@media print{:root{color-scheme:light;--paper:#fff;--sheet:#fff;--ink:#000}body{max-width:none;padding:0;font-size:10pt}
nav,.skip{display:none}
details::details-content{content-visibility:visible;display:block}.wide,.sheet{overflow:visible}
svg{max-width:100%;height:auto}.sheet{white-space:pre-wrap}.finding,.board section,.pair>div{break-inside:avoid}}
"""
