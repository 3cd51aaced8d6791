import { CommanderError } from 'commander';
import { commandLine } from './command-line.ts';
import { CommandFailure, EXIT } from './failure.ts';

try {
  await commandLine().parseAsync();
  process.exit(process.exitCode ?? EXIT.done);
} catch (error) {
  process.exit(explain(error));
}

/** One or two lines for what a person can act on; the stack only for what nobody foresaw. */
function explain(error: unknown): number {
  if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.done : EXIT.badInput;
  if (error instanceof CommandFailure) {
    process.stderr.write(`lineside: ${error.message}\n`);
    return error.status;
  }
  const words = error instanceof Error ? error.message : String(error);
  process.stderr.write(`lineside: ${words}\n`);
  if (process.env['LINESIDE_LOG_LEVEL'] === 'debug' && error instanceof Error) {
    process.stderr.write(`${error.stack}\n`);
  }
  return EXIT.cannotStart;
}
