import type { PartHealth } from '@lineside/api';
import { type AlertingSide, down } from '../house-line.ts';
import type { HouseWire } from './house-wire.ts';
import { ANSWER_WITHIN_MS, partShape } from './news.ts';
import { HOUSE_TOPICS } from './topics.ts';

/** Alerting of another process. */
export class FarAlerting implements AlertingSide {
  readonly #wire: HouseWire;

  constructor(wire: HouseWire) {
    this.#wire = wire;
  }

  async health(): Promise<PartHealth> {
    const { state } = this.#wire;
    if (!state.isUp) return down(`cannot be asked without the broker: ${state.reason}`);
    try {
      return partShape.parse(
        await this.#wire.ask(HOUSE_TOPICS.askAlerting, null, ANSWER_WITHIN_MS),
      );
    } catch (error) {
      const words = error instanceof Error ? error.message : String(error);
      return down(`${words}; see that 'lineside serve --only alerting' runs`);
    }
  }

  messagesWait(): void {
    this.#wire.tell(HOUSE_TOPICS.messages, null);
  }
}
