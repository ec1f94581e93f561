/** Builds the page into dist/page, from where the bench serves it. Nothing is loaded from elsewhere. */
import { join } from 'node:path';
import { defineConfig } from 'vite';

const here = (file: string): string => join(import.meta.dirname, file);

export default defineConfig({
  // Relative, so that the page also works behind a path of somebody's own.
  base: './',
  publicDir: false,
  build: {
    outDir: '../../dist/page',
    // Two pages: the bench's own, and at /join/ the one that a class opens on its phones.
    rolldownOptions: { input: [here('index.html'), here('join/index.html')] },
    emptyOutDir: true,
    // No data: addresses, and no helper script that old browsers would need: both would widen the CSP.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
});
