// The core in the element: how it comes, how its drawing is printed.

import { reader } from './picture.js';

export const picture = reader('barwright-part');

const paper = globalThis.CSSStyleSheet && globalThis.document ? new CSSStyleSheet() : undefined;

/** Prints a sheet alone, at its true size. @param {HTMLElement} host @param {{width: number, height: number}} sheet in millimetres */
export function alone(host, sheet) {
  // What stands beside the way to it is away while it prints, and the way has no edges.
  const marked = [];
  for (let node = host; node; node = node.parentElement) {
    marked.push([node, 'data-barwright-way']);
    for (const other of node === document.documentElement ? [] : (node.parentElement?.children ?? [])) if (other !== node && other !== document.head) marked.push([other, 'data-barwright-away']);
  }
  for (const [node, name] of marked) node.setAttribute(name, '');
  paper?.replaceSync(`@page { size: ${sheet.width}mm ${sheet.height}mm; margin: 0 }
    @media print { [data-barwright-away] { display: none !important }
    [data-barwright-way] { all: revert !important; display: block !important; margin: 0 !important; padding: 0 !important; border: 0 !important; background: #fff !important } }`);
  if (paper) document.adoptedStyleSheets.push(paper);
  addEventListener('afterprint', () => {
    for (const [node, name] of marked) node.removeAttribute(name);
    document.adoptedStyleSheets = document.adoptedStyleSheets.filter((one) => one !== paper);
  }, { once: true });
  window.print();
}

/** One core for all elements; a load that failed may be tried again. @type {Promise<typeof import('./element.js')> | undefined} */
let loading;
export const load = () =>
  (loading ??= import('./element.js')
    .then(async (module) => {
      await module.default();
      lettering();
      return module;
    })
    .catch((error) => {
      loading = undefined;
      throw error;
    }));

/** The face of the drawings, once for the page: a shadow root cannot name one. */
function lettering() {
  if ([...document.fonts].some((face) => face.family.includes('Barwright Lettering'))) return;
  const face = new FontFace('Barwright Lettering', `url(${JSON.stringify(new URL('barwright-lettering.woff2', import.meta.url).href)}) format("woff2")`);
  document.fonts.add(face);
  face.load().catch(() => undefined);
}

/** Whether this page may not run the core at all: asked of the smallest module there is. */
export function forbidden() {
  try {
    return !new WebAssembly.Module(Uint8Array.of(0, 97, 115, 109, 1, 0, 0, 0));
  } catch {
    return true;
  }
}
