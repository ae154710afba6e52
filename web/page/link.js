// The address is the variant: #family/unit/control?size=text&…&part-digest=…&own-shop=yes

const LONGEST = 200;
const MOST = 200;

/** What the part was when the link was written, and whether its shop was the visitor's own. No size's name has a dash. */
const [DIGEST, SHOP] = ['part-digest', 'own-shop'];

/** So much of a digest tells two parts from one another; the title block shows as much. @param {string} digest */
const short = (digest) => digest.slice(0, 12);

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
    if (name !== DIGEST && name !== SHOP) sizes[name.slice(0, LONGEST)] = value.slice(0, LONGEST);
  }
  const digest = /[?&]part-digest=([0-9a-f]{12})(?:&|$)/u.exec(text)?.[1];
  const ownShop = /[?&]own-shop=yes(?:&|$)/u.test(text);
  return { family: family || undefined, unit: unit === 'in' || unit === 'mm' ? unit : undefined, control: control || undefined, sizes, digest, ownShop, unknownUnit: unit && unit !== 'mm' && unit !== 'in' ? unit : undefined };
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
 * @param {{family: string, unit: string, control?: string, sizes: Record<string, string>, digest?: string, ownShop?: boolean}} state
 */
export function write({ family, unit, control, sizes, digest, ownShop }) {
  const path = [family, unit, control].filter((part) => part !== undefined).map((part) => encodeURIComponent(String(part)));
  const query = new URLSearchParams([...Object.entries(sizes), ...(digest ? [[DIGEST, short(digest)]] : []), ...(ownShop ? [[SHOP, 'yes']] : [])]).toString();
  return `#${path.join('/')}${query ? `?${query}` : ''}`;
}

/**
 * What to say where the sizes of a link make another part than when it was written; nothing where they do not.
 * @param {string | undefined} asked the digest in the link @param {string | undefined} now that of the part here, none where it is refused
 */
export function differs(asked, now) {
  if (!asked || (now && short(now) === asked)) return '';
  return `The link was written for a part of digest ${asked}; the same sizes ${now ? `make one of ${short(now)} here, so the family` : 'are refused here, so family or shop'} is another than it was then. Look at the drawing before this is ordered or made.`;
}
