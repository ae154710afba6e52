// The drawing: shown, walked through, printed.

import { at, make, picture } from './make.js';

const box = () => at('sheet');

/** Stands in place of the sheet while there is none, and under it otherwise. */
const verdict = at('verdict');

/** The paper of the page: set with the sheet, so that it prints at its true size. */
const paper = new CSSStyleSheet();
document.adoptedStyleSheets.push(paper);

/**
 * Shows a sheet, or that there is none.
 * @param {any} result
 */
export function show(result) {
  const sheet = box();
  if (!result.goods) {
    document.body.dataset.sheet = 'none';
    paper.replaceSync('@page { margin: 20mm }');
    sheet.replaceChildren(make('p', { class: 'no-sheet', text: 'No drawing and no program: the sizes are refused.' }), verdict);
    return;
  }
  const drawing = picture(result.goods.svg);
  if (!drawing) return;
  const { width, height } = result.goods.sheet;
  document.body.dataset.sheet = 'there';
  paper.replaceSync(`@page { size: ${width}mm ${height}mm; margin: 0 } @media print { #sheet, #sheet svg { width: ${width}mm; height: ${height}mm } }`);
  at('thread').after(verdict);
  sheet.replaceChildren(drawing);
}

/** Nothing to show. */
export function clear() {
  document.body.dataset.sheet = 'none';
  at('thread').after(verdict);
  box().replaceChildren();
}

/** The sizes on the sheet in the order of drawing, each once. @returns {string[]} */
export function onSheet() {
  const seen = new Set();
  for (const node of box().querySelectorAll('[data-value]')) seen.add(node.getAttribute('data-value'));
  return [...seen];
}

/** Marks what shows any of these sizes. @param {Set<string>} sizes @param {boolean} bring it into view */
export function mark(sizes, bring) {
  let first;
  for (const node of box().querySelectorAll('[data-value]')) {
    const on = node.getAttribute('data-value').split(' ').some((/** @type {string} */ name) => sizes.has(name));
    node.classList.toggle('on', on);
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
  };
  whole.addEventListener('click', () => zoom(false));
  real.addEventListener('click', () => zoom(true));
  // On a phone a whole sheet could not be read.
  zoom(matchMedia('(max-width: 56rem)').matches);
  at('print').addEventListener('click', print);
}
