// How the element looks; a shop changes it by custom properties and parts.

export const STYLE = `
:host { display: block; container-type: inline-size;
  --text: var(--barwright-text, #1e2328); --surface: var(--barwright-surface, #fff); --quiet: var(--barwright-quiet, #565c63);
  --line: var(--barwright-line, #84807a); --error: var(--barwright-error, #9b1c31); --fine: var(--barwright-holds, #1f6b4f); --mind: var(--barwright-caution, #7a5200);
  font: 0.875rem/1.45 var(--barwright-font, inherit); color: var(--text); font-variant-numeric: tabular-nums; text-align: start; }
@media (prefers-color-scheme: dark) { :host { --text: var(--barwright-text, #ece9e2); --surface: var(--barwright-surface, #24282d); --quiet: var(--barwright-quiet, #a9afb6);
  --line: var(--barwright-line, #7d8288); --error: var(--barwright-error, #f2929f); --fine: var(--barwright-holds, #7ccba8); --mind: var(--barwright-caution, #e3b565); } }
:host([hidden]), [hidden] { display: none !important; }
*, *::before { box-sizing: border-box; }
fieldset { border: 0; margin: 0; padding: 0; min-inline-size: 0; display: grid; gap: 16px; grid-template-columns: minmax(0, 1fr); }
@container (min-width: 36rem) { [part~="sizes"] { display: grid; grid-template-columns: repeat(2, minmax(0, 1fr)); gap: 0 24px; align-items: start; } [part~="sizes"] > :is(h2, dl) { grid-column: 1 / -1; } }
@container (min-width: 64rem) { fieldset { grid-template-columns: 17rem minmax(0, 1fr); gap: 24px; align-items: start; } [part~="sizes"] { display: block; } }
h2 { margin: 0 0 8px; font-size: 1rem; font-weight: inherit; }
p { margin: 0 0 8px; }
.size { display: grid; grid-template-columns: 1fr 7rem; gap: 0 8px; align-items: center; padding: 8px 0; border-block-start: 1px solid var(--line); }
.size > p, .size > .wide, .size:has(> .wide) > label { grid-column: 1 / -1; margin: 0; }
input, select, button { font: inherit; color: inherit; background: var(--surface); border: 1px solid var(--line); border-radius: var(--barwright-radius, 0); min-block-size: 36px; padding: 4px 8px; max-inline-size: 100%; inline-size: 100%; }
button { cursor: pointer; inline-size: auto; }
/* An engine that draws lists its own way draws no border of ours, and so no refusal: the sign of a list is two triangles. */
select { appearance: none; padding-inline-end: 24px; cursor: pointer;
  background: linear-gradient(45deg, transparent 50%, currentColor 50%) right 13px center / 5px 5px no-repeat, linear-gradient(-45deg, transparent 50%, currentColor 50%) right 8px center / 5px 5px no-repeat, var(--surface); }
button:disabled, input:disabled, select:disabled { color: var(--quiet); border-style: dotted; cursor: default; }
:focus-visible { outline: 3px solid var(--barwright-accent, var(--text)); outline-offset: 2px; }
.quiet { color: var(--quiet); }
.size > details { grid-column: 1 / -1; } .size summary { inline-size: fit-content; } .size details p { margin: 4px 0 0; }
.how { text-decoration: underline; text-underline-offset: 2px; } span:not(:empty) + .how { margin-inline-start: 8px; }
dd small { display: block; font-size: inherit; color: var(--quiet); }
[aria-invalid="true"] { border: 2px solid var(--error); }
.message, .refused { color: var(--error); }
.message { margin-block-start: 6px; }
.holds { color: var(--fine); } .caution { color: var(--mind); }
.mark::before { content: "✓ " / ""; } .mark.caution::before { content: "△ " / ""; } .mark.refused::before { content: "✕ " / ""; }
.finding { border-inline-start: 3px solid currentColor; padding-inline-start: 12px; }
.finding > :not(strong) { color: var(--text); }
strong { font-weight: inherit; }
ul { list-style: none; margin: 0 0 12px; padding: 0; display: grid; gap: 4px; }
dl { display: grid; grid-template-columns: auto 1fr; gap: 2px 16px; margin: 0 0 12px; }
dt { color: var(--quiet); } dd { margin: 0; overflow-wrap: anywhere; }
.row { display: flex; flex-wrap: wrap; gap: 8px; margin-block-end: 8px; }
.drawing, pre { scrollbar-color: var(--line) var(--surface); }
.drawing { background: var(--surface); border: 1px solid var(--line); overflow: auto; aspect-ratio: 297 / 210; min-block-size: 20rem; max-inline-size: 100%; margin-block-end: 8px; }
.drawing svg { display: block; inline-size: 100%; block-size: auto; } .drawing.true svg { inline-size: auto; max-inline-size: none; }
.drawing > .refused { padding: 16px; }
button[aria-pressed="true"] { box-shadow: inset 0 -3px 0 currentColor; }
.drawing [fill="#fff"] { fill: var(--surface); } .drawing [fill="#000"] { fill: var(--text); } .drawing [stroke="#000"] { stroke: var(--text); }
pre { margin: 0; max-block-size: 18rem; overflow: auto; background: var(--surface); border: 1px solid var(--line); padding: 8px; font: 13px/20px ui-monospace, monospace; }
summary { min-block-size: 24px; cursor: pointer; }
.aside { position: absolute; inline-size: 1px; block-size: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
@media (forced-colors: active) { select { appearance: auto; background-image: none; padding-inline-end: 8px; } .drawing { forced-color-adjust: none; --surface: #fff; --text: #000; } }
@media print { .aside, .row { display: none; } .drawing { border: 0; margin: 0; min-block-size: 0; overflow: visible; aspect-ratio: auto !important; --surface: #fff; --text: #000; }
  .drawing svg { break-inside: avoid; } .drawing svg + svg { break-before: page; }
  /* On a shop's own print as wide as there is room: wider, and the browser would shrink the whole page and tell nobody. */
  .drawing.true svg { inline-size: 100%; }
  /* Printed by its own button it is alone on a paper of its size, and true. */
  :host([data-barwright-way]) { container-type: normal; }
  :host([data-barwright-way]) :is(fieldset > :not(.out), .out > :not(.drawing)) { display: none; } :host([data-barwright-way]) fieldset { display: block; }
  :host([data-barwright-way]) .drawing { padding: 0; } :host([data-barwright-way]) .drawing svg { inline-size: auto; max-inline-size: none; } }
`;
