import { defineConfig } from 'vite';

// The page runs under a policy without inline script or style: nothing is inlined, and names carry a hash so that they may be cached for a year.
export default defineConfig({
  base: './',
  build: {
    outDir: 'dist',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    target: 'es2022',
  },
  server: {
    proxy: { '/api': 'http://127.0.0.1:8460', '/openapi': 'http://127.0.0.1:8460' },
  },
});
