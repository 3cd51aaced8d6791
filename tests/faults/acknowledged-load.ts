import type { MqttClient } from 'mqtt';
import type { ServerProcess } from '../end-to-end/server-process.ts';

const STEP_MS = 1_000;
const IN_FLIGHT = 20;

/** Readings of one unit, a second apart, as fast as they are acknowledged. */
export class AcknowledgedLoad {
  /** Event times whose publication was acknowledged. */
  readonly acknowledged: number[] = [];
  private readonly client: MqttClient;
  private readonly topic: string;
  private next: number;
  private stopped = false;

  constructor(client: MqttClient, topic: string, fromMs: number) {
    this.client = client;
    this.topic = topic;
    this.next = fromMs;
    for (let i = 0; i < IN_FLIGHT; i++) this.send();
  }

  /** The first event time that was not sent. */
  stop(): number {
    this.stopped = true;
    return this.next;
  }

  private send(): void {
    if (this.stopped) return;
    const atMs = this.next;
    this.next += STEP_MS;
    const pack = [
      { bt: atMs / 1000, n: 'leak', u: 'A', v: leakAmpsAt(atMs) },
      { n: 'rh', u: '%RH', v: 55 },
    ];
    this.client.publish(this.topic, JSON.stringify(pack), { qos: 1 }, (error) => {
      if (error) return;
      this.acknowledged.push(atMs);
      this.send();
    });
  }
}

/** A value that belongs to its time alone, so that a mixed-up reading shows. */
export function leakAmpsAt(atMs: number): number {
  return ((atMs / 1000) % 977) / 1_000_000;
}

/** Stored leakage as the API gives it: time, minimum, mean and maximum of each reading. */
export async function storedLeak(
  server: ServerProcess,
  office: string,
  site: string,
  unit: string,
  fromMs: number,
  toMs: number,
): Promise<number[][]> {
  const all: number[][] = [];
  const windowMs = 10_000 * STEP_MS;
  for (let at = fromMs; at < toMs; at += windowMs) {
    const query = new URLSearchParams({
      from: new Date(at).toISOString(),
      to: new Date(Math.min(at + windowMs, toMs)).toISOString(),
      channels: 'leak',
      points: '20000',
    });
    const answer = await fetch(`${server.http}/api/units/${site}/${unit}/telemetry?${query}`, {
      headers: { authorization: `Bearer ${office}` },
    });
    if (!answer.ok) throw new Error(`telemetry: ${answer.status} ${await answer.text()}`);
    const body = (await answer.json()) as { channels: { leak?: { points: number[][] } } };
    all.push(...(body.channels.leak?.points ?? []));
  }
  return all;
}
