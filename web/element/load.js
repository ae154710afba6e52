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
