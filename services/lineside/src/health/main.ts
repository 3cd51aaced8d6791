/**
 * `lineside health`: whether the services of a process on this machine go on, for supervisors that
 * run a command. Loads nothing else, since it runs every few seconds.
 */
import { EXIT } from '../failure.ts';

/** A process that does not answer by then is stuck. */
const ANSWERS_WITHIN_MS = 5_000;

/** Not well: what supervisors take for that. */
const NOT_WELL = 1;

const port = process.env['LINESIDE_HEALTH_PORT']?.trim() ?? '';
if (!/^[1-9][0-9]{0,4}$/.test(port)) {
  process.stderr.write(
    "lineside: health asks the port that LINESIDE_HEALTH_PORT names; set it for 'lineside serve' too\n",
  );
  process.exit(EXIT.badInput);
}
try {
  const answer = await fetch(`http://127.0.0.1:${port}/health`, {
    signal: AbortSignal.timeout(ANSWERS_WITHIN_MS),
  });
  process.stdout.write(await answer.text());
  process.exit(answer.ok ? EXIT.done : NOT_WELL);
} catch (error) {
  const cause = error instanceof Error ? (error.cause ?? error) : error;
  const words = cause instanceof Error ? cause.message : String(cause);
  process.stderr.write(`lineside: nothing answers on port ${port}: ${words}\n`);
  process.exit(NOT_WELL);
}
