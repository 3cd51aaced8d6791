#!/usr/local/bin/node
// `lineside` in the image, found by PATH, so that `docker compose exec api lineside …` is enough.
// As process 1 it ignores every signal that nobody listens to, so that it could not be stopped before
// the server listens, nor a backup at all. Here it ends then as any other process does.
const COMMAND = '/app/services/lineside/bin/lineside.mjs';
const STATUSES = { SIGINT: 130, SIGTERM: 143 };
for (const [signal, status] of Object.entries(STATUSES)) {
  process.on(signal, () => {
    if (process.listenerCount(signal) === 1) process.exit(status);
  });
}
void import(COMMAND);
