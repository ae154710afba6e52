// Nodes, texts of sizes and files: what the element is made of and what it gives away.

/** No text of a size is longer. */
export const LONGEST = 200;

/** @param {string} tag @param {Record<string, any>} [has] @param {...any} children @returns {any} */
export function make(tag, has = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(has)) {
    if (value === undefined || value === null || value === false) continue;
    if (name === 'text') node.textContent = value;
    else if (typeof value === 'function') node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? '' : String(value));
  }
  node.append(...children.filter((child) => child !== null && child !== undefined && child !== false));
  return node;
}

/** Sizes out of `a=1&b=2`. @param {string | null} text @returns {Record<string, string>} */
export function read(text) {
  const sizes = Object.create(null);
  for (const [name, value] of [...new URLSearchParams((text ?? '').slice(0, 20000))].slice(0, 200)) sizes[name.slice(0, LONGEST)] = value.slice(0, LONGEST);
  return sizes;
}
