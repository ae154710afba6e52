// One size as it is asked for: its label, its field, what is wrong with it, how to choose it.

import { make } from './make.js';
import { decimal, local, shown as reads, stepped } from './step.js';

/**
 * @param {any} size @param {any} say the element's words
 * @param {string | undefined} theirs language of the family's words, where it is another
 * @param {{lang: () => string, units: () => string, take: (text: string) => void, tell: (kind: string) => void, left: () => void, enter: () => void}} on
 */
export function row(size, say, theirs, on) {
  const id = `size-${size.name}`;
  const has = { id, part: 'input', 'aria-describedby': `${id}-message ${id}-limits` };
  const choices = size.one_of.length > 0 ? size.one_of : size.kind === 'yes or no' ? ['yes', 'no'] : null;
  /** @type {any} */
  let field;
  if (choices) {
    const chosen = (/** @type {Event} */ event) => {
      event.stopPropagation();
      on.take(field.value);
      on.tell(event.type);
    };
    field = make('select', { ...has, class: 'wide', lang: theirs, oninput: chosen, onchange: chosen }, ...choices.map((/** @type {string} */ text) => make('option', { value: text, text: reads(size, text) })));
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
      oninput: (/** @type {Event} */ event) => { event.stopPropagation(); typed(); },
      onchange: (/** @type {Event} */ event) => { event.stopPropagation(); changed(); },
      onfocus: () => (last = field.value),
      onblur: () => {
        changed();
        if (field.value.trim() === '') on.left();
      },
      onkeydown: (/** @type {KeyboardEvent} */ event) => {
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

/** What there is to be told, each with its mark. @param {{severity: string, text: string}[]} all @param {any} say @param {string | undefined} ours language of its words, where the family's is another */
export const findings = (all, say, ours) =>
  all.map(({ severity, text }) => make('p', { class: `finding ${severity}` }, make('strong', { class: `mark ${severity}`, text: say[severity] ?? severity, lang: ours }), ' ', make('span', { text })));
