// The sizes that a person measures or chooses, and the verdicts under them.

import { at, make, said } from './make.js';
import { about, apart, roots, shown, stepped, usual, would, wrong } from './step.js';

export { stepped, usual };

/**
 * The fields of a family.
 * @param {any} family
 * @param {{typed: (name: string, text: string | null) => void, picked: (name: string) => void}} on
 */
export function fields(family, on) {
  const form = at('fields');
  form.replaceChildren(...family.sizes.map((/** @type {any} */ size) => row(size, on)));
}

/** @param {any} size @param {any} on */
function row(size, on) {
  const id = `size-${size.name}`;
  const field = control(size, id, on);
  field.addEventListener('focus', () => on.picked(size.name));
  return make(
    'div',
    { class: 'size', 'data-name': size.name },
    make('label', { for: id, text: size.ask }),
    field,
    make('p', { class: 'limits quiet', id: `${id}-limits` }),
    size.help && make('details', {}, make('summary', { text: 'How to choose it', 'aria-label': `How to choose it: ${size.ask}` }), make('p', { text: size.help })),
    make('p', { class: 'message', id: `${id}-message`, hidden: true }),
  );
}

/** @param {any} size @param {string} id @param {any} on */
function control(size, id, on) {
  const described = `${id}-limits ${id}-message`;
  if (size.one_of.length > 0 || size.kind === 'yes or no') {
    const choices = size.one_of.length > 0 ? size.one_of : ['yes', 'no'];
    const field = make('select', { id, 'aria-describedby': described, onchange: () => on.typed(size.name, field.value) });
    field.append(...choices.map((/** @type {string} */ text) => make('option', { value: text, text: shown(size, text) })));
    return field;
  }
  const field = make('input', {
    id,
    type: 'text',
    inputmode: ['fit', 'word', 'material', 'thread'].includes(size.kind) ? 'text' : 'decimal',
    spellcheck: 'false',
    autocapitalize: 'off',
    maxlength: '100',
    'aria-describedby': described,
    oninput: () => on.typed(size.name, field.value.trim() === '' ? null : field.value),
    onfocus: () => field.dataset.usual && field.select(),
    onblur: () => field.value.trim() === '' && on.typed(size.name, null),
    onkeydown: (/** @type {KeyboardEvent} */ event) => {
      if (event.key !== 'ArrowUp' && event.key !== 'ArrowDown') return;
      const text = stepped(size, field.value, (event.key === 'ArrowUp' ? 1 : -1) * (event.shiftKey ? 10 : 1), unit());
      if (text === null) return;
      event.preventDefault();
      field.value = said(text);
      on.typed(size.name, field.value);
    },
  });
  return field;
}

/** The unit of bare numbers. @returns {'mm' | 'in'} */
export const unit = () => (document.querySelector('input[name=unit]:checked')?.getAttribute('value') === 'in' ? 'in' : 'mm');

/**
 * Shows what came of the sizes.
 * @param {any} family @param {any} result @param {Record<string, string>} given
 * @param {{typed: (name: string, text: string | null) => void}} on
 */
export function show(family, result, given, on) {
  const values = new Map(result.values.map((/** @type {any} */ value) => [value.name, value]));
  const inch = result.unit === 'in';
  for (const size of family.sizes) {
    const id = `size-${size.name}`;
    const field = at(id);
    const typed = Object.hasOwn(given, size.name);
    const known = values.get(size.name)?.text ?? usual(size, result.unit);
    const text = typed ? given[size.name] : field.tagName === 'SELECT' ? known : said(known);
    if (field.tagName === 'SELECT' && ![...field.options].some((option) => option.value === text)) {
      field.append(make('option', { value: text, text: shown(size, text) }));
    }
    if (document.activeElement !== field || field.tagName === 'SELECT' || (typed && field.value !== text)) {
      if (field.value !== text) field.value = text;
    }
    if (typed) delete field.dataset.usual;
    else field.dataset.usual = 'yes';
    limits(size, inch, typed, on);
    message(size, result);
  }
  verdict(family, result, on);
}

/** @param {any} size @param {boolean} inch @param {boolean} typed @param {any} on */
function limits(size, inch, typed, on) {
  const line = at(`size-${size.name}-limits`);
  const range = size.from && size.to ? said(`${size.from[+inch]} to ${size.to[+inch]}`) : '';
  const key = `${range}|${inch}|${typed}`;
  if (line.dataset.key === key) return;
  line.dataset.key = key;
  const most = usual(size, inch ? 'in' : 'mm');
  const plain = most.length < 24 ? said(`usually ${shown(size, most)}`) : 'usually worked out';
  const back = typed && make('button', { type: 'button', class: 'link', text: plain, 'aria-label': `${plain}: take it for ${size.ask}`, onclick: () => {
    on.typed(size.name, null);
    // The button goes with what was typed.
    at(`size-${size.name}`).focus();
  } });
  const parts = [range, back || plain].filter(Boolean);
  line.replaceChildren(...parts.flatMap((part, index) => (index > 0 ? [', ', part] : [part])));
}

