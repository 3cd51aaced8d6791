#!/usr/bin/env node
import { existsSync } from 'node:fs';

// The bystander stands beside every server, and health is asked every few seconds: both load only
// what they need.
const command = process.argv[2];
if (!existsSync(new URL('../dist/main.js', import.meta.url))) {
  process.stderr.write('lineside: it is not built yet: npm ci && npm run build\n');
  process.exitCode = 2;
} else if (command === 'bystander') await import('../dist/bystander/main.js');
else if (command === 'health' && process.argv.length === 3) await import('../dist/health/main.js');
else await import('../dist/main.js');
