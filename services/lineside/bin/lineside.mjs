#!/usr/bin/env node
// The bystander stands beside every server, so it loads only what it needs.
if (process.argv[2] === 'bystander') await import('../dist/bystander/main.js');
else await import('../dist/main.js');
