/** What the watches of a fleet take: bytes of one saved state, memory of ten thousand. */
import { memoryUsage } from 'node:process';
import { WATCH_STATE_MOST_BYTES } from '@lineside/anomaly';
import { type Unit, USUAL_LIMITS } from '@lineside/fleet';
import { type JudgementState, newJudgementState, UnitJudge } from '@lineside/judging';
import type { ChannelValues } from '@lineside/readings';

const UNITS = 10_000;
const HISTORIES = 20;
const DAYS = 60;
const MINUTE_MS = 60_000;
const MINUTES_PER_DAY = 1_440;
const START_MS = Date.UTC(2026, 0, 1);
const MEGABYTE = 1_048_576;

/** `npm run bench -- states` */
export async function benchStates(): Promise<void> {
  const startedMs = performance.now();
  const states = Array.from({ length: HISTORIES }, (_, index) => judgedState(index));
  const seconds = (performance.now() - startedMs) / 1000;
  const readings = HISTORIES * DAYS * MINUTES_PER_DAY;
  const texts = states.map((state) => JSON.stringify(state));
  const bytes = texts.map((text) => Buffer.byteLength(text)).sort((a, b) => a - b);
  console.log(`\nwatch states after ${DAYS} days of minutes, ${HISTORIES} invented histories`);
  console.log(`  judged     ${(readings / seconds).toFixed(0).padStart(8)} readings/s`);
  console.log(
    `  as JSON    ${bytes[HISTORIES / 2]} bytes median, ${bytes.at(-1)} most ` +
      `(goal at most ${WATCH_STATE_MOST_BYTES})`,
  );
  globalThis.gc?.();
  const before = memoryUsage();
  // Parsed one by one, as after a restart: no two states share anything.
  const restored: JudgementState[] = [];
  for (let index = 0; index < UNITS; index++) {
    const parsed: JudgementState = JSON.parse(texts[index % HISTORIES] ?? '');
    restored.push(parsed);
  }
  globalThis.gc?.();
  const after = memoryUsage();
  const resident = (after.rss - before.rss) / MEGABYTE;
  const heap = (after.heapUsed - before.heapUsed) / MEGABYTE;
  console.log(
    `  ${restored.length} units  ${resident.toFixed(0)} MiB resident, ` +
      `${heap.toFixed(0)} MiB of objects (goal 400)`,
  );
}

function judgedState(index: number): JudgementState {
  const judge = new UnitJudge({ site: 'site-1', unit: 'rtu-1' }, newJudgementState(), {
    finished: () => {},
    episode: () => {},
  });
  const unit = unitOf(index);
  for (let minute = 0; minute < DAYS * MINUTES_PER_DAY; minute++) {
    const atMs = START_MS + minute * MINUTE_MS;
    judge.reading(unit, atMs, channelsOf(index, minute), null);
  }
  return judge.state();
}

/** Damp nights, loads that come and go, and for every second history leakage that follows both. */
function channelsOf(index: number, minute: number): ChannelValues {
  const day = (2 * Math.PI * minute) / MINUTES_PER_DAY;
  const wobble = ((minute * 7_919 + index * 104_729) % 1_009) / 1_009;
  const humidity = 72 - 26 * Math.sin(day) + 3 * Math.sin(day / (3 + index / 7)) + wobble;
  const running = Math.sin(day) + Math.sin(7 * day) > 0.4;
  const wet = Math.max(0, humidity - 75) / 25;
  const leak = 1 + 0.2 * wobble + (index % 2) * 14 * wet ** 2 * (minute / (DAYS * 1_440));
  const amps = running ? 17 : 0.42;
  return {
    rh: Math.min(100, humidity),
    t: 8 + 6 * Math.sin(day) + wobble,
    tp: 7 + 6 * Math.sin(day - 0.3) + wobble,
    leak: leak / 1000,
    ia: amps * (1 + 0.01 * wobble),
    ib: amps,
    ic: running ? 17.2 : 0.01,
    vab: 598 + wobble,
    vbc: 600,
    vca: 601,
  };
}

function unitOf(index: number): Unit {
  return {
    site: 'site-1',
    id: 'rtu-1',
    name: 'RTU-1',
    supply: {
      volts: 600,
      hertz: 60,
      grounding: 'solid-wye',
      groundingAssumed: false,
      mcaAmps: 38,
      mopAmps: 50,
    },
    fuses: { class: 'RK5', amps: 50 },
    contactors: [{ name: 'C1', load: 'compressor 1', poles: 3, flaAmps: 18 }],
    drive: index % 5 === 4,
    access: null,
    roof: null,
    nodeSupply: 'battery',
    limits: USUAL_LIMITS,
    retired: false,
  };
}
