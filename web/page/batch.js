// The papers of a batch: asked for by how many, worked out by a worker with a module of its own.

import { Asked } from './beside.js';
import { make } from './make.js';

/** What was typed last stays for the next variant. */
const typed = { pieces: '10', spares: '0' };

/** @type {Asked | undefined} */
let worker;

/** @param {'pieces' | 'spares'} name @param {string} title */
function field(name, title) {
  const input = make('input', { id: `batch-${name}`, inputmode: 'numeric', autocomplete: 'off', size: '6', value: typed[name] });
  input.addEventListener('input', () => (typed[name] = input.value));
  return make('label', {}, `${title} `, input);
}

/** What the command line calls its words has fields here. @param {string} text */
const plain = (text) => text.replace(/`?\b(quantity|spares)=(\d+)`?/gu, (_, name, count) => `${count} ${name === 'quantity' ? 'piece' : 'spare'}${count === '1' ? '' : 's'}`);

/** @param {any} finding */
const told = (finding) =>
  make('div', { class: `finding ${finding.severity}` },
    make('p', {}, make('strong', { class: 'mark', text: finding.severity }), ` ${plain(finding.headline)}`),
    ...finding.notes.concat(finding.helps).map((/** @type {string} */ text) => make('p', { class: 'quiet', text: plain(text) })));

/**
 * The form by which a batch is asked for.
 * @param {() => any} asked what the worker needs to come to the variant
 * @param {(name: string, bytes: Uint8Array) => void} give gives a file, unless another variant stands there by now
 */
export function batch(asked, give) {
  const said = make('div', { id: 'batch-said', role: 'status' });
  const buttons = [
    make('button', { type: 'submit', value: 'packet', text: 'Papers of the batch' }),
    make('button', { type: 'submit', value: 'archive', text: 'Papers, programs and tables as one archive' }),
  ];
  const form = make('form', { id: 'batch', class: 'batch' },
    make('h3', { text: 'Many of them' }),
    make('p', { class: 'fields' }, field('pieces', 'Pieces'), field('spares', 'Spares')),
    make('p', { class: 'quiet', text: 'How to saw the bars, load the vise, touch off, measure the first piece, count and bag; with times and hardware. The papers call for a program to each load: those are in the archive.' }),
    make('p', { class: 'fields' }, ...buttons),
    said);
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    // One order at a time.
    if (buttons[0].hasAttribute('aria-disabled')) return;
    const wanted = event.submitter?.getAttribute('value') ?? 'packet';
    for (const button of buttons) button.setAttribute('aria-disabled', 'true');
    said.replaceChildren(make('p', { text: 'Being worked out …' }));
    const order = { ...typed };
    const many = [order.pieces, ...(/^0*$/u.test(order.spares.trim()) ? [] : ['and', order.spares])].map((text) => text.trim().replace(/[^0-9a-z]/giu, '').slice(0, 12)).join('-');
    try {
      worker ??= new Asked('order.js');
      const { findings, packet, archive } = await worker.ask({ ...asked(), ...order });
      said.replaceChildren(...findings.map(told));
      if (packet) {
        give(wanted === 'packet' ? `-${many}-packet.pdf` : `-${many}-batch.zip`, wanted === 'packet' ? packet : archive);
        said.append(make('p', { text: 'The papers are there.' }));
      } else if (findings.length === 0) said.replaceChildren(make('p', { text: 'There are no papers: the sizes are refused.' }));
    } catch {
      worker?.end();
      worker = undefined;
      said.replaceChildren(make('p', { class: 'finding refused', text: 'The papers could not be fetched. With a network, try again.' }));
    }
    for (const button of buttons) button.removeAttribute('aria-disabled');
  });
  return form;
}
