// The core: fetched once for all elements of a page.

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

/** The files of a variant by the whole core, the same bytes as the command line's. @param {string} what @param {string} family @param {string} order @returns {Promise<[string, any][]>} */
export async function written(what, family, order) {
  const { default: init, Desk } = await import('./barwright.js');
  await init();
  const desk = new Desk();
  desk.openFamily(family, undefined);
  desk.make(order);
  const names = JSON.parse(desk.files()).filter((/** @type {string} */ name) => name === what || (what === 'drawing.svg' && /^drawing-\d+\.svg$/u.test(name)));
  const files = names.map((/** @type {string} */ name) => [name, desk.file(name)]);
  desk.free();
  return files;
}
