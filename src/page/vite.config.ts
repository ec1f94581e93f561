/** Builds the page into dist/page, from where the bench serves it. Nothing is loaded from elsewhere. */
import { defineConfig } from 'vite';

export default defineConfig({
  // Relative, so that the page also works behind a path of somebody's own.
  base: './',
  publicDir: false,
  build: {
    outDir: '../../dist/page',
    emptyOutDir: true,
    // No data: addresses, and no helper script that old browsers would need: both would widen the CSP.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
});
