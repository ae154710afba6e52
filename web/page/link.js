// The address is the variant: #family/unit/control?size=text&…

const LONGEST = 200;
const MOST = 200;

/**
 * What an address asks for; what it asks is checked by whoever knows the family.
 * @param {string} hash
 */
export function read(hash) {
  const text = hash.replace(/^#/, '').slice(0, 20000);
  const cut = text.indexOf('?');
  const [family, unit, control] = (cut < 0 ? text : text.slice(0, cut)).split('/').map(plain);
  const sizes = /** @type {Record<string, string>} */ (Object.create(null));
  let count = 0;
  for (const [name, value] of new URLSearchParams(cut < 0 ? '' : text.slice(cut + 1))) {
    if (count++ >= MOST) break;
    sizes[name.slice(0, LONGEST)] = value.slice(0, LONGEST);
  }
  return { family: family || undefined, unit: unit === 'in' || unit === 'mm' ? unit : undefined, control: control || undefined, sizes };
}

/** @param {string} text */
function plain(text) {
  try {
    return decodeURIComponent(text).slice(0, LONGEST);
  } catch {
    return '';
  }
}

/**
 * @param {{family: string, unit: string, control?: string, sizes: Record<string, string>}} state
 */
export function write({ family, unit, control, sizes }) {
  const path = [family, unit, control].filter((part) => part !== undefined).map((part) => encodeURIComponent(String(part)));
  const query = new URLSearchParams(Object.entries(sizes)).toString();
  return `#${path.join('/')}${query ? `?${query}` : ''}`;
}
