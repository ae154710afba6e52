// One drawing into the next: what stands as it stood is left alone, so that it is not laid out again.

/**
 * Makes the children of a node equal to others, with as few changes as it takes.
 * @param {any} parent @param {any[]} wanted
 */
export function renewAll(parent, wanted) {
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
  for (const { name, value } of fresh.attributes) if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  // A class is the page's own mark: no drawing of the core has one.
  if (old.attributes.length > fresh.attributes.length) {
    for (const { name } of [...old.attributes]) if (name !== 'class' && !fresh.hasAttribute(name)) old.removeAttribute(name);
  }
  renewAll(old, [...fresh.childNodes]);
}
