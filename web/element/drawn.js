// The drawing in the element: the only text that is ever read as markup, and where it is looked at first.

/** @type {any} */
let policy;
function trusted(/** @type {string} */ svg) {
  // A shop's list of policies may lack this one; the assignment below then fails, and that is told.
  try {
    policy ??= globalThis.trustedTypes?.createPolicy('barwright-part', { createHTML: (/** @type {string} */ text) => text });
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
  return root && !root.querySelector(FOREIGN) ? /** @type {SVGElement} */ (document.adoptNode(root)) : null;
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
