// All that the element shows, before anything is filled in: sizes as they are asked for, and what came of them.

import { make } from './node.js';
import { decimal, local, shown as reads, stepped } from './step.js';

/** No text of a size is longer. */
export const LONGEST = 200;

/** Sizes out of `a=1&b=2`. @param {string | null} text @returns {Record<string, string>} */
export function read(text) {
  const sizes = Object.create(null);
  for (const [name, value] of [...new URLSearchParams((text ?? '').slice(0, 20000))].slice(0, 200)) sizes[name.slice(0, LONGEST)] = value.slice(0, LONGEST);
  return sizes;
}

/** @param {any} what the family, the shop's choices and the words @param {any} on what follows from a choice @returns {any[]} */
export function frame({ say, theirs, title, sizes, fixed, shown, offers, off }, on) {
  const free = sizes.filter((size) => !(size.name in fixed) && (!shown || shown.includes(size.name)));
  const set = sizes.filter((size) => size.name in fixed);
  const button = (kind, text, act) => offers.has(kind) && make('button', { type: 'button', part: 'button', 'data-offer': kind, text, onclick: act });
  // The family's words are English, whatever the page speaks.
  return [
    make('fieldset', { part: 'form', disabled: off, dir: 'ltr' },
      make('div', { part: 'sizes' },
        make('h2', { text: title, lang: theirs, tabindex: '-1' }),
        make('div', { class: 'size' }, make('label', { for: 'units', text: say.units }),
          make('select', { id: 'units', part: 'input', onchange: (event) => { event.stopPropagation(); on.units(event.target.value); }, oninput: (event) => event.stopPropagation() },
            make('option', { value: 'mm', text: say.mm }), make('option', { value: 'in', text: say.in }))),
        ...free.map((size) => row(size, say, theirs, on.size(size.name))),
        set.length > 0 && make('h2', { text: say.fixed }),
        set.length > 0 && make('dl', { part: 'fixed', lang: theirs }, ...set.flatMap((size) => [make('dt', { text: size.ask }), make('dd', { 'data-fixed': size.name, text: reads(size, fixed[size.name]) })]))),
      make('div', { class: 'out' },
        make('dl', { part: 'facts' },
          ...['numberOf', 'verdict', 'blank', 'mass'].flatMap((id) => [make('dt', { text: say[id] }), make('dd', { id })])),
        make('div', { id: 'findings', lang: theirs }),
        offers.has('drawing') && make('div', { class: 'row' }, make('button', { type: 'button', id: 'true', part: 'button', 'aria-pressed': 'false', text: say.real, onclick: on.zoom })),
        offers.has('drawing') && make('div', { id: 'drawing', class: 'drawing', part: 'drawing', tabindex: '0', role: 'region', 'aria-label': say.drawing }),
        offers.has('program') && make('details', { id: 'programs' }, make('summary', { text: say.program }), make('div', { id: 'code' })),
        make('div', { class: 'row', part: 'files' },
          offers.has('drawing') && button('print', say.print, on.print),
          button('svg', say.svg, () => on.download('drawing.svg')), button('pdf', say.pdf, () => on.download('drawing.pdf')),
          button('program', say.code, () => on.download('program')), button('record', say.record, () => on.download('part.json'))),
        make('p', { id: 'fetched', class: 'quiet', role: 'status' }),
        make('slot', { name: 'extra' }))),
    make('p', { id: 'said', class: 'aside', role: 'status' }),
  ];
}

/** One size: its label, its field, what is wrong with it, how to choose it. @param {any} size @param {any} say @param {string | undefined} theirs language of the family's words @param {any} on */
function row(size, say, theirs, on) {
  const id = `size-${size.name}`;
  const has = { id, part: 'input', 'aria-describedby': `${id}-message ${id}-limits` };
  const choices = size.one_of.length > 0 ? size.one_of : size.kind === 'yes or no' ? ['yes', 'no'] : null;
  /** @type {any} */
  let field;
  if (choices) {
    const chosen = (event) => {
      event.stopPropagation();
      on.take(field.value);
      on.tell(event.type);
    };
    field = make('select', { ...has, class: 'wide', lang: theirs, oninput: chosen, onchange: chosen }, ...choices.map((text) => make('option', { value: text, text: reads(size, text) })));
  } else {
    // As of any field of text: one change for what was typed or stepped since the last, when it is left or entered.
    let last = '';
    let owed = false;
    const typed = () => {
      owed = true;
      on.take(field.value);
      on.tell('input');
    };
    const changed = () => {
      if (owed && field.value !== last) {
        last = field.value;
        on.tell('change');
      }
      owed = false;
    };
    field = make('input', { ...has, type: 'text', inputmode: ['fit', 'word', 'material', 'thread'].includes(size.kind) ? 'text' : 'decimal', spellcheck: 'false', maxlength: '100',
      oninput: (event) => { event.stopPropagation(); typed(); },
      onchange: (event) => { event.stopPropagation(); changed(); },
      onfocus: () => (last = field.value),
      onblur: () => {
        changed();
        if (field.value.trim() === '') on.left();
      },
      onkeydown: (event) => {
        if (event.key === 'Enter' && !event.isComposing) {
          changed();
          return on.enter();
        }
        if (event.key !== 'ArrowUp' && event.key !== 'ArrowDown') return;
        const text = stepped(size, field.value, (event.key === 'ArrowUp' ? 1 : -1) * (event.shiftKey ? 10 : 1), on.units());
        if (text === null) return;
        event.preventDefault();
        field.value = local(text, decimal(on.lang()));
        typed();
      } });
  }
  const limits = make('span', { id: `${id}-limits`, lang: theirs });
  return make('div', { class: 'size', part: 'field' }, make('label', { for: id, part: 'label', lang: theirs, text: size.ask }), field,
    make('p', { class: 'message', part: 'error', id: `${id}-message`, hidden: true }),
    size.help
      ? make('details', { class: 'quiet' }, make('summary', {}, limits, ' ', make('span', { class: 'how', text: say.how }), make('span', { class: 'aside', lang: theirs, text: `: ${size.ask}` })), make('p', { lang: theirs, text: size.help }))
      : make('p', { class: 'quiet' }, limits));
}

/** What there is to be told, each with its mark. @param {any[]} all @param {any} say @param {string | undefined} ours language of its words */
export const findings = (all, say, ours) =>
  all.map(({ severity, text }) => make('p', { class: `finding ${severity}` }, make('strong', { class: `mark ${severity}`, text: say[severity] ?? severity, lang: ours }), ' ', make('span', { text })));
