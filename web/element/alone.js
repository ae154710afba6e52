// A sheet printed alone, at its true size.

const paper = globalThis.CSSStyleSheet && globalThis.document ? new CSSStyleSheet() : undefined;

/** @param {HTMLElement} host @param {{width: number, height: number}} sheet in millimetres */
export function alone(host, sheet) {
  // The sheet alone: what stands beside the way to it is away while it prints, and the way has no edges.
  /** @type {[Element, string][]} */
  const marked = [];
  for (let node = /** @type {Element | null} */ (host); node; node = node.parentElement) {
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
