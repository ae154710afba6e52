// Files: those to take away, and the visitor's own.

import { batch } from './batch.js';
import { at, make } from './make.js';

/** What each file is, in words. */
const WORDS = {
  'drawing.svg': 'The drawing, for a browser or a program that draws',
  'drawing.pdf': 'The drawing at true scale, for printing',
  'first-piece.csv': 'The sheet of the first piece: each size with its limits, its gauge, what the proof found, and room for what is read',
  'part.json': 'The record: what was asked, derived, judged and proved',
};

/** @param {string} name @param {any[]} runs of the variant */
const words = (name, runs) => {
  const setup = Number(/^program-(\d+)\./u.exec(name)?.[1]);
  const program = runs.length > 1 && runs[setup - 1] ? `The program of setup ${setup}: ${runs[setup - 1].title}` : 'The program for the machine';
  return WORDS[name] ?? (name.startsWith('drawing-') ? 'A further sheet of the drawing' : program);
};

const KINDS = { svg: 'image/svg+xml', pdf: 'application/pdf', csv: 'text/csv', json: 'application/json', zip: 'application/zip' };

/** Gives a file to the browser. @param {string} name @param {Uint8Array | undefined} bytes */
function give(name, bytes) {
  if (!bytes) return;
  const kind = KINDS[name.split('.').at(-1) ?? ''] ?? 'text/plain';
  const address = URL.createObjectURL(new Blob([/** @type {any} */ (bytes)], { type: kind }));
  const link = make('a', { href: address, download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/** A part number as a file name. @param {string} number */
const fit = (number) => number.replace(/[^A-Za-z0-9._-]/gu, '-').slice(0, 120);

/** How the files of a variant begin: a number does not name every size, the digest does. @param {any} goods */
const begins = (goods) => `${fit(goods.number)}-${goods.digest.slice(0, 8)}`;

/**
 * @param {{files: () => string[], file: (name: string) => any, archive: () => any}} source of the files, at once or soon
 * @param {any} result @param {() => any} asked what a worker needs to come to the same variant
 * @param {() => boolean} stands whether it still is the variant of the page
 */
export function show(source, result, asked, stands) {
  const panel = at('panel-files');
  const { goods } = result;
  if (!goods) {
    panel.replaceChildren(make('p', { text: 'There are no files: the sizes are refused.' }));
    return;
  }
  const begin = begins(goods);
  // What comes when another variant stands there already is given to nobody.
  const hand = async (/** @type {string} */ name, /** @type {any} */ coming) => {
    try {
      const bytes = await coming;
      if (stands()) give(name, bytes);
    } catch {
      said.textContent = `${name} could not be made. Load the page again.`;
    }
  };
  const said = make('p', { role: 'status' });
  const item = (/** @type {string} */ name) =>
    make('li', {}, make('button', { type: 'button', text: name, onclick: () => hand(name === 'part.json' ? `${begin}.json` : `${begin}-${name}`, source.file(name)) }),
      make('span', { class: 'quiet', text: words(name, goods.runs) }));
  panel.replaceChildren(
    make('p', {}, make('button', { type: 'button', class: 'main', id: 'archive', text: 'Everything as one archive', onclick: () => hand(`${begin}.zip`, source.archive()) })),
    said,
    make('ul', { class: 'files' }, ...source.files().map(item)),
    batch(asked, (name, bytes) => stands() && give(`${begin}${name}`, bytes)),
    make('p', { class: 'quiet', text: `${goods.number}, digest ${goods.digest}. The same files as the command line writes, byte for byte.` }),
  );
}

/** What is wrong with files of one's own. @param {any[]} findings */
export function showFindings(findings) {
  at('own-findings').replaceChildren(
    ...findings.slice(0, 20).map((finding) =>
      make('div', { class: `finding ${finding.severity}` },
        make('p', {}, make('strong', { class: 'mark', text: finding.severity }), ` ${finding.headline}`),
        ...finding.labels.map((/** @type {any} */ label) => make('p', { class: 'quiet', text: `${label.source}, line ${label.line}, column ${label.column}: ${label.text}` })),
        ...finding.labels.slice(0, 1).map((/** @type {any} */ label) => label.excerpt && make('pre', { class: 'excerpt', tabindex: '0', text: label.excerpt })),
        ...[...finding.notes, ...finding.helps].map((text) => make('p', { text })))),
  );
}

/** The largest file that is read, in bytes. */
const LARGEST = 1024 * 1024;

/** @param {(files: Map<string, string>) => void} opened @param {(text: string) => void} refused */
export function listen(opened, refused) {
  const take = async (/** @type {FileList | undefined | null} */ list) => {
    const files = new Map();
    for (const file of list ?? []) {
      if (!/\.ya?ml$/iu.test(file.name)) return refused(`${file.name} is no YAML file.`);
      if (file.size > LARGEST) return refused(`${file.name} is larger than a family or shop ever is.`);
      files.set(file.name, await file.text());
    }
    if (files.size > 0) opened(files);
  };
  at('own').addEventListener('change', () => {
    void take(at('own').files).then(() => (at('own').value = ''));
  });
  document.addEventListener('dragover', (event) => {
    if (!event.dataTransfer?.types.includes('Files')) return;
    event.preventDefault();
    document.body.classList.add('dropping');
  });
  document.addEventListener('dragleave', (event) => {
    if (!event.relatedTarget) document.body.classList.remove('dropping');
  });
  document.addEventListener('drop', (event) => {
    document.body.classList.remove('dropping');
    if (!event.dataTransfer?.files.length) return;
    event.preventDefault();
    void take(event.dataTransfer.files);
  });
}
