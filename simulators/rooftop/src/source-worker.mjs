/**
 * Start of the simulator's thread when the program runs from TypeScript source: Node 20 cannot
 * strip types, and a thread inherits no loader, so tsx is registered here first. Not in the build.
 */
import { register } from 'tsx/esm/api';

register();
await import('./worker.ts');
