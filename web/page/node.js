// Elements from code: text from families, files and links only ever becomes text. The page and the element make theirs by it.

/**
 * @param {string} tag
 * @param {Record<string, any>} [has] attributes; `on…` with a function is a listener, `text` the text
 * @param {...(Node | string | null | undefined | false)} children
 * @returns {any}
 */
export function make(tag, has = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(has)) {
    if (value === undefined || value === null || value === false) continue;
    if (name === 'text') node.textContent = value;
    else if (typeof value === 'function') node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? '' : String(value));
  }
  for (const child of children) if (child !== null && child !== undefined && child !== false) node.append(child);
  return node;
}
