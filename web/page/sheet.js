// The drawing: shown, walked through, printed.

import { at, make } from './make.js';
import { firstView, reader, renewSheets } from './picture.js';

const picture = reader('barwright');

const box = () => at('sheet');

/** Stands in place of the sheet while there is none, and under it otherwise. */
const verdict = at('verdict');

/** The paper of the page: set with the sheet, so that it prints at its true size. */
const paper = new CSSStyleSheet();
document.adoptedStyleSheets.push(paper);
let laid = '';

/** @param {string} text of the style sheet; the same again would have the whole page styled anew */
function onPaper(text) {
  if (text !== laid) paper.replaceSync(text);
  laid = text;
}

/**
 * Shows a sheet, or that there is none.
 * @param {any} result
 */
export function show(result) {
  const sheet = box();
  if (!result.goods) {
    document.body.dataset.sheet = 'none';
    onPaper('@page { margin: 20mm }');
    at('sheets').hidden = true;
    sheet.replaceChildren(make('p', { class: 'no-sheet', text: 'No drawing and no program: the sizes are refused.' }), verdict);
    sheet.scrollTo(0, 0);
    fresh = true;
    return;
  }
  // All of a drawing's sheets, one under the other: on paper each has its own page.
  const svgs = result.goods.sheets.map((/** @type {any} */ one) => one.svg);
  const { width, height } = result.goods.sheets[0];
  document.body.dataset.sheet = 'there';
  onPaper(`@media screen { #sheet { --wide: ${width}; --high: ${height} } } @page { size: ${width}mm ${height}mm; margin: 0 } @media print { #sheet { width: ${width}mm } #sheet svg { width: ${width}mm; height: ${height}mm } }`);
  if (verdict.previousElementSibling !== at('thread')) at('thread').after(verdict);
  // Most of a drawing outlives a keystroke.
  if (!renewSheets(sheet, svgs, picture)) return clear();
  turns(svgs.length);
  if (fresh) {
    fresh = false;
    firstView(sheet);
  }
}

let fresh = true;

/** The next sheet is another part's: it is looked at from its first view. */
export const begin = () => (fresh = true);

/** A way to each sheet where there are several. @param {number} count */
function turns(count) {
  const group = at('sheets');
  group.hidden = count < 2;
  if (group.childElementCount === count) return;
  const go = (/** @type {number} */ index) => {
    const found = box().querySelectorAll('svg')[index];
    if (found) box().scrollTop += found.getBoundingClientRect().top - box().getBoundingClientRect().top;
  };
  group.replaceChildren(...Array.from({ length: count }, (_, index) => make('button', { type: 'button', text: `Sheet ${index + 1}`, onclick: () => go(index) })));
}

/** Nothing to show. */
export function clear() {
  document.body.dataset.sheet = 'none';
  at('sheets').hidden = true;
  at('thread').after(verdict);
  box().replaceChildren();
}

/** The sizes on the sheet, each once: those that are written there, then those that only a line stands for. @returns {string[]} */
export function onSheet() {
  const seen = new Set();
  for (const which of ['g[data-value]', '[data-value]']) for (const node of box().querySelectorAll(which)) seen.add(node.getAttribute('data-value'));
  return [...seen];
}

/** Marks what shows any of these sizes. @param {Set<string>} sizes @param {boolean} bring it into view */
export function mark(sizes, bring) {
  let first;
  for (const node of box().querySelectorAll('[data-value]')) {
    const on = sizes.size > 0 && node.getAttribute('data-value').split(' ').some((/** @type {string} */ name) => sizes.has(name));
    if (on !== node.classList.contains('on')) node.classList.toggle('on', on);
    if (on && (!first || node.tagName === 'g')) first ??= node;
  }
  if (!bring || !first) return;
  const [inner, outer] = [first.getBoundingClientRect(), box().getBoundingClientRect()];
  if (inner.left < outer.left || inner.right > outer.right) box().scrollLeft += inner.left - outer.left - outer.width / 2;
  if (inner.top < outer.top || inner.bottom > outer.bottom) box().scrollTop += inner.top - outer.top - outer.height / 2;
}

/** Thin lines are hard to hit: a ring of places around the finger counts as hit. */
const RING = [[0, 0], [0, -5], [5, 0], [0, 5], [-5, 0], [7, -7], [7, 7], [-7, 7], [-7, -7]];

/** @param {MouseEvent} event @returns {string | null} the names of the size that is shown there */
function hit(event) {
  for (const [x, y] of RING) {
    const found = document.elementFromPoint(event.clientX + x, event.clientY + y)?.closest('[data-value]');
    if (found && box().contains(found)) return found.getAttribute('data-value');
  }
  return null;
}

/** @param {(names: string) => void} picked @param {() => void} print */
export function listen(picked, print) {
  box().addEventListener('click', (/** @type {MouseEvent} */ event) => {
    const names = hit(event);
    if (names) picked(names);
  });
  const [whole, real] = [at('whole'), at('true')];
  const zoom = (/** @type {boolean} */ yes) => {
    box().classList.toggle('true', yes);
    whole.setAttribute('aria-pressed', String(!yes));
    real.setAttribute('aria-pressed', String(yes));
    if (yes) firstView(box());
  };
  whole.addEventListener('click', () => zoom(false));
  real.addEventListener('click', () => zoom(true));
  // On a phone a whole sheet could not be read.
  zoom(matchMedia('(max-width: 56rem)').matches);
  at('print').addEventListener('click', print);
}
