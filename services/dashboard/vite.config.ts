import { join } from 'node:path';
import { defineConfig } from 'vite';

/** Where `vite` in development finds the API; the build is served by the API itself. */
const API_ADDRESS = process.env['LINESIDE_DEV_API'] ?? 'http://127.0.0.1:8080';

export default defineConfig({
  root: import.meta.dirname,
  base: './',
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    target: 'es2022',
    outDir: 'dist',
    emptyOutDir: true,
    modulePreload: false,
    rolldownOptions: {
      input: {
        index: join(import.meta.dirname, 'index.html'),
        sw: join(import.meta.dirname, 'src', 'worker', 'sw.ts'),
      },
      output: {
        // A service worker keeps its address for ever; everything else is named by its content.
        entryFileNames: ({ name }) => (name === 'sw' ? 'sw.js' : 'assets/[name]-[hash].js'),
      },
    },
  },
  server: { host: '127.0.0.1', proxy: { '/api': API_ADDRESS } },
});
