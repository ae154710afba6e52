// The element's own words. What a family says is the family's, in its own language.

const EN = {
  loading: 'The sizes are being fetched.',
  failed: 'The sizes cannot be worked out here.',
  fixed: 'Chosen for you', drawing: 'Drawing', program: 'Program', numberOf: 'Part number', blank: 'Cut from', mass: 'Mass', verdict: 'Verdict',
  holds: 'holds', caution: 'caution', refused: 'refused', none: 'none while refused', units: 'Numbers are in', mm: 'mm', in: 'inch',
  range: (from, to) => `${from} to ${to}`,
  would: (count) => (count === 1 ? 'This would do:' : 'Any one of these would do:'), instead: (ask, to) => `${ask}: ${to}`,
  real: 'True size', goneDrawing: 'No drawing: the sizes are refused.',
  gone: 'No drawing and no program: the sizes are refused.',
  correct: (reason, more) => `These sizes are refused. ${reason} ${more}`,
  one: (count) => (count === 1 ? 'One thing would do: take it.' : 'Take one that would do.'), noneDo: 'No single size here would do by itself: change several, or ask the shop.', unknown: 'What would do is not known here: change a size, or ask the shop.',
  stands: (to) => `Refused as it stands; ${to} would do`, measured: ' – if it measures so', how: 'Help', digest: 'digest', again: 'Load the page again, or ask the shop.',
  print: 'Print the drawing', svg: 'Drawing (SVG)', pdf: 'Drawing (PDF)', record: 'Record (part.json)', code: 'Program', fetching: 'The file is being written.', missed: 'The file could not be fetched. Try again.',
  changed: (number) => `The drawing is new: ${number}.`,
};

/** @type {typeof EN | undefined} */
let german;
const isGerman = (lang) => /^de\b/iu.test(lang);

/** Fetches the words of a language; where they do not come it is English. @param {string} lang */
export async function learn(lang) {
  if (isGerman(lang)) german ??= (await import('./german.js').catch(() => undefined))?.DE;
}

/** @param {string} lang */
export const words = (lang) => (german && isGerman(lang) ? german : EN);

/** A mass in a language, in the unit of the drawing and as finely. @param {number} grams @param {string} lang @param {string} units */
export function mass(grams, lang, units) {
  const [value, unit, sign] = units === 'in' ? [grams / 453.59237, 'pound', 'lb'] : grams >= 1000 ? [grams / 1000, 'kilogram', 'kg'] : [grams, 'gram', 'g'];
  const digits = units === 'in' ? 4 : 3;
  try {
    return new Intl.NumberFormat(lang, { style: 'unit', unit, maximumSignificantDigits: digits }).format(value);
  } catch {
    return `${value.toPrecision(digits)} ${sign}`;
  }
}
