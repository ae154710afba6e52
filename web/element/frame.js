// All that the element shows, before anything is filled in.

import { make } from './make.js';
import { row } from './row.js';
import { shown as reads } from './step.js';

/**
 * @param {{say: any, theirs: string | undefined, title: string, sizes: any[], fixed: Record<string, string>, shown: string[] | undefined, offers: Set<string>, off: boolean}} what
 * @param {{units: (unit: any) => void, size: (name: string) => Parameters<typeof row>[3], zoom: () => void, print: () => void, download: (what: any) => void}} on
 * @returns {any[]}
 */
export function frame({ say, theirs, title, sizes, fixed, shown, offers, off }, on) {
  const free = sizes.filter((size) => !(size.name in fixed) && (!shown || shown.includes(size.name)));
  const set = sizes.filter((size) => size.name in fixed);
  const button = (/** @type {string} */ kind, /** @type {string} */ text, /** @type {() => void} */ act) => offers.has(kind) && make('button', { type: 'button', part: 'button', 'data-offer': kind, text, onclick: act });
  // The family's words are English, whatever the page speaks.
  return [
    make('fieldset', { part: 'form', disabled: off },
      make('div', { part: 'sizes' },
        make('h2', { text: title, lang: theirs, tabindex: '-1' }),
        make('div', { class: 'size' }, make('label', { for: 'units', text: say.units }),
          make('select', { id: 'units', part: 'input', onchange: (/** @type {Event} */ event) => { event.stopPropagation(); on.units(/** @type {any} */ (event.target).value); }, oninput: (/** @type {Event} */ event) => event.stopPropagation() },
            make('option', { value: 'mm', text: say.mm }), make('option', { value: 'in', text: say.in }))),
        ...free.map((/** @type {any} */ size) => row(size, say, theirs, on.size(size.name))),
        set.length > 0 && make('h2', { text: say.fixed }),
        set.length > 0 && make('dl', { part: 'fixed', lang: theirs }, ...set.flatMap((/** @type {any} */ size) => [make('dt', { text: size.ask }), make('dd', { 'data-fixed': size.name, text: reads(size, fixed[size.name]) })]))),
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
        make('slot', { name: 'extra' }))),
    make('p', { id: 'said', class: 'aside', role: 'status' }),
  ];
}
