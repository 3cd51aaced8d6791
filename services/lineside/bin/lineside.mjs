#!/usr/bin/env node
// The bystander stands beside every server, and health is asked every few seconds: both load only
// what they need.
const command = process.argv[2];
if (command === 'bystander') await import('../dist/bystander/main.js');
else if (command === 'health' && process.argv.length === 3) await import('../dist/health/main.js');
else await import('../dist/main.js');
