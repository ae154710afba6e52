// First piece, what follows, rules: tables whose rows can be picked.

import { at, headed, make, said, say } from './make.js';

/** @param {string} id */
const panel = (id) => at(`panel-${id}`);

/** @param {string[]} heads @param {any[]} rows @param {string} caption */
function table(caption, heads, rows) {
  return make(
    'div',
    { class: 'wide', tabindex: '0', role: 'region', 'aria-label': caption },
    make(
      'table',
      {},
      make('caption', { text: caption }),
      make('thead', {}, make('tr', {}, ...heads.map((text) => make('th', { scope: 'col', text })))),
      make('tbody', {}, ...rows),
    ),
  );
}

/**
 * Fills one paper; those that are not turned to wait.
 * @param {string} id @param {any} result @param {(pick: any) => void} pick
 */
export function show(id, result, pick) {
  if (id === 'first') firstPiece(result, pick);
  if (id === 'follows') follows(result, pick);
  if (id === 'rules') rules(result, pick);
}

/** A refusal leaves nothing of the variant before, not even unseen. */
export function clear() {
  for (const id of ['first', 'follows', 'files']) panel(id).replaceChildren();
}

const NONE = () => make('p', { class: 'quiet', text: 'Nothing here while the sizes are refused.' });

/** @param {any} result @param {(pick: any) => void} pick */
function firstPiece(result, pick) {
  const { goods, unit } = result;
  if (!goods) return panel('first').replaceChildren(NONE());
  const rows = goods.first_piece.map((/** @type {any} */ reading) => {
    const measured = reading.measured === null ? 'at the bench' : say(reading.measured, unit, 1);
    return make(
      'tr',
      { 'data-size': reading.name },
      make('th', { scope: 'row' }, make('button', { type: 'button', class: 'link', text: headed(reading.title), onclick: () => pick({ size: reading.name }) })),
      make('td', { text: say(reading.nominal, unit) }),
      make('td', { text: say(reading.least, unit) }),
      make('td', { text: say(reading.most, unit) }),
      make('td', { text: measured }),
      make('td', { class: reading.measured === null ? false : `mark ${reading.holds ? 'holds' : 'refused'}`, text: reading.measured === null ? '–' : reading.holds ? 'holds' : 'refused' }),
    );
  });
  const total = goods.time.total;
  panel('first').replaceChildren(
    make('p', { text: goods.proved ? 'The program was read back as a control would read it, and every size that it cuts was measured on the piece that its motion makes.' : 'The program is NOT PROVED.' }),
    table(`First piece, ${unit}`, ['Size', 'Nominal', 'Least', 'Most', 'Measured', 'Verdict'], rows),
    make('p', { class: 'quiet', text: `Predicted time of one piece, tool changes included: ${Math.floor(total / 60)} min ${Math.floor(total % 60)} s.` }),
  );
}

/** @param {any} result @param {(pick: any) => void} pick */
function follows(result, pick) {
  const open = new Set([...panel('follows').querySelectorAll('details[open]')].map((node) => node.dataset.valueName));
  const rows = result.values
    .filter((/** @type {any} */ value) => !value.parameter)
    .map((/** @type {any} */ value) => {
      const limits = value.limits ? ` (${value.limits[0]} / ${value.limits[1]})` : '';
      return make(
        'details',
        { 'data-value-name': value.name },
        make('summary', { onclick: () => pick({ value: value.name }) }, make('span', { class: 'row' }, make('span', { text: headed(value.title) }), make('span', { class: 'figure', text: said(`${value.text}${limits}`) }))),
        value.why && make('p', { text: headed(value.why) }),
        make('p', { class: 'formula', text: `${value.name} = ${value.formula ?? ''}` }),
        value.source && make('p', { class: 'quiet', text: `Source: ${value.source}` }),
      );
    });
  for (const row of rows) if (open.has(row.dataset.valueName)) row.open = true;
  panel('follows').replaceChildren(...(rows.length > 0 ? rows : [NONE()]));
}

/** @param {any} result @param {(pick: any) => void} pick */
function rules(result, pick) {
  const order = { refused: 0, caution: 1, holds: 2 };
  // What does not apply stands last: it says nothing of this part.
  const rank = (/** @type {any} */ rule) => (rule.applies ? order[rule.verdict] : 3);
  const sorted = [...result.rules].sort((a, b) => rank(a) - rank(b));
  const rows = sorted.map((rule) =>
    make(
      'tr',
      { 'data-rule': rule.name },
      make('td', { class: rule.applies ? `mark ${rule.verdict}` : 'mark', text: rule.applies ? rule.verdict : '–' }),
      make(
        'th',
        { scope: 'row' },
        make('button', { type: 'button', class: 'link', text: headed(rule.name.replaceAll('-', ' ')), onclick: () => pick({ rule: rule.name }) }),
      ),
      make('td', {}, make('span', { class: 'formula', text: rule.applies ? said(rule.numbers) : headed(said(rule.numbers)) }), rule.say && make('p', { text: said(rule.say) }), make('p', { class: 'quiet', text: `${rule.must} · ${rule.source}` })),
    ),
  );
  panel('rules').replaceChildren(table('Rules', ['Verdict', 'Rule', 'Why'], rows));
}

/** Marks what belongs to the picked thing. @param {any} marks */
export function mark(marks) {
  for (const row of document.querySelectorAll('[data-size]')) row.classList.toggle('on', marks.sizes.has(row.dataset.size));
  for (const row of document.querySelectorAll('[data-value-name]')) row.classList.toggle('on', marks.values.has(row.dataset.valueName));
  for (const row of document.querySelectorAll('[data-rule]')) row.classList.toggle('on', marks.rules.has(row.dataset.rule));
  for (const row of document.querySelectorAll('.size[data-name]')) row.classList.toggle('on', marks.values.has(row.dataset.name));
}

/** Turning to a paper by its name. */
export function tabs(/** @type {(id: string) => void} */ turned) {
  const list = [...document.querySelectorAll('[role=tab]')];
  const turn = (/** @type {any} */ tab) => {
    for (const one of list) {
      const yes = one === tab;
      one.setAttribute('aria-selected', String(yes));
      one.tabIndex = yes ? 0 : -1;
      at(one.getAttribute('aria-controls')).hidden = !yes;
    }
    turned(tab.id.slice('tab-'.length));
  };
  for (const [index, tab] of list.entries()) {
    tab.addEventListener('click', () => turn(tab));
    tab.addEventListener('keydown', (/** @type {KeyboardEvent} */ event) => {
      const to = { ArrowRight: index + 1, ArrowLeft: index - 1, Home: 0, End: list.length - 1 }[event.key];
      if (to === undefined) return;
      event.preventDefault();
      const next = list[(to + list.length) % list.length];
      turn(next);
      next.focus();
    });
  }
  return (/** @type {string} */ id) => turn(at(`tab-${id}`));
}
