import type { PartHealth } from '@lineside/api';
import { type AlertingOnLine, type AlertingSide, down, WELL } from './house-line.ts';

/** Alerting of this process, from before it serves on. */
export class NearAlerting implements AlertingSide {
  #alerting: AlertingOnLine | null = null;

  bring(alerting: AlertingOnLine): void {
    this.#alerting = alerting;
  }

  async health(): Promise<PartHealth> {
    if (this.#alerting === null) return down('it starts');
    const { failure, deliverer } = this.#alerting.health();
    const reason = failure ?? deliverer.storeFailure ?? closedWords(deliverer.closedDoors);
    return reason === null ? WELL : { state: 'degraded', reason };
  }

  messagesWait(): void {
    this.#alerting?.messagesWait();
  }
}

/** Without what stands behind the kind: anybody may read the health, and it is an address. */
function closedWords(doors: readonly string[]): string | null {
  const kinds = [...new Set(doors.map((door) => door.split(' ', 1)[0]))];
  if (kinds.length === 0) return null;
  return `pages by ${kinds.join(' and ')} do not get out and are tried again; the log says why`;
}
