/** A clean stop has this long; then the process ends hard, which loses nothing that was acknowledged. */
const LONGEST_STOP_MS = 9_000;

/**
 * Resolves at the first SIGTERM or SIGINT. From then on a watchdog ends the process if closing
 * takes too long, and a second signal ends it at once.
 */
export function untilToldToStop(): Promise<void> {
  return new Promise((resolve) => {
    let told = false;
    const stop = (): void => {
      if (told) process.exit(1);
      told = true;
      setTimeout(() => process.exit(1), LONGEST_STOP_MS).unref();
      resolve();
    };
    process.on('SIGTERM', stop);
    process.on('SIGINT', stop);
  });
}