/** What is wrong with one size by itself. @param {any} size @param {any} result */
function message(size, result) {
  const own = result.findings.filter((/** @type {any} */ finding) => about(finding) === size.name);
  const field = at(`size-${size.name}`);
  const line = at(`size-${size.name}-message`);
  const remedy = result.remedies.find((/** @type {any} */ one) => one.size === size.name);
  const text = own.map((/** @type {any} */ finding) => wrong(finding, size.name, remedy)).join(' ');
  const words = said(text || (remedy ? `Refused as it stands; ${would(remedy)}` : ''));
  if (line.textContent !== words) line.textContent = words;
  line.hidden = words === '';
  if (text) field.setAttribute('aria-invalid', 'true');
  else field.removeAttribute('aria-invalid');
}

/** What is wrong with a size by itself. @param {any} finding @param {string} size @param {any} result */
const own = (finding, size, result) => wrong(finding, size, result.remedies.find((/** @type {any} */ one) => one.size === size));

/** Why it is refused, in one sentence: what everything else comes of. @param {any} family @param {any} result */
export function reason(family, result) {
  const [finding] = roots(result.findings.filter((/** @type {any} */ one) => one.severity === 'refused'));
  const size = finding && about(finding);
  const ask = size && family.sizes.find((/** @type {any} */ one) => one.name === size)?.ask;
  return said(ask ? `${ask}: ${own(finding, size, result)}` : (finding?.headline ?? ''));
}

/** The verdict on all of it, and what would work. @param {any} family @param {any} result @param {any} on */
function verdict(family, result, on) {
  const asked = new Map(family.sizes.map((/** @type {any} */ size) => [size.name, size.ask]));
  const reads = (/** @type {string} */ name, /** @type {string} */ text) => shown(family.sizes.find((/** @type {any} */ size) => size.name === name) ?? {}, apart(text));
  // What is written for the command line, in the words of the fields.
  const plain = (/** @type {string} */ text) => text.replace(/\b([a-z]\w*)=([^\s,;()`]+)/gu, (all, name, value) => (asked.has(name) ? `${asked.get(name)}: ${apart(value)}` : all));
  const judged = result.rules.filter((/** @type {any} */ rule) => rule.applies);
  const held = judged.filter((/** @type {any} */ rule) => rule.verdict === 'holds').length;
  const parts = [];
  for (const finding of roots(result.findings)) {
    const size = about(finding);
    const ask = size && asked.get(size);
    const text = ask ? `: ${own(finding, size, result)}` : finding.headline;
    const more = ask ? [] : [...finding.notes, ...finding.helps];
    parts.push(
      make(
        'div',
        { class: `finding ${finding.severity}` },
        make('p', {}, make('strong', { class: 'mark', text: finding.severity }), ' ', ask && make('button', { type: 'button', class: 'link', text: ask, onclick: () => at(`size-${size}`)?.focus() }), said(text)),
        ...more.map((line) => make('p', { class: 'quiet', text: said(plain(line)) })),
      ),
    );
  }
  if (result.remedies.length > 0) {
    parts.push(
      make('p', { text: result.remedies.length > 1 ? 'Any one of these would do:' : 'This would do:' }),
      make(
        'ul',
        { class: 'remedies' },
        ...result.remedies.map((/** @type {any} */ remedy) =>
          make('li', {}, make('button', {
            type: 'button',
            text: said(`${asked.get(remedy.size) ?? remedy.size}: ${reads(remedy.size, remedy.to)} instead of ${reads(remedy.size, remedy.from)}${remedy.measured ? ', if it measures so' : ''}`),
            onclick: () => {
              on.typed(remedy.size, said(apart(remedy.to)));
              at(`size-${remedy.size}`)?.focus();
            },
          })),
        ),
      ),
    );
  }
  // One line among the sizes, the rest beside the sheet: no field moves under the hand that types.
  at('sum').replaceChildren(make('strong', { class: `mark ${state(result)}`, text: state(result) }), result.goods || held < judged.length ? ` ${held} of ${judged.length} rules hold.` : '');
  at('see').textContent = result.goods ? 'See the sheet' : 'See what would do';
  at('verdict').replaceChildren(...parts);
}

/** `holds`, `caution` or `refused`. @param {any} result */
export function state(result) {
  if (!result.goods) return 'refused';
  return result.findings.length > 0 ? 'caution' : 'holds';
}
