import { defineConfig } from 'vite';

/**
 * The page behind the link of a message, built by itself after the dashboard: on a bad connection
 * one script and one style are all that it waits for, and nothing of the dashboard comes along.
 */
export default defineConfig({
  root: import.meta.dirname,
  // It is served below /p/, its files are not.
  base: '/',
  publicDir: false,
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    target: 'es2022',
    outDir: 'dist',
    emptyOutDir: false,
    modulePreload: false,
    rolldownOptions: { input: 'page.html' },
  },
});
