// The core and its drawing in the element: how it comes, the only text that is ever read as markup, where it is looked at first, how it is printed.

/** @type {any} */
let policy;
function trusted(svg) {
  // A shop's list of policies may lack this one; the assignment below then fails, and that is told.
  try {
    policy ??= globalThis.trustedTypes?.createPolicy('barwright-part', { createHTML: (text) => text });
  } catch {
    policy = undefined;
  }
  return policy ? policy.createHTML(svg) : svg;
}

const FOREIGN = 'script, style, foreignObject, a, image, use, iframe, object, animate, set, [style]';

/** The core's own drawing as an element. @param {string} svg */
export function picture(svg) {
  const template = document.createElement('template');
  template.innerHTML = trusted(svg);
  const root = template.content.querySelector('svg');
  return root && !root.querySelector(FOREIGN) ? document.adoptNode(root) : null;
}

/** Where a sheet is larger than its window, the first view rather than the margin. @param {any} box @returns {boolean} whether there is one */
export function firstView(box) {
  const outline = box?.querySelector('[data-role="outline"]');
  if (!outline) return false;
  const [view, window] = [outline.getBoundingClientRect(), box.getBoundingClientRect()];
  // With room for the sizes that stand before and above it.
  if (box.scrollWidth > box.clientWidth) box.scrollTo(box.scrollLeft + view.left - window.left - 60, box.scrollTop + view.top - window.top - 64);
  return true;
}

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
