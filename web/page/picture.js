// The core's drawing in page and element: the only text that is ever read as markup; one into the next, so that
// what stands as it stood is not laid out again; where it is looked at first.

/** What a drawing never holds; the core writes none of it, and this makes sure. */
const FOREIGN = 'script, style, foreignObject, a, image, use, iframe, object, animate, set, [style]';

/**
 * A reader of the core's own drawings.
 * @param {string} name of its policy
 * @returns {(svg: string) => SVGElement | null} a drawing as an element
 */
export function reader(name) {
  /** @type {any} */
  let policy;
  const trusted = (/** @type {string} */ svg) => {
    // A page's list of policies may lack this one; the assignment below then fails, and that is told.
    try {
      policy ??= globalThis.trustedTypes?.createPolicy(name, { createHTML: (/** @type {string} */ text) => text });
    } catch {
      policy = undefined;
    }
    return policy ? policy.createHTML(svg) : svg;
  };
  return (svg) => {
    const template = document.createElement('template');
    template.innerHTML = trusted(svg);
    const root = template.content.querySelector('svg');
    return root && !root.querySelector(FOREIGN) ? document.adoptNode(root) : null;
  };
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

/**
 * What stands in a box: each drawing's root, its lines, and the element that each line begins.
 * @typedef {{root: Element, lines: string[], nodes: Element[] | null}} Shown
 */

/** @type {WeakMap<Element, Shown[]>} */
const boxes = new WeakMap();

/**
 * Shows drawings in place of those before them; what stands as it stood is neither read nor laid out again.
 * @param {Element} box @param {string[]} svgs @param {(svg: string) => Element | null} read
 * @returns {boolean} whether they could be read
 */
export function renewSheets(box, svgs, read) {
  const before = boxes.get(box) ?? [];
  if (before.length === svgs.length && before.every((one, index) => changed(one, svgs[index], read))) return true;
  const drawings = svgs.map(read);
  if (drawings.includes(null)) return false;
  renewAll(box, drawings);
  boxes.set(box, [...box.children].map((root, index) => ({ root, lines: svgs[index].split('\n'), nodes: null })));
  return true;
}

/** An element that begins on its line, and ends there too or later: the core writes one to a line. */
const BEGINS = /^<(\w+)(?: [^<>]*?)?(\/>|>.*<\/\1>|>)$/u;

/**
 * Changes a drawing line by line, where most keys change some of many: it takes two thirds of the time of reading all.
 * @param {Shown} one @param {string} svg @param {(svg: string) => Element | null} read
 * @returns {boolean} whether that would do: not where lines came or went, or a group is another
 */
function changed(one, svg, read) {
  const lines = svg.split('\n');
  if (!one.root.isConnected || lines.length !== one.lines.length) return false;
  const others = [...lines.keys()].filter((at) => lines[at] !== one.lines[at]);
  if (others.length === 0) return true;
  const [now, was] = [lines, one.lines].map((all) => others.map((at) => BEGINS.exec(all[at])));
  const open = now.map((begins) => begins?.[2] === '>');
  if (!now.every((begins, index) => begins && begins[1] === was[index]?.[1] && open[index] === (was[index]?.[2] === '>'))) return false;
  const texts = now.map((begins, index) => (open[index] ? `${begins?.[0]}</${begins?.[1]}>` : begins?.[0]));
  const fresh = read(`<svg xmlns="http://www.w3.org/2000/svg">${texts.join('')}</svg>`)?.children;
  one.nodes ??= begun(one);
  if (!one.nodes || fresh?.length !== others.length) return false;
  // All of them at once would be live: what is moved into the drawing leaves the list.
  for (const [index, node] of [...fresh].entries()) {
    const old = one.nodes[others[index]];
    if (open[index]) dress(old, node);
    else renew(old, node);
  }
  one.lines = lines;
  return true;
}

/** The element that each line begins; nothing where lines and elements do not match. @param {Shown} one @returns {Element[] | null} */
function begun({ root, lines }) {
  const all = [root, ...root.querySelectorAll('*')];
  let next = 0;
  const nodes = lines.map((line) => {
    const node = all[next];
    next += line.match(/<\w/gu)?.length ?? 0;
    return node;
  });
  return next === all.length ? nodes : null;
}

/**
 * Makes the children of a node equal to others, with as few changes as it takes.
 * @param {any} parent @param {any[]} wanted
 */
function renewAll(parent, wanted) {
  const there = [...parent.childNodes];
  for (const [index, node] of wanted.entries()) {
    if (index < there.length) renew(there[index], node);
    else parent.append(node);
  }
  for (const node of there.slice(wanted.length)) node.remove();
}

/** @param {any} old @param {any} fresh */
function renew(old, fresh) {
  if (old.isEqualNode(fresh)) return;
  if (old.nodeName !== fresh.nodeName) return void old.replaceWith(fresh);
  if (old.nodeType !== Node.ELEMENT_NODE) {
    if (old.data !== fresh.data) old.data = fresh.data;
    return;
  }
  dress(old, fresh);
  renewAll(old, [...fresh.childNodes]);
}

/** The attributes of another. @param {any} old @param {any} fresh */
function dress(old, fresh) {
  for (const { name, value } of fresh.attributes) if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  // A class is the page's own mark: no drawing of the core has one.
  if (old.attributes.length > fresh.attributes.length) {
    for (const { name } of [...old.attributes]) if (name !== 'class' && !fresh.hasAttribute(name)) old.removeAttribute(name);
  }
}
