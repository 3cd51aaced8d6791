import type { ContactPoint, MessageOutcome, NewMessage, OutboxMessage } from '@lineside/storage';
import type { DelivererRecords } from '../src/outbox/deliverer.ts';

/** An outbox in memory that keeps to its port, and can be out. */
export class MemoryOutbox implements DelivererRecords {
  readonly kept = new Map<string, OutboxMessage>();
  readonly contacts = new Map<string, ContactPoint>();
  isOut = false;
  /** How long what was read of due messages is on its way. */
  answersAfterMs = 0;
  /** Asked before each write; true lets it fail. */
  failsWrite: () => boolean = () => false;

  put(...messages: readonly NewMessage[]): void {
    for (const message of messages) {
      const fresh = { state: 'waiting', attempts: 0, handedOverAtMs: null, failure: null } as const;
      this.kept.set(message.id, { ...message, ...fresh });
    }
  }

  async messagesDue(nowMs: number, limit: number): Promise<readonly OutboxMessage[]> {
    this.#mustBeThere();
    const due = this.#waiting().filter(({ dueAtMs }) => dueAtMs <= nowMs);
    const { answersAfterMs } = this;
    if (answersAfterMs > 0) await new Promise((resolve) => setTimeout(resolve, answersAfterMs));
    return due.slice(0, limit);
  }

  async nextMessageDueMs(): Promise<number | null> {
    this.#mustBeThere();
    return this.#waiting()[0]?.dueAtMs ?? null;
  }

  async settleMessages(outcomes: readonly MessageOutcome[]): Promise<void> {
    this.#mustBeThere();
    if (this.failsWrite()) throw new Error('disk full');
    for (const outcome of outcomes) {
      const message = this.kept.get(outcome.id);
      const isOpen = message?.state === 'waiting' || outcome.state === 'handed-over';
      if (isOpen && message?.revision === outcome.revision) {
        this.kept.set(outcome.id, { ...message, ...outcome });
      }
    }
  }

  async contactPoints(): Promise<readonly ContactPoint[]> {
    this.#mustBeThere();
    return [...this.contacts.values()];
  }

  async removeContactPoint(id: string): Promise<void> {
    this.#mustBeThere();
    this.contacts.delete(id);
  }

  #waiting(): OutboxMessage[] {
    const waiting = [...this.kept.values()].filter(({ state }) => state === 'waiting');
    return waiting.sort((a, b) => a.dueAtMs - b.dueAtMs);
  }

  #mustBeThere(): void {
    if (this.isOut) throw new Error('the store is out');
  }
}
