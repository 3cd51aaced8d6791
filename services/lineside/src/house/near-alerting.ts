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
    const reason = failure ?? deliverer.storeFailure;
    return reason === null ? WELL : { state: 'degraded', reason };
  }

  messagesWait(): void {
    this.#alerting?.messagesWait();
  }
}
